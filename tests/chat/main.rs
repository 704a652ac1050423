//! Conversations.

mod intake;
mod remind;
mod store_failures;
mod store_properties;
mod store_story;
mod store_world;
