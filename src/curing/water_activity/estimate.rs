//! The estimate for a batter that dries, refused where it was never compared with measurements.

use super::{MOLAR_MASS_WATER_KG, molality, of_salt};
use crate::quantity::{Fraction, WaterActivity};
use std::ops::RangeInclusive;

/// Half of the width that is printed with an estimate: the deviation from measured sausages was 0.027 (root mean square;
/// pairs of Foods 2021;10:1460, Table 3).
pub const HALF_WIDTH: f64 = 0.03;

/// Lactic acid in a batter after its fermentation, as a part of the green batter; from memory.
pub const LACTIC_ACID: Fraction = Fraction::percent(0.7);

/// Loss of weight between which the estimate was compared with measurements, in percent.
pub const LOSS_PERCENT: RangeInclusive<f64> = 15.0..=42.0;
/// Least water left, in kg with each kg of the green batter: below it the brine is stronger than what was compared.
const LEAST_WATER: f64 = 0.15;

/// Osmoles in a kilogram of lean meat: makes fresh lean of 75 % water 0.990. This project's splitting, no source.
const OSMOLES_PER_KG_LEAN: f64 = 0.42;
/// Kilograms in a mole of dextrose.
const MOLAR_MASS_DEXTROSE_KG: f64 = 0.180;
/// Kilograms in a mole of lactic acid, which stands as a salt: two particles.
const MOLAR_MASS_LACTIC_KG: f64 = 0.090;

/// What is dissolved in the water of a batter, each as a part of the green batter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solutes {
    /// Salt.
    pub salt: Fraction,
    /// Lean meat.
    pub lean: Fraction,
    /// Sugar that is left.
    pub sugar: Fraction,
    /// Lactic acid; about 0.7 % after fermentation.
    pub lactic_acid: Fraction,
}

/// Whether the estimate was compared with measurements at this loss.
pub fn is_compared(loss: Fraction) -> bool {
    LOSS_PERCENT.contains(&loss.as_percent())
}

/// An estimated water activity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The middle.
    pub activity: WaterActivity,
    /// The lower end.
    pub low: WaterActivity,
    /// The upper end.
    pub high: WaterActivity,
    /// With salt as the only solute: an upper bound.
    pub salt_alone: WaterActivity,
}

/// Why there is no estimate.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotEstimated {
    /// The loss lies outside what was compared with measurements.
    #[error("at {0:.1} % loss there is none: it was compared with measured sausages from 15 % to 42 %")]
    Loss(f64),
    /// The brine is too strong, or there is no water.
    #[error(
        "with so little water left there is none: its brine is stronger than what was compared with measurements"
    )]
    TooDry,
}

/// The water activity of a batter with so much water left, both as parts of the green batter. The estimate is the mean of
/// the piece; its middle is wetter, its rim drier.
///
/// # Errors
/// [`NotEstimated`] outside the range in which it was compared with measurements.
pub fn estimate(solutes: &Solutes, water_left: Fraction, loss: Fraction) -> Result<Estimate, NotEstimated> {
    if !is_compared(loss) {
        return Err(NotEstimated::Loss(loss.as_percent()));
    }
    if water_left.as_one().is_nan() || water_left.as_one() < LEAST_WATER {
        return Err(NotEstimated::TooDry);
    }
    let (activity, salt_alone) = product(solutes, water_left).ok_or(NotEstimated::TooDry)?;
    let value = activity.value();
    Ok(Estimate {
        activity,
        low: WaterActivity::new(value - HALF_WIDTH),
        high: WaterActivity::new((value + HALF_WIDTH).min(1.0)),
        salt_alone,
    })
}

/// Ross's product, and salt alone, wherever the brine is not saturated.
pub(super) fn product(solutes: &Solutes, water_left: Fraction) -> Option<(WaterActivity, WaterActivity)> {
    let water = water_left.as_one();
    let salt_alone = of_salt(molality(solutes.salt.as_one(), water))?;
    let others = OSMOLES_PER_KG_LEAN * solutes.lean.as_one()
        + solutes.sugar.as_one() / MOLAR_MASS_DEXTROSE_KG
        + 2.0 * solutes.lactic_acid.as_one() / MOLAR_MASS_LACTIC_KG;
    let activity = salt_alone.value() * (-MOLAR_MASS_WATER_KG * others / water).exp();
    Some((WaterActivity::new(activity), salt_alone))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solutes() -> Solutes {
        Solutes {
            salt: Fraction::percent(2.5),
            lean: Fraction::percent(70.0),
            sugar: Fraction::percent(0.3),
            lactic_acid: Fraction::percent(0.7),
        }
    }

    /// Worked with the same formulas by others, to three decimals: water 56.5 % of the batter, lean 70 %, sugar 0.3 %; the
    /// first column before fermentation, the others with 0.7 % lactic acid. Salt alone / with everything.
    #[test]
    fn worked_values() {
        let rows: [(f64, [(f64, f64); 6]); 4] = [
            (
                2.2,
                [
                    (0.978, 0.968),
                    (0.966, 0.944),
                    (0.952, 0.923),
                    (0.941, 0.905),
                    (0.930, 0.889),
                    (0.921, 0.875),
                ],
            ),
            (
                2.5,
                [
                    (0.975, 0.965),
                    (0.961, 0.939),
                    (0.945, 0.916),
                    (0.932, 0.896),
                    (0.920, 0.879),
                    (0.909, 0.864),
                ],
            ),
            (
                2.8,
                [
                    (0.972, 0.962),
                    (0.956, 0.934),
                    (0.939, 0.909),
                    (0.923, 0.888),
                    (0.909, 0.869),
                    (0.897, 0.852),
                ],
            ),
            (
                3.0,
                [
                    (0.970, 0.960),
                    (0.953, 0.931),
                    (0.934, 0.905),
                    (0.917, 0.882),
                    (0.902, 0.862),
                    (0.889, 0.845),
                ],
            ),
        ];
        for (salt, values) in rows {
            for (loss, (alone, all)) in [0.0, 0.20, 0.30, 0.35, 0.38, 0.40].into_iter().zip(values) {
                let lactic_acid = if loss > 0.0 { Fraction::percent(0.7) } else { Fraction::of_one(0.0) };
                let solutes = Solutes { salt: Fraction::percent(salt), lactic_acid, ..solutes() };
                let (ross, salt_alone) = product(&solutes, Fraction::of_one(0.565 - loss)).unwrap();
                approx::assert_abs_diff_eq!(ross.value(), all, epsilon = 0.000_51);
                approx::assert_abs_diff_eq!(salt_alone.value(), alone, epsilon = 0.000_51);
            }
        }
    }

    #[test]
    fn outside_what_was_compared_there_is_none() {
        let at =
            |loss: f64, water: f64| estimate(&solutes(), Fraction::of_one(water), Fraction::of_one(loss));
        assert!(matches!(at(0.14, 0.42), Err(NotEstimated::Loss(_))));
        assert!(matches!(at(0.43, 0.16), Err(NotEstimated::Loss(_))));
        assert!(matches!(at(f64::NAN, 0.3), Err(NotEstimated::Loss(_))));
        assert_eq!(at(0.40, 0.149), Err(NotEstimated::TooDry));
        assert_eq!(at(0.40, f64::NAN), Err(NotEstimated::TooDry));
        assert!(at(0.15, 0.42).is_ok());
        assert!(at(0.42, 0.15).is_ok());
    }
}
