//! When a member wants to be reminded, and what waits until then.

use super::bundle::Bundle;
use crate::record::{GroupSettings, MemberId, Pause, QuietHours, Reminder};
use crate::remind::quiet;
use crate::reply::Language;
use crate::store::Store;
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

/// How often what a pause holds back is looked at again: a pause may end before its time. Our choice.
const LOOK_AGAIN: TimeDelta = TimeDelta::minutes(10);

/// What is known of how a member wants to be reminded.
#[derive(Clone, Copy)]
pub(super) struct Wishes {
    pub(super) zone: Tz,
    /// The courier's own words around a message are in it too.
    pub(super) language: Language,
    quiet: Option<QuietHours>,
    pause: Option<Pause>,
}

impl Wishes {
    /// A member's zone, else their group's, else UTC; the first group that they are in speaks.
    pub(super) fn of(store: &Store, member: MemberId) -> Self {
        let memberships = store.memberships_of(member);
        let own = memberships.iter().find_map(|member| member.settings.timezone.clone());
        let groups: Vec<GroupSettings> = memberships
            .iter()
            .filter_map(|member| store.group(member.group))
            .map(|group| group.settings)
            .collect();
        let named = own.or_else(|| groups.iter().find_map(|group| group.timezone.clone()));
        let quiet_hours = || groups.first().map(|group| group.quiet_hours).unwrap_or_default();
        Self {
            language: Language::of_memberships(&memberships),
            zone: named.and_then(|name| name.parse().ok()).unwrap_or(Tz::UTC),
            quiet: (!memberships.iter().any(|member| member.settings.reminders_at_night)).then(quiet_hours),
            pause: memberships.iter().find_map(|member| member.settings.reminders_paused),
        }
    }

    /// Until when a message waits, if it may not go out now. Nothing goes out at night that the member did not set into
    /// the night themselves; a pause holds everything that can wait.
    pub(super) fn wait(self, bundle: &Bundle, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
        if let Some(pause) = self.pause.filter(|pause| pause.lasts_at(now) && !bundle.cannot_wait()) {
            let again = now + LOOK_AGAIN;
            return Some(pause.until.map_or(again, |until| until.min(again)));
        }
        self.night(now).filter(|_| !bundle.is_meant_for_the_night(self.zone, self.quiet))
    }

    /// The end of the night, if it is one in which the member wants to be left alone.
    pub(super) fn night(self, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
        let is_night = quiet::is_quiet(now, self.zone, self.quiet);
        is_night.then(|| quiet::later(now, self.zone, self.quiet))
    }

    /// Whether a pause that is over by now held a reminder back.
    pub(super) fn held_it(self, reminder: &Reminder, now: DateTime<Utc>) -> bool {
        let over = self.pause.filter(|pause| !pause.lasts_at(now));
        over.is_some_and(|pause| !reminder.kind.cannot_wait() && pause.lasts_at(reminder.wanted_at()))
    }
}
