//! Reads what the label of a cure says: `nitrite:6.25% nitrate:4%`. A colour, a name or a number on the bag is
//! refused with both readings; nothing is ever guessed.

use super::words::{Misnamed, is_spoon, misnamed};
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::curing::cure::{CureLabel, PRESETS};
use crate::quantity::parse;
use crate::quantity::{Cation, Fraction, format};
use crate::reply::say;

/// The cure in the options `nitrite:` and `nitrate:`.
pub(super) fn read(args: Args<'_>) -> Result<CureLabel, UserError> {
    let (nitrite, nitrite_cation) = nitrite(args)?;
    let (nitrate, nitrate_cation) = nitrate(args)?;
    let label = CureLabel::new(nitrite, nitrate).map_err(|error| super::refusal::of(&error, args.line()))?;
    let label = nitrite_cation.map_or(label, |cation| label.with_nitrite_of(cation));
    Ok(nitrate_cation.map_or(label, |cation| label.with_nitrate_of(cation)))
}

type Part = (Fraction, Option<Cation>);

fn nitrite(args: Args<'_>) -> Result<Part, UserError> {
    let text = args.needed("nitrite")?;
    if let Some(misnamed) = misnamed(text) {
        return Err(refused(args, "nitrite", misnamed, text));
    }
    percent(args, "nitrite", text)
}

fn nitrate(args: Args<'_>) -> Result<Part, UserError> {
    let Some(text) = args.text("nitrate") else {
        return Ok((Fraction::of_one(0.0), None));
    };
    if is_spoon(text) {
        return Err(spoon(args, "nitrate", text));
    }
    if !text.contains('%') && matches!(misnamed(text), Some(Misnamed::Nitrate | Misnamed::Unclear)) {
        let sentence = say("cure.label.nitrate_percent", &[("typed", &shown(text))]);
        return Err(UserError::new(
            Code::LabelNeeded,
            sentence,
            args.line().with("nitrate", "4%"),
        ));
    }
    percent(args, "nitrate", text)
}

/// A percentage, with or without the salt it is of: `4%`, `4% potassium nitrate`.
fn percent(args: Args<'_>, name: &'static str, text: &str) -> Result<Part, UserError> {
    let cation = text.split_once('%').and_then(|(_, named)| cation(name, named));
    let number = match cation {
        Some(_) => {
            text.split_once('%')
                .map_or(text, |(number, _)| number)
                .trim_end()
                .to_owned()
                + "%"
        }
        None => text.to_owned(),
    };
    let fraction = parse::percent(&number).map_err(|error| args.quantity_error(name, &error))?;
    Ok((fraction, cation))
}

fn cation(name: &str, named: &str) -> Option<Cation> {
    let named = named.trim().to_lowercase();
    match named.strip_suffix(name).unwrap_or(&named).trim_end() {
        "sodium" => Some(Cation::Sodium),
        "potassium" => Some(Cation::Potassium),
        _ => None,
    }
}

fn refused(args: Args<'_>, name: &'static str, misnamed: Misnamed, text: &str) -> UserError {
    let (code, key) = match misnamed {
        Misnamed::Spoon => return spoon(args, name, text),
        Misnamed::TableSalt => (Code::NotACure, "cure.label.table_salt"),
        Misnamed::Nitrate => (Code::NitrateNotNitrite, "cure.label.saltpetre"),
        Misnamed::Vegetable => (Code::LabelNeeded, "cure.label.vegetable"),
        Misnamed::Unclear => (Code::LabelNeeded, "cure.label.unclear"),
    };
    let sentence = say(key, &[("typed", &shown(text)), ("presets", &presets())]);
    UserError::new(code, sentence, args.line().with(name, "6.25%"))
}

/// The refusal of an amount by volume. The example is the line with a weight in the spoon's place.
pub(super) fn spoon(args: Args<'_>, name: &'static str, text: &str) -> UserError {
    let weight = match name {
        "nitrite" => "6.25%",
        "nitrate" => "4%",
        "cure" => "5.4 g",
        _ => "1 kg",
    };
    let sentence = say("cure.label.spoon", &[("typed", &shown(text))]);
    UserError::new(Code::Spoon, sentence, args.line().with(name, weight))
}

/// What is sold most, by percentage: "6.25 %, 5.88 %, 6.25 % with nitrate 4 %, …".
fn presets() -> String {
    let one = |preset: &CureLabel| {
        let nitrite = format::percent(preset.nitrite());
        if preset.nitrate().as_one() > 0.0 {
            say(
                "cure.label.preset_both",
                &[
                    ("nitrite", &nitrite),
                    ("nitrate", &format::percent(preset.nitrate())),
                ],
            )
        } else {
            nitrite
        }
    };
    PRESETS.iter().map(one).collect::<Vec<_>>().join(", ")
}
