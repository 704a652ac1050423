//! A study's rule of salt, pH and days after stuffing: information inside what was tested, nothing outside it.

use super::table::{SaltPhRow, against, tables};
use crate::quantity::{Fraction, Hours, Ph, Temperature, compare};
use std::cmp::Ordering;

/// A sausage that fermented and dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ripened {
    /// The pH it fermented to.
    pub ph: Ph,
    /// Salt of the mix.
    pub salt: Fraction,
    /// Since it was stuffed.
    pub since_stuffing: Hours,
    /// The room it dries in.
    pub room: Option<Temperature>,
}

/// The room beside that of the study.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// As in the study.
    AsTested,
    /// Not said.
    Unknown,
    /// Another temperature: what the study found need not hold.
    Other,
}

/// Why the rule has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoAnswer {
    /// The pH lies outside what was tested.
    Ph,
    /// There is less salt than was tested.
    Salt,
}

/// What the rule says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaltPh {
    /// The band.
    pub row: &'static SaltPhRow,
    /// Whether so many days have passed.
    pub is_reached: bool,
    /// The room beside the study's.
    pub room: Room,
}

/// Holds a sausage against the rule.
///
/// # Errors
/// [`NoAnswer`] outside what was tested.
pub fn salt_ph(sausage: Ripened) -> Result<SaltPh, NoAnswer> {
    let (ph, salt) = (sausage.ph.value(), sausage.salt.as_percent());
    let for_ph: Vec<&'static SaltPhRow> = tables().salt_ph.iter().filter(|row| holds_ph(row, ph)).collect();
    if for_ph.is_empty() {
        return Err(NoAnswer::Ph);
    }
    let row = for_ph.into_iter().find(|row| holds_salt(row, salt)).ok_or(NoAnswer::Salt)?;
    let days = sausage.since_stuffing.value() / 24.0;
    let room = match sausage.room {
        None => Room::Unknown,
        Some(room) => {
            let tested = tables().salt_ph_room;
            let is_that = against(room, Some(tested.at_f), tested.at_c) == Ordering::Equal;
            if is_that { Room::AsTested } else { Room::Other }
        }
    };
    Ok(SaltPh { row, is_reached: compare::with_tolerance(days, row.days) != Ordering::Less, room })
}

fn holds_ph(row: &SaltPhRow, ph: f64) -> bool {
    let low = compare::with_tolerance(ph, row.ph_from);
    let high = compare::with_tolerance(ph, row.ph_to);
    (low == Ordering::Greater || (row.ph_from_inclusive && low == Ordering::Equal))
        && high != Ordering::Greater
}

fn holds_salt(row: &SaltPhRow, salt: f64) -> bool {
    compare::with_tolerance(salt, row.salt_from_percent) != Ordering::Less
        && row.salt_below_percent.is_none_or(|below| compare::with_tolerance(salt, below) == Ordering::Less)
}
