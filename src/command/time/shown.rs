//! A moment as a member sees it: absolute and relative.

use chrono::{DateTime, Datelike, Utc};
use chrono_tz::Tz;

/// Hours up to which the distance is given in hours.
const HOURS_UP_TO: i64 = 48;

/// "Sat 7 Nov 14:00", for a list in which the distance says nothing new; the year where it is another one.
pub fn moment(at: DateTime<Utc>, now: DateTime<Utc>, zone: Tz) -> String {
    let local = at.with_timezone(&zone);
    let pattern = if local.year() == now.with_timezone(&zone).year() {
        "%a %-d %b %H:%M"
    } else {
        "%a %-d %b %Y %H:%M"
    };
    local.format(pattern).to_string()
}

/// "Sat 7 Nov", where the hour says nothing; the year where it is another one.
pub fn day(at: DateTime<Utc>, now: DateTime<Utc>, zone: Tz) -> String {
    let moment = moment(at, now, zone);
    moment.rsplit_once(' ').map_or_else(|| moment.clone(), |(day, _)| day.to_owned())
}

/// "Tue 10 Nov 20:15, 3 h ago" or "Fri 13 Nov 18:00, in 3 days"; the year where it is another one.
pub fn shown(at: DateTime<Utc>, now: DateTime<Utc>, zone: Tz) -> String {
    format!("{}, {}", moment(at, now, zone), distance(at, now))
}

/// How far away a moment is, rounded to the unit shown.
fn distance(at: DateTime<Utc>, now: DateTime<Utc>) -> String {
    let seconds = (at - now).num_seconds();
    let minutes = rounded(seconds.abs(), 60);
    let hours = rounded(seconds.abs(), 3600);
    let days = rounded(seconds.abs(), 86_400);
    let amount = if minutes == 0 {
        return "now".to_owned();
    } else if minutes < 60 {
        format!("{minutes} min")
    } else if hours < HOURS_UP_TO {
        format!("{hours} h")
    } else {
        format!("{days} days")
    };
    if seconds < 0 { format!("{amount} ago") } else { format!("in {amount}") }
}

/// Whole units, rounded half up; for what is not negative.
const fn rounded(amount: i64, unit: i64) -> i64 {
    (amount + unit / 2) / unit
}
