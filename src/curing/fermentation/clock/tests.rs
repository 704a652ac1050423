//! A batch of sausage from chamber entry on, as its record stands at different hours.

use super::*;
use crate::curing::fermentation::degree_hours::Verdict;
use crate::curing::fermentation::story::{COOL, Story, WARM, at};
use crate::curing::fermentation::system::System;
use crate::curing::finding::{Level, Outcome};
use crate::record::climate::{RoomReading, RoomSetting};
use crate::record::event::Happening;
use chrono::TimeDelta;

fn sausage() -> Story {
    Story::begin(BatchKind::FermentedSausage)
}

fn canada(fermentation: &Fermentation) -> f64 {
    fermentation.degree_hours.in_system(System::Canada).unwrap().lower
}

#[test]
fn degree_hours_do_not_apply_to_what_does_not_ferment() {
    for kind in [BatchKind::DriedSausage, BatchKind::WholeMuscle] {
        assert_eq!(Story::begin(kind).at_hour(5), None);
    }
    let mut unfermented = sausage();
    unfermented.events.truncate(1);
    assert_eq!(unfermented.at_hour(5), None);
}

#[test]
fn a_running_clock_says_how_long_is_left() {
    // 10 h at 24 °C: 10 × (75.2 − 60) = 152 of 1200; (1200 − 152) ÷ 15.2 = 68.947… h.
    let running = sausage().room(WARM, 0..=10, 24.0).ph(10, 5.6).at_hour(10).unwrap();
    assert_eq!(running.degree_hours.state, ClockState::Running);
    assert_eq!(running.degree_hours.verdict(), Verdict::Within);
    assert_eq!(running.degree_hours.grade, Grade::Logged);
    assert!((canada(&running) - 84.0).abs() < 1e-9);
    let left = running.degree_hours.hours_left().unwrap();
    assert_eq!((format!("{:.1}", left.less_than()), left.whole_hours()), ("68.9".into(), 68));
    let half = running.degree_hours.in_system(System::Us).unwrap().hours_until(0.5).unwrap();
    assert!((half.exact() - (600.0 - 152.0) / 15.2).abs() < 1e-9);
    assert_eq!(running.findings().count(), 3);
}

#[test]
fn the_temperature_now_counts_for_the_band_ahead() {
    // 10 h at 24 °C, then the room jumps to 38 °C (100.4 °F): 900 is the limit, not 1200.
    let story = sausage().room(WARM, 0..=10, 24.0).room(WARM, 11..=11, 38.0);
    let hot = story.at_hour(11).unwrap();
    let us = hot.degree_hours.in_system(System::Us).unwrap();
    assert!((us.limit_upper - 900.0).abs() < 1e-9);
    // Upper sum 152 + 1 × 40.4; (900 − 192.4) ÷ 40.4 = 17.51… h.
    assert!((us.hours_left().unwrap().exact() - (900.0 - 192.4) / 40.4).abs() < 1e-9);
}

#[test]
fn a_room_at_the_base_runs_no_clock() {
    let cold = sausage().room(WARM, 0..=6, 15.0).at_hour(6).unwrap();
    assert_eq!(cold.degree_hours.verdict(), Verdict::NotRunning);
    assert_eq!(cold.degree_hours.hours_left(), None);
    assert_eq!(cold.degree_hours.state, ClockState::Running);
}

#[test]
fn a_ph_reading_ends_the_clock_and_later_warmth_is_not_counted() {
    let ended = sausage().room(WARM, 0..=90, 24.0).ph(40, 5.1).at_hour(90).unwrap();
    assert!(matches!(ended.degree_hours.state, ClockState::Ended { at: end, .. } if end == at(40)));
    assert_eq!(ended.degree_hours.verdict(), Verdict::Within);
    assert!((canada(&ended) - 40.0 * 8.4).abs() < 1e-9);
    assert_eq!(ended.degree_hours.hours_left(), None);
    assert_eq!(ended.end_point.unwrap().outcome, Outcome::Within);
}

#[test]
fn without_an_ending_ph_the_clock_runs_until_the_limit() {
    let story = sausage().room(WARM, 0..=170, 24.0).ph(60, 5.4);
    let over = story.at_hour(80).unwrap();
    assert_eq!(over.degree_hours.verdict(), Verdict::Exceeded);
    let us = over.degree_hours.in_system(System::Us).unwrap();
    assert_eq!((us.finding.outcome, us.finding.level), (Outcome::Over, Level::Warning));
    assert_eq!(us.finding.advice.as_ref().unwrap().key, "degree_hours.exceeded");
    // 170 × 15.2 = 2584 is over twice 1200.
    let twice = story.at_hour(170).unwrap();
    assert_eq!(twice.degree_hours.in_system(System::Us).unwrap().finding.level, Level::Danger);
}

#[test]
fn leaving_for_the_cold_without_an_ending_ph_is_never_reached() {
    let story = sausage()
        .room(WARM, 0..=30, 24.0)
        .ph(29, 5.6)
        .stage(30, BatchStage::Drying)
        .moved(30, COOL)
        .room(COOL, 30..=31, 13.0);
    let left = story.at_hour(200).unwrap();
    assert_eq!(left.degree_hours.state, ClockState::NeverReached { at: at(30) });
    // The sparse readings of the drying room do not spoil what was counted.
    assert_eq!(left.degree_hours.verdict(), Verdict::Within);
    assert!((canada(&left) - 30.0 * 8.4).abs() < 1e-9);
    let finding = left.end_point.unwrap();
    assert_eq!((finding.outcome, finding.level), (Outcome::Over, Level::Warning));
    assert_eq!(finding.advice.unwrap().key, "ph.never_reached");
}

#[test]
fn who_only_writes_drying_but_stays_warm_is_still_counted() {
    let story = sausage().room(WARM, 0..=100, 24.0).ph(29, 5.6).stage(30, BatchStage::Drying);
    let warm = story.at_hour(100).unwrap();
    assert_eq!(warm.degree_hours.state, ClockState::NeverReached { at: at(100) });
    assert_eq!(warm.degree_hours.verdict(), Verdict::Exceeded);
}

#[test]
fn twelve_cold_hours_without_an_ending_ph_are_never_reached() {
    let story = sausage().room(WARM, 0..=30, 24.0).room(WARM, 31..=60, 15.0);
    // The hour from 30 to 31 may have been warm; the twelfth cold hour ends at 43.
    assert_eq!(story.at_hour(42).unwrap().degree_hours.state, ClockState::Running);
    let never = story.at_hour(43).unwrap();
    assert_eq!(never.degree_hours.state, ClockState::NeverReached { at: at(31) });
    assert_eq!(never.end_point.unwrap().level, Level::Warning);
}

#[test]
fn a_cold_start_or_a_cold_night_between_is_not_the_end() {
    let cold_start = sausage().room(WARM, 0..=20, 13.0);
    assert_eq!(cold_start.at_hour(20).unwrap().degree_hours.state, ClockState::Running);
    let warmed_up = cold_start.room(WARM, 21..=40, 22.0).at_hour(40).unwrap();
    assert_eq!(warmed_up.degree_hours.state, ClockState::Running);
    assert!((canada(&warmed_up) - 19.0 * 6.4).abs() < 1e-9);
}

#[test]
fn a_chamber_nobody_read_cannot_be_assessed() {
    let unread = sausage().at_hour(20).unwrap();
    assert_eq!(unread.degree_hours.verdict(), Verdict::CannotBeAssessed);
    let us = unread.degree_hours.in_system(System::Us).unwrap();
    assert_eq!(us.finding.outcome, Outcome::NotJudged);
    assert_eq!(us.finding.advice.as_ref().unwrap().key, "degree_hours.no_reading");
    assert_eq!(us.upper, None);
}

#[test]
fn what_happens_later_is_not_known_yet() {
    let story = sausage().room(WARM, 0..=90, 24.0).ph(40, 5.1);
    let before = story.at_hour(20).unwrap();
    assert_eq!(before.degree_hours.state, ClockState::Running);
    assert!((canada(&before) - 20.0 * 8.4).abs() < 1e-9);
}

#[test]
fn the_setting_of_a_batch_that_just_came_in_picks_the_band() {
    let mut story = sausage();
    story.climates.entry(WARM).or_default().settings.push(RoomSetting {
        at: at(-1),
        temperature: Temperature::celsius(38.0),
        hysteresis_celsius: 0.0,
    });
    let us = story.at_hour(0).unwrap().degree_hours;
    let us = us.in_system(System::Us).unwrap();
    assert!((us.limit_upper - 900.0).abs() < 1e-9);
    assert!((us.hours_left().unwrap().exact() - 900.0 / 40.4).abs() < 1e-9);
}

#[test]
fn no_hours_are_left_when_one_of_the_systems_is_over() {
    // 24 h at 37.5 °C: 525.6 of the Canadian 500, 948 of the US 1000.
    let over = sausage().room(WARM, 0..=24, 37.5).at_hour(24).unwrap();
    assert_eq!(over.degree_hours.in_system(System::Us).unwrap().verdict, Verdict::Within);
    assert_eq!(over.degree_hours.verdict(), Verdict::Exceeded);
    assert_eq!(over.degree_hours.hours_left(), None);
}

#[test]
fn the_ph_ends_the_clock_also_when_the_batch_leaves_later() {
    let story = sausage().room(WARM, 0..=60, 24.0).ph(40, 5.1).stage(60, BatchStage::Drying);
    let ended = story.at_hour(60).unwrap();
    assert!((canada(&ended) - 40.0 * 8.4).abs() < 1e-9);
}

#[test]
fn a_reading_from_before_the_start_ends_nothing() {
    let mut story = sausage().ph(2, 5.1).room(WARM, 0..=10, 24.0);
    for event in &mut story.events {
        if matches!(event.what, Happening::PhRead { .. }) {
            event.at = at(0) - TimeDelta::minutes(30);
        }
    }
    let running = story.at_hour(10).unwrap();
    assert_eq!(running.degree_hours.state, ClockState::Running);
    assert!(running.acidity.readings.is_empty());
}

#[test]
fn cold_hours_on_either_side_of_a_gap_do_not_add_up() {
    let story = sausage().room(WARM, 0..=30, 24.0).room(WARM, 31..=36, 15.0).room(WARM, 60..=61, 15.0);
    let gap = story.at_hour(61).unwrap().degree_hours;
    assert_eq!(gap.state, ClockState::Running);
    assert_eq!(gap.verdict(), Verdict::CannotBeAssessed);
    assert_eq!(gap.gaps, [(at(36), at(60))]);
    let us = &gap.in_system(System::Us).unwrap().finding;
    let advice = us.advice.as_ref().unwrap();
    assert_eq!(
        (advice.key, advice.holes.as_slice()),
        ("degree_hours.gap", &[("hours", "24".to_string())][..])
    );
}

#[test]
fn an_upper_sum_exactly_at_the_limit_is_a_warning() {
    // 75 °F for 80 h is 1200; the lower sum stays under it by one reading of 74 °F.
    let readings = (0..=80).map(|hour| RoomReading {
        at: at(hour),
        temperature: Temperature::fahrenheit(if hour == 40 { 74.0 } else { 75.0 }),
    });
    let mut story = sausage();
    story.climates.entry(WARM).or_default().readings = readings.collect();
    let sum = story.at_hour(80).unwrap().degree_hours;
    let us = sum.in_system(System::Us).unwrap();
    assert_eq!(us.verdict, Verdict::MayBeExceeded);
    assert_eq!((us.finding.outcome, us.finding.level), (Outcome::AtLimit, Level::Warning));
}

#[test]
fn a_batch_that_ferments_again_has_not_left() {
    let story = sausage()
        .room(WARM, 0..=60, 24.0)
        .ph(20, 5.6)
        .stage(30, BatchStage::Drying)
        .stage(32, BatchStage::Fermenting);
    let again = story.at_hour(60).unwrap().degree_hours;
    assert_eq!(again.state, ClockState::Running);
    let us = again.in_system(System::Us).unwrap();
    assert!((us.lower - 60.0 * 15.2).abs() < 1e-9);
    // It leaves for good at hour 60 and is cold from then on.
    let left = story.stage(60, BatchStage::Drying).moved(60, COOL).room(COOL, 60..=80, 13.0);
    let left = left.at_hour(80).unwrap().degree_hours;
    assert_eq!(left.state, ClockState::NeverReached { at: at(60) });
    assert!((left.in_system(System::Us).unwrap().lower - 60.0 * 15.2).abs() < 1e-9);
}

#[test]
fn leaving_and_coming_back_does_not_cut_the_course() {
    // Twenty hours in the cold between, and warm again afterwards: 30 + 20 warm hours of 15.2 °F-hours.
    let story = sausage()
        .room(WARM, 0..=30, 24.0)
        .stage(30, BatchStage::Drying)
        .moved(30, COOL)
        .room(COOL, 30..=50, 13.0)
        .stage(50, BatchStage::Fermenting)
        .moved(50, WARM)
        .room(WARM, 50..=70, 24.0);
    let again = story.at_hour(70).unwrap().degree_hours;
    assert_eq!(again.state, ClockState::Running);
    assert!((again.in_system(System::Us).unwrap().lower - 50.0 * 15.2).abs() < 1e-9);
}

#[test]
fn an_ending_ph_after_leaving_counts_all_the_way_to_it() {
    // Drying in a warm room, then cold for thirteen hours, then warm again until the pH of hour 70.
    let story = sausage()
        .room(WARM, 0..=40, 24.0)
        .stage(30, BatchStage::Drying)
        .room(WARM, 41..=54, 13.0)
        .room(WARM, 55..=70, 24.0)
        .ph(70, 5.1);
    let ended = story.at_hour(70).unwrap().degree_hours;
    assert!(matches!(ended.state, ClockState::Ended { at: end, .. } if end == at(70)));
    assert!((ended.in_system(System::Canada).unwrap().lower - 55.0 * 8.4).abs() < 1e-9);
    assert!((ended.hours_counted - 70.0).abs() < 1e-9);
}

#[test]
fn what_is_not_known_before_an_ending_ph_stays_a_gap() {
    let story = sausage()
        .room(WARM, 0..=30, 24.0)
        .stage(30, BatchStage::Drying)
        .moved(30, COOL)
        .room(COOL, 30..=31, 13.0)
        .ph(90, 5.1);
    let ended = story.at_hour(90).unwrap().degree_hours;
    assert_eq!(ended.gaps, [(at(31), at(90))]);
    assert_eq!(ended.verdict(), Verdict::CannotBeAssessed);
}

#[test]
fn warmth_after_an_unknown_time_in_the_drying_room_is_counted_and_the_gap_shown() {
    let story = sausage()
        .room(WARM, 0..=30, 24.0)
        .ph(29, 5.6)
        .stage(30, BatchStage::Drying)
        .moved(30, COOL)
        .room(COOL, 30..=31, 13.0)
        .room(COOL, 60..=70, 24.0);
    let warm = story.at_hour(70).unwrap().degree_hours;
    assert_eq!(warm.state, ClockState::NeverReached { at: at(70) });
    assert_eq!(warm.gaps, [(at(31), at(60))]);
    assert!((warm.in_system(System::Canada).unwrap().lower - 40.0 * 8.4).abs() < 1e-9);
    assert_eq!(warm.verdict(), Verdict::CannotBeAssessed);
}

#[test]
fn a_short_cold_between_two_warm_times_after_leaving_is_no_end_and_twelve_hours_are() {
    let story = |cold_until: i64| {
        sausage()
            .room(WARM, 0..=40, 24.0)
            .stage(30, BatchStage::Drying)
            .room(WARM, 41..=cold_until, 13.0)
            .room(WARM, cold_until + 1..=70, 24.0)
    };
    // Cold from 41 to 52 is eleven hours.
    let short = story(52).at_hour(70).unwrap().degree_hours;
    assert_eq!(short.state, ClockState::NeverReached { at: at(70) });
    // Cold from 41 to 53 is twelve: what came after is a warm spell of its own, and the doubtful hour to 41 counts.
    let long = story(53).at_hour(70).unwrap().degree_hours;
    assert_eq!(long.state, ClockState::NeverReached { at: at(41) });
}

#[test]
fn cold_hours_before_an_unknown_time_do_not_stop_a_fermentation() {
    let story = sausage().room(WARM, 0..=30, 24.0).room(WARM, 31..=50, 15.0);
    assert_eq!(story.at_hour(50).unwrap().degree_hours.state, ClockState::NeverReached { at: at(31) });
    let unread = story.at_hour(80).unwrap().degree_hours;
    assert_eq!(unread.state, ClockState::Running);
    assert_eq!(unread.gaps, [(at(50), at(80))]);
}

#[test]
fn an_open_end_is_not_known_to_be_cold() {
    // Eight hours are read; of the next five nothing is known but the last reading.
    let story = sausage().room(WARM, 0..=30, 24.0).room(WARM, 31..=39, 15.0);
    assert_eq!(story.at_hour(44).unwrap().degree_hours.state, ClockState::Running);
}

#[test]
fn who_left_and_is_still_warm_counts_as_warm_as_it_was_read_last() {
    let story = sausage().room(WARM, 0..=40, 24.0).stage(30, BatchStage::Drying);
    let warm = story.at_hour(48).unwrap().degree_hours;
    assert_eq!(warm.state, ClockState::NeverReached { at: at(48) });
    let sum = warm.in_system(System::Canada).unwrap();
    assert!((sum.upper.unwrap() - 48.0 * 8.4).abs() < 1e-9);
    assert!((sum.lower - 40.0 * 8.4).abs() < 1e-9);
}

/// Cased at hour -12 in the cool chamber, in the warm one from hour -6, fermenting from hour 0.
fn rested_warm() -> Story {
    Story::planned(BatchKind::FermentedSausage, -12)
        .moved(-12, COOL)
        .stage(-12, BatchStage::Cased)
        .room(COOL, -12..=-6, 4.0)
        .moved(-6, WARM)
        .room(WARM, -6..=80, 24.0)
        .stage(0, BatchStage::Fermenting)
}

#[test]
fn a_cased_batch_that_was_warm_before_is_counted_from_then_on() {
    let warm = rested_warm().at_hour(70).unwrap();
    assert_eq!(warm.started, at(-6));
    // 76 h × 8.4 = 638.4 of 665; three hours later 663.6, and 79 h × 15.2 = 1200.8 are over the US limit.
    assert!((canada(&warm) - 76.0 * 8.4).abs() < 1e-9);
    assert_eq!(warm.degree_hours.verdict(), Verdict::Within);
    assert_eq!(rested_warm().at_hour(73).unwrap().degree_hours.verdict(), Verdict::Exceeded);
}

#[test]
fn only_a_cased_batch_and_only_warmth_without_a_break_starts_the_clock_early() {
    let mut uncased = rested_warm();
    uncased.events.retain(|event| event.what != Happening::StageReached { stage: BatchStage::Cased });
    assert_eq!(uncased.at_hour(10).unwrap().started, at(0));
    // A cold reading an hour before ends the spell.
    let cold_between = rested_warm().room(WARM, -1..=-1, 4.0);
    assert_eq!(cold_between.at_hour(10).unwrap().started, at(0));
    // Warm only from the very start on, be the time before in doubt.
    let unread = Story::planned(BatchKind::FermentedSausage, -12)
        .stage(-12, BatchStage::Cased)
        .stage(0, BatchStage::Fermenting)
        .room(WARM, 0..=10, 24.0);
    assert_eq!(unread.at_hour(10).unwrap().started, at(0));
}

#[test]
fn an_early_start_of_the_clock_lets_no_earlier_ph_end_it() {
    let story = rested_warm().ph(-2, 5.1);
    let running = story.at_hour(10).unwrap();
    assert_eq!(running.degree_hours.state, ClockState::Running);
    assert!(running.acidity.readings.is_empty());
}
