//! The front end on Discord: the only place that knows serenity.
//!
//! - [`settings`] and [`start`]: what the operator sets, and the running of it.
//! - `register`: slash commands, from the one table of commands.
//! - `inbound`, `slash`, `message`, `press`, `suggest`: what members do becomes a line at the desk.
//! - `attached`: the files of a message, looked at and never fetched.
//! - `edited`: what becomes of readings whose message is edited or deleted.
//! - `layout`, `question`, `form`, `body`, `pages`, `escape`, `limits`: what the desk answers becomes a message inside the platform's
//!   limits.
//! - `live_card`, `live_trouble`, `forum`, `notices`: the card at the top of a batch's thread, kept current; its post's
//!   tags; what its owner is told where that cannot be.
//! - `courier`, `arrived`, `threads`, `catch_up`: what leaves outside an answer, and what was written while nobody listened.

mod answering;
mod api;
mod arrived;
mod attached;
mod body;
mod buttons;
mod catch_up;
pub mod check;
mod courier;
mod edited;
mod enclosed;
mod errands;
mod escape;
mod fetched;
mod form;
mod forum;
mod front;
mod groups;
mod handler;
mod inbound;
mod layout;
mod limits;
mod live_card;
mod live_trouble;
mod message;
mod needs;
mod notices;
mod pages;
mod post;
mod press;
mod question;
mod recent;
#[cfg(test)]
mod recorded;
mod register;
mod rights;
pub mod settings;
mod slash;
pub mod start;
mod starts;
mod suggest;
mod threads;
mod trouble;

pub use settings::{Address, Settings, SettingsError, Token};
pub use start::{Ended, runtime, serve};
