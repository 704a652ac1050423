//! Undo and change append; this works out what counts.

use super::event::{Event, Happening};
use super::ids::EventId;
use std::collections::{BTreeMap, BTreeSet};

/// The events that count, contents as last changed, sorted by time and number. Corrections themselves are gone.
///
/// A correction always applies, whatever its own time: it says what was true, not what happened later.
/// An undone undo has no effect; of several changes of one entry the last one written counts.
pub fn effective(events: &[Event]) -> Vec<Event> {
    let mut corrections: Vec<&Event> =
        events.iter().filter(|event| corrected(&event.what).is_some()).collect();
    corrections.sort_by_key(|event| std::cmp::Reverse(event.id));
    let mut void: BTreeSet<EventId> = BTreeSet::new();
    let mut replaced: BTreeMap<EventId, &Event> = BTreeMap::new();
    for correction in corrections {
        if void.contains(&correction.id) {
            continue;
        }
        match &correction.what {
            Happening::Undone { of } => {
                void.insert(*of);
            }
            Happening::Changed { of, .. } => {
                replaced.entry(*of).or_insert(correction);
            }
            _ => {}
        }
    }
    let mut counting: Vec<Event> = events
        .iter()
        .filter(|event| corrected(&event.what).is_none() && !void.contains(&event.id))
        .map(|event| with_change(event, replaced.get(&event.id).copied()))
        .collect();
    counting.sort_by_key(|event| (event.at, event.id));
    counting
}

/// The event a correction speaks of.
pub const fn corrected(what: &Happening) -> Option<EventId> {
    match what {
        Happening::Undone { of } | Happening::Changed { of, .. } => Some(*of),
        _ => None,
    }
}

/// A change carries the corrected subject and time as its own.
fn with_change(event: &Event, change: Option<&Event>) -> Event {
    let Some(change) = change else {
        return event.clone();
    };
    let what = match &change.what {
        Happening::Changed { to, .. } => (**to).clone(),
        other => other.clone(),
    };
    Event { what, subject: change.subject, at: change.at, typed: change.typed.clone(), ..event.clone() }
}
