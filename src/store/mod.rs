//! The only place with SQL.

pub mod change;

pub use change::{BatchWrite, Change, ReminderPlan, ShareWrite};
