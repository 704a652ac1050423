//! Freezing: by the room's warmest reading and days, or by the middle's warmest reading and hours.

use super::table::{Freezing, Measured, against, tables};
use super::{Source, Verdict};
use crate::quantity::{Hours, Length, LengthUnit, Temperature, compare};
use std::cmp::Ordering;

/// Whose tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Region {
    /// The tables of the United States, which others quote.
    Us,
    /// The tables of the European Union.
    Eu,
}

impl Region {
    const fn prefix(self) -> &'static str {
        match self {
            Self::Us => "us.",
            Self::Eu => "eu.",
        }
    }
}

/// What the tables of one region say of a freezing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frozen {
    /// Whether a row is met.
    pub verdict: Verdict,
    /// The row that asks for the least time at this temperature; `None`: no row is so warm, or so thick.
    pub row: Option<&'static Freezing>,
    /// The warmest row for this thickness; `None`: no row is for it.
    pub warmest: Option<&'static Freezing>,
    /// The text.
    pub source: Option<&'static Source>,
}

/// Holds a freezing against the tables of a region. `thickness` counts only where the room is measured.
pub fn freezing(
    region: Region,
    measured: Measured,
    thickness: Option<Length>,
    warmest: Temperature,
    time: Hours,
) -> Frozen {
    let of_this = |row: &&Freezing| {
        row.source.starts_with(region.prefix()) && row.measured == measured && is_for(row, thickness)
    };
    let mut rows: Vec<&'static Freezing> = tables().freezing.iter().filter(of_this).collect();
    rows.sort_by(|one, other| other.at_c.total_cmp(&one.at_c));
    let cold_enough = |row: &&&Freezing| against(warmest, row.at_f, row.at_c) != Ordering::Greater;
    let row = rows.iter().rev().find(cold_enough).copied();
    let source = rows.first().and_then(|row| tables().source_of(&row.source));
    let verdict = match (row, source) {
        (Some(row), Some(source)) if compare::with_tolerance(time.value(), row.hours) != Ordering::Less => {
            Verdict::met(source.standing)
        }
        _ => Verdict::NotMet,
    };
    Frozen { verdict, row, warmest: rows.first().copied(), source }
}

fn is_for(row: &Freezing, thickness: Option<Length>) -> bool {
    let Some(thickness) = thickness else { return row.measured == Measured::Core };
    let inside = |unit: LengthUnit, over: Option<f64>, up_to: Option<f64>| {
        let value = thickness.in_unit(unit);
        let (Some(over), Some(up_to)) = (over, up_to) else { return false };
        compare::with_tolerance(value, over) == Ordering::Greater
            && compare::with_tolerance(value, up_to) != Ordering::Greater
    };
    row.measured == Measured::Core
        || inside(LengthUnit::Inch, row.over_in, row.up_to_in)
        || inside(LengthUnit::Centimetre, row.over_cm, row.up_to_cm)
}
