//! What was noted of a batch that is made again: its record, and for its owner what was seen and noted.

use crate::command::asking::{Asking, Services};
use crate::command::describe::describe;
use crate::command::error::CommandError;
use crate::command::summary;
use crate::curing::drying::finished::DriedBatch;
use crate::curing::statistics::dryings::target_day;
use crate::quantity::format;
use crate::record::correction::effective;
use crate::record::{BatchStage, BatchState, Happening, hours_between};
use crate::reply::{Reply, say, words};

/// Notes and observations of one answer, the latest.
const MOST: usize = 5;

/// Of the member's own batch: everything they wrote down.
pub(super) async fn own(
    reply: &mut Reply,
    earlier: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    reply.lines.push(outcome(earlier));
    reply.lines.extend(summary::record_lines(earlier, services, asking).await?);
    reply.lines.extend(reached(earlier));
    let seen = earlier.observations.iter().map(|seen| {
        let what = Happening::Observed { kind: seen.kind, text: seen.text.clone() };
        let holes = [("day", &*day_of(earlier, seen.at)), ("text", &describe(&what, asking))];
        say("batch.repeat.seen", &holes)
    });
    reply.lines.extend(latest(seen.collect()));
    let events = services.store.events_of_batch(earlier.id).await?;
    let noted = effective(&events).into_iter().filter_map(|event| match &event.what {
        Happening::Noted { text } => {
            let holes = [("day", &*day_of(earlier, event.at)), ("text", text)];
            Some(say("batch.repeat.noted", &holes))
        }
        _ => None,
    });
    reply.lines.extend(latest(noted.collect()));
    Ok(())
}

/// Of another member's: what they show.
pub(super) fn shown(reply: &mut Reply, earlier: &BatchState, record: &str) {
    reply.lines.push(outcome(earlier));
    reply.lines.extend(record.lines().map(str::to_owned));
    reply.lines.extend(reached(earlier));
}

fn outcome(earlier: &BatchState) -> String {
    let (stage, _) = earlier.stage();
    let key =
        if stage == BatchStage::Discarded { "batch.repeat.last_discarded" } else { "batch.repeat.last" };
    let reason = earlier.discard_reason.as_deref().unwrap_or_default();
    let holes = [("batch", &*earlier.id.to_string()), ("stage", &*words::stage(stage)), ("reason", reason)];
    say(key, &holes)
}

fn reached(earlier: &BatchState) -> Option<String> {
    let day = target_day(&DriedBatch::of(earlier)?)?;
    Some(say("batch.repeat.reached", &[("day", &format::number(day, 0))]))
}

/// Days since its start, as members count them: the first is day 1.
fn day_of(earlier: &BatchState, at: chrono::DateTime<chrono::Utc>) -> String {
    let started = earlier.stages.first().map_or(earlier.last_at, |(_, at)| *at);
    format::number((hours_between(started, at) / 24.0).floor() + 1.0, 0)
}

fn latest(mut lines: Vec<String>) -> Vec<String> {
    lines.split_off(lines.len().saturating_sub(MOST))
}
