//! Where a piece ends in a room of so much humidity, by a table.

use super::view::View;
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{RelativeHumidity, compare};
use crate::record::BatchKind;

/// Water of the table's sausages, in percent of the green batter.
const SAUSAGES: [(f64, &str); 2] = [(54.7, "drying.ends_at.sausage"), (62.0, "drying.ends_at.lean_sausage")];
/// A batter further from a table's sausage than this is none of its, in points of water. Rule of this project, no source.
const LIKE: f64 = 5.0;

/// The row of the table: the next damper column, in which a piece ends sooner, and above the last column that one; below
/// the first there is none. A sausage of no known recipe is taken for the ordinary one.
pub(super) fn row(view: &View<'_>, room: RelativeHumidity) -> Option<&'static Limit> {
    let columns: Vec<&'static Limit> = rulebook::bands(product(view)?).collect();
    let humidity = |row: &Limit| row.above.unwrap_or_default();
    let first = columns.first()?;
    if compare::with_tolerance(room.as_percent(), humidity(first)).is_lt() {
        return None;
    }
    let damper = |row: &&&'static Limit| compare::with_tolerance(humidity(row), room.as_percent()).is_ge();
    columns.iter().find(damper).or_else(|| columns.last()).copied()
}

fn product(view: &View<'_>) -> Option<&'static str> {
    if view.state.plan.kind == BatchKind::WholeMuscle {
        return Some("drying.ends_at.loin");
    }
    let Some(batter) = view.batter() else { return Some(SAUSAGES[0].1) };
    let water = batter.balance.part(batter.balance.water_g).as_percent();
    let nearest = SAUSAGES
        .into_iter()
        .min_by(|(one, _), (other, _)| (one - water).abs().total_cmp(&(other - water).abs()))?;
    compare::with_tolerance((nearest.0 - water).abs(), LIKE).is_le().then_some(nearest.1)
}
