//! `/me erase`: everything of a member's is deleted.

use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::spec::Spec;
use crate::record::{Member, Role};
use crate::reply::{Question, Reply, say};
use crate::store::Change;

/// `/me erase`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "erase",
    aliases: &[],
    summary: "delete everything of yours; asked about first",
    options: &[],
    examples: ["me erase", "/me erase"],
    private: true,
};

/// A request to be forgotten.
#[derive(Debug, Clone, Copy)]
pub struct MeErase;

impl MeErase {
    /// Carries it out.
    pub async fn perform(self, services: &Services, asking: &Asking) -> Outcome {
        let heirs = heirs(services, asking);
        if !asking.confirmed {
            let batches = services.store.batches_of(asking.member.id).await?.len();
            return Ok(Done::question(confirm(batches, &heirs)));
        }
        let mut reply = Reply::new("me erase", say("me.erase.done", &[]));
        reply.lines.push(say("me.erase.stays", &[]));
        if services.store.has_threads(asking.member.id).await? {
            reply.lines.push(say("erasing.threads", &[]));
        }
        reply.lines.push(say("me.erase.backups", &[]));
        reply.lines.extend(heirs.iter().map(|heir| say("me.erase.heir", &[("name", &heir.name)])));
        let change = Change { members: heirs, erase_member: Some(asking.member.id), ..Change::default() };
        Ok(Done::keeping(change, reply))
    }
}

fn confirm(batches: usize, heirs: &[Member]) -> Question {
    let mut text = say("me.erase.confirm", &[("batches", &batches.to_string())]);
    for heir in heirs {
        text.push(' ');
        text.push_str(&say("me.erase.confirm_heir", &[("name", &heir.name)]));
    }
    Question {
        code: "confirm_erase",
        text,
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}

/// A group is not left without a steward: where the member is its only one, who joined next becomes it.
fn heirs(services: &Services, asking: &Asking) -> Vec<Member> {
    let me = asking.member.id;
    let memberships = services.store.memberships_of(me);
    let stewarded = memberships.iter().filter(|membership| membership.role == Role::Steward);
    let heir = |membership: &Member| {
        let others: Vec<Member> = services
            .store
            .members_of_group(membership.group)
            .into_iter()
            .filter(|member| member.id != me)
            .collect();
        if others.iter().any(|member| member.role == Role::Steward) {
            return None;
        }
        others.into_iter().next().map(|member| Member { role: Role::Steward, ..member })
    };
    stewarded.filter_map(heir).collect()
}
