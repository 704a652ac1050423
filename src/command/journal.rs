//! Writes entries into a batch's record: new events, the state that follows, the reminders that follow from that.

use super::asking::{Asking, Services};
use super::error::CommandError;
use super::log::change::is_reading;
use super::pictures::pictured_with;
use super::status::Look;
use super::status::fermentation;
use crate::record::climate::Climate;
use crate::record::{
    AirRow, BatchId, BatchKind, BatchStage, BatchState, ChamberId, Event, EventId, Happening, LoggedAir,
    Subject,
};
use crate::remind::plan::{self, PlanInput};
use crate::reply::{Due, Language, Stored, figure_of, in_language, say};
use crate::store::{BatchWrite, Change, ReminderPlan};
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, BTreeSet};

/// Collects what one request writes down.
#[derive(Debug)]
pub struct Journal<'a> {
    services: &'a Services,
    asking: &'a Asking,
    open: BTreeMap<BatchId, Open>,
    change: Change,
}

/// A batch that is being written to.
#[derive(Debug)]
struct Open {
    state: BatchState,
    version: i64,
    /// Loaded only when an entry does not simply come last.
    events: Option<Vec<Event>>,
    /// Whether its own record grew; else only its reminders are planned anew.
    written: bool,
}

impl<'a> Journal<'a> {
    /// Nothing written yet.
    pub fn new(services: &'a Services, asking: &'a Asking) -> Self {
        Self { services, asking, open: BTreeMap::new(), change: Change::default() }
    }

    /// Makes an entry without keeping it yet.
    pub fn event(&self, subject: Subject, at: DateTime<Utc>, what: Happening) -> Event {
        Event {
            id: self.services.store.next_event_id(),
            subject,
            at,
            recorded_at: self.asking.now,
            author: Some(self.asking.member.id),
            zone: self.asking.zone().name().to_owned(),
            what,
            typed: self.asking.typed.clone(),
        }
    }

    /// Starts a batch with its first entry.
    pub fn start(&mut self, event: Event) -> Result<BatchState, CommandError> {
        let state = BatchState::started(&event)
            .ok_or_else(|| CommandError::Internal("a batch started without its plan".to_owned()))?;
        let started = state.clone();
        self.open
            .insert(state.id, Open { state, version: 0, events: Some(vec![event.clone()]), written: true });
        self.change.events.push(event);
        Ok(started)
    }

    /// Appends an entry to a batch, a chamber or a meter.
    pub async fn append(&mut self, event: Event) -> Result<(), CommandError> {
        match event.subject {
            Subject::Chamber(chamber) => self.touch_batches_in(chamber).await?,
            // What was kept leans on a meter's check as it was then: nothing is folded or planned anew.
            Subject::Meter(_) => {}
            Subject::Batch(batch) | Subject::Piece(batch, _) | Subject::Sample(batch) => {
                self.fold(batch, &event).await?;
            }
        }
        self.change.events.push(event);
        Ok(())
    }

    /// Appends a logger's file to its chamber: the entry that stands for it, and its rows.
    pub async fn append_logged(&mut self, entry: Event, rows: Vec<AirRow>) -> Result<(), CommandError> {
        self.change.logged.push(LoggedAir { entry: entry.id, rows });
        self.append(entry).await
    }

    /// The entries of this request, rows of loggers' files among them as readings.
    pub fn pending(&self) -> Vec<Event> {
        let rows_of = |logged: &LoggedAir| -> Vec<Event> {
            let entry = self.change.events.iter().find(|event| event.id == logged.entry);
            entry.map_or_else(Vec::new, |entry| logged.rows.iter().map(|row| row.reading(entry)).collect())
        };
        let rows = self.change.logged.iter().flat_map(rows_of);
        self.change.events.iter().cloned().chain(rows).collect()
    }

    async fn fold(&mut self, batch: BatchId, event: &Event) -> Result<(), CommandError> {
        self.load(batch).await?;
        let Some(open) = self.open.get_mut(&batch) else {
            return Ok(());
        };
        open.written = true;
        if open.state.takes_at_end(event) {
            open.state.fold(event);
            if let Some(events) = &mut open.events {
                events.push(event.clone());
            }
            return Ok(());
        }
        let mut events = match open.events.take() {
            Some(events) => events,
            None => match self.services.store.batch_with_events(batch).await? {
                // Should the batch have moved on, the version that was read first is refused when it is kept.
                Some((_, _, events)) => events,
                None => return Ok(()),
            },
        };
        let known: Vec<Event> = self
            .change
            .events
            .iter()
            .filter(|written| written.subject.batch() == Some(batch))
            .cloned()
            .collect();
        for written in known {
            if events.iter().all(|event| event.id != written.id) {
                events.push(written);
            }
        }
        events.push(event.clone());
        if let Some(state) = BatchState::rebuild(&events) {
            open.state = state;
        }
        open.events = Some(events);
        Ok(())
    }

    /// Opens a batch, so that its reminders are planned anew when the journal is finished.
    pub async fn load(&mut self, batch: BatchId) -> Result<(), CommandError> {
        if self.open.contains_key(&batch) {
            return Ok(());
        }
        if let Some((state, version)) = self.services.store.batch(batch).await? {
            let version = self.asking.seen.note(batch, version);
            self.open.insert(batch, Open { state, version, events: None, written: false });
        }
        Ok(())
    }

    /// What the air was counts for every batch that hangs there, so their reminders are planned anew.
    async fn touch_batches_in(&mut self, chamber: ChamberId) -> Result<(), CommandError> {
        for batch in self.services.store.open_batches_in(chamber).await? {
            self.load(batch.id).await?;
        }
        Ok(())
    }

    /// The state of a batch as it is after what was written so far.
    pub fn state(&self, batch: BatchId) -> Option<&BatchState> {
        self.open.get(&batch).map(|open| &open.state)
    }

    /// As [`Self::state`], as it stands at the moment of asking: a line may be judged at an earlier time.
    pub fn state_as_of_now(&self, batch: BatchId) -> Option<BatchState> {
        let open = self.open.get(&batch)?;
        let earlier = |events: &Vec<Event>| BatchState::rebuild_as_of(events, self.asking.now);
        match &open.events {
            Some(events) if open.state.last_at > self.asking.now => earlier(events),
            _ => Some(open.state.clone()),
        }
    }

    /// Photos that came with the line are an entry beside what it wrote, of the same thing at the same time.
    async fn add_pictures(&mut self) -> Result<(), CommandError> {
        let pictures = &self.asking.files.pictures;
        match pictured_with(&self.change.events) {
            Some((subject, at)) if !pictures.is_empty() => {
                let event = self.event(subject, at, Happening::Pictured { pictures: pictures.clone() });
                self.append(event).await
            }
            _ => Ok(()),
        }
    }

    /// The change to keep: entries, states, reminder plans.
    pub async fn finish(mut self) -> Result<Change, CommandError> {
        self.add_pictures().await?;
        for open in std::mem::take(&mut self.open).into_values() {
            let plan = self.plan(&open).await?;
            self.change.reminder_plans.push(plan);
            if open.written {
                self.change.batches.push(BatchWrite { state: open.state, computed_from: open.version });
            }
        }
        Ok(self.change)
    }

    async fn plan(&self, open: &Open) -> Result<ReminderPlan, CommandError> {
        let state = &open.state;
        let (climate, air) = self.climate(state).await?;
        let theirs = self.as_owner(state);
        let (zone, quiet) = (theirs.zone(), theirs.quiet());
        let (batch, member) = (state.id, state.plan.owner);
        let input = PlanInput { state, climate: &climate, zone, quiet };
        let planned = in_language(Language::of_settings(&theirs.member.settings), || plan::plan(&input));
        Ok(ReminderPlan { batch, member, planned, computed_from: open.version, air })
    }

    /// A helper's entry moves the owner's reminders: they follow the owner's clock, settings and language.
    fn as_owner(&self, state: &BatchState) -> Asking {
        let (owner, store) = (state.plan.owner, &self.services.store);
        if owner == self.asking.member.id {
            return self.asking.clone();
        }
        let there = store.member(owner, state.plan.group);
        let owner = there.or_else(|| store.memberships_of(owner).into_iter().next());
        let group = store.group(state.plan.group).unwrap_or_else(|| self.asking.group.clone());
        let member = owner.unwrap_or_else(|| self.asking.member.clone());
        Asking { member, group, ..self.asking.clone() }
    }

    /// The air around a fermenting batch, with the entries of this request, and up to which entry of each chamber it
    /// was read; other stages need none for their plan.
    async fn climate(&self, state: &BatchState) -> Result<(Climate, Air), CommandError> {
        let nothing = || (Climate::default(), Vec::new());
        let Some(from) = state.reached(BatchStage::Fermenting) else { return Ok(nothing()) };
        if state.plan.kind != BatchKind::FermentedSausage || state.stage().0 != BatchStage::Fermenting {
            return Ok(nothing());
        }
        let chambers: BTreeSet<ChamberId> = state.stays.iter().map(|(chamber, _)| *chamber).collect();
        let mut air = Vec::new();
        for chamber in chambers {
            air.push((chamber, self.services.store.newest_in_chamber(chamber).await?));
        }
        let pending = self.pending();
        let look = Look { services: self.services, asking: self.asking, pending: &pending };
        // A cased batch may have been warm before: its clock counts from then on.
        let from = state.in_hand_since().map_or(from, |in_hand| in_hand.min(from));
        // A line may be judged at an earlier time than entries that are there already; the plan knows all of them, as
        // the state does.
        let climates = fermentation::climates(look, state, from, DateTime::<Utc>::MAX_UTC).await?;
        Ok((Climate::along(&state.stays, &climates), air))
    }
}

/// Chambers, each with its newest entry.
type Air = Vec<(ChamberId, Option<EventId>)>;

/// An entry as a reply lists it, with the name of its chamber or meter.
pub fn stored(event: &Event, name: &str) -> Stored {
    let (value, unit) = figure_of(&event.what);
    Stored {
        id: event.id.0,
        kind: event.what.word(),
        of: subject_shown(event.subject, name),
        at: event.at,
        value,
        unit,
        typed: event.typed.clone(),
        words: String::new(),
    }
}

/// The words an entry was read from, where it is a reading and can be said anew in such words.
pub fn words(event: &Event) -> String {
    if is_reading(&event.what) { event.typed.clone() } else { String::new() }
}

/// As [`stored`], of an entry that can be said anew in these words.
pub fn stored_as(event: &Event, name: &str, words: String) -> Stored {
    Stored { words, ..stored(event, name) }
}

/// A subject in a few letters: `B3`, `B3 #2`, `chamber home`, `meter kitchen`.
pub fn subject_shown(subject: Subject, name: &str) -> String {
    match subject {
        Subject::Batch(batch) => batch.to_string(),
        Subject::Piece(batch, piece) => format!("{batch} {piece}"),
        Subject::Sample(batch) => say("subject.sample", &[("batch", &batch.to_string())]),
        Subject::Chamber(_) => say("subject.chamber", &[("name", name)]),
        Subject::Meter(_) => say("subject.meter", &[("name", name)]),
    }
}

/// Reminders of a plan as a reply lists them.
pub fn dues(change: &Change) -> Vec<Due> {
    let of_batch = |plan: &ReminderPlan| {
        let of = Some(plan.batch.to_string());
        plan.planned
            .iter()
            .map(move |planned| Due {
                id: None,
                kind: planned.kind.word(),
                of: of.clone(),
                at: planned.due,
                text: planned.text.clone(),
            })
            .collect::<Vec<_>>()
    };
    change.reminder_plans.iter().flat_map(of_batch).collect()
}
