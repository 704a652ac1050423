//! `/batch list`: what is open, and what was.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::reply::{Reply, say, words};

/// `/batch list`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "list",
    aliases: &[],
    summary: "your batches, open ones first",
    options: &[maybe(
        "which",
        OptionKind::Choice(&["open", "all", "group"]),
        "open, all of yours, or the group's open ones",
    )],
    examples: ["batch list", "batch list which:all"],
    private: false,
};

/// Which batches are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    Open,
    All,
    Group,
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
            "group" => Some(Which::Group),
            _ => None,
        })?;
        Ok(Self { which: which.unwrap_or(Which::Open) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let batches = match self.which {
            Which::Open => services.store.open_batches(asking.member.id).await?,
            Which::All => services.store.batches_of(asking.member.id).await?,
            Which::Group => {
                let mut all = services.store.batches_of_group(asking.group.id).await?;
                all.retain(|batch| batch.is_open);
                all
            }
        };
        let count = batches.len();
        let headline = match count {
            0 => say("batch.list.none", &[]),
            1 => say("batch.list.one", &[]),
            _ => say("batch.list.several", &[("count", &count.to_string())]),
        };
        let mut reply = Reply::new("batch list", headline);
        for batch in batches.iter().take(MOST) {
            let since = time::shown(batch.last_at, asking.now, asking.zone());
            let holes = [
                ("batch", &*batch.id.to_string()),
                ("name", &batch.name),
                ("stage", &*words::stage(batch.stage)),
                ("since", &since),
            ];
            reply.lines.push(say("batch.list.line", &holes));
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
