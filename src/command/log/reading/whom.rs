//! Of which batch a line speaks, before it can be read in full: what hangs there decides what "640 g" is.

use crate::command::access::Deed;
use crate::command::asking::{Asking, Services};
use crate::command::error::{Code, CommandError, UserError, code_of_intake};
use crate::command::intake::{self, Context, IntakeError, Item, Understood, What, Whose};
use crate::command::line::shown;
use crate::command::lookup::{self, Found};
use crate::command::why::Why;
use crate::quantity::Mass;
use crate::record::{BatchState, PieceNumber};
use crate::reply::{Question, say};
use chrono::{DateTime, Utc};

/// What was looked for, or the question that has to be answered first.
#[derive(Debug)]
pub(in crate::command::log) enum Resolved<T> {
    /// It is known.
    Known(T),
    /// Several fit.
    Ask(Question),
}

/// The batch a line speaks of, where it speaks of one, with the pieces it may name.
#[derive(Debug, Clone)]
pub(in crate::command::log) struct Whom {
    /// The batch as it stands; `None` for the air of a chamber.
    pub(in crate::command::log) batch: Option<Box<BatchState>>,
    /// The batch at the line's own time, where that is past: what its weights are held against.
    past: Option<Box<BatchState>>,
    pieces: Vec<(PieceNumber, Mass)>,
}

/// Finds the batch of a line; of nothing but air there is none, unless one is needed.
pub(in crate::command::log) async fn whom(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    text: &str,
    needs_batch: bool,
) -> Result<Resolved<Whom>, CommandError> {
    // Read once without a batch, only to see what it names and what it is about.
    let first = match intake::read(text, &bare(asking)) {
        Ok(Some(understood)) => Some(understood),
        Ok(None) => return Err(not_a_reading(services, asking, named, text).await),
        Err(error) if depends_on_batch(&error) => None,
        Err(error) => return Err(unreadable(&error).into()),
    };
    let named = named.map(str::to_owned).or_else(|| intake::named(text).batch);
    let only_air = first.is_some_and(|understood| about_air(&understood.items));
    if only_air && named.is_none() && asking.place.is_none() && !needs_batch {
        return Ok(Resolved::Known(Whom::of(None)));
    }
    match lookup::batch(services, asking, named.as_deref(), Deed::LogReading, &format!("{{batch}} {text}"))
        .await?
    {
        Found::Batch(state) => Ok(Resolved::Known(Whom::of(Some(state)))),
        Found::Ask(question) => Ok(Resolved::Ask(question)),
    }
}

/// Whether a line may be in order once it is known what hangs.
const fn depends_on_batch(error: &IntakeError) -> bool {
    matches!(
        error,
        IntakeError::NoSuchPiece { .. }
            | IntakeError::WhichPiece { .. }
            | IntakeError::CountMismatch { .. }
            | IntakeError::Quantity(_)
    )
}

/// A line without a reading: chatter, or nothing but the name of a batch.
async fn not_a_reading(
    services: &Services,
    asking: &Asking,
    named: Option<&str>,
    text: &str,
) -> CommandError {
    let only_batch = intake::named(text).batch.filter(|name| text.trim().eq_ignore_ascii_case(name));
    let Some(name) = named.or(only_batch.as_deref()) else {
        return unknown(text).into();
    };
    match lookup::named_batch(services, asking, name, Deed::LogReading).await {
        Ok(state) => {
            let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
            let sentence = say("log.reading.only_batch", &holes);
            UserError::new(Code::UnknownCommand, sentence, format!("{} pH 5.12 at 21 C", state.id)).into()
        }
        Err(error) => error,
    }
}

/// Whether words that can stand as a note are a reading all the same: nothing but that, or something that was seen,
/// or one of what hangs in a batch that is not known yet.
pub(super) fn says_reading(text: &str, asking: &Asking) -> bool {
    match intake::read(text, &bare(asking)) {
        Ok(None) => false,
        Ok(Some(understood)) => {
            let is_seen = understood.items.iter().any(|item| matches!(item.what, What::Observed { .. }));
            is_seen || (!understood.items.is_empty() && understood.leftover.is_empty())
        }
        Err(error) => depends_on_batch(&error),
    }
}

/// Whether a line is no reading, whatever hangs.
pub(super) fn has_no_reading(text: &str, asking: &Asking) -> bool {
    intake::read(text, &bare(asking)).is_ok_and(|read| read.is_none_or(|read| read.items.is_empty()))
}

/// Not a command, and not a reading.
pub(in crate::command::log) fn unknown(text: &str) -> UserError {
    UserError::new(
        Code::UnknownCommand,
        say("error.unknown_command", &[("typed", &shown(text))]),
        "pH 5.12 at 21 C, 812 g, 13 C 80%",
    )
}

/// What is wrong with a line that is a reading.
pub(in crate::command::log) fn unreadable(error: &IntakeError) -> UserError {
    let sentence = say("log.reading.unreadable", &[("why", &error.why())]);
    UserError::new(code_of_intake(error), sentence, error.example())
}

/// A line read without a batch.
pub(in crate::command::log) fn read_alone(text: &str, asking: &Asking) -> Option<Understood> {
    intake::read(text, &bare(asking)).ok().flatten()
}

pub(in crate::command::log) fn bare(asking: &Asking) -> Context<'static> {
    Context {
        now: asking.now,
        zone: asking.zone(),
        mass_unit: asking.member.settings.mass,
        temperature_scale: asking.member.settings.temperature,
        pieces: &[],
        batch_total: None,
        meat: None,
    }
}

/// Whether a line says nothing but what a chamber's air is.
pub(in crate::command::log) fn about_air(items: &[Item]) -> bool {
    !items.is_empty() && items.iter().all(|item| item.whose == Whose::Chamber)
}

impl Whom {
    /// A batch as it stands, or none.
    pub(in crate::command::log) fn of(batch: Option<Box<BatchState>>) -> Self {
        let pieces = batch.as_ref().map_or_else(Vec::new, |state| {
            state.hanging().map(|piece| (piece.hung.number, piece.last_gross().0)).collect()
        });
        Self { batch, past: None, pieces }
    }

    /// The same at a moment that is past: its pieces are those that hung then, with what they weighed.
    pub(in crate::command::log) async fn at_time(
        self,
        services: &Services,
        at: DateTime<Utc>,
    ) -> Result<Self, CommandError> {
        let Some(state) = self.batch.as_ref().filter(|state| at < state.last_at) else {
            return Ok(self);
        };
        let events = services.store.events_of_batch(state.id).await?;
        let Some(past) = BatchState::rebuild_as_of(&events, at) else {
            return Ok(self);
        };
        let then = Self::of(Some(Box::new(past)));
        Ok(Self { batch: self.batch, past: then.batch, pieces: then.pieces })
    }

    /// Whether its pieces are those of a moment that is past.
    pub(in crate::command::log) const fn is_past(&self) -> bool {
        self.past.is_some()
    }

    /// The same with every piece there ever was.
    pub(in crate::command::log) fn with_all(&self) -> Self {
        let mut all = self.clone();
        all.pieces = self.batch.as_ref().map_or_else(Vec::new, |state| {
            state.pieces.iter().map(|piece| (piece.hung.number, piece.last_gross().0)).collect()
        });
        all
    }

    /// The same with one piece only: what is said without a number is said of it.
    pub(in crate::command::log) fn with_only(&self, piece: PieceNumber) -> Self {
        let mut one = self.clone();
        one.pieces.retain(|(number, _)| *number == piece);
        one
    }

    /// The first piece that hangs.
    pub(in crate::command::log) fn first_piece(&self) -> Option<PieceNumber> {
        self.pieces.first().map(|(number, _)| *number)
    }

    /// What the line is read with.
    pub(in crate::command::log) fn context(&self, asking: &Asking) -> Context<'_> {
        let state = self.past.as_ref().or(self.batch.as_ref());
        let total = state.and_then(|state| state.total_weighings.last()).map(|weighing| weighing.gross);
        let meat = state.map(|state| state.plan.meat()).filter(|meat| meat.as_grams() > 0.0);
        Context { pieces: &self.pieces, batch_total: total, meat, ..bare(asking) }
    }
}
