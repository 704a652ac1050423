//! The tables, as their file holds them.

use crate::curing::Standing;
use crate::quantity::{Temperature, TemperatureScale, compare};
use serde::Deserialize;
use std::cmp::Ordering;
use std::sync::LazyLock;

const TEXT: &str = include_str!("tables.toml");

/// Every table.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tables {
    /// Which words name which host.
    pub hosts: Hosts,
    /// The texts the rows stand in.
    pub source: Vec<Source>,
    /// Freezing.
    pub freezing: Vec<Freezing>,
    /// Heating.
    pub heat: Vec<Heat>,
    /// Curing methods of dry sausage, and of whole muscle.
    pub method: Vec<Method>,
    /// Curing method 6: drying by diameter.
    pub by_diameter: Vec<ByDiameter>,
    /// Curing method 6: less drying after a hold.
    pub by_hold: Vec<ByHold>,
    /// Curing method 6: more drying with less salt.
    pub by_salt: Vec<BySalt>,
    /// The cure of hams before that drying.
    pub ham_cure: HamCure,
    /// Drying of hams after the cure.
    pub ham: Vec<Ham>,
    /// A study's rule of salt, pH and days.
    pub salt_ph: Vec<SaltPhRow>,
    /// The room of that study.
    pub salt_ph_room: SaltPhRoom,
}

/// The room a study's sausages dried in.
#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltPhRoom {
    /// As printed in °F.
    pub at_f: f64,
    /// As printed in °C.
    pub at_c: f64,
}

/// Words that name hosts.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hosts {
    /// Game, horse, pigs of unknown keeping.
    pub barred: Vec<String>,
    /// Meat the tables do not speak of.
    pub other: Vec<String>,
    /// Domestic pork.
    pub pork: Vec<String>,
    /// The same by how German words begin, which are written as one: "Wildschweinkeule".
    pub german: Beginnings,
}

/// Beginnings of German words that name hosts.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beginnings {
    /// As [`Hosts::barred`].
    pub barred: Vec<String>,
    /// As [`Hosts::other`].
    pub other: Vec<String>,
    /// As [`Hosts::pork`].
    pub pork: Vec<String>,
}

/// A text that rows stand in.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Its name in the rows.
    pub id: String,
    /// Whose it is; empty where it is nobody's rule.
    pub country: String,
    /// Its short name.
    pub name: String,
    /// Where in it, and where it can be read.
    #[serde(rename = "where")]
    pub place: String,
    /// How well its figures are known.
    pub standing: Standing,
    /// When somebody last looked.
    pub checked_on: String,
}

/// Where a temperature of freezing is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measured {
    /// In the freezer.
    Room,
    /// In the middle of the meat.
    Core,
}

/// So cold for so long.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Freezing {
    /// Its source's id.
    pub source: String,
    /// Where the temperature is taken.
    pub measured: Measured,
    /// The temperature as printed in °F.
    pub at_f: Option<f64>,
    /// The temperature as printed in °C.
    pub at_c: f64,
    /// For so many hours.
    pub hours: f64,
    /// As the table prints it.
    pub printed: String,
    /// For pieces thicker than this, in inches.
    pub over_in: Option<f64>,
    /// For pieces up to this, in inches.
    pub up_to_in: Option<f64>,
    /// For pieces thicker than this, in centimetres.
    pub over_cm: Option<f64>,
    /// For pieces up to this, in centimetres.
    pub up_to_cm: Option<f64>,
}

/// So hot at the centre for so long.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heat {
    /// Its source's id.
    pub source: String,
    /// The temperature as printed in °F.
    pub at_f: f64,
    /// The temperature as printed in °C.
    pub at_c: f64,
    /// For so many minutes; 0: at once.
    pub minutes: f64,
}

/// A curing method for one band of diameters.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Method {
    /// The name it is asked by.
    pub name: String,
    /// Its source's id.
    pub source: String,
    /// Cut or ground no coarser than this, in inches.
    pub particle_up_to_in: Option<f64>,
    /// At least so much salt, in percent of its basis.
    pub salt_percent: f64,
    /// What the salt is counted on.
    pub salt_basis: super::SaltBasis,
    /// For sausage thicker than this when stuffed, in inches.
    pub diameter_over_in: Option<f64>,
    /// For sausage up to this when stuffed, in inches.
    pub diameter_up_to_in: Option<f64>,
    /// Smoked for at least so many hours.
    pub smoke_hours: Option<f64>,
    /// At this or warmer, in °F.
    pub smoke_at_f: Option<f64>,
    /// Dried for at least so many days.
    pub drying_days: Option<f64>,
    /// At this or warmer, in °F.
    pub drying_at_f: Option<f64>,
    /// So many days from the cure's mixing in to the end.
    pub total_days: f64,
    /// What else it asks for, in words.
    pub note: Option<String>,
}

impl Method {
    /// Its method's name and which of that name it is in the table, from 1: `3.2`.
    pub fn id(&self) -> String {
        let of_name = tables().method.iter().filter(|row| row.name == self.name);
        let before = of_name.take_while(|row| !std::ptr::eq(*row, self)).count();
        format!("{}.{}", self.name, before + 1)
    }
}

/// Days of drying by diameter.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByDiameter {
    /// Up to this diameter, in inches.
    pub up_to_in: f64,
    /// So many days.
    pub days: f64,
}

/// Percent less drying after a hold.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByHold {
    /// Held for at least so many hours.
    pub hours: f64,
    /// Percent less at each of [`ByHold::AT_F`].
    pub less_percent: [f64; 10],
}

impl ByHold {
    /// The temperatures of the columns, in °F.
    pub const AT_F: [f64; 10] = [70.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0, 105.0, 110.0, 120.0];
}

/// Percent more drying with less salt.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BySalt {
    /// The salt, in percent, rounded down to a tenth.
    pub salt_percent: f64,
    /// So much longer.
    pub more_percent: f64,
}

/// The cure of a ham before its drying.
#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HamCure {
    /// At least so much salt, in percent of the meat.
    pub salt_percent: f64,
    /// At least so many days.
    pub days: f64,
}

/// Days of drying a ham after its cure.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ham {
    /// At this or warmer, in °F.
    pub at_f: f64,
    /// So many days.
    pub days: f64,
}

/// A band of the study's rule.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltPhRow {
    /// From this pH.
    pub ph_from: f64,
    /// Whether that pH itself belongs to it.
    pub ph_from_inclusive: bool,
    /// To this pH.
    pub ph_to: f64,
    /// From so much salt, in percent of the mix.
    pub salt_from_percent: f64,
    /// Below so much salt.
    pub salt_below_percent: Option<f64>,
    /// So many days after stuffing.
    pub days: f64,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

/// Every table. (A file that does not parse would be empty; a unit test reads it and names the mistake.)
pub fn tables() -> &'static Tables {
    &TABLES
}

impl Tables {
    /// The text a row stands in.
    pub fn source_of(&self, id: &str) -> Option<&Source> {
        self.source.iter().find(|source| source.id == id)
    }
}

/// Compares a reading with a printed temperature, in the scale it was read in where the table prints that one.
pub(super) fn against(read: Temperature, at_f: Option<f64>, at_c: f64) -> Ordering {
    match (read.scale(), at_f) {
        (TemperatureScale::Fahrenheit, Some(at_f)) => compare::with_tolerance(read.as_fahrenheit(), at_f),
        _ => compare::with_tolerance(read.as_celsius(), at_c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_whole() {
        let tables: Tables = toml::from_str(TEXT).unwrap();
        let named: Vec<&str> = tables.source.iter().map(|source| source.id.as_str()).collect();
        let used = tables.freezing.iter().map(|row| &row.source);
        let used = used.chain(tables.heat.iter().map(|row| &row.source));
        for source in used.chain(tables.method.iter().map(|row| &row.source)) {
            assert!(named.contains(&source.as_str()), "{source}");
        }
        for source in &tables.source {
            assert_eq!(
                source.standing == Standing::FromMemory,
                source.checked_on == "never",
                "{}",
                source.id
            );
            assert!(!source.name.is_empty() && !source.place.is_empty(), "{}", source.id);
        }
        for row in &tables.freezing {
            assert!(row.hours > 0.0 && row.at_c < 0.0, "{row:?}");
            assert_eq!(row.measured == Measured::Room, row.up_to_in.or(row.up_to_cm).is_some(), "{row:?}");
        }
    }

    /// 5 °F, 0 °F, … beside °C rounded to a tenth: the two columns are the same temperatures.
    #[test]
    fn both_columns_agree_to_the_rounding() {
        let freezing = tables().freezing.iter().filter_map(|row| Some((row.at_f?, row.at_c)));
        for (at_f, at_c) in freezing.chain(tables().heat.iter().map(|row| (row.at_f, row.at_c))) {
            assert!((Temperature::fahrenheit(at_f).as_celsius() - at_c).abs() < 0.12, "{at_f} °F, {at_c} °C");
        }
    }
}
