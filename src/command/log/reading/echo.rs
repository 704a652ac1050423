//! What was understood, and what it means for the batch.

use super::clock::{self, About};
use super::deviation;
use super::instruments;
use super::setting::Setting;
use super::weights;
use super::whom::about_air;
use crate::command::asking::Asking;
use crate::command::describe::describe;
use crate::command::error::CommandError;
use crate::command::intake::{Item, Understood, What, Whose};
use crate::command::log::ids_shown;
use crate::command::status::{self, Look};
use crate::command::time;
use crate::curing::Level;
use crate::record::event::ObservationKind;
use crate::record::{BatchState, PieceFate};
use crate::reply::{Quiet, Reply, say};

/// The items as they will be kept: "pH 5.09 at 21 °C; #2 640 g". The air of a chamber is called so where the line is
/// about more than that.
pub(super) fn items(items: &[Item], setting: &Setting, asking: &Asking) -> String {
    let several = setting.batch.as_ref().is_some_and(|state| state.pieces.len() > 1);
    let is_air = about_air(items);
    let sets = items.iter().any(|item| matches!(item.what, What::Setting { .. }));
    let one = |item: &Item| {
        let text = describe(&item.happening(setting.in_force), asking);
        match item.whose {
            Whose::Piece(piece) if several => format!("{piece} {text}"),
            Whose::Sample => say("log.reading.of_sample", &[("text", &text)]),
            Whose::Chamber if !is_air && !matches!(item.what, What::PowerOut { .. }) => {
                say("log.reading.of_chamber", &[("text", &text)])
            }
            // Beside a setting the thermometer's value is called so.
            Whose::Chamber if sets && matches!(item.what, What::Room { .. }) => {
                say("log.reading.of_air", &[("text", &text)])
            }
            _ => text,
        }
    };
    items.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Letters of unread words that are shown.
const LONGEST_LEFTOVER: usize = 400;

/// All that was not read, each run of words in its own quotation marks but for the outermost.
pub(in crate::command::log) fn leftover(runs: &[String]) -> String {
    let all = runs.join("\", \"");
    let visible = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut text: String = all.chars().take(LONGEST_LEFTOVER).map(visible).collect();
    if all.chars().nth(LONGEST_LEFTOVER).is_some() {
        text.push('…');
    }
    text
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
        let leftover = leftover(&understood.leftover);
        reply.note(Level::Notice, say("log.reading.ignored", &[("leftover", &leftover)]));
    }
    cautions(&mut reply, &understood.items);
    instruments::say_corrected(&mut reply, look.services, look.asking, &setting.chamber, understood).await?;
    reply.undo = Some(say("log.reading.undo", &[("ids", &ids(look))]));
    if let Some(state) = after {
        weights::add(&mut reply, state, &understood.items, look.asking);
    }
    let states = match after.filter(|_| !about_air(&understood.items)) {
        Some(state) => vec![state.clone()],
        None => clock::batches_in(look.services, look.asking, setting.chamber.id).await?,
    };
    let about = About::of(look.pending.iter().map(|event| &event.what));
    clock::judge(&mut reply, look, &states, about).await?;
    deviation::add(&mut reply, setting, understood, look).await?;
    alarms(&mut reply, look, &states).await?;
    Ok(reply)
}

/// Adds what is new against the batches that dry; of several each is called by its name.
pub(in crate::command::log) async fn alarms(
    reply: &mut Reply,
    look: Look<'_>,
    states: &[BatchState],
) -> Result<(), CommandError> {
    let mut leaned_on = None;
    if let [only] = states {
        leaned_on = status::alarms::add_news(reply, only, look).await?;
    } else {
        for state in states {
            let mut of_batch = Reply::new(reply.command, String::new());
            let read = status::alarms::add_news(&mut of_batch, state, look).await?;
            leaned_on = read.or(leaned_on);
            clock::merge(reply, of_batch, state);
        }
    }
    if let Some(read) = &leaned_on {
        status::alarms::add_doubts(reply, read);
    }
    Ok(())
}

fn headline(
    look: Look<'_>,
    setting: &Setting,
    understood: &Understood,
    after: Option<&BatchState>,
) -> String {
    let asking = look.asking;
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let of = match after {
        Some(state) if !about_air(&understood.items) => format!("{} {}", state.id, state.plan.name),
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

/// The numbers of this line's entries.
fn ids(look: Look<'_>) -> String {
    ids_shown(&look.pending.iter().map(|event| event.id.0).collect::<Vec<_>>())
}

/// A careful sentence for what is seen, never a bare tick; also where it is why a piece left.
fn cautions(reply: &mut Reply, items: &[Item]) {
    for item in items {
        match &item.what {
            What::Observed { kind, text } => status::add_observation(reply, *kind, text),
            What::Left { fate, reason } => match (spoilage(reason), fate) {
                (None, _) => {}
                (Some(_), PieceFate::Discarded) => {
                    status::add_advice(reply, Level::Caution, say("observation.left_spoiled", &[]));
                }
                (Some(kind), _) => status::add_observation(reply, kind, reason),
            },
            _ => {}
        }
    }
}

/// What was seen on a piece, by the reason it left for.
fn spoilage(reason: &str) -> Option<ObservationKind> {
    let reason = reason.to_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| reason.contains(word));
    if says(&["mould", "mold"]) {
        Some(ObservationKind::Mould)
    } else if says(&["smell", "smelt", "odour", "odor", "stink", "stank", "rotten"]) {
        Some(ObservationKind::Smell)
    } else if says(&["slime", "slimy", "sticky"]) {
        Some(ObservationKind::Slime)
    } else {
        None
    }
}
