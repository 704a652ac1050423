//! What is kept, and what it adds up to.
//!
//! The record is a list of [`event::Event`]s that is only ever appended to; undoing and changing append too.
//! What a batch is at a moment is [`state::BatchState`], a pure fold over its events sorted by time and number,
//! so late, back-dated and corrected entries give the same record in whatever order they arrive.

pub mod appraisal;
pub mod batch;
pub mod chat;
pub mod climate;
pub mod correction;
pub mod event;
pub mod formulation;
pub mod ids;
pub mod live_card;
pub mod logged;
pub mod member;
pub mod meter;
pub mod outgoing;
pub mod reading;
pub mod reminder;
pub mod span;
pub mod state;
pub mod storage;

pub use appraisal::{Appraisal, Rating};
pub use batch::{BatchKind, BatchPlan, BatchStage, Dose, Meat, PieceFate, PieceHung};
pub use chat::{Card, Letter, Place, PlaceKind};
pub use event::{Event, Happening, Subject};
pub use formulation::{CopiedFrom, Formulation, Recipe};
pub use ids::{
    BatchId, CardId, ChamberId, ChatId, EventId, GroupId, MemberId, MeterId, OutgoingId, PieceNumber,
    ReminderId,
};
pub use live_card::LiveCard;
pub use logged::{AirRow, LoggedAir};
pub use member::{
    Chamber, Group, GroupSettings, Helper, Member, MemberSettings, Meter, Pause, QuietHours, Role,
};
pub use outgoing::{Outgoing, OutgoingState};
pub use reading::{Calibration, Instrument, PhReading};
pub use reminder::{PlannedReminder, Reminder, ReminderKind, ReminderState};
pub use span::hours_between;
pub use state::BatchState;
pub use storage::{Storage, StorageKind};
