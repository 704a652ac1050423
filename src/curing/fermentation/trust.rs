//! How far a pH reading can be believed: instrument, last check of the meter, sample temperature.
//!
//! The figures stand in the rulebook under `ph.meter.…`. A reading is as good as the worst that is said of it.

use super::advice;
use crate::curing::rulebook;
use crate::quantity::compare;
use crate::record::reading::{Calibration, Instrument, PhReading};

/// How far a reading is believed, best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Checked today, slope in order: ends the clock at 5.30, provisionally from 5.25 up.
    Full,
    /// Checked this week, or a worn slope: ends the clock at 5.20.
    Usable,
    /// Kept, but never ends the clock.
    Doubtful,
    /// A paper strip: kept, but never ends the clock.
    Strip,
    /// Not to be kept as a reading at all.
    Rejected,
}

/// One thing that takes trust from a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// The meter was checked more than a day, at most a week before.
    CheckedThisWeek,
    /// The slope is under the window of full trust.
    SlopeWorn,
    /// The slope was not noted.
    SlopeUnknown,
    /// The meter was checked more than a week before.
    CheckedTooLongAgo,
    /// Nobody said when the meter was checked.
    NeverChecked,
    /// The last check found the meter off in a buffer.
    BufferMissed,
    /// The slope is so low that the electrode wants cleaning or replacing.
    SlopeLow,
    /// The temperature of the sample was not noted.
    SampleTemperatureUnknown,
    /// A paper strip.
    PaperStrip,
    /// The slope is outside what an electrode can have.
    SlopeOutside,
    /// The offset at pH 7 is outside what an electrode may have.
    OffsetOutside,
}

impl Doubt {
    /// The most trust a reading can have with this doubt.
    pub const fn leaves(self) -> Trust {
        match self {
            Self::CheckedThisWeek | Self::SlopeWorn | Self::SlopeUnknown => Trust::Usable,
            Self::CheckedTooLongAgo
            | Self::NeverChecked
            | Self::BufferMissed
            | Self::SlopeLow
            | Self::SampleTemperatureUnknown => Trust::Doubtful,
            Self::PaperStrip => Trust::Strip,
            Self::SlopeOutside | Self::OffsetOutside => Trust::Rejected,
        }
    }

    /// The wording key of what to do about it.
    pub const fn advice(self) -> &'static str {
        match self {
            Self::CheckedThisWeek => advice::PH_CHECKED_THIS_WEEK,
            Self::SlopeWorn => advice::PH_SLOPE_WORN,
            Self::SlopeUnknown => advice::PH_SLOPE_UNKNOWN,
            Self::CheckedTooLongAgo => advice::PH_CHECKED_TOO_LONG_AGO,
            Self::NeverChecked => advice::PH_NEVER_CHECKED,
            Self::BufferMissed => advice::PH_BUFFER_MISSED,
            Self::SlopeLow => advice::PH_SLOPE_LOW,
            Self::SampleTemperatureUnknown => advice::PH_SAMPLE_TEMPERATURE,
            Self::PaperStrip => advice::PH_STRIP,
            Self::SlopeOutside => advice::PH_SLOPE_OUTSIDE,
            Self::OffsetOutside => advice::PH_OFFSET_OUTSIDE,
        }
    }
}

/// How far a reading is believed, and every doubt about it, the worst first.
pub fn judge(reading: &PhReading) -> (Trust, Vec<Doubt>) {
    if reading.instrument == Instrument::Strip {
        return (Trust::Strip, vec![Doubt::PaperStrip]);
    }
    let of_meter = doubts_about(&reading.calibration.unwrap_or_default());
    let of_sample = reading.sample_temperature.is_none().then_some(Doubt::SampleTemperatureUnknown);
    ranked(of_meter.into_iter().chain(of_sample))
}

/// How far a meter's check is believed by itself, whatever sample is read with it; doubts as in [`judge`].
pub fn judge_meter(calibration: &Calibration) -> (Trust, Vec<Doubt>) {
    ranked(doubts_about(calibration))
}

/// Whether a slope is inside the window of full trust.
pub fn is_full_slope(percent: f64) -> bool {
    let calibration = Calibration { slope_percent: Some(percent), ..Calibration::default() };
    slope_doubt(&calibration).is_none()
}

fn doubts_about(calibration: &Calibration) -> Vec<Doubt> {
    let slope = slope_doubt(calibration);
    let missed = calibration.buffer_missed.then_some(Doubt::BufferMissed);
    let checks = [offset_doubt(calibration), slope, age_doubt(calibration, slope), missed];
    checks.into_iter().flatten().collect()
}

/// The worst first; without any, full trust.
fn ranked(doubts: impl IntoIterator<Item = Doubt>) -> (Trust, Vec<Doubt>) {
    let mut doubts: Vec<Doubt> = doubts.into_iter().collect();
    doubts.sort_by_key(|doubt| std::cmp::Reverse(doubt.leaves()));
    let trust = doubts.first().map_or(Trust::Full, |worst| worst.leaves());
    (trust, doubts)
}

/// A figure of the rulebook. A rulebook that cannot be read gives NaN, which passes no comparison below.
fn figure(id: &str) -> f64 {
    rulebook::by_id(id).and_then(|row| row.value).unwrap_or(f64::NAN)
}

fn at_least(value: f64, id: &str) -> bool {
    let minimum = figure(id);
    minimum.is_finite() && value.is_finite() && compare::with_tolerance(value, minimum).is_ge()
}

fn at_most(value: f64, id: &str) -> bool {
    let maximum = figure(id);
    maximum.is_finite() && value.is_finite() && compare::with_tolerance(value, maximum).is_le()
}

fn slope_doubt(calibration: &Calibration) -> Option<Doubt> {
    let Some(slope) = calibration.slope_percent else {
        return Some(Doubt::SlopeUnknown);
    };
    let possible = at_least(slope, "ph.meter.slope.lowest") && at_most(slope, "ph.meter.slope.highest");
    if !possible {
        Some(Doubt::SlopeOutside)
    } else if at_least(slope, "ph.meter.slope.full") {
        None
    } else if at_least(slope, "ph.meter.slope.usable") {
        Some(Doubt::SlopeWorn)
    } else {
        Some(Doubt::SlopeLow)
    }
}

fn offset_doubt(calibration: &Calibration) -> Option<Doubt> {
    let offset = calibration.offset_mv?;
    (!at_most(offset.abs(), "ph.meter.offset")).then_some(Doubt::OffsetOutside)
}

/// A buffer near pH 4 that was read right makes up for the age of the calibration, on a meter whose slope is in
/// order.
fn age_doubt(calibration: &Calibration, slope: Option<Doubt>) -> Option<Doubt> {
    if calibration.one_buffer_passed && slope.is_none() {
        return None;
    }
    let age = calibration.age.map(crate::quantity::Hours::value);
    match age.filter(|hours| *hours >= 0.0) {
        None => Some(Doubt::NeverChecked),
        Some(hours) if at_most(hours, "ph.meter.age.full") => None,
        Some(hours) if at_most(hours, "ph.meter.age.usable") => Some(Doubt::CheckedThisWeek),
        Some(_) => Some(Doubt::CheckedTooLongAgo),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Hours, Ph, Temperature};
    use crate::record::ids::EventId;
    use chrono::DateTime;

    fn reading(calibration: Option<Calibration>) -> PhReading {
        PhReading {
            event: EventId(1),
            at: DateTime::UNIX_EPOCH,
            ph: Ph::new(5.2),
            instrument: Instrument::Meter,
            sample_temperature: Some(Temperature::celsius(21.0)),
            calibration,
            from_sample: false,
        }
    }

    #[test]
    fn a_meter_nobody_checked_is_doubtful_and_every_doubt_is_named() {
        let bare = PhReading { sample_temperature: None, ..reading(None) };
        let (trust, doubts) = judge(&bare);
        assert_eq!(trust, Trust::Doubtful);
        assert_eq!(doubts, [Doubt::NeverChecked, Doubt::SampleTemperatureUnknown, Doubt::SlopeUnknown]);
    }

    #[test]
    fn numbers_that_are_none_never_raise_trust() {
        let nan = Calibration {
            age: Some(Hours::new(f64::NAN)),
            slope_percent: Some(f64::NAN),
            offset_mv: Some(f64::NAN),
            one_buffer_passed: true,
            buffer_missed: false,
        };
        assert_eq!(judge(&reading(Some(nan))).0, Trust::Rejected);
        let age_only =
            Calibration { slope_percent: Some(98.0), offset_mv: None, one_buffer_passed: false, ..nan };
        assert_eq!(judge(&reading(Some(age_only))).0, Trust::Doubtful);
        let future = Calibration { age: Some(Hours::new(-3.0)), ..age_only };
        assert_eq!(judge(&reading(Some(future))).0, Trust::Doubtful);
    }
}
