//! Finds the last warm spell in a chamber's air.

use crate::curing::rulebook;
use crate::quantity::Temperature;
use crate::quantity::compare;
use crate::record::climate::Climate;
use chrono::{DateTime, Utc};

/// One thing that is known of the air: from when to when it is known to have been at most, or to have reached, this.
struct Point {
    from: DateTime<Utc>,
    at: DateTime<Utc>,
    warmest: Temperature,
}

/// The last stretch of time in which the room was warm: its start, and its end where a cold reading closed it.
///
/// Warm is above the lowest temperature of a rule that counts it: of the spell rows for meat in the cure, of the
/// degree-hour bases otherwise. The start is the last cold reading before the first warm one, so that the doubtful
/// time between the two counts.
pub fn find_spell(
    climate: &Climate,
    since: DateTime<Utc>,
    now: DateTime<Utc>,
    in_cure: bool,
) -> Option<(DateTime<Utc>, Option<DateTime<Utc>>)> {
    let edge = edge_celsius(in_cure)?;
    let is_warm = |point: &Point| compare::with_tolerance(point.warmest.as_celsius(), edge).is_gt();
    let points = points(climate, since, now);
    let last_warm = points.iter().rposition(is_warm)?;
    let end = points.get(last_warm + 1).map(|point| point.at);
    let last_cold_before = points[..last_warm].iter().rposition(|point| !is_warm(point));
    let first_warm = points.get(last_cold_before.map_or(0, |at| at + 1))?;
    let cold_at = last_cold_before.and_then(|at| points.get(at)).map(|point| point.at);
    // A min/max thermometer knows its own beginning; a bare reading leaves the time since the cold one in doubt.
    let start = match cold_at {
        Some(cold) if first_warm.from == first_warm.at => cold,
        Some(cold) => cold.max(first_warm.from),
        None => first_warm.from,
    };
    Some((start.max(since), end))
}

/// The lowest temperature that any row of the rule counts from, in °C.
fn edge_celsius(in_cure: bool) -> Option<f64> {
    if !in_cure {
        return rulebook::by_id("degree_hours.canada.base")?.value;
    }
    let rows =
        rulebook::bands("warm_spell.in_cure.warning").chain(rulebook::bands("warm_spell.in_cure.discard"));
    rows.filter_map(|row| row.above).reduce(f64::min)
}

fn points(climate: &Climate, since: DateTime<Utc>, now: DateTime<Utc>) -> Vec<Point> {
    let readings =
        climate.readings.iter().map(|read| Point { from: read.at, at: read.at, warmest: read.temperature });
    let extremes =
        climate.extremes.iter().map(|read| Point { from: read.since, at: read.at, warmest: read.max });
    let mut points: Vec<Point> =
        readings.chain(extremes).filter(|point| since <= point.at && point.at <= now).collect();
    points.sort_by_key(|point| (point.at, point.from));
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::climate::{RoomExtremes, RoomReading};
    use chrono::TimeDelta;

    fn start() -> DateTime<Utc> {
        DateTime::from_timestamp(1_790_000_000, 0).unwrap()
    }

    fn hour(hours: i64) -> DateTime<Utc> {
        start() + TimeDelta::hours(hours)
    }

    fn room(readings: &[(i64, f64)]) -> Climate {
        let readings = readings
            .iter()
            .map(|(at, celsius)| RoomReading { at: hour(*at), temperature: Temperature::celsius(*celsius) });
        Climate { readings: readings.collect(), ..Climate::default() }
    }

    #[test]
    fn a_cold_room_has_no_spell() {
        assert_eq!(find_spell(&room(&[(0, 12.0), (24, 13.0)]), start(), hour(30), false), None);
    }

    #[test]
    fn a_spell_begins_at_the_last_cold_reading_and_ends_at_the_next() {
        let climate = room(&[(0, 12.0), (10, 22.0), (12, 24.0), (20, 13.0)]);
        assert_eq!(find_spell(&climate, start(), hour(30), false), Some((hour(0), Some(hour(20)))));
    }

    #[test]
    fn a_spell_without_a_later_reading_is_still_open() {
        assert_eq!(
            find_spell(&room(&[(0, 12.0), (10, 22.0)]), start(), hour(30), false),
            Some((hour(0), None))
        );
    }

    #[test]
    fn a_power_cut_counts_from_its_beginning() {
        let mut climate = room(&[(0, 12.0)]);
        climate.extremes.push(RoomExtremes {
            since: hour(11),
            at: hour(20),
            max: Temperature::celsius(24.0),
            min: None,
        });
        assert_eq!(find_spell(&climate, start(), hour(20), false), Some((hour(11), None)));
    }

    #[test]
    fn meat_in_the_cure_is_warm_sooner() {
        let climate = room(&[(0, 4.0), (10, 12.0)]);
        assert_eq!(find_spell(&climate, start(), hour(11), false), None);
        assert_eq!(find_spell(&climate, start(), hour(11), true), Some((hour(0), None)));
    }
}
