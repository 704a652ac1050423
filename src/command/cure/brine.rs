//! `/cure brine`: two questions in one command. With `meat:` it is cure and salt for a brine the meat lies in; with
//! `strength:` or `salometer:` it is how strong a brine is and what it takes to make some. An option of the other
//! question is refused by name, so that no line can be read both ways.

mod for_meat;
mod strength;

pub(super) use strength::sentence as brine_sentence;

use super::options::{COUNTRY, NITRATE, NITRITE, PRODUCT, SALT, SCALE, TARGET};
use crate::command::Args;
use crate::command::asking::{Asking, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::spec::{OptionKind, OptionSpec, Spec, maybe};
use crate::reply::say;

/// `/cure brine`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "brine",
    aliases: &[],
    summary: "cure and salt for a brine with meat in it; or how strong a brine is and what it takes",
    options: &[
        maybe("meat", OptionKind::Mass, "raw meat, e.g. 2 kg; or give strength: or salometer:"),
        maybe("water", OptionKind::Mass, "weight of the water, e.g. 1 kg; or give pickle:"),
        maybe("pickle", OptionKind::Mass, "weight of the whole pickle: water, salt, cure and all"),
        OptionSpec { required: false, ..NITRITE },
        NITRATE,
        SALT,
        TARGET,
        maybe("pickup", OptionKind::Percent, "taken out before balance with this gain in weight, e.g. 4%"),
        SCALE,
        PRODUCT,
        COUNTRY,
        maybe("strength", OptionKind::Percent, "salt as a part of a brine without meat, e.g. 15.8%"),
        maybe("salometer", OptionKind::Text, "or what a salometer shows in it, e.g. 60"),
        maybe("temperature", OptionKind::Text, "of that brine, e.g. 4 C; 60 F when not said"),
        maybe("volume", OptionKind::Text, "of it or of its water, e.g. 4 l or 1 US gal"),
    ],
    examples: [
        "cure brine meat:1 kg water:1 kg nitrite:6.25% salt:2.5%",
        "cure brine salometer:60 temperature:4 C volume:4 l",
    ],
    private: false,
};

/// Options of the question about a brine without meat.
const WITHOUT_MEAT: [&str; 4] = ["strength", "salometer", "temperature", "volume"];

/// Options of the question about a brine with meat in it.
const WITH_MEAT: [&str; 11] = [
    "meat", "water", "pickle", "nitrite", "nitrate", "salt", "target", "pickup", "scale", "product",
    "country",
];

/// A brine, with meat in it or without.
#[derive(Debug, Clone)]
pub enum CureBrine {
    /// Cure and salt for meat.
    ForMeat(for_meat::BrineForMeat),
    /// Strength, and salt for a volume.
    Strength(strength::BrineStrength),
}

impl CureBrine {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let given = |names: &[&'static str]| names.iter().copied().find(|name| args.text(name).is_some());
        let asks_strength = ["strength", "salometer"].into_iter().find(|name| args.text(name).is_some());
        match (asks_strength, given(&WITH_MEAT), given(&WITHOUT_MEAT)) {
            (Some(asked), Some(of_meat), _) => {
                let holes = [("asked", asked), ("other", of_meat)];
                let mut line = args.line().clone();
                line.values.retain(|name, _| !WITH_MEAT.contains(name));
                Err(UserError::new(Code::DoesNotFit, say("cure.brine.either", &holes), line.typed()))
            }
            (Some(_), None, _) => strength::BrineStrength::read(args).map(Self::Strength),
            (None, None, Some(_)) => {
                let sentence = say("cure.brine.strength_needed", &[]);
                Err(UserError::new(Code::MissingOption, sentence, args.line().with("salometer", "60")))
            }
            (None, Some(_), Some(other)) => {
                let sentence = say("cure.brine.without_meat_only", &[("other", other)]);
                Err(UserError::new(Code::DoesNotFit, sentence, args.line().without(other)))
            }
            (None, _, None) => for_meat::BrineForMeat::read(args).map(Self::ForMeat),
        }
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        match self {
            Self::ForMeat(brine) => brine.perform(asking),
            Self::Strength(brine) => brine.perform(asking),
        }
    }
}
