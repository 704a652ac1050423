//! The stand-in of the chat platform, tried with the chat library's own client.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

#[path = "../support/mod.rs"]
mod support;

mod assistant;
mod client;
mod first_contact;
mod story;
