//! The member's own entries: what a correction may speak of, and what corrects what.

use crate::command::access::{self, Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::{journal, lookup};
use crate::record::correction::corrected;
use crate::record::{Chamber, ChamberId, Event, EventId, Happening, Subject};
use crate::reply::say;
use std::collections::BTreeMap;

/// An entry that the member may put right. Of one that is none of their business it is not said whether there is one.
pub(super) async fn entry(services: &Services, asking: &Asking, id: EventId) -> Result<Event, CommandError> {
    let refuse = |code, key, example: &str| {
        CommandError::from(UserError::new(code, say(key, &[("id", &id.to_string())]), example))
    };
    let unknown = || refuse(Code::NoSuchThing, "log.no_such_entry", "log history");
    let event = services.store.event(id).await?.ok_or_else(unknown)?;
    let actor = Actor::of(asking);
    let thing = of_entry(services, actor, &event).await?.ok_or_else(unknown)?;
    if !may(actor, Deed::ReadHistory, &thing) || is_hidden(&event, actor, &thing) {
        return Err(unknown());
    }
    let is_theirs = may(actor, Deed::Correct, &thing)
        && (may(actor, Deed::Run, &thing) || !corrected_by_others(services, asking, &event).await?);
    if !is_theirs {
        return Err(refuse(Code::NotYours, "log.entry_not_yours", "log history"));
    }
    if let (Happening::Started { .. }, Some(batch)) = (&event.what, event.subject.batch()) {
        let example = format!("batch discard batch:{batch} reason:written down twice");
        return Err(refuse(Code::DoesNotFit, "log.entry_starts_batch", &example));
    }
    Ok(event)
}

/// What an entry is of, as somebody may do something to it.
async fn of_entry(services: &Services, actor: Actor, event: &Event) -> Result<Option<Thing>, CommandError> {
    let store = &services.store;
    let thing = match event.subject {
        Subject::Batch(batch) | Subject::Piece(batch, _) | Subject::Sample(batch) => {
            match store.batch(batch).await? {
                Some((state, _)) => Some(access::batch(services, actor, &state).await?),
                None => None,
            }
        }
        Subject::Chamber(chamber) => {
            let helpers = store.helpers_in_chamber(chamber).await?;
            store.chamber(chamber).await?.map(|chamber| Thing::chamber(chamber.owner, helpers))
        }
        Subject::Meter(meter) => store.meter(meter).await?.map(|meter| Thing::of_member(meter.owner)),
    };
    Ok(thing.map(|thing| thing.entry(event.author)))
}

/// Whether an entry is a private note, or corrects one, that this is not for.
pub(super) fn is_hidden(event: &Event, actor: Actor, thing: &Thing) -> bool {
    let mut what = &event.what;
    while let Happening::Changed { to, .. } = what {
        what = to;
    }
    matches!(what, Happening::Noted { .. }) && !may(actor, Deed::ReadNotes, thing)
}

/// Leaves out the private notes, with whatever corrects them, where they are not for whoever asks.
pub(super) fn leave_out_hidden(events: &mut Vec<Event>, actor: Actor, thing: &Thing) {
    let mut hidden: Vec<EventId> = Vec::new();
    events.sort_by_key(|event| event.id);
    for event in &*events {
        let of_hidden = corrected(&event.what).is_some_and(|of| hidden.contains(&of));
        if of_hidden || is_hidden(event, actor, thing) {
            hidden.push(event.id);
        }
    }
    events.retain(|event| !hidden.contains(&event.id));
}

/// Whether somebody else put the entry right: that correction is theirs.
async fn corrected_by_others(
    services: &Services,
    asking: &Asking,
    entry: &Event,
) -> Result<bool, CommandError> {
    let beside = beside(services, entry).await?;
    Ok(beside
        .iter()
        .any(|event| corrected(&event.what) == Some(entry.id) && event.author != Some(asking.member.id)))
}

/// The chamber of an entry that a helper made in somebody else's; it stays there.
pub(super) async fn chamber_of_another(
    services: &Services,
    asking: &Asking,
    chamber: Option<ChamberId>,
) -> Result<Option<Chamber>, CommandError> {
    let Some(chamber) = chamber else { return Ok(None) };
    let found = services.store.chamber(chamber).await?;
    let is_own = |chamber: &Chamber| {
        may(Actor::of(asking), Deed::SetChamber, &Thing::chamber(chamber.owner, Vec::new()))
    };
    Ok(found.filter(|chamber| !is_own(chamber)))
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
pub(in crate::command) fn undone_by(events: &[Event]) -> BTreeMap<EventId, EventId> {
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
pub(in crate::command) fn changed_by(events: &[Event]) -> BTreeMap<EventId, EventId> {
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
