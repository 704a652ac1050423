//! The curing methods of dry sausage, and of boneless whole muscle: salt, fineness, diameter, smoke, drying, days.

use super::table::{ByDiameter, ByHold, Method, tables};
use super::{Source, Verdict};
use crate::quantity::{Fraction, Hours, Length, Temperature, compare};
use serde::Deserialize;
use std::cmp::Ordering;

/// What a percentage of salt is counted on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SaltBasis {
    /// The meat alone.
    Meat,
    /// Everything that is stuffed.
    Batter,
    /// Everything that is stuffed but the dry ingredients.
    BatterMinusDry,
}

/// A smoking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Smoke {
    /// How long.
    pub time: Hours,
    /// Its lowest temperature.
    pub at: Temperature,
}

/// How a sausage or a piece was made and dried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dried {
    /// Salt, the cure's own counted in.
    pub salt: Fraction,
    /// What that is counted on; `None`: on what the method counts it.
    pub basis: Option<SaltBasis>,
    /// The other dry ingredients, as a part of the meat; needed to turn salt of the meat into salt of the mix.
    pub other_dry: Option<Fraction>,
    /// As stuffed.
    pub diameter: Option<Length>,
    /// The coarsest cut.
    pub particle: Option<Length>,
    /// The drying.
    pub drying: Hours,
    /// The lowest temperature of the drying room.
    pub at: Temperature,
    /// From the mixing in of the cure to now.
    pub total: Hours,
    /// The smoking, if any.
    pub smoke: Option<Smoke>,
}

/// Why a drying cannot be held against a method.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DryingError {
    /// No such method.
    UnknownMethod,
    /// The method goes by diameter, and none is given.
    DiameterNeeded,
    /// The method asks for smoke, and none is given.
    SmokeNeeded,
    /// Salt of the meat is given, the method counts it on the mix, and the other dry ingredients are not given.
    OtherDryNeeded,
    /// Salt of the mix without its dry ingredients is given, and the method counts it on the whole mix.
    BasisTooNarrow,
}

/// One thing a method asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Requirement {
    /// Salt in percent of the method's basis: asked for, given.
    Salt(f64, f64),
    /// Particles in inches: asked for, given.
    Particle(f64, f64),
    /// Thicker than any row, in inches: the thickest, given.
    Diameter(f64, f64),
    /// Hours of smoke.
    SmokeHours(f64, f64),
    /// Degrees Fahrenheit of smoke.
    SmokeTemperature(f64, f64),
    /// Days of drying.
    DryingDays(f64, f64),
    /// Degrees Fahrenheit of drying.
    DryingTemperature(f64, f64),
    /// Days in all.
    TotalDays(f64, f64),
}

/// What a method says.
#[derive(Debug, Clone, PartialEq)]
pub struct DryingVerdict {
    /// Whether everything that is known of it is met.
    pub verdict: Verdict,
    /// What is not met.
    pub unmet: Vec<Requirement>,
    /// The row for this diameter.
    pub row: &'static Method,
    /// The text.
    pub source: &'static Source,
    /// The salt as the method counts it, in percent.
    pub salt_percent: f64,
}

/// The names of the methods, each once.
pub fn methods() -> Vec<&'static str> {
    let mut names: Vec<&'static str> = tables().method.iter().map(|row| row.name.as_str()).collect();
    names.dedup();
    names
}

/// Holds a drying against a method.
///
/// # Errors
/// [`DryingError`] where a fact is missing.
pub fn drying(method: &str, dried: &Dried) -> Result<DryingVerdict, DryingError> {
    let rows: Vec<&'static Method> = tables().method.iter().filter(|row| row.name == method).collect();
    let row = row_for(&rows, dried.diameter)?;
    let source = tables().source_of(&row.source).ok_or(DryingError::UnknownMethod)?;
    let salt_percent = salt_on(row.salt_basis, dried)?.as_percent();
    let unmet = unmet(row, dried, salt_percent)?;
    let verdict = if unmet.is_empty() { Verdict::met(source.standing) } else { Verdict::NotMet };
    Ok(DryingVerdict { verdict, unmet, row, source, salt_percent })
}

/// The band of the diameter; of a piece thicker than all of them the thickest band, which it then does not meet.
fn row_for(rows: &[&'static Method], diameter: Option<Length>) -> Result<&'static Method, DryingError> {
    let thickest = *rows
        .iter()
        .max_by(|one, other| {
            let up_to = |row: &Method| row.diameter_up_to_in.unwrap_or(f64::INFINITY);
            up_to(one).total_cmp(&up_to(other))
        })
        .ok_or(DryingError::UnknownMethod)?;
    if thickest.diameter_up_to_in.is_none() {
        return Ok(thickest);
    }
    let inches = diameter.ok_or(DryingError::DiameterNeeded)?.as_inches();
    let holds = |row: &&&'static Method| {
        let over = row.diameter_over_in.unwrap_or(0.0);
        row.diameter_up_to_in.is_some_and(|up_to| is_at_most(inches, up_to)) && !is_at_most(inches, over)
    };
    Ok(rows.iter().find(holds).copied().unwrap_or(thickest))
}

fn unmet(row: &Method, dried: &Dried, salt_percent: f64) -> Result<Vec<Requirement>, DryingError> {
    let mut unmet = Vec::new();
    let mut at_least = |asked: Option<f64>, given: f64, what: fn(f64, f64) -> Requirement| {
        unmet.extend(asked.filter(|asked| !is_at_least(given, *asked)).map(|asked| what(asked, given)));
    };
    at_least(Some(row.salt_percent), salt_percent, Requirement::Salt);
    if let Some(hours) = row.smoke_hours {
        let smoke = dried.smoke.ok_or(DryingError::SmokeNeeded)?;
        at_least(Some(hours), smoke.time.value(), Requirement::SmokeHours);
        at_least(row.smoke_at_f, smoke.at.as_fahrenheit(), Requirement::SmokeTemperature);
    }
    at_least(row.drying_days, days(dried.drying), Requirement::DryingDays);
    at_least(row.drying_at_f, dried.at.as_fahrenheit(), Requirement::DryingTemperature);
    at_least(Some(row.total_days), days(dried.total), Requirement::TotalDays);
    let inches = |length: Length| length.as_inches();
    let mut at_most = |asked: Option<f64>, given: Option<f64>, what: fn(f64, f64) -> Requirement| {
        let over = asked.zip(given).filter(|(asked, given)| !is_at_most(*given, *asked));
        unmet.extend(over.map(|(asked, given)| what(asked, given)));
    };
    at_most(row.particle_up_to_in, dried.particle.map(inches), Requirement::Particle);
    at_most(row.diameter_up_to_in, dried.diameter.map(inches), Requirement::Diameter);
    Ok(unmet)
}

/// Salt on the basis a method counts it on. Where a basis cannot be turned exactly, the lower figure is taken.
fn salt_on(wanted: SaltBasis, dried: &Dried) -> Result<Fraction, DryingError> {
    match (dried.basis.unwrap_or(wanted), wanted) {
        (SaltBasis::Meat, SaltBasis::Batter | SaltBasis::BatterMinusDry) => {
            let other = dried.other_dry.ok_or(DryingError::OtherDryNeeded)?.as_one();
            let salt = dried.salt.as_one();
            Ok(Fraction::of_one(salt / (1.0 + salt + other)))
        }
        (SaltBasis::BatterMinusDry, SaltBasis::Batter) => Err(DryingError::BasisTooNarrow),
        // The same, or a wider whole, on which the same salt is a smaller part.
        _ => Ok(dried.salt),
    }
}

/// What the tables say of a ham: salt and days of its cure, then days of drying by the warmth that was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct HamVerdict {
    /// Whether all of it is met; the figures are held from memory.
    pub verdict: Verdict,
    /// What is not met.
    pub unmet: Vec<Requirement>,
    /// Days of drying asked for; `None`: no row is so cool.
    pub drying_days: Option<f64>,
}

/// Holds a ham against the tables: the row that its drying is warm enough for, whole.
pub fn ham(dried: &Dried) -> HamVerdict {
    let fahrenheit = dried.at.as_fahrenheit();
    let warm_enough = tables().ham.iter().filter(|row| is_at_least(fahrenheit, row.at_f));
    let row = warm_enough.max_by(|one, other| one.at_f.total_cmp(&other.at_f));
    let cure = tables().ham_cure;
    let mut unmet = Vec::new();
    let salt = dried.salt.as_percent();
    if !is_at_least(salt, cure.salt_percent) {
        unmet.push(Requirement::Salt(cure.salt_percent, salt));
    }
    if let Some(row) = row {
        if !is_at_least(days(dried.drying), row.days) {
            unmet.push(Requirement::DryingDays(row.days, days(dried.drying)));
        }
        if !is_at_least(days(dried.total), cure.days + row.days) {
            unmet.push(Requirement::TotalDays(cure.days + row.days, days(dried.total)));
        }
    } else {
        let coolest = tables().ham.iter().map(|row| row.at_f).fold(f64::INFINITY, f64::min);
        unmet.push(Requirement::DryingTemperature(coolest, fahrenheit));
    }
    let verdict = if unmet.is_empty() { Verdict::MetUnverified } else { Verdict::NotMet };
    HamVerdict { verdict, unmet, drying_days: row.map(|row| row.days) }
}

/// Days of drying that method 6 asks for, with what they are made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByDiameterDays {
    /// The row of the diameter.
    pub row: &'static ByDiameter,
    /// Percent more for less salt.
    pub more_percent: f64,
    /// Percent less for the hold before it.
    pub less_percent: f64,
    /// The days, rounded up.
    pub days: f64,
}

/// The days of drying at 50 °F or warmer that method 6 asks for: by diameter, longer with less salt, shorter after a
/// hold. `None`: thicker than 6 in, or less than 2 % salt.
pub fn by_diameter(diameter: Length, salt: Fraction, hold: Option<Smoke>) -> Option<ByDiameterDays> {
    let row = tables().by_diameter.iter().find(|row| is_at_most(diameter.as_inches(), row.up_to_in))?;
    let more_percent = more_for_salt(salt)?;
    let less_percent = hold.map_or(0.0, less_for_hold);
    let longer = (row.days * (1.0 + more_percent / 100.0)).ceil();
    let off = (longer * less_percent / 100.0).floor();
    Some(ByDiameterDays { row, more_percent, less_percent, days: longer - off })
}

/// Percent more drying with this salt, which is rounded down to a tenth; 3.33 % and more: none.
fn more_for_salt(salt: Fraction) -> Option<f64> {
    const FULL_PERCENT: f64 = 3.33;
    let percent = salt.as_percent();
    if is_at_least(percent, FULL_PERCENT) {
        return Some(0.0);
    }
    // The table ends at 3.3: what lies between it and 3.33 is taken as 3.3.
    let rows = tables().by_salt.iter().filter(|row| is_at_least(percent, row.salt_percent));
    let row = rows.max_by(|one, other| one.salt_percent.total_cmp(&other.salt_percent))?;
    Some(row.more_percent)
}

/// Percent less drying after a hold: the column and the row that are wholly met.
fn less_for_hold(hold: Smoke) -> f64 {
    let fahrenheit = hold.at.as_fahrenheit();
    let column = ByHold::AT_F.iter().rposition(|at| is_at_least(fahrenheit, *at));
    let rows = tables().by_hold.iter().filter(|row| is_at_least(hold.time.value(), row.hours));
    let row = rows.max_by(|one, other| one.hours.total_cmp(&other.hours));
    row.zip(column).and_then(|(row, column)| row.less_percent.get(column)).copied().unwrap_or(0.0)
}

fn days(time: Hours) -> f64 {
    time.value() / 24.0
}

fn is_at_least(given: f64, asked: f64) -> bool {
    given.is_finite() && compare::with_tolerance(given, asked) != Ordering::Less
}

fn is_at_most(given: f64, asked: f64) -> bool {
    compare::with_tolerance(given, asked) != Ordering::Greater
}
