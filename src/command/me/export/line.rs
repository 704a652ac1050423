//! What both tables say of an entry: its number, whether it counts, when, where, by whom, of what.

use super::table::Cell;
use crate::command::log::own::{changed_by, undone_by};
use crate::record::{Event, EventId, Happening, MemberId, Subject};
use crate::store::Everything;
use chrono::{DateTime, SecondsFormat, Utc};
use chrono_tz::Tz;
use std::collections::BTreeMap;

/// The headers of [`Lines::of`].
pub(super) const HEADERS: [&str; 14] = [
    "entry",
    "status",
    "corrected_by",
    "corrects",
    "time_utc",
    "time_local",
    "zone",
    "recorded_utc",
    "by",
    "kind",
    "batch",
    "batch_name",
    "piece",
    "chamber_or_meter",
];

/// What is to be known of all entries before one of them can be written.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    everything: &'a Everything,
    me: MemberId,
    undone: BTreeMap<EventId, EventId>,
    changed: BTreeMap<EventId, EventId>,
}

impl<'a> Lines<'a> {
    /// Of a member's record.
    pub(super) fn new(everything: &'a Everything, me: MemberId) -> Self {
        let (undone, changed) = (undone_by(&everything.entries), changed_by(&everything.entries));
        Self { everything, me, undone, changed }
    }

    /// The cells under [`HEADERS`].
    pub(super) fn of(&self, event: &Event) -> Vec<Cell> {
        let (status, by) = self.standing(event);
        let corrects = match event.what {
            Happening::Undone { of } | Happening::Changed { of, .. } => Some(of.0),
            _ => None,
        };
        let piece = match event.subject {
            Subject::Piece(_, number) => Some(i64::from(number.0)),
            _ => None,
        };
        let batch = event.subject.batch();
        let name = batch.and_then(|batch| self.everything.batches.iter().find(|state| state.id == batch));
        vec![
            Cell::Whole(event.id.0),
            Cell::text(status),
            Cell::whole(by.map(|by| by.0)),
            Cell::whole(corrects),
            Cell::text(utc(event.at)),
            Cell::text(local(event.at, &event.zone)),
            Cell::text(&*event.zone),
            Cell::text(utc(event.recorded_at)),
            Cell::text(if event.author == Some(self.me) { "owner" } else { "another" }),
            Cell::text(said(&event.what).word()),
            Cell::words(batch.map(|batch| batch.to_string())),
            Cell::words(name.map(|state| state.plan.name.clone())),
            Cell::whole(piece),
            Cell::words(self.place(event)),
        ]
    }

    /// Whether an entry counts, and else what it was put right by.
    pub(super) fn standing(&self, event: &Event) -> (&'static str, Option<EventId>) {
        if let Some(by) = self.undone.get(&event.id) {
            return ("undone", Some(*by));
        }
        if let Happening::Changed { of, .. } = event.what {
            return match (self.undone.get(&of), self.changed.get(&of)) {
                (Some(by), _) => ("undone", Some(*by)),
                (None, Some(by)) if *by != event.id => ("changed", Some(*by)),
                (None, _) => ("counts", None),
            };
        }
        match self.changed.get(&event.id) {
            Some(by) => ("changed", Some(*by)),
            None => ("counts", None),
        }
    }

    /// The chamber or the meter it is of, or the chamber a batch went to.
    pub(super) fn place(&self, event: &Event) -> Option<String> {
        let chamber = match (event.subject.chamber(), said(&event.what)) {
            (None, Happening::Moved { chamber }) => Some(*chamber),
            (chamber, _) => chamber,
        };
        let chambers = &self.everything.chambers;
        let meters = &self.everything.meters;
        if let Some(meter) = event.subject.meter() {
            return meters.iter().find(|kept| kept.id == meter).map(|kept| kept.name.clone());
        }
        chambers.iter().find(|kept| Some(kept.id) == chamber).map(|kept| kept.name.clone())
    }
}

/// What an entry says; of a change, what it changes to.
pub(super) fn said(what: &Happening) -> &Happening {
    match what {
        Happening::Changed { to, .. } => to,
        what => what,
    }
}

/// A moment in UTC, as in RFC 3339.
pub(super) fn utc(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(SecondsFormat::AutoSi, true)
}

/// A moment as the clock of a zone showed it, with that clock's offset.
pub(super) fn local(at: DateTime<Utc>, zone: &str) -> String {
    let zone: Tz = zone.parse().unwrap_or(Tz::UTC);
    at.with_timezone(&zone).to_rfc3339_opts(SecondsFormat::AutoSi, false)
}
