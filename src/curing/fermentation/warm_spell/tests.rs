use super::*;
use crate::curing::fermentation::acidity::JudgedReading;
use crate::curing::fermentation::history::{Stay, Window};
use crate::quantity::{Hours, Ph};
use crate::record::climate::{Climate, RoomReading};
use crate::record::ids::EventId;
use crate::record::reading::{Calibration, Instrument, PhReading};

fn at(hours: i64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::hours(hours)
}

fn declared(hours: f64, celsius: f64) -> Course {
    Course::declared(&[(Hours::new(hours), Temperature::celsius(celsius))]).unwrap()
}

fn read(readings: &[(i64, f64)]) -> Course {
    let readings = readings
        .iter()
        .map(|(hour, celsius)| RoomReading { at: at(*hour), temperature: Temperature::celsius(*celsius) });
    let climate = Climate { readings: readings.collect(), ..Climate::default() };
    let end = climate.readings.last().map_or(at(0), |last| last.at);
    let stay = Stay { climate: &climate, from: at(0), to: None };
    let window = Window { from: at(0), closed: Some(end), now: end };
    Course::of_history(&[stay], window)
}

fn in_cure(spell: Course) -> SpellVerdict {
    assess_spell(SpellPiece::InCure, spell, Systems::Strict).verdict
}

#[test]
fn the_hours_of_meat_in_cure_and_their_edges() {
    assert_eq!(in_cure(declared(2.0, 16.0)), SpellVerdict::Notice);
    assert_eq!(in_cure(declared(2.1, 16.0)), SpellVerdict::Warning);
    assert_eq!(in_cure(declared(4.0, 16.0)), SpellVerdict::Warning);
    assert_eq!(in_cure(declared(4.1, 16.0)), SpellVerdict::Discard);
    assert_eq!(in_cure(declared(4.0, 12.0)), SpellVerdict::Notice);
    assert_eq!(in_cure(declared(4.1, 12.0)), SpellVerdict::Warning);
    assert_eq!(in_cure(declared(8.0, 15.0)), SpellVerdict::Warning);
    assert_eq!(in_cure(declared(8.1, 15.0)), SpellVerdict::Discard);
    assert_eq!(in_cure(declared(200.0, 10.0)), SpellVerdict::Notice);
}

#[test]
fn what_may_have_been_too_long_is_to_be_treated_as_too_long() {
    let spell = assess_spell(SpellPiece::InCure, read(&[(0, 4.0), (6, 16.0)]), Systems::Strict);
    assert_eq!(spell.verdict, SpellVerdict::TreatAsDiscard);
    assert_eq!(spell.advice.key, "warm_spell.treat_as_discard");
    assert_eq!(spell.level, Level::Warning);
    assert_eq!(spell.findings.len(), 4);
    assert_eq!(in_cure(read(&[(0, 4.0), (3, 16.0)])), SpellVerdict::Warning);
    assert_eq!(in_cure(read(&[(0, 4.0), (20, 4.0)])), SpellVerdict::Warning);
}

#[test]
fn an_unprotected_piece_is_counted_like_a_fermentation() {
    let verdict = |spell| assess_spell(SpellPiece::Unprotected, spell, Systems::Strict).verdict;
    assert_eq!(verdict(declared(500.0, 15.0)), SpellVerdict::Notice);
    assert_eq!(verdict(declared(78.9, 24.0)), SpellVerdict::Notice);
    assert_eq!(verdict(declared(79.0, 24.0)), SpellVerdict::Discard);
    assert_eq!(
        verdict(read(&[(0, 24.0), (12, 40.0), (24, 24.0), (36, 40.0), (48, 24.0)])),
        SpellVerdict::TreatAsDiscard
    );
    assert_eq!(verdict(read(&[(0, 13.0), (20, 13.0)])), SpellVerdict::Warning);
}

fn soured(last_ph: f64, last_day: i64) -> Acidity {
    let reading = |day: i64, ph| PhReading {
        event: EventId(day),
        at: at(day * 24),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(Calibration {
            age: Some(Hours::new(3.0)),
            slope_percent: Some(98.0),
            ..Calibration::default()
        }),
        from_sample: false,
    };
    Acidity::of(&[reading(2, 5.1), reading(last_day, last_ph)], None)
}

fn piece(stage: BatchStage, acidity: Option<&Acidity>) -> SpellPiece {
    SpellPiece::of(PieceFacts { kind: BatchKind::FermentedSausage, stage, acidity, at: at(20 * 24) })
}

#[test]
fn what_protects_a_piece() {
    let drying = BatchStage::Drying;
    assert_eq!(piece(BatchStage::Fermenting, None), SpellPiece::OnTheClock);
    assert_eq!(piece(drying, Some(&soured(5.1, 19))), SpellPiece::Soured);
    assert_eq!(piece(drying, Some(&soured(5.6, 19))), SpellPiece::Unprotected);
    assert_eq!(piece(drying, Some(&soured(5.1, 12))), SpellPiece::Unprotected);
    assert_eq!(piece(drying, None), SpellPiece::Unprotected);
    assert_eq!(piece(BatchStage::Curing, None), SpellPiece::InCure);
    assert_eq!(piece(BatchStage::Resting, None), SpellPiece::InCure);
}

#[test]
fn an_end_point_that_was_reached_later_does_not_sour_the_piece_before() {
    // 5.25 of a meter checked three days before is believed and ends nothing; day 25 does.
    let reading = |day: i64, ph, age| PhReading {
        event: EventId(day),
        at: at(day * 24),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(Calibration {
            age: Some(Hours::new(age)),
            slope_percent: Some(98.0),
            ..Calibration::default()
        }),
        from_sample: false,
    };
    let late = Acidity::of(&[reading(19, 5.25, 72.0), reading(25, 5.1, 3.0)], None);
    assert!(late.end.is_some() && late.readings.iter().all(JudgedReading::is_believed));
    assert_eq!(piece(BatchStage::Drying, Some(&late)), SpellPiece::Unprotected);
}

#[test]
fn a_piece_on_the_clock_is_left_to_it() {
    let spell = assess_spell(SpellPiece::OnTheClock, declared(200.0, 30.0), Systems::Strict);
    assert_eq!((spell.verdict, spell.level), (SpellVerdict::OnTheClock, Level::None));
    let soured = assess_spell(SpellPiece::Soured, declared(200.0, 30.0), Systems::Strict);
    assert_eq!((soured.verdict, soured.level), (SpellVerdict::Notice, Level::Notice));
}
