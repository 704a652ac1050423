//! Why a file, or a line of it, is not taken.

use super::understood::{DateOrder, DecimalSign};
use crate::quantity::parse::echo;
use crate::quantity::{MassUnit, Temperature};
use chrono::{DateTime, NaiveDate, Utc};

/// What a file is that is no text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binary {
    /// A PDF document.
    Pdf,
    /// A zip archive, which is also what newer spreadsheets are.
    Zip,
    /// A spreadsheet or document of the older, binary kind.
    OldOffice,
    /// A picture.
    Picture,
    /// A compressed file.
    Compressed,
    /// A database.
    Database,
    /// UTF-16 without its mark, or something else with NUL bytes in it.
    Unknown,
}

/// A place in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The line, the first is 1.
    pub line: u32,
    /// The column, the first is 1.
    pub column: u32,
    /// What stands there, harmless to repeat.
    pub text: String,
}

impl Place {
    /// A place by the index of its cell, counted from 0.
    pub(super) fn new(line: u32, index: usize, text: &str) -> Self {
        Self { line, column: column(index), text: harmless(text) }
    }
}

/// An index of a cell as people count columns.
pub(super) fn column(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX).saturating_add(1)
}

/// Why nothing of a file is taken.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// No bytes, or nothing but blanks.
    Empty,
    /// Heads, and no row under them that holds a value.
    NoRows {
        /// The line of the heads.
        header_line: Option<u32>,
    },
    /// Not a text.
    NotText(Binary),
    /// More bytes than asked for.
    TooBig {
        /// Its size in bytes.
        bytes: usize,
        /// What is read at most.
        most: usize,
    },
    /// More lines or cells than are read.
    TooLong {
        /// The line at which reading stopped.
        line: u32,
    },
    /// A quotation mark is opened and never closed.
    QuoteOpen {
        /// Where it is opened.
        line: u32,
    },
    /// No line of heads names a time, and no row begins to look like one.
    NoTime {
        /// The first line that is not blank.
        first_line: Place,
    },
    /// Only a count since the start: nobody knows when that was.
    Elapsed(Place),
    /// Times of day without a date.
    NoDate(Place),
    /// No column is one of temperature, humidity or weight.
    NoValue {
        /// The line of the heads, or of the first row.
        line: u32,
        /// The heads.
        heads: Vec<String>,
    },
    /// A column that the member chose and the file does not have.
    NoSuchColumn {
        /// What was asked for, the first is 1.
        column: u32,
        /// How many there are.
        columns: u32,
    },
    /// Day and month could each be the other.
    DayOrMonth {
        /// The first date that can be read in both ways.
        place: Place,
        /// The readings that are left.
        readings: Vec<(DateOrder, NaiveDate)>,
    },
    /// One date can only have the day first, another only the month: a file that a program has half converted.
    DatesMixed {
        /// A date that can only be read in one way.
        first: Place,
        /// A date that can only be read in another.
        second: Place,
    },
    /// Neither head nor cell says °C or °F.
    ScaleUnknown {
        /// The first value.
        place: Place,
        /// Read as °C.
        celsius: Temperature,
        /// Read as °F.
        fahrenheit: Temperature,
    },
    /// A value has no unit, or one that is not read here.
    UnitUnknown {
        /// The first value, or the head where the unit stands there.
        place: Place,
        /// The column's head.
        head: String,
    },
    /// Every number can be read with decimals or with thousands: `1.234`.
    DecimalUnclear {
        /// The first of them.
        place: Place,
        /// The sign that is in doubt.
        sign: DecimalSign,
    },
    /// A later line of heads names other columns of weights.
    HeadsChanged {
        /// That line.
        line: u32,
    },
    /// Every row lies in the future.
    InFuture {
        /// The earliest row.
        first: DateTime<Utc>,
        /// Its line.
        line: u32,
    },
    /// No line could be read.
    AllFaulty {
        /// What is wrong with the first.
        first: Box<Fault>,
        /// How many.
        lines: u32,
    },
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// More or fewer cells than heads.
    Cells {
        /// Cells in the line.
        found: u32,
        /// Heads.
        expected: u32,
    },
    /// Not a date or time that is read here.
    NotATime,
    /// A time that the clocks skip in spring.
    SkippedHour,
    /// Later than now.
    InFuture {
        /// The instant.
        at: DateTime<Utc>,
    },
    /// A word where a number belongs.
    NotANumber,
    /// The decimal sign of the file is the other one.
    OtherDecimalSign,
    /// Separators of thousands, which are never guessed.
    Thousands,
    /// Outside of what the air or a piece can be.
    OutOfRange,
    /// A unit that does not belong into this column, or is not read here.
    OtherUnit,
    /// No unit, after a line that has one the column's head does not have.
    MixedUnits,
    /// A formula of a spreadsheet.
    Formula,
    /// An earlier line says something else for the same time.
    SaysOtherwise {
        /// That line.
        earlier_line: u32,
    },
}

/// A line that is not taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Where, and what stands there.
    pub place: Place,
    /// What is wrong.
    pub what: What,
}

impl Fault {
    pub(super) fn new(line: u32, index: usize, text: &str, what: What) -> Self {
        Self { place: Place::new(line, index, text), what }
    }
}

/// A text of the file as it may be repeated: cut to 40 characters, what cannot be seen written out, and what a
/// spreadsheet would take for a formula behind an apostrophe.
pub(super) fn harmless(text: &str) -> String {
    let shown = echo(text.trim());
    if is_formula(&shown) { format!("'{shown}") } else { shown }
}

/// Whether a spreadsheet would evaluate this: `=`, `+`, `-` or `@` before a letter or another of them.
pub(super) fn is_formula(text: &str) -> bool {
    let mut characters = text.trim_start().chars();
    let first = characters.next();
    let next = characters.find(|character| !character.is_whitespace());
    match first {
        Some('=' | '@') => next.is_some(),
        Some('+' | '-') => {
            next.is_some_and(|next| next.is_alphabetic() || matches!(next, '=' | '@' | '(' | '+'))
        }
        _ => false,
    }
}

/// How units of mass are written in heads and cells (common practice, no source).
pub(super) const MASS_UNITS: [(&str, MassUnit); 12] = [
    ("g", MassUnit::Gram),
    ("gr", MassUnit::Gram),
    ("gram", MassUnit::Gram),
    ("grams", MassUnit::Gram),
    ("gramm", MassUnit::Gram),
    ("grammi", MassUnit::Gram),
    ("kg", MassUnit::Kilogram),
    ("kilo", MassUnit::Kilogram),
    ("oz", MassUnit::Ounce),
    ("lb", MassUnit::Pound),
    ("lbs", MassUnit::Pound),
    ("pound", MassUnit::Pound),
];
