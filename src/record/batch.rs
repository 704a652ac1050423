//! What a batch is made of: kind, stage, meats, dose, pieces.

use super::ids::{ChamberId, GroupId, MemberId, PieceNumber};
use crate::quantity::{Fraction, Length, Mass, Ph};
use serde::{Deserialize, Serialize};

/// The three kinds of batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BatchKind {
    /// Minced, soured by a culture, then dried.
    FermentedSausage,
    /// Minced and dried without souring.
    DriedSausage,
    /// One muscle, cured whole.
    WholeMuscle,
}

impl BatchKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::FermentedSausage, Self::DriedSausage, Self::WholeMuscle];

    /// The word in a command's option.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FermentedSausage => "fermented-sausage",
            Self::DriedSausage => "dried-sausage",
            Self::WholeMuscle => "whole-muscle",
        }
    }

    /// In a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::FermentedSausage => "fermented sausage",
            Self::DriedSausage => "dried sausage",
            Self::WholeMuscle => "whole muscle",
        }
    }

    /// Reads the option's word.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// Where a batch stands. Not every kind passes every stage: see [`BatchStage::suits`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BatchStage {
    /// Written down, nothing done yet.
    Planned,
    /// In the cure.
    Curing,
    /// Out of the cure, evening out in the cold (whole muscle).
    Resting,
    /// Stuffed, tied or netted.
    Cased,
    /// Souring (fermented sausage).
    Fermenting,
    /// Losing water in the drying room.
    Drying,
    /// At its target, wrapped, core and rim evening out.
    Equalising,
    /// Done.
    Finished,
    /// Thrown away, with a reason.
    Discarded,
}

impl BatchStage {
    /// Every stage in order.
    pub const ALL: [Self; 9] = [
        Self::Planned,
        Self::Curing,
        Self::Resting,
        Self::Cased,
        Self::Fermenting,
        Self::Drying,
        Self::Equalising,
        Self::Finished,
        Self::Discarded,
    ];

    /// The word, in options and in sentences.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Curing => "curing",
            Self::Resting => "resting",
            Self::Cased => "cased",
            Self::Fermenting => "fermenting",
            Self::Drying => "drying",
            Self::Equalising => "equalising",
            Self::Finished => "finished",
            Self::Discarded => "discarded",
        }
    }

    /// Reads the word.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|stage| stage.word() == word)
    }

    /// Whether nothing more happens to the batch.
    pub const fn is_over(self) -> bool {
        matches!(self, Self::Finished | Self::Discarded)
    }

    /// Whether a batch of this kind has this stage at all.
    pub const fn suits(self, kind: BatchKind) -> bool {
        match self {
            Self::Fermenting => matches!(kind, BatchKind::FermentedSausage),
            Self::Resting => matches!(kind, BatchKind::WholeMuscle),
            _ => true,
        }
    }
}

/// One meat of a batch: its species and how much of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Meat {
    /// As the member named it: "pork", "back fat", "venison"; empty when not said.
    pub species: String,
    /// Raw weight.
    pub mass: Mass,
}

/// What a member said when starting a batch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BatchPlan {
    /// The batch's name, unique among its owner's.
    pub name: String,
    /// Whose it is.
    pub owner: MemberId,
    /// The group it belongs to.
    pub group: GroupId,
    /// Which kind.
    pub kind: BatchKind,
    /// Every meat in it.
    pub meats: Vec<Meat>,
    /// Casing diameter (sausage) as stuffed, or thickness (muscle).
    pub thickness: Option<Length>,
    /// Target loss of the hung weight.
    pub target_loss: Option<Fraction>,
    /// The pH the fermentation is to reach.
    pub target_ph: Option<Ph>,
    /// The chamber it starts in.
    pub chamber: ChamberId,
}

impl BatchPlan {
    /// Raw weight of all meats together.
    pub fn meat(&self) -> Mass {
        self.meats.iter().map(|meat| meat.mass).sum()
    }
}

/// What a rule said of the dose when it was kept; the batch carries an unresolved `over` on its card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DoseVerdict {
    /// The row's id.
    pub rule: String,
    /// The rulebook's name.
    pub country: String,
    /// `within`, `over`, … as in the door for scripts.
    pub outcome: String,
}

/// The cure a batch got.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dose {
    /// `comminuted`, `dry`, `immersion`, `immersion-pickup` or `inject`.
    pub method: String,
    /// `sausage`, `muscle`, `bacon` or `ham`.
    pub product: String,
    /// Raw weight of the meat that was dosed.
    pub meat: Mass,
    /// Weight of the cure mix.
    pub cure: Mass,
    /// The label's nitrite.
    pub nitrite: Fraction,
    /// The label's nitrate.
    pub nitrate: Fraction,
    /// Plain salt beside the cure, where it was said.
    pub salt: Option<Fraction>,
    /// Ingoing nitrite in mg/kg as sodium nitrite.
    pub ingoing_nitrite_mg_per_kg: f64,
    /// Ingoing nitrate in mg/kg as sodium nitrate.
    pub ingoing_nitrate_mg_per_kg: f64,
    /// The country it was judged for; empty: all rulebooks.
    pub country: String,
    /// What the rules said.
    pub verdicts: Vec<DoseVerdict>,
}

impl Dose {
    /// Whether a published maximum was exceeded or a required level missed.
    pub fn is_over(&self) -> bool {
        self.verdicts.iter().any(|verdict| verdict.outcome == "over")
    }
}

/// A piece as it was hung.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PieceHung {
    /// Its number.
    pub number: PieceNumber,
    /// What the scale showed at hanging, tare included.
    pub hung: Mass,
    /// Casing, string, net and hook.
    pub tare: Mass,
    /// Raw weight before the cure (whole muscle).
    pub before_cure: Option<Mass>,
}

/// How a piece leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PieceFate {
    /// Eaten.
    Eaten,
    /// Packed for keeping.
    Packed,
    /// Thrown away.
    Discarded,
}

impl PieceFate {
    /// The word in a sentence.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Eaten => "eaten",
            Self::Packed => "packed",
            Self::Discarded => "discarded",
        }
    }
}
