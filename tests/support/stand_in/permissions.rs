//! The permission bits the stand-in knows (the platform's reference, "Permissions").

pub const ADD_REACTIONS: u64 = 1 << 6;
pub const ADMINISTRATOR: u64 = 1 << 3;
pub const MANAGE_GUILD: u64 = 1 << 5;
pub const VIEW_CHANNEL: u64 = 1 << 10;
pub const SEND_MESSAGES: u64 = 1 << 11;
pub const MANAGE_MESSAGES: u64 = 1 << 13;
pub const EMBED_LINKS: u64 = 1 << 14;
pub const ATTACH_FILES: u64 = 1 << 15;
pub const READ_MESSAGE_HISTORY: u64 = 1 << 16;
pub const MENTION_EVERYONE: u64 = 1 << 17;
pub const USE_APPLICATION_COMMANDS: u64 = 1 << 31;
pub const MANAGE_THREADS: u64 = 1 << 34;
pub const CREATE_PUBLIC_THREADS: u64 = 1 << 35;
pub const SEND_MESSAGES_IN_THREADS: u64 = 1 << 38;

/// What an ordinary member may do.
pub const MEMBER: u64 = VIEW_CHANNEL
    | SEND_MESSAGES
    | SEND_MESSAGES_IN_THREADS
    | EMBED_LINKS
    | ATTACH_FILES
    | READ_MESSAGE_HISTORY
    | ADD_REACTIONS
    | CREATE_PUBLIC_THREADS
    | USE_APPLICATION_COMMANDS;

/// What an application is usually invited with.
pub const BOT: u64 = VIEW_CHANNEL
    | SEND_MESSAGES
    | SEND_MESSAGES_IN_THREADS
    | EMBED_LINKS
    | ATTACH_FILES
    | READ_MESSAGE_HISTORY
    | ADD_REACTIONS
    | CREATE_PUBLIC_THREADS;

/// What somebody who runs a server may do.
pub const STEWARD: u64 = MEMBER | MANAGE_GUILD | MANAGE_MESSAGES | MANAGE_THREADS;
