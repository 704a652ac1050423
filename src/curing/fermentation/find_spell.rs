//! Finds the warm spells in the air around a batch.

use super::history::Stay;
use super::system::{Rules, System};
use crate::curing::rulebook;
use crate::quantity::Temperature;
use crate::quantity::compare;
use chrono::{DateTime, Utc};

/// One thing that is known of the air: since when, and until when, it was at most this warm, or reached it.
struct Point {
    from: DateTime<Utc>,
    at: DateTime<Utc>,
    warmest: Temperature,
    /// A setting is no reading: it may begin a spell, but only a thermometer ends one.
    is_read: bool,
}

/// A stretch of time in which the room was warm: its start, and its end where a cold reading closed it.
pub type Spell = (DateTime<Utc>, Option<DateTime<Utc>>);

/// Every warm spell since a moment, in order, through all the chambers a batch stayed in.
///
/// Warm is above the lowest temperature of a rule that counts it: of the spell rows for meat in the cure, of the
/// degree-hour bases otherwise. A spell starts at the last cold reading before the first warm one, so that the
/// doubtful time between the two counts.
pub fn find_spells(
    stays: &[Stay<'_>],
    since: DateTime<Utc>,
    now: DateTime<Utc>,
    in_cure: bool,
) -> Vec<Spell> {
    let Some(edge) = edge_celsius(in_cure) else { return Vec::new() };
    let mut spells: Vec<Spell> = Vec::new();
    let (mut open, mut cold_at) = (None, None);
    for point in points(stays, since, now) {
        let is_warm = compare::with_tolerance(point.warmest.as_celsius(), edge).is_gt();
        match (is_warm, open) {
            (true, None) => open = Some(start(&point, cold_at).max(since)),
            (false, Some(from)) if point.is_read => {
                spells.push((from, Some(point.at)));
                open = None;
            }
            _ => {}
        }
        if !is_warm && point.is_read {
            cold_at = Some(point.at);
        }
    }
    spells.extend(open.map(|from| (from, None)));
    spells
}

/// A min/max thermometer and a setting know their own beginning; a bare reading leaves the time since the cold one in
/// doubt.
fn start(warm: &Point, cold_at: Option<DateTime<Utc>>) -> DateTime<Utc> {
    match cold_at {
        Some(cold) if warm.from == warm.at && warm.is_read => cold,
        Some(cold) => cold.max(warm.from),
        None => warm.from,
    }
}

/// The lowest temperature that any row of the rule counts from, in °C.
fn edge_celsius(in_cure: bool) -> Option<f64> {
    if in_cure {
        let warning = rulebook::bands("warm_spell.in_cure.warning");
        let rows = warning.chain(rulebook::bands("warm_spell.in_cure.discard"));
        return rows.filter_map(|row| row.above).reduce(f64::min);
    }
    let rules = [System::Us, System::Canada].into_iter().filter_map(Rules::of);
    rules.map(|rules| Temperature::new(rules.base, rules.system.scale()).as_celsius()).reduce(f64::min)
}

fn points(stays: &[Stay<'_>], since: DateTime<Utc>, now: DateTime<Utc>) -> Vec<Point> {
    let mut points: Vec<Point> = stays.iter().flat_map(points_of).collect();
    points.retain(|point| since <= point.at && point.at <= now);
    points.sort_by_key(|point| (point.at, point.from));
    points
}

/// What is known of the air of one stay, while the batch was there.
fn points_of(stay: &Stay<'_>) -> Vec<Point> {
    let climate = stay.climate;
    let readings = climate.readings.iter().map(|read| Point {
        from: read.at,
        at: read.at,
        warmest: read.temperature,
        is_read: true,
    });
    let extremes = climate.extremes.iter().map(|read| Point {
        from: read.since.max(stay.from),
        at: read.at,
        warmest: read.max,
        is_read: true,
    });
    let settings = climate.settings.iter().map(|set| Point {
        from: set.at,
        at: set.at,
        warmest: set.temperature,
        is_read: false,
    });
    // What was set before the batch came in holds from then on.
    let before = climate.settings.iter().rfind(|set| set.at < stay.from).map(|set| Point {
        from: stay.from,
        at: stay.from,
        warmest: set.temperature,
        is_read: false,
    });
    readings.chain(extremes).chain(settings).filter(|point| stay.holds(point.at)).chain(before).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::climate::{Climate, RoomExtremes, RoomReading, RoomSetting};
    use chrono::TimeDelta;

    fn origin() -> DateTime<Utc> {
        DateTime::from_timestamp(1_790_000_000, 0).unwrap()
    }

    fn hour(hours: i64) -> DateTime<Utc> {
        origin() + TimeDelta::hours(hours)
    }

    fn find_spell(
        climate: &Climate,
        since: DateTime<Utc>,
        now: DateTime<Utc>,
        in_cure: bool,
    ) -> Option<Spell> {
        let stay = Stay { climate, from: since, to: None };
        find_spells(&[stay], since, now, in_cure).pop()
    }

    fn room(readings: &[(i64, f64)]) -> Climate {
        let readings = readings
            .iter()
            .map(|(at, celsius)| RoomReading { at: hour(*at), temperature: Temperature::celsius(*celsius) });
        Climate { readings: readings.collect(), ..Climate::default() }
    }

    #[test]
    fn a_cold_room_has_no_spell() {
        assert_eq!(find_spell(&room(&[(0, 12.0), (24, 13.0)]), origin(), hour(30), false), None);
    }

    #[test]
    fn a_spell_begins_at_the_last_cold_reading_and_ends_at_the_next() {
        let climate = room(&[(0, 12.0), (10, 22.0), (12, 24.0), (20, 13.0)]);
        assert_eq!(find_spell(&climate, origin(), hour(30), false), Some((hour(0), Some(hour(20)))));
    }

    #[test]
    fn a_spell_without_a_later_reading_is_still_open() {
        assert_eq!(
            find_spell(&room(&[(0, 12.0), (10, 22.0)]), origin(), hour(30), false),
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
        assert_eq!(find_spell(&climate, origin(), hour(20), false), Some((hour(11), None)));
    }

    #[test]
    fn meat_in_the_cure_is_warm_sooner() {
        let climate = room(&[(0, 4.0), (10, 12.0)]);
        assert_eq!(find_spell(&climate, origin(), hour(11), false), None);
        assert_eq!(find_spell(&climate, origin(), hour(11), true), Some((hour(0), None)));
    }

    #[test]
    fn every_spell_is_found() {
        let climate = room(&[(0, 12.0), (10, 22.0), (20, 13.0), (30, 21.0), (40, 22.0)]);
        let stay = Stay { climate: &climate, from: origin(), to: None };
        let spells = find_spells(&[stay], origin(), hour(50), false);
        assert_eq!(spells, [(hour(0), Some(hour(20))), (hour(20), None)]);
    }

    #[test]
    fn a_spell_goes_on_into_the_next_chamber() {
        let (one, other) = (room(&[(0, 12.0), (10, 22.0)]), room(&[(21, 23.0)]));
        let stays = [
            Stay { climate: &one, from: origin(), to: Some(hour(20)) },
            Stay { climate: &other, from: hour(20), to: None },
        ];
        assert_eq!(find_spells(&stays, origin(), hour(30), false), [(hour(0), None)]);
    }

    #[test]
    fn a_warm_setting_begins_a_spell_and_a_cold_one_does_not_end_it() {
        let mut climate = room(&[(0, 12.0)]);
        let set = |at, celsius| RoomSetting {
            at: hour(at),
            temperature: Temperature::celsius(celsius),
            hysteresis_celsius: 1.0,
        };
        climate.settings = vec![set(5, 20.0), set(9, 13.0)];
        assert_eq!(find_spell(&climate, origin(), hour(10), false), Some((hour(5), None)));
        climate.readings.push(RoomReading { at: hour(12), temperature: Temperature::celsius(13.0) });
        assert_eq!(find_spell(&climate, origin(), hour(13), false), Some((hour(5), Some(hour(12)))));
    }
}
