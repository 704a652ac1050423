//! The front end in a shell: the chat, the door for scripts, the demonstration, and the player of dialogues.
//!
//! It knows `desk` and `reply`, lays answers out as text or JSON, and is the only place that prints.
#![expect(clippy::print_stdout, reason = "a terminal prints")]

pub mod ask;
pub mod chat;
pub mod commands;
pub mod demo;
pub mod dialogue;
pub mod due;
mod files;
mod opened;
mod picture;
pub mod restore;

/// The one group of the terminal.
pub const HOME_GROUP: &str = "home";
