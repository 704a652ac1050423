//! `/formulation list`: a member's kept recipes, and those that others share.

use super::kept;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::lookup::typable;
use crate::command::spec::Spec;
use crate::command::time;
use crate::record::Formulation;
use crate::reply::{Reply, say};

/// `/formulation list`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "list",
    aliases: &[],
    summary: "your kept recipes, and those that members share",
    options: &[],
    examples: ["formulation list", "/formulation list"],
    private: true,
};

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

/// A request for every recipe.
#[derive(Debug, Clone, Copy)]
pub struct FormulationList;

impl FormulationList {
    /// Carries it out.
    pub async fn perform(self, services: &Services, asking: &Asking) -> Outcome {
        let own = services.store.formulations_of(asking.member.id).await?;
        let mut shared = services.store.formulations_shared(asking.group.id).await?;
        shared.retain(|kept| kept.owner != asking.member.id);
        let holes = [("own", &*own.len().to_string()), ("shared", &shared.len().to_string())];
        let is_empty = own.is_empty() && shared.is_empty();
        let key = if is_empty { "formulation.list.none" } else { "formulation.list.headline" };
        let mut reply = Reply::new("formulation list", say(key, &holes));
        let all: Vec<&Formulation> = own.iter().chain(&shared).collect();
        reply.lines.extend(all.iter().take(MOST).map(|kept| line(kept, services, asking)));
        if all.len() > MOST {
            let left = (all.len() - MOST).to_string();
            reply.lines.push(say("formulation.list.more", &[("count", &left)]));
        }
        reply.next = Some(match all.first() {
            None => say("formulation.list.next_none", &[]),
            Some(kept) => say("formulation.list.next", &[("name", &typable(&kept.name))]),
        });
        Ok(Done::reply(reply))
    }
}

fn line(kept: &Formulation, services: &Services, asking: &Asking) -> String {
    let own_and_shared = kept.owner == asking.member.id && kept.shared_at.is_some();
    let key = if own_and_shared { "formulation.list.line_shared" } else { "formulation.list.line" };
    let holes = [
        ("name", &*kept::by(kept, services, asking)),
        ("count", &kept::ingredients(kept)),
        ("when", &time::shown(kept.saved_at, asking.now, asking.zone())),
    ];
    say(key, &holes)
}
