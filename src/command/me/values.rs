//! Settings' values: read from a line, and shown.

use super::zone::{self, NotOne};
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::curing::Country;
use crate::quantity::{MassUnit, TemperatureScale};
use crate::reply::{calendar, say};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// The words of a unit of weight.
pub(super) const MASS_UNITS: &[&str] = &["g", "kg", "oz", "lb"];

/// The words of a scale of temperature.
pub(super) const SCALES: &[&str] = &["C", "F"];

/// The tags of the languages there is a wording for.
pub(super) const LANGUAGES: &[&str] = &["en", "de"];

/// What stands in an example when it cannot be told what was meant.
const SOME_COUNTRY: &str = "IT";
const SOME_ZONE: &str = "Europe/Rome";

/// The option `country:`. `command` makes the example of the error.
pub(in crate::command) fn country(args: Args<'_>, command: &str) -> Result<Option<Country>, UserError> {
    let Some(typed) = args.text("country") else {
        return Ok(None);
    };
    Country::parse(typed).map(Some).ok_or_else(|| {
        let meant = code_of(typed).unwrap_or(SOME_COUNTRY);
        let sentence = say("me.values.country", &[("typed", &shown(typed))]);
        UserError::new(Code::UnknownChoice, sentence, format!("{command} country:{meant}"))
    })
}

/// Countries by their English names, with the codes of ISO 3166-1, for the example of an error.
const NAMES: &[(&str, &str)] = &[
    ("uk", "GB"),
    ("united kingdom", "GB"),
    ("great britain", "GB"),
    ("britain", "GB"),
    ("england", "GB"),
    ("scotland", "GB"),
    ("wales", "GB"),
    ("usa", "US"),
    ("united states", "US"),
    ("america", "US"),
    ("canada", "CA"),
    ("australia", "AU"),
    ("new zealand", "NZ"),
    ("austria", "AT"),
    ("belgium", "BE"),
    ("bulgaria", "BG"),
    ("croatia", "HR"),
    ("cyprus", "CY"),
    ("czechia", "CZ"),
    ("czech republic", "CZ"),
    ("denmark", "DK"),
    ("estonia", "EE"),
    ("finland", "FI"),
    ("france", "FR"),
    ("germany", "DE"),
    ("greece", "GR"),
    ("hungary", "HU"),
    ("ireland", "IE"),
    ("italy", "IT"),
    ("latvia", "LV"),
    ("lithuania", "LT"),
    ("luxembourg", "LU"),
    ("malta", "MT"),
    ("netherlands", "NL"),
    ("holland", "NL"),
    ("poland", "PL"),
    ("portugal", "PT"),
    ("romania", "RO"),
    ("slovakia", "SK"),
    ("slovenia", "SI"),
    ("spain", "ES"),
    ("sweden", "SE"),
    ("europe", "EU"),
    ("european union", "EU"),
];

/// The code of a country that is typed by its name.
fn code_of(typed: &str) -> Option<&'static str> {
    let typed = typed.trim().to_lowercase();
    NAMES.iter().find(|(name, _)| *name == typed).map(|(_, code)| *code)
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
    calendar::moment(now.with_timezone(&zone).naive_local())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reply::Language;

    #[test]
    fn a_country_by_name_leads_to_a_code_that_is_read() {
        assert_eq!(code_of("Germany"), Some("DE"));
        assert_eq!(code_of(" uk "), Some("GB"));
        assert_eq!(code_of("Atlantis"), None);
        assert!(NAMES.iter().all(|(_, code)| Country::parse(code).is_some()));
    }

    #[test]
    fn every_word_of_the_options_is_read() {
        assert!(MASS_UNITS.iter().all(|word| mass_unit(word).is_some_and(|unit| unit.symbol() == *word)));
        assert!(SCALES.iter().all(|word| scale(&word.to_lowercase()).is_some()));
        assert_eq!(LANGUAGES, Language::ALL.map(Language::tag));
        assert_eq!(mass_unit("stone"), None);
        assert_eq!(scale("°f"), Some(TemperatureScale::Fahrenheit));
        assert_eq!(scale("k"), None);
    }
}
