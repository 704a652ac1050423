//! Reads what the label of a cure says: `nitrite:6.25% nitrate:4%`. A colour, a name or a number on the bag is
//! refused with both readings; nothing is ever guessed.
#![expect(clippy::similar_names, reason = "nitrite and nitrate are the field's words")]

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
        return Err(UserError::new(Code::LabelNeeded, sentence, args.line().with("nitrate", "4%")));
    }
    percent(args, "nitrate", text)
}

/// A percentage, with or without the salt it is of: `4%`, `4% potassium nitrate`.
fn percent(args: Args<'_>, name: &'static str, text: &str) -> Result<Part, UserError> {
    let cation = text.split_once('%').and_then(|(_, named)| cation(name, named));
    let number = match cation {
        Some(_) => text.split_once('%').map_or(text, |(number, _)| number).trim_end().to_owned() + "%",
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
    let (key, weight) = match name {
        "nitrite" => ("cure.label.spoon", "6.25%"),
        "nitrate" => ("cure.label.spoon", "4%"),
        "cure" => ("cure.label.spoon", "5.4 g"),
        _ => ("cure.label.spoon_of_other", "1 kg"),
    };
    let sentence = say(key, &[("typed", &shown(text))]);
    UserError::new(Code::Spoon, sentence, args.line().with(name, weight))
}

/// What is sold most, by percentage: "6.25 %, 5.88 %, 6.25 % with nitrate 4 %, …".
fn presets() -> String {
    let one = |preset: &CureLabel| {
        let nitrite = format::percent(preset.nitrite());
        if preset.nitrate().as_one() > 0.0 {
            say(
                "cure.label.preset_both",
                &[("nitrite", &nitrite), ("nitrate", &format::percent(preset.nitrate()))],
            )
        } else {
            nitrite
        }
    };
    PRESETS.iter().map(one).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::asking::Asking;
    use crate::command::line;
    use crate::record::{Group, GroupId, GroupSettings, Member, MemberId, MemberSettings, Role};
    use chrono::DateTime;

    fn asking() -> Asking {
        let group = Group {
            id: GroupId(1),
            name: "home".into(),
            settings: GroupSettings::default(),
            chat: None,
            left: None,
        };
        let member = Member {
            id: MemberId(1),
            group: group.id,
            name: "mara".into(),
            role: Role::Member,
            settings: MemberSettings::default(),
            chat: None,
        };
        Asking {
            member,
            group,
            now: DateTime::UNIX_EPOCH,
            request: None,
            confirmed: false,
            moderates: false,
            place: None,
            typed: String::new(),
            file: None,
            seen: crate::command::Seen::default(),
        }
    }

    fn read_line(options: &str) -> Result<CureLabel, UserError> {
        let line = line::read(&format!("cure mix meat:1 kg {options}"))?.expect("a command");
        read(Args::new(&line, &asking()))
    }

    #[test]
    fn a_label_is_read_by_its_percentages() {
        for text in
            ["nitrite:6.25%", "nitrite:6,25 %", "nitrite:6.25 percent", "nitrite:6.25% sodium nitrite"]
        {
            let label = read_line(text).unwrap();
            assert!((label.nitrite().as_percent() - 6.25).abs() < 1e-12, "{text}");
            assert!(label.nitrate().as_one() <= 0.0);
        }
        let both = read_line("nitrite:5.67% nitrate:3.63%").unwrap();
        assert!((both.nitrate().as_percent() - 3.63).abs() < 1e-12);
        assert!(!both.nitrate_cation_is_known());
    }

    #[test]
    fn the_cation_is_read_where_the_label_names_it() {
        let label = read_line("nitrite:6.25% nitrate:4% potassium nitrate").unwrap();
        assert!(label.nitrate_cation_is_known());
        assert_eq!(label.nitrate_salt(), crate::quantity::AmountBasis::PotassiumNitrate);
        let label = read_line("nitrite:6% potassium").unwrap();
        assert_eq!(label.nitrite_salt(), crate::quantity::AmountBasis::PotassiumNitrite);
    }

    #[test]
    fn what_is_no_percentage_is_refused_by_what_it_is() {
        for (text, code) in [
            ("nitrite:pink", Code::LabelNeeded),
            ("nitrite:pink salt", Code::LabelNeeded),
            ("nitrite:#1", Code::LabelNeeded),
            ("nitrite:cure 1", Code::LabelNeeded),
            ("nitrite:celery powder", Code::LabelNeeded),
            ("nitrite:himalayan", Code::NotACure),
            ("nitrite:pink himalayan", Code::NotACure),
            ("nitrite:saltpetre", Code::NitrateNotNitrite),
            ("nitrite:potassium nitrate", Code::NitrateNotNitrite),
            ("nitrite:1 tsp", Code::Spoon),
            ("nitrite:6.25", Code::PercentSignNeeded),
            ("nitrite:NaN", Code::OutOfRange),
            ("nitrite:1e400", Code::OutOfRange),
            ("nitrite:625%", Code::OutOfRange),
            ("nitrite:60% nitrate:50%", Code::OutOfRange),
            ("nitrite:6.25% nitrate:saltpetre", Code::LabelNeeded),
            ("nitrite:6.25% nitrate:4", Code::PercentSignNeeded),
            ("nitrate:4%", Code::MissingOption),
        ] {
            let error = read_line(text).unwrap_err();
            assert_eq!(error.code, code, "{text}: {}", error.sentence);
        }
    }

    #[test]
    fn a_refusal_shows_both_readings_and_a_line_that_works() {
        let error = read_line("nitrite:pink").unwrap_err();
        assert!(error.sentence.contains("6.25 % nitrite") && error.sentence.contains("with none"));
        for percent in ["6.25 %", "5.88 %", "6.25 % with 4 % nitrate", "5.67 % with 3.63 % nitrate", "0.4 %"]
        {
            assert!(error.sentence.contains(percent), "{percent}: {}", error.sentence);
        }
        assert_eq!(error.example, "cure mix meat:1 kg nitrite:6.25%");
    }
}
