//! From a day and a time of day in a zone to a moment, and back.

use chrono::{DateTime, Days, Duration, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, TimeZone, Utc};
use chrono_tz::Tz;

/// No zone has ever skipped more than a day (Samoa, 30 December 2011).
const LONGEST_GAP_HOURS: i64 = 48;

/// The moment of a day and a time of day in a zone. A time the clocks skip moves forward by what they skip; of one
/// that comes twice the first counts. `None` only beyond the calendar.
pub(super) fn moment(day: NaiveDate, time: NaiveTime, zone: Tz) -> Option<DateTime<Utc>> {
    let local = day.and_time(time);
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) | LocalResult::Ambiguous(at, _) => Some(at.with_timezone(&Utc)),
        LocalResult::None => after_gap(local, zone),
    }
}

/// Counts on with the offset that held before the gap: 02:30 becomes 03:30 when the clocks skip an hour.
fn after_gap(local: NaiveDateTime, zone: Tz) -> Option<DateTime<Utc>> {
    (1..=LONGEST_GAP_HOURS).find_map(|hours| {
        let back = Duration::hours(hours);
        let before = zone.from_local_datetime(&local.checked_sub_signed(back)?).latest()?;
        before.with_timezone(&Utc).checked_add_signed(back)
    })
}

/// The same time of day some days later or earlier.
pub(super) fn shifted(at: DateTime<Utc>, days: i64, zone: Tz) -> Option<DateTime<Utc>> {
    let local = at.with_timezone(&zone).naive_local();
    moment(day_after(local.date(), days)?, local.time(), zone)
}

/// The day some days later or earlier.
pub(super) fn day_after(day: NaiveDate, days: i64) -> Option<NaiveDate> {
    let count = Days::new(days.unsigned_abs());
    if days < 0 { day.checked_sub_days(count) } else { day.checked_add_days(count) }
}
