//! A member's line turned into typed items. (being written)
pub(in crate::command) mod cursor;
pub(in crate::command) mod token;
