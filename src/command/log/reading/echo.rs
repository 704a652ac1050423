//! What was understood, and what it means for the batch.

use super::resolve::Setting;
use crate::command::asking::{Asking, Services};
use crate::command::describe::describe;
use crate::command::error::CommandError;
use crate::command::figures;
use crate::command::intake::{Item, Understood, What, Whose};
use crate::command::status::{self, Look, fermentation, spell};
use crate::command::time;
use crate::curing::Level;
use crate::curing::fermentation::Systems;
use crate::record::{BatchStage, BatchState, PieceNumber};
use crate::reply::{Quiet, Reply, say};

/// The items as they will be kept: "pH 5.09 at 21 °C; #2 640 g".
pub(super) fn items(items: &[Item], setting: &Setting, asking: &Asking) -> String {
    let several = setting.batch.as_ref().is_some_and(|state| state.pieces.len() > 1);
    let one = |item: &Item| {
        let text = describe(&item.happening(setting.unsaid), asking);
        match item.whose {
            Whose::Piece(piece) if several => format!("{piece} {text}"),
            Whose::Sample => say("log.reading.of_sample", &[("text", &text)]),
            _ => text,
        }
    };
    items.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// The answer to readings that were kept.
pub(super) async fn reply(
    look: Look<'_>,
    setting: &Setting,
    understood: &Understood,
    after: Option<&BatchState>,
) -> Result<Reply, CommandError> {
    let asking = look.asking;
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let of = match after {
        Some(state) => format!("{} {}", state.id, state.plan.name),
        None => say("subject.chamber", &[("name", &setting.chamber.name)]),
    };
    let holes = [
        ("of", &*of),
        ("read", &*items(&understood.items, setting, asking)),
        ("when", &*time::shown(at, asking.now, asking.zone())),
    ];
    let mut reply = Reply::new("log reading", say("log.reading.kept", &holes));
    let acid = understood.items.iter().any(|item| matches!(item.what, What::Ph { .. }));
    reply.quiet = if acid { Quiet::About("ph") } else { Quiet::Folded };
    if !understood.leftover.is_empty() {
        let leftover = crate::command::line::shown(&understood.leftover.join(" "));
        reply.note(
            Level::Notice,
            say("log.reading.ignored", &[("leftover", &leftover)]),
        );
    }
    cautions(&mut reply, &understood.items);
    if let Some(state) = after {
        weights(&mut reply, state, &understood.items, asking);
    }
    for state in touched(look.services, setting, after).await? {
        air_and_acid(&mut reply, look, &state, &understood.items).await?;
    }
    let ids: Vec<i64> = look.pending.iter().map(|event| event.id.0).collect();
    if let (Some(first), Some(last)) = (ids.first(), ids.last()) {
        let range = if first == last {
            first.to_string()
        } else {
            format!("{first}-{last}")
        };
        reply.next = Some(say("log.reading.undo", &[("ids", &range)]));
    }
    Ok(reply)
}

/// The batches that a line speaks to: its own, or every open one in the chamber whose air was read.
async fn touched(
    services: &Services,
    setting: &Setting,
    after: Option<&BatchState>,
) -> Result<Vec<BatchState>, CommandError> {
    if let Some(state) = after {
        return Ok(vec![state.clone()]);
    }
    let mut states = Vec::new();
    for batch in services.store.open_batches_in(setting.chamber.id).await? {
        states.extend(services.store.batch(batch.id).await?.map(|(state, _)| state));
    }
    Ok(states)
}

/// A careful sentence for what is seen, never a bare tick.
fn cautions(reply: &mut Reply, items: &[Item]) {
    for item in items {
        let What::Observed { kind, text } = &item.what else {
            continue;
        };
        let (level, key) = status::observation(*kind, text);
        reply.note(level, say(key, &[]));
    }
}

fn weights(reply: &mut Reply, state: &BatchState, items: &[Item], asking: &Asking) {
    let weighed = |number: PieceNumber| {
        items
            .iter()
            .any(|item| item.whose == Whose::Piece(number) && matches!(item.what, What::Weighed { .. }))
    };
    let whole = items
        .iter()
        .any(|item| item.whose == Whose::Batch && matches!(item.what, What::Weighed { .. }));
    let progress = status::progress(state, asking);
    for piece in progress.pieces.iter().filter(|piece| weighed(piece.number)) {
        let of = format!("piece {}", piece.number.0);
        reply
            .figures
            .push(figures::percent("loss", piece.loss).of(of.clone()));
        reply.figures.extend(
            piece
                .left_to_lose
                .map(|left| figures::meat("left_to_lose", left, asking).of(of.clone())),
        );
        if piece.reached && state.stage().0 < BatchStage::Equalising {
            reply.note(
                Level::Notice,
                say(
                    "status.target_reached",
                    &[
                        ("piece", &piece.number.to_string()),
                        ("batch", &state.id.to_string()),
                    ],
                ),
            );
        }
    }
    if let Some(batch) = progress.batch.filter(|_| whole) {
        reply.figures.push(figures::percent("loss", batch.loss));
    }
}

/// Acid and air count for the fermentation clock, and warm air for everything that is not on it.
async fn air_and_acid(
    reply: &mut Reply,
    look: Look<'_>,
    state: &BatchState,
    items: &[Item],
) -> Result<(), CommandError> {
    let acid = items.iter().any(|item| matches!(item.what, What::Ph { .. }));
    let air = items.iter().any(|item| item.whose == Whose::Chamber);
    if !acid && !air {
        return Ok(());
    }
    let fermentation = fermentation::of_batch(look, state, Systems::Strict).await?;
    if state.stage().0 == BatchStage::Fermenting
        && let Some(fermentation) = &fermentation
    {
        reply
            .figures
            .extend(fermentation::figures(&fermentation.degree_hours, look.asking));
        status::judge_fermentation(reply, state, fermentation);
        reply.judges = true;
    }
    if air && let Some(spell) = spell::of_batch(look, state, fermentation.as_ref()).await? {
        spell::add(reply, &spell, look.asking);
        reply.judges = true;
    }
    Ok(())
}
