//! Why a text is not a quantity.

use super::{Why, values};
use crate::quantity::QuantityError;
use crate::reply::say;

impl Why for QuantityError {
    fn why(&self) -> String {
        match self {
            Self::Empty => say("why.quantity.empty", &[]),
            Self::NotANumber { text } => say("why.quantity.not_a_number", &[("text", text)]),
            Self::TooLong { text } => say("why.quantity.too_long", &[("text", text)]),
            Self::UnitMissing { text, accepted } => {
                say("why.quantity.unit_missing", &[("text", text), ("accepted", &values(accepted))])
            }
            Self::UnitUnknown { unit, accepted } => {
                say("why.quantity.unit_unknown", &[("unit", unit), ("accepted", &values(accepted))])
            }
            Self::GallonAmbiguous { text } => say("why.quantity.gallon", &[("text", text)]),
            Self::PercentSignNeeded { text } => say("why.quantity.percent_sign", &[("text", text)]),
            Self::NumberAmbiguous { text, low, high } => {
                say("why.quantity.number_ambiguous", &[("text", text), ("low", low), ("high", high)])
            }
            Self::PartsUnclear { text, rule } => {
                say("why.quantity.parts_unclear", &[("text", text), ("rule", &self::rule(rule))])
            }
            Self::OutOfRange { text, range } => {
                say("why.quantity.out_of_range", &[("text", text), ("range", &values(range))])
            }
        }
    }
}

/// How parts may be put together.
fn rule(english: &str) -> String {
    match english {
        "write one number and °C or °F" => say("why.quantity.rule_temperature", &[]),
        "write one number and mV or V" => say("why.quantity.rule_voltage", &[]),
        "write one number without a space in it" => say("why.quantity.rule_no_space", &[]),
        "write one number and one unit" => say("why.quantity.rule_one_unit", &[]),
        text if text.contains("2 lb 3 oz") => say("why.quantity.rule_mass", &[]),
        text if text.contains(" min") => say("why.quantity.rule_duration", &[]),
        other => other.to_owned(),
    }
}
