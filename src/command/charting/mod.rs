//! Charts of batches: what is to be seen, in the member's words, units and zone. Drawn elsewhere.
//!
//! Worked out only when a chart is asked for; no other answer waits for one.

mod chamber;
pub mod comparison;
mod drying;
mod fermentation;

use super::error::CommandError;
use super::status::Look;
use crate::chart::{Chart, Horizontal, Point};
use crate::record::{BatchState, hours_between};
use crate::reply::{Reply, calendar, say};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// The words of the option.
pub const KINDS: &[&str] = &["drying", "fermentation", "chamber"];

/// Which chart of a batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChartKind {
    /// What its pieces lost, and when they will be there.
    Drying,
    /// Its pH, its room, its degree-hours.
    Fermentation,
    /// The air it hangs in.
    Chamber,
}

impl ChartKind {
    /// Reads the option's word.
    pub fn parse(word: &str) -> Option<Self> {
        match word {
            "drying" => Some(Self::Drying),
            "fermentation" => Some(Self::Fermentation),
            "chamber" => Some(Self::Chamber),
            _ => None,
        }
    }
}

/// A chart, or one sentence that says why there is nothing to see yet.
type Charted = Result<Chart, String>;

/// Adds the chart of a batch to its card.
pub async fn add(
    reply: &mut Reply,
    kind: ChartKind,
    state: &BatchState,
    look: Look<'_>,
) -> Result<(), CommandError> {
    match charted(kind, state, look).await? {
        Ok(chart) => reply.chart = Some(chart),
        Err(sentence) => reply.lines.push(sentence),
    }
    Ok(())
}

async fn charted(kind: ChartKind, state: &BatchState, look: Look<'_>) -> Result<Charted, CommandError> {
    match kind {
        ChartKind::Drying => drying::chart(state, look).await,
        ChartKind::Fermentation => fermentation::chart(state, look).await,
        ChartKind::Chamber => chamber::chart(state, look).await,
    }
}

/// Those of the charts of a batch that show something.
pub async fn those_of(
    kinds: &[ChartKind],
    state: &BatchState,
    look: Look<'_>,
) -> Result<Vec<Chart>, CommandError> {
    let mut charts = Vec::new();
    for kind in kinds {
        charts.extend(charted(*kind, state, look).await?.ok());
    }
    Ok(charts)
}

/// The days of one chart: since its first moment, shown in the member's zone.
#[derive(Debug, Clone, Copy)]
struct Calendar {
    origin: DateTime<Utc>,
    now: DateTime<Utc>,
    zone: Tz,
}

impl Calendar {
    fn new(origin: DateTime<Utc>, look: Look<'_>) -> Self {
        Self { origin, now: look.asking.now, zone: look.asking.zone() }
    }

    fn day(&self, at: DateTime<Utc>) -> f64 {
        hours_between(self.origin, at) / 24.0
    }

    fn point(&self, at: DateTime<Utc>, y: f64) -> Point {
        Point { x: self.day(at), y }
    }

    fn horizontal(&self) -> Horizontal {
        Horizontal::Calendar { origin: self.origin, zone: self.zone, names: Box::new(calendar::date_names()) }
    }

    /// "Sat 7 Nov 14:00".
    fn moment(&self, at: DateTime<Utc>) -> String {
        super::time::moment(at, self.now, self.zone)
    }
}

/// The batch with its number, as it stands in a chart.
fn title(key: &str, state: &BatchState) -> String {
    say(key, &[("batch", &state.id.to_string()), ("name", &state.plan.name)])
}

/// Sentences that are there, in one text.
fn sentences(all: &[&str]) -> String {
    all.iter().copied().filter(|sentence| !sentence.is_empty()).collect::<Vec<_>>().join(" ")
}
