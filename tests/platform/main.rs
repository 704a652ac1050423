//! The stand-in of the chat platform, tried with the chat library's own client.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

#[path = "../support/mod.rs"]
mod support;

mod access;
mod assistant;
mod away;
mod bad_input;
mod bad_presses;
mod both_fronts;
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
mod enclosed;
mod erased;
mod files;
mod first_contact;
mod forms;
mod forum;
mod gateway;
mod greeting;
mod group;
mod hostile;
mod http_faults;
mod import;
mod languages;
mod late;
mod limiter;
mod live_card;
mod lost_places;
mod members;
mod newcomer;
mod pace;
mod paper;
mod pictures;
mod program;
mod readings;
mod refusals;
#[path = "../support/rows.rs"]
mod rows;
mod story;
mod strangers;
