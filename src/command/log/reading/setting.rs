//! Where a reading was made, and what is in force there for what it left unsaid.

use super::echo::leftover;
use super::whom::{Resolved, Whom, about_air};
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Services};
use crate::command::chamber::air::{Air, HYSTERESIS_CELSIUS};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{Item, Understood, Unsaid, What, Whose};
use crate::command::lookup::{self, FoundChamber};
use crate::quantity::Mass;
use crate::record::climate::Climate;
use crate::record::{BatchState, Chamber, ChamberId, Subject};
use crate::reply::{Question, say};
use crate::store::fold;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeSet;

/// A min/max thermometer that nobody read before is taken to remember this long.
const EXTREMES_REMEMBER: TimeDelta = TimeDelta::hours(24);

/// How far back the last min/max reading is looked for.
const EXTREMES_LOOK_BACK: TimeDelta = TimeDelta::days(14);

/// What a line is kept with.
#[derive(Debug, Clone)]
pub(in crate::command::log) struct Setting {
    /// The batch, where it speaks of one.
    pub(in crate::command::log) batch: Option<Box<BatchState>>,
    /// The chamber that was named, or that the batch was in, or the member's own.
    pub(in crate::command::log) chamber: Chamber,
    /// What the record keeps for what was not said.
    pub(in crate::command::log) unsaid: Unsaid,
    /// What is in force for what was not said: what the echo shows.
    pub(in crate::command::log) in_force: Unsaid,
}

/// Finds the chamber of a line that was read, and what is in force there for what the line left out.
pub(in crate::command::log) async fn setting(
    services: &Services,
    asking: &Asking,
    whom: &Whom,
    understood: &Understood,
    text: &str,
) -> Result<Resolved<Setting>, CommandError> {
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    if let Some(state) = whom.batch.as_deref()
        && !may(Actor::of(asking), Deed::SetChamber, &Thing::of_member(state.plan.owner))
    {
        let chamber = of_owner(services, state, understood, at).await?;
        return kept_with(services, whom, chamber, &understood.items, at).await.map(Resolved::Known);
    }
    let place = place_meant(services, asking, understood).await?;
    if place.is_none()
        && let Some(question) = unread_chamber(services, asking, understood).await?
    {
        return Ok(Resolved::Ask(question));
    }
    let found = match (understood.chamber.as_deref(), place, whom.batch.as_deref()) {
        (Some(name), _, _) => {
            lookup::which_chamber(services, asking, Some(name), &text.replace(name, "{chamber}")).await?
        }
        (None, Some(chamber), _) => FoundChamber::Chamber(chamber),
        (None, None, Some(state)) => {
            let chamber = state.chamber_at(at).unwrap_or(state.plan.chamber);
            of_batch(services, asking, chamber).await?
        }
        (None, None, None) => of_open_batches(services, asking, text).await?,
    };
    let chamber = match found {
        FoundChamber::Chamber(chamber) => chamber,
        FoundChamber::Ask(question) => return Ok(Resolved::Ask(question)),
    };
    kept_with(services, whom, chamber, &understood.items, at).await.map(Resolved::Known)
}

/// The chamber of somebody else's batch: the one it is in. What a helper reads there counts; how it is set is the
/// owner's to say.
async fn of_owner(
    services: &Services,
    state: &BatchState,
    understood: &Understood,
    at: DateTime<Utc>,
) -> Result<Chamber, CommandError> {
    if understood.items.iter().any(|item| matches!(item.what, What::Setting { .. })) {
        let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
        let example = format!("{} 13 C 80%", state.id);
        return Err(UserError::new(Code::NotYours, say("log.helper_setting", &holes), example).into());
    }
    let chamber = state.chamber_at(at).unwrap_or(state.plan.chamber);
    let found = services.store.chamber(chamber).await?;
    let is_meant = |chamber: &Chamber| match understood.chamber.as_deref() {
        Some(named) => fold(named) == fold(&chamber.name),
        None => true,
    };
    let named = understood.chamber.as_deref().unwrap_or(lookup::HOME_CHAMBER);
    found.filter(is_meant).ok_or_else(|| lookup::no_such_chamber(named))
}

/// The chamber of a place that is mentioned by the way, where the member calls one so.
pub(in crate::command::log) async fn place_meant(
    services: &Services,
    asking: &Asking,
    understood: &Understood,
) -> Result<Option<Chamber>, CommandError> {
    let Some(place) = understood.place.as_deref() else {
        return Ok(None);
    };
    let chambers = services.store.chambers_of(asking.member.id).await?;
    Ok(chambers.into_iter().find(|chamber| fold(&chamber.name) == fold(place)))
}

/// "attic set to 13 C": an unread word beside a chamber's air may be its name. It is asked for even where a yes was
/// said: a yes does not say which.
async fn unread_chamber(
    services: &Services,
    asking: &Asking,
    understood: &Understood,
) -> Result<Option<Question>, CommandError> {
    let is_air = |item: &Item| item.whose == Whose::Chamber;
    let has_words = understood.leftover.iter().any(|run| run.contains(char::is_alphabetic));
    if understood.chamber.is_some() || !has_words || !understood.items.iter().any(is_air) {
        return Ok(None);
    }
    let chambers = services.store.chambers_of(asking.member.id).await?;
    let is_named = |chamber: &Chamber| {
        let name = format!(" {} ", fold(&chamber.name));
        understood.leftover.iter().any(|run| format!(" {} ", fold(run)).contains(&name))
    };
    let lasts = |item: &Item| is_air(item) && !matches!(item.what, What::Room { .. });
    let may_be_meant = chambers.len() > 1 && understood.items.iter().any(lasts);
    let (mut choices, others): (Vec<Chamber>, Vec<Chamber>) = chambers.into_iter().partition(is_named);
    if choices.is_empty() && !may_be_meant {
        return Ok(None);
    }
    choices.extend(others);
    let text = say("log.reading.which_chamber", &[("leftover", &leftover(&understood.leftover))]);
    Ok(Some(Question { text, ..lookup::which_of(choices, &with_chamber(understood)) }))
}

/// The line again as it was read, with a chamber.
fn with_chamber(understood: &Understood) -> String {
    let mut parts = vec!["chamber {chamber}".to_owned()];
    parts.extend(understood.items.iter().map(|item| item.typed.clone()));
    parts.extend(understood.at.as_ref().map(|when| when.typed.clone()));
    let line = parts.join(", ");
    understood.batch.as_ref().map_or_else(|| line.clone(), |batch| format!("{batch} {line}"))
}

/// What items are kept with that were read in a chamber at a moment.
pub(in crate::command::log) async fn kept_with(
    services: &Services,
    whom: &Whom,
    chamber: Chamber,
    items: &[Item],
    at: DateTime<Utc>,
) -> Result<Setting, CommandError> {
    let from = at.checked_sub_signed(EXTREMES_LOOK_BACK).unwrap_or(at);
    let events = services.store.chamber_events(chamber.id, from, at).await?;
    let air = Air::of(&events);
    let last_extremes = Climate::of(&events).extremes.last().map(|extremes| extremes.at);
    let first_piece = whom.batch.as_ref().and_then(|state| state.pieces.first());
    let in_force = Unsaid {
        tare: first_piece.map_or(Mass::grams(0.0), |piece| piece.hung.tare),
        set_temperature: air.setting.map(|setting| setting.temperature),
        set_humidity: air.set_humidity,
        hysteresis_celsius: air.setting.map_or(HYSTERESIS_CELSIUS, |setting| setting.hysteresis_celsius),
        extremes_since: last_extremes.unwrap_or(at - EXTREMES_REMEMBER),
    };
    let drift_alone = items.iter().any(is_drift_alone);
    if drift_alone && in_force.set_temperature.is_none() {
        let sentence = say("chamber.set.hysteresis_alone", &[]);
        let example = "chamber set to 13 C hysteresis 1 C";
        return Err(UserError::new(Code::MissingOption, sentence, example).into());
    }
    // What was not set just now holds on by itself. It is not written down again: then a correction of the setting
    // it comes from corrects it here too. Only a drift goes with a temperature.
    let unsaid = Unsaid {
        set_temperature: in_force.set_temperature.filter(|_| drift_alone),
        set_humidity: None,
        ..in_force
    };
    Ok(Setting { batch: whom.batch.clone(), chamber, unsaid, in_force })
}

const fn is_drift_alone(item: &Item) -> bool {
    matches!(item.what, What::Setting { temperature: None, hysteresis_celsius: Some(_), .. })
}

async fn of_batch(
    services: &Services,
    asking: &Asking,
    chamber: ChamberId,
) -> Result<FoundChamber, CommandError> {
    if let Some(chamber) = services.store.chamber(chamber).await? {
        return Ok(FoundChamber::Chamber(chamber));
    }
    lookup::chamber(services, asking, None).await.map(FoundChamber::Chamber)
}

/// The air of no named chamber: of the one in which all the member's open batches are, else of the only one.
async fn of_open_batches(
    services: &Services,
    asking: &Asking,
    text: &str,
) -> Result<FoundChamber, CommandError> {
    let open = services.store.open_batches(asking.member.id).await?;
    let used: BTreeSet<ChamberId> = open.iter().map(|batch| batch.chamber).collect();
    let mut chambers = services.store.chambers_of(asking.member.id).await?;
    if !used.is_empty() {
        chambers.retain(|chamber| used.contains(&chamber.id));
    }
    let said = text.strip_prefix("chamber ").unwrap_or(text);
    Ok(lookup::one_of(chambers, &format!("chamber {{chamber}} {said}")))
}

impl Setting {
    /// The subject of an item.
    pub(in crate::command::log) fn subject(&self, whose: Whose) -> Result<Subject, CommandError> {
        let batch = self.batch.as_ref().map(|state| state.id);
        match (whose, batch) {
            (Whose::Chamber, _) => Ok(Subject::Chamber(self.chamber.id)),
            (Whose::Batch, Some(batch)) => Ok(Subject::Batch(batch)),
            (Whose::Piece(piece), Some(batch)) => Ok(Subject::Piece(batch, piece)),
            (Whose::Sample, Some(batch)) => Ok(Subject::Sample(batch)),
            (_, None) => Err(CommandError::Internal("a reading of a batch without its batch".to_owned())),
        }
    }

    /// Refuses what does not fit the record: a batch that is over, a time before it began.
    pub(in crate::command::log) fn check(
        &self,
        understood: &Understood,
        asking: &Asking,
    ) -> Result<(), UserError> {
        let Some(state) = self.batch.as_deref().filter(|_| !about_air(&understood.items)) else {
            return Ok(());
        };
        lookup::still_open(state)?;
        after_start(state, understood.at.as_ref().map_or(asking.now, |when| when.at))
    }
}

/// Refuses a time before a batch was started.
pub(in crate::command::log) fn after_start(state: &BatchState, at: DateTime<Utc>) -> Result<(), UserError> {
    if state.stages.first().is_none_or(|(_, started)| at >= *started) {
        return Ok(());
    }
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    let example = format!("{} pH 5.12 at 21 C", state.id);
    Err(UserError::new(Code::TimeUnclear, say("log.reading.before_start", &holes), example))
}
