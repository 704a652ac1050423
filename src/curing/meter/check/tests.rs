use super::*;
use crate::curing::fermentation::trust::{Doubt, Trust, judge_meter};
use crate::quantity::{Temperature, Voltage};
use crate::record::ids::EventId;
use chrono::TimeDelta;

fn millivolts(buffer: f64, shown: f64) -> BufferPoint {
    BufferPoint { buffer: Ph::new(buffer), shown: Shown::Millivolts(Voltage::millivolts(shown)) }
}

fn ph(buffer: f64, shown: f64) -> BufferPoint {
    BufferPoint { buffer: Ph::new(buffer), shown: Shown::Ph(Ph::new(shown)) }
}

fn check(points: &[BufferPoint]) -> MeterCheck {
    MeterCheck { temperature: Temperature::celsius(25.0), points: points.to_vec(), said_slope_percent: None }
}

fn judged(points: &[BufferPoint]) -> Result<Judged, CheckError> {
    Judged::of(&check(points))
}

fn hour(hours: i64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::hours(hours)
}

fn kept(at: i64, check: MeterCheck) -> Kept<MeterCheck> {
    Kept { event: EventId(at), at: hour(at), check }
}

/// 57 mV a pH unit: 96.3 %.
fn in_two(at: i64) -> Kept<MeterCheck> {
    kept(at, check(&[millivolts(7.0, -5.0), millivolts(4.0, 166.0)]))
}

#[test]
fn what_cannot_be_worked_out_is_refused() {
    assert_eq!(judged(&[]), Err(CheckError::BufferCount));
    assert_eq!(judged(&[millivolts(7.0, 0.0)]), Err(CheckError::OneInMillivolts));
    assert_eq!(judged(&[millivolts(7.0, 0.0), ph(4.0, 4.0)]), Err(CheckError::Mixed));
    let close = judged(&[millivolts(7.0, 0.0), millivolts(6.86, 8.0)]);
    assert_eq!(close, Err(CheckError::TooClose { lower: 6.86, upper: 7.0 }));
    let swapped = Err(CheckError::Swapped { lower: 4.0, upper: 7.0 });
    assert_eq!(judged(&[millivolts(7.0, 171.0), millivolts(4.0, -5.0)]), swapped);
    assert_eq!(judged(&[ph(7.0, 4.0), ph(4.0, 7.0)]), swapped);
}

#[test]
fn of_three_buffers_the_worst_pair_leads() {
    // 58 mV a unit between 7 and 10, 55 between 4 and 7.
    let three = judged(&[millivolts(10.0, -174.0), millivolts(7.0, 0.0), millivolts(4.0, 165.0)]).unwrap();
    assert!((three.electrode().unwrap().millivolts_per_ph - 55.0).abs() < 1e-9);
}

#[test]
fn a_check_in_ph_must_hit_every_buffer() {
    assert!(!judged(&[ph(7.0, 7.05), ph(4.0, 3.95)]).unwrap().missed());
    assert!(judged(&[ph(7.0, 7.06), ph(4.0, 4.0)]).unwrap().missed());
    assert!(!judged(&[millivolts(7.0, -5.0), millivolts(4.0, 166.0)]).unwrap().missed());
}

#[test]
fn later_readings_lean_on_the_last_check_before_them() {
    let checks = [in_two(0), kept(30, check(&[ph(7.0, 7.3), ph(4.0, 4.0)]))];
    assert_eq!(leaned_on(&checks, hour(-1)), None);
    let fresh = leaned_on(&checks, hour(3)).unwrap();
    assert_eq!(fresh.age, Some(Hours::new(3.0)));
    assert_eq!(judge_meter(&fresh).0, Trust::Full);
    assert_eq!(judge_meter(&leaned_on(&checks, hour(25)).unwrap()).0, Trust::Usable);
    let (trust, doubts) = judge_meter(&leaned_on(&checks, hour(31)).unwrap());
    assert_eq!(trust, Trust::Doubtful);
    assert!(doubts.contains(&Doubt::BufferMissed));
    assert_eq!(judge_meter(&leaned_on(&[in_two(0)], hour(169)).unwrap()).0, Trust::Doubtful);
}

#[test]
fn one_buffer_makes_up_for_age_only_on_a_slope_in_order() {
    let one = |at| kept(at, check(&[ph(4.0, 4.03)]));
    let restored = leaned_on(&[in_two(0), one(240)], hour(243)).unwrap();
    assert_eq!(restored.age, Some(Hours::new(3.0)));
    assert_eq!(judge_meter(&restored).0, Trust::Full);
    // 55 mV a unit is 93 %: worn.
    let worn = kept(0, check(&[millivolts(7.0, 0.0), millivolts(4.0, 165.0)]));
    assert_eq!(leaned_on(&[worn, one(240)], hour(243)).unwrap().age, Some(Hours::new(243.0)));
    let alone = leaned_on(&[one(240)], hour(243)).unwrap();
    assert_eq!((alone.age, judge_meter(&alone).0), (None, Trust::Doubtful));
}

#[test]
fn a_buffer_that_was_missed_is_made_up_for_only_by_two() {
    let missed = kept(1, check(&[ph(7.0, 7.3), ph(4.0, 4.0)]));
    let one = kept(2, check(&[ph(4.0, 4.0)]));
    let again = kept(3, check(&[ph(7.0, 7.0), ph(4.0, 4.0)]));
    let trust = |checks: &[Kept<MeterCheck>]| judge_meter(&leaned_on(checks, hour(4)).unwrap()).0;
    assert_eq!(trust(&[in_two(0), missed.clone(), one.clone()]), Trust::Doubtful);
    assert_eq!(trust(&[in_two(0), missed, one, again]), Trust::Full);
}

#[test]
fn buffers_on_one_side_of_meat_are_no_check_in_two() {
    let basic = kept(0, check(&[millivolts(7.0, 0.0), millivolts(10.0, -174.0)]));
    assert_eq!(leaned_on(&[basic], hour(1)).unwrap().age, None);
    assert!(judged(&[ph(6.97, 7.0), ph(4.06, 4.0)]).unwrap().brackets_meat());
}

#[test]
fn a_slope_said_by_the_meter_counts_beside_buffers_in_ph() {
    let said = MeterCheck { said_slope_percent: Some(97.0), ..check(&[ph(7.0, 7.01), ph(4.0, 4.02)]) };
    assert_eq!(judge_meter(&leaned_on(&[kept(0, said)], hour(2)).unwrap()).0, Trust::Full);
    let unsaid = kept(0, check(&[ph(7.0, 7.01), ph(4.0, 4.02)]));
    assert_eq!(judge_meter(&leaned_on(&[unsaid], hour(2)).unwrap()).0, Trust::Usable);
}
