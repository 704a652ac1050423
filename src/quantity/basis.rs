//! mg/kg with its basis: ingoing or residual, as a salt or as the ion, on which weight.
//!
//! Two concentrations of different basis never meet in one comparison; converting between salt and ion is explicit.

use serde::{Deserialize, Serialize};

/// Added to the raw meat, or found in the finished product.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// What goes in, on the raw weight.
    Ingoing,
    /// What a laboratory finds at the end.
    Residual,
}

/// Which weight the milligrams are divided by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WeightBasis {
    /// The raw meat alone.
    GreenWeight,
    /// The raw meat and the pickle together (equilibrium brine).
    MeatAndPickle,
    /// The finished product.
    Finished,
}

/// Which salt, or the ion, the milligrams are counted as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AmountBasis {
    /// As sodium nitrite, `NaNO2`.
    SodiumNitrite,
    /// As potassium nitrite, `KNO2`.
    PotassiumNitrite,
    /// As the nitrite ion, `NO2−`.
    NitriteIon,
    /// As sodium nitrate, `NaNO3`.
    SodiumNitrate,
    /// As potassium nitrate, `KNO3`.
    PotassiumNitrate,
    /// As the nitrate ion, `NO3−`.
    NitrateIon,
}

/// The metal of a nitrite or nitrate salt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cation {
    /// Sodium.
    Sodium,
    /// Potassium.
    Potassium,
}

impl AmountBasis {
    /// Molar mass in g/mol. Source: standard atomic masses, from memory (CIAAW abridged values).
    pub const fn molar_mass(self) -> f64 {
        match self {
            Self::SodiumNitrite => 68.9953,
            Self::PotassiumNitrite => 85.1038,
            Self::NitriteIon => 46.0055,
            Self::SodiumNitrate => 84.9947,
            Self::PotassiumNitrate => 101.1032,
            Self::NitrateIon => 62.0049,
        }
    }

    /// Whether it counts nitrite (else nitrate).
    pub const fn is_nitrite(self) -> bool {
        matches!(self, Self::SodiumNitrite | Self::PotassiumNitrite | Self::NitriteIon)
    }
}

/// A concentration in mg/kg that knows what it counts and on which weight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Concentration {
    mg_per_kg: f64,
    /// What the milligrams are counted as.
    pub amount: AmountBasis,
    /// What they are divided by.
    pub weight: WeightBasis,
    /// Added or found.
    pub stage: Stage,
}

impl Concentration {
    /// An ingoing concentration.
    pub const fn ingoing(mg_per_kg: f64, amount: AmountBasis, weight: WeightBasis) -> Self {
        Self { mg_per_kg, amount, weight, stage: Stage::Ingoing }
    }

    /// The number of mg/kg, in its own basis.
    pub const fn mg_per_kg(self) -> f64 {
        self.mg_per_kg
    }

    /// The same amount of nitrite (or nitrate) counted as another salt or as the ion: the molar masses' ratio.
    /// `None` from nitrite to nitrate or back: that is chemistry, not a conversion.
    #[must_use]
    pub fn counted_as(self, amount: AmountBasis) -> Option<Self> {
        if self.amount.is_nitrite() != amount.is_nitrite() {
            return None;
        }
        let mg_per_kg = if amount == self.amount {
            self.mg_per_kg
        } else {
            self.mg_per_kg * amount.molar_mass() / self.amount.molar_mass()
        };
        Some(Self { mg_per_kg, amount, ..self })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counting_as_another_salt_is_the_ratio_of_molar_masses() {
        // The EU's 80 mg/kg as the ion (Regulation (EU) 2023/2108, second-hand) is 119.98 mg/kg as sodium nitrite.
        let limit = Concentration::ingoing(80.0, AmountBasis::NitriteIon, WeightBasis::GreenWeight);
        let as_sodium = limit.counted_as(AmountBasis::SodiumNitrite).unwrap();
        approx::assert_abs_diff_eq!(as_sodium.mg_per_kg(), 119.98, epsilon = 0.005);
        assert_eq!(as_sodium.weight, WeightBasis::GreenWeight);
        assert_eq!(as_sodium.stage, Stage::Ingoing);
        let back = as_sodium.counted_as(AmountBasis::NitriteIon).unwrap();
        approx::assert_relative_eq!(back.mg_per_kg(), 80.0, max_relative = 1e-14);
    }

    /// The factors printed for the trade, to two digits: nitrite 0.67, sodium nitrate 0.73, potassium nitrate 0.61
    /// (a Spanish additive supplier's notice on Regulation (EU) 2023/2108, 2023-10-18, second-hand).
    #[test]
    fn ions_per_salt_agree_with_the_factors_in_print() {
        for (salt, ion, factor) in [
            (AmountBasis::SodiumNitrite, AmountBasis::NitriteIon, 0.67),
            (AmountBasis::SodiumNitrate, AmountBasis::NitrateIon, 0.73),
            (AmountBasis::PotassiumNitrate, AmountBasis::NitrateIon, 0.61),
        ] {
            let one = Concentration::ingoing(1.0, salt, WeightBasis::GreenWeight);
            let as_ion = one.counted_as(ion).unwrap();
            approx::assert_abs_diff_eq!(as_ion.mg_per_kg(), factor, epsilon = 0.005);
        }
    }

    #[test]
    fn nitrite_is_not_turned_into_nitrate() {
        let nitrite = Concentration::ingoing(150.0, AmountBasis::SodiumNitrite, WeightBasis::GreenWeight);
        assert_eq!(nitrite.counted_as(AmountBasis::SodiumNitrate), None);
        assert_eq!(nitrite.counted_as(AmountBasis::SodiumNitrite), Some(nitrite));
    }

    #[test]
    fn salts_are_their_ions_and_a_metal() {
        // Standard atomic masses of sodium and potassium, from memory: 22.9898 and 39.0983.
        for (salt, ion, metal) in [
            (AmountBasis::SodiumNitrite, AmountBasis::NitriteIon, 22.9898),
            (AmountBasis::PotassiumNitrite, AmountBasis::NitriteIon, 39.0983),
            (AmountBasis::SodiumNitrate, AmountBasis::NitrateIon, 22.9898),
            (AmountBasis::PotassiumNitrate, AmountBasis::NitrateIon, 39.0983),
        ] {
            approx::assert_abs_diff_eq!(salt.molar_mass(), ion.molar_mass() + metal, epsilon = 1e-9);
        }
    }
}
