//! `/batch list`: what is open, and what was.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::reply::{Reply, say, words};
use crate::store::BatchSummary;

/// `/batch list`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "list",
    aliases: &[],
    summary: "your batches, and those you help with",
    options: &[maybe("which", OptionKind::Choice(&["open", "all"]), "only open ones, or all")],
    examples: ["batch list", "batch list which:all"],
    private: false,
};

/// Which batches are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    Open,
    All,
}

/// A list of batches.
#[derive(Debug, Clone)]
pub struct BatchList {
    which: Which,
}

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

impl BatchList {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let which = args.choice("which", |word| match word {
            "open" => Some(Which::Open),
            "all" => Some(Which::All),
            _ => None,
        })?;
        Ok(Self { which: which.unwrap_or(Which::Open) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let mut batches = services.store.batches_of(asking.member.id).await?;
        let own = batches.len();
        batches.extend(services.store.batches_helped(asking.member.id).await?);
        let mut batches: Vec<(BatchSummary, bool)> =
            batches.into_iter().enumerate().map(|(place, batch)| (batch, place >= own)).collect();
        batches.retain(|(batch, _)| batch.is_open || self.which == Which::All);
        let count = batches.len();
        let headline = match count {
            0 => say("batch.list.none", &[]),
            1 => say("batch.list.one", &[]),
            _ => say("batch.list.several", &[("count", &count.to_string())]),
        };
        let mut reply = Reply::new("batch list", headline);
        for (batch, is_helped) in batches.iter().take(MOST) {
            let since = time::shown(batch.last_at, asking.now, asking.zone());
            let holes = [
                ("batch", &*batch.id.to_string()),
                ("name", &batch.name),
                ("stage", &*words::stage(batch.stage)),
                ("since", &since),
            ];
            let key = if *is_helped { "batch.list.line_helped" } else { "batch.list.line" };
            reply.lines.push(say(key, &holes));
        }
        if count > MOST {
            reply.lines.push(say("batch.list.more", &[("count", &(count - MOST).to_string())]));
        }
        if count == 0 {
            reply.next = Some(say("batch.list.next_none", &[]));
        }
        Ok(Done::reply(reply))
    }
}
