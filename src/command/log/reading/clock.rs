//! What air and acid mean for the batches they count for: the fermentation clock, and warm spells off it.

use crate::command::asking::{Asking, Services};
use crate::command::error::CommandError;
use crate::command::journal::Journal;
use crate::command::lookup;
use crate::command::status::fermentation::Outlook;
use crate::command::status::fermentation::alarms::Before;
use crate::command::status::{self, Look, fermentation, spell};
use crate::command::tap;
use crate::curing::Level;
use crate::curing::fermentation::{ClockState, Fermentation, Systems, Verdict};
use crate::record::{BatchId, BatchStage, BatchState, ChamberId, Event, Happening};
use crate::reply::{Figure, Reply, finding, say};
use std::collections::BTreeMap;

/// What of the entries that were kept, undone or changed the clock counts.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::command::log) struct About {
    acid: bool,
    air: bool,
}

impl About {
    /// Of these entries.
    pub(in crate::command::log) fn of<'a>(entries: impl IntoIterator<Item = &'a Happening>) -> Self {
        let mut about = Self::default();
        for what in entries {
            about.acid |= matches!(what, Happening::PhRead { .. });
            about.air |= matches!(
                what,
                Happening::RoomRead { .. }
                    | Happening::RoomSet { .. }
                    | Happening::RoomExtremes { .. }
                    | Happening::PowerOut { .. }
                    | Happening::AirLogged { .. }
            );
        }
        about
    }
}

/// The batches that corrected entries counted for, as they are with the correction.
pub(in crate::command::log) async fn states_after(
    services: &Services,
    asking: &Asking,
    journal: &Journal<'_>,
    entries: &[Event],
) -> Result<Vec<BatchState>, CommandError> {
    let mut states: BTreeMap<BatchId, BatchState> = BTreeMap::new();
    for entry in entries {
        let touched = match (entry.subject.batch(), entry.subject.chamber()) {
            (Some(batch), _) => journal.state_as_of_now(batch).into_iter().collect(),
            (None, Some(chamber)) => batches_in(services, asking, chamber).await?,
            (None, None) => Vec::new(),
        };
        for state in touched {
            let after = journal.state_as_of_now(state.id).unwrap_or(state);
            states.insert(after.id, after);
        }
    }
    Ok(states.into_values().collect())
}

/// The open batches of a chamber: its air counts for every one of them.
pub(in crate::command::log) async fn batches_in(
    services: &Services,
    asking: &Asking,
    chamber: ChamberId,
) -> Result<Vec<BatchState>, CommandError> {
    let mut states = Vec::new();
    for batch in services.store.open_batches_in(chamber).await? {
        states.extend(lookup::as_of_now(services, asking, batch.id).await?);
    }
    Ok(states)
}

/// Adds what entries mean for the batches they count for; of several each is called by its name.
pub(in crate::command::log) async fn judge(
    reply: &mut Reply,
    look: Look<'_>,
    states: &[BatchState],
    about: About,
) -> Result<(), CommandError> {
    if !about.acid && !about.air {
        return Ok(());
    }
    if let [only] = states {
        return one(reply, look, only, about).await;
    }
    for state in states {
        let mut of_batch = Reply::new(reply.command, String::new());
        one(&mut of_batch, look, state, about).await?;
        merge(reply, of_batch, state);
    }
    Ok(())
}

/// Acid and air count for the fermentation clock, and warm air for everything that is not on it.
async fn one(
    reply: &mut Reply,
    look: Look<'_>,
    state: &BatchState,
    about: About,
) -> Result<(), CommandError> {
    let seen = fermentation::seen(look, state, Systems::Strict).await?;
    if state.stage().0 == BatchStage::Fermenting
        && let Some(seen) = &seen
    {
        let fermentation = &seen.fermentation;
        let report = &fermentation.degree_hours;
        let verdict = report.verdict();
        reply.figures.extend(fermentation::figures(report, look.asking).into_iter().map(fold_known));
        status::judge_fermentation(reply, state, fermentation);
        if verdict >= Verdict::MayBeExceeded {
            let mut headline = say(fermentation::verdict_key(verdict), &[]);
            if !reply.headline.is_empty() {
                headline = format!("{headline} {}", reply.headline);
            }
            reply.headline = headline;
        }
        if let Some(key) =
            fermentation::next_key(report).filter(|_| about.acid || verdict >= Verdict::MayBeExceeded)
        {
            reply.taps.extend(tap::after(key, state.id));
            reply.next = Some(say(key, &[("batch", &state.id.to_string())]));
        }
        let before = Before::of(look, state, about.acid).await?;
        before.add_news(reply, state, seen, look.asking);
        if about.acid {
            let outlook = Outlook::of(state, fermentation, look.asking.now);
            fermentation::add_target(reply, state, fermentation, outlook.as_ref());
            reply.notes.extend(outlook.and_then(|outlook| outlook.note(before.outlook())));
        }
        let is_told_a_rule = reply.findings.iter().any(|finding| finding.level > Level::None);
        reply.judges |= about.acid || is_told_a_rule || reply.level() >= Level::Caution;
    }
    let known = seen.map(|seen| seen.fermentation);
    if let Some(fermentation) = known.as_ref().filter(|known| is_open_again(state, known, about)) {
        status::judge_fermentation(reply, state, fermentation);
        reply.judges = true;
    }
    if about.air
        && !state.stage().0.is_over()
        && let Some(spell) = spell::of_batch(look, state, known.as_ref()).await?
    {
        spell::add(reply, state, &spell, look.asking);
        reply.judges = true;
    }
    Ok(())
}

/// Whether entries after a batch left fermentation bear on its clock: acid, while nothing has ended it for good, and
/// whatever brings it to its limit.
fn is_open_again(state: &BatchState, known: &Fermentation, about: About) -> bool {
    let report = &known.degree_hours;
    let is_ended = matches!(report.state, ClockState::Ended { provisional: false, .. });
    state.stage().0 > BatchStage::Fermenting
        && (report.verdict() >= Verdict::MayBeExceeded || (about.acid && !is_ended))
}

/// What does not change from reading to reading is left to the card.
fn fold_known(figure: Figure) -> Figure {
    if matches!(figure.id, "hours_counted" | "highest_temperature") { figure.folded() } else { figure }
}

/// Adds what was said of one batch of several, by its name: its sums in one line, and what has a signal word.
pub(in crate::command::log) fn merge(reply: &mut Reply, of_batch: Reply, state: &BatchState) {
    let batch = format!("{} {}", state.id, state.plan.name);
    let named = |text: &str| say("log.reading.of_batch", &[("batch", &batch), ("text", text)]);
    if !of_batch.headline.is_empty() {
        reply.headline = format!("{} {}", named(&of_batch.headline), reply.headline);
    }
    let is_sum = |figure: &&Figure| figure.id.starts_with("degree_hours");
    let sums: Vec<String> =
        of_batch.figures.iter().filter(is_sum).map(|sum| format!("{} {}", sum.label, sum.shown)).collect();
    if !sums.is_empty() {
        reply.lines.push(named(&sums.join(", ")));
    }
    let of = format!("batch {}", state.id);
    reply.figures.extend(of_batch.figures.into_iter().map(|figure| figure.of(of.clone()).folded()));
    let findings = of_batch.findings.iter().map(|found| (found.level, finding::sentence(found)));
    let notes = of_batch.notes.into_iter().map(|note| (note.level, note.text));
    for (level, text) in findings.chain(notes).filter(|(level, _)| *level > Level::None) {
        reply.note(level, named(&text));
    }
    reply.working.extend(of_batch.working);
    reply.next = of_batch.next.or(reply.next.take());
    reply.judges |= of_batch.judges;
}
