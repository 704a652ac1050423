//! Conversations.
//! Tests of the whole program: the record, the conversation, the door for scripts.

mod store_failures;
mod store_properties;
mod store_story;
mod store_world;
