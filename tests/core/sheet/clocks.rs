//! Clocks that are put forward and back, by the rules of the IANA time zone database.

use super::{air, file, new_york, rome};
use tallyhook::sheet::{Asked, DateOrder, DecidedBy, DoubledHour, What};

/// Europe/Rome, 25 October 2026: summer time (UTC+2) ends at 03:00, which is 01:00 UTC; the clocks show 02:00 again (UTC+1).
#[test]
fn rome_in_autumn() {
    let sheet = file("autumn_rome.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-10-24T23:30:00Z 12°C -",
            "3 2026-10-25T00:00:00Z 12.1°C -",
            "4 2026-10-25T00:30:00Z 12.2°C -",
            "5 2026-10-25T01:00:00Z 12.3°C -",
            "6 2026-10-25T01:30:00Z 12.4°C -",
            "7 2026-10-25T02:00:00Z 12.5°C -",
        ]
    );
    assert_eq!(sheet.understood.doubled_hour, DoubledHour { first_pass: 2, second_pass: 2 });
    assert_eq!(sheet.understood.date_order_by, DecidedBy::DayOverTwelve);
}

/// `America/New_York`, 1 November 2026: daylight time (UTC−4) ends at 02:00, which is 06:00 UTC; the clocks show 01:00 again
/// (UTC−5). With a row an hour the time comes twice without stepping back.
#[test]
fn new_york_in_autumn() {
    let sheet = file("autumn_new_york.csv", &new_york());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-11-01T04:30:00Z 54.1°F -",
            "3 2026-11-01T05:30:00Z 54.2°F -",
            "4 2026-11-01T06:30:00Z 54.3°F -",
            "5 2026-11-01T07:30:00Z 54.4°F -",
            "6 2026-11-13T07:30:00Z 54.4°F -",
        ]
    );
    assert_eq!(sheet.understood.doubled_hour, DoubledHour { first_pass: 1, second_pass: 1 });
}

/// `America/New_York`, 8 March 2026: at 02:00 (UTC−5, 07:00 UTC) the clocks go to 03:00 (UTC−4). 02:30 was never shown.
#[test]
fn new_york_in_spring() {
    let asked = Asked { date_order: Some(DateOrder::MonthFirst), ..new_york() };
    let sheet = file("spring_new_york.csv", &asked);
    assert_eq!(air(&sheet), ["2 2026-03-08T06:30:00Z 54.1°F -", "4 2026-03-08T07:30:00Z 54.3°F -"]);
    assert_eq!(sheet.understood.date_order_by, DecidedBy::Asked);
    assert_eq!(sheet.faults.len(), 1);
    assert_eq!(sheet.faults[0].what, What::SkippedHour);
    let place = &sheet.faults[0].place;
    assert_eq!((place.line, place.column, place.text.as_str()), (3, 1, "03/08/2026 02:30 AM"));
}
