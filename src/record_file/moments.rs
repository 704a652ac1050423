//! Every moment that a file tells of, with its place, so that one which cannot be is found.

use super::document::RecordFile;
use super::entry::What;
use chrono::{DateTime, Utc};

/// A moment of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    /// Where it stands, as a JSON pointer.
    pub place: String,
    /// The moment.
    pub at: DateTime<Utc>,
    /// Whether it tells of what has happened, and so cannot lie ahead.
    pub is_past: bool,
}

impl RecordFile {
    /// Every moment of what is put back.
    pub fn moments(&self) -> Vec<Moment> {
        let mut all = Vec::new();
        let mut add = |place: String, at: Option<DateTime<Utc>>, is_past: bool| {
            all.extend(at.map(|at| Moment { place, at, is_past }));
        };
        let pause = self.owner.settings.reminders_paused.as_ref();
        add("/owner/settings/reminders_paused/since".to_owned(), pause.map(|pause| pause.since), false);
        let until = pause.and_then(|pause| pause.until);
        add("/owner/settings/reminders_paused/until".to_owned(), until, false);
        for (position, entry) in self.entries.iter().enumerate() {
            let place = |field: &str| format!("/entries/{position}/{field}");
            add(place("at"), Some(entry.at), true);
            add(place("recorded_at"), Some(entry.recorded_at), true);
            let (since, field, deep) = since(&entry.what);
            add(place(&format!("what/{}values/{field}", "values/to/".repeat(deep))), since, true);
        }
        for (position, row) in self.logged_air.iter().enumerate() {
            add(format!("/logged_air/{position}/at"), Some(row.at), true);
        }
        for (position, kept) in self.reminders.iter().enumerate() {
            let place = |field: &str| format!("/reminders/{position}/{field}");
            add(place("due"), Some(kept.due), false);
            add(place("first_local"), kept.first_local.map(|local| local.and_utc()), false);
            add(place("not_before"), kept.not_before, false);
            add(place("snoozed_until"), kept.snoozed_until, false);
            add(place("sent_at"), kept.sent_at, true);
        }
        for (position, share) in self.shares.iter().enumerate() {
            add(format!("/shares/{position}/shared_at"), Some(share.shared_at), true);
        }
        for (position, kept) in self.formulations.iter().enumerate() {
            add(format!("/formulations/{position}/saved_at"), Some(kept.saved_at), true);
            add(format!("/formulations/{position}/shared_at"), kept.shared_at, true);
        }
        all
    }
}

/// Since when something lasted, the field that says so, and how many changes deep it stands.
fn since(what: &What) -> (Option<DateTime<Utc>>, &'static str, usize) {
    match what {
        What::RoomExtremes { since, .. } | What::PowerOut { since, .. } => (Some(*since), "since", 0),
        What::AirLogged { first, .. } => (Some(*first), "first", 0),
        What::Changed { to, .. } => {
            let (found, field, deep) = since(to);
            (found, field, deep + 1)
        }
        _ => (None, "since", 0),
    }
}
