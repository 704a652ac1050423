//! Target weight: what a piece is to weigh after losing a part of its hung weight, and what the scale shows then.
//!
//! The loss is counted from the green weight: the net weight at hanging, after stuffing, or after cure, rinse and
//! drain for a muscle. A tare left in makes every loss look smaller than it is.

use crate::quantity::compare;
use crate::quantity::{Fraction, Mass};
use thiserror::Error;

/// Below this green weight a scale that shows whole grams blurs the loss: ±1 g on 150 g is 0.7 points. This
/// project's choice, no source.
const SMALL_PIECE_GRAMS: f64 = 150.0;

/// Heaviest piece that is believed, in grams: one tonne.
const MAX_GRAMS: f64 = 1_000_000.0;

/// Largest loss a target may ask for, as a part of one. Raw lean pork is about 75 % water (USDA SR28, pork
/// tenderloin 74.97 g/100 g, second-hand), and nothing but water leaves.
const MAX_LOSS: f64 = 0.75;

/// Why a target or a loss cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TargetError {
    /// A weight that no piece has.
    #[error("{grams} g is no weight for a piece: more than 0 g and at most 1000 kg, like: 1012 g")]
    WeightOutOfRange {
        /// What was given, in grams.
        grams: f64,
    },
    /// A tare that no piece has.
    #[error("{grams} g is no tare: 0 g or more, and less than the piece with it weighs, like: 30 g")]
    TareOutOfRange {
        /// What was given, in grams.
        grams: f64,
    },
    /// The piece would weigh nothing, or less, without its tare.
    #[error(
        "{gross_grams} g on the scale leaves nothing beside a tare of {tare_grams} g: check both weights"
    )]
    NothingBesideTare {
        /// What the scale showed, in grams.
        gross_grams: f64,
        /// The tare, in grams.
        tare_grams: f64,
    },
    /// A loss that no meat has.
    #[error("{percent} % is no loss to aim at: more than 0 % and at most 75 %, like: 38 %")]
    LossOutOfRange {
        /// What was given, in percent.
        percent: f64,
    },
    /// The piece weighs more than when it was hung.
    #[error(
        "{now_grams} g is more than the {green_grams} g that was hung: a hung piece does not gain weight; check both weights"
    )]
    Grew {
        /// Net weight now, in grams.
        now_grams: f64,
        /// Green weight, in grams.
        green_grams: f64,
    },
}

/// A piece as it was hung: its net weight, and what hangs with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Green {
    net: Mass,
    tare: Mass,
}

impl Green {
    /// From what the scale showed at hanging, tare included.
    pub fn from_scale(gross: Mass, tare: Mass) -> Result<Self, TargetError> {
        check_weight(gross)?;
        check_tare(tare)?;
        let net = net_of(gross, tare)?;
        Ok(Self { net, tare })
    }

    /// From the net weight; the tare is what the scale will show on top.
    pub fn from_net(net: Mass, tare: Mass) -> Result<Self, TargetError> {
        check_weight(net)?;
        check_tare(tare)?;
        Ok(Self { net, tare })
    }

    /// The green weight that the loss is counted from.
    pub const fn net(self) -> Mass {
        self.net
    }

    /// Casing, string, net and hook.
    pub const fn tare(self) -> Mass {
        self.tare
    }

    /// Net weight for what the scale shows.
    pub fn net_at(self, on_scale: Mass) -> Result<Mass, TargetError> {
        check_weight(on_scale)?;
        net_of(on_scale, self.tare)
    }

    /// The part of the green weight that is gone when the scale shows this; negative for a piece that grew.
    pub fn loss_at(self, on_scale: Mass) -> Result<Fraction, TargetError> {
        let now = self.net_at(on_scale)?;
        Ok(loss(self.net, now))
    }

    /// As [`Self::loss_at`], for a weight that was just typed: a piece that grew is an error.
    pub fn loss_back(self, on_scale: Mass) -> Result<Fraction, TargetError> {
        let now = self.net_at(on_scale)?;
        if compare::with_tolerance(now.as_grams(), self.net.as_grams()).is_gt() {
            return Err(TargetError::Grew { now_grams: now.as_grams(), green_grams: self.net.as_grams() });
        }
        Ok(loss(self.net, now))
    }

    /// The target for a loss.
    pub fn target(self, loss: Fraction) -> Result<Target, TargetError> {
        let part = loss.as_one();
        let possible = part.is_finite() && part > 0.0;
        if !possible || compare::with_tolerance(part, MAX_LOSS).is_gt() {
            return Err(TargetError::LossOutOfRange { percent: loss.as_percent() });
        }
        Ok(Target { green: self, loss })
    }

    /// Whether it is so light that a kitchen scale blurs the loss.
    pub fn is_small(self) -> bool {
        compare::with_tolerance(self.net.as_grams(), SMALL_PIECE_GRAMS).is_lt()
    }
}

/// What a piece is to weigh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    green: Green,
    loss: Fraction,
}

impl Target {
    /// The piece as it was hung.
    pub const fn green(self) -> Green {
        self.green
    }

    /// The loss aimed at.
    pub const fn loss(self) -> Fraction {
        self.loss
    }

    /// The net weight aimed at: green weight times what is to remain.
    pub fn net(self) -> Mass {
        Mass::grams(self.green.net.as_grams() * (1.0 - self.loss.as_one()))
    }

    /// What the scale shows then: the target with the tare.
    pub fn on_scale(self) -> Mass {
        self.net() + self.green.tare
    }

    /// How much is still to go when the scale shows this; nothing once the target is reached.
    pub fn left_to_lose(self, on_scale: Mass) -> Result<Mass, TargetError> {
        let now = self.green.net_at(on_scale)?;
        if self.is_reached_at(loss(self.green.net, now)) {
            return Ok(Mass::grams(0.0));
        }
        Ok(now - self.net())
    }

    /// Whether a loss reaches the target; exactly at it is reached.
    pub fn is_reached_at(self, loss: Fraction) -> bool {
        compare::with_tolerance(loss.as_one(), self.loss.as_one()).is_ge()
    }
}

/// The part of `green` that is gone at `now`; both net and above zero.
pub(super) fn loss(green: Mass, now: Mass) -> Fraction {
    Fraction::of_one(1.0 - now.as_grams() / green.as_grams())
}

fn check_weight(weight: Mass) -> Result<(), TargetError> {
    let grams = weight.as_grams();
    if grams > 0.0 && grams <= MAX_GRAMS {
        return Ok(());
    }
    Err(TargetError::WeightOutOfRange { grams })
}

fn check_tare(tare: Mass) -> Result<(), TargetError> {
    let grams = tare.as_grams();
    if (0.0..=MAX_GRAMS).contains(&grams) {
        return Ok(());
    }
    Err(TargetError::TareOutOfRange { grams })
}

fn net_of(gross: Mass, tare: Mass) -> Result<Mass, TargetError> {
    let net = gross - tare;
    if net.as_grams() > 0.0 {
        return Ok(net);
    }
    Err(TargetError::NothingBesideTare { gross_grams: gross.as_grams(), tare_grams: tare.as_grams() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn green(gross: f64, tare: f64) -> Result<Green, TargetError> {
        Green::from_scale(Mass::grams(gross), Mass::grams(tare))
    }

    #[test]
    fn impossible_weights_are_refused() {
        for grams in [0.0, -1.0, f64::NAN, f64::INFINITY, 1_000_001.0] {
            assert!(matches!(green(grams, 0.0), Err(TargetError::WeightOutOfRange { .. })), "{grams}");
            let piece = green(1000.0, 0.0).unwrap();
            assert!(piece.loss_at(Mass::grams(grams)).is_err(), "{grams}");
        }
        for grams in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(green(1000.0, grams), Err(TargetError::TareOutOfRange { .. })), "{grams}");
        }
        assert!(matches!(green(30.0, 30.0), Err(TargetError::NothingBesideTare { .. })));
        let piece = green(1000.0, 30.0).unwrap();
        assert!(matches!(piece.loss_at(Mass::grams(29.0)), Err(TargetError::NothingBesideTare { .. })));
    }

    #[test]
    fn impossible_losses_are_refused() {
        let piece = green(1000.0, 0.0).unwrap();
        for percent in [0.0, -5.0, 75.1, 100.0, 3500.0, f64::NAN, f64::INFINITY] {
            let refused = piece.target(Fraction::percent(percent));
            assert!(matches!(refused, Err(TargetError::LossOutOfRange { .. })), "{percent}");
        }
        assert!(piece.target(Fraction::percent(75.0)).is_ok());
    }

    #[test]
    fn a_typed_weight_that_grew_is_asked_about_and_a_kept_one_is_shown() {
        let piece = green(1030.0, 30.0).unwrap();
        let grew = piece.loss_back(Mass::grams(1031.0));
        assert_eq!(
            grew.unwrap_err().to_string(),
            "1001 g is more than the 1000 g that was hung: a hung piece does not gain weight; check both weights"
        );
        assert!((piece.loss_at(Mass::grams(1031.0)).unwrap().as_percent() + 0.1).abs() < 1e-9);
        assert!(piece.loss_back(Mass::grams(1030.0)).unwrap().as_one().abs() < 1e-12);
    }

    #[test]
    fn a_net_weight_keeps_its_tare_for_the_scale() {
        let piece = Green::from_net(Mass::grams(1000.0), Mass::grams(30.0)).unwrap();
        let target = piece.target(Fraction::percent(38.0)).unwrap();
        assert!((target.net().as_grams() - 620.0).abs() < 1e-9);
        assert!((target.on_scale().as_grams() - 650.0).abs() < 1e-9);
    }

    #[test]
    fn a_light_piece_is_small() {
        assert!(green(149.0, 0.0).unwrap().is_small());
        assert!(green(179.9, 30.0).unwrap().is_small());
        assert!(!green(150.0, 0.0).unwrap().is_small());
    }

    #[test]
    fn a_target_is_reached_exactly_at_it_in_every_unit() {
        // 35 % of 2 lb 3 oz: the weight is not a round number of grams.
        let piece = Green::from_net(Mass::grams(35.0 * 28.349_523_125), Mass::grams(0.0)).unwrap();
        for percent in 1..=75 {
            let target = piece.target(Fraction::percent(f64::from(percent))).unwrap();
            let lost = piece.loss_at(target.on_scale()).unwrap();
            assert!(target.is_reached_at(lost), "{percent} %");
        }
    }
}
