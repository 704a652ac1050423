//! Reads a command's options into quantities; every failure names the option and shows a line that works.

use super::asking::Asking;
use super::error::{Code, UserError, code_of, code_of_intake};
use super::intake::IntakeError;
use super::line::{Line, SEVERAL, shown};
use super::spec::OptionKind;
use super::time::{self, TimeError};
use crate::command::why::Why;
use crate::quantity::parse;
use crate::quantity::{Fraction, Hours, Length, Mass, Ph, QuantityError};
use crate::reply::{Language, say};
use chrono::{DateTime, Utc};

/// The options of one line, read for one member.
#[derive(Debug, Clone, Copy)]
pub struct Args<'a> {
    line: &'a Line,
    /// Who asks, and when.
    pub asking: &'a Asking,
}

impl<'a> Args<'a> {
    /// The options of a line.
    pub const fn new(line: &'a Line, asking: &'a Asking) -> Self {
        Self { line, asking }
    }

    /// The line itself, for a corrected one.
    pub const fn line(&self) -> &'a Line {
        self.line
    }

    /// The command's example, for errors.
    pub fn example(&self) -> &'static str {
        self.line.spec.examples[0]
    }

    /// An error about this line, with the command's example.
    pub fn error(&self, code: Code, sentence: String) -> UserError {
        UserError::new(code, sentence, self.example())
    }

    /// The text of an option; an empty one counts as not given.
    pub fn text(&self, name: &str) -> Option<&'a str> {
        self.line.values.get(name).map(String::as_str).filter(|text| !text.is_empty())
    }

    /// The values of an option that may stand several times, in their order.
    pub fn several(&self, name: &str) -> Vec<&'a str> {
        let values = self.text(name).unwrap_or_default().split(SEVERAL).map(str::trim);
        values.filter(|value| !value.is_empty()).collect()
    }

    /// The text of an option that is needed.
    pub fn needed(&self, name: &'static str) -> Result<&'a str, UserError> {
        self.text(name).ok_or_else(|| self.missing(name))
    }

    /// The error for an option that is needed and not there.
    pub fn missing(&self, name: &'static str) -> UserError {
        let help = self
            .line
            .spec
            .option(name)
            .map_or("", |option| self.line.spec.help_in(option, Language::in_force()));
        let command = self.line.spec.name();
        self.error(
            Code::MissingOption,
            say("error.missing_option", &[("command", &command), ("option", name), ("help", help)]),
        )
    }

    /// An option read by one of the quantity parsers.
    pub fn read<T>(
        &self,
        name: &'static str,
        parser: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Result<Option<T>, UserError> {
        self.text(name)
            .map(|text| parser(text).map_err(|error| self.quantity_error(name, &error)))
            .transpose()
    }

    /// A needed option read by one of the quantity parsers.
    pub fn read_needed<T>(
        &self,
        name: &'static str,
        parser: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Result<T, UserError> {
        self.read(name, parser)?.ok_or_else(|| self.missing(name))
    }

    /// The error for an option that is not the quantity it should be.
    pub fn quantity_error(&self, name: &str, error: &QuantityError) -> UserError {
        let sentence = say("error.option_value", &[("option", name), ("why", &error.why())]);
        let example =
            error.example().map_or_else(|| self.example().to_owned(), |value| self.line.with(name, &value));
        UserError::new(code_of(error), sentence, example)
    }

    /// A weight above zero.
    pub fn mass(&self, name: &'static str) -> Result<Option<Mass>, UserError> {
        self.read(name, parse::positive_mass)
    }

    /// A needed weight above zero.
    pub fn mass_needed(&self, name: &'static str) -> Result<Mass, UserError> {
        self.read_needed(name, parse::positive_mass)
    }

    /// A percentage.
    pub fn percent(&self, name: &'static str) -> Result<Option<Fraction>, UserError> {
        self.read(name, parse::percent)
    }

    /// A length.
    pub fn length(&self, name: &'static str) -> Result<Option<Length>, UserError> {
        self.read(name, parse::length)
    }

    /// A pH.
    pub fn ph(&self, name: &'static str) -> Result<Option<Ph>, UserError> {
        self.read(name, parse::ph)
    }

    /// A length of time.
    pub fn hours(&self, name: &'static str) -> Result<Option<Hours>, UserError> {
        self.read(name, parse::duration)
    }

    /// A moment that has passed; now when it is not said.
    pub fn past(&self, name: &'static str) -> Result<DateTime<Utc>, UserError> {
        let Some(text) = self.text(name) else {
            return Ok(self.asking.now);
        };
        time::past(text, self.asking.now, self.asking.zone()).map_err(|error| self.time_error(name, &error))
    }

    /// A moment to come.
    pub fn future(&self, name: &'static str) -> Result<DateTime<Utc>, UserError> {
        let text = self.needed(name)?;
        time::future(text, self.asking.now, self.asking.zone()).map_err(|error| self.time_error(name, &error))
    }

    /// The error for an option that is not the time it should be.
    pub fn time_error(&self, name: &str, error: &TimeError) -> UserError {
        self.error(Code::TimeUnclear, say("error.option_value", &[("option", name), ("why", &error.why())]))
    }

    /// One of an option's words, in any case; a word that is not among them is an error that lists them.
    pub fn choice<T>(
        &self,
        name: &'static str,
        parser: impl Fn(&str) -> Option<T>,
    ) -> Result<Option<T>, UserError> {
        let Some(text) = self.text(name) else {
            return Ok(None);
        };
        parser(&text.to_ascii_lowercase()).map(Some).ok_or_else(|| self.unknown_choice(name, text))
    }

    /// The error for a word that is not among an option's choices.
    pub fn unknown_choice(&self, name: &str, typed: &str) -> UserError {
        let choices = match self.line.spec.option(name).map(|option| option.kind) {
            Some(OptionKind::Choice(words)) => words.join(", "),
            _ => String::new(),
        };
        let holes = [("option", name), ("typed", &*shown(typed)), ("choices", &choices)];
        let example = match choices.split(", ").next() {
            Some(first) if !first.is_empty() => self.line.with(name, first),
            _ => self.example().to_owned(),
        };
        UserError::new(Code::UnknownChoice, say("error.unknown_choice", &holes), example)
    }

    /// A whole number above zero.
    pub fn whole_number(&self, name: &str, typed: &str) -> Result<i64, UserError> {
        typed.trim_start_matches('#').parse::<i64>().ok().filter(|number| *number > 0).ok_or_else(|| {
            self.error(
                Code::OutOfRange,
                say("error.not_a_whole_number", &[("option", name), ("typed", &shown(typed))]),
            )
        })
    }

    /// The error for an option that holds a reading and cannot be read.
    pub fn intake_error(&self, name: &str, error: &IntakeError) -> UserError {
        let sentence = say("error.option_value", &[("option", name), ("why", &error.why())]);
        UserError::new(code_of_intake(error), sentence, self.line.with(name, &error.example()))
    }
}
