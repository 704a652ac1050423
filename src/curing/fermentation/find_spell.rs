//! Finds the warm spells in the air around a batch.

use super::history::{Stay, Window};
use super::system::{Rules, System};
use crate::curing::rulebook;
use crate::quantity::Temperature;
use crate::quantity::compare;
use chrono::{DateTime, Utc};

/// How one thing is known of the air. Of several at one time the memory comes first and the setting last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// A min/max thermometer or a power cut: since when is known.
    Remembered,
    /// A thermometer: the time before is in doubt.
    Read,
    /// A controller. It is no reading: it may begin a spell, but only a thermometer ends one.
    Set,
}

/// One thing that is known of the air: when it was at most this warm, or reached it.
struct Point {
    kind: Kind,
    /// Since when it may have been so, by itself: for a reading, since the batch came into the room.
    from: DateTime<Utc>,
    at: DateTime<Utc>,
    warmest: Temperature,
}

impl Point {
    /// Since when it says something for certain.
    const fn speaks_from(&self) -> DateTime<Utc> {
        match self.kind {
            Kind::Remembered => self.from,
            Kind::Read | Kind::Set => self.at,
        }
    }

    /// When a spell began that this shows. A memory and a setting know their own beginning, whatever was read within;
    /// a bare reading leaves the time since the last cold one in doubt.
    fn start(&self, cold_at: Option<DateTime<Utc>>) -> DateTime<Utc> {
        match self.kind {
            Kind::Remembered | Kind::Set => self.from,
            Kind::Read => cold_at.map_or(self.from, |cold| cold.max(self.from)),
        }
    }
}

/// A stretch of time in which the room was warm: its start, and its end where a cold reading closed it.
pub type Spell = (DateTime<Utc>, Option<DateTime<Utc>>);

/// Every warm spell in a window of time, in order, through all the chambers a batch stayed in. One that no cold reading
/// closed before the window did is open.
///
/// Warm is above the lowest temperature of a rule that counts it: of the spell rows for meat in the cure, of the
/// degree-hour bases otherwise. A spell starts at the last cold reading before the first warm one, so that the
/// doubtful time between the two counts. Of what was read after the window only a memory that reaches into it counts.
pub fn find_spells(stays: &[Stay<'_>], window: Window, in_cure: bool) -> Vec<Spell> {
    let Some(edge) = edge_celsius(in_cure) else { return Vec::new() };
    let mut spells: Vec<Spell> = Vec::new();
    let (mut open, mut cold_at) = (None, None);
    for point in points(stays, window) {
        let is_warm = compare::with_tolerance(point.warmest.as_celsius(), edge).is_gt();
        let is_within = window.closed.is_none_or(|closed| point.at < closed);
        match (is_warm, open) {
            (true, None) => open = Some(joined(&mut spells, point.start(cold_at).max(window.from))),
            (true, Some(from)) if point.kind == Kind::Remembered => {
                open = Some(joined(&mut spells, point.from.max(window.from).min(from)));
            }
            (false, Some(from)) if point.kind != Kind::Set && is_within => {
                spells.push((from, Some(point.at)));
                open = None;
            }
            _ => {}
        }
        if !is_warm && point.kind != Kind::Set {
            cold_at = Some(point.at);
        }
    }
    spells.extend(open.map(|from| (from, None)));
    spells
}

/// Where a spell starts that may reach back into earlier ones: they are one with it then.
fn joined(spells: &mut Vec<Spell>, start: DateTime<Utc>) -> DateTime<Utc> {
    let mut start = start;
    while let Some((from, _)) = spells.pop_if(|(_, end)| end.is_some_and(|end| start < end)) {
        start = start.min(from);
    }
    start
}

/// The lowest temperature that any row of the rule counts from, in °C.
fn edge_celsius(in_cure: bool) -> Option<f64> {
    if in_cure {
        let warning = rulebook::bands("warm_spell.in_cure.warning");
        let rows = warning.chain(rulebook::bands("warm_spell.in_cure.discard"));
        return rows.filter_map(|row| row.above).reduce(f64::min);
    }
    let rules = [System::Us, System::Canada].into_iter().filter_map(Rules::of);
    rules.map(|rules| Temperature::new(rules.base, rules.system.scale()).as_celsius()).reduce(f64::min)
}

fn points(stays: &[Stay<'_>], window: Window) -> Vec<Point> {
    let mut points: Vec<Point> = stays.iter().flat_map(points_of).collect();
    points.retain(|point| {
        let before_the_end = window.closed.is_none_or(|closed| point.speaks_from() < closed);
        window.from <= point.at && point.at <= window.now && before_the_end
    });
    points.sort_by_key(|point| (point.at, point.kind, point.from));
    points
}

/// What is known of the air of one stay, while the batch was there.
fn points_of(stay: &Stay<'_>) -> Vec<Point> {
    let climate = stay.climate;
    let readings = climate.readings.iter().map(|read| Point {
        kind: Kind::Read,
        from: stay.from,
        at: read.at,
        warmest: read.temperature,
    });
    let extremes = climate.extremes.iter().map(|read| Point {
        kind: Kind::Remembered,
        from: read.since.max(stay.from),
        at: read.at,
        warmest: read.max,
    });
    let set = |at, warmest| Point { kind: Kind::Set, from: at, at, warmest };
    let settings = climate.settings.iter().map(|setting| set(setting.at, setting.temperature));
    // What was set before the batch came in holds from then on.
    let before = climate.settings.iter().rfind(|setting| setting.at < stay.from);
    let before = before.map(|setting| set(stay.from, setting.temperature));
    readings.chain(extremes).chain(settings).filter(|point| stay.holds(point.at)).chain(before).collect()
}

#[cfg(test)]
mod tests;
