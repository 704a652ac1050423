//! What a reading speaks of: which batch, which chamber, and what the line may leave unsaid.

use crate::command::asking::{Asking, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{Context, Item, Understood, Unsaid, Whose};
use crate::command::lookup::{self, Found};
use crate::command::{intake, line};
use crate::quantity::Mass;
use crate::record::climate::Climate;
use crate::record::{BatchState, Chamber, PieceNumber, Subject};
use crate::reply::{Question, say};
use chrono::TimeDelta;

/// A controller is taken to let the room drift this far above its set point when nobody said otherwise.
/// Common practice, no source.
pub(in crate::command::log) const HYSTERESIS_CELSIUS: f64 = 1.0;

/// A min/max thermometer that nobody read before is taken to remember this long.
const EXTREMES_REMEMBER: TimeDelta = TimeDelta::hours(24);

/// What a line is read against.
#[derive(Debug, Clone)]
pub(in crate::command::log) struct Setting {
    /// The batch, where one is known.
    pub(in crate::command::log) batch: Option<Box<BatchState>>,
    /// The chamber of the batch, or the one that was named, or the member's own.
    pub(in crate::command::log) chamber: Chamber,
    /// What the line may leave unsaid.
    pub(in crate::command::log) unsaid: Unsaid,
    pieces: Vec<(PieceNumber, Mass)>,
}

/// A setting, or the question which batch is meant.
#[derive(Debug)]
pub(in crate::command::log) enum Resolved {
    /// Everything is known.
    Setting(Box<Setting>),
    /// Several batches are open.
    Ask(Question),
}

/// Finds batch and chamber for a line.
pub(in crate::command::log) async fn setting(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    text: &str,
) -> Result<Resolved, CommandError> {
    // The line is read once without a batch, only to see which batch and chamber it names and what it is about.
    let first = read_alone(text, asking);
    let in_line = intake::named(text);
    let in_text = in_line.batch.as_deref();
    let chamber_named = in_line.chamber.as_deref();
    let only_air = first.as_ref().is_some_and(|understood| about_air(&understood.items));
    let batch = match lookup::batch(
        services,
        asking,
        named.or(in_text),
        &format!("log reading batch:{{batch}} text:{text}"),
    )
    .await
    {
        Ok(Found::Batch(state)) => Some(state),
        // The air belongs to the chamber; it needs no batch.
        Ok(Found::Ask(_)) | Err(CommandError::User(UserError { code: Code::NoSuchBatch, .. }))
            if only_air && named.is_none() && in_text.is_none() =>
        {
            None
        }
        Ok(Found::Ask(question)) => return Ok(Resolved::Ask(question)),
        Err(CommandError::User(error)) if first.is_none() && named.is_none() => {
            return Err(not_a_reading_or(text, error));
        }
        Err(error) => return Err(error),
    };
    if let Some(state) = &batch {
        lookup::owner_only(state, asking)?;
    }
    let chamber = chamber(services, asking, batch.as_deref(), chamber_named).await?;
    let unsaid = unsaid(services, asking, batch.as_deref(), &chamber).await?;
    let pieces = batch.as_ref().map_or_else(Vec::new, |state| {
        state.hanging().map(|piece| (piece.hung.number, piece.last_gross().0)).collect()
    });
    Ok(Resolved::Setting(Box::new(Setting { batch, chamber, unsaid, pieces })))
}

/// A line read without a batch.
pub(in crate::command::log) fn read_alone(text: &str, asking: &Asking) -> Option<Understood> {
    intake::read(text, &bare(asking)).ok().flatten()
}

fn bare(asking: &Asking) -> Context<'static> {
    Context {
        now: asking.now,
        zone: asking.zone(),
        mass_unit: asking.member.settings.mass,
        temperature_scale: asking.member.settings.temperature,
        pieces: &[],
        batch_total: None,
    }
}

fn about_air(items: &[Item]) -> bool {
    !items.is_empty() && items.iter().all(|item| item.whose == Whose::Chamber)
}

/// Chatter from a member without a batch is an unknown command, not a missing batch.
fn not_a_reading_or(text: &str, error: UserError) -> CommandError {
    let has_figure = text.chars().any(|letter| letter.is_ascii_digit());
    if has_figure {
        return error.into();
    }
    UserError::new(
        Code::UnknownCommand,
        say("error.unknown_command", &[("typed", &line::shown(text))]),
        "help",
    )
    .into()
}

async fn chamber(
    services: &Services,
    asking: &Asking,
    batch: Option<&BatchState>,
    named: Option<&str>,
) -> Result<Chamber, CommandError> {
    if named.is_some() {
        return lookup::chamber(services, asking, named).await;
    }
    if let Some(state) = batch
        && let Some(chamber) = services.store.chamber(state.chamber()).await?
    {
        return Ok(chamber);
    }
    lookup::chamber(services, asking, None).await
}

async fn unsaid(
    services: &Services,
    asking: &Asking,
    batch: Option<&BatchState>,
    chamber: &Chamber,
) -> Result<Unsaid, CommandError> {
    let events =
        services.store.chamber_events(chamber.id, asking.now - TimeDelta::days(7), asking.now).await?;
    let climate = Climate::of(&events);
    let set = climate.settings.last();
    let tare = batch.and_then(|state| state.pieces.first()).map_or(Mass::grams(0.0), |piece| piece.hung.tare);
    Ok(Unsaid {
        tare,
        set_temperature: set.map(|setting| setting.temperature),
        set_humidity: None,
        hysteresis_celsius: set.map_or(HYSTERESIS_CELSIUS, |setting| setting.hysteresis_celsius),
        extremes_since: climate
            .extremes
            .last()
            .map_or(asking.now - EXTREMES_REMEMBER, |extremes| extremes.at),
    })
}

impl Setting {
    /// What the line is read with.
    pub(in crate::command::log) fn context(&self, asking: &Asking) -> Context<'_> {
        let total =
            self.batch.as_ref().and_then(|state| state.total_weighings.last()).map(|weighing| weighing.gross);
        Context { pieces: &self.pieces, batch_total: total, ..bare(asking) }
    }

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

    /// Refuses what does not fit the record: an over batch, a time before it began.
    pub(in crate::command::log) fn check(
        &self,
        understood: &Understood,
        asking: &Asking,
    ) -> Result<(), UserError> {
        let Some(state) = self.batch.as_deref().filter(|_| !about_air(&understood.items)) else {
            return Ok(());
        };
        lookup::still_open(state)?;
        let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
        if state.stages.first().is_some_and(|(_, started)| at < *started) {
            let sentence = say(
                "log.reading.before_start",
                &[("batch", &state.id.to_string()), ("name", &state.plan.name)],
            );
            return Err(UserError::new(
                Code::TimeUnclear,
                sentence,
                format!("log reading batch:{} text:pH 5.1 at 21 C now", state.id),
            ));
        }
        Ok(())
    }
}
