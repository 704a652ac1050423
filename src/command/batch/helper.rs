//! `/batch helper`: a member whom the owner lets log into one batch, once they have said yes.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::line::shown;
use crate::command::lookup::{self, Found, typable};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::record::{BatchState, ChatId, Helper, Member, MemberId, Outgoing};
use crate::reply::{Language, Reply, in_language, say};
use crate::store::{Change, fold};

/// `/batch helper`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "helper",
    aliases: &["helpers"],
    summary: "let another member log into one batch of yours, or say whether you help",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("member", OptionKind::Text, "whom, by name or mention"),
        maybe("withdraw", OptionKind::Choice(&["yes"]), "they are to help no longer"),
        maybe(
            "accept",
            OptionKind::Choice(&["yes", "no"]),
            "your answer when you were asked; no also ends it",
        ),
    ],
    examples: ["batch helper batch:B1 member:Jonas", "batch helper batch:B1 accept:yes"],
    private: true,
};

/// What is to be done about helpers.
#[derive(Debug, Clone)]
pub struct BatchHelper {
    batch: Option<String>,
    act: Act,
}

#[derive(Debug, Clone)]
enum Act {
    /// Who helps.
    List,
    /// This member is to be asked.
    Invite(String),
    /// This member is to help no longer.
    Withdraw(String),
    /// The answer of whoever was asked.
    Answer(bool),
}

impl BatchHelper {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let yes = |word: &str| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        };
        let withdraw = args.choice("withdraw", yes)?.is_some();
        let act = match (args.text("member"), args.choice("accept", yes)?) {
            (Some(_), Some(_)) => {
                return Err(args.error(Code::UnknownOption, say("batch.helper.one_at_a_time", &[])));
            }
            (None, Some(answer)) => Act::Answer(answer),
            (None, None) if withdraw => return Err(args.missing("member")),
            (Some(member), None) if withdraw => Act::Withdraw(member.to_owned()),
            (Some(member), None) => Act::Invite(member.to_owned()),
            (None, None) => Act::List,
        };
        Ok(Self { batch: args.text("batch").map(str::to_owned), act })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        if let Act::Answer(yes) = self.act {
            return answer(self.batch.as_deref(), yes, services, asking).await;
        }
        let (deed, rest) = match &self.act {
            Act::List | Act::Answer(_) => (Deed::LookAt, String::new()),
            Act::Invite(member) => (Deed::ChooseHelpers, format!(" member:{member}")),
            Act::Withdraw(member) => (Deed::ChooseHelpers, format!(" member:{member} withdraw:yes")),
        };
        let line = format!("batch helper batch:{{batch}}{rest}");
        let state = match lookup::batch(services, asking, self.batch.as_deref(), deed, &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        match &self.act {
            Act::List | Act::Answer(_) => list(&state, services, asking).await,
            Act::Invite(member) => invite(&state, member, services, asking).await,
            Act::Withdraw(member) => withdraw(&state, member, services).await,
        }
    }
}

async fn list(state: &BatchState, services: &Services, asking: &Asking) -> Outcome {
    let helpers = services.store.helpers_of(state.id).await?;
    let key = if helpers.is_empty() { "batch.helper.none" } else { "batch.helper.headline" };
    let mut reply = Reply::new("batch helper", about(key, state, &[]));
    for helper in &helpers {
        let name = lookup::member_name(services, helper.member, state.plan.group);
        let when = time::shown(helper.invited_at, asking.now, asking.zone());
        let key = if helper.accepted_at.is_some() { "batch.helper.line" } else { "batch.helper.line_asked" };
        reply.lines.push(say(key, &[("member", &name), ("when", &when)]));
    }
    reply.batch = Some(state.id);
    Ok(Done::reply(reply))
}

async fn invite(state: &BatchState, typed: &str, services: &Services, asking: &Asking) -> Outcome {
    lookup::still_open(state)?;
    let member = member(state, typed, services)?;
    let refused = |key: &str| {
        let sentence = about(key, state, &[("member", &member.name)]);
        UserError::new(Code::DoesNotFit, sentence, format!("batch helper batch:{}", state.id))
    };
    if member.id == state.plan.owner {
        return Err(refused("batch.helper.owner").into());
    }
    match known(state, member.id, services).await? {
        Some(Helper { accepted_at: Some(_), .. }) => return Err(refused("batch.helper.helps").into()),
        Some(_) => return Err(refused("batch.helper.asked").into()),
        None => {}
    }
    let batch = state.id;
    let helper = Helper { batch, member: member.id, invited_at: asking.now, accepted_at: None };
    let text = in_language(Language::of_settings(&member.settings), || {
        about("batch.helper.invitation", state, &[("owner", &asking.member.name)])
    });
    let mut reply =
        Reply::new("batch helper", about("batch.helper.invited", state, &[("member", &member.name)]));
    reply.lines.push(say("batch.helper.what", &[]));
    reply.next = Some(about("batch.helper.next", state, &[("member", &typable(&member.name))]));
    reply.batch = Some(batch);
    let outgoing = vec![told(member.id, state, text, services, asking)];
    Ok(Done::keeping(Change { helpers: vec![helper], outgoing, ..Change::default() }, reply))
}

async fn withdraw(state: &BatchState, typed: &str, services: &Services) -> Outcome {
    let member = member(state, typed, services)?;
    let holes = [("member", &*member.name)];
    if known(state, member.id, services).await?.is_none() {
        let sentence = about("batch.helper.not_asked", state, &holes);
        let example = format!("batch helper batch:{}", state.id);
        return Err(UserError::new(Code::NoSuchThing, sentence, example).into());
    }
    let mut reply = Reply::new("batch helper", about("batch.helper.withdrawn", state, &holes));
    reply.batch = Some(state.id);
    let change = Change { helpers_gone: vec![(state.id, member.id)], ..Change::default() };
    Ok(Done::keeping(change, reply))
}

/// Who was asked says yes or no; who helps may leave.
async fn answer(named: Option<&str>, yes: bool, services: &Services, asking: &Asking) -> Outcome {
    let (helper, state) = invitation(named, yes, services, asking).await?;
    let key = match (yes, helper.accepted_at) {
        (true, None) => "batch.helper.accepted",
        (true, Some(_)) => "batch.helper.accepted_before",
        (false, None) => "batch.helper.declined",
        (false, Some(_)) => "batch.helper.left",
    };
    let mut reply = Reply::new("batch helper", about(key, &state, &[]));
    let mut change = Change::default();
    if !yes {
        change.helpers_gone.push((state.id, asking.member.id));
        return Ok(Done::keeping(change, reply));
    }
    reply.batch = Some(state.id);
    reply.next = Some(about("batch.helper.accepted_next", &state, &[]));
    if helper.accepted_at.is_none() {
        lookup::still_open(&state)?;
        let owner = Language::of_memberships(&services.store.memberships_of(state.plan.owner));
        let holes = [("member", &*asking.member.name)];
        let text = in_language(owner, || about("batch.helper.accepted_owner", &state, &holes));
        change.outgoing.push(told(state.plan.owner, &state, text, services, asking));
        change.helpers.push(Helper { accepted_at: Some(asking.now), ..helper });
    }
    Ok(Done::keeping(change, reply))
}

/// What the member was asked to help with: the batch named, else that of the place, else the only one there is to
/// answer for. Without having been asked nobody is told whether there is such a batch.
async fn invitation(
    named: Option<&str>,
    yes: bool,
    services: &Services,
    asking: &Asking,
) -> Result<(Helper, BatchState), CommandError> {
    let mut found = Vec::new();
    for helper in services.store.helping(asking.member.id).await? {
        if let Some((state, _)) = services.store.batch(helper.batch).await? {
            found.push((helper, state));
        }
    }
    match (named, asking.place) {
        (Some(name), _) => found.retain(|(_, state)| is_meant(state, name)),
        (None, Some(place)) => found.retain(|(_, state)| state.id == place),
        (None, None) if yes => found.retain(|(helper, _)| helper.accepted_at.is_none()),
        (None, None) => {}
    }
    if found.len() > 1 {
        let list: Vec<String> =
            found.iter().map(|(_, state)| format!("{} {}", state.id, state.plan.name)).collect();
        let sentence = say("batch.helper.several", &[("list", &list.join(", "))]);
        let example = found.first().map_or_else(String::new, |(_, state)| {
            format!("batch helper batch:{} accept:{}", state.id, if yes { "yes" } else { "no" })
        });
        return Err(UserError::new(Code::NoSuchBatch, sentence, example).into());
    }
    found.pop().ok_or_else(|| match named {
        Some(name) => lookup::no_such_batch(name),
        None => UserError::new(Code::NoSuchThing, say("batch.helper.nobody_asked", &[]), "batch list").into(),
    })
}

fn is_meant(state: &BatchState, name: &str) -> bool {
    let digits = name.trim().trim_start_matches(['B', 'b', '#']);
    match digits.parse::<i64>() {
        Ok(number) => state.id.0 == number,
        Err(_) => fold(&state.plan.name) == fold(name),
    }
}

/// A member of the batch's group, by name or, on a chat platform, by mention.
fn member(state: &BatchState, typed: &str, services: &Services) -> Result<Member, UserError> {
    let group = state.plan.group;
    let found = match mentioned(typed) {
        Some(chat) => {
            services.store.member_by_chat(chat).and_then(|member| services.store.member(member.id, group))
        }
        None => services.store.member_by_name(group, typed.trim_start_matches('@')),
    };
    found.ok_or_else(|| {
        let sentence = say("batch.helper.no_such_member", &[("typed", &shown(typed))]);
        UserError::new(Code::NoSuchThing, sentence, format!("batch helper batch:{}", state.id))
    })
}

/// `<@123>`, as a chat platform writes a mention.
fn mentioned(typed: &str) -> Option<ChatId> {
    let number = typed.trim().strip_prefix("<@")?.strip_suffix('>')?;
    number.trim_start_matches('!').parse().ok().map(ChatId)
}

async fn known(
    state: &BatchState,
    member: MemberId,
    services: &Services,
) -> Result<Option<Helper>, CommandError> {
    let helpers = services.store.helpers_of(state.id).await?;
    Ok(helpers.into_iter().find(|helper| helper.member == member))
}

fn told(
    member: MemberId,
    state: &BatchState,
    text: String,
    services: &Services,
    asking: &Asking,
) -> Outgoing {
    let new = Outgoing::new(services.store.next_outgoing_id(), member, asking.now, text);
    Outgoing { batch: Some(state.id), ..new }
}

/// A sentence about a batch, with further holes.
fn about(key: &str, state: &BatchState, more: &[(&str, &str)]) -> String {
    let batch = state.id.to_string();
    let mut holes = vec![("batch", batch.as_str()), ("name", state.plan.name.as_str())];
    holes.extend_from_slice(more);
    say(key, &holes)
}
