//! Conversations.
