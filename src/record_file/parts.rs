//! What entries of the file hold: a plan, a dose, pieces, checks of instruments. Units stand in the names.

use super::values::{
    Activity, Degrees, Grams, HoursNumber, HumidityPercent, Millimetres, Millivolts, OfOne, PhNumber,
};
use crate::record::{BatchKind, PictureKind, Rating, StorageKind};
use serde::{Deserialize, Serialize};

/// What was said when a batch was started.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// What it is called.
    pub name: String,
    /// The group it was started in, by its number in this file; nothing where that group is no longer one of the
    /// owner's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<i64>,
    /// What sort of batch.
    pub kind: BatchKind,
    /// Every meat in it.
    pub meats: Vec<Meat>,
    /// Casing diameter as stuffed, or thickness of a muscle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness_mm: Option<Millimetres>,
    /// The part of its hung weight that it is to lose.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_loss_of_one: Option<OfOne>,
    /// The pH its fermentation is to reach.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_ph: Option<PhNumber>,
    /// The chamber it starts in.
    pub chamber: i64,
}

/// A photo that came with a message on a chat platform, by the platform's numbers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// The platform's group; nothing in a direct conversation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub platform_group: Option<i64>,
    /// The channel, thread or direct conversation.
    pub place: i64,
    /// The message.
    pub message: i64,
    /// The photo itself.
    pub attachment: i64,
    /// What its file is called; empty where somebody else sent it.
    pub name: String,
    /// Its size.
    pub bytes: u64,
    /// What sort of picture.
    pub sort: PictureKind,
}

/// One meat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meat {
    /// As it was named; empty when not said.
    pub species: String,
    /// Raw weight.
    pub weight_g: Grams,
}

/// A cure that a batch got.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dose {
    /// How it was applied.
    pub method: String,
    /// What the meat becomes.
    pub product: String,
    /// Raw weight of the meat that was dosed.
    pub meat_g: Grams,
    /// Weight of the cure mix.
    pub cure_g: Grams,
    /// The part of the mix that is nitrite, by its label.
    pub nitrite_of_one: OfOne,
    /// The part of the mix that is nitrate, by its label.
    pub nitrate_of_one: OfOne,
    /// Plain salt beside the cure, as a part of the meat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub salt_of_one: Option<OfOne>,
    /// Ingoing nitrite as sodium nitrite.
    pub ingoing_nitrite_mg_per_kg: f64,
    /// Ingoing nitrate as sodium nitrate.
    pub ingoing_nitrate_mg_per_kg: f64,
    /// The country it was judged for; empty: all rulebooks.
    pub country: String,
    /// What the rules said then.
    pub verdicts: Vec<Verdict>,
}

/// What a rule said of a dose when it was kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Verdict {
    /// The rule's stable id.
    pub rule: String,
    /// The rulebook.
    pub country: String,
    /// `within`, `over` and the like.
    pub outcome: String,
}

/// A piece as it was hung.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceHung {
    /// Its number in the batch, from 1.
    pub number: u32,
    /// What the scale showed, tare included.
    pub gross_g: Grams,
    /// Casing, string, net and hook.
    pub tare_g: Grams,
    /// Raw weight before the cure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before_cure_g: Option<Grams>,
}

/// What was known of a pH meter's last check when it was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// How long before the reading it was checked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub age_h: Option<HoursNumber>,
    /// Slope in percent of the theoretical one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slope_percent: Option<f64>,
    /// Offset at pH 7.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset_mv: Option<f64>,
    /// One buffer near pH 4 was read within 0.05.
    pub one_buffer_passed: bool,
    /// The check found it off in a buffer.
    pub buffer_missed: bool,
}

/// A pH meter in one buffer: it showed a pH or a voltage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BufferPoint {
    /// The buffer's pH at the temperature of the check.
    pub buffer_ph: PhNumber,
    /// What the meter showed.
    pub shown: Shown,
}

/// What a pH meter showed: `{"ph": 4.02}` or `{"mv": 174}`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// A pH.
    Ph(PhNumber),
    /// The electrode's voltage in millivolts.
    Mv(Millivolts),
}

/// A hygrometer over one salt jar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltPoint {
    /// The salt, by its formula.
    pub salt: String,
    /// Temperature of the jar.
    pub temperature: Degrees,
    /// What the jar has at that temperature.
    pub reference_percent: HumidityPercent,
    /// What the hygrometer showed.
    pub shown_percent: HumidityPercent,
}

/// How a batch is kept, and what was measured when it was put away.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Storage {
    /// The way.
    pub how: StorageKind,
    /// Where it lies.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Degrees>,
    /// All that is left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weight_g: Option<Grams>,
    /// In so many portions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub portions: Option<i64>,
    /// Measured in the finished piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ph: Option<PhNumber>,
    /// Measured in the finished piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_activity: Option<Activity>,
}

/// What its maker says of a finished batch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Appraisal {
    /// What it weighs finished, without casing and string.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finished_weight_g: Option<Grams>,
    /// How it tastes, 1 (poor) to 5 (excellent).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taste: Option<Rating>,
    /// How it bites and cuts, 1 to 5.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub texture: Option<Rating>,
    /// How the slice looks, 1 to 5.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub look: Option<Rating>,
}
