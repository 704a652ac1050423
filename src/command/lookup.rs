//! Finds what a line speaks of: which batch, which chamber; and whether the member may.

use super::access::{self, Actor, Deed, Thing, may};
use super::asking::{Asking, Services};
use super::error::{Code, CommandError, UserError};
use super::line::shown;
use crate::record::{BatchId, BatchState, Chamber, GroupId, MemberId, Subject};
use crate::reply::{Question, say, words};
use crate::store::{BatchSummary, Found as FoundByName};

/// Choices of a question, at most.
const CHOICES: usize = 5;

/// A batch, or the question which one is meant.
#[derive(Debug)]
pub enum Found {
    /// The batch as it was at the moment of asking.
    Batch(Box<BatchState>),
    /// Several are open.
    Ask(Question),
}

/// The batch a line names, else the one of its place, else the only open one, else a question; and whether the deed may
/// be done to it.
///
/// `line` makes the example of an answer: it is the line that would have worked, with `{batch}` for the number.
pub async fn batch(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    deed: Deed,
    line: &str,
) -> Result<Found, CommandError> {
    if let Some(name) = named {
        return Ok(Found::Batch(Box::new(named_batch(services, asking, name, deed).await?)));
    }
    if let Some(place) = asking.place {
        return Ok(Found::Batch(Box::new(by_id(services, asking, place, deed).await?)));
    }
    let open = open_batches(services, asking, deed).await?;
    match open.as_slice() {
        [] => Err(UserError::new(Code::NoSuchBatch, say("error.no_open_batch", &[]), START_EXAMPLE).into()),
        [only] => Ok(Found::Batch(Box::new(by_id(services, asking, only.id, deed).await?))),
        several => {
            let choices: Vec<String> =
                several.iter().take(CHOICES).map(|batch| format!("{} {}", batch.id, batch.name)).collect();
            let first = several.first().map_or_else(String::new, |batch| batch.id.to_string());
            let answer = |batch: &BatchSummary| line.replace("{batch}", &batch.id.to_string());
            Ok(Found::Ask(Question {
                code: "which_batch",
                text: say("question.which_batch", &[]),
                example: line.replace("{batch}", &first),
                choices,
                answers: several.iter().take(CHOICES).map(answer).collect(),
                line: String::new(),
            }))
        }
    }
}

/// The member's own open batches; where there is none, those they help with, for what a helper may do.
async fn open_batches(
    services: &Services,
    asking: &Asking,
    deed: Deed,
) -> Result<Vec<BatchSummary>, CommandError> {
    let own = services.store.open_batches(asking.member.id).await?;
    if !own.is_empty() {
        return Ok(own);
    }
    let as_helper = Thing::helped_by(asking.member.id);
    if !may(Actor::of(asking), deed, &as_helper) {
        return Ok(own);
    }
    let mut helped = services.store.batches_helped(asking.member.id).await?;
    helped.retain(|batch| batch.is_open);
    Ok(helped)
}

const START_EXAMPLE: &str =
    "batch start name:Juniper stick kind:fermented-sausage meat:2.4 kg casing:50 mm loss:38%";

/// The batch a line names, by number (`B3`, `3`) or by name, if the deed may be done to it: the member's own first, then
/// those they help with and those on the group's board. Of any other it is not said whether there is one.
pub async fn named_batch(
    services: &Services,
    asking: &Asking,
    name: &str,
    deed: Deed,
) -> Result<BatchState, CommandError> {
    let digits = name.trim().trim_start_matches(['B', 'b', '#']);
    if let Ok(number) = digits.parse::<i64>() {
        return by_id(services, asking, BatchId(number), deed).await;
    }
    match services.store.batch_by_name(asking.member.id, asking.group.id, name).await? {
        FoundByName::One(batch) => by_id(services, asking, batch.id, deed).await,
        FoundByName::Nothing => Err(no_such_batch(name)),
        FoundByName::Several(batches) => {
            let list: Vec<String> =
                batches.iter().take(CHOICES).map(|batch| format!("{} {}", batch.id, batch.name)).collect();
            let sentence =
                say("error.several_batches", &[("typed", &shown(name)), ("list", &list.join(", "))]);
            let example =
                batches.first().map_or_else(String::new, |batch| format!("batch show {}", batch.id));
            Err(UserError::new(Code::NoSuchBatch, sentence, example).into())
        }
    }
}

async fn by_id(
    services: &Services,
    asking: &Asking,
    id: BatchId,
    deed: Deed,
) -> Result<BatchState, CommandError> {
    let unknown = || no_such_batch(&id.to_string());
    let state = as_of_now(services, asking, id).await?.ok_or_else(unknown)?;
    let actor = Actor::of(asking);
    let thing = access::batch(services, actor, &state).await?;
    if may(actor, deed, &thing) {
        return Ok(state);
    }
    if !may(actor, Deed::KnowOf, &thing) {
        return Err(unknown());
    }
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    Err(UserError::new(Code::NotYours, say("error.not_yours", &holes), "batch list").into())
}

/// A batch as it stood at the moment of asking, which may lie before its last entries; as it stands where it had not
/// even begun.
pub async fn as_of_now(
    services: &Services,
    asking: &Asking,
    id: BatchId,
) -> Result<Option<BatchState>, CommandError> {
    let Some((state, version)) = services.store.batch(id).await? else { return Ok(None) };
    asking.seen.note(id, version);
    if state.last_at <= asking.now {
        return Ok(Some(state));
    }
    let events = services.store.events_of_batch(id).await?;
    Ok(Some(BatchState::rebuild_as_of(&events, asking.now).unwrap_or(state)))
}

/// One sentence for a batch that there is not and for one that is none of the member's business.
pub fn no_such_batch(name: &str) -> CommandError {
    UserError::new(Code::NoSuchBatch, say("error.no_such_batch", &[("typed", &shown(name))]), "batch list")
        .into()
}

/// As [`batch`], for what goes on with it: the member's own, and not over.
pub async fn own_open_batch(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    line: &str,
) -> Result<Found, CommandError> {
    let found = batch(services, asking, named, Deed::Run, line).await?;
    if let Found::Batch(state) = &found {
        still_open(state)?;
    }
    Ok(found)
}

/// Refuses to write in a batch that is finished or discarded.
pub fn still_open(state: &BatchState) -> Result<(), UserError> {
    let stage = state.stage().0;
    if !stage.is_over() {
        return Ok(());
    }
    let holes =
        [("batch", &*state.id.to_string()), ("name", &state.plan.name), ("stage", &*words::stage(stage))];
    Err(UserError::new(
        Code::DoesNotFit,
        say("batch.already_over", &holes),
        format!("batch show {}", state.id),
    ))
}

/// A chamber, or the question which one is meant.
#[derive(Debug)]
pub enum FoundChamber {
    /// This one.
    Chamber(Chamber),
    /// Several fit.
    Ask(Question),
}

/// The member's chamber of a name; the one they always have when none is named. A beginning that fits several is an
/// error that lists them.
pub async fn chamber(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
) -> Result<Chamber, CommandError> {
    let name = named.unwrap_or(HOME_CHAMBER);
    match services.store.chamber_by_name(asking.member.id, name).await? {
        FoundByName::One(chamber) => Ok(chamber),
        FoundByName::Nothing => Err(no_such_chamber(name)),
        FoundByName::Several(chambers) => {
            let list: Vec<&str> =
                chambers.iter().take(CHOICES).map(|chamber| chamber.name.as_str()).collect();
            let holes = [("typed", &*shown(name)), ("list", &list.join(", "))];
            Err(UserError::new(Code::NoSuchThing, say("error.several_chambers", &holes), "chamber list")
                .into())
        }
    }
}

/// The chamber a line names in full or by how its name begins, else the member's only one, else a question.
///
/// `line` makes the example of an answer: it is the line that would have worked, with `{chamber}` for the name.
pub async fn which_chamber(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    line: &str,
) -> Result<FoundChamber, CommandError> {
    let candidates = match named {
        None => services.store.chambers_of(asking.member.id).await?,
        Some(name) => match services.store.chamber_by_name(asking.member.id, name).await? {
            FoundByName::One(chamber) => vec![chamber],
            FoundByName::Several(chambers) => chambers,
            FoundByName::Nothing => return Err(no_such_chamber(name)),
        },
    };
    Ok(one_of(candidates, line))
}

/// The only one of some chambers, else the question which.
pub fn one_of(mut candidates: Vec<Chamber>, line: &str) -> FoundChamber {
    if candidates.len() == 1
        && let Some(only) = candidates.pop()
    {
        return FoundChamber::Chamber(only);
    }
    FoundChamber::Ask(which_of(candidates, line))
}

/// The question which of some chambers is meant.
pub fn which_of(candidates: Vec<Chamber>, line: &str) -> Question {
    let names: Vec<String> = candidates.into_iter().take(CHOICES).map(|chamber| chamber.name).collect();
    let first = names.first().map_or(HOME_CHAMBER, String::as_str);
    Question {
        code: "which_chamber",
        text: say("question.which_chamber", &[]),
        example: line.replace("{chamber}", &typable(first)),
        answers: names.iter().map(|name| line.replace("{chamber}", &typable(name))).collect(),
        choices: names,
        line: String::new(),
    }
}

/// The member has none of that name.
pub fn no_such_chamber(name: &str) -> CommandError {
    let sentence = say("error.no_such_chamber", &[("typed", &shown(name))]);
    let example = format!("chamber add name:{}", typable(&shown(name)));
    UserError::new(Code::NoSuchThing, sentence, example).into()
}

/// A name as it can be typed in a line: in quotation marks where a word of it would read as an option.
pub fn typable(name: &str) -> String {
    if name.contains(':') { format!("\"{name}\"") } else { name.to_owned() }
}

/// The chamber of who never names one.
pub const HOME_CHAMBER: &str = "home";

/// The name of a chamber, for a reply.
pub async fn chamber_name(services: &Services, id: crate::record::ChamberId) -> Result<String, CommandError> {
    Ok(services.store.chamber(id).await?.map_or_else(|| HOME_CHAMBER.to_owned(), |chamber| chamber.name))
}

/// The name of a member as a group knows them; of whoever is in none of its any more, what they were.
pub fn member_name(services: &Services, member: MemberId, group: GroupId) -> String {
    let anywhere = || services.store.memberships_of(member).into_iter().next();
    let found = services.store.member(member, group).or_else(anywhere);
    found.map_or_else(|| say("member.former", &[]), |member| member.name)
}

/// The name of the chamber or the meter that an entry is of; empty for a batch, which is named by its number.
pub async fn name_of(services: &Services, subject: Subject) -> Result<String, CommandError> {
    Ok(match subject {
        Subject::Chamber(chamber) => chamber_name(services, chamber).await?,
        Subject::Meter(meter) => {
            services.store.meter(meter).await?.map_or_else(String::new, |meter| meter.name)
        }
        Subject::Batch(_) | Subject::Piece(..) | Subject::Sample(_) => String::new(),
    })
}
