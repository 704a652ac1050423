//! What went wrong with a chamber: `power out 9h, chamber got to 24C`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Began, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{refuse_dash_before, take_dash, temperature};
use crate::command::intake::line::Line;
use crate::command::intake::since::{from_to, since};
use crate::command::intake::token::Kind;
use crate::command::intake::words::begins_time;
use crate::command::time::span_hours;
use crate::quantity::{Hours, Temperature};
use chrono::Duration;

/// Words between the parts of a sentence on a power cut.
const BETWEEN: &[&str] = &["for", "about", "was", "lasted", "of", "over", "a", "it", "in", "total"];
/// Words before the name of a place.
const ARTICLES: &[&str] = &["the", "my", "our"];
/// Most words of a place between a power cut and how long it lasted.
const LONGEST_PLACE: usize = 4;
/// Words before the temperature that was reached.
const REACHED: &[&str] = &[
    "chamber",
    "fridge",
    "box",
    "cabinet",
    "refrigerator",
    "room",
    "it",
    "the",
    "temp",
    "temperature",
    "inside",
    "got",
    "up",
    "to",
    "reached",
    "rose",
    "went",
    "hit",
    "climbed",
    "warmed",
    "max",
    "maximum",
    "warmest",
    "was",
    "at",
    "and",
    "air",
    "highest",
];

/// Reads a power cut.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    if !power_out(&mut ahead) {
        return Ok(false);
    }
    let before_place = ahead;
    let mut behind = ahead;
    behind.take_sign(&[',', ':']);
    behind.take_all(BETWEEN);
    pass_place(&mut behind, line);
    let behind_place = behind;
    let began = if let Some(hours) = span_hours(&mut behind) {
        ahead = behind;
        if ahead.take(&["ago"]) {
            let seconds = Duration::try_seconds((hours * 3600.0).round() as i64);
            let at = seconds.and_then(|length| line.context.now.checked_sub_signed(length));
            Began::At(at.ok_or(IntakeError::PowerHowLong)?)
        } else {
            Began::Before(Hours::new(hours))
        }
    } else if let Some(at) = from_to(&mut behind, line)? {
        ahead = behind;
        Began::At(at)
    } else if let Some(at) = since(&mut ahead, line)? {
        Began::At(at)
    } else {
        return Err(IntakeError::PowerHowLong);
    };
    let reached = reached(&mut ahead, line)?;
    // Said again with its chamber, the place is named once.
    let typed = if line.left_unread.is_empty() {
        ahead.text_since(cursor).to_owned()
    } else {
        format!("{} {}", before_place.text_since(cursor), ahead.text_since(&behind_place))
    };
    line.add_of(Said::PowerOut { began, reached }, Vec::new(), &typed);
    *cursor = ahead;
    Ok(true)
}

/// Passes "in the attic" before a length of time: where it was out, for the member's chambers to be asked about.
fn pass_place(cursor: &mut Cursor<'_>, line: &mut Line<'_>) {
    let mut ahead = *cursor;
    let mut place = Vec::new();
    while place.len() <= LONGEST_PLACE && matches!(ahead.kind(), Some(Kind::Word(_) | Kind::Quoted)) {
        if !ahead.take(ARTICLES) {
            if ahead.sees(&["since", "from"]) || begins_time(&ahead) {
                return;
            }
            place.push(ahead.at());
            ahead.skip();
        }
        ahead.take_all(BETWEEN);
        if span_hours(&mut ahead.clone()).is_some() {
            *cursor = ahead;
            line.left_unread = place;
            return;
        }
    }
}

/// "power out", "the power was off", "no power", "power cut", "outage".
fn power_out(cursor: &mut Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    let found = if ahead.take(&["no"]) {
        ahead.take(&["power", "electricity"])
    } else if ahead.take(&["power", "electricity"]) {
        ahead.take_all(&["was", "is", "has", "been", "went"]);
        ahead.take(&["out", "off", "cut", "failure", "failed", "outage", "down", "gone"])
    } else {
        ahead.take(&["outage", "blackout"])
    };
    if found {
        *cursor = ahead;
    }
    found
}

/// "chamber got to 24C".
fn reached(cursor: &mut Cursor<'_>, line: &Line<'_>) -> Result<Option<Temperature>, IntakeError> {
    let mut ahead = *cursor;
    if !ahead.take_sign(&[',', ';', '.']) && take_dash(&mut ahead) {
        refuse_dash_before(&ahead)?;
    }
    ahead.take_all(REACHED);
    let found = temperature(&mut ahead, line.context.temperature_scale)?;
    if found.is_some() {
        *cursor = ahead;
    }
    Ok(found)
}
