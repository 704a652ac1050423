//! What was understood, and what it means for the batch.

use super::resolve::Setting;
use super::weights;
use crate::command::asking::{Asking, Services};
use crate::command::describe::describe;
use crate::command::error::CommandError;
use crate::command::intake::{Item, Understood, What, Whose};
use crate::command::status::{self, Look, fermentation, spell};
use crate::command::time;
use crate::curing::Level;
use crate::curing::fermentation::{Systems, Verdict};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Figure, Quiet, Reply, say};

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
    let mut reply = Reply::new("log reading", headline(look, setting, understood, after));
    let acid = understood.items.iter().any(|item| matches!(item.what, What::Ph { .. }));
    reply.quiet = if acid { Quiet::About("ph") } else { Quiet::Folded };
    if !understood.leftover.is_empty() {
        let leftover = crate::command::line::shown(&understood.leftover.join(" "));
        reply.note(Level::Notice, say("log.reading.ignored", &[("leftover", &leftover)]));
    }
    cautions(&mut reply, &understood.items);
    reply.next = Some(say("log.reading.undo", &[("ids", &ids(look))]));
    if let Some(state) = after {
        weights::add(&mut reply, state, &understood.items, look.asking);
    }
    for state in touched(look.services, setting, after).await? {
        air_and_acid(&mut reply, look, &state, &understood.items).await?;
    }
    Ok(reply)
}

fn headline(
    look: Look<'_>,
    setting: &Setting,
    understood: &Understood,
    after: Option<&BatchState>,
) -> String {
    let asking = look.asking;
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let only_air = understood.items.iter().all(|item| item.whose == Whose::Chamber);
    let of = match after {
        Some(state) if !only_air => format!("{} {}", state.id, state.plan.name),
        _ => say("subject.chamber", &[("name", &setting.chamber.name)]),
    };
    let holes = [
        ("of", &*of),
        ("read", &*items(&understood.items, setting, asking)),
        ("when", &*time::shown(at, asking.now, asking.zone())),
        ("ids", &*ids(look)),
    ];
    let single = look.pending.len() == 1;
    say(if single { "log.reading.kept" } else { "log.reading.kept_several" }, &holes)
}

/// The numbers of this line's entries: `12`, or `12-14`.
fn ids(look: Look<'_>) -> String {
    let ids: Vec<i64> = look.pending.iter().map(|event| event.id.0).collect();
    match (ids.first(), ids.last()) {
        (Some(first), Some(last)) if first != last => format!("{first}-{last}"),
        (Some(only), _) => only.to_string(),
        _ => String::new(),
    }
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
        let report = &fermentation.degree_hours;
        reply.figures.extend(fermentation::figures(report, look.asking).into_iter().map(fold_known));
        status::judge_fermentation(reply, state, fermentation);
        if report.verdict() >= Verdict::MayBeExceeded {
            reply.headline =
                format!("{} {}", say(fermentation::verdict_key(report.verdict()), &[]), reply.headline);
        }
        if let Some(key) =
            fermentation::next_key(report).filter(|_| acid || report.verdict() >= Verdict::MayBeExceeded)
        {
            reply.next = Some(say(key, &[("batch", &state.id.to_string())]));
        }
        reply.judges |= acid || reply.level() >= Level::Caution;
    }
    if air && let Some(spell) = spell::of_batch(look, state, fermentation.as_ref()).await? {
        spell::add(reply, &spell, look.asking);
        reply.judges = true;
    }
    Ok(())
}

/// What does not change from reading to reading is left to the card.
fn fold_known(figure: Figure) -> Figure {
    if matches!(figure.id, "hours_counted" | "highest_temperature") { figure.folded() } else { figure }
}
