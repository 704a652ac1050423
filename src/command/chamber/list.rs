//! `/chamber list`: the member's chambers, their air, and what hangs in each.

use super::air::Air;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::lookup::typable;
use crate::command::spec::Spec;
use crate::record::Chamber;
use crate::reply::{Reply, say, words};
use crate::store::BatchSummary;

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
        let open = services.store.open_batches(asking.member.id).await?;
        for chamber in chambers.iter().take(MOST) {
            reply.lines.extend(lines(chamber, &open, services, asking).await?);
        }
        if chambers.len() > MOST {
            let left = (chambers.len() - MOST).to_string();
            reply.lines.push(say("chamber.list.more", &[("count", &left)]));
        }
        reply.next = Some(next(&chambers, &open));
        Ok(Done::reply(reply))
    }
}

/// A batch can go where it is not yet; with one chamber there is nowhere to go.
fn next(chambers: &[Chamber], open: &[BatchSummary]) -> String {
    let can_go = |batch: &BatchSummary| {
        let other = chambers.iter().find(|chamber| chamber.id != batch.chamber)?;
        Some((batch.id.to_string(), typable(&other.name)))
    };
    match open.iter().find_map(can_go) {
        Some((batch, name)) => say("chamber.list.next_move", &[("batch", &batch), ("name", &name)]),
        None => say("chamber.list.next_add", &[]),
    }
}

/// A chamber in a few lines: what was read, what it is set to, each batch in it.
async fn lines(
    chamber: &Chamber,
    open: &[BatchSummary],
    services: &Services,
    asking: &Asking,
) -> Result<Vec<String>, CommandError> {
    let air = Air::at(services, chamber.id, asking.now).await?;
    let read = air.read_shown(asking).unwrap_or_else(|| say("chamber.list.no_reading", &[]));
    let mut lines = vec![say("chamber.list.line", &[("name", &chamber.name), ("read", &read)])];
    lines.extend(air.set_shown(asking).map(|set| say("chamber.list.set", &[("set", &set)])));
    let inside: Vec<_> = open.iter().filter(|batch| batch.chamber == chamber.id).collect();
    lines.extend(inside.iter().map(|batch| {
        let holes = [
            ("batch", &*batch.id.to_string()),
            ("name", &batch.name),
            ("stage", &*words::stage(batch.stage)),
        ];
        say("chamber.list.batch", &holes)
    }));
    if inside.is_empty() {
        lines.push(say("chamber.list.empty", &[]));
    }
    Ok(lines)
}
