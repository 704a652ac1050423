//! A line cut into words, numbers and signs. Nothing is thrown away but white space, and nothing is judged here.

use crate::command::intake::spoken::put_into_english;
use chrono::{DateTime, NaiveDate, NaiveTime, Utc};

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::command) enum Kind {
    /// Digits with decimal and thousands signs, not yet read; also what looks like a number and is none (`1e400`).
    Number,
    /// Letters, in lower case; in English where the word is known in another language.
    Word(String),
    /// A piece, `#2`.
    Piece(u32),
    /// A calendar day, `2026-11-02`; `None` when there is no such day.
    Date(Option<NaiveDate>),
    /// A time of day, `20:15`; `None` when there is no such time.
    Clock(Option<NaiveTime>),
    /// A moment with its offset, as in RFC 3339.
    Instant(DateTime<Utc>),
    /// Text between double quotes.
    Quoted,
    /// Anything else, one character. The signs for degree, minus and separation come in their plain form.
    Sign(char),
}

/// One token and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::command) struct Token {
    /// What it is.
    pub(in crate::command) kind: Kind,
    /// First byte in the line.
    pub(in crate::command) start: usize,
    /// First byte after it.
    pub(in crate::command) end: usize,
    /// Whether it stands right behind the one before, without a space.
    pub(in crate::command) glued: bool,
}

/// Words that may stand right before their number: `pH5.1`, `rh78`, `B3`.
const WORDS_BEFORE_NUMBERS: [&str; 3] = ["ph", "rh", "b"];

/// Cuts a line. Never fails: what is unknown becomes a sign or a word.
pub(in crate::command) fn cut(line: &str) -> Vec<Token> {
    let mut cutter = Cutter { line, at: 0, tokens: Vec::new(), glued: false };
    while let Some(character) = cutter.rest().chars().next() {
        if is_blank(character) {
            cutter.at += character.len_utf8();
            cutter.glued = false;
        } else {
            cutter.take(character);
        }
    }
    put_into_english(&mut cutter.tokens);
    cutter.tokens
}

/// White space, and the invisible marks that phones put between words. A line break separates like a semicolon.
fn is_blank(character: char) -> bool {
    (character.is_whitespace() && character != '\n')
        || matches!(character, '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{ad}' | '\u{fe0f}')
}

/// Whether a character counts as a digit when deciding if something was left unread.
pub(in crate::command) fn is_digit_like(character: char) -> bool {
    character.is_numeric()
}

struct Cutter<'a> {
    line: &'a str,
    at: usize,
    tokens: Vec<Token>,
    glued: bool,
}

impl<'a> Cutter<'a> {
    fn rest(&self) -> &'a str {
        self.line.get(self.at..).unwrap_or("")
    }

    fn push(&mut self, kind: Kind, length: usize) {
        self.tokens.push(Token {
            kind,
            start: self.at,
            end: self.at + length,
            glued: self.glued && !self.tokens.is_empty(),
        });
        self.at += length;
        self.glued = true;
    }

    fn take(&mut self, first: char) {
        let rest = self.rest();
        if first.is_ascii_digit() {
            self.take_figure(rest);
        } else if is_fraction_sign(first)
            || (matches!(first, '.' | ',') && !self.glued && second_is_digit(rest))
        {
            self.push(Kind::Number, number_length(rest));
        } else if first.is_alphabetic() && !matches!(first, 'º') {
            self.take_word(rest);
        } else if first == '#' {
            self.take_piece(rest);
        } else if matches!(first, '"' | '“' | '”') {
            self.take_quoted(rest, first);
        } else {
            self.take_sign(first);
        }
    }

    fn take_sign(&mut self, first: char) {
        let length = first.len_utf8();
        match first {
            'º' | '˚' | '°' => self.push(Kind::Sign('°'), length),
            '℃' | '℉' => {
                let scale = if first == '℃' { "c" } else { "f" };
                self.push(Kind::Sign('°'), 0);
                self.push(Kind::Word(scale.to_owned()), length);
            }
            '−' | '–' | '—' => self.push(Kind::Sign('-'), length),
            '\n' => self.push(Kind::Sign(';'), length),
            '％' => self.push(Kind::Sign('%'), length),
            other => self.push(Kind::Sign(other), length),
        }
    }

    /// A moment, a day, a time of day or a number.
    fn take_figure(&mut self, rest: &str) {
        if let Some((instant, length)) = instant(rest) {
            self.push(Kind::Instant(instant), length);
        } else if let Some(date) = date_text(rest) {
            self.push(Kind::Date(date.parse().ok()), 10);
            // `2026-11-02T08:00` without an offset: the T only joins.
            if self.rest().starts_with(['T', 't']) && second_is_digit(self.rest()) {
                self.at += 1;
                self.glued = false;
            }
        } else if let Some(length) = clock_length(rest) {
            let text = rest.get(..length).unwrap_or("");
            let time = NaiveTime::parse_from_str(text, "%H:%M")
                .or_else(|_| NaiveTime::parse_from_str(text, "%H:%M:%S"));
            self.push(Kind::Clock(time.ok()), length);
        } else {
            self.push(Kind::Number, number_length(rest));
        }
    }

    /// Letters. Digits behind them belong to the word (`abc12`), unless it is a unit (`2lb3oz`) or wants a number.
    fn take_word(&mut self, rest: &str) {
        let after_number = self.glued
            && matches!(
                self.tokens.last().map(|token| &token.kind),
                Some(Kind::Number | Kind::Piece(_) | Kind::Sign('°'))
            );
        let letters = run(rest, |c| c.is_alphabetic() || matches!(c, '\'' | '’'));
        let word = rest.get(..letters).unwrap_or("").to_lowercase();
        let length = if after_number || WORDS_BEFORE_NUMBERS.contains(&word.as_str()) {
            letters
        } else {
            run(rest, |c| c.is_alphanumeric() || matches!(c, '\'' | '’'))
        };
        let text = rest.get(..length).unwrap_or("").to_lowercase();
        self.push(Kind::Word(text.replace('’', "'")), length);
    }

    fn take_piece(&mut self, rest: &str) {
        let marked = 1 + run(rest.get(1..).unwrap_or(""), |c| c == ' ');
        let digits = run(rest.get(marked..).unwrap_or(""), |c| c.is_ascii_digit());
        let number = rest.get(marked..marked + digits).and_then(|digits| digits.parse().ok());
        match number {
            Some(number) => self.push(Kind::Piece(number), marked + digits),
            None => self.push(Kind::Sign('#'), 1),
        }
    }

    fn take_quoted(&mut self, rest: &str, opening: char) {
        let inside = rest.get(opening.len_utf8()..).unwrap_or("");
        match inside.find(['"', '”', '\n']) {
            Some(end) if inside.get(end..).is_some_and(|tail| !tail.starts_with('\n')) => {
                let closing = inside.get(end..).and_then(|tail| tail.chars().next());
                let length = opening.len_utf8() + end + closing.map_or(0, char::len_utf8);
                self.push(Kind::Quoted, length);
            }
            _ => self.push(Kind::Sign(opening), opening.len_utf8()),
        }
    }
}

/// How many bytes from the start fulfil a condition.
fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

fn second_is_digit(text: &str) -> bool {
    text.chars().nth(1).is_some_and(|c| c.is_ascii_digit())
}

/// Digits and the signs between digits; an exponent is taken along, so that it is refused as a whole.
fn number_length(text: &str) -> usize {
    let mut length = 0;
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let before_digit = characters.peek().is_some_and(char::is_ascii_digit);
        let belongs = match character {
            '.' | ',' | '\'' | '’' | '/' | '⁄' => before_digit,
            'e' | 'E' => before_digit || matches!(characters.peek(), Some('+' | '-')),
            _ => character.is_ascii_digit() || is_fraction_sign(character),
        };
        if !belongs {
            break;
        }
        length += character.len_utf8();
    }
    length
}

/// The one-character fractions of a phone's keyboard.
fn is_fraction_sign(character: char) -> bool {
    matches!(character, '½' | '⅓' | '⅔' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞')
}

/// `H:MM`, `HH:MM` or `HH:MM:SS`, not followed by another digit.
fn clock_length(text: &str) -> Option<usize> {
    ["dd:dd:dd", "d:dd:dd", "dd:dd", "d:dd"]
        .into_iter()
        .map(str::len)
        .zip(["dd:dd:dd", "d:dd:dd", "dd:dd", "d:dd"])
        .find(|(length, shape)| {
            text.get(..*length).is_some_and(|start| has_shape(start, shape))
                && !text
                    .get(*length..)
                    .is_some_and(|tail| tail.starts_with(|c: char| c.is_ascii_digit() || c == ':'))
        })
        .map(|(length, _)| length)
}

/// `2026-11-02` at the start of a text, not followed by another digit.
fn date_text(text: &str) -> Option<&str> {
    let date = text.get(..10).filter(|date| has_shape(date, "dddd-dd-dd"))?;
    let ends = !text.get(10..)?.starts_with(|c: char| c.is_ascii_digit());
    ends.then_some(date)
}

/// Whether a text has a digit at every `d` and equals the shape elsewhere.
fn has_shape(text: &str, shape: &str) -> bool {
    text.len() == shape.len()
        && text.bytes().zip(shape.bytes()).all(|(byte, wanted)| match wanted {
            b'd' => byte.is_ascii_digit(),
            _ => byte == wanted,
        })
}

/// An RFC 3339 moment at the start of a text.
fn instant(text: &str) -> Option<(DateTime<Utc>, usize)> {
    let joined = text.get(10..11).is_some_and(|t| t.eq_ignore_ascii_case("t"));
    if !joined {
        return None;
    }
    let length =
        run(text, |c| c.is_ascii_digit() || matches!(c, '-' | '+' | ':' | '.' | 'T' | 't' | 'Z' | 'z'));
    let whole = text.get(..length)?.trim_end_matches(['.', ':']);
    let instant = DateTime::parse_from_rfc3339(whole).ok()?;
    Some((instant.with_timezone(&Utc), whole.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(line: &str) -> Vec<&str> {
        cut(line).iter().map(|token| &line[token.start..token.end]).collect()
    }

    #[test]
    fn a_comma_between_digits_is_decimal_and_one_before_a_space_separates() {
        assert_eq!(texts("ph 5,1, 812 g"), ["ph", "5,1", ",", "812", "g"]);
        assert_eq!(texts("5, 1"), ["5", ",", "1"]);
        assert_eq!(texts("812 g,798 g"), ["812", "g", ",", "798", "g"]);
        assert_eq!(texts(",5 C"), [",5", "C"]);
        assert_eq!(texts("5. Done."), ["5", ".", "Done", "."]);
    }

    #[test]
    fn units_come_off_their_numbers_and_words_keep_their_digits() {
        assert_eq!(texts("2lb3oz"), ["2", "lb", "3", "oz"]);
        assert_eq!(texts("13C80%"), ["13", "C", "80", "%"]);
        assert_eq!(texts("pH5.1 rh78 B3"), ["pH", "5.1", "rh", "78", "B", "3"]);
        assert_eq!(texts("abc12 x2"), ["abc12", "x2"]);
        assert_eq!(texts("1e400 1e-5"), ["1e400", "1e", "-", "5"]);
        assert_eq!(texts("2½ lb 3/4 lb"), ["2½", "lb", "3/4", "lb"]);
    }

    #[test]
    fn days_times_moments_pieces_and_quotes_are_tokens_of_their_own() {
        let kinds = |line| cut(line).into_iter().map(|token| token.kind).collect::<Vec<_>>();
        assert_eq!(kinds("#2"), [Kind::Piece(2)]);
        assert_eq!(kinds("# 12"), [Kind::Piece(12)]);
        assert_eq!(kinds("20:15"), [Kind::Clock(NaiveTime::from_hms_opt(20, 15, 0))]);
        assert_eq!(kinds("25:15"), [Kind::Clock(None)]);
        assert_eq!(
            kinds("2026-11-02T08:00"),
            [Kind::Date(NaiveDate::from_ymd_opt(2026, 11, 2)), Kind::Clock(NaiveTime::from_hms_opt(8, 0, 0))]
        );
        assert_eq!(kinds("2026-13-02"), [Kind::Date(None)]);
        assert!(matches!(kinds("2026-11-02T08:00:00+01:00")[..], [Kind::Instant(_)]));
        assert_eq!(kinds("\"drying room\""), [Kind::Quoted]);
        assert_eq!(kinds("℃"), [Kind::Sign('°'), Kind::Word("c".into())]);
    }
}
