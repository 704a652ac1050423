//! Ingoing nitrite and nitrate: mg per kg of meat, kept by salt so that every basis can be had exactly.

use super::CureLabel;
use crate::quantity::{AmountBasis, Concentration, Fraction, WeightBasis};

/// mg/kg of a sodium and a potassium salt of the same ion.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Salts {
    sodium: f64,
    potassium: f64,
}

impl Salts {
    fn put(amount: AmountBasis, mg_per_kg: f64) -> Self {
        match amount {
            AmountBasis::PotassiumNitrite | AmountBasis::PotassiumNitrate => {
                Self { sodium: 0.0, potassium: mg_per_kg }
            }
            _ => Self { sodium: mg_per_kg, potassium: 0.0 },
        }
    }

    fn weight(self) -> f64 {
        self.sodium + self.potassium
    }

    fn plus(self, other: Self) -> Self {
        Self { sodium: self.sodium + other.sodium, potassium: self.potassium + other.potassium }
    }
}

/// What goes in: nitrite and nitrate, on one weight basis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ingoing {
    nitrite: Salts,
    nitrate: Salts,
    weight: WeightBasis,
}

impl Ingoing {
    /// What a share of cure brings: `share` is parts of cure per part of the weight that counts.
    /// mg/kg = share × fraction on the label × 1 000 000 (FSIS Directive 7620.3, 1995, ch. 3, second-hand).
    pub fn of_share(label: &CureLabel, share: Fraction, weight: WeightBasis) -> Self {
        let mg_per_kg = |fraction: Fraction| share.as_one() * fraction.as_one() * 1e6;
        Self {
            nitrite: Salts::put(label.nitrite_salt(), mg_per_kg(label.nitrite())),
            nitrate: Salts::put(label.nitrate_salt(), mg_per_kg(label.nitrate())),
            weight,
        }
    }

    /// Two methods on one piece: the contributions added, counted on the green weight.
    ///
    /// A piece in balance with its brine holds the same mg/kg as the brine, so its figure is taken over as it
    /// stands. The strict reading: a cover brine in truth also draws some of the pumped pickle out. The rule is
    /// the project's own; the inspection handbook's pages on it were not read.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            nitrite: self.nitrite.plus(other.nitrite),
            nitrate: self.nitrate.plus(other.nitrate),
            weight: WeightBasis::GreenWeight,
        }
    }

    /// Which weight the figures are on.
    pub const fn weight(&self) -> WeightBasis {
        self.weight
    }

    /// Nitrite (or nitrate, as the basis says) counted as one salt or as the ion, by molar mass.
    pub fn counted_as(&self, amount: AmountBasis) -> Concentration {
        let (salts, sodium, potassium) = if amount.is_nitrite() {
            (self.nitrite, AmountBasis::SodiumNitrite, AmountBasis::PotassiumNitrite)
        } else {
            (self.nitrate, AmountBasis::SodiumNitrate, AmountBasis::PotassiumNitrate)
        };
        let mg_per_kg = [(salts.sodium, sodium), (salts.potassium, potassium)]
            .into_iter()
            .filter_map(|(value, own)| Concentration::ingoing(value, own, self.weight).counted_as(amount))
            .map(Concentration::mg_per_kg)
            .sum();
        Concentration::ingoing(mg_per_kg, amount, self.weight)
    }

    /// Nitrite as sodium nitrite.
    pub fn nitrite_as_sodium_nitrite(&self) -> Concentration {
        self.counted_as(AmountBasis::SodiumNitrite)
    }

    /// Nitrite as the ion.
    pub fn nitrite_as_ion(&self) -> Concentration {
        self.counted_as(AmountBasis::NitriteIon)
    }

    /// Nitrate as sodium nitrate.
    pub fn nitrate_as_sodium_nitrate(&self) -> Concentration {
        self.counted_as(AmountBasis::SodiumNitrate)
    }

    /// Nitrate as the ion.
    pub fn nitrate_as_ion(&self) -> Concentration {
        self.counted_as(AmountBasis::NitrateIon)
    }

    /// mg/kg of nitrite by the weight of whichever salt was added. Rules written for "sodium or potassium
    /// nitrite" count this way.
    pub fn nitrite_by_weight(&self) -> f64 {
        self.nitrite.weight()
    }

    /// mg/kg of nitrate by the weight of whichever salt was added.
    pub fn nitrate_by_weight(&self) -> f64 {
        self.nitrate.weight()
    }

    /// Whether neither nitrite nor nitrate goes in.
    pub fn is_nothing(&self) -> bool {
        self.nitrite_by_weight() <= 0.0 && self.nitrate_by_weight() <= 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Cation;
    use approx::assert_relative_eq;

    const GREEN: WeightBasis = WeightBasis::GreenWeight;

    fn share(g_per_kg: f64) -> Fraction {
        Fraction::of_one(g_per_kg / 1000.0)
    }

    #[test]
    fn potassium_counts_less_of_the_ion() {
        // Molar masses: NO2/NaNO2 = 0.66679, NO2/KNO2 = 0.54058 (standard atomic masses).
        let label = CureLabel::new(Fraction::percent(10.0), Fraction::percent(0.0)).unwrap();
        let sodium = Ingoing::of_share(&label, share(1.0), GREEN);
        let potassium = Ingoing::of_share(&label.with_nitrite_of(Cation::Potassium), share(1.0), GREEN);
        assert_relative_eq!(sodium.nitrite_as_ion().mg_per_kg(), 66.679, epsilon = 0.001);
        assert_relative_eq!(potassium.nitrite_as_ion().mg_per_kg(), 54.058, epsilon = 0.001);
        assert_relative_eq!(potassium.nitrite_by_weight(), 100.0, epsilon = 1e-9);
    }

    #[test]
    fn two_methods_add_up_on_the_green_weight() {
        let label = CureLabel::new(Fraction::percent(6.25), Fraction::percent(4.0)).unwrap();
        let pumped = Ingoing::of_share(&label, share(1.0), GREEN);
        let covered = Ingoing::of_share(
            &label.with_nitrate_of(Cation::Potassium),
            share(0.5),
            WeightBasis::MeatAndPickle,
        );
        let both = pumped.plus(covered);
        assert_eq!(both.weight(), GREEN);
        assert_relative_eq!(both.nitrite_as_sodium_nitrite().mg_per_kg(), 93.75, epsilon = 1e-9);
        assert_relative_eq!(both.nitrate_by_weight(), 60.0, epsilon = 1e-9);
    }
}
