//! Moments as clocks show them, in the language in force.

use super::wording::{say, template};
use crate::chart::DateNames;
use chrono::{DateTime, Datelike, NaiveDateTime, Utc};
use chrono_tz::Tz;

/// "Sat 7 Nov".
pub fn day(local: NaiveDateTime) -> String {
    dated("calendar.day", local)
}

/// "Sat 7 Nov 2026".
pub fn day_of_year(local: NaiveDateTime) -> String {
    dated("calendar.day_of_year", local)
}

/// "Sat 7 Nov 14:00".
pub fn moment(local: NaiveDateTime) -> String {
    say("calendar.moment", &[("day", &day(local)), ("time", &time(local))])
}

/// "Sat 7 Nov 2026 14:00".
pub fn moment_of_year(local: NaiveDateTime) -> String {
    say("calendar.moment", &[("day", &day_of_year(local)), ("time", &time(local))])
}

/// "7 Nov 2026", where there is little room.
pub fn date_of_year(local: NaiveDateTime) -> String {
    dated("calendar.date_of_year", local)
}

/// "7 Nov 14:00", for columns.
pub fn stamp(local: NaiveDateTime) -> String {
    say("calendar.moment", &[("day", &dated("calendar.date", local)), ("time", &time(local))])
}

/// "7 Nov 2026 14:00", for columns.
pub fn stamp_of_year(local: NaiveDateTime) -> String {
    say("calendar.moment", &[("day", &dated("calendar.date_of_year", local)), ("time", &time(local))])
}

/// A moment as a reminder says it, in the zone of whom it goes to: "Wed 4 Mar, 21:45".
pub fn clock(moment: DateTime<Utc>, zone: Tz) -> String {
    let local = moment.with_timezone(&zone).naive_local();
    say("calendar.clock", &[("day", &day(local)), ("time", &time(local))])
}

/// What days and months are called under a chart.
pub fn date_names() -> DateNames {
    DateNames {
        weekdays: [1, 2, 3, 4, 5, 6, 7].map(weekday),
        months: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12].map(month),
        weekday: template("calendar.weekday_and_day"),
        day: template("calendar.date"),
        month: template("calendar.month_and_year"),
    }
}

fn weekday(from_monday: u32) -> String {
    say(&format!("calendar.weekday_{from_monday}"), &[])
}

fn month(number: u32) -> String {
    say(&format!("calendar.month_{number}"), &[])
}

fn dated(key: &str, local: NaiveDateTime) -> String {
    let holes = [
        ("weekday", &*weekday(local.weekday().number_from_monday())),
        ("day", &local.day().to_string()),
        ("month", &month(local.month())),
        ("year", &local.year().to_string()),
    ];
    say(key, &holes)
}

fn time(local: NaiveDateTime) -> String {
    local.format("%H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reply::{Language, in_language};

    // 7 November 2026 is 20,764 days after Thursday 1 January 1970, which is 2 days more than whole weeks: a Saturday.
    #[test]
    fn a_moment_in_each_language() {
        let at: NaiveDateTime = "2026-11-07T14:00:00".parse().expect("a moment");
        assert_eq!(moment(at), "Sat 7 Nov 14:00");
        assert_eq!(moment_of_year(at), "Sat 7 Nov 2026 14:00");
        assert_eq!(stamp(at), "7 Nov 14:00");
        assert_eq!(in_language(Language::German, || moment_of_year(at)), "Sa 7. Nov 2026 14:00");
    }

    #[test]
    fn english_under_a_chart_is_what_a_chart_has_by_itself() {
        assert_eq!(date_names(), DateNames::default());
    }

    /// The abbreviations are those of the calendar library, which has them in English only.
    #[test]
    fn english_is_as_the_calendar_library_has_it() {
        let first: NaiveDateTime = "2026-01-01T09:05:00".parse().expect("a moment");
        for days in 0..365 {
            let at = first + chrono::TimeDelta::days(days);
            assert_eq!(moment_of_year(at), at.format("%a %-d %b %Y %H:%M").to_string());
        }
    }
}
