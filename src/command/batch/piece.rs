//! `/batch piece`: hang the pieces and keep each one's own weight.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::{describe, mass};
use crate::command::error::{Code, UserError};
use crate::command::intake::weights;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::status;
use crate::quantity::{Mass, format};
use crate::record::{BatchKind, BatchStage, BatchState, Happening, PieceHung, PieceNumber, Subject};
use crate::reply::{Question, Reply, say};
use chrono::{DateTime, Utc};

/// `/batch piece`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "piece",
    aliases: &["pieces"],
    summary: "hang the pieces: each one's weight at hanging is what its loss is counted from",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        needed("weights", OptionKind::Mass, "one weight a piece, e.g. 412 398 405 g"),
        maybe("tare", OptionKind::Mass, "casing, string, net and hook of one piece, e.g. 12 g"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: [
        "batch piece batch:B1 weights:412 398 405 g tare:6 g",
        "batch piece batch:B2 weights:1790 g at:yesterday 18:00",
    ],
    private: false,
};

/// More pieces than this in one line are a slip.
const MOST_PIECES: usize = 100;

/// Salt, spices, wine and casing add to the meat, but not this much: above it, the weights are asked about.
const MOST_OF_MEAT: f64 = 1.3;

/// Pieces to be hung.
#[derive(Debug, Clone)]
pub struct BatchPiece {
    batch: Option<String>,
    weights: Vec<Mass>,
    tare: Mass,
    at: DateTime<Utc>,
    typed: String,
}

impl BatchPiece {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let typed = args.needed("weights")?;
        let unit = args.asking.member.settings.mass;
        let weights = weights(typed, unit).map_err(|error| args.intake_error("weights", &error))?;
        let tare = args.mass("tare")?.unwrap_or(Mass::grams(0.0));
        if weights.len() > MOST_PIECES {
            return Err(args.error(
                Code::OutOfRange,
                say("batch.piece.too_many", &[("most", &MOST_PIECES.to_string())]),
            ));
        }
        if weights.iter().any(|weight| *weight <= tare) {
            return Err(args.error(Code::OutOfRange, say("batch.piece.tare_too_heavy", &[])));
        }
        Ok(Self {
            batch: args.text("batch").map(str::to_owned),
            weights,
            tare,
            at: args.past("at")?,
            typed: typed.to_owned(),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch piece batch:{{batch}} weights:{}", self.typed);
        let state = match lookup::own_open_batch(services, asking, self.batch.as_deref(), &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let raw = is_raw(&state);
        let pieces = self.numbered(&state, raw);
        if let Some(question) = self.doubt(&state, &pieces, raw).filter(|_| !asking.confirmed) {
            return Ok(Done::question(question));
        }
        self.hang(services, asking, &state, pieces, raw).await
    }

    async fn hang(
        &self,
        services: &Services,
        asking: &Asking,
        state: &BatchState,
        pieces: Vec<PieceHung>,
        raw: bool,
    ) -> Outcome {
        let mut journal = Journal::new(services, asking);
        let subject = Subject::Batch(state.id);
        let hung = journal.event(subject, self.at, Happening::PiecesHung { pieces: pieces.clone() });
        let mut reply = Reply::new("batch piece", headline(state, &pieces, raw));
        reply.stored.push(journal::stored_as(&hung, "", self.words(&pieces, asking)));
        journal.append(hung).await?;
        if !raw && state.stage().0 < BatchStage::Cased {
            let cased = journal.event(subject, self.at, Happening::StageReached { stage: BatchStage::Cased });
            reply.stored.push(journal::stored(&cased, ""));
            journal.append(cased).await?;
        }
        if let Some(state) = journal.state(state.id).filter(|_| !raw) {
            status::add_targets(&mut reply, state, asking);
        }
        reply.next = Some(next(state, raw));
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    /// What hung, in the words of a reading; nothing where a weight before the cure belongs to it, which those words do not
    /// say.
    fn words(&self, pieces: &[PieceHung], asking: &Asking) -> String {
        if pieces.iter().any(|piece| piece.before_cure.is_some()) {
            return String::new();
        }
        let hung = describe(&Happening::PiecesHung { pieces: pieces.to_vec() }, asking);
        if self.tare.as_grams() > 0.0 {
            format!("{hung}, tare {} each", mass(self.tare, asking))
        } else {
            hung
        }
    }

    /// Muscles weighed before the cure keep their numbers when they are hung; other weights are further pieces.
    fn numbered(&self, state: &BatchState, raw: bool) -> Vec<PieceHung> {
        let anew = !raw && state.pieces.len() == self.weights.len() && state.stage().0 < BatchStage::Cased;
        let first = if anew { 1 } else { state.pieces.len() as u32 + 1 };
        let only_muscle =
            state.plan.kind == BatchKind::WholeMuscle && self.weights.len() == 1 && state.pieces.is_empty();
        let one = |(number, weight): (u32, &Mass)| {
            let number = PieceNumber(number);
            let before_cure = match state.piece(number) {
                Some(piece) if anew => piece.hung.before_cure,
                _ if raw => Some(*weight),
                _ => only_muscle.then(|| state.plan.meat()),
            };
            PieceHung { number, hung: *weight, tare: self.tare, before_cure }
        };
        (first..).zip(&self.weights).map(one).collect()
    }

    fn doubt(&self, state: &BatchState, pieces: &[PieceHung], raw: bool) -> Option<Question> {
        let further = pieces.first().is_some_and(|piece| piece.number.0 > 1);
        let sum: Mass = self.weights.iter().copied().sum();
        let heavy = sum.as_grams() > state.plan.meat().as_grams() * MOST_OF_MEAT;
        let (code, key) = if further && !raw {
            ("confirm_more_pieces", "batch.piece.more")
        } else if heavy {
            ("confirm_weights", "batch.piece.heavier_than_meat")
        } else {
            return None;
        };
        let holes = [
            ("batch", &*state.id.to_string()),
            ("count", &state.pieces.len().to_string()),
            ("new", &pieces.len().to_string()),
            ("sum", &format::mass(sum, crate::quantity::MassUnit::Gram)),
            ("meat", &format::mass(state.plan.meat(), crate::quantity::MassUnit::Gram)),
        ];
        Some(Question {
            code,
            text: say(key, &holes),
            example: "yes".to_owned(),
            choices: Vec::new(),
            answers: Vec::new(),
            line: String::new(),
        })
    }
}

/// A whole muscle that has not been cured yet is weighed raw.
fn is_raw(state: &BatchState) -> bool {
    state.plan.kind == BatchKind::WholeMuscle
        && state.stage().0 == BatchStage::Planned
        && state.doses.is_empty()
}

fn headline(state: &BatchState, pieces: &[PieceHung], raw: bool) -> String {
    let key = match (raw, pieces.len()) {
        (true, _) => "batch.piece.weighed_raw",
        (false, 1) => "batch.piece.hung_one",
        (false, _) => "batch.piece.hung",
    };
    say(
        key,
        &[("batch", &state.id.to_string()), ("name", &state.plan.name), ("count", &pieces.len().to_string())],
    )
}

fn next(state: &BatchState, raw: bool) -> String {
    let key = match state.plan.kind {
        BatchKind::FermentedSausage => "batch.piece.next_ferment",
        BatchKind::WholeMuscle if raw => "batch.piece.next_cure",
        _ => "batch.piece.next_dry",
    };
    say(key, &[("batch", &state.id.to_string())])
}
