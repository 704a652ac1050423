//! How often something recurs, in days.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::token::{Kind, cut};
use crate::command::time::error::{TimeError, echo};

/// Longest interval in days.
const LONGEST_DAYS: u32 = 365;

/// An interval: "every 3 days", "3 d", "daily", "weekly", "every other day", "every 2 weeks". In days, 1 to 365.
///
/// # Errors
/// [`TimeError::NotAnInterval`].
pub fn every(text: &str) -> Result<u32, TimeError> {
    let refused = || TimeError::NotAnInterval { text: echo(text) };
    if text.chars().nth(super::LONGEST_TEXT).is_some() {
        return Err(refused());
    }
    let tokens = cut(text);
    let mut cursor = Cursor::new(text, &tokens);
    let days = interval(&mut cursor).ok_or_else(refused)?;
    if !cursor.is_at_end() || !(1..=LONGEST_DAYS).contains(&days) {
        return Err(refused());
    }
    Ok(days)
}

fn interval(cursor: &mut Cursor<'_>) -> Option<u32> {
    if cursor.take(&["daily"]) {
        return Some(1);
    }
    if cursor.take(&["weekly"]) {
        return Some(7);
    }
    if cursor.take(&["fortnightly"]) {
        return Some(14);
    }
    cursor.take(&["every", "each", "all"]);
    let count = if cursor.take(&["other", "second"]) {
        2
    } else if matches!(cursor.kind(), Some(Kind::Number)) {
        let count = cursor.text().parse().ok()?;
        cursor.skip();
        count
    } else {
        1
    };
    let unit = if cursor.take(&["d", "day", "days"]) {
        1
    } else if cursor.take(&["w", "wk", "week", "weeks"]) {
        7
    } else if cursor.take(&["fortnight", "fortnights"]) {
        14
    } else {
        return None;
    };
    u32::checked_mul(count, unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_read_in_days() {
        for (text, days) in [
            ("every 3 days", 3),
            ("3 d", 3),
            ("3d", 3),
            ("daily", 1),
            ("every day", 1),
            ("Weekly", 7),
            ("every week", 7),
            ("every 2 weeks", 14),
            ("every other day", 2),
            ("each day", 1),
            ("365 days", 365),
        ] {
            assert_eq!(every(text), Ok(days), "{text}");
        }
    }

    #[test]
    fn anything_else_is_refused() {
        for text in [
            "",
            "every",
            "3",
            "every 3",
            "0 days",
            "366 days",
            "53 weeks",
            "-3 days",
            "1.5 days",
            "every 3 hours",
            "every 3 days please",
            "every 99999999999999999999 days",
            "4294967295 weeks",
        ] {
            assert!(matches!(every(text), Err(TimeError::NotAnInterval { .. })), "{text}");
        }
    }
}
