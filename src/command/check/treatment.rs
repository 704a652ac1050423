//! What the Trichinella commands share: whose meat it is, what is said of game, and the text a row stands in.

use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::line::shown;
use crate::curing::parasites::{Host, Source, Verdict};
use crate::curing::{Level, Standing};
use crate::quantity::parse::{NumberReading, duration};
use crate::quantity::{Hours, QuantityError, parse};
use crate::reply::finding::standing_shown;
use crate::reply::{Reply, say};

/// The meat an option names, with the words it was named by.
pub(super) fn host(args: Args<'_>) -> Result<Option<(Host, &str)>, UserError> {
    let Some(text) = args.text("species") else { return Ok(None) };
    let unknown =
        || args.error(Code::UnknownChoice, say("check.treatment.which_species", &[("typed", &shown(text))]));
    Host::named(text).map(|host| Some((host, text))).ok_or_else(unknown)
}

/// The answer where no table may be used: game, or meat the tables do not speak of.
pub(super) fn no_table(command: &'static str, host: Host, named: &str) -> Option<Reply> {
    let named = shown(named);
    let (key, level, note) = match host {
        Host::DomesticPork => return None,
        Host::Barred => ("check.treatment.barred", Level::Warning, "check.treatment.barred_why"),
        Host::Other => ("check.treatment.other", Level::Notice, "check.treatment.other_why"),
    };
    let mut reply = Reply::new(command, say(key, &[("species", &named)]));
    reply.figures.push(figures::word("treatment", "not_applicable").folded());
    reply.note(level, say(note, &[("species", &named)]));
    reply.judges = true;
    Some(reply)
}

/// The overall verdict for scripts; the words for a person stand in the headline.
pub(super) fn verdict(reply: &mut Reply, word: &str) {
    reply.figures.insert(0, figures::word("treatment", word).folded());
}

/// What is said below a verdict that a table gives.
pub(super) fn only_trichinella(reply: &mut Reply) {
    reply.note(Level::Notice, say("check.treatment.only_trichinella", &[]));
    reply.judges = true;
}

/// The text of a row, with how well it is known and where to check it.
pub(super) fn source(source: &Source) -> String {
    let key = match source.standing {
        Standing::FromMemory => "check.treatment.source_to_check",
        _ => "check.treatment.source",
    };
    say(key, &[("source", &source.name), ("where", &source.place), ("standing", &standing(source))])
}

/// How well a text is known, in words.
pub(super) fn standing(source: &Source) -> String {
    standing_shown(source.standing)
}

/// The key of a headline by its verdict.
pub(super) const fn key_of(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::MetUnverified => "met_unverified",
        Verdict::NotMet => "not_met",
    }
}

/// A length of time; a bare number counts in the unit the option is named after.
pub(super) fn time(
    args: Args<'_>,
    name: &'static str,
    hours_of_one: f64,
) -> Result<Option<Hours>, UserError> {
    let read = |text: &str| match parse::number(text) {
        Ok(NumberReading::Certain(number)) => Ok(Hours::new(number * hours_of_one)),
        // Three digits behind the separator: nobody counts thousands of days or minutes with one.
        Ok(NumberReading::Either { decimal, .. }) => Ok(Hours::new(decimal * hours_of_one)),
        Err(_) if text.contains(char::is_alphabetic) => duration(text),
        Err(error) => Err(error),
    };
    let checked = |text: &str| -> Result<Hours, QuantityError> {
        let hours = read(text)?;
        if hours.value() <= LONGEST_HOURS { Ok(hours) } else { duration("11 years") }
    };
    args.read(name, checked)
}

/// Ten years, as for every length of time that is typed.
const LONGEST_HOURS: f64 = 10.0 * 365.25 * 24.0;

/// A length of time in the unit in which it is best read.
pub(super) fn shown_time(hours: f64) -> String {
    let trimmed = |value: f64| crate::quantity::format::trimmed(value, 2);
    if hours >= 24.0 && (hours / 24.0).fract() == 0.0 {
        format!("{} d", trimmed(hours / 24.0))
    } else if hours > 0.0 && hours < 1.0 {
        format!("{} min", trimmed(hours * 60.0))
    } else {
        format!("{} h", trimmed(hours))
    }
}
