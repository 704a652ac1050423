//! A moment as a member sees it: absolute and relative.

use crate::reply::{calendar, say};
use chrono::{DateTime, Datelike, NaiveDateTime, Utc};
use chrono_tz::Tz;

/// Hours up to which the distance is given in hours.
const HOURS_UP_TO: i64 = 48;

/// "Sat 7 Nov 14:00", for a list in which the distance says nothing new; the year where it is another one.
pub fn moment(at: DateTime<Utc>, now: DateTime<Utc>, zone: Tz) -> String {
    let local = at.with_timezone(&zone).naive_local();
    if is_this_year(local, now, zone) { calendar::moment(local) } else { calendar::moment_of_year(local) }
}

/// "Sat 7 Nov", where the hour says nothing; the year where it is another one.
pub fn day(at: DateTime<Utc>, now: DateTime<Utc>, zone: Tz) -> String {
    let local = at.with_timezone(&zone).naive_local();
    if is_this_year(local, now, zone) { calendar::day(local) } else { calendar::day_of_year(local) }
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
    if minutes == 0 {
        return say("calendar.now", &[]);
    }
    let (count, ago, ahead) = if minutes < 60 {
        (minutes, "calendar.minutes_ago", "calendar.in_minutes")
    } else if hours < HOURS_UP_TO {
        (hours, "calendar.hours_ago", "calendar.in_hours")
    } else {
        (days, "calendar.days_ago", "calendar.in_days")
    };
    say(if seconds < 0 { ago } else { ahead }, &[("count", &count.to_string())])
}

fn is_this_year(local: NaiveDateTime, now: DateTime<Utc>, zone: Tz) -> bool {
    local.year() == now.with_timezone(&zone).year()
}

/// Whole units, rounded half up; for what is not negative.
const fn rounded(amount: i64, unit: i64) -> i64 {
    (amount + unit / 2) / unit
}
