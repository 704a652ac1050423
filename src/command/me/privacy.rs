//! `/me privacy`: what is kept, who sees it, how to take it along and how to erase it.

use crate::command::asking::Done;
use crate::command::spec::Spec;
use crate::reply::{Reply, say};

/// `/me privacy`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "privacy",
    aliases: &[],
    summary: "what is kept about you, who sees it, how to export and erase it",
    options: &[],
    examples: ["me privacy", "/me privacy"],
    private: true,
};

/// A look at what is kept.
#[derive(Debug, Clone, Copy)]
pub struct MePrivacy;

impl MePrivacy {
    /// Carries it out.
    pub fn perform(self) -> Done {
        let mut reply = Reply::new("me privacy", say("me.privacy.headline", &[]));
        reply.lines = vec![
            say("me.privacy.kept", &[]),
            say("me.privacy.chat", &[]),
            say("me.privacy.photos", &[]),
            say("me.privacy.corrections", &[]),
            say("me.privacy.you", &[]),
            say("me.privacy.helpers", &[]),
            say("me.privacy.places", &[]),
            say("me.privacy.board", &[]),
            say("me.privacy.steward", &[]),
            say("me.privacy.operator", &[]),
            say("me.privacy.group", &[]),
            say("me.privacy.erasing", &[]),
            say("erasing.threads_private", &[]),
            say("me.privacy.backups", &[]),
        ];
        reply.next = Some(say("me.privacy.next", &[]));
        Done::reply(reply)
    }
}
