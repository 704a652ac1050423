//! `/me export`: everything that is kept about a member, as one JSON text.

use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::spec::Spec;
use crate::record::{Event, MemberId};
use crate::reply::{Reply, say};

/// `/me export`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "export",
    aliases: &[],
    summary: "everything that is kept about you, as one JSON text",
    options: &[],
    examples: ["me export", "/me export"],
    private: true,
};

/// A request for everything.
#[derive(Debug, Clone, Copy)]
pub struct MeExport;

impl MeExport {
    /// Carries it out.
    pub async fn perform(self, services: &Services, asking: &Asking) -> Outcome {
        let me = asking.member.id;
        let mut everything = services.store.everything_of(me).await?;
        everything.entries.iter_mut().for_each(|entry| leave_others_out(entry, me));
        let text = serde_json::to_string_pretty(&everything)
            .map_err(|error| CommandError::Internal(format!("an export cannot be written: {error}")))?;
        let mut reply = Reply::new("me export", say("me.export.headline", &[]));
        reply.lines.push(text);
        Ok(Done::reply(reply))
    }
}

/// What a helper wrote into one's batch is part of the batch; who it was and their own words are theirs.
fn leave_others_out(entry: &mut Event, me: MemberId) {
    if entry.author != Some(me) {
        entry.author = None;
        entry.typed.clear();
    }
}
