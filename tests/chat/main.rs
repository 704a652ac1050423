//! Conversations.


