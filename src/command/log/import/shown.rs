//! What was understood of a file, in words that can be held against it.

use super::refused;
use crate::command::asking::Asking;
use crate::command::time;
use crate::quantity::format;
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale};
use crate::reply::{Question, say};
use crate::sheet::{
    Column, DateOrder, DecidedBy, DecimalSign, Delimiter, Encoding, Ignored, Meaning, Sheet, Understood,
    ZoneFrom,
};
use chrono::{DateTime, Utc};

/// Rows that a member can hold against the file, doubts and faults that are spelt out.
pub(super) const SHOWN: usize = 3;

/// What would be kept, to be answered with yes.
pub(super) struct Preview {
    /// What it is.
    pub(super) headline: String,
    /// The first rows.
    pub(super) first: Vec<String>,
    /// What is left out, and what is hard to believe.
    pub(super) left_out: Vec<String>,
    /// How many rows are kept.
    pub(super) rows: usize,
}

impl Preview {
    /// The question, with how the file was read and what of it could not be.
    pub(super) fn of(self, sheet: &Sheet, asking: &Asking) -> Question {
        let mut lines = vec![self.headline];
        lines.extend(understood(&sheet.understood, asking));
        lines.push(say("log.import.first_rows", &[("rows", &self.first.join("; "))]));
        lines.extend(self.left_out);
        lines.extend(faults(sheet));
        lines.push(say("log.import.keep", &[("rows", &self.rows.to_string())]));
        Question {
            code: "confirm_import",
            text: lines.join("\n"),
            example: "yes".to_owned(),
            choices: Vec::new(),
            answers: Vec::new(),
            line: String::new(),
        }
    }
}

/// A row's values, in the file's own scale.
pub(super) fn air(temperature: Option<Temperature>, humidity: Option<RelativeHumidity>) -> String {
    let temperature = temperature.map(format::temperature_exact);
    let humidity = humidity.map(format::relative_humidity_exact);
    temperature.into_iter().chain(humidity).collect::<Vec<_>>().join(", ")
}

/// From the first row to the last; the moment alone where there is only one.
pub(super) fn span(moments: impl IntoIterator<Item = DateTime<Utc>>, asking: &Asking) -> String {
    let shown = |at| time::moment(at, asking.now, asking.zone());
    let mut moments = moments.into_iter();
    let Some(first) = moments.next() else { return String::new() };
    match moments.last().filter(|last| *last != first) {
        Some(last) => say("log.import.span", &[("first", &*shown(first)), ("last", &shown(last))]),
        None => shown(first),
    }
}

/// How it was read, and what of its columns is taken.
fn understood(understood: &Understood, asking: &Asking) -> Vec<String> {
    let columns: Vec<String> =
        understood.columns.iter().filter_map(|column| taken(column, understood)).collect();
    let mut lines = vec![
        say("log.import.read_as", &[("how", &how(understood, asking).join(", "))]),
        say("log.import.columns", &[("columns", &columns.join("; "))]),
    ];
    let left: Vec<&str> = understood
        .columns
        .iter()
        .filter(|column| is_worth_a_word(column))
        .map(|column| &*column.head)
        .collect();
    if !left.is_empty() {
        lines.push(say("log.import.columns_left", &[("columns", &left.join(", "))]));
    }
    if understood.gaps > 0 {
        lines.push(say("log.import.gaps", &[("count", &understood.gaps.to_string())]));
    }
    if understood.duplicates > 0 {
        lines.push(say("log.import.duplicates", &[("count", &understood.duplicates.to_string())]));
    }
    if understood.doubled_hour.second_pass > 0 {
        let holes = [
            ("first", &*understood.doubled_hour.first_pass.to_string()),
            ("second", &understood.doubled_hour.second_pass.to_string()),
        ];
        lines.push(say("log.import.doubled_hour", &holes));
    }
    lines
}

fn how(understood: &Understood, asking: &Asking) -> Vec<String> {
    let word = |key: &str| say(&format!("log.import.how.{key}"), &[]);
    let mut how = vec![word(match understood.delimiter {
        Delimiter::Comma => "commas",
        Delimiter::Semicolon => "semicolons",
        Delimiter::Tab => "tabs",
        Delimiter::Pipe => "bars",
    })];
    how.extend(understood.decimal_sign.map(|sign| {
        word(match sign {
            DecimalSign::Comma => "decimal_comma",
            DecimalSign::Point => "decimal_point",
        })
    }));
    how.push(dates(understood));
    if understood.twelve_hours {
        how.push(word("twelve_hours"));
    }
    if understood.days_only {
        how.push(word("days_only"));
    }
    how.push(zone(understood.zone, asking));
    if understood.encoding == Encoding::Windows1252 {
        how.push(word("western"));
    }
    how
}

fn dates(understood: &Understood) -> String {
    let order = match understood.date_order {
        DateOrder::YearFirst => return say("log.import.how.year_first", &[]),
        DateOrder::DayFirst => "log.import.how.day_first",
        DateOrder::MonthFirst => "log.import.how.month_first",
    };
    let why = match understood.date_order_by {
        DecidedBy::Form => return say(order, &[("why", "")]),
        DecidedBy::DayOverTwelve => "over_twelve",
        DecidedBy::SameEitherWay => "same",
        DecidedBy::OrderInTime => "in_order",
        DecidedBy::Points => "points",
        DecidedBy::NotInFuture => "not_in_future",
        DecidedBy::Asked => "asked",
        DecidedBy::Head => "head",
    };
    say(order, &[("why", &say(&format!("log.import.because.{why}"), &[]))])
}

fn zone(zone: ZoneFrom, asking: &Asking) -> String {
    let member = |zone: chrono_tz::Tz| say("log.import.how.zone_of_member", &[("zone", zone.name())]);
    match zone {
        ZoneFrom::Rows => say("log.import.how.zone_of_rows", &[]),
        ZoneFrom::Head(offset) => say("log.import.how.zone_of_head", &[("offset", &offset.to_string())]),
        ZoneFrom::Member(zone) => member(zone),
        ZoneFrom::RowsAndMember(_) => member(asking.zone()),
    }
}

/// A column that is taken, by its head, and what it is taken for.
fn taken(column: &Column, understood: &Understood) -> Option<String> {
    let key = match &column.meaning {
        Meaning::Moment | Meaning::Date | Meaning::TimeOfDay => "log.import.is.time",
        Meaning::Temperature(scale) => match scale.or(understood.temperature_scale) {
            Some(TemperatureScale::Celsius) => "log.import.is.celsius",
            Some(TemperatureScale::Fahrenheit) => "log.import.is.fahrenheit",
            None => "log.import.is.temperature",
        },
        Meaning::Humidity => "log.import.is.humidity",
        Meaning::Weight { .. } => "log.import.is.weight",
        Meaning::Ignored(_) => return None,
    };
    let number = column.column.to_string();
    let head = if column.head.is_empty() { &number } else { &column.head };
    Some(say(key, &[("head", head)]))
}

/// What could have been meant; a counter or a battery could not.
fn is_worth_a_word(column: &Column) -> bool {
    let Meaning::Ignored(why) = &column.meaning else { return false };
    !column.head.is_empty() && !matches!(why, Ignored::Counter)
}

/// The lines that are not taken: how many, and the first of them.
fn faults(sheet: &Sheet) -> Option<String> {
    let count = sheet.understood.faulty_lines;
    if count == 0 {
        return None;
    }
    let first: Vec<String> = sheet.faults.iter().take(SHOWN).map(refused::fault).collect();
    let holes = [("count", &*count.to_string()), ("first", &first.join("; "))];
    Some(say("log.import.faults", &holes))
}
