//! Reminders: what is planned, and what has been sent.

use super::batch::BatchStage;
use super::ids::{BatchId, MemberId, ReminderId};
use chrono::{DateTime, NaiveDateTime, Utc};
use serde::{Deserialize, Serialize};

/// What a reminder is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReminderKind {
    /// Measure the pH.
    PhCheck,
    /// Weigh the pieces.
    Weigh,
    /// Turn the bag in the cure.
    TurnCureBag,
    /// The cure is done.
    CureDone,
    /// The rest after the cure is done.
    RestDone,
    /// A piece has lost what it was to lose.
    TargetReached,
    /// Most of the degree-hours are spent.
    DegreeHoursNearlySpent,
    /// The member's own.
    Own,
}

impl ReminderKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::PhCheck,
        Self::Weigh,
        Self::TurnCureBag,
        Self::CureDone,
        Self::RestDone,
        Self::TargetReached,
        Self::DegreeHoursNearlySpent,
        Self::Own,
    ];

    /// A stable word, as kept and as scripts see it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::PhCheck => "ph_check",
            Self::Weigh => "weigh",
            Self::TurnCureBag => "turn_cure_bag",
            Self::CureDone => "cure_done",
            Self::RestDone => "rest_done",
            Self::TargetReached => "target_reached",
            Self::DegreeHoursNearlySpent => "degree_hours_nearly_spent",
            Self::Own => "own",
        }
    }

    /// The stage of a batch that asks for it; `None` for a member's own.
    pub const fn stage(self) -> Option<BatchStage> {
        match self {
            Self::PhCheck | Self::DegreeHoursNearlySpent => Some(BatchStage::Fermenting),
            Self::TurnCureBag | Self::CureDone => Some(BatchStage::Curing),
            Self::RestDone => Some(BatchStage::Resting),
            Self::Weigh | Self::TargetReached => Some(BatchStage::Drying),
            Self::Own => None,
        }
    }

    /// Whether the clock of a fermentation decides by it, so that no pause holds it back.
    pub const fn cannot_wait(self) -> bool {
        matches!(self, Self::PhCheck | Self::DegreeHoursNearlySpent)
    }

    /// Reads the word.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// A reminder as the plan of a batch asks for it. Unique by batch, kind and occurrence, not by time: back-dating
/// moves it instead of planning a second one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlannedReminder {
    /// What for.
    pub kind: ReminderKind,
    /// Which one of its kind, from 0.
    pub occurrence: u32,
    /// When.
    pub due: DateTime<Utc>,
    /// What it says.
    pub text: String,
}

/// Where a reminder stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReminderState {
    /// Waiting for its time.
    Scheduled,
    /// Taken by a tick, not yet known to be sent.
    Claimed,
    /// Sent.
    Sent,
    /// Given up after too many tries.
    GaveUp,
    /// No longer wanted.
    Withdrawn,
    /// Taken back by the member: no plan brings it back.
    Cancelled,
}

/// A reminder that is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reminder {
    /// Number.
    pub id: ReminderId,
    /// Who is reminded.
    pub member: MemberId,
    /// Of which batch, if any.
    pub batch: Option<BatchId>,
    /// What for.
    pub kind: ReminderKind,
    /// Which one of its kind.
    pub occurrence: u32,
    /// When.
    pub due: DateTime<Utc>,
    /// What it says.
    pub text: String,
    /// Comes again after so many days.
    pub every_days: Option<u32>,
    /// When one that comes again came first, as the clock of whom it goes to showed it. Later times count from here,
    /// so that an hour the clocks skip moves one of them and not all that follow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor: Option<NaiveDateTime>,
    /// Where it stands.
    pub state: ReminderState,
    /// How often sending was tried.
    pub tries: u32,
    /// What it waits for though it is due: the end of a night, or the pause after a try that failed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_before: Option<DateTime<Utc>>,
    /// Until when the member put it off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub snoozed: Option<DateTime<Utc>>,
    /// When it was last sent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sent: Option<DateTime<Utc>>,
    /// Why the last try failed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
}

impl Reminder {
    /// A member's own, about no batch, once.
    pub const fn own(id: ReminderId, member: MemberId, due: DateTime<Utc>, text: String) -> Self {
        Self {
            id,
            member,
            batch: None,
            kind: ReminderKind::Own,
            occurrence: 0,
            due,
            text,
            every_days: None,
            anchor: None,
            state: ReminderState::Scheduled,
            tries: 0,
            not_before: None,
            snoozed: None,
            sent: None,
            failure: None,
        }
    }

    /// When it is wanted: its time, or the later one that the member put it off to.
    pub fn wanted_at(&self) -> DateTime<Utc> {
        self.snoozed.map_or(self.due, |snoozed| snoozed.max(self.due))
    }

    /// When it goes out at the earliest.
    pub fn goes_at(&self) -> DateTime<Utc> {
        let wanted = self.wanted_at();
        self.not_before.map_or(wanted, |not_before| not_before.max(wanted))
    }
}
