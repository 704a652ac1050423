//! The member's own entries: what a correction may speak of, and what corrects what.

use crate::command::asking::{Asking, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::{journal, lookup};
use crate::record::correction::corrected;
use crate::record::{Event, EventId, Happening, Subject};
use crate::reply::say;
use std::collections::BTreeMap;

/// An entry that the member may put right: of their own batch, chamber or meter.
pub(super) async fn entry(services: &Services, asking: &Asking, id: EventId) -> Result<Event, CommandError> {
    let refuse = |code, key, example: &str| {
        CommandError::from(UserError::new(code, say(key, &[("id", &id.to_string())]), example))
    };
    let store = &services.store;
    let Some(event) = store.event(id).await? else {
        return Err(refuse(Code::NoSuchThing, "log.no_such_entry", "log history"));
    };
    let owner = match event.subject {
        Subject::Batch(batch) | Subject::Piece(batch, _) | Subject::Sample(batch) => {
            store.batch(batch).await?.map(|(state, _)| state.plan.owner)
        }
        Subject::Chamber(chamber) => store.chamber(chamber).await?.map(|chamber| chamber.owner),
        Subject::Meter(meter) => store.meter(meter).await?.map(|meter| meter.owner),
    };
    if owner != Some(asking.member.id) {
        return Err(refuse(Code::NotYours, "log.entry_not_yours", "log history"));
    }
    if let (Happening::Started { .. }, Some(batch)) = (&event.what, event.subject.batch()) {
        let example = format!("batch discard batch:{batch} reason:written down twice");
        return Err(refuse(Code::DoesNotFit, "log.entry_starts_batch", &example));
    }
    Ok(event)
}

/// Every entry of the batch, the chamber or the meter that an entry is of, corrections among them.
pub(super) async fn beside(services: &Services, event: &Event) -> Result<Vec<Event>, CommandError> {
    let store = &services.store;
    Ok(match event.subject {
        Subject::Batch(batch) | Subject::Piece(batch, _) | Subject::Sample(batch) => {
            store.events_of_batch(batch).await?
        }
        Subject::Chamber(chamber) => store.events_of_chamber(chamber).await?,
        Subject::Meter(meter) => store.events_of_meter(meter).await?,
    })
}

/// What an entry is of: `B3 #2`, `chamber home`, `meter kitchen`.
pub(super) async fn subject(services: &Services, event: &Event) -> Result<String, CommandError> {
    let name = lookup::name_of(services, event.subject).await?;
    Ok(journal::subject_shown(event.subject, &name))
}

/// What an entry says; of a correction, what the entry that it corrects says.
pub(super) async fn said(services: &Services, event: &Event) -> Result<Happening, CommandError> {
    let mut what = event.what.clone();
    while let Some(of) = corrected(&what) {
        let Some(event) = services.store.event(of).await? else { break };
        what = event.what;
    }
    Ok(what)
}

/// Which entry is undone by which, of one batch or chamber. An undone undo undoes nothing.
pub(super) fn undone_by(events: &[Event]) -> BTreeMap<EventId, EventId> {
    let mut newest_first: Vec<&Event> = events.iter().collect();
    newest_first.sort_by_key(|event| std::cmp::Reverse(event.id));
    let mut undone = BTreeMap::new();
    for event in newest_first {
        if let Happening::Undone { of } = event.what
            && !undone.contains_key(&event.id)
        {
            undone.insert(of, event.id);
        }
    }
    undone
}

/// The change that holds of each changed entry: the last one written that is not undone.
pub(super) fn changed_by(events: &[Event]) -> BTreeMap<EventId, EventId> {
    let undone = undone_by(events);
    let mut changed = BTreeMap::new();
    for event in events.iter().filter(|event| !undone.contains_key(&event.id)) {
        if let Happening::Changed { of, .. } = event.what {
            let holds = changed.entry(of).or_insert(event.id);
            *holds = event.id.max(*holds);
        }
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Mass;
    use crate::record::{BatchId, Subject};

    fn event(id: i64, what: Happening) -> Event {
        let at = "2026-11-02T08:00:00Z".parse().unwrap();
        Event {
            id: EventId(id),
            subject: Subject::Batch(BatchId(1)),
            at,
            recorded_at: at,
            author: None,
            zone: "UTC".to_owned(),
            what,
            typed: String::new(),
        }
    }

    fn weighed(grams: f64) -> Happening {
        Happening::Weighed { gross: Mass::grams(grams) }
    }

    #[test]
    fn an_undone_undo_undoes_nothing() {
        let mut events = vec![event(1, weighed(812.0)), event(2, Happening::Undone { of: EventId(1) })];
        assert_eq!(undone_by(&events).get(&EventId(1)), Some(&EventId(2)));
        events.push(event(3, Happening::Undone { of: EventId(2) }));
        assert_eq!(undone_by(&events).get(&EventId(1)), None);
        assert_eq!(undone_by(&events).get(&EventId(2)), Some(&EventId(3)));
    }

    #[test]
    fn the_last_change_that_is_not_undone_holds() {
        let change =
            |id, grams| event(id, Happening::Changed { of: EventId(1), to: Box::new(weighed(grams)) });
        let mut events = vec![event(1, weighed(812.0)), change(2, 821.0), change(3, 218.0)];
        assert_eq!(changed_by(&events).get(&EventId(1)), Some(&EventId(3)));
        events.push(event(4, Happening::Undone { of: EventId(3) }));
        assert_eq!(changed_by(&events).get(&EventId(1)), Some(&EventId(2)));
    }
}
