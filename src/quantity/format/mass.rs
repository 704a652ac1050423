//! Weights for reading, and doses on a scale's step.

use crate::quantity::format::number::{number, trimmed, without_noise};
use crate::quantity::format::step::floor_to_step;
use crate::quantity::{Mass, MassUnit};

/// Ounces in a pound, exact by definition.
const OUNCES_PER_POUND: u64 = 16;

/// A weight for reading, with decimals by size.
///
/// Grams: two decimals under 10 g, one under 100 g, none above. Kilograms: three decimals, a zero at the end left
/// off. Ounces: two decimals under 10 oz, else one. Pounds: whole pounds, and ounces to one decimal if any.
/// An echo of what a member typed is [`super::mass_exact`]'s work: this one rounds.
pub fn mass(mass: Mass, unit: MassUnit) -> String {
    let amount = without_noise(mass.in_unit(unit));
    match unit {
        MassUnit::Gram => format!("{} g", by_size(amount)),
        MassUnit::Kilogram => {
            let text = number(amount, 3);
            format!("{} kg", text.strip_suffix('0').unwrap_or(&text))
        }
        MassUnit::Ounce => ounces(amount),
        MassUnit::Pound => pounds_and_ounces(mass),
    }
}

/// The same, rounded down to what is printed: for a weight to dry to, which is not reached a gram early.
pub fn mass_rounded_down(weight: Mass, shown_in: MassUnit) -> String {
    let amount = without_noise(weight.in_unit(shown_in));
    let (step, unit) = match shown_in {
        MassUnit::Gram if amount.abs() < 10.0 => (0.01, MassUnit::Gram),
        MassUnit::Gram if amount.abs() < 100.0 => (0.1, MassUnit::Gram),
        MassUnit::Gram | MassUnit::Kilogram => (1.0, MassUnit::Gram),
        MassUnit::Ounce if amount.abs() < 10.0 => (0.01, MassUnit::Ounce),
        MassUnit::Pound if amount.abs() < 10.0 / OUNCES_PER_POUND as f64 => (0.01, MassUnit::Ounce),
        MassUnit::Ounce | MassUnit::Pound => (0.1, MassUnit::Ounce),
    };
    let (_, down) = floor_to_step(without_noise(weight.in_unit(unit)), step);
    mass(Mass::of(down, unit), shown_in)
}

fn by_size(grams: f64) -> String {
    let decimals = match grams.abs() {
        0.0 => 0,
        size if size < 10.0 => 2,
        size if size < 100.0 => 1,
        _ => 0,
    };
    number(grams, decimals)
}

fn ounces(amount: f64) -> String {
    let most_decimals = if amount.abs() < 10.0 { 2 } else { 1 };
    format!("{} oz", trimmed(amount, most_decimals))
}

fn pounds_and_ounces(mass: Mass) -> String {
    let amount = without_noise(mass.in_unit(MassUnit::Ounce));
    let size = amount.abs();
    // A size past this is no weight, and would not fit the counter below.
    if !(1.0..1e15).contains(&(size / OUNCES_PER_POUND as f64)) {
        return ounces(amount);
    }
    // Rounded first, so that 15.96 oz carries into the pounds.
    let tenths: u64 = number(size * 10.0, 0).parse().unwrap_or(u64::MAX);
    let pounds = tenths / (OUNCES_PER_POUND * 10);
    let rest = tenths % (OUNCES_PER_POUND * 10);
    let sign = if amount < 0.0 { "-" } else { "" };
    match (rest / 10, rest % 10) {
        (0, 0) => format!("{sign}{pounds} lb"),
        (ounces, 0) => format!("{sign}{pounds} lb {ounces} oz"),
        (ounces, tenth) => format!("{sign}{pounds} lb {ounces}.{tenth} oz"),
    }
}

/// A dose in grams as a scale of this step shows it: `2.5 g` on a step of 0.1 g, `2.50 g` on 0.01 g.
///
/// Rounded down to the step, so that what is printed is never more than the dose. A step that is not above zero
/// prints as "not a number".
pub fn dose_mass(dose: Mass, step: Mass) -> String {
    dose_mass_in(dose, step, MassUnit::Gram)
}

/// The same on a scale that shows another unit; the step's decimals are counted in that unit.
pub fn dose_mass_in(dose: Mass, step: Mass, unit: MassUnit) -> String {
    let step = without_noise(step.in_unit(unit));
    let decimals = format!("{step}").split_once('.').map_or(0, |(_, digits)| digits.len());
    let (_, amount) = floor_to_step(dose.in_unit(unit), step);
    format!("{} {}", number(amount, decimals), unit.symbol())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_follow_the_size() {
        for (grams, shown) in [
            (0.0, "0 g"),
            (2.5, "2.50 g"),
            (9.996, "10.00 g"),
            (45.25, "45.3 g"),
            (812.4, "812 g"),
            (12_345.0, "12345 g"),
            (-2.5, "-2.50 g"),
        ] {
            assert_eq!(mass(Mass::grams(grams), MassUnit::Gram), shown);
        }
        for (grams, shown) in
            [(1250.0, "1.25 kg"), (1234.0, "1.234 kg"), (1000.0, "1.00 kg"), (50.4, "0.05 kg")]
        {
            assert_eq!(mass(Mass::grams(grams), MassUnit::Kilogram), shown);
        }
    }

    #[test]
    fn a_weight_to_dry_to_is_rounded_down() {
        let down = |grams, unit| mass_rounded_down(Mass::grams(grams), unit);
        for (grams, shown) in [
            (638.6, "638 g"),
            (533.44, "533 g"),
            (650.0, "650 g"),
            (1000.0 * (1.0 - 0.38), "620 g"),
            (99.97, "99.9 g"),
            (9.999, "9.99 g"),
        ] {
            assert_eq!(down(grams, MassUnit::Gram), shown, "{grams}");
        }
        assert_eq!(down(1234.9, MassUnit::Kilogram), "1.234 kg");
        // 35.25 oz print as 2 lb 3.3 oz to the nearest tenth.
        assert_eq!(mass_rounded_down(Mass::of(35.25, MassUnit::Ounce), MassUnit::Pound), "2 lb 3.2 oz");
        assert_eq!(mass_rounded_down(Mass::of(35.0, MassUnit::Ounce), MassUnit::Pound), "2 lb 3 oz");
        assert_eq!(mass_rounded_down(Mass::of(9.999, MassUnit::Ounce), MassUnit::Ounce), "9.99 oz");
        assert_eq!(mass_rounded_down(Mass::of(12.39, MassUnit::Ounce), MassUnit::Ounce), "12.3 oz");
        assert_eq!(mass_rounded_down(Mass::grams(f64::NAN), MassUnit::Gram), "not a number g");
    }

    #[test]
    fn pounds_carry() {
        for (ounces, shown) in [
            (35.0, "2 lb 3 oz"),
            (35.5, "2 lb 3.5 oz"),
            (35.25, "2 lb 3.3 oz"),
            (31.96, "2 lb"),
            (32.0, "2 lb"),
            (3.0, "3 oz"),
            (0.25, "0.25 oz"),
            (15.96, "16 oz"),
            (-35.0, "-2 lb 3 oz"),
        ] {
            assert_eq!(mass(Mass::of(ounces, MassUnit::Ounce), MassUnit::Pound), shown);
        }
        assert_eq!(mass(Mass::of(12.345, MassUnit::Ounce), MassUnit::Ounce), "12.3 oz");
        assert_eq!(mass(Mass::grams(f64::NAN), MassUnit::Pound), "not a number oz");
    }

    #[test]
    fn a_dose_shows_what_the_scale_shows() {
        let dose = |grams, step| dose_mass(Mass::grams(grams), Mass::grams(step));
        assert_eq!(dose(2.5, 0.1), "2.5 g");
        assert_eq!(dose(2.5, 0.01), "2.50 g");
        assert_eq!(dose(2.59, 0.1), "2.5 g");
        assert_eq!(dose(2.599_999, 0.05), "2.55 g");
        assert_eq!(dose(2.5, 1.0), "2 g");
        assert_eq!(dose(14.0, 5.0), "10 g");
        assert_eq!(dose(0.1 + 0.2, 0.1), "0.3 g");
        assert_eq!(dose(2.5, 0.0), "not a number g");
        let tenth_ounce = Mass::of(0.1, MassUnit::Ounce);
        let dose = Mass::of(0.3, MassUnit::Ounce);
        assert_eq!(dose_mass_in(dose, tenth_ounce, MassUnit::Ounce), "0.3 oz");
    }
}
