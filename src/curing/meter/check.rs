//! One check of a pH meter, and what later readings lean on.
//!
//! In mV two buffers give slope and offset; with three or more the worst of the neighbouring pairs counts. In pH the
//! meter must read each buffer within ±0.05; its slope is then known only if the meter says it. One buffer near pH 4
//! that is read right makes up for the age of the last check in two, on a meter whose slope is in order.

use super::electrode::Electrode;
use crate::curing::fermentation::trust;
use crate::quantity::{Hours, Ph, compare};
use crate::record::hours_between;
use crate::record::meter::{BufferPoint, Kept, MeterCheck, Shown};
use crate::record::reading::Calibration;
use chrono::{DateTime, Utc};
use thiserror::Error;

/// How far off a buffer may be read. Rule of this project, from the one-buffer check of laboratory procedures.
pub const BUFFER_TOLERANCE_PH: f64 = 0.05;
/// Two buffers closer than this blur the slope. Rule of this project, no source.
const LEAST_DISTANCE_PH: f64 = 1.0;
/// The lower buffer of a check that counts has at most this: the buffers of pH 4 at up to 50 °C. Meat lies between 4 and 7.
const LOWER_AT_MOST_PH: f64 = 4.1;
/// The upper buffer of a check that counts has at least this: the buffers of pH 6.86 and 7 at up to 50 °C.
const UPPER_AT_LEAST_PH: f64 = 6.8;
/// The least a buffer near pH 4 has.
const NEAR_FOUR_AT_LEAST_PH: f64 = 3.9;
/// More buffers than this in one check are a slip.
const MOST_BUFFERS: usize = 5;

/// Why a check cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CheckError {
    /// No buffer, or too many.
    #[error("a check has one to 5 buffers")]
    BufferCount,
    /// Some in mV, some in pH.
    #[error("the meter's readings are either all in mV or all in pH")]
    Mixed,
    /// One buffer in mV says nothing of the slope.
    #[error("one buffer in mV says nothing of the slope: add a second, at best 7 and 4")]
    OneInMillivolts,
    /// Two buffers too close together.
    #[error("pH {lower} and {upper} are too close: take buffers at least 1 pH apart, at best 7 and 4")]
    TooClose {
        /// The lower.
        lower: f64,
        /// The upper.
        upper: f64,
    },
    /// The readings run the wrong way.
    #[error(
        "in pH {lower} the meter must show more mV, or a lower pH, than in {upper}: the two readings may be swapped"
    )]
    Swapped {
        /// The lower.
        lower: f64,
        /// The upper.
        upper: f64,
    },
}

/// A check that was worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    points: Vec<BufferPoint>,
    electrode: Option<Electrode>,
    said_slope_percent: Option<f64>,
}

impl Judged {
    /// Works a check out.
    pub fn of(check: &MeterCheck) -> Result<Self, CheckError> {
        let mut points = check.points.clone();
        if !(1..=MOST_BUFFERS).contains(&points.len()) {
            return Err(CheckError::BufferCount);
        }
        points.sort_by(|one, other| one.buffer.value().total_cmp(&other.buffer.value()));
        for pair in points.windows(2) {
            check_pair(pair)?;
        }
        let pairs = || points.windows(2).filter_map(voltages);
        let electrodes = pairs().map(|(lower, upper)| Electrode::of(lower, upper, check.temperature));
        // The worst of the pairs leads: the one whose slope is furthest from the ideal.
        let off = |electrode: &Electrode| (electrode.slope_percent - 100.0).abs();
        let electrode = electrodes.max_by(|one, other| off(one).total_cmp(&off(other)));
        if electrode.is_none() && points.iter().any(|point| matches!(point.shown, Shown::Millivolts(_))) {
            return Err(CheckError::OneInMillivolts);
        }
        Ok(Self { points, electrode, said_slope_percent: check.said_slope_percent })
    }

    /// The buffers, lowest first.
    pub fn points(&self) -> &[BufferPoint] {
        &self.points
    }

    /// Slope and offset, where the check was in mV.
    pub const fn electrode(&self) -> Option<Electrode> {
        self.electrode
    }

    /// How far off the meter read each buffer, where the check was in pH: buffer and shown less buffer.
    pub fn errors(&self) -> impl Iterator<Item = (Ph, f64)> {
        self.points.iter().filter_map(|point| match point.shown {
            Shown::Ph(shown) => Some((point.buffer, shown.value() - point.buffer.value())),
            Shown::Millivolts(_) => None,
        })
    }

    /// Whether a buffer was read further off than is allowed.
    pub fn missed(&self) -> bool {
        self.errors().any(|(_, error)| compare::with_tolerance(error.abs(), BUFFER_TOLERANCE_PH).is_gt())
    }

    /// Whether the buffers lie on both sides of where meat is, so that the check counts as one in two buffers.
    pub fn brackets_meat(&self) -> bool {
        let ends = self.points.first().zip(self.points.last());
        ends.is_some_and(|(lower, upper)| {
            lower.buffer.value() <= LOWER_AT_MOST_PH && upper.buffer.value() >= UPPER_AT_LEAST_PH
        })
    }

    /// Whether it is the check of one buffer near pH 4.
    pub fn is_near_four(&self) -> bool {
        let near =
            |point: &BufferPoint| (NEAR_FOUR_AT_LEAST_PH..=LOWER_AT_MOST_PH).contains(&point.buffer.value());
        matches!(self.points.as_slice(), [only] if near(only))
    }

    /// The slope in percent: as measured, else as the meter says.
    pub fn slope_percent(&self) -> Option<f64> {
        self.electrode.map(|electrode| electrode.slope_percent).or(self.said_slope_percent)
    }
}

fn check_pair(pair: &[BufferPoint]) -> Result<(), CheckError> {
    let [one, other] = pair else { return Ok(()) };
    let (lower, upper) = (one.buffer.value(), other.buffer.value());
    let rises = match (one.shown, other.shown) {
        (Shown::Ph(one), Shown::Ph(other)) => one.value() < other.value(),
        (Shown::Millivolts(one), Shown::Millivolts(other)) => one.as_millivolts() > other.as_millivolts(),
        _ => return Err(CheckError::Mixed),
    };
    if compare::with_tolerance(upper - lower, LEAST_DISTANCE_PH).is_lt() {
        return Err(CheckError::TooClose { lower, upper });
    }
    if rises { Ok(()) } else { Err(CheckError::Swapped { lower, upper }) }
}

type Read = (Ph, crate::quantity::Voltage);

fn voltages(pair: &[BufferPoint]) -> Option<(Read, Read)> {
    match pair {
        [
            BufferPoint { buffer: one, shown: Shown::Millivolts(one_mv) },
            BufferPoint { buffer: other, shown: Shown::Millivolts(other_mv) },
        ] => Some(((*one, *one_mv), (*other, *other_mv))),
        _ => None,
    }
}

/// What a reading leans on at a moment: the checks made by then, in the order of time. `None` without any that counts.
pub fn leaned_on(checks: &[Kept<MeterCheck>], moment: DateTime<Utc>) -> Option<Calibration> {
    let made = checks.iter().filter(|kept| kept.at <= moment);
    let judged = made.filter_map(|kept| Some((kept.at, Judged::of(&kept.check).ok()?)));
    let leans = judged.fold(Leans::default(), Leans::after);
    leans.calibration(moment)
}

/// What is known of a meter after its checks so far.
#[derive(Debug, Clone, Copy, Default)]
struct Leans {
    any: bool,
    in_two: Option<DateTime<Utc>>,
    in_one: Option<DateTime<Utc>>,
    slope_percent: Option<f64>,
    offset_mv: Option<f64>,
    missed: bool,
}

impl Leans {
    fn after(mut self, (at, judged): (DateTime<Utc>, Judged)) -> Self {
        self.any = true;
        if judged.missed() {
            self.missed = true;
            return self;
        }
        if judged.brackets_meat() {
            self.in_two = Some(at);
            self.missed = false;
            // Buffers read right in pH say nothing new of the slope, so the one found before still stands.
            self.slope_percent = judged.slope_percent().or(self.slope_percent);
            let offset = judged.electrode().map(|electrode| electrode.offset.as_millivolts());
            self.offset_mv = offset.or(self.offset_mv);
        } else if judged.is_near_four() {
            // It says nothing of the other end, so it does not make up for a buffer that was missed.
            self.in_one = Some(at);
        }
        self
    }

    fn calibration(self, moment: DateTime<Utc>) -> Option<Calibration> {
        let one_counts = self.slope_percent.is_some_and(trust::is_full_slope);
        let last = self.in_two.max(self.in_one.filter(|_| one_counts));
        self.any.then_some(Calibration {
            age: last.map(|at| Hours::new(hours_between(at, moment))),
            slope_percent: self.slope_percent,
            offset_mv: self.offset_mv,
            one_buffer_passed: false,
            buffer_missed: self.missed,
        })
    }
}

#[cfg(test)]
mod tests;
