//! Conversations: dialogues, journeys, the door for scripts, the store, the reminders.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

mod access;
mod bad_input;
mod bad_values;
mod caps;
mod charts;
mod demo;
mod dialogues;
mod door;
mod experience;
mod german_only;
mod intake;
mod languages;
mod naughty;
mod paper;
mod pictures;
mod privacy;
mod readme;
mod record_file;
mod record_file_refused;
mod record_file_stories;
mod record_tables;
mod remind;
mod restore_command;
#[path = "../support/rows.rs"]
mod rows;
mod same_question;
mod stale;
mod store_failures;
mod store_live_cards;
mod store_logged;
mod store_meters;
mod store_migrations;
mod store_properties;
mod store_story;
mod store_world;
mod suggestions;
