//! Times in words, on the calendar.

use super::*;
use chrono_tz::Tz;

const BERLIN: Tz = Tz::Europe__Berlin;
const NEW_YORK: Tz = Tz::America__New_York;
/// Tuesday 10 November 2026, 9:00 in Berlin.
const MORNING: &str = "2026-11-10T08:00:00Z";

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// A time as the member's own clock shows it.
fn local(at: DateTime<Utc>, zone: Tz) -> String {
    at.with_timezone(&zone).format("%Y-%m-%d %H:%M").to_string()
}

fn past_in_berlin(text: &str) -> String {
    past(text, at(MORNING), BERLIN).map_or_else(|error| format!("{error:?}"), |at| local(at, BERLIN))
}

fn future_in_berlin(text: &str) -> String {
    future(text, at(MORNING), BERLIN).map_or_else(|error| format!("{error:?}"), |at| local(at, BERLIN))
}

#[test]
fn readings_look_backward() {
    for (text, shown) in [
        ("now", "2026-11-10 09:00"),
        ("just now", "2026-11-10 09:00"),
        ("today", "2026-11-10 09:00"),
        ("yesterday 8pm", "2026-11-09 20:00"),
        ("Yesterday at 8 PM", "2026-11-09 20:00"),
        ("8pm yesterday", "2026-11-09 20:00"),
        ("yesterday, 20:00", "2026-11-09 20:00"),
        ("yesterday", "2026-11-09 12:00"),
        ("yesterday evening", "2026-11-09 19:00"),
        ("day before yesterday 8am", "2026-11-08 08:00"),
        ("the day before yesterday 8am", "2026-11-08 08:00"),
        ("this morning", "2026-11-10 08:00"),
        ("last night", "2026-11-09 21:00"),
        ("2 h ago", "2026-11-10 07:00"),
        ("2h ago", "2026-11-10 07:00"),
        ("1h30 ago", "2026-11-10 07:30"),
        ("1.5 h ago", "2026-11-10 07:30"),
        ("half an hour ago", "2026-11-10 08:30"),
        ("an hour ago", "2026-11-10 08:00"),
        ("30 min ago", "2026-11-10 08:30"),
        ("3 days ago", "2026-11-07 09:00"),
        ("3 days ago 8pm", "2026-11-07 20:00"),
        ("a week ago", "2026-11-03 09:00"),
        ("2 months ago", "2026-09-10 09:00"),
        ("8pm", "2026-11-09 20:00"),
        ("20:15", "2026-11-09 20:15"),
        ("at 14:30", "2026-11-09 14:30"),
        ("@ 8:30", "2026-11-10 08:30"),
        ("8:30", "2026-11-10 08:30"),
        ("8.30am", "2026-11-10 08:30"),
        ("8 a.m.", "2026-11-10 08:00"),
        ("12am", "2026-11-10 00:00"),
        ("12pm", "2026-11-09 12:00"),
        ("noon", "2026-11-09 12:00"),
        ("midnight", "2026-11-10 00:00"),
        ("Tuesday 8am", "2026-11-10 08:00"),
        ("Tuesday 10am", "2026-11-03 10:00"),
        ("last tuesday 8am", "2026-11-03 08:00"),
        ("Sunday", "2026-11-08 12:00"),
        ("sun", "2026-11-08 12:00"),
        ("monday evening", "2026-11-09 19:00"),
        ("on Monday at 9am", "2026-11-09 09:00"),
        ("2026-11-02 08:00", "2026-11-02 08:00"),
        ("2026-11-02T08:00", "2026-11-02 08:00"),
        ("2026-11-02", "2026-11-02 12:00"),
        ("2026-11-02T08:00:00Z", "2026-11-02 09:00"),
        ("2026-11-02T08:00:00+01:00", "2026-11-02 08:00"),
        ("2 nov 18:00", "2026-11-02 18:00"),
        ("2nd of November 18:00", "2026-11-02 18:00"),
        ("Nov 2 6pm", "2026-11-02 18:00"),
        ("12 nov 18:00", "2025-11-12 18:00"),
        ("12 nov 2025", "2025-11-12 12:00"),
        ("29 feb 2024 8am", "2024-02-29 08:00"),
        ("29 feb 8am", "2024-02-29 08:00"),
        // Two clocks never agree: up to five minutes ahead is now.
        ("9:05", "2026-11-10 09:05"),
        ("9:06", "2026-11-09 09:06"),
    ] {
        assert_eq!(past_in_berlin(text), shown, "{text}");
    }
}

#[test]
fn reminders_look_forward() {
    for (text, shown) in [
        ("in 36 h", "2026-11-11 21:00"),
        ("36 h", "2026-11-11 21:00"),
        ("in 90 min", "2026-11-10 10:30"),
        ("in an hour", "2026-11-10 10:00"),
        ("in 3 days", "2026-11-13 09:00"),
        ("3 days", "2026-11-13 09:00"),
        ("in 3 days at 7:30", "2026-11-13 07:30"),
        ("in a week", "2026-11-17 09:00"),
        ("in 3 months", "2027-02-10 09:00"),
        ("tomorrow 9am", "2026-11-11 09:00"),
        ("tomorrow at 9am", "2026-11-11 09:00"),
        ("tomorrow", "2026-11-11 09:00"),
        ("tomorrow evening", "2026-11-11 19:00"),
        ("day after tomorrow 18:00", "2026-11-12 18:00"),
        ("tonight", "2026-11-10 21:00"),
        ("8pm", "2026-11-10 20:00"),
        ("at 19:00", "2026-11-10 19:00"),
        ("8am", "2026-11-11 08:00"),
        ("today at 15:15", "2026-11-10 15:15"),
        ("friday 18:00", "2026-11-13 18:00"),
        ("Tuesday 8am", "2026-11-17 08:00"),
        ("Tuesday 10am", "2026-11-10 10:00"),
        ("next tuesday 10am", "2026-11-17 10:00"),
        ("next friday", "2026-11-13 09:00"),
        ("2026-11-12 08:00", "2026-11-12 08:00"),
        ("12 nov 18:00", "2026-11-12 18:00"),
        ("2 nov 18:00", "2027-11-02 18:00"),
        ("31 jan", "2027-01-31 09:00"),
    ] {
        assert_eq!(future_in_berlin(text), shown, "{text}");
    }
}

#[test]
fn what_is_no_time_is_refused_by_name() {
    let now = at(MORNING);
    let past = |text: &str| past(text, now, BERLIN).unwrap_err();
    assert_eq!(past("  "), TimeError::Empty);
    for text in [
        "soon",
        "8",
        "at 8",
        "in 3 h",
        "2 h",
        "8pm 9pm",
        "yesterday 8pm ago",
        "ago",
        "the",
        "1e400 h ago",
        "-2 h ago",
        "nan h ago",
        "8pm\u{7}",
        "in",
        "last",
        "32",
        "١٢:٣٠",
    ] {
        assert!(matches!(past(text), TimeError::Unreadable { .. }), "{text}: {:?}", past(text));
    }
    for text in [
        "25:00",
        "13pm",
        "0am",
        "2026-13-01",
        "2026-02-30 8am",
        "31 nov",
        "30 feb",
        "2025-02-29",
        "29 feb 2025",
        "8.75pm",
    ] {
        assert!(matches!(past(text), TimeError::NoSuchTime { .. }), "{text}: {:?}", past(text));
    }
    for text in ["3/11", "3/11/2026 8am", "12/25"] {
        assert!(matches!(past(text), TimeError::DayAmbiguous { .. }), "{text}: {:?}", past(text));
    }
    assert!(matches!(past("2006-11-02"), TimeError::TooFar { .. }));
    assert!(matches!(past(&"8".repeat(10_000)), TimeError::Unreadable { .. }));
}

#[test]
fn the_wrong_direction_is_refused_by_name() {
    let now = at(MORNING);
    let past = |text: &str| past(text, now, BERLIN).unwrap_err();
    let future = |text: &str| future(text, now, BERLIN).unwrap_err();
    for text in [
        "tomorrow",
        "2026-11-11 08:00",
        "12 nov 2026",
        "this afternoon",
        "tonight",
        "today 10am",
        "next friday",
        "2026-11-10T08:06:00Z",
    ] {
        assert!(matches!(past(text), TimeError::InFuture { .. }), "{text}: {:?}", past(text));
    }
    for text in ["yesterday 8pm", "2026-11-02", "today 8am", "now", "2 nov 2026", "this morning", "in 0 h"] {
        assert!(matches!(future(text), TimeError::InPast { .. }), "{text}: {:?}", future(text));
    }
    for text in [
        "in 99999999999999999999 h",
        "in 9999999999 days",
        "in 4000 days",
        "9999-12-31",
        "in 5000000000 months",
        "in 1000 months",
    ] {
        assert!(
            matches!(future(text), TimeError::TooFar { .. } | TimeError::Unreadable { .. }),
            "{text}: {:?}",
            future(text)
        );
    }
}

#[test]
fn parts_of_a_day_said_before_the_hour_they_stand_for_are_now() {
    let six = at("2026-11-10T05:30:00Z");
    assert_eq!(past("this morning", six, BERLIN), Ok(six));
    let three = at("2026-11-10T02:00:00Z");
    assert!(matches!(past("this morning", three, BERLIN), Err(TimeError::InFuture { .. })));
    // At two in the night "last night" is yesterday evening.
    let two = at("2026-11-10T01:00:00Z");
    assert_eq!(past("last night", two, BERLIN).map(|at| local(at, BERLIN)), Ok("2026-11-09 21:00".into()));
}

/// The gap and the fold of New York in 2026, with times worked out by an independent library (jiff 1.0.2).
#[test]
fn a_skipped_time_moves_forward_and_a_doubled_one_is_the_first() {
    let before = at("2026-03-07T17:00:00Z");
    assert_eq!(future("2026-03-08 02:30", before, NEW_YORK), Ok(at("2026-03-08T07:30:00Z")));
    let before = at("2026-10-31T16:00:00Z");
    assert_eq!(future("2026-11-01 01:30", before, NEW_YORK), Ok(at("2026-11-01T05:30:00Z")));
    // Samoa skipped the whole of 30 December 2011.
    let apia: Tz = "Pacific/Apia".parse().unwrap();
    let before = at("2011-12-29T12:00:00Z");
    assert_eq!(
        future("2011-12-30 12:00", before, apia).map(|at| local(at, apia)),
        Ok("2011-12-31 12:00".into())
    );
}

#[test]
fn days_keep_the_time_of_day_and_hours_are_hours() {
    // Clocks go forward on 8 March 2026 in New York.
    let nine = at("2026-03-07T14:00:00Z");
    assert_eq!(local(nine, NEW_YORK), "2026-03-07 09:00");
    let shown = |text| future(text, nine, NEW_YORK).map(|at| local(at, NEW_YORK)).unwrap();
    assert_eq!(shown("in 1 day"), "2026-03-08 09:00");
    assert_eq!(shown("in 24 h"), "2026-03-08 10:00");
    assert_eq!(shown("in 7 days"), "2026-03-14 09:00");
    for days in 1..400 {
        let later = future(&format!("in {days} days"), nine, NEW_YORK).unwrap();
        assert!(local(later, NEW_YORK).ends_with("09:00"), "{days}");
    }
    // 31 January and a month is the last day of February.
    let january = at("2027-01-31T12:00:00Z");
    assert_eq!(
        future("in 1 month", january, BERLIN).map(|at| local(at, BERLIN)),
        Ok("2027-02-28 13:00".into())
    );
}

#[test]
fn a_time_is_shown_absolute_and_relative() {
    let now = at(MORNING);
    for (moment, text) in [
        ("2026-11-10T08:00:00Z", "Tue 10 Nov 09:00, now"),
        ("2026-11-10T08:00:29Z", "Tue 10 Nov 09:00, now"),
        ("2026-11-10T07:59:00Z", "Tue 10 Nov 08:59, 1 min ago"),
        ("2026-11-10T07:00:31Z", "Tue 10 Nov 08:00, 59 min ago"),
        ("2026-11-10T07:00:29Z", "Tue 10 Nov 08:00, 1 h ago"),
        ("2026-11-09T19:15:00Z", "Mon 9 Nov 20:15, 13 h ago"),
        ("2026-11-08T08:00:00Z", "Sun 8 Nov 09:00, 2 days ago"),
        ("2026-11-13T17:00:00Z", "Fri 13 Nov 18:00, in 3 days"),
        ("2026-11-10T11:00:00Z", "Tue 10 Nov 12:00, in 3 h"),
        ("2027-02-10T08:00:00Z", "Wed 10 Feb 2027 09:00, in 92 days"),
        ("2025-11-10T08:00:00Z", "Mon 10 Nov 2025 09:00, 365 days ago"),
    ] {
        assert_eq!(shown(at(moment), now, BERLIN), text);
    }
}

/// German beside English; the clock goes by the whole day.
#[test]
fn german_times() {
    for (text, shown) in [
        ("jetzt", "2026-11-10 09:00"),
        ("gestern 20 Uhr", "2026-11-09 20:00"),
        ("gestern um 20:15 Uhr", "2026-11-09 20:15"),
        ("gestern Abend", "2026-11-09 19:00"),
        ("gestern Abend um 8 Uhr", "2026-11-09 20:00"),
        ("gestern 8 Uhr abends", "2026-11-09 20:00"),
        ("gestern 11 Uhr nachts", "2026-11-09 23:00"),
        ("heute früh", "2026-11-10 08:00"),
        ("heute morgen", "2026-11-10 08:00"),
        ("heute morgen um 7 Uhr", "2026-11-10 07:00"),
        ("vorgestern", "2026-11-08 12:00"),
        ("vor 2 Stunden", "2026-11-10 07:00"),
        ("vor einer Stunde", "2026-11-10 08:00"),
        ("vor einer halben Stunde", "2026-11-10 08:30"),
        ("vor 3 Tagen", "2026-11-07 09:00"),
        ("vor einer Woche", "2026-11-03 09:00"),
        ("Montag 8:30", "2026-11-09 08:30"),
        ("am Montag um 8:30 Uhr", "2026-11-09 08:30"),
        ("letzten Samstag", "2026-11-07 12:00"),
        ("2. November 8 Uhr", "2026-11-02 08:00"),
        ("8.30 Uhr", "2026-11-10 08:30"),
        ("yesterday evening 8:00", "2026-11-09 20:00"),
    ] {
        assert_eq!(past_in_berlin(text), shown, "{text}");
    }
    for (text, shown) in [
        ("morgen 9 Uhr", "2026-11-11 09:00"),
        ("morgen früh", "2026-11-11 08:00"),
        ("übermorgen 8 Uhr", "2026-11-12 08:00"),
        ("uebermorgen 8 Uhr", "2026-11-12 08:00"),
        ("in 36 Stunden", "2026-11-11 21:00"),
        ("in 3 Tagen", "2026-11-13 09:00"),
        ("Freitag 18 Uhr", "2026-11-13 18:00"),
        ("um 19 Uhr", "2026-11-10 19:00"),
    ] {
        assert_eq!(future_in_berlin(text), shown, "{text}");
    }
    for text in ["halb acht", "um halb 8", "25 Uhr", "heute Nacht 3 Kilo"] {
        assert!(past(text, at(MORNING), BERLIN).is_err(), "{text}");
    }
    assert_eq!(every("alle 3 Tage"), Ok(3));
    assert_eq!(every("jeden Tag"), Ok(1));
    assert_eq!(every("täglich"), Ok(1));
}
