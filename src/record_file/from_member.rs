//! What is kept beside entries, as the file says it: settings, groups, reminders, recipes.

use super::document::{
    Formulation, Group, Helping, Message, Named, Owner, Pause, RecordFile, Reminder, ReminderStanding,
    Settings,
};
use super::entry::{About, What};
use super::parts::Plan;
use crate::record::{self, OutgoingState, ReminderState};
use std::collections::BTreeSet;

impl RecordFile {
    /// Leaves out the numbers of groups the owner is no longer in, and of batches that are not the owner's.
    pub fn leave_out_what_is_elsewhere(&mut self) {
        let groups: BTreeSet<i64> = self.groups.iter().map(|group| group.id).collect();
        let theirs = |group: &mut Option<i64>| *group = group.filter(|group| groups.contains(group));
        let mut batches = BTreeSet::new();
        for entry in &mut self.entries {
            if let Some(plan) = plan_in(&mut entry.what) {
                theirs(&mut plan.group);
            }
            if let (About::Batch(batch), What::BatchStarted(_)) = (entry.about, &entry.what) {
                batches.insert(batch);
            }
        }
        self.shares.iter_mut().for_each(|share| theirs(&mut share.group));
        self.formulations.iter_mut().for_each(|kept| theirs(&mut kept.group));
        for reminder in &mut self.reminders {
            reminder.batch = reminder.batch.filter(|batch| batches.contains(batch));
        }
    }
}

/// The plan that an entry tells, or changes.
fn plan_in(what: &mut What) -> Option<&mut Plan> {
    match what {
        What::BatchStarted(plan) => Some(plan),
        What::Changed { to, .. } => plan_in(to),
        _ => None,
    }
}

impl Owner {
    /// Of a member, as any of their groups knows them.
    pub fn of(member: &record::Member) -> Self {
        Self { chat_account: member.chat.map(|chat| chat.to_string()), settings: (&member.settings).into() }
    }
}

impl From<&record::MemberSettings> for Settings {
    fn from(settings: &record::MemberSettings) -> Self {
        let pause = |pause: record::Pause| Pause { since: pause.since, until: pause.until };
        Self {
            country: settings.country.clone(),
            timezone: settings.timezone.clone(),
            meat_unit: settings.mass,
            cure_unit: settings.cure,
            temperature_scale: settings.temperature,
            scale_step_g: settings.scale_step.into(),
            reminders_at_night: settings.reminders_at_night,
            reminders_paused: settings.reminders_paused.map(pause),
            language: settings.language.clone(),
            heard_language: settings.heard_language.clone(),
        }
    }
}

impl Group {
    /// A group as one of its members sees it.
    pub fn of(group: &record::Group, member: &record::Member) -> Self {
        Self {
            id: group.id.0,
            name: group.name.clone(),
            chat_group: group.chat.map(|chat| chat.to_string()),
            member_name: member.name.clone(),
            role: member.role,
            country: group.settings.country.clone(),
            timezone: group.settings.timezone.clone(),
            quiet_from_hour: group.settings.quiet_hours.from,
            quiet_until_hour: group.settings.quiet_hours.until,
        }
    }
}

impl From<&record::Chamber> for Named {
    fn from(chamber: &record::Chamber) -> Self {
        Self { id: chamber.id.0, name: chamber.name.clone() }
    }
}

impl From<&record::Meter> for Named {
    fn from(meter: &record::Meter) -> Self {
        Self { id: meter.id.0, name: meter.name.clone() }
    }
}

impl From<&record::Reminder> for Reminder {
    fn from(reminder: &record::Reminder) -> Self {
        let state = match reminder.state {
            // One that is just being sent is not known to have arrived.
            ReminderState::Scheduled | ReminderState::Claimed => ReminderStanding::Waiting,
            ReminderState::Sent => ReminderStanding::Sent,
            ReminderState::GaveUp => ReminderStanding::GaveUp,
            ReminderState::Withdrawn => ReminderStanding::Withdrawn,
            ReminderState::Cancelled => ReminderStanding::Cancelled,
        };
        Self {
            id: reminder.id.0,
            batch: reminder.batch.map(|batch| batch.0),
            kind: reminder.kind,
            occurrence: reminder.occurrence,
            due: reminder.due,
            text: reminder.text.clone(),
            every_days: reminder.every_days,
            first_local: reminder.anchor,
            state,
            tries: reminder.tries,
            not_before: reminder.not_before,
            snoozed_until: reminder.snoozed,
            sent_at: reminder.sent,
            failure: reminder.failure.clone(),
        }
    }
}

impl From<&record::Formulation> for Formulation {
    fn from(kept: &record::Formulation) -> Self {
        Self {
            name: kept.name.clone(),
            group: Some(kept.group.0),
            items: kept.recipe.items.clone(),
            product: kept.recipe.product.clone(),
            allergens: kept.recipe.allergens.clone(),
            unnamed: kept.recipe.unnamed,
            copied_from: kept.recipe.after.as_ref().map(|after| after.name.clone()),
            saved_at: kept.saved_at,
            shared_at: kept.shared_at,
        }
    }
}

impl From<&record::Helper> for Helping {
    fn from(helper: &record::Helper) -> Self {
        Self { batch: helper.batch.0, invited_at: helper.invited_at, accepted_at: helper.accepted_at }
    }
}

impl From<&record::Outgoing> for Message {
    fn from(outgoing: &record::Outgoing) -> Self {
        Self {
            batch: outgoing.batch.map(|batch| batch.0),
            due: outgoing.due,
            is_sent: outgoing.state == OutgoingState::Sent,
        }
    }
}
