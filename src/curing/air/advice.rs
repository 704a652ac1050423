//! What an air does to a piece, in the words of textbooks.

use super::Air;
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::compare;
use crate::quantity::{RelativeHumidity, Temperature, WaterActivity};
use std::cmp::Ordering;

/// The points of humidity below the piece's own within which it does not dry, and from which the air is called dry.
fn marks() -> Option<(f64, f64)> {
    let value = |id: &str| rulebook::by_id(id)?.value;
    value("drying.room.moist").zip(value("drying.room.below_piece"))
}

/// What is to be said of an air and a piece in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Condition {
    /// The piece is at or below the dew point: water settles on it.
    Sweats {
        /// The dew point.
        dew_point: Temperature,
    },
    /// The air is as moist as the piece: no drying, and moulds and bacteria grow.
    NoDrying,
    /// The air is far drier than the piece.
    Dry {
        /// By how many points of relative humidity.
        points: f64,
    },
}

/// Everything to be said of an air and a piece in it. A fact that is not known says nothing.
pub fn conditions(air: Air, piece: Option<Temperature>, activity: Option<WaterActivity>) -> Vec<Condition> {
    let mut found = Vec::new();
    let dew_point = air.dew_point();
    if let Some(piece) = piece
        && compare::with_tolerance(piece.as_celsius(), dew_point.as_celsius()) != Ordering::Greater
    {
        found.push(Condition::Sweats { dew_point });
    }
    if let Some((activity, (no_drying, dry))) = activity.zip(marks()) {
        let points = activity.value() * 100.0 - air.humidity().as_percent();
        if compare::with_tolerance(points, no_drying) != Ordering::Greater {
            found.push(Condition::NoDrying);
        } else if compare::with_tolerance(points, dry) == Ordering::Greater {
            found.push(Condition::Dry { points });
        }
    }
    found
}

/// The humidity that textbooks set for a piece: a few points below its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Below {
    /// The drier end.
    pub low: RelativeHumidity,
    /// The moister end.
    pub high: RelativeHumidity,
    /// The row it stands in.
    pub row: &'static Limit,
}

/// The textbook target for a piece of a water activity; `None` where the row is missing.
pub fn textbook_target(activity: WaterActivity) -> Option<Below> {
    let row = rulebook::by_id("air.below_activity")?;
    let (least, most) = row.band_low.zip(row.band_high)?;
    let own = activity.value() * 100.0;
    let at = |points: f64| RelativeHumidity::percent((own - points).max(0.0));
    Some(Below { low: at(most), high: at(least), row })
}
