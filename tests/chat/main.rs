//! Conversations.

mod bad_input;
mod dialogues;
mod door;
mod intake;
mod readme;
mod remind;
mod store_failures;
mod store_properties;
mod store_story;
mod store_world;
