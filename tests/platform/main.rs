//! The stand-in of the chat platform, tried with the chat library's own client.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

#[path = "../support/mod.rs"]
mod support;

mod access;
mod assistant;
mod away;
mod bad_input;
mod bad_presses;
mod catching_up;
mod charts;
mod client;
mod commands;
mod connection;
mod content;
mod deadlines;
mod deleted;
mod delivery;
mod edits;
mod files;
mod first_contact;
mod gateway;
mod http_faults;
mod limiter;
mod lost_places;
mod members;
mod program;
mod readings;
mod refusals;
#[path = "../support/rows.rs"]
mod rows;
mod story;
