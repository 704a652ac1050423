//! The tables, and of each organism the limits that let it grow most.

use crate::curing::Standing;
use crate::quantity::{Temperature, TemperatureScale};
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("limits.toml");

/// An organism of concern in raw-dried meat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Organism {
    /// Salmonella species.
    Salmonella,
    /// Listeria monocytogenes.
    Listeria,
    /// Escherichia coli that makes people ill.
    Coli,
    /// Staphylococcus aureus, growing.
    Staphylococcus,
    /// Staphylococcus aureus, making its toxin.
    StaphylococcusToxin,
    /// Clostridium botulinum of the proteolytic types A, B and F.
    BotulinumProteolytic,
    /// Clostridium botulinum of type E and the nonproteolytic B and F.
    BotulinumNonproteolytic,
    /// Clostridium perfringens.
    Perfringens,
    /// Yersinia enterocolitica.
    Yersinia,
}

impl Organism {
    /// Every organism.
    pub const ALL: [Self; 9] = [
        Self::Salmonella,
        Self::Listeria,
        Self::Coli,
        Self::Staphylococcus,
        Self::StaphylococcusToxin,
        Self::BotulinumProteolytic,
        Self::BotulinumNonproteolytic,
        Self::Perfringens,
        Self::Yersinia,
    ];

    /// Its name as printed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Salmonella => "Salmonella",
            Self::Listeria => "Listeria monocytogenes",
            Self::Coli => "E. coli",
            Self::Staphylococcus => "Staph. aureus",
            Self::StaphylococcusToxin => "Staph. aureus toxin",
            Self::BotulinumProteolytic => "Cl. botulinum A, B",
            Self::BotulinumNonproteolytic => "Cl. botulinum E",
            Self::Perfringens => "Cl. perfringens",
            Self::Yersinia => "Yersinia",
        }
    }

    /// The one word it is typed by.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Salmonella => "salmonella",
            Self::Listeria => "listeria",
            Self::Coli => "e-coli",
            Self::Staphylococcus => "staphylococcus",
            Self::StaphylococcusToxin => "staphylococcus-toxin",
            Self::BotulinumProteolytic => "botulinum",
            Self::BotulinumNonproteolytic => "botulinum-e",
            Self::Perfringens => "perfringens",
            Self::Yersinia => "yersinia",
        }
    }
}

/// One row of a table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Of which organism.
    pub organism: Organism,
    /// The lowest water activity at which it grew.
    pub activity_min: Option<f64>,
    /// The lowest pH at which it grew.
    pub ph_min: Option<f64>,
    /// The highest pH at which it grew.
    pub ph_max: Option<f64>,
    /// The lowest temperature at which it grew, in `temperature_unit`.
    pub temperature_min: Option<f64>,
    /// The highest temperature at which it grew, in `temperature_unit`.
    pub temperature_max: Option<f64>,
    /// The scale the table prints.
    pub temperature_unit: TemperatureScale,
    /// The highest salt in the water phase at which it grew, in percent.
    pub salt_in_water_max_percent: Option<f64>,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well the row is known.
    pub standing: Standing,
    /// When somebody last looked.
    pub checked_on: String,
    /// As the table prints it, where it prints more than one figure; the one that lets more grow was taken.
    pub printed: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    row: Vec<Row>,
}

static ROWS: LazyLock<Vec<Row>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.row));

/// Every row of every table.
pub fn rows() -> &'static [Row] {
    &ROWS
}

/// A limit of growth and the row that prints it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The figure; a temperature in the row's scale.
    pub value: f64,
    /// Where it stands.
    pub row: &'static Row,
}

impl Bound {
    /// The figure as a temperature.
    pub const fn temperature(self) -> Temperature {
        Temperature::new(self.value, self.row.temperature_unit)
    }
}

/// The limits of one organism: of every table's figure the one that lets more grow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Below this water activity it did not grow.
    pub activity_min: Option<Bound>,
    /// Below this pH it did not grow.
    pub ph_min: Option<Bound>,
    /// Above this pH it did not grow.
    pub ph_max: Option<Bound>,
    /// Below this temperature it did not grow.
    pub temperature_min: Option<Bound>,
    /// Above this temperature it did not grow.
    pub temperature_max: Option<Bound>,
    /// With more salt in the water phase it did not grow, in percent.
    pub salt_in_water_max_percent: Option<Bound>,
}

impl Limits {
    /// Of an organism.
    pub fn of(organism: Organism) -> Self {
        let lowest = |figure: fn(&Row) -> Option<f64>| first(organism, figure, f64::total_cmp);
        let highest =
            |figure: fn(&Row) -> Option<f64>| first(organism, figure, |one, other| other.total_cmp(one));
        Self {
            activity_min: lowest(|row| row.activity_min),
            ph_min: lowest(|row| row.ph_min),
            ph_max: highest(|row| row.ph_max),
            temperature_min: coldest(organism),
            temperature_max: warmest(organism),
            salt_in_water_max_percent: highest(|row| row.salt_in_water_max_percent),
        }
    }
}

fn bounds(organism: Organism, figure: fn(&Row) -> Option<f64>) -> impl Iterator<Item = Bound> {
    let of = rows().iter().filter(move |row| row.organism == organism);
    of.filter_map(move |row| Some(Bound { value: figure(row)?, row }))
}

fn first(
    organism: Organism,
    figure: fn(&Row) -> Option<f64>,
    order: impl Fn(&f64, &f64) -> std::cmp::Ordering,
) -> Option<Bound> {
    bounds(organism, figure).min_by(|one, other| order(&one.value, &other.value))
}

fn coldest(organism: Organism) -> Option<Bound> {
    let found = bounds(organism, |row| row.temperature_min);
    found.min_by(|one, other| one.temperature().as_celsius().total_cmp(&other.temperature().as_celsius()))
}

fn warmest(organism: Organism) -> Option<Bound> {
    let found = bounds(organism, |row| row.temperature_max);
    found.max_by(|one, other| one.temperature().as_celsius().total_cmp(&other.temperature().as_celsius()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.row.len(), 18);
        for row in &file.row {
            let place = format!("{:?} in {}", row.organism, row.source);
            assert!(!row.source.is_empty() && !row.place.is_empty(), "{place}");
            assert_eq!(row.standing == Standing::FromMemory, row.checked_on == "never", "{place}");
            for (low, high) in [(row.ph_min, row.ph_max), (row.temperature_min, row.temperature_max)] {
                assert!(low.zip(high).is_none_or(|(low, high)| low < high), "{place}");
            }
            assert!(row.activity_min.is_none_or(|activity| (0.6..1.0).contains(&activity)), "{place}");
        }
    }

    #[test]
    fn every_organism_has_every_limit() {
        for organism in Organism::ALL {
            let limits = Limits::of(organism);
            let all = [
                limits.activity_min,
                limits.ph_min,
                limits.ph_max,
                limits.temperature_min,
                limits.temperature_max,
            ];
            assert!(all.iter().all(Option::is_some), "{organism:?}");
        }
    }

    #[test]
    fn of_two_tables_the_one_that_lets_more_grow_counts() {
        let limits = Limits::of(Organism::Listeria);
        assert_eq!(limits.ph_min.unwrap().value.to_bits(), 4.39_f64.to_bits());
        // 31.3 °F is −0.39 °C, so the −0.4 °C of the other table is the lower one; 113.0 °F is 45 °C in both.
        assert_eq!(limits.temperature_min.unwrap().temperature(), Temperature::celsius(-0.4));
        let limits = Limits::of(Organism::Salmonella);
        assert_eq!(limits.ph_min.unwrap().value.to_bits(), 3.7_f64.to_bits());
        assert_eq!(limits.temperature_max.unwrap().temperature(), Temperature::fahrenheit(115.2));
    }
}
