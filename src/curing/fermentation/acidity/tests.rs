use super::*;
use crate::curing::finding::Outcome;
use crate::quantity::{Hours, Temperature};
use crate::record::reading::{Calibration, Instrument};

/// A reading of a meter in order: two buffers 3 h before, slope 98 %, sample at 21 °C.
fn full(hour: i64, ph: f64) -> PhReading {
    PhReading {
        event: EventId(hour),
        at: DateTime::UNIX_EPOCH + TimeDelta::hours(hour),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(Calibration {
            age: Some(Hours::new(3.0)),
            slope_percent: Some(98.0),
            offset_mv: Some(5.0),
            one_buffer_passed: false,
            buffer_missed: false,
        }),
        from_sample: false,
    }
}

/// The same meter, checked three days before.
fn usable(hour: i64, ph: f64) -> PhReading {
    let calibration =
        Calibration { age: Some(Hours::new(72.0)), slope_percent: Some(98.0), ..Calibration::default() };
    PhReading { calibration: Some(calibration), ..full(hour, ph) }
}

fn packet(hour: i64, ph: f64) -> PhReading {
    PhReading { from_sample: true, ..full(hour, ph) }
}

fn end(readings: &[PhReading]) -> Option<(i64, bool)> {
    let end = Acidity::of(readings, Some(Length::millimetres(50.0))).end?;
    Some(((end.at - DateTime::UNIX_EPOCH).num_hours(), end.provisional))
}

#[test]
fn the_first_reading_at_or_below_the_end_point_ends_it() {
    assert_eq!(end(&[full(0, 5.8), full(24, 5.4), full(40, 5.1), full(50, 4.9)]), Some((40, false)));
    assert_eq!(end(&[full(24, 5.4)]), None);
    assert_eq!(end(&[]), None);
}

#[test]
fn edges_of_the_guard_bands() {
    assert_eq!(end(&[full(24, 5.30)]), Some((24, true)));
    assert_eq!(end(&[full(24, 5.31)]), None);
    assert_eq!(end(&[full(24, 5.25)]), Some((24, true)));
    assert_eq!(end(&[full(24, 5.24)]), Some((24, false)));
    assert_eq!(end(&[usable(24, 5.20)]), Some((24, false)));
    assert_eq!(end(&[usable(24, 5.21)]), None);
}

#[test]
fn a_second_reading_confirms_the_time_of_the_first() {
    assert_eq!(end(&[full(24, 5.28), full(26, 5.27)]), Some((24, false)));
    assert_eq!(end(&[full(24, 5.28), usable(30, 5.10)]), Some((24, false)));
}

#[test]
fn a_second_reading_above_takes_a_provisional_end_back() {
    assert_eq!(end(&[full(24, 5.28), full(26, 5.34)]), None);
    assert_eq!(end(&[full(24, 5.28), full(26, 5.34), full(30, 5.1)]), Some((30, false)));
    // Whatever its age: nobody confirmed the end before.
    assert_eq!(end(&[full(24, 5.28), full(49, 5.31)]), None);
    assert_eq!(end(&[full(24, 5.28), full(24 + 7 * 24, 5.5)]), None);
    assert_eq!(end(&[full(24, 5.28), usable(24 + 7 * 24, 5.5)]), None);
    // A reading that is not believed takes nothing back.
    let bare = PhReading { calibration: None, ..full(24 + 7 * 24, 5.5) };
    assert_eq!(end(&[full(24, 5.28), bare]), Some((24, true)));
    // Once confirmed it stays, and the rise of ripening is no question of it.
    assert_eq!(end(&[full(24, 5.28), full(26, 5.27), full(24 + 7 * 24, 5.5)]), Some((24, false)));
}

#[test]
fn a_firm_end_stays_when_the_ph_rises_again() {
    assert_eq!(end(&[full(24, 5.1), full(26, 5.6)]), Some((24, false)));
}

#[test]
fn readings_of_one_time() {
    // 0.10 apart: both count, and one of them is above the end point.
    assert_eq!(end(&[full(24, 5.22), full(24, 5.32)]), None);
    // 0.10 apart, both below: each confirms the other.
    assert_eq!(end(&[full(24, 5.20), full(24, 5.30)]), Some((24, false)));
    // 0.16 apart: the highest alone counts.
    assert_eq!(end(&[full(24, 5.14), full(24, 5.30)]), Some((24, true)));
    // A strip or an unchecked meter speaks neither for nor against.
    let strip = PhReading { instrument: Instrument::Strip, ..full(24, 5.8) };
    assert_eq!(end(&[full(24, 5.1), strip]), Some((24, false)));
}

#[test]
fn any_order_gives_the_same_end() {
    let mut readings = vec![full(24, 5.28), full(26, 5.34), full(30, 5.1), usable(20, 5.4)];
    let expected = Acidity::of(&readings, None);
    readings.reverse();
    assert_eq!(Acidity::of(&readings, None), expected);
}

#[test]
fn a_packet_leads_a_thick_piece() {
    let ends = |thickness: Option<f64>, ph| {
        let acidity = Acidity::of(&[packet(24, ph)], thickness.map(Length::millimetres));
        acidity.end.is_some()
    };
    assert!(ends(Some(60.0), 5.28));
    assert!(!ends(Some(61.0), 5.28));
    assert!(ends(Some(61.0), 5.20));
    assert!(!ends(None, 5.28));
    let on_the_piece = Acidity::of(&[packet(24, 5.24), full(25, 5.24)], Some(Length::millimetres(90.0)));
    assert_eq!(on_the_piece.end.map(|end| end.event), Some(EventId(25)));
}

fn finding(readings: &[PhReading], phase: Phase) -> (Outcome, Level, Option<&'static str>) {
    let acidity = Acidity::of(readings, Some(Length::millimetres(80.0)));
    let finding = acidity.finding(phase).unwrap();
    assert_eq!(finding.limit.id, "ph.end_point");
    (finding.outcome, finding.level, finding.advice.map(|advice| advice.key))
}

#[test]
fn what_a_running_fermentation_says_of_the_end_point() {
    let says = |readings: &[PhReading]| finding(readings, Phase::Running);
    let not_judged = |key| (Outcome::NotJudged, Level::None, Some(key));
    let bare = PhReading { calibration: None, ..full(24, 5.0) };
    let strip = PhReading { instrument: Instrument::Strip, ..full(24, 5.0) };
    assert_eq!(says(&[]), not_judged("ph.no_reading"));
    assert_eq!(says(&[full(24, 5.6)]), not_judged("ph.not_yet"));
    assert_eq!(says(&[usable(24, 5.25)]), not_judged("ph.guard_band"));
    assert_eq!(says(&[packet(24, 5.25)]), not_judged("ph.packet_leads"));
    assert_eq!(says(&[full(24, 5.38), full(24, 5.22)]), not_judged("ph.readings_differ"));
    assert_eq!(says(&[bare]), not_judged("ph.doubt.never_checked"));
    assert_eq!(says(&[strip]), not_judged("ph.doubt.strip"));
}

#[test]
fn what_an_ended_fermentation_says_of_the_end_point() {
    let says = |readings: &[PhReading]| finding(readings, Phase::Running);
    assert_eq!(says(&[full(24, 5.1)]), (Outcome::Within, Level::None, None));
    assert_eq!(says(&[full(24, 5.28)]), (Outcome::Within, Level::Notice, Some("ph.second_reading")));
    assert_eq!(says(&[full(24, 5.3)]), (Outcome::AtLimit, Level::Notice, Some("ph.second_reading")));
    assert_eq!(says(&[usable(24, 5.1)]), (Outcome::Within, Level::Notice, Some("ph.ended_usable")));
}

#[test]
fn never_reached_is_a_warning_and_never_a_within() {
    let says = |readings: &[PhReading]| finding(readings, Phase::NeverReached);
    let not_shown = (Outcome::NotJudged, Level::Warning, Some("ph.never_reached"));
    assert_eq!(says(&[]), not_shown);
    assert_eq!(says(&[usable(24, 5.25)]), not_shown);
    assert_eq!(says(&[full(24, 5.6)]), (Outcome::Over, Level::Warning, Some("ph.never_reached")));
}
