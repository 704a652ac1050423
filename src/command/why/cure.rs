//! Why a cure, a brine or a target weight cannot be worked out.

use super::{Why, values};
use crate::curing::brine::BrineError;
use crate::curing::cure::CureError;
use crate::curing::drying::TargetError;
use crate::curing::rule::Limit;
use crate::quantity::format::trimmed;
use crate::reply::say;

impl Why for CureError {
    fn why(&self) -> String {
        match self {
            Self::NotPositive { what, example } => {
                say("why.cure.not_positive", &[("what", &thing(what)), ("example", example)])
            }
            Self::OutOfRange { what, range, example } => {
                let holes = [("what", &*thing(what)), ("range", &values(range)), ("example", example)];
                say("why.cure.out_of_range", &holes)
            }
            Self::LabelSum => say("why.cure.label_sum", &[]),
            Self::NoNitrite => say("why.cure.no_nitrite", &[]),
            Self::OverMaximum { asked, most, row } => {
                let source = row.map_or_else(String::new, source_of);
                say("why.cure.over_maximum", &[("asked", asked), ("most", most), ("source", &source)])
            }
            Self::BelowMinimum { row } => {
                let least = format!("{} {}", row.printed, row.unit);
                say("why.cure.below_minimum", &[("least", &least), ("source", &source_of(row))])
            }
            Self::NoRoom { least, most } => {
                say("why.cure.no_room", &[("least", &least.id), ("most", &most.id)])
            }
            Self::NitrateNotPermitted { row } => {
                say("why.cure.nitrate_not_permitted", &[("source", &source_of(row))])
            }
            Self::ScaleTooCoarse { dose, step, .. } => {
                say("why.cure.scale_too_coarse", &[("dose", dose), ("step", step)])
            }
            Self::PickleTooSmall => say("why.cure.pickle_too_small", &[]),
            Self::WeightNeeded => say("why.cure.weight_needed", &[]),
            Self::NoCustom(why) => say("why.cure.no_custom", &[("why", &custom(why))]),
        }
    }
}

fn thing(english: &str) -> String {
    say(&format!("why.cure.what_{}", english.replace([' ', '-'], "_")), &[])
}

fn source_of(row: &Limit) -> String {
    format!(" ({}, {})", row.rulebook.name(), row.source)
}

fn custom(english: &str) -> String {
    match english {
        text if text.starts_with("cure mixed") => say("why.cure.custom_mince", &[]),
        text if text.starts_with("pumping") => say("why.cure.custom_pumping", &[]),
        _ => say("why.cure.custom_form", &[]),
    }
}

impl Why for BrineError {
    fn why(&self) -> String {
        match self {
            Self::Strength { percent } => say("why.brine.strength", &[("percent", &trimmed(*percent, 2))]),
            Self::Degrees { degrees } => say("why.brine.degrees", &[("degrees", &trimmed(*degrees, 1))]),
            Self::Temperature { celsius } => {
                say("why.brine.temperature", &[("celsius", &trimmed(*celsius, 1))])
            }
            Self::BeyondDensities => say("why.brine.beyond_densities", &[]),
            Self::Volume => say("why.brine.volume", &[]),
            Self::TooMuchSalt => say("why.brine.too_much_salt", &[]),
        }
    }
}

impl Why for TargetError {
    fn why(&self) -> String {
        let text = |number: &f64| number.to_string();
        match self {
            Self::WeightOutOfRange { grams } => say("why.target.weight", &[("grams", &text(grams))]),
            Self::TareOutOfRange { grams } => say("why.target.tare", &[("grams", &text(grams))]),
            Self::NothingBesideTare { gross_grams, tare_grams } => {
                let holes = [("gross", &*text(gross_grams)), ("tare", &text(tare_grams))];
                say("why.target.nothing_beside_tare", &holes)
            }
            Self::LossOutOfRange { percent } => say("why.target.loss", &[("percent", &text(percent))]),
            Self::Grew { now_grams, green_grams } => {
                say("why.target.grew", &[("now", &text(now_grams)), ("green", &text(green_grams))])
            }
        }
    }
}
