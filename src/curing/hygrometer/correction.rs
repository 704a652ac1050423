//! From what a hygrometer showed over salt jars to what its later readings mean.
//!
//! Between two jars the line through both; beyond the outer ones only that jar's own offset, and no further than 15
//! points from what was shown there. One jar gives an offset alone. A reading further off is left as it is and said so.

use crate::curing::rulebook;
use crate::quantity::{Hours, RelativeHumidity, compare};
use crate::record::hours_between;
use crate::record::meter::{HygrometerCheck, Kept, SaltPoint};
use chrono::{DateTime, Utc};
use thiserror::Error;

/// How far from a jar its offset holds, in points. Rule of this project, no source.
const REACH_POINTS: f64 = 15.0;
/// Off by more than this it is no reading of that jar, in points. Rule of this project, no source.
const IMPOSSIBLE_OFFSET_POINTS: f64 = 20.0;
/// Jars closer than this blur the line, in points. Rule of this project, no source.
const LEAST_DISTANCE_POINTS: f64 = 5.0;
/// More jars than this in one check are a slip: the table has so many salts.
const MOST_JARS: usize = 5;

/// Why a check gives no correction.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CorrectionError {
    /// No jar, or too many.
    #[error("a check has one to 5 jars")]
    JarCount,
    /// One salt twice.
    #[error("two of the jars have nearly the same humidity: take two different salts, at best NaCl and KCl")]
    TooClose,
    /// The drier jar showed more than the damper one.
    #[error("over {drier} the hygrometer must show less than over {damper}: the two readings may be swapped")]
    Swapped {
        /// The drier.
        drier: String,
        /// The damper.
        damper: String,
    },
    /// Too far off for a jar.
    #[error(
        "over {salt} it should show about {reference} %, and {shown} % is over 20 points off: leave it in the closed jar for 8 to 24 h, with wet crystals to be seen, and read again"
    )]
    Impossible {
        /// The salt.
        salt: String,
        /// What the jar has, in percent.
        reference: String,
        /// What was shown, in percent.
        shown: String,
    },
}

/// Something that takes trust from a corrected reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HumidityDoubt {
    /// The check is older than half a year.
    Old,
    /// The hygrometer was more than 5 points off.
    FarOff,
    /// The reading is further than 15 points from every jar, so it is not corrected.
    OutOfReach,
}

/// A correction from one check.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Shown and reference in percent, driest first.
    points: Vec<(f64, f64)>,
    made: DateTime<Utc>,
}

/// A reading with what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// As shown.
    pub raw: RelativeHumidity,
    /// As corrected; as shown where it could not be.
    pub corrected: RelativeHumidity,
    /// How old the check was.
    pub age: Hours,
    /// What takes trust from it.
    pub doubts: Vec<HumidityDoubt>,
}

impl Corrected {
    /// Whether no jar was near enough, so that the reading stands as it was shown.
    pub const fn is_out_of_reach(&self) -> bool {
        matches!(self.doubts.as_slice(), [HumidityDoubt::OutOfReach, ..])
    }
}

impl Correction {
    /// From a check made at a moment.
    pub fn of(check: &HygrometerCheck, made: DateTime<Utc>) -> Result<Self, CorrectionError> {
        let mut jars: Vec<&SaltPoint> = check.points.iter().collect();
        if !(1..=MOST_JARS).contains(&jars.len()) {
            return Err(CorrectionError::JarCount);
        }
        jars.sort_by(|one, other| one.reference.as_percent().total_cmp(&other.reference.as_percent()));
        for pair in jars.windows(2) {
            check_pair(pair)?;
        }
        jars.iter().try_for_each(|jar| check_jar(jar))?;
        let points = jars.iter().map(|jar| (jar.shown.as_percent(), jar.reference.as_percent())).collect();
        Ok(Self { points, made })
    }

    /// The last of several checks that was made by a moment, in the order of time.
    pub fn in_force(checks: &[Kept<HygrometerCheck>], moment: DateTime<Utc>) -> Option<Self> {
        let made = checks.iter().rfind(|kept| kept.at <= moment)?;
        Self::of(&made.check, made.at).ok()
    }

    /// When the check was made.
    pub const fn made(&self) -> DateTime<Utc> {
        self.made
    }

    /// How many jars it stands on.
    pub const fn jars(&self) -> usize {
        self.points.len()
    }

    /// Reference less shown over each jar, in points, driest first.
    pub fn offsets(&self) -> impl Iterator<Item = f64> {
        self.points.iter().map(|(shown, reference)| reference - shown)
    }

    /// Whether it was off by so much that its readings stay in doubt.
    pub fn is_far_off(&self) -> bool {
        let Some(most) = mark("hygrometer.offset") else { return true };
        self.offsets().any(|offset| compare::with_tolerance(offset.abs(), most).is_gt())
    }

    /// Points of humidity for each point shown, between the outer jars; `None` with one jar.
    pub fn gain(&self) -> Option<f64> {
        let ((first_shown, first), (last_shown, last)) = (*self.points.first()?, *self.points.last()?);
        (self.points.len() > 1).then(|| (last - first) / (last_shown - first_shown))
    }

    /// What a reading means at a moment.
    pub fn apply(&self, raw: RelativeHumidity, moment: DateTime<Utc>) -> Corrected {
        let age = Hours::new(hours_between(self.made, moment));
        let found = self.corrected(raw.as_percent());
        let doubts = [
            found.is_none().then_some(HumidityDoubt::OutOfReach),
            self.is_far_off().then_some(HumidityDoubt::FarOff),
            is_old(age).then_some(HumidityDoubt::Old),
        ];
        let corrected = found.map_or(raw, |percent| RelativeHumidity::percent(percent.clamp(0.0, 100.0)));
        Corrected { raw, corrected, age, doubts: doubts.into_iter().flatten().collect() }
    }

    fn corrected(&self, shown: f64) -> Option<f64> {
        let ((first_shown, first), (last_shown, last)) = (*self.points.first()?, *self.points.last()?);
        if shown <= first_shown {
            return within_reach(first_shown - shown).then_some(shown + first - first_shown);
        }
        if shown >= last_shown {
            return within_reach(shown - last_shown).then_some(shown + last - last_shown);
        }
        let pair = self.points.windows(2).find(|pair| pair.last().is_some_and(|(end, _)| shown <= *end));
        let Some([(low_shown, low), (high_shown, high)]) = pair else { return None };
        Some(low + (high - low) * (shown - low_shown) / (high_shown - low_shown))
    }
}

/// A mark of the rulebook. One that cannot be read leaves every check in doubt.
fn mark(id: &str) -> Option<f64> {
    rulebook::by_id(id)?.value
}

fn is_old(age: Hours) -> bool {
    mark("hygrometer.age").is_none_or(|days| compare::with_tolerance(age.value(), days * 24.0).is_gt())
}

fn within_reach(points: f64) -> bool {
    compare::with_tolerance(points, REACH_POINTS).is_le()
}

fn check_pair(pair: &[&SaltPoint]) -> Result<(), CorrectionError> {
    let [drier, damper] = pair else { return Ok(()) };
    let distance = damper.reference.as_percent() - drier.reference.as_percent();
    if compare::with_tolerance(distance, LEAST_DISTANCE_POINTS).is_lt() {
        return Err(CorrectionError::TooClose);
    }
    if drier.shown.as_percent() < damper.shown.as_percent() {
        return Ok(());
    }
    Err(CorrectionError::Swapped { drier: drier.salt.clone(), damper: damper.salt.clone() })
}

fn check_jar(jar: &SaltPoint) -> Result<(), CorrectionError> {
    let off = (jar.reference.as_percent() - jar.shown.as_percent()).abs();
    if compare::with_tolerance(off, IMPOSSIBLE_OFFSET_POINTS).is_le() {
        return Ok(());
    }
    let percent = |humidity: RelativeHumidity| crate::quantity::format::trimmed(humidity.as_percent(), 1);
    Err(CorrectionError::Impossible {
        salt: jar.salt.clone(),
        reference: percent(jar.reference),
        shown: percent(jar.shown),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Temperature;
    use chrono::TimeDelta;

    fn jar(salt: &str, reference: f64, shown: f64) -> SaltPoint {
        SaltPoint {
            salt: salt.into(),
            temperature: Temperature::celsius(20.0),
            reference: RelativeHumidity::percent(reference),
            shown: RelativeHumidity::percent(shown),
        }
    }

    fn of(points: &[SaltPoint]) -> Result<Correction, CorrectionError> {
        Correction::of(&HygrometerCheck { points: points.to_vec() }, DateTime::UNIX_EPOCH)
    }

    fn apply(correction: &Correction, percent: f64, days: i64) -> Corrected {
        correction.apply(RelativeHumidity::percent(percent), DateTime::UNIX_EPOCH + TimeDelta::days(days))
    }

    #[test]
    fn what_no_jar_can_have_shown_is_refused() {
        assert_eq!(of(&[]), Err(CorrectionError::JarCount));
        let twice = of(&[jar("NaCl", 75.5, 72.0), jar("NaCl", 75.4, 72.5)]);
        assert_eq!(twice, Err(CorrectionError::TooClose));
        let swapped = of(&[jar("NaCl", 75.5, 82.0), jar("KCl", 85.1, 72.0)]);
        assert!(matches!(swapped, Err(CorrectionError::Swapped { .. })));
        assert!(of(&[jar("NaCl", 75.5, 55.5)]).is_ok());
        assert!(matches!(of(&[jar("NaCl", 75.5, 55.4)]), Err(CorrectionError::Impossible { .. })));
    }

    #[test]
    fn one_jar_reaches_fifteen_points() {
        let one = of(&[jar("NaCl", 75.5, 72.0)]).unwrap();
        assert!((apply(&one, 80.0, 1).corrected.as_percent() - 83.5).abs() < 1e-9);
        assert!((apply(&one, 57.0, 1).corrected.as_percent() - 60.5).abs() < 1e-9);
        for percent in [56.9, 87.1] {
            let far = apply(&one, percent, 1);
            assert_eq!((far.corrected, &far.doubts[..]), (far.raw, &[HumidityDoubt::OutOfReach][..]));
        }
        assert_eq!(one.gain(), None);
    }

    #[test]
    fn beyond_the_outer_jars_the_line_is_not_drawn_on() {
        let two = of(&[jar("NaCl", 75.5, 72.0), jar("KCl", 85.1, 80.0)]).unwrap();
        assert!((apply(&two, 76.0, 1).corrected.as_percent() - 80.3).abs() < 1e-9);
        assert!((apply(&two, 90.0, 1).corrected.as_percent() - 95.1).abs() < 1e-9, "the outer jar's offset");
        assert!((apply(&two, 70.0, 1).corrected.as_percent() - 73.5).abs() < 1e-9);
        assert!((two.gain().unwrap() - 1.2).abs() < 1e-9);
        assert!(apply(&two, 94.95, 1).corrected.as_percent() <= 100.0);
    }

    #[test]
    fn an_old_check_and_a_far_off_one_are_doubtful() {
        let good = of(&[jar("NaCl", 75.5, 74.0)]).unwrap();
        assert_eq!(apply(&good, 75.0, 183).doubts, []);
        assert_eq!(apply(&good, 75.0, 184).doubts, [HumidityDoubt::Old]);
        let off = of(&[jar("NaCl", 75.5, 70.4)]).unwrap();
        assert_eq!(apply(&off, 75.0, 1).doubts, [HumidityDoubt::FarOff]);
    }
}
