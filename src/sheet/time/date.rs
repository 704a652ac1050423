//! The date of a cell, as numbers whose order may still be open.

use super::super::understood::DateOrder;
use chrono::NaiveDate;

/// The years that are read. Loggers whose clock was never set count from 1970 or 2000; a later century is a slip.
const YEARS: std::ops::RangeInclusive<i32> = 2000..=2099;

/// A date as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) enum Date {
    /// Read in one way only: year first, or with the month in letters.
    Known(NaiveDate),
    /// Three numbers, the year's four digits last, or two digits each.
    Numbers(Numbers),
}

/// Three numbers of a date as they stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) struct Numbers {
    pub(in crate::sheet) first: u32,
    pub(in crate::sheet) second: u32,
    pub(in crate::sheet) last: u32,
    /// Two digits each, so that even the year could come first.
    pub(in crate::sheet) short: bool,
    /// Points between them.
    pub(in crate::sheet) points: bool,
}

impl Numbers {
    /// The date in an order; `None` where the calendar has none, or its year is not one of this century.
    pub(in crate::sheet) fn under(self, order: DateOrder) -> Option<NaiveDate> {
        let full = |year: u32| if self.short { 2000 + year } else { year };
        match order {
            DateOrder::DayFirst => calendar(full(self.last), self.second, self.first),
            DateOrder::MonthFirst => calendar(full(self.last), self.first, self.second),
            DateOrder::YearFirst if self.short => calendar(full(self.first), self.second, self.last),
            DateOrder::YearFirst => None,
        }
    }
}

impl Date {
    pub(in crate::sheet) fn under(self, order: DateOrder) -> Option<NaiveDate> {
        match self {
            Self::Known(date) => Some(date),
            Self::Numbers(numbers) => numbers.under(order),
        }
    }
}

pub(super) fn calendar(year: u32, month: u32, day: u32) -> Option<NaiveDate> {
    let year = i32::try_from(year).ok().filter(|year| YEARS.contains(year))?;
    NaiveDate::from_ymd_opt(year, month, day)
}

/// Beginnings of the months' names in English, German, French, Italian and Spanish, accents taken off.
/// Common practice, no source. What begins alike in two languages is the same month in both; "mar" is March in all.
const MONTHS: [(&str, u32); 33] = [
    ("jan", 1),
    ("gen", 1),
    ("ene", 1),
    ("feb", 2),
    ("fev", 2),
    ("mar", 3),
    ("mär", 3),
    ("mrz", 3),
    ("apr", 4),
    ("avr", 4),
    ("abr", 4),
    ("may", 5),
    ("mai", 5),
    ("mag", 5),
    ("jun", 6),
    ("juin", 6),
    ("giu", 6),
    ("jul", 7),
    ("juil", 7),
    ("lug", 7),
    ("aug", 8),
    ("aou", 8),
    ("aoû", 8),
    ("ago", 8),
    ("sep", 9),
    ("set", 9),
    ("oct", 10),
    ("okt", 10),
    ("ott", 10),
    ("nov", 11),
    ("dec", 12),
    ("dez", 12),
    ("dic", 12),
];

/// The date at the beginning of a text, and what follows it.
pub(super) fn leading(text: &str) -> Option<(Date, &str)> {
    if text.starts_with(|first: char| first.is_alphabetic()) {
        return month_leads(text);
    }
    let (first, rest) = digits(text)?;
    let separator = rest.chars().next()?;
    if !matches!(separator, '-' | '/' | '.' | ' ') {
        return None;
    }
    let rest = &rest[1..];
    if rest.trim_start().starts_with(|next: char| next.is_alphabetic()) {
        return month_in_the_middle(first, rest.trim_start());
    }
    let (second, rest) = digits(rest)?;
    let rest = rest.strip_prefix(separator)?;
    let (last, rest) = digits(rest)?;
    let date = match (first.len(), second.len(), last.len()) {
        (4, 1..=2, 1..=2) => Date::Known(calendar(number(first), number(second), number(last))?),
        (1..=2, 1..=2, 4) | (2, 2, 2) | (1, 1..=2, 2) | (1..=2, 1, 2) if separator != ' ' => {
            Date::Numbers(Numbers {
                first: number(first),
                second: number(second),
                last: number(last),
                short: last.len() == 2,
                points: separator == '.',
            })
        }
        _ => return None,
    };
    Some((date, rest))
}

/// `12-Mar-2026`, `12 mars 26`.
fn month_in_the_middle<'t>(day: &str, rest: &'t str) -> Option<(Date, &'t str)> {
    let (month, rest) = month(rest)?;
    let (year, rest) = digits(rest.trim_start_matches(['-', '/', '.', ' ', ',']))?;
    Some((Date::Known(calendar(century(year)?, month, number(day))?), rest))
}

/// `Mar 12, 2026`.
fn month_leads(text: &str) -> Option<(Date, &str)> {
    let (month, rest) = month(text)?;
    let (day, rest) = digits(rest.trim_start_matches(['-', '/', '.', ' ']))?;
    let (year, rest) = digits(rest.trim_start_matches(['-', '/', ',', ' ']))?;
    Some((Date::Known(calendar(century(year)?, month, number(day))?), rest))
}

fn month(text: &str) -> Option<(u32, &str)> {
    let length = text.find(|letter: char| !letter.is_alphabetic()).unwrap_or(text.len());
    let (word, rest) = text.split_at(length);
    let word = word.to_lowercase();
    let (_, month) = MONTHS.iter().find(|(begins, _)| word.starts_with(begins))?;
    Some((*month, rest))
}

fn century(year: &str) -> Option<u32> {
    match year.len() {
        4 => Some(number(year)),
        2 => Some(2000 + number(year)),
        _ => None,
    }
}

/// The figures a text begins with, at least one and at most four.
pub(super) fn digits(text: &str) -> Option<(&str, &str)> {
    let length = text.bytes().take_while(u8::is_ascii_digit).count();
    (1..=4).contains(&length).then(|| text.split_at(length))
}

/// A few figures as a number.
pub(super) fn number(figures: &str) -> u32 {
    figures.bytes().fold(0, |sum, byte| sum * 10 + u32::from(byte - b'0'))
}
