//! The record of one member as a file to take along: JSON in a shape of its own, with a version, so that what moves
//! inside this program does not move there. `record.schema.json` beside this file describes it; the tests hold every
//! export against that.
//!
//! What batches add up to is not in it: it is folded anew from the entries.

mod check;
mod document;
mod entry;
mod from_member;
mod from_record;
mod into_record;
mod logged;
mod moments;
mod parts;
mod read;
mod values;
mod written;

pub use check::{Misfit, Thing};
pub use document::{
    Formulation, Group, Helping, LoggedRow, Message, Named, Owner, Pause, RecordFile, Reminder,
    ReminderStanding, Settings, Share,
};
pub use entry::{About, By, Entry, What};
pub use into_record::Owned;
pub use moments::Moment;
pub use read::{Fault, read};

/// What `format` says.
pub const FORMAT: &str = "tallyhook-record";
/// The version that is written, and the newest that is read.
pub const VERSION: u32 = 1;
/// The schema of what is written.
pub const SCHEMA: &str = include_str!("record.schema.json");
