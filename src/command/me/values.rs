//! Settings' values: read from a line, and shown.

use super::zone::{self, NotOne};
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::curing::Country;
use crate::quantity::{MassUnit, TemperatureScale};
use crate::reply::say;
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// The words of a unit of weight.
pub(super) const MASS_UNITS: &[&str] = &["g", "kg", "oz", "lb"];

/// The words of a scale of temperature.
pub(super) const SCALES: &[&str] = &["C", "F"];

/// What stands in an example when it cannot be told what was meant.
const SOME_COUNTRY: &str = "IT";
const SOME_ZONE: &str = "Europe/Rome";

/// The option `country:`. `command` makes the example of the error.
pub(in crate::command) fn country(args: Args<'_>, command: &str) -> Result<Option<Country>, UserError> {
    let Some(typed) = args.text("country") else {
        return Ok(None);
    };
    Country::parse(typed).map(Some).ok_or_else(|| {
        let meant = if typed.eq_ignore_ascii_case("UK") { "GB" } else { SOME_COUNTRY };
        let sentence = say("me.values.country", &[("typed", &shown(typed))]);
        UserError::new(Code::UnknownChoice, sentence, format!("{command} country:{meant}"))
    })
}

/// The option `timezone:`. `command` makes the example of the error.
pub(in crate::command) fn timezone(args: Args<'_>, command: &str) -> Result<Option<Tz>, UserError> {
    let Some(typed) = args.text("timezone") else {
        return Ok(None);
    };
    zone::find(typed).map(Some).map_err(|error| {
        let (key, near) = match error {
            NotOne::Several(zones) => ("me.values.timezone_several", zones),
            NotOne::Unknown(near) if near.is_empty() => ("me.values.timezone_unknown", near),
            NotOne::Unknown(near) => ("me.values.timezone_near", near),
        };
        let names = near.iter().map(|zone| zone.name()).collect::<Vec<_>>().join(", ");
        let holes = [("typed", &*shown(typed)), ("names", &names)];
        let meant = near.first().map_or(SOME_ZONE, |zone| zone.name());
        UserError::new(Code::UnknownChoice, say(key, &holes), format!("{command} timezone:{meant}"))
    })
}

/// A unit of weight by its word.
pub(super) fn mass_unit(word: &str) -> Option<MassUnit> {
    [MassUnit::Gram, MassUnit::Kilogram, MassUnit::Ounce, MassUnit::Pound]
        .into_iter()
        .find(|unit| unit.symbol() == word)
}

/// A scale of temperature by its word.
pub(super) fn scale(word: &str) -> Option<TemperatureScale> {
    match word.trim_start_matches('°') {
        "c" | "celsius" => Some(TemperatureScale::Celsius),
        "f" | "fahrenheit" => Some(TemperatureScale::Fahrenheit),
        _ => None,
    }
}

/// What the clocks of a zone show, so that a member sees at once whether it is theirs: "Tue 10 Nov 20:15".
pub(in crate::command) fn clock(now: DateTime<Utc>, zone: Tz) -> String {
    now.with_timezone(&zone).format("%a %-d %b %H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_the_options_is_read() {
        assert!(MASS_UNITS.iter().all(|word| mass_unit(word).is_some_and(|unit| unit.symbol() == *word)));
        assert!(SCALES.iter().all(|word| scale(&word.to_lowercase()).is_some()));
        assert_eq!(mass_unit("stone"), None);
        assert_eq!(scale("°f"), Some(TemperatureScale::Fahrenheit));
        assert_eq!(scale("k"), None);
    }
}
