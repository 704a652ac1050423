//! By hand, at 24 °C: 15.2 °F-hours and 8.4 °C-hours an hour, limits 1200 and 665; half after 39.5 h, four fifths after
//! 63.2 h, 95 % after 75 h.

use super::*;
use crate::curing::fermentation::story::{Story, WARM, at};
use crate::curing::finding::{Level, Outcome};
use crate::quantity::{Ph, RelativeHumidity};
use crate::record::batch::BatchKind;
use crate::record::event::Happening;
use crate::record::ids::EventId;
use crate::record::meter::{HygrometerCheck, Kept, SaltPoint};
use crate::record::reading::{Calibration, Instrument};
use chrono::TimeDelta;

fn begun() -> Story {
    Story::begin(BatchKind::FermentedSausage)
}

fn stands(story: &Story, now: i64, planned: Option<i64>) -> Vec<Alarm> {
    let fermentation = story.at_hour(now).unwrap();
    let climate = story.climates.get(&WARM).cloned().unwrap_or_default();
    alarms(&Scene { fermentation: &fermentation, climate: &climate, planned: planned.map(at), now: at(now) })
}

fn mark(found: &[Alarm]) -> Option<(&str, f64, Outcome)> {
    found.iter().find_map(|alarm| match alarm {
        Alarm::Spent(spent) => Some((spent.row.id.as_str(), spent.percent, spent.finding().outcome)),
        _ => None,
    })
}

#[test]
fn the_marks_of_the_degree_hours() {
    let story = begun().room(WARM, 0..=80, 24.0);
    assert_eq!(stands(&story, 39, None), []);
    let at_mark = |hour| {
        let found = stands(&story, hour, None);
        mark(&found).map(|(id, percent, outcome)| (id.to_owned(), (percent * 10.0).round() / 10.0, outcome))
    };
    // 40 h: 608 of 1200 are 50.7 %, 336 of 665 are 50.5 %: the nearer one counts.
    assert_eq!(at_mark(40), Some(("alarm.degree_hours.half".into(), 50.7, Outcome::Over)));
    assert_eq!(at_mark(63), Some(("alarm.degree_hours.half".into(), 79.8, Outcome::Over)));
    assert_eq!(at_mark(64), Some(("alarm.degree_hours.four_fifths".into(), 81.1, Outcome::Over)));
    assert_eq!(at_mark(75), Some(("alarm.degree_hours.nearly".into(), 95.0, Outcome::AtLimit)));
    // 79 h are 1200.8: that is the limit's own finding.
    assert_eq!(at_mark(79), None);
    // Nothing is counted down once the pH ended the clock.
    assert_eq!(stands(&begun().room(WARM, 0..=80, 24.0).ph(30, 5.1), 60, None), []);
}

#[test]
fn a_mark_says_how_long_is_left_and_is_news_once() {
    let story = begun().room(WARM, 0..=80, 24.0);
    let found = |hour| stands(&story, hour, None);
    let [Alarm::Spent(spent)] = &found(40)[..] else { panic!("{:?}", found(40)) };
    assert_eq!((spent.mark, spent.finding().level), (Mark::Half, Level::None));
    // 1200 − 608 = 592 at 15.2 an hour: less than 38.9 h.
    assert_eq!(spent.left.unwrap().whole_hours(), 38);
    assert_eq!(news(&found(39), found(40)).len(), 1);
    assert_eq!(news(&found(40), found(60)), []);
    assert_eq!(mark(&news(&found(60), found(66))).unwrap().0, "alarm.degree_hours.four_fifths");
}

fn out(room: f64) -> Option<OutOfBand> {
    let setting = RoomSetting { at: at(0), temperature: Temperature::celsius(24.0), hysteresis_celsius: 1.0 };
    beside(&setting, Temperature::celsius(room))
}

#[test]
fn the_ends_of_a_band_belong_to_it_and_only_worse_is_news() {
    assert_eq!((out(25.0), out(23.0), out(24.3)), (None, None, None));
    let (warm, cold) = (out(26.5).unwrap(), out(22.5).unwrap());
    assert!((warm.beyond_celsius - 1.5).abs() < 1e-9 && (cold.beyond_celsius + 0.5).abs() < 1e-9);
    assert_eq!((warm.edge.as_celsius(), cold.edge.as_celsius()), (25.0, 23.0));
    let fahrenheit =
        RoomSetting { at: at(0), temperature: Temperature::fahrenheit(75.0), hysteresis_celsius: 1.0 };
    // 1 °C is 1.8 °F: 76.8 °F is the end of the band.
    assert_eq!(beside(&fahrenheit, Temperature::fahrenheit(76.8)), None);
    assert!(beside(&fahrenheit, Temperature::fahrenheit(77.0)).is_some());
    let room = |celsius| vec![Alarm::Room(out(celsius).unwrap())];
    assert_eq!(news(&room(26.5), room(26.2)), []);
    assert_eq!(news(&room(26.5), room(28.0)), room(28.0));
    assert_eq!(news(&room(26.5), room(22.0)), room(22.0));
}

#[test]
fn the_room_as_it_was_last_read() {
    let story = |celsius| begun().set(WARM, -1, 24.0).room(WARM, 0..=4, 24.0).room(WARM, 5..=5, celsius);
    assert_eq!(stands(&story(24.0), 6, None), []);
    assert!(matches!(stands(&story(25.0), 6, None)[..], [Alarm::Room(out)] if out.beyond_celsius > 0.0));
    assert!(matches!(stands(&story(20.0), 6, None)[..], [Alarm::Room(out)] if out.beyond_celsius < 0.0));
    // Fifteen hours later it says nothing of now, and of a room that was never set nothing is known.
    assert_eq!(stands(&story(25.0), 20, None), []);
    assert_eq!(stands(&begun().room(WARM, 0..=5, 30.0), 6, None), []);
    // What the min/max thermometer remembers counts too.
    let remembered = begun().set(WARM, -1, 24.0).room(WARM, 0..=5, 24.0).remembered(WARM, (1, 6), 27.0);
    assert!(matches!(stands(&remembered, 6, None)[..], [Alarm::Room(out)] if out.room.as_celsius() > 26.9));
}

#[test]
fn a_planned_reading_is_overdue_after_two_hours() {
    let story = begun().room(WARM, 0..=20, 24.0);
    assert_eq!(stands(&story, 14, Some(12)), []);
    assert_eq!(stands(&story, 15, Some(12)), [Alarm::Overdue { due: at(12) }]);
    assert_eq!(stands(&story, 15, Some(18)), []);
    assert_eq!(news(&stands(&story, 15, Some(12)), stands(&story, 17, Some(12))), []);
    assert_eq!(
        news(&stands(&story, 15, Some(12)), stands(&story, 17, Some(14))),
        [Alarm::Overdue { due: at(14) }]
    );
}

/// A week is 168 h.
#[test]
fn a_meter_checked_over_a_week_before() {
    let read = |age: Option<f64>| {
        let calibration = age.map(|hours| Calibration {
            age: Some(Hours::new(hours)),
            slope_percent: Some(98.0),
            ..Calibration::default()
        });
        let what = Happening::PhRead {
            ph: Ph::new(5.6),
            instrument: Instrument::Meter,
            sample_temperature: Some(Temperature::celsius(21.0)),
            calibration,
        };
        stands(&begun().room(WARM, 0..=10, 24.0).happens(8, what), 10, None)
    };
    assert_eq!(read(Some(168.0)), []);
    assert_eq!(read(Some(169.0)), [Alarm::Meter { age: Some(Hours::new(169.0)) }]);
    assert_eq!(read(None), [Alarm::Meter { age: None }]);
}

/// Half a year is 183 days; 5 points off are allowed.
#[test]
fn a_hygrometer_checked_long_ago_or_far_off() {
    let found = |age_days: i64, shown: f64| {
        let mut story = begun().room(WARM, 0..=10, 24.0);
        let point = SaltPoint {
            salt: "NaCl".into(),
            temperature: Temperature::celsius(20.0),
            reference: RelativeHumidity::percent(75.5),
            shown: RelativeHumidity::percent(shown),
        };
        let check = HygrometerCheck { points: vec![point] };
        let climate = story.climates.get_mut(&WARM).unwrap();
        climate.hygrometer.push(Kept { event: EventId(90), at: at(10) - TimeDelta::days(age_days), check });
        climate.humidity.push((at(9), RelativeHumidity::percent(80.0)));
        stands(&story, 10, None)
    };
    assert_eq!(found(183, 74.0), []);
    assert_eq!(found(184, 74.0), [Alarm::Hygrometer(HumidityDoubt::Old)]);
    assert_eq!(found(3, 70.5), []);
    assert_eq!(found(3, 70.4), [Alarm::Hygrometer(HumidityDoubt::FarOff)]);
}
