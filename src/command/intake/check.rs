//! A meter's check, said with a pH: `calibrated 3 h ago`, `slope 98 %`, `offset -12 mV`, `buffer ok`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Calibrated, Check, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{signed, take_percent};
use crate::command::intake::finish::reading_time;
use crate::command::intake::item::What;
use crate::command::intake::line::Line;
use crate::command::time::{Direction, phrase, resolve_past, span_hours, start_of_past_day};
use crate::quantity::Hours;
use crate::record::Calibration;

/// Reads one part of a meter's check.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let is_read = if ahead.take(&["calibrated", "calibration", "cal"]) {
        ahead.take_sign(&[':']);
        ahead.take_all(&["was", "is", "done", "the", "my", "meter", "probe", "electrode"]);
        pass_buffers(&mut ahead);
        let when = when(&mut ahead, line)?;
        line.check_mut().calibrated = when;
        true
    } else if ahead.take(&["buffer"]) {
        buffer(&mut ahead, line)?
    } else if ahead.take(&["slope"]) {
        ahead.take(&["is", "was", "of"]);
        ahead.take_sign(&[':', '=']);
        let found = signed(&mut ahead)?;
        take_percent(&mut ahead);
        line_has(found, |value| line.check_mut().slope_percent = Some(value))
    } else if ahead.take(&["offset"]) {
        ahead.take(&["is", "was", "of"]);
        ahead.take_sign(&[':', '=', '+']);
        let found = signed(&mut ahead)?;
        ahead.take(&["mv"]);
        line_has(found, |value| line.check_mut().offset_mv = Some(value))
    } else {
        false
    };
    if is_read {
        line.beside_ph.push(ahead.text_since(cursor).to_owned());
        *cursor = ahead;
    }
    Ok(is_read)
}

/// The usual two buffers, as they are printed on their bottles.
pub(super) const BUFFERS: &[&str] = &["4", "4.0", "4.00", "4.01", "6.86", "7", "7.0", "7.00", "7.01"];

/// "at pH 4 and 7", "4/7", "with two buffers": which buffers, where it is the usual two.
fn pass_buffers(cursor: &mut Cursor<'_>) {
    let mut ahead = *cursor;
    ahead.take(&["at", "with", "in", "to"]);
    ahead.take(&["two", "both"]);
    let is_named = ahead.take(&["ph", "buffers", "buffer"]);
    if matches!(ahead.text(), "4/7" | "7/4") {
        ahead.skip();
    } else if BUFFERS.contains(&ahead.text()) {
        ahead.skip();
        let is_joined = ahead.take(&["and"]) || ahead.take_sign(&[',', '/', '+', '&']);
        ahead.take(&["ph"]);
        if !is_joined || !BUFFERS.contains(&ahead.text()) {
            return;
        }
        ahead.skip();
    } else if !is_named {
        return;
    }
    ahead.take(&["buffers", "buffer"]);
    *cursor = ahead;
}

fn line_has(found: Option<f64>, keep: impl FnOnce(f64)) -> bool {
    let is_found = found.is_some();
    found.map(keep);
    is_found
}

fn buffer(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    cursor.take(&["check", "test"]);
    cursor.take(&["is", "was"]);
    cursor.take_sign(&[':']);
    if !cursor.take(&["ok", "okay", "passed", "good", "fine", "pass"]) {
        return Ok(false);
    }
    line.check_mut().one_buffer_passed = true;
    if let Some(when) = when(cursor, line)? {
        line.check_mut().calibrated.get_or_insert(when);
    }
    Ok(true)
}

/// "3 h ago", "today", "yesterday 8pm"; "3 h before", "3 h old". A day without a time of day counts from its
/// beginning, so that the age is never too low.
fn when(cursor: &mut Cursor<'_>, line: &Line<'_>) -> Result<Option<Calibrated>, IntakeError> {
    let mut ahead = *cursor;
    if let Some(found) = phrase(&mut ahead, Direction::Past)? {
        let (now, zone) = (line.context.now, line.context.zone);
        let at = match start_of_past_day(&found, now, zone) {
            Some(start) => start,
            None => resolve_past(&found, ahead.text_since(cursor), now, zone)?,
        };
        *cursor = ahead;
        return Ok(Some(Calibrated::At(at)));
    }
    if let Some(hours) = span_hours(&mut ahead)
        && ahead.take(&["before", "old", "earlier"])
    {
        *cursor = ahead;
        return Ok(Some(Calibrated::Before(Hours::new(hours))));
    }
    Ok(None)
}

/// The meter's check as the record keeps it: how old it was at the reading.
pub(super) fn calibration(line: &Line<'_>) -> Result<Option<Calibration>, IntakeError> {
    let reads_ph = line.drafts.iter().any(|draft| matches!(draft.said, Said::Known(What::Ph { .. })));
    if !line.beside_ph.is_empty() && !reads_ph {
        return Err(IntakeError::CheckWithoutPh);
    }
    let Some(Check { calibrated, slope_percent, offset_mv, one_buffer_passed }) = line.check else {
        return Ok(None);
    };
    let age = match calibrated {
        None => None,
        Some(Calibrated::Before(hours)) => Some(hours),
        Some(Calibrated::At(at)) => {
            let seconds = (reading_time(line) - at).num_seconds();
            if seconds < 0 {
                return Err(IntakeError::CalibratedAfterReading);
            }
            Some(Hours::new(seconds as f64 / 3600.0))
        }
    };
    Ok(Some(Calibration { age, slope_percent, offset_mv, one_buffer_passed, buffer_missed: false }))
}
