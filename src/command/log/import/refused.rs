//! Why a file, or a line of it, is not taken: one sentence with line and column; and what can be asked about.

use super::SPEC;
use crate::command::asking::{Asking, FileSent};
use crate::command::error::{Code, UserError};
use crate::command::line::shown as shortened;
use crate::command::time;
use crate::quantity::format;
use crate::reply::{Question, calendar, say};
use crate::sheet::{Binary, DateOrder, DecimalSign, Fault, Place, Refused, What};

/// What the file leaves open and a tap can say; `None` where it is no such thing.
pub(super) fn question(refused: &Refused, line: &str) -> Option<Question> {
    let asked = |key: &str, place: &Place| {
        let holes = [("text", &*place.text), ("line", &place.line.to_string())];
        say(&format!("log.import.ask.{key}"), &holes)
    };
    let (text, choices) = match refused {
        Refused::DayOrMonth { place, readings } => {
            let choice = |(order, day): &(DateOrder, chrono::NaiveDate)| {
                let word = match order {
                    DateOrder::DayFirst => "day-first",
                    DateOrder::MonthFirst => "month-first",
                    DateOrder::YearFirst => return None,
                };
                let midnight = day.and_hms_opt(0, 0, 0)?;
                Some((calendar::day_of_year(midnight), format!("dates:{word}")))
            };
            let choices: Vec<_> = readings.iter().filter_map(choice).collect();
            (asked("dates", place), choices)
        }
        Refused::ScaleUnknown { place, celsius, fahrenheit } => {
            let choices = vec![
                (format::temperature_exact(*celsius), "unit:C".to_owned()),
                (format::temperature_exact(*fahrenheit), "unit:F".to_owned()),
            ];
            (asked("scale", place), choices)
        }
        Refused::UnitUnknown { place, head } => {
            let choices = ["g", "kg", "oz", "lb"]
                .map(|unit| (format!("{} {unit}", place.text), format!("unit:{unit}")));
            (say("log.import.ask.unit", &[("head", head)]), choices.to_vec())
        }
        Refused::DecimalUnclear { place, sign } => {
            let (decimals, thousands) = match sign {
                DecimalSign::Comma => ("comma", "point"),
                DecimalSign::Point => ("point", "comma"),
            };
            let choices = vec![
                (say("log.import.ask.decimals", &[]), format!("decimal:{decimals}")),
                (say("log.import.ask.thousands", &[]), format!("decimal:{thousands}")),
            ];
            (asked("decimal", place), choices)
        }
        _ => return None,
    };
    let answer = |more: &String| format!("{line} {more}");
    let example = choices.first().map(|(_, more)| answer(more)).unwrap_or_default();
    Some(Question {
        code: "which_reading_of_file",
        text,
        example,
        answers: choices.iter().map(|(_, more)| answer(more)).collect(),
        choices: choices.into_iter().map(|(label, _)| label).collect(),
        line: String::new(),
    })
}

/// The sentence for a file of which nothing is taken.
pub(super) fn error(refused: &Refused, file: &FileSent, asking: &Asking) -> UserError {
    let name = shortened(&file.name);
    let sentence = say("log.import.refused", &[("file", &*name), ("why", &why(refused, asking))]);
    UserError::new(Code::DoesNotFit, sentence, SPEC.examples[0])
}

fn why(refused: &Refused, asking: &Asking) -> String {
    let said = |key: &str, holes: &[(&str, &str)]| say(&format!("log.import.why.{key}"), holes);
    match refused {
        Refused::Empty => said("empty", &[]),
        Refused::NoRows { .. } => said("no_rows", &[]),
        Refused::NotText(binary) => said("not_text", &[("what", &say(kind(*binary), &[]))]),
        Refused::TooBig { .. } => said("too_big", &[]),
        Refused::TooLong { line } => said("too_long", &[("line", &line.to_string())]),
        Refused::QuoteOpen { line } => said("quote_open", &[("line", &line.to_string())]),
        Refused::NoTime { first_line } => at_place("no_time", first_line),
        Refused::Elapsed(place) => at_place("elapsed", place),
        Refused::NoDate(place) => at_place("no_date", place),
        Refused::NoValue { line, heads } => {
            said("no_value", &[("line", &*line.to_string()), ("heads", &heads.join(", "))])
        }
        Refused::NoSuchColumn { column, columns } => {
            said("no_such_column", &[("column", &*column.to_string()), ("columns", &columns.to_string())])
        }
        Refused::DatesMixed { first, second } => said(
            "dates_mixed",
            &[
                ("first", &*first.text),
                ("first_line", &first.line.to_string()),
                ("second", &second.text),
                ("second_line", &second.line.to_string()),
            ],
        ),
        Refused::HeadsChanged { line } => said("heads_changed", &[("line", &line.to_string())]),
        Refused::InFuture { first, line } => {
            let when = time::moment(*first, asking.now, asking.zone());
            said("in_future", &[("when", &*when), ("line", &line.to_string())])
        }
        Refused::AllFaulty { first, lines } => {
            said("all_faulty", &[("first", &*fault(first)), ("lines", &lines.to_string())])
        }
        // What a tap can say was asked before.
        Refused::DayOrMonth { place, .. }
        | Refused::ScaleUnknown { place, .. }
        | Refused::UnitUnknown { place, .. }
        | Refused::DecimalUnclear { place, .. } => at_place("unclear", place),
    }
}

const fn kind(binary: Binary) -> &'static str {
    match binary {
        Binary::Pdf => "log.import.kind.pdf",
        Binary::Zip => "log.import.kind.zip",
        Binary::OldOffice => "log.import.kind.old_office",
        Binary::Picture => "log.import.kind.picture",
        Binary::Compressed => "log.import.kind.compressed",
        Binary::Database => "log.import.kind.database",
        Binary::Unknown => "log.import.kind.unknown",
    }
}

fn at_place(key: &str, place: &Place) -> String {
    let holes =
        [("line", &*place.line.to_string()), ("column", &place.column.to_string()), ("text", &place.text)];
    say(&format!("log.import.why.{key}"), &holes)
}

/// A line that is not taken: "line 7, column 2: …".
pub(super) fn fault(fault: &Fault) -> String {
    let text = fault.place.text.as_str();
    let said = |key: &str| say(&format!("log.import.fault.{key}"), &[("text", text)]);
    let what = match &fault.what {
        What::Cells { found, expected } => {
            let holes = [("found", &*found.to_string()), ("expected", &expected.to_string())];
            say("log.import.fault.cells", &holes)
        }
        What::NotATime => said("not_a_time"),
        What::SkippedHour => said("skipped_hour"),
        What::InFuture { .. } => said("in_future"),
        What::NotANumber => said("not_a_number"),
        What::OtherDecimalSign => said("other_decimal_sign"),
        What::Thousands => said("thousands"),
        What::OutOfRange => said("out_of_range"),
        What::OtherUnit => said("other_unit"),
        What::MixedUnits => said("mixed_units"),
        What::Formula => said("formula"),
        What::SaysOtherwise { earlier_line } => {
            say("log.import.fault.says_otherwise", &[("earlier", &earlier_line.to_string())])
        }
    };
    let holes = [
        ("line", &*fault.place.line.to_string()),
        ("column", &fault.place.column.to_string()),
        ("what", &what),
    ];
    say("log.import.at", &holes)
}
