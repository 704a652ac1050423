//! What the clocks of a zone showed, row by row, as instants.
//!
//! In autumn an hour is shown twice, and a logger that follows the clocks writes it twice. The order of the rows says
//! which pass a row belongs to: it is the first until the times step back, then the second.

use super::super::understood::DoubledHour;
use chrono::{DateTime, LocalResult, NaiveDateTime, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;

/// Rows that are looked at for the usual distance between two.
const LOOKED_AT: usize = 1000;

/// The instant of each row, `None` where the clocks skip what it shows.
pub(in crate::sheet) fn instants(
    shown: &[NaiveDateTime],
    zone: Tz,
) -> (Vec<Option<DateTime<Utc>>>, DoubledHour) {
    let mut passes = Passes { zone, hourly: is_hourly(shown), before: None, doubled: DoubledHour::default() };
    let newest_first = steps(shown).filter(|step| *step < TimeDelta::zero()).count() * 2 > shown.len();
    let found = if newest_first {
        let mut found: Vec<_> = shown.iter().rev().map(|row| passes.instant(*row)).collect();
        found.reverse();
        found
    } else {
        shown.iter().map(|row| passes.instant(*row)).collect()
    };
    (found, passes.doubled)
}

fn steps(shown: &[NaiveDateTime]) -> impl Iterator<Item = TimeDelta> + '_ {
    shown.windows(2).map(|pair| pair[1] - pair[0])
}

/// Whether an hour lies between most rows: then the doubled hour holds the same time twice and never steps back.
fn is_hourly(shown: &[NaiveDateTime]) -> bool {
    let mut distances: Vec<TimeDelta> = steps(shown)
        .take(LOOKED_AT)
        .map(|step| step.abs())
        .filter(|step| *step > TimeDelta::zero())
        .collect();
    distances.sort_unstable();
    distances.get(distances.len() / 2).is_some_and(|median| (median.num_minutes() - 60).abs() <= 1)
}

struct Passes {
    zone: Tz,
    hourly: bool,
    /// What the row before showed, and when it was.
    before: Option<(NaiveDateTime, DateTime<Utc>)>,
    doubled: DoubledHour,
}

impl Passes {
    fn instant(&mut self, shown: NaiveDateTime) -> Option<DateTime<Utc>> {
        let at = match self.zone.from_local_datetime(&shown) {
            LocalResult::Single(at) => at.to_utc(),
            LocalResult::None => return None,
            LocalResult::Ambiguous(one, other) => {
                let (first, second) = (one.min(other).to_utc(), one.max(other).to_utc());
                if self.is_second_pass(shown, first, second) {
                    self.doubled.second_pass += 1;
                    second
                } else {
                    self.doubled.first_pass += 1;
                    first
                }
            }
        };
        self.before = Some((shown, at));
        Some(at)
    }

    fn is_second_pass(&self, shown: NaiveDateTime, first: DateTime<Utc>, second: DateTime<Utc>) -> bool {
        let Some((shown_before, before)) = self.before else { return false };
        let steps_back = first < before && before <= second;
        let again = self.hourly && shown == shown_before && before == first;
        steps_back || again
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(rows: &[&str], zone: Tz) -> (Vec<String>, DoubledHour) {
        let rows: Vec<NaiveDateTime> = rows.iter().map(|row| row.parse().unwrap()).collect();
        let (found, doubled) = instants(&rows, zone);
        let written =
            |at: &Option<DateTime<Utc>>| at.map_or("skipped".into(), |at| at.format("%d %H:%M").to_string());
        (found.iter().map(written).collect(), doubled)
    }

    #[test]
    fn the_second_pass_begins_where_the_times_step_back() {
        // Europe/Rome, 25 October 2026: at 03:00 summer time (01:00 UTC) the clocks go back to 02:00 (IANA).
        let rows = [
            "2026-10-25T01:30:00",
            "2026-10-25T02:00:00",
            "2026-10-25T02:30:00",
            "2026-10-25T02:00:00",
            "2026-10-25T02:30:00",
            "2026-10-25T03:00:00",
        ];
        let expected = ["24 23:30", "25 00:00", "25 00:30", "25 01:00", "25 01:30", "25 02:00"];
        let both = DoubledHour { first_pass: 2, second_pass: 2 };
        assert_eq!(read(&rows, Tz::Europe__Rome), (expected.map(String::from).to_vec(), both));
        let (mut backwards, mut turned) = (rows, expected);
        backwards.reverse();
        turned.reverse();
        assert_eq!(read(&backwards, Tz::Europe__Rome), (turned.map(String::from).to_vec(), both));
    }

    #[test]
    fn with_an_hour_between_rows_the_same_time_comes_twice() {
        // America/New_York, 1 November 2026: at 02:00 daylight time (06:00 UTC) back to 01:00 (IANA).
        let rows =
            ["2026-11-01T00:30:00", "2026-11-01T01:30:00", "2026-11-01T01:30:00", "2026-11-01T02:30:00"];
        let (found, _) = read(&rows, Tz::America__New_York);
        assert_eq!(found, ["01 04:30", "01 05:30", "01 06:30", "01 07:30"]);
    }

    #[test]
    fn without_order_it_is_the_first_pass_and_a_skipped_time_is_none() {
        assert_eq!(read(&["2026-10-25T02:30:00"], Tz::Europe__Rome).0, ["25 00:30"]);
        // Europe/Rome, 29 March 2026: from 02:00 to 03:00 (IANA).
        assert_eq!(read(&["2026-03-29T02:30:00"], Tz::Europe__Rome).0, ["skipped"]);
    }
}
