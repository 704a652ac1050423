//! The forecast of a pH: against a second computation, an independent simulator, published series, and its properties.

#[path = "../support/ph_trials.rs"]
#[allow(dead_code, unreachable_pub, reason = "the evaluation uses the rest")]
mod ph_trials;

use crate::reference;
use ph_trials::{Told, by_meter, course, moment, published, score, simulated};
use proptest::prelude::*;
use tallyhook::curing::fermentation::Acidity;
use tallyhook::curing::fermentation::ph_forecast::{
    EquivalentHours, PhForecast, PhWindow, SourReading, forecast, of_readings, speed,
};
use tallyhook::quantity::{Ph, Temperature};
use tallyhook::record::{Instrument, PhReading};

fn told(readings: &[(f64, f64)], celsius: f64) -> Told {
    let end = readings.iter().map(|(hour, _)| *hour).fold(0.0, f64::max);
    let room =
        (0..=(end / 6.0).ceil() as usize).map(|time| ((time as f64 * 6.0).min(end), celsius)).collect();
    Told { ph: readings.to_vec(), room }
}

fn window_of(found: PhForecast) -> PhWindow {
    match found {
        PhForecast::Window(window) => window,
        other => panic!("no window: {other:?}"),
    }
}

fn by_meters(readings: &[(f64, f64)]) -> Vec<SourReading> {
    readings.iter().map(|(hours, ph)| SourReading::by_meter(*hours, *ph)).collect()
}

/// The forecast at the last of some readings, at 24 °C.
fn at_24(readings: &[(f64, f64)], target: f64) -> PhForecast {
    let now = readings.iter().map(|(hours, _)| *hours).fold(0.0, f64::max);
    of_readings(&by_meters(readings), Ph::new(target), now, 1.0)
}

#[test]
fn worked_cases() {
    reference::load("ph_forecast.csv").each(|row| {
        let reading = |text: &str| {
            let (hours, ph) = text.split_once(':').unwrap();
            (hours.parse().unwrap(), ph.parse().unwrap())
        };
        let readings: Vec<(f64, f64)> = row.text("readings").split_whitespace().map(reading).collect();
        let found = window_of(at_24(&readings, row.number("target")));
        for (name, hours) in [("p10", found.p10), ("p50", found.p50), ("p90", found.p90)] {
            match (row.optional_number(name), hours) {
                (Some(_), Some(hours)) => row.close(name, hours, 0.02)?,
                (None, None) => {}
                (printed, computed) => return Err(format!("{name}: {computed:?}, printed {printed:?}")),
            }
        }
        Ok(())
    });
}

/// Speeds beside 24 °C as printed with the square-root model (base 3 °C), to the printed digits.
#[test]
fn an_hour_counts_by_its_warmth() {
    for (celsius, printed) in
        [(18.0, 0.51), (20.0, 0.66), (22.0, 0.82), (24.0, 1.0), (26.0, 1.20), (30.0, 1.65), (35.0, 2.32)]
    {
        assert!((speed(Temperature::celsius(celsius)) - printed).abs() < 0.0051, "{celsius}");
    }
    assert!(
        speed(Temperature::celsius(3.0)).abs() < 1e-12 && speed(Temperature::celsius(-5.0)).abs() < 1e-12
    );
    // Nothing is known beyond 35 °C.
    assert!((speed(Temperature::celsius(45.0)) - speed(Temperature::celsius(35.0))).abs() < 1e-12);
}

/// By hand: 10 h at 24 °C count 10; 10 h at 20 °C count 10 · (17/21)² = 6.553; between them the mean speed.
#[test]
fn a_course_in_equivalent_hours() {
    let room = [(0.0, 24.0), (10.0, 24.0), (20.0, 20.0), (30.0, 20.0)];
    let hours = EquivalentHours::of(&course(&room, 30.0)).unwrap();
    let slow = (17.0_f64 / 21.0).powi(2);
    for (hour, counted) in
        [(0.0, 0.0), (10.0, 10.0), (20.0, 10.0 + 5.0 * (1.0 + slow)), (30.0, 15.0 + 15.0 * slow)]
    {
        let found = hours.at(moment(hour));
        assert!((found - counted).abs() < 1e-6, "{hour} h: {found}, by hand {counted}");
    }
    assert!((hours.speed_now() - slow).abs() < 1e-9);
}

#[test]
fn a_room_of_which_nothing_is_known_gives_no_forecast() {
    let unread = Told { ph: vec![(0.0, 5.8), (20.0, 5.5)], room: Vec::new() };
    assert_eq!(unread.forecast(5.0), PhForecast::TemperatureUnknown);
    // Known for less than half of the time.
    let hardly = Told { ph: vec![(0.0, 5.8), (60.0, 5.5)], room: vec![(50.0, 24.0), (60.0, 24.0)] };
    assert_eq!(hardly.forecast(5.0), PhForecast::TemperatureUnknown);
    // A night between is bridged.
    let night = Told {
        ph: vec![(0.0, 5.8), (30.0, 5.5)],
        room: vec![(0.0, 24.0), (10.0, 24.0), (24.5, 24.0), (30.0, 24.0)],
    };
    let bridged = window_of(night.forecast(5.0));
    let whole = window_of(told(&[(0.0, 5.8), (30.0, 5.5)], 24.0).forecast(5.0));
    assert!((bridged.p50.unwrap() - whole.p50.unwrap()).abs() < 1e-3);
}

#[test]
fn too_few_readings_and_a_target_that_is_reached() {
    assert_eq!(told(&[], 24.0).forecast(5.0), PhForecast::TooFewReadings);
    assert_eq!(told(&[(10.0, 5.5)], 24.0).forecast(5.0), PhForecast::TooFewReadings);
    // A probe put in twice is one time.
    assert_eq!(told(&[(10.0, 5.5), (10.1, 5.48)], 24.0).forecast(5.0), PhForecast::TooFewReadings);
    assert_eq!(told(&[(0.0, 5.8), (30.0, 5.0)], 24.0).forecast(5.0), PhForecast::Reached);
    assert_eq!(told(&[(0.0, 5.8), (30.0, 5.0)], 24.0).forecast(5.3), PhForecast::Reached);
}

/// Strips tell something, meters nobody checked tell nothing, and packets and pieces are not mixed.
#[test]
fn only_readings_that_may_be_believed_and_strips_as_wide_as_they_are() {
    let room: Vec<(f64, f64)> = (0..=5).map(|time| (f64::from(time) * 6.0, 24.0)).collect();
    let found = |readings: &[PhReading]| {
        forecast(&Acidity::of(readings, None), &course(&room, 30.0), Ph::new(5.0), moment(30.0))
    };
    let sharp = [by_meter(1, 0.0, 5.8), by_meter(2, 14.0, 5.6), by_meter(3, 28.0, 5.3)];
    let strips = sharp.map(|reading| PhReading { instrument: Instrument::Strip, ..reading });
    let unchecked = sharp.map(|reading| PhReading { calibration: None, ..reading });
    assert_eq!(found(&unchecked), PhForecast::TooFewReadings);
    let width = |window: PhWindow| window.p90.unwrap_or(1e9) - window.p10.unwrap();
    let (by_meters, by_strips) = (window_of(found(&sharp)), window_of(found(&strips)));
    assert!(width(by_strips) > 1.3 * width(by_meters), "{by_strips:?} beside {by_meters:?}");
    // A meter nobody checked between them changes nothing.
    let mixed = [sharp[0], PhReading { ph: Ph::new(4.6), ..unchecked[1] }, sharp[1], sharp[2]];
    assert_eq!(found(&mixed), found(&sharp));
    let packet = PhReading { from_sample: true, ..by_meter(9, 20.0, 4.9) };
    assert_eq!(found(&[sharp[0], sharp[1], packet, sharp[2]]), found(&sharp));
    // A strip never says that it is there.
    let strip = PhReading { instrument: Instrument::Strip, ..by_meter(4, 29.0, 4.9) };
    assert!(matches!(found(&[sharp[0], sharp[1], sharp[2], strip]), PhForecast::Window(_)));
}

/// Fell 0.4 in 16 h, then hardly: 0.04 in 8 h against a fit that falls faster by far.
#[test]
fn slowing_and_stalled_are_words_and_no_window() {
    let slow = [(0.0, 5.8), (8.0, 5.7), (16.0, 5.4), (24.0, 5.36)];
    let PhForecast::Slowing(pace) = at_24(&slow, 5.0) else { panic!("{:?}", at_24(&slow, 5.0)) };
    assert!((pace.moved - 0.04).abs() < 1e-9 && (pace.hours - 8.0).abs() < 1e-9);
    let stalled = [(0.0, 5.8), (8.0, 5.7), (16.0, 5.4), (28.0, 5.36)];
    let PhForecast::Stalled(pace) = at_24(&stalled, 5.0) else { panic!("{:?}", at_24(&stalled, 5.0)) };
    assert!((pace.moved - 0.04).abs() < 1e-9 && (pace.hours - 12.0).abs() < 1e-9);
    // 0.05 in 12 h is not less than 0.05.
    let edge = [(0.0, 5.8), (8.0, 5.7), (16.0, 5.4), (28.0, 5.35)];
    assert!(matches!(at_24(&edge, 5.0), PhForecast::Slowing(_)));
    // What has not begun to fall cannot have stopped: the lag is a part of the model.
    assert!(matches!(at_24(&[(0.0, 5.8), (13.0, 5.78)], 5.0), PhForecast::Window(_)));
    // In a room at 20 °C, 14 h count 9.2: not long enough for a standstill.
    let cool = [(0.0, 5.8), (20.0, 5.5), (34.0, 5.48)];
    assert!(matches!(told(&cool, 20.0).forecast(5.0), PhForecast::Slowing(_)));
}

/// Since the last reading, time has passed: the window comes nearer, and no nearer than now.
#[test]
fn the_window_counts_from_now() {
    let readings = by_meters(&[(0.0, 5.8), (8.0, 5.74), (20.0, 5.42)]);
    let at = |now: f64| window_of(of_readings(&readings, Ph::new(5.0), now, 1.0));
    let (then, later, long_after) = (at(20.0), at(22.0), at(200.0));
    assert!((then.p50.unwrap() - later.p50.unwrap() - 2.0).abs() < 1e-3);
    assert_eq!((long_after.p10, long_after.p50), (Some(0.0), Some(0.0)));
    // In a room in which an hour counts half, it takes twice as long; where it does not count, for ever.
    let slow = window_of(of_readings(&readings, Ph::new(5.0), 20.0, 0.5));
    assert!((slow.p50.unwrap() - 2.0 * then.p50.unwrap()).abs() < 1e-3);
    let cold = window_of(of_readings(&readings, Ph::new(5.0), 20.0, 0.0));
    assert_eq!((cold.p10, cold.p50, cold.p90), (None, None, None));
}

/// Published with the model for another simulator: median 6 to 7 h at 40 % of the time (line 41 to 61 h), 5 h at 70 %
/// (line 7 to 8 h), 0.86 to 0.97 covered. This simulator wakes up and sours in another way, so the bounds are loose.
#[test]
fn simulated_batches() {
    for (count, part, most_median, most_of_line) in
        [(3, 0.4, 15.0, 0.4), (4, 0.4, 15.0, 0.4), (3, 0.7, 7.0, 1.0), (4, 0.7, 7.0, 1.0)]
    {
        let score = score(&simulated(150, count, part, 9_407));
        let told = format!("{count} readings at {part}: {score:?}");
        assert!(score.median <= most_median, "{told}");
        assert!(score.mean <= most_of_line * score.line_mean, "{told}");
        assert!(score.p90 <= most_of_line * score.line_p90, "{told}");
        assert!((0.8..=0.98).contains(&score.covered), "{told}");
        assert!(score.slowing + score.stalled <= 15, "one in ten at most is called slow: {told}");
    }
}

/// The published batch at 30 °C that slowed down at 5.7 and bounced: a window is not kept up there.
#[test]
fn a_published_batch_that_slowed_down() {
    let (_, salami) = published().into_iter().find(|(name, _)| name == "salami_30C").unwrap();
    for count in [6, 7, 8, 9] {
        let found = salami.until(count).forecast(5.1);
        assert!(matches!(found, PhForecast::Slowing(_)), "{count} readings: {found:?}");
    }
    let bounced = salami.until(10).forecast(5.1);
    assert!(matches!(bounced, PhForecast::Stalled(pace) if pace.moved < 0.0), "{bounced:?}");
    // Before it slowed, the window was too early: it was there after 83 h more, and P90 was 60 at most. Kept as it is, so
    // that nobody takes the window for more than it is.
    let early = window_of(salami.until(4).forecast(5.1));
    assert!(early.p90.unwrap() < 71.3, "{early:?}");
}

/// Rules see readings and the clock: of everything that judges, plans or reminds, nothing names the forecast.
#[test]
fn no_rule_and_no_reminder_sees_the_forecast() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut folders = vec![root.join("curing"), root.join("remind"), root.join("record"), root.join("store")];
    let mut looked_at = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if entry.is_dir() {
                if entry.file_name().unwrap() != "ph_forecast" {
                    folders.push(entry);
                }
                continue;
            }
            let text = std::fs::read_to_string(&entry).unwrap();
            let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            let names = code.filter(|line| line.contains("ph_forecast") || line.contains("PhForecast"));
            let names: Vec<&str> = names.filter(|line| line.trim() != "pub mod ph_forecast;").collect();
            assert!(names.is_empty(), "{}: {names:?}", entry.display());
            looked_at += 1;
        }
    }
    assert!(looked_at > 100, "{looked_at} files");
}

fn falling() -> impl Strategy<Value = Vec<(f64, f64)>> {
    (5.5..6.1f64, prop::collection::vec((3.0..14.0f64, 0.0..0.25f64), 1..6)).prop_map(|(start, steps)| {
        let mut readings = vec![(0.0, start)];
        for (hours, fall) in steps {
            let (hour, ph) = readings.last().copied().unwrap();
            readings.push((hour + hours, ph - fall));
        }
        readings
    })
}

/// Of the floors that a falling pH may tend to.
const HIGHEST_FLOOR: f64 = 5.1;

fn open(hours: Option<f64>) -> f64 {
    hours.unwrap_or(f64::INFINITY)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_order_of_readings_makes_no_difference(readings in falling(), turn in 0..6usize) {
        let mut turned = readings.clone();
        turned.reverse();
        turned.rotate_left(turn % readings.len());
        prop_assert_eq!(at_24(&readings, 4.7), at_24(&turned, 4.7));
    }

    #[test]
    fn a_lower_target_is_never_earlier(readings in falling(), target in 4.4..5.2f64, lower in 0.0..0.4f64) {
        let (PhForecast::Window(one), PhForecast::Window(other)) = (at_24(&readings, target), at_24(&readings, target - lower))
        else { return Ok(()) };
        for (one, other) in [(one.p10, other.p10), (one.p50, other.p50), (one.p90, other.p90)] {
            prop_assert!(open(one) <= open(other) + 1e-3, "{one:?} {other:?}");
        }
        prop_assert!(0.0 <= open(one.p10) && open(one.p10) <= open(one.p50) && open(one.p50) <= open(one.p90));
    }

    /// A reading where the middle of the window expects it: what remains is no wider than it was by more than a tenth.
    /// Above the highest floor only: below it the part that never gets there may pass one in ten, and then the far end
    /// opens with any reading.
    #[test]
    fn a_reading_on_the_middle_curve_does_not_widen_the_window(readings in falling(), part in 0.2..0.8f64) {
        let (last_hour, last) = *readings.last().unwrap();
        let fall = 0.4_f64.min(last - HIGHEST_FLOOR - 0.1);
        prop_assume!(fall > 0.1);
        let (target, between) = (last - fall, last - fall * part);
        let (PhForecast::Window(before), PhForecast::Window(middle)) = (at_24(&readings, target), at_24(&readings, between))
        else { return Ok(()) };
        let Some(hours) = middle.p50 else { return Ok(()) };
        let mut more = readings.clone();
        more.push((last_hour + hours, between));
        let PhForecast::Window(after) = at_24(&more, target) else { return Ok(()) };
        let width = |window: PhWindow| open(window.p90) - open(window.p10);
        prop_assert!(width(after) <= width(before) * 1.1 || width(before).is_infinite(), "{before:?} then {after:?}");
    }

    #[test]
    fn either_scale_gives_the_same_window(readings in falling(), celsius in 15.0..32.0f64) {
        let end = readings.last().unwrap().0;
        let found = |as_shown: fn(f64) -> Temperature| {
            use tallyhook::curing::fermentation::{Course, history::{Stay, Window}};
            use tallyhook::record::climate::{Climate, RoomReading};
            let read = |time: u32| RoomReading { at: moment(f64::from(time) * 6.0), temperature: as_shown(celsius) };
            let climate = Climate { readings: (0..=20).map(read).collect(), ..Climate::default() };
            let stay = Stay { climate: &climate, from: moment(0.0), to: None };
            let rooms = Course::of_history(&[stay], Window { from: moment(0.0), closed: None, now: moment(end) });
            let kept: Vec<PhReading> = readings.iter().zip(1..).map(|((hour, ph), id)| by_meter(id, *hour, *ph)).collect();
            forecast(&Acidity::of(&kept, None), &rooms, Ph::new(4.7), moment(end))
        };
        let one = found(Temperature::celsius);
        let other = found(|celsius| Temperature::fahrenheit(celsius * 1.8 + 32.0));
        match (one, other) {
            (PhForecast::Window(one), PhForecast::Window(other)) => {
                let both = [(one.p10, other.p10), (one.p50, other.p50), (one.p90, other.p90)];
                for (one, other) in both {
                    prop_assert!(one == other || (open(one) - open(other)).abs() < 1e-3);
                }
            }
            (one, other) => prop_assert_eq!(std::mem::discriminant(&one), std::mem::discriminant(&other)),
        }
    }

    #[test]
    fn no_input_gives_a_negative_or_no_number(
        readings in prop::collection::vec((any::<f64>(), any::<f64>(), any::<f64>()), 0..5),
        plain in falling(),
        target in any::<f64>(),
        now in any::<f64>(),
        speed in any::<f64>(),
    ) {
        let wild: Vec<SourReading> = readings
            .iter()
            .map(|(hours, ph, width)| SourReading { hours: *hours, clock_hours: *hours, ph: *ph, width: *width })
            .chain(by_meters(&plain))
            .collect();
        for (target, now, speed) in [(target, now, speed), (5.0, now, 1.0), (target, 30.0, 1.0), (5.0, 30.0, speed)] {
            if let PhForecast::Window(window) = of_readings(&wild, Ph::new(target), now, speed) {
                for hours in [window.p10, window.p50, window.p90].into_iter().flatten() {
                    prop_assert!(hours.is_finite() && hours >= 0.0, "{window:?}");
                }
            }
        }
    }
}
