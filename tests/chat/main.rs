//! Conversations.

mod remind;
mod store_failures;
mod store_properties;
mod store_story;
mod store_world;
//! Tests of what a member can say and see.
mod intake;
