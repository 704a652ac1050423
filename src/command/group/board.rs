//! `/group board`: the finished batches that members chose to show.

use crate::command::Args;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::batch::cautions::{self, Occasion};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::lookup;
use crate::command::sharing;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::summary;
use crate::command::tap;
use crate::command::time;
use crate::record::{BatchStage, BatchState, MemberId};
use crate::reply::{Question, Reply, say, words};
use crate::store::{Change, Share, ShareWrite};

/// `/group board`
pub static SPEC: Spec = Spec {
    root: "group",
    verb: "board",
    aliases: &[],
    summary: "the batches members chose to show; show one of yours, or take it off",
    options: &[
        maybe("batch", OptionKind::Batch, "a batch on the board, to read its record"),
        maybe("share", OptionKind::Batch, "a finished batch of yours, to show it"),
        maybe("withdraw", OptionKind::Batch, "a batch of yours, to take it off"),
    ],
    examples: ["group board", "group board share:B1"],
    private: false,
};

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

/// What is to be done with the board.
#[derive(Debug, Clone)]
pub enum GroupBoard {
    /// Every shared record, the latest first.
    List,
    /// One record.
    Show(String),
    /// A batch goes on the board.
    Share(String),
    /// A batch comes off the board.
    Withdraw(String),
}

impl GroupBoard {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        match (args.text("batch"), args.text("share"), args.text("withdraw")) {
            (None, None, None) => Ok(Self::List),
            (Some(batch), None, None) => Ok(Self::Show(batch.to_owned())),
            (None, Some(batch), None) => Ok(Self::Share(batch.to_owned())),
            (None, None, Some(batch)) => Ok(Self::Withdraw(batch.to_owned())),
            _ => Err(args.error(Code::UnknownOption, say("group.board.one_at_a_time", &[]))),
        }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::List => list(services, asking).await,
            Self::Show(name) => show(name, services, asking).await,
            Self::Share(name) => share(name, services, asking).await,
            Self::Withdraw(name) => withdraw(name, services, asking).await,
        }
    }
}

async fn list(services: &Services, asking: &Asking) -> Outcome {
    let shares = services.store.shares_of_group(asking.group.id).await?;
    let headline = match shares.len() {
        0 => say("group.board.none", &[]),
        1 => say("group.board.one", &[]),
        count => say("group.board.several", &[("count", &count.to_string())]),
    };
    let mut reply = Reply::new("group board", headline);
    for share in shares.iter().take(MOST) {
        let Some(batch) = services.store.batch_summary(share.batch).await? else {
            continue;
        };
        let holes = [
            ("batch", &*batch.id.to_string()),
            ("name", &batch.name),
            ("member", &member_name(share.member, services, asking)),
            ("when", &time::shown(share.shared_at, asking.now, asking.zone())),
        ];
        reply.lines.push(say("group.board.line", &holes));
    }
    if shares.len() > MOST {
        let left = (shares.len() - MOST).to_string();
        reply.lines.push(say("group.board.more", &[("count", &left)]));
    }
    reply.next = Some(match shares.first() {
        None => say("group.board.next_none", &[]),
        Some(share) => say("group.board.next", &[("batch", &share.batch.to_string())]),
    });
    Ok(Done::reply(reply))
}

async fn show(name: &str, services: &Services, asking: &Asking) -> Outcome {
    let state = lookup::named_batch(services, asking, name, Deed::ReadRecord).await?;
    let share = shared(&state, services, asking).await?;
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("member", &member_name(share.member, services, asking)),
        ("when", &time::shown(share.shared_at, asking.now, asking.zone())),
    ];
    let mut reply = Reply::new("group board", say("group.board.shown", &holes));
    reply.lines.extend(share.record.lines().map(str::to_owned));
    cautions::add(&mut reply, &state.plan, Occasion::Sharing);
    reply.judges = true;
    Ok(Done::reply(reply))
}

async fn share(name: &str, services: &Services, asking: &Asking) -> Outcome {
    let state = lookup::named_batch(services, asking, name, Deed::Share).await?;
    may_be_shown(&state, services, asking).await?;
    let before = services.store.share_of(state.id).await?;
    let record = summary::record_lines(&state, services, asking).await?;
    if !asking.confirmed {
        return Ok(Done::question(confirm(&state, before.is_some(), &record, asking)));
    }
    let write = sharing::write(&state, &record, asking);
    let batch = state.id.to_string();
    let holes = [("batch", &*batch), ("name", &state.plan.name)];
    let mut reply = Reply::new("group board", say("group.board.share_done", &holes));
    cautions::add(&mut reply, &state.plan, Occasion::Sharing);
    reply.taps.push(tap::withdraw(state.id));
    reply.next = Some(say("group.board.share_next", &[("batch", &batch)]));
    Ok(Done::keeping(Change { shares: vec![write], ..Change::default() }, reply))
}

/// Only what is finished is shown, and nothing that went over a published limit.
async fn may_be_shown(state: &BatchState, services: &Services, asking: &Asking) -> Result<(), CommandError> {
    let batch = state.id.to_string();
    let reached = state.stage().0;
    if reached != BatchStage::Finished {
        let holes = [("batch", &*batch), ("name", &state.plan.name), ("stage", &*words::stage(reached))];
        let (key, example) = if reached == BatchStage::Discarded {
            ("group.board.discarded", "batch list which:all".to_owned())
        } else {
            ("group.board.not_finished", format!("batch finish batch:{batch}"))
        };
        return Err(UserError::new(Code::DoesNotFit, say(key, &holes), example).into());
    }
    sharing::nothing_over(state, services, asking).await
}

/// Asks, with the record as the group would see it.
fn confirm(state: &BatchState, is_shown: bool, record: &[String], asking: &Asking) -> Question {
    let key = if is_shown { "group.board.share_again" } else { "group.board.share_confirm" };
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("group", &asking.group.name),
        ("member", &asking.member.name),
    ];
    Question {
        code: "confirm_share",
        text: std::iter::once(say(key, &holes)).chain(record.iter().cloned()).collect::<Vec<_>>().join("\n"),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}

async fn withdraw(name: &str, services: &Services, asking: &Asking) -> Outcome {
    let state = lookup::named_batch(services, asking, name, Deed::ReadRecord).await?;
    let share = shared(&state, services, asking).await?;
    let batch = state.id.to_string();
    let thing = Thing::batch(&state, Vec::new(), Some(&share));
    if !may(Actor::of(asking), Deed::TakeOffBoard, &thing) {
        let sentence = say("group.board.not_yours", &[("batch", &batch), ("name", &state.plan.name)]);
        return Err(UserError::new(Code::NotYours, sentence, "group board").into());
    }
    let write = ShareWrite {
        batch: state.id,
        group: share.group,
        member: share.member,
        shared_at: None,
        record: String::new(),
    };
    let holes = [("batch", &*batch), ("name", &state.plan.name)];
    let mut reply = Reply::new("group board", say("group.board.withdrawn", &holes));
    if share.member == asking.member.id {
        reply.taps.push(tap::share(state.id));
        reply.next = Some(say("group.board.withdrawn_next", &[("batch", &batch)]));
    }
    Ok(Done::keeping(Change { shares: vec![write], ..Change::default() }, reply))
}

/// The batch's place on this group's board.
async fn shared(state: &BatchState, services: &Services, asking: &Asking) -> Result<Share, CommandError> {
    let found = services.store.share_of(state.id).await?;
    found.filter(|share| share.group == asking.group.id).ok_or_else(|| {
        let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
        UserError::new(Code::NoSuchThing, say("group.board.not_there", &holes), "group board").into()
    })
}

fn member_name(member: MemberId, services: &Services, asking: &Asking) -> String {
    let found = services.store.member(member, asking.group.id);
    found.map_or_else(|| say("group.board.former_member", &[]), |member| member.name)
}
