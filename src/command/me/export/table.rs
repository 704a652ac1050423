//! A table as a file for spreadsheets: RFC 4180, with CRLF, and nothing in it that a spreadsheet would work out.
//!
//! It begins with a byte order mark: without one the most used spreadsheet takes UTF-8 for the alphabet of its country.

use crate::command::error::CommandError;

/// What stands in front of a text that a spreadsheet would otherwise take for a formula.
const APOSTROPHE: char = '\'';

/// What is in one cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Nothing.
    Empty,
    /// A number, written so that it reads back as the same number.
    Number(f64),
    /// A whole number.
    Whole(i64),
    /// Words, made harmless.
    Text(String),
}

impl Cell {
    /// Words.
    pub(super) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A number, where there is one.
    pub(super) fn number(number: Option<f64>) -> Self {
        number.map_or(Self::Empty, Self::Number)
    }

    /// A whole number, where there is one.
    pub(super) fn whole(number: Option<i64>) -> Self {
        number.map_or(Self::Empty, Self::Whole)
    }

    /// Words, where there are any.
    pub(super) fn words(words: Option<String>) -> Self {
        words.map_or(Self::Empty, Self::Text)
    }

    fn written(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Number(number) => number.to_string(),
            Self::Whole(number) => number.to_string(),
            Self::Text(text) => harmless(text),
        }
    }
}

/// The words with an apostrophe before whatever would begin a formula.
///
/// A formula begins with = + - or @, also in their wide forms. It may begin the cell, after blanks; or whatever a
/// spreadsheet set to another country takes for the beginning of a cell: after a semicolon, a tab or a new line, with
/// blanks and quotation marks between.
fn harmless(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + 1);
    let mut begins = true;
    for letter in text.chars() {
        let is_trigger = matches!(letter, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠');
        let is_line = matches!(letter, '\t' | '\r' | '\n');
        // A tab or a new line in front would be dropped by some programs, and what follows would begin the cell.
        if begins && (is_trigger || (is_line && safe.is_empty())) {
            safe.push(APOSTROPHE);
        }
        begins = match letter {
            ';' | '\t' | '\r' | '\n' => true,
            '"' => begins,
            blank if blank.is_whitespace() => begins,
            _ => false,
        };
        safe.push(letter);
    }
    safe
}

/// A table with a header.
pub(super) fn written(header: &[String], rows: &[Vec<Cell>]) -> Result<Vec<u8>, CommandError> {
    let failed =
        |error: &dyn std::fmt::Display| CommandError::Internal(format!("a table cannot be written: {error}"));
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{FEFF}".as_bytes().to_vec());
    out.write_record(header).map_err(|error| failed(&error))?;
    for row in rows {
        out.write_record(row.iter().map(Cell::written)).map_err(|error| failed(&error))?;
    }
    out.into_inner().map_err(|error| failed(&error))
}

#[cfg(test)]
mod tests {
    use super::*;

    // The signs are those that OWASP names under "CSV Injection" (from memory): = + - @, tab, carriage return, and the
    // wide forms of the first four.
    #[test]
    fn what_begins_like_a_formula_is_made_harmless() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t1", "\r1", "＝1", "＋1", "－1", "＠1"] {
            assert_eq!(harmless(text), format!("'{text}"), "{text:?}");
        }
        assert_eq!(harmless("  =1"), "  '=1");
        assert_eq!(harmless("\"=1"), "\"'=1");
        assert_eq!(harmless("sage;=1;\t@x"), "sage;'=1;\t'@x");
        assert_eq!(harmless("cold smoked\n=HYPERLINK(\"x\")"), "cold smoked\n'=HYPERLINK(\"x\")");
        assert_eq!(harmless("pH 5.1, -2 C, a=b, 5-6 h"), "pH 5.1, -2 C, a=b, 5-6 h");
    }

    #[test]
    fn numbers_stay_numbers() {
        let rows = [vec![Cell::Number(-2.5), Cell::Whole(-3), Cell::Empty, Cell::text("a,\"b\"")]];
        let header = ["a", "b", "c", "d"].map(str::to_owned);
        let table = String::from_utf8(written(&header, &rows).unwrap()).unwrap();
        assert_eq!(table, "\u{FEFF}a,b,c,d\r\n-2.5,-3,,\"a,\"\"b\"\"\"\r\n");
    }
}
