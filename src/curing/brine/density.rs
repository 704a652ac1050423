//! Density of brine by strength and temperature, read between the nodes of a published table. No safety rests on it.

use super::BrineError;
use crate::quantity::{Fraction, Temperature, compare};
use serde::Deserialize;
use std::sync::LazyLock;

/// Grams of sodium chloride in a mole (standard atomic masses, from memory).
const GRAMS_PER_MOL: f64 = 58.443;

/// The table's short name, as a reply prints it.
pub const DENSITY_SOURCE: &str = "Rogers and Pitzer, 1982";

/// The strongest brine of the table: 5 mol to a kilogram of water.
pub const STRONGEST_OF_TABLE: Fraction =
    Fraction::of_one(5.0 * GRAMS_PER_MOL / (1000.0 + 5.0 * GRAMS_PER_MOL));

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    celsius: Vec<f64>,
    row: Vec<Row>,
    // Who measured it stands in the file for whoever reads that; a unit test sees to it.
    #[cfg_attr(not(test), expect(dead_code, reason = "read by the test that asks for a citation"))]
    source: String,
    #[cfg_attr(not(test), expect(dead_code, reason = "read by the test that asks for a citation"))]
    r#where: String,
    #[cfg_attr(not(test), expect(dead_code, reason = "read by the test that asks for a citation"))]
    standing: crate::curing::rule::Standing,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    mol_per_kg: f64,
    cm3_per_g: Vec<f64>,
}

/// A file that does not parse leaves an empty table, which has no density at all; a unit test names the mistake.
static TABLE: LazyLock<Option<Table>> = LazyLock::new(|| toml::from_str(FILE).ok());
const FILE: &str = include_str!("density.toml");

/// Kilograms in a litre of brine of this strength (salt as a part of the brine) at this temperature. Water is strength
/// nothing.
///
/// Errors: outside 0 to 40 °C, or stronger than the table goes.
pub fn kilograms_per_litre(strength: Fraction, temperature: Temperature) -> Result<f64, BrineError> {
    let celsius = temperature.as_celsius();
    let part = strength.as_one();
    if !(0.0..1.0).contains(&part) {
        return Err(BrineError::Strength { percent: strength.as_percent() });
    }
    let table = TABLE.as_ref().ok_or(BrineError::BeyondDensities)?;
    let (before, after, along) =
        between(&table.celsius, celsius).ok_or(BrineError::Temperature { celsius })?;
    let molality = 1000.0 * part / (1.0 - part) / GRAMS_PER_MOL;
    let molalities: Vec<f64> = table.row.iter().map(|row| row.mol_per_kg).collect();
    let (weaker, stronger, up) = between(&molalities, molality).ok_or(BrineError::BeyondDensities)?;
    let of_row = |row: usize| {
        let volumes = &table.row[row].cm3_per_g;
        mixed(1.0 / volumes[before], 1.0 / volumes[after], along)
    };
    Ok(mixed(of_row(weaker), of_row(stronger), up))
}

fn mixed(low: f64, high: f64, part: f64) -> f64 {
    low + (high - low) * part
}

/// The nodes on both sides of a value and how far it is from the lower to the upper; `None` outside of all.
fn between(nodes: &[f64], value: f64) -> Option<(usize, usize, f64)> {
    let (first, last) = (*nodes.first()?, *nodes.last()?);
    let is_inside =
        compare::with_tolerance(value, first).is_ge() && compare::with_tolerance(value, last).is_le();
    if !(value.is_finite() && is_inside) {
        return None;
    }
    let after = nodes.iter().position(|node| *node >= value).unwrap_or(nodes.len() - 1).max(1);
    let (low, high) = (nodes[after - 1], nodes[after]);
    Some((after - 1, after, (value - low) / (high - low)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole_and_cited() {
        let table: Table = toml::from_str(FILE).unwrap_or_else(|mistake| panic!("{mistake}"));
        assert!(!table.source.is_empty() && !table.r#where.is_empty() && table.standing.may_vouch());
        assert!(table.celsius.is_sorted());
        for row in &table.row {
            assert_eq!(row.cm3_per_g.len(), table.celsius.len(), "{} mol/kg", row.mol_per_kg);
        }
        for pair in table.row.windows(2) {
            assert!(pair[0].mol_per_kg < pair[1].mol_per_kg);
            let lighter =
                pair[0].cm3_per_g.iter().zip(&pair[1].cm3_per_g).all(|(weak, strong)| weak > strong);
            assert!(lighter, "stronger brine takes less room, at {} mol/kg", pair[1].mol_per_kg);
        }
    }

    #[test]
    fn nodes_are_met_and_outside_is_refused() {
        let at =
            |percent, celsius| kilograms_per_litre(Fraction::percent(percent), Temperature::celsius(celsius));
        assert!((at(0.0, 0.0).unwrap() - 1.0 / 1.000_157).abs() < 1e-9);
        let strongest = kilograms_per_litre(STRONGEST_OF_TABLE, Temperature::celsius(40.0)).unwrap();
        assert!((strongest - 1.0 / 0.863_108).abs() < 1e-9);
        assert_eq!(at(22.7, 20.0), Err(BrineError::BeyondDensities));
        assert_eq!(at(10.0, -0.1), Err(BrineError::Temperature { celsius: -0.1 }));
        assert_eq!(at(10.0, 40.1), Err(BrineError::Temperature { celsius: 40.1 }));
        assert!(at(f64::NAN, 20.0).is_err() && at(10.0, f64::NAN).is_err() && at(100.0, 20.0).is_err());
    }
}
