//! The time of a batch off its fermentation clock: before it ferments, between two fermentations, and after them.

use super::find_spell::find_spells;
use super::history::{Stay, Window};
use crate::record::batch::BatchStage;
use crate::record::state::BatchState;
use chrono::{DateTime, Utc};

/// A stage as it held: until the next one, or still.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Held {
    pub(super) stage: BatchStage,
    pub(super) from: DateTime<Utc>,
    pub(super) to: Option<DateTime<Utc>>,
}

/// Stages in a row of which none is fermenting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Segment {
    pub(super) stages: Vec<Held>,
    is_first: bool,
}

impl Segment {
    /// Every segment of a batch, in order, as it stood at `now`: from its first stage after the plan to its last open
    /// one.
    pub(super) fn of_batch(batch: &BatchState, now: DateTime<Utc>) -> Vec<Self> {
        let known = batch.stages.iter().copied().filter(|(stage, at)| *at <= now && !stage.is_over());
        let stages: Vec<_> = known.skip_while(|(stage, _)| *stage == BatchStage::Planned).collect();
        let ends = stages.iter().skip(1).map(|(_, next)| Some(*next)).chain([None]);
        let held = stages.iter().zip(ends).map(|((stage, from), to)| Held { stage: *stage, from: *from, to });
        let held: Vec<_> = held.collect();
        let rows = held.split(|held| held.stage == BatchStage::Fermenting).enumerate();
        let segment = |(count, row): (usize, &[Held])| Self { stages: row.to_vec(), is_first: count == 0 };
        rows.filter(|(_, row)| !row.is_empty()).map(segment).collect()
    }

    /// Since when.
    pub(super) fn from(&self) -> Option<DateTime<Utc>> {
        self.stages.first().map(|held| held.from)
    }

    /// When the batch began to ferment; `None`: it is the present segment.
    pub(super) fn to(&self) -> Option<DateTime<Utc>> {
        self.stages.last().and_then(|held| held.to)
    }

    /// Whether the batch ferments right after it.
    pub(super) fn is_before_fermenting(&self) -> bool {
        self.to().is_some()
    }

    /// The window of a part of it.
    pub(super) fn window(stages: &[Held], now: DateTime<Utc>) -> Option<Window> {
        let (first, last) = (stages.first()?, stages.last()?);
        Some(Window { from: first.from, closed: last.to, now })
    }

    /// The stays to look for spells in. What a room was set to before the batch was taken in hand holds from then on;
    /// what it was set to for a fermentation is the clock's, and the room is on its way down.
    pub(super) fn stays<'a>(&self, stays: &[Stay<'a>]) -> Vec<Stay<'a>> {
        let Some(from) = self.from().filter(|_| self.is_first) else {
            return stays.to_vec();
        };
        let reach = stays.iter().filter(|stay| stay.to.is_none_or(|left| from < left));
        reach.map(|stay| Stay { from: stay.from.max(from), ..*stay }).collect()
    }
}

/// Since when a cased batch had been warm without a break when it began to ferment: its clock counts from then on.
/// `None` where it was not, or was not cased yet.
pub(super) fn warm_before(
    batch: &BatchState,
    stays: &[Stay<'_>],
    fermenting: DateTime<Utc>,
    now: DateTime<Utc>,
) -> Option<DateTime<Utc>> {
    let segments = Segment::of_batch(batch, now);
    let segment = segments.first().filter(|segment| segment.to() == Some(fermenting))?;
    if !segment.stages.iter().any(|held| held.stage == BatchStage::Cased) {
        return None;
    }
    let window = Segment::window(&segment.stages, now)?;
    let last = find_spells(&segment.stays(stays), window, false).pop();
    last.filter(|(_, end)| end.is_none()).map(|(start, _)| start)
}
