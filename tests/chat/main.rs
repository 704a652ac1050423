//! Conversations.

mod store_failures;
mod store_properties;
mod store_story;
//! Tests of the whole program: the record, the conversation, the door for scripts.

mod remind;
mod store_world;
