//! The option `quiet:` of `/group settings`.

use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::record::QuietHours;
use crate::reply::say;

/// Quiet hours that leave no time to act on a fermentation are none. Our choice.
const LONGEST: u32 = 14;
const EXAMPLE: &str = "group settings quiet:22-7";

/// Two full hours, e.g. `22-7`, `22:00 to 7:00`.
pub(super) fn quiet_hours(typed: &str) -> Result<QuietHours, UserError> {
    let hour = |text: &str| {
        let text = text.trim();
        let text = text.strip_suffix(":00").unwrap_or(text);
        text.parse::<u32>().ok().filter(|hour| *hour < 24)
    };
    let (from, until) = typed
        .split_once(" to ")
        .or_else(|| typed.split_once(['-', '\u{2013}']))
        .and_then(|(from, until)| hour(from).zip(hour(until)))
        .ok_or_else(|| {
            let sentence = say("group.settings.quiet_unread", &[("typed", &shown(typed))]);
            UserError::new(Code::OutOfRange, sentence, EXAMPLE)
        })?;
    let quiet = QuietHours { from, until };
    if quiet.length() <= LONGEST {
        return Ok(quiet);
    }
    let holes = [("hours", &*quiet.length().to_string()), ("most", &LONGEST.to_string())];
    Err(UserError::new(Code::OutOfRange, say("group.settings.quiet_long", &holes), EXAMPLE))
}
