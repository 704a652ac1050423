//! Heat at the centre.

use super::table::{Heat, against, tables};
use super::{Host, Verdict};
use crate::quantity::{Temperature, compare};
use std::cmp::Ordering;

/// The rows for a host: domestic pork has a table of its own, everything else is cooked through.
fn rows(host: Host) -> impl Iterator<Item = &'static Heat> {
    let wanted = if host == Host::DomesticPork { "us.heat" } else { "game.heat" };
    tables().heat.iter().filter(move |row| row.source == wanted)
}

/// The row that asks for the least heat.
pub fn coolest(host: Host) -> Option<&'static Heat> {
    rows(host).min_by(|one, other| one.at_f.total_cmp(&other.at_f))
}

/// Holds a heating against the table: the verdict, and the hottest row that the temperature reaches.
pub fn heat(host: Host, centre: Temperature, minutes: f64) -> (Verdict, Option<&'static Heat>) {
    let reached = |row: &&Heat| against(centre, Some(row.at_f), row.at_c) != Ordering::Less;
    let row = rows(host).filter(reached).max_by(|one, other| one.at_f.total_cmp(&other.at_f));
    let is_long_enough = |row: &Heat| compare::with_tolerance(minutes, row.minutes) != Ordering::Less;
    let standing = row.and_then(|row| tables().source_of(&row.source)).map(|source| source.standing);
    let verdict = match (row, standing) {
        (Some(row), Some(standing)) if is_long_enough(row) => Verdict::met(standing),
        _ => Verdict::NotMet,
    };
    (verdict, row)
}
