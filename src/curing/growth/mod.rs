//! Between which limits of temperature, pH and water activity the organisms of concern were seen to grow.
//!
//! The limits are those of one hurdle at a time with everything else ideal. What is stopped is not killed, and a toxin
//! that was made stays.

mod table;

pub use table::{Bound, Limits, Organism, Row, rows};

use crate::quantity::{Ph, Temperature, WaterActivity, compare};
use std::cmp::Ordering;

/// What is known of a place in which something might grow.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Facts {
    /// Its temperature.
    pub temperature: Option<Temperature>,
    /// Its pH.
    pub ph: Option<Ph>,
    /// Its water activity.
    pub activity: Option<WaterActivity>,
}

/// A fact that lies outside an organism's limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hurdle {
    /// Too dry or too salty.
    Dry(Bound),
    /// Too acid.
    Acid(Bound),
    /// Not acid enough.
    Alkaline(Bound),
    /// Too cold.
    Cold(Bound),
    /// Too warm.
    Hot(Bound),
}

impl Hurdle {
    /// The limit that is not met.
    pub const fn bound(self) -> Bound {
        match self {
            Self::Dry(bound)
            | Self::Acid(bound)
            | Self::Alkaline(bound)
            | Self::Cold(bound)
            | Self::Hot(bound) => bound,
        }
    }
}

/// Whether the tables let an organism grow.
#[derive(Debug, Clone, PartialEq)]
pub enum Growth {
    /// At least one fact lies outside its limits.
    Stopped(Vec<Hurdle>),
    /// Nothing that is known stops it; something is not known.
    NotStopped,
    /// Everything is known and nothing stops it.
    Grows,
}

/// What the tables say of an organism. A fact exactly at a limit does not stop it.
pub fn growth(organism: Organism, facts: Facts) -> Growth {
    let limits = Limits::of(organism);
    let below = |value: f64, bound: Option<Bound>| {
        bound.filter(|bound| compare::with_tolerance(value, bound.value) == Ordering::Less)
    };
    let above = |value: f64, bound: Option<Bound>| {
        bound.filter(|bound| compare::with_tolerance(value, bound.value) == Ordering::Greater)
    };
    let mut hurdles = Vec::new();
    if let Some(activity) = facts.activity {
        hurdles.extend(below(activity.value(), limits.activity_min).map(Hurdle::Dry));
    }
    if let Some(ph) = facts.ph {
        hurdles.extend(below(ph.value(), limits.ph_min).map(Hurdle::Acid));
        hurdles.extend(above(ph.value(), limits.ph_max).map(Hurdle::Alkaline));
    }
    if let Some(temperature) = facts.temperature {
        // In the scale the table prints, so that no conversion moves a figure over its limit.
        let read = |bound: Option<Bound>| {
            bound.map_or(f64::NAN, |bound| temperature.in_scale(bound.row.temperature_unit))
        };
        hurdles.extend(below(read(limits.temperature_min), limits.temperature_min).map(Hurdle::Cold));
        hurdles.extend(above(read(limits.temperature_max), limits.temperature_max).map(Hurdle::Hot));
    }
    let all_known = facts.temperature.is_some() && facts.ph.is_some() && facts.activity.is_some();
    match (hurdles.is_empty(), all_known) {
        (false, _) => Growth::Stopped(hurdles),
        (true, true) => Growth::Grows,
        (true, false) => Growth::NotStopped,
    }
}
