//! Which stretches of time count as warm spells. Invented air.

use super::*;
use crate::record::climate::{Climate, RoomExtremes, RoomReading, RoomSetting};
use chrono::TimeDelta;

fn origin() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

fn hour(hours: i64) -> DateTime<Utc> {
    origin() + TimeDelta::hours(hours)
}

fn find_spell(climate: &Climate, since: DateTime<Utc>, now: DateTime<Utc>, in_cure: bool) -> Option<Spell> {
    let stay = Stay { climate, from: since, to: None };
    find_spells(&[stay], window(since, now), in_cure).pop()
}

fn window(from: DateTime<Utc>, now: DateTime<Utc>) -> Window {
    Window { from, closed: None, now }
}

fn stay(climate: &Climate) -> [Stay<'_>; 1] {
    [Stay { climate, from: origin(), to: None }]
}

fn memory(since: i64, at: i64, max: f64) -> RoomExtremes {
    RoomExtremes { since: hour(since), at: hour(at), max: Temperature::celsius(max), min: None }
}

fn set(at: i64, celsius: f64) -> RoomSetting {
    RoomSetting { at: hour(at), temperature: Temperature::celsius(celsius), hysteresis_celsius: 1.0 }
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
    assert_eq!(find_spell(&room(&[(0, 12.0), (10, 22.0)]), origin(), hour(30), false), Some((hour(0), None)));
}

#[test]
fn a_power_cut_counts_from_its_beginning() {
    let mut climate = room(&[(0, 12.0)]);
    climate.extremes.push(memory(11, 20, 24.0));
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
    let spells = find_spells(&[stay], window(origin(), hour(50)), false);
    assert_eq!(spells, [(hour(0), Some(hour(20))), (hour(20), None)]);
}

#[test]
fn a_spell_goes_on_into_the_next_chamber() {
    let (one, other) = (room(&[(0, 12.0), (10, 22.0)]), room(&[(21, 23.0)]));
    let stays = [
        Stay { climate: &one, from: origin(), to: Some(hour(20)) },
        Stay { climate: &other, from: hour(20), to: None },
    ];
    assert_eq!(find_spells(&stays, window(origin(), hour(30)), false), [(hour(0), None)]);
}

#[test]
fn a_warm_setting_begins_a_spell_and_a_cold_one_does_not_end_it() {
    let mut climate = room(&[(0, 12.0)]);
    climate.settings = vec![set(5, 20.0), set(9, 13.0)];
    assert_eq!(find_spell(&climate, origin(), hour(10), false), Some((hour(5), None)));
    climate.readings.push(RoomReading { at: hour(12), temperature: Temperature::celsius(13.0) });
    assert_eq!(find_spell(&climate, origin(), hour(13), false), Some((hour(5), Some(hour(12)))));
}

#[test]
fn a_warm_memory_counts_from_its_beginning_also_when_a_cold_reading_lies_inside_it() {
    let mut climate = room(&[(0, 12.0), (15, 12.0)]);
    climate.extremes.push(memory(11, 20, 24.0));
    assert_eq!(find_spell(&climate, origin(), hour(20), false), Some((hour(11), None)));
    // Also when the spell was known of before, from a later hour.
    climate.readings.push(RoomReading { at: hour(18), temperature: Temperature::celsius(22.0) });
    assert_eq!(find_spell(&climate, origin(), hour(18), false), Some((hour(15), None)));
    assert_eq!(find_spell(&climate, origin(), hour(20), false), Some((hour(11), None)));
}

#[test]
fn a_memory_that_reaches_back_into_an_earlier_spell_makes_one_of_both() {
    let mut climate = room(&[(0, 12.0), (10, 22.0), (14, 13.0)]);
    climate.extremes.push(memory(12, 20, 24.0));
    let stay = Stay { climate: &climate, from: origin(), to: None };
    assert_eq!(find_spells(&[stay], window(origin(), hour(20)), false), [(hour(0), None)]);
}

#[test]
fn a_setting_knows_its_own_beginning() {
    let mut climate = room(&[(0, 12.0), (10, 12.0)]);
    climate.settings = vec![set(5, 20.0)];
    let stay = Stay { climate: &climate, from: origin(), to: None };
    let spells = find_spells(&[stay], window(origin(), hour(12)), false);
    assert_eq!(spells, [(hour(5), Some(hour(10)))]);
    // What was set before the batch came in holds from then on.
    let later = Stay { from: hour(8), ..stay };
    assert_eq!(find_spells(&[later], window(hour(8), hour(9)), false), [(hour(8), None)]);
}

#[test]
fn a_room_nobody_read_before_is_in_doubt_since_the_batch_came_in() {
    let climate = room(&[(30, 22.0)]);
    assert_eq!(find_spell(&climate, origin(), hour(30), false), Some((hour(0), None)));
    // A reading says nothing of the chamber before.
    let (one, other) = (room(&[(0, 12.0)]), room(&[(30, 22.0)]));
    let stays = [
        Stay { climate: &one, from: origin(), to: Some(hour(20)) },
        Stay { climate: &other, from: hour(20), to: None },
    ];
    assert_eq!(find_spells(&stays, window(origin(), hour(30)), false), [(hour(20), None)]);
}

#[test]
fn a_window_that_closed_takes_what_was_warm_before_it_and_memories_that_reach_into_it() {
    let mut climate = room(&[(0, 12.0), (10, 12.0), (20, 24.0)]);
    let until_15 = Window { from: origin(), closed: Some(hour(15)), now: hour(30) };
    let until_20 = Window { closed: Some(hour(20)), ..until_15 };
    let until_21 = Window { closed: Some(hour(21)), ..until_15 };
    for closed in [until_15, until_20] {
        assert_eq!(find_spells(&stay(&climate), closed, false), []);
    }
    assert_eq!(find_spells(&stay(&climate), until_21, false), [(hour(10), None)]);
    // The cold reading after it does not end it within.
    climate.readings.push(RoomReading { at: hour(22), temperature: Temperature::celsius(12.0) });
    assert_eq!(find_spells(&stay(&climate), until_21, false), [(hour(10), None)]);
    climate.extremes.push(memory(18, 24, 12.0));
    assert_eq!(find_spells(&stay(&climate), until_21, false), [(hour(10), None)]);
    climate.extremes.push(memory(12, 25, 24.0));
    assert_eq!(find_spells(&stay(&climate), until_15, false), [(hour(12), None)]);
}
