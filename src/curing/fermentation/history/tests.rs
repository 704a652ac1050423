//! Evidence by evidence: what a stretch is taken to have been. Figures are worked by hand beside each case.

use super::*;
use crate::curing::fermentation::evidence::Grade;
use crate::quantity::Temperature;
use crate::record::climate::{RoomExtremes, RoomReading, RoomSetting};
use chrono::TimeDelta;

fn at(hours: f64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::seconds((hours * 3600.0).round() as i64)
}

fn read(readings: &[(f64, f64)]) -> Climate {
    let readings = readings
        .iter()
        .map(|(hour, celsius)| RoomReading { at: at(*hour), temperature: Temperature::celsius(*celsius) });
    Climate { readings: readings.collect(), ..Climate::default() }
}

fn set(mut climate: Climate, hour: f64, celsius: f64, drift: f64) -> Climate {
    climate.settings.push(RoomSetting {
        at: at(hour),
        temperature: Temperature::celsius(celsius),
        hysteresis_celsius: drift,
    });
    climate
}

fn remember(mut climate: Climate, (since, until): (f64, f64), min: Option<f64>, max: f64) -> Climate {
    climate.extremes.push(RoomExtremes {
        since: at(since),
        at: at(until),
        max: Temperature::celsius(max),
        min: min.map(Temperature::celsius),
    });
    climate
}

/// The course of one chamber from hour 0; open at `now`, or closed at an hour.
fn course(climate: &Climate, closed: Option<f64>, now: f64) -> Course {
    let stay = Stay { climate, from: at(0.0), to: None };
    let window = Window { from: at(0.0), closed: closed.map(at), now: at(now) };
    Course::of_history(&[stay], window)
}

/// Each stretch as hours, lowest, highest and grade; 0 for nothing known.
fn seen(course: &Course) -> Vec<(f64, f64, f64, Grade)> {
    let celsius = |warmth: Option<Temperature>| warmth.map_or(0.0, Temperature::as_celsius);
    let stretches = course.stretches.iter();
    stretches
        .map(|stretch| (stretch.hours, celsius(stretch.low), celsius(stretch.high), stretch.grade))
        .collect()
}

#[test]
fn a_night_is_read_and_its_controller_may_drift() {
    let night = set(read(&[(0.0, 24.0), (10.0, 23.0)]), -5.0, 24.0, 1.0);
    let course = course(&night, Some(10.0), 10.0);
    assert_eq!(seen(&course), [(10.0, 23.0, 25.0, Grade::Read)]);
    assert_eq!(course.highest_certain, Some(Temperature::celsius(24.0)));
    assert_eq!(course.highest_possible, Some(Temperature::celsius(25.0)));
}

#[test]
fn two_hours_are_logged_and_a_minute_more_is_read() {
    let logged = course(&read(&[(0.0, 24.0), (2.0, 25.0)]), Some(2.0), 2.0);
    assert_eq!(logged.grade(), Grade::Logged);
    let more = 2.0 + 1.0 / 60.0;
    let read_only = course(&read(&[(0.0, 24.0), (more, 25.0)]), Some(more), more);
    assert_eq!(read_only.grade(), Grade::Read);
}

#[test]
fn fourteen_hours_are_read_and_a_minute_more_is_unknown() {
    let night = course(&read(&[(0.0, 24.0), (14.0, 24.0)]), Some(14.0), 14.0);
    assert_eq!(night.grade(), Grade::Read);
    let more = 14.0 + 1.0 / 60.0;
    let too_long = course(&read(&[(0.0, 24.0), (more, 24.0)]), Some(more), more);
    assert_eq!(too_long.grade(), Grade::Missing);
    assert_eq!(too_long.gaps(), [(at(0.0), at(more))]);
    assert!(too_long.hours_counted() <= 0.0);
}

#[test]
fn a_setting_covers_a_longer_gap_as_declared_and_each_setting_its_own_part() {
    let settings = set(set(read(&[(0.0, 24.0), (40.0, 12.0)]), -1.0, 24.0, 0.5), 30.0, 12.0, 0.5);
    let course = course(&settings, Some(40.0), 40.0);
    assert_eq!(seen(&course), [(30.0, 24.0, 24.5, Grade::Declared), (10.0, 12.0, 12.5, Grade::Declared)]);
}

#[test]
fn a_fahrenheit_setting_drifts_by_fahrenheit_degrees() {
    let mut climate = Climate::default();
    climate.settings.push(RoomSetting {
        at: at(-1.0),
        temperature: Temperature::fahrenheit(75.0),
        hysteresis_celsius: 1.0,
    });
    let course = course(&climate, Some(20.0), 20.0);
    assert_eq!(course.highest_possible, Some(Temperature::fahrenheit(76.8)));
    assert_eq!(course.highest_certain, Some(Temperature::fahrenheit(75.0)));
}

#[test]
fn a_min_max_thermometer_over_the_gap_counts_as_logged() {
    let climate = remember(read(&[(0.0, 24.0), (20.0, 24.0)]), (0.0, 20.0), Some(22.0), 26.0);
    assert_eq!(seen(&course(&climate, Some(20.0), 20.0)), [(20.0, 22.0, 26.0, Grade::Logged)]);
}

#[test]
fn after_a_power_cut_the_room_may_still_be_as_warm_as_it_got() {
    let cut = remember(read(&[(0.0, 13.0), (11.0, 13.0)]), (1.0, 8.0), None, 24.0);
    assert_eq!(
        seen(&course(&cut, Some(11.0), 11.0)).last(),
        Some(&(3.0, 0.0, 24.0, Grade::Read)),
        "from the end of the cut to the next reading"
    );
    let unread = course(&remember(read(&[(0.0, 13.0)]), (1.0, 8.0), None, 24.0), None, 12.0);
    assert_eq!(seen(&unread).last(), Some(&(4.0, 0.0, 24.0, Grade::Declared)));
}

#[test]
fn a_setting_newer_than_the_last_reading_may_have_moved_the_room() {
    let warming = set(read(&[(0.0, 20.0), (10.0, 20.0)]), 10.0, 38.0, 1.0);
    let later = course(&warming, None, 12.0);
    assert_eq!(seen(&later).last(), Some(&(2.0, 20.0, 39.0, Grade::Declared)));
    assert_eq!(later.current, Some(Temperature::celsius(39.0)));
    assert_eq!(course(&warming, None, 10.0).current, Some(Temperature::celsius(39.0)));
}

#[test]
fn of_two_memories_the_tighter_bounds_hold() {
    let climate = remember(read(&[]), (0.0, 20.0), Some(20.0), 30.0);
    let climate = remember(climate, (0.0, 20.0), Some(22.0), 26.0);
    assert_eq!(seen(&course(&climate, Some(20.0), 20.0)), [(20.0, 22.0, 26.0, Grade::Logged)]);
}

#[test]
fn a_power_cut_knows_its_warmest_only() {
    let climate = remember(read(&[(0.0, 24.0), (30.0, 24.0)]), (0.0, 30.0), None, 27.0);
    let course = course(&climate, Some(30.0), 30.0);
    assert_eq!(seen(&course), [(30.0, 0.0, 27.0, Grade::Logged)]);
}

#[test]
fn a_spike_between_close_readings_moves_the_highest_temperature_only() {
    let climate = remember(read(&[(0.0, 24.0), (1.0, 24.0), (2.0, 24.0)]), (0.0, 2.0), Some(23.0), 38.0);
    let inside = course(&climate, Some(2.0), 2.0);
    let summed: Vec<_> = seen(&inside).into_iter().map(|(_, _, high, _)| high).collect();
    assert_eq!(summed, [24.0, 24.0]);
    assert_eq!(inside.highest_certain, Some(Temperature::celsius(38.0)));
    // Remembered since before the batch came in: it may have been then.
    let before = remember(read(&[(0.0, 24.0), (1.0, 24.0), (2.0, 24.0)]), (-9.0, 2.0), Some(23.0), 38.0);
    let before = course(&before, Some(2.0), 2.0);
    assert_eq!(before.highest_certain, Some(Temperature::celsius(24.0)));
    assert_eq!(before.highest_possible, Some(Temperature::celsius(38.0)));
}

#[test]
fn an_open_end_holds_the_last_reading_for_two_hours() {
    let climate = read(&[(0.0, 24.0), (1.0, 25.0)]);
    let soon = course(&climate, None, 3.0);
    assert_eq!(seen(&soon)[1], (2.0, 25.0, 25.0, Grade::Logged));
    assert_eq!(soon.current, Some(Temperature::celsius(25.0)));
}

#[test]
fn an_open_end_up_to_fourteen_hours_vouches_for_no_warmth() {
    let climate = read(&[(0.0, 24.0)]);
    assert_eq!(seen(&course(&climate, None, 14.0)), [(14.0, 0.0, 24.0, Grade::Declared)]);
    let too_long = course(&climate, None, 14.5);
    assert_eq!(seen(&too_long), [(14.5, 0.0, 0.0, Grade::Missing)]);
    assert_eq!(too_long.current, None);
}

#[test]
fn a_closed_end_without_a_reading_is_not_known() {
    let climate = read(&[(0.0, 24.0)]);
    assert_eq!(course(&climate, Some(5.0), 5.0).grade(), Grade::Missing);
}

#[test]
fn a_reading_after_the_end_is_its_neighbour_but_nothing_after_now_is() {
    let climate = read(&[(0.0, 24.0), (8.0, 26.0)]);
    assert_eq!(seen(&course(&climate, Some(5.0), 9.0)), [(5.0, 24.0, 26.0, Grade::Read)]);
    assert_eq!(course(&climate, Some(5.0), 7.0).grade(), Grade::Missing);
}

#[test]
fn a_preheated_chamber_with_an_old_reading_needs_one_early_reading_only() {
    let climate = read(&[(-30.0, 13.0), (0.5, 24.0), (2.0, 24.0)]);
    let course = course(&climate, Some(2.0), 2.0);
    assert_eq!(seen(&course)[0], (0.5, 24.0, 24.0, Grade::Logged));
    assert_eq!(course.grade(), Grade::Logged);
}

#[test]
fn two_readings_of_one_time_are_a_range() {
    let climate = read(&[(0.0, 24.0), (0.0, 26.0), (2.0, 25.0)]);
    assert_eq!(seen(&course(&climate, Some(2.0), 2.0)), [(2.0, 24.0, 26.0, Grade::Logged)]);
}

#[test]
fn a_reading_that_is_no_number_is_no_reading() {
    let climate = remember(read(&[(0.0, 24.0), (1.0, f64::NAN), (20.0, 24.0)]), (0.0, 20.0), None, f64::NAN);
    assert_eq!(course(&climate, Some(20.0), 20.0).grade(), Grade::Missing);
}

#[test]
fn each_stay_goes_by_its_own_chamber() {
    let (warm, cool) = (read(&[(0.0, 24.0), (2.0, 24.0)]), read(&[(0.0, 13.0), (2.0, 13.0), (4.0, 13.0)]));
    let stays = [
        Stay { climate: &warm, from: at(0.0), to: Some(at(2.0)) },
        Stay { climate: &cool, from: at(2.0), to: None },
    ];
    let window = Window { from: at(0.0), closed: None, now: at(4.0) };
    let course = Course::of_history(&stays, window);
    assert_eq!(seen(&course), [(2.0, 24.0, 24.0, Grade::Logged), (2.0, 13.0, 13.0, Grade::Logged)]);
    assert_eq!(course.current, Some(Temperature::celsius(13.0)));
}

#[test]
fn the_ends_of_time_do_not_panic() {
    let climate = read(&[(0.0, 24.0)]);
    let stay = Stay { climate: &climate, from: DateTime::<Utc>::MIN_UTC, to: None };
    let window = Window { from: DateTime::<Utc>::MIN_UTC, closed: None, now: DateTime::<Utc>::MAX_UTC };
    assert_eq!(Course::of_history(&[stay], window).grade(), Grade::Missing);
}

#[test]
fn a_reading_warmer_than_the_remembered_maximum_counts_too() {
    let climate = remember(read(&[(0.0, 24.0), (20.0, 28.0)]), (0.0, 20.0), Some(22.0), 26.0);
    assert_eq!(seen(&course(&climate, Some(20.0), 20.0)), [(20.0, 22.0, 28.0, Grade::Logged)]);
}

#[test]
fn a_maximum_alone_leaves_the_lowest_to_a_night_s_readings() {
    let climate = remember(read(&[(0.0, 24.0), (10.0, 23.0)]), (0.0, 10.0), None, 27.0);
    assert_eq!(seen(&course(&climate, Some(10.0), 10.0)), [(10.0, 23.0, 27.0, Grade::Logged)]);
}

#[test]
fn what_is_set_or_remembered_after_now_is_not_known_yet() {
    let later = remember(set(read(&[(0.0, 24.0)]), 20.5, 38.0, 0.0), (0.0, 20.5), Some(20.0), 38.0);
    let course = course(&later, None, 20.0);
    assert_eq!(course.grade(), Grade::Missing);
    assert_eq!(course.highest_possible, Some(Temperature::celsius(24.0)));
    assert_eq!(course.current, None);
}
