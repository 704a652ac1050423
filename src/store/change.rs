//! Everything one request wants kept. Kept whole, or not at all.

use crate::record::{
    BatchId, BatchState, Card, Chamber, ChamberId, ChatId, Event, EventId, Formulation, Group, GroupId,
    Helper, LiveCard, LoggedAir, Member, MemberId, Meter, Outgoing, Place, PlannedReminder, Reminder,
    ReminderId,
};
use crate::store::Settled;
use chrono::{DateTime, Utc};

/// A batch's new state and the version it was computed from (0 for a new batch).
#[derive(Debug, Clone, PartialEq)]
pub struct BatchWrite {
    /// The state to keep.
    pub state: BatchState,
    /// The version that was read; if it moved meanwhile, the change is refused as a conflict.
    pub computed_from: i64,
}

/// The whole plan of a batch's reminders: unsent ones move to it, those no longer in it are withdrawn.
#[derive(Debug, Clone, PartialEq)]
pub struct ReminderPlan {
    /// Which batch.
    pub batch: BatchId,
    /// Who is reminded.
    pub member: MemberId,
    /// Everything that should be waiting from now on.
    pub planned: Vec<PlannedReminder>,
    /// The version of the batch it was computed from (0 for a new batch); if it moved meanwhile, the change is refused
    /// as a conflict.
    pub computed_from: i64,
    /// The chambers whose air it was computed from, each with the newest entry there was (`None`: none). If one was
    /// added meanwhile, the change is refused as a conflict.
    pub air: Vec<(ChamberId, Option<EventId>)>,
}

/// A reminder that a member puts off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Snooze {
    /// Which.
    pub id: ReminderId,
    /// Until when.
    pub until: DateTime<Utc>,
}

/// What becomes of a finished batch that its owner shows to the group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShareWrite {
    /// Which batch.
    pub batch: BatchId,
    /// Shown in which group.
    pub group: GroupId,
    /// By whom.
    pub member: MemberId,
    /// When; `None` takes it off the board again.
    pub shared_at: Option<DateTime<Utc>>,
    /// The record as shown, as plain text lines: it stays as it was when it was shared.
    pub record: String,
}

/// Everything one request wants kept.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Change {
    /// The request's own id: a second change with the same id is not kept twice.
    pub request: Option<String>,
    /// Who made the request: its id is forgotten with them.
    pub requested_by: Option<MemberId>,
    /// Groups that are new or have new settings.
    pub groups: Vec<Group>,
    /// Members that are new or have new settings.
    pub members: Vec<Member>,
    /// Chambers that are new or renamed.
    pub chambers: Vec<Chamber>,
    /// Meters that are new or renamed.
    pub meters: Vec<Meter>,
    /// Entries of the record.
    pub events: Vec<Event>,
    /// Rows of loggers' files, each with its entry among `events`.
    pub logged: Vec<LoggedAir>,
    /// States that follow from them.
    pub batches: Vec<BatchWrite>,
    /// Plans of batches' reminders.
    pub reminder_plans: Vec<ReminderPlan>,
    /// Members' own new reminders.
    pub reminders: Vec<Reminder>,
    /// Reminders a member takes back.
    pub reminders_cancelled: Vec<ReminderId>,
    /// Reminders a member puts off.
    pub reminders_snoozed: Vec<Snooze>,
    /// Messages to send.
    pub outgoing: Vec<Outgoing>,
    /// What became of reminders and messages that were claimed.
    pub settled: Vec<Settled>,
    /// Messages of ours on the chat platform, with the batch each was about.
    pub posted: Vec<(ChatId, BatchId)>,
    /// Places of a chat platform, new or altered.
    pub places: Vec<Place>,
    /// Places with the message up to which everything was dealt with.
    pub seen: Vec<(ChatId, ChatId)>,
    /// What the buttons of answers stand for, new or with other pages.
    pub cards: Vec<Card>,
    /// Cards at the top of batches' threads, new or altered.
    pub live_cards: Vec<LiveCard>,
    /// Pages of answers given before this are let go.
    pub forget_pages_before: Option<DateTime<Utc>>,
    /// Batches shown to a group, or taken off its board.
    pub shares: Vec<ShareWrite>,
    /// Members who were asked to help with a batch, or said yes.
    pub helpers: Vec<Helper>,
    /// Members who help with a batch no longer.
    pub helpers_gone: Vec<(BatchId, MemberId)>,
    /// Recipes that are new, altered, shared or no longer shared.
    pub formulations: Vec<Formulation>,
    /// A member who wants everything of theirs deleted.
    pub erase_member: Option<MemberId>,
    /// A group that let the assistant go long ago: its settings, its board and who was in it are let go.
    pub purge_group: Option<GroupId>,
}

impl Change {
    /// Whether there is nothing to keep.
    pub fn is_empty(&self) -> bool {
        *self == Self { request: self.request.clone(), requested_by: self.requested_by, ..Self::default() }
    }
}
