//! `/chamber list`: the member's chambers, their air, and what hangs in each.

use super::air::Air;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::lookup::typable;
use crate::command::spec::Spec;
use crate::record::Chamber;
use crate::reply::{Reply, say};

/// `/chamber list`
pub static SPEC: Spec = Spec {
    root: "chamber",
    verb: "list",
    aliases: &[],
    summary: "your chambers: last reading, setting, and what hangs there",
    options: &[],
    examples: ["chamber list", "/chamber list"],
    private: true,
};

/// A list of chambers.
#[derive(Debug, Clone, Copy)]
pub struct ChamberList;

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

impl ChamberList {
    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let chambers = services.store.chambers_of(asking.member.id).await?;
        let headline = match chambers.len() {
            0 => say("chamber.list.none", &[]),
            1 => say("chamber.list.one", &[]),
            count => say("chamber.list.several", &[("count", &count.to_string())]),
        };
        let mut reply = Reply::new("chamber list", headline);
        for chamber in chambers.iter().take(MOST) {
            reply.lines.extend(lines(chamber, services, asking).await?);
        }
        if chambers.len() > MOST {
            let left = (chambers.len() - MOST).to_string();
            reply.lines.push(say("chamber.list.more", &[("count", &left)]));
        }
        reply.next = Some(match chambers.as_slice() {
            [] | [_] => say("chamber.list.next_add", &[]),
            [.., last] => say("chamber.list.next_move", &[("name", &typable(&last.name))]),
        });
        Ok(Done::reply(reply))
    }
}

/// A chamber in a few lines: what was read, what it is set to, each batch in it.
async fn lines(chamber: &Chamber, services: &Services, asking: &Asking) -> Result<Vec<String>, CommandError> {
    let air = Air::at(services, chamber.id, asking.now).await?;
    let read = air.read_shown(asking).unwrap_or_else(|| say("chamber.list.no_reading", &[]));
    let mut lines = vec![say("chamber.list.line", &[("name", &chamber.name), ("read", &read)])];
    lines.extend(air.set_shown(asking).map(|set| say("chamber.list.set", &[("set", &set)])));
    let batches = services.store.open_batches_in(chamber.id).await?;
    let own: Vec<_> = batches.iter().filter(|batch| batch.owner == asking.member.id).collect();
    lines.extend(own.iter().map(|batch| {
        let holes = [("batch", &*batch.id.to_string()), ("name", &batch.name), ("stage", batch.stage.word())];
        say("chamber.list.batch", &holes)
    }));
    if own.is_empty() {
        lines.push(say("chamber.list.empty", &[]));
    }
    Ok(lines)
}
