//! What must hold for every course of a room.

use super::after;
use proptest::prelude::*;
use tallyhook::curing::fermentation::course::Course;
use tallyhook::curing::fermentation::degree_hours::{ClockState, DegreeHourReport, Verdict, assess_course};
use tallyhook::curing::fermentation::history::{Stay, Window};
use tallyhook::curing::fermentation::schedule::{PlannedStep, Schedule, StepLimit};
use tallyhook::curing::fermentation::system::Systems;
use tallyhook::curing::finding::Level;
use tallyhook::quantity::{Hours, Temperature};
use tallyhook::record::climate::{Climate, RoomReading};

const LENGTH_H: f64 = 72.0;

/// Readings at tenths of an hour, in tenths of a degree: °C, or °F where the flag says so.
fn readings() -> impl Strategy<Value = Vec<RoomReading>> {
    let reading = (0u16..=720, 100u16..=420, any::<bool>());
    prop::collection::vec(reading, 0..24).prop_map(|all| {
        all.into_iter()
            .map(|(tenths, degrees, fahrenheit)| {
                let celsius = f64::from(degrees) / 10.0;
                RoomReading {
                    at: after(f64::from(tenths) / 10.0),
                    temperature: if fahrenheit {
                        Temperature::fahrenheit(celsius * 9.0 / 5.0 + 32.0)
                    } else {
                        Temperature::celsius(celsius)
                    },
                }
            })
            .collect()
    })
}

fn steps() -> impl Strategy<Value = Vec<(Hours, Temperature)>> {
    let step = (1u16..=300, 100u16..=420);
    prop::collection::vec(step, 1..8).prop_map(|all| {
        all.into_iter()
            .map(|(tenths, degrees)| {
                let hours = Hours::new(f64::from(tenths) / 10.0);
                (hours, Temperature::celsius(f64::from(degrees) / 10.0))
            })
            .collect()
    })
}

fn report(readings: Vec<RoomReading>) -> DegreeHourReport {
    let climate = Climate { readings, ..Climate::default() };
    let (from, now) = (after(0.0), after(LENGTH_H));
    let stay = Stay { climate: &climate, from, to: None };
    let window = Window { from, closed: None, now };
    let course = Course::of_history(&[stay], window);
    DegreeHourReport::of(course, ClockState::Running, Systems::Strict)
}

fn stated(steps: &[(Hours, Temperature)]) -> DegreeHourReport {
    assess_course(steps, Systems::Strict).unwrap()
}

/// 96 h at 85 °F are exactly twice 1200, whatever the pieces they are said in and the scale: a warning, not yet DANGER.
#[test]
fn exactly_twice_the_limit_is_not_over_twice_of_it() {
    let mut naively_over = 0;
    for parts in 1..=400_u16 {
        let one = Hours::new(96.0 / f64::from(parts));
        for room in [Temperature::fahrenheit(85.0), Temperature::celsius(85.0 / 1.8 - 32.0 / 1.8)] {
            let steps = vec![(one, room); usize::from(parts)];
            let report = assess_course(&steps, Systems::Us).unwrap();
            naively_over += usize::from(report.sums[0].lower > 2400.0);
            assert_level(&report, Level::Warning);
        }
    }
    assert!(naively_over > 0, "the trap must be there for the test to mean anything");
    let longer = [(Hours::new(96.1), Temperature::fahrenheit(85.0))];
    assert_level(&assess_course(&longer, Systems::Us).unwrap(), Level::Danger);
}

fn assert_level(report: &DegreeHourReport, level: Level) {
    assert_eq!(report.sums[0].finding.level, level, "{}", report.sums[0].lower);
}

/// A sum may differ by the last bit when the order of adding differs.
const LAST_BIT: f64 = 1e-9;

proptest! {
    #[test]
    fn any_order_of_readings_gives_the_same_report(given in readings(), turn in 0usize..24) {
        let mut turned = given.clone();
        let turn = turn % turned.len().max(1);
        turned.rotate_left(turn);
        let mut reversed = given.clone();
        reversed.reverse();
        let expected = report(given);
        prop_assert_eq!(&report(turned), &expected);
        prop_assert_eq!(&report(reversed), &expected);
    }

    #[test]
    fn the_lower_sum_is_at_most_the_upper_one(given in readings()) {
        for sum in report(given).sums {
            prop_assert!(sum.lower >= 0.0);
            prop_assert!(sum.lower <= sum.upper_of_known + LAST_BIT);
            prop_assert!(sum.limit_upper <= sum.limit_lower);
            prop_assert!(sum.upper.is_none_or(|upper| upper.to_bits() == sum.upper_of_known.to_bits()));
        }
    }

    #[test]
    fn more_heat_never_lowers_a_sum_or_mends_a_verdict(given in readings(), which in 0usize..24, tenths in 1u8..80) {
        prop_assume!(!given.is_empty());
        let mut warmer = given.clone();
        let which = which % warmer.len();
        let reading = &mut warmer[which];
        reading.temperature = Temperature::celsius(reading.temperature.as_celsius() + f64::from(tenths) / 10.0);
        let (cool, warm) = (report(given), report(warmer));
        for (cool, warm) in cool.sums.iter().zip(&warm.sums) {
            prop_assert!(warm.lower >= cool.lower - LAST_BIT);
            prop_assert!(warm.upper_of_known >= cool.upper_of_known - LAST_BIT);
            prop_assert!(warm.limit_lower <= cool.limit_lower);
            prop_assert!(warm.limit_upper <= cool.limit_upper);
            prop_assert!(warm.verdict >= cool.verdict);
        }
    }

    #[test]
    fn another_step_never_lowers_a_sum_or_mends_a_verdict(given in steps(), more in steps()) {
        let before = stated(&given);
        let mut longer = given;
        longer.extend(more);
        let after = stated(&longer);
        for (before, after) in before.sums.iter().zip(&after.sums) {
            prop_assert!(after.lower >= before.lower);
            prop_assert!(after.limit_lower <= before.limit_lower);
            prop_assert!(after.verdict >= before.verdict);
        }
    }

    #[test]
    fn strict_is_never_milder_than_either_system(given in steps()) {
        let strict = stated(&given).verdict();
        for one in [Systems::Us, Systems::Canada] {
            prop_assert!(strict >= assess_course(&given, one).unwrap().verdict());
        }
    }

    #[test]
    fn an_exceeded_course_is_always_loud_and_one_within_is_always_quiet(given in steps()) {
        for sum in stated(&given).sums {
            prop_assert_eq!(sum.verdict == Verdict::Exceeded, sum.finding.level >= Level::Warning);
        }
    }
}

/// Every way to land exactly on a limit in °F: whole degrees and whole hours whose product is the limit.
#[test]
fn exactly_at_a_limit_is_exceeded_however_it_is_reached() {
    let mut cases = 0;
    for degrees in 61..=140_u32 {
        let limit = match degrees {
            61..=89 => 1200,
            90..=100 => 1000,
            _ => 900,
        };
        if limit % (degrees - 60) != 0 {
            continue;
        }
        let hours = limit / (degrees - 60);
        // The same course in one step, and in steps of 20 minutes, whose binary sum need not be the limit.
        let room = Temperature::fahrenheit(f64::from(degrees));
        let whole = vec![(Hours::new(f64::from(hours)), room)];
        let thirds = vec![(Hours::new(1.0 / 3.0), room); hours as usize * 3];
        for course in [whole, thirds] {
            let report = assess_course(&course, Systems::Us).unwrap();
            assert_eq!(report.verdict(), Verdict::Exceeded, "{hours} h at {degrees} °F");
            cases += 1;
        }
    }
    // 1200 has 14 divisors from 1 to 29, 1000 one from 30 to 40, 900 four from 41 to 80; two courses each.
    assert_eq!(cases, 38);
}

/// Rooms in tenths of a degree Celsius, hours in tenths.
fn planned() -> impl Strategy<Value = Vec<PlannedStep>> {
    steps().prop_map(|steps| {
        steps
            .into_iter()
            .map(|(hours, temperature)| PlannedStep { temperature, hours: Some(hours) })
            .collect()
    })
}

fn longest_hours(limit: StepLimit) -> f64 {
    match limit {
        StepLimit::NotRunning => f64::INFINITY,
        StepLimit::Longest(longest) => longest.exact(),
        StepLimit::Spent => 0.0,
    }
}

proptest! {
    #[test]
    fn what_a_schedule_allows_is_not_exceeded_as_a_course_and_the_other_way_round(given in planned(), system in 0usize..3) {
        let systems = [Systems::Us, Systems::Canada, Systems::Strict][system];
        let schedule = Schedule::of(&given, systems).unwrap();
        let course: Vec<_> = given.iter().map(|step| (step.hours.unwrap(), step.temperature)).collect();
        let verdict = assess_course(&course, systems).unwrap().verdict();
        prop_assert_eq!(schedule.is_allowed(), verdict < Verdict::MayBeExceeded, "{:?}", verdict);
    }

    #[test]
    fn the_whole_hours_of_a_last_step_are_within_and_what_is_longer_is_not(given in planned(), room in 157u16..=420) {
        let mut given = given;
        given.push(PlannedStep { temperature: Temperature::celsius(f64::from(room) / 10.0), hours: None });
        let schedule = Schedule::of(&given, Systems::Strict).unwrap();
        prop_assume!(schedule.is_allowed());
        let last = schedule.steps.last().unwrap();
        let StepLimit::Longest(longest) = last.limit else { panic!("{last:?}") };
        let with = |hours: f64| {
            let mut course: Vec<_> =
                given.iter().filter_map(|step| Some((step.hours?, step.temperature))).collect();
            course.push((Hours::new(hours), last.step.temperature));
            assess_course(&course, Systems::Strict).map(|report| report.verdict())
        };
        let whole = f64::from(longest.whole_hours());
        prop_assume!(whole > 0.0 && longest.exact() < 2000.0);
        prop_assert!(with(whole).unwrap() < Verdict::MayBeExceeded);
        prop_assert_eq!(with(longest.exact() + 0.01).unwrap(), Verdict::Exceeded);
    }

    #[test]
    fn a_warmer_step_never_allows_more_hours(given in planned(), which in 0usize..8, tenths in 1u16..100) {
        let which = which % given.len();
        let mut warmer = given.clone();
        let was = warmer[which].temperature.as_celsius();
        warmer[which].temperature = Temperature::celsius(was + f64::from(tenths) / 10.0);
        let (cool, warm) = (Schedule::of(&given, Systems::Strict), Schedule::of(&warmer, Systems::Strict));
        let (cool, warm) = (cool.unwrap(), warm.unwrap());
        for (cool, warm) in cool.steps.iter().zip(&warm.steps) {
            let (cool, warm) = (longest_hours(cool.limit), longest_hours(warm.limit));
            prop_assert!(warm <= cool * (1.0 + LAST_BIT), "{warm} over {cool}");
        }
        prop_assert!(cool.is_allowed() || !warm.is_allowed());
    }

    #[test]
    fn the_same_plan_in_either_scale_has_the_same_answer(given in planned()) {
        let fahrenheit: Vec<PlannedStep> = given
            .iter()
            .map(|step| PlannedStep {
                temperature: Temperature::fahrenheit(step.temperature.as_celsius() * 9.0 / 5.0 + 32.0),
                ..*step
            })
            .collect();
        let (one, other) = (Schedule::of(&given, Systems::Strict), Schedule::of(&fahrenheit, Systems::Strict));
        let (one, other) = (one.unwrap(), other.unwrap());
        prop_assert_eq!(one.is_allowed(), other.is_allowed());
        for (one, other) in one.steps.iter().zip(&other.steps) {
            let (one, other) = (longest_hours(one.limit), longest_hours(other.limit));
            prop_assert!(one.to_bits() == other.to_bits() || (one - other).abs() <= 1e-6 * one.max(1.0), "{one} {other}");
        }
    }
}
