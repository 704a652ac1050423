//! The warm spells of one batch that its fermentation clock does not count, at one moment.
//!
//! A spell is judged by the stage that held when it began. Meat in the cure has hours, and is warm at a lower
//! temperature: what of a spell lies in the cure is judged by those as well. The rest is judged from the spell's start
//! by what the piece was then, or when it came out of the cure.

use super::acidity::Acidity;
use super::clock::Fermentation;
use super::course::Course;
use super::degree_hours::ClockState;
use super::find_spell::{Spell, find_spells};
use super::history::{Stay, Window};
use super::segment::{Held, Segment};
use super::system::Systems;
use super::warm_spell::{PieceFacts, SpellPiece, SpellVerdict, WarmSpell, assess_spell};
use crate::record::batch::BatchStage;
use crate::record::climate::Climate;
use crate::record::ids::ChamberId;
use crate::record::state::BatchState;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;

/// A mild spell that was over longer ago than this was answered when it was logged.
const LOOK_BACK: TimeDelta = TimeDelta::days(7);

/// Carrying a batch from one room to another is no spell. This project's choice, no source.
const SHORTEST: TimeDelta = TimeDelta::hours(1);

/// A soured sausage goes into the cold the same day (common practice, no source); until then the room that was warm for
/// the fermentation is no spell.
const SAME_DAY: TimeDelta = TimeDelta::hours(24);

/// Judges every warm spell of a batch off its clock and gives the worst, the later of equals.
///
/// Of earlier segments, and while it ferments, only a spell counts that may mean discard. `None` where there was none,
/// or the clock counts it. Of a batch that is over the time until then counts.
pub fn worst_spell(
    batch: &BatchState,
    climates: &BTreeMap<ChamberId, Climate>,
    fermentation: Option<&Fermentation>,
    now: DateTime<Utc>,
) -> Option<WarmSpell> {
    let over = batch.stages.iter().find(|(stage, _)| stage.is_over()).map(|(_, at)| *at);
    let now = over.map_or(now, |over| over.min(now));
    let look = Look { batch, stays: Stay::of_batch(batch, climates), fermentation, now };
    let segments = Segment::of_batch(batch, now);
    let mut spells: Vec<_> = segments.iter().flat_map(|segment| look.judged(segment)).collect();
    spells.extend(look.after_the_clock().unwrap_or_default());
    spells.sort_by_key(|(start, _)| *start);
    spells.into_iter().map(|(_, spell)| spell).max_by_key(|spell| spell.verdict)
}

/// A batch with the air around it.
struct Look<'a> {
    batch: &'a BatchState,
    stays: Vec<Stay<'a>>,
    fermentation: Option<&'a Fermentation>,
    now: DateTime<Utc>,
}

impl Look<'_> {
    /// The spells of a segment that matter at this moment, each with its start.
    fn judged(&self, segment: &Segment) -> Vec<(DateTime<Utc>, WarmSpell)> {
        let stays = segment.stays(&self.stays);
        let found = self.in_cure(segment, &stays).into_iter().chain(self.off_cure(segment, &stays));
        let long = found.filter(|((start, end), _)| end.unwrap_or(self.now) - *start >= SHORTEST);
        let judged = long.map(|((start, end), piece)| {
            let course = Course::of_history(&self.stays, Window { from: start, closed: end, now: self.now });
            let is_past = end.is_some_and(|end| self.now - end > LOOK_BACK);
            (start, assess_spell(piece, course, Systems::Strict), is_past || segment.is_before_fermenting())
        });
        let matters =
            judged.filter(|(_, spell, is_past)| !is_past || spell.verdict >= SpellVerdict::TreatAsDiscard);
        matters.map(|(start, spell, _)| (start, spell)).collect()
    }

    /// The warmth that goes on, or comes back, after a pH ended the clock of a batch that is still called fermenting.
    ///
    /// It is judged by what the piece was at the end of it: at or below the end point, a notice; its acid gone, or not
    /// read for a week, counted like any other piece without a clock.
    fn after_the_clock(&self) -> Option<Vec<(DateTime<Utc>, WarmSpell)>> {
        let clock = self.fermentation?;
        let ClockState::Ended { at: ended, .. } = clock.degree_hours.state else { return None };
        let later = self.batch.stages.partition_point(|(_, at)| *at <= ended);
        let (before, after) = self.batch.stages.split_at_checked(later)?;
        before.last().filter(|(stage, _)| *stage == BatchStage::Fermenting)?;
        let left = after.first().map(|(_, at)| *at);
        let again = after.iter().find(|(stage, _)| *stage == BatchStage::Fermenting).map(|(_, at)| *at);
        let spells = find_spells(&self.stays, Window { from: ended, closed: again, now: self.now }, false);
        let began_fermenting = spells.into_iter().filter(|(start, _)| left.is_none_or(|left| *start < left));
        let judged = began_fermenting.filter_map(|(start, end)| {
            let closed = end.or(again);
            let until = closed.unwrap_or(self.now);
            let piece = SpellPiece::after_the_clock(&clock.acidity, until);
            let shortest = if piece == SpellPiece::Soured { SAME_DAY } else { SHORTEST };
            let course = Course::of_history(&self.stays, Window { from: start, closed, now: self.now });
            let is_past = left.is_some() || end.is_some_and(|end| self.now - end > LOOK_BACK);
            let spell = assess_spell(piece, course, Systems::Strict);
            let matters = !is_past || spell.verdict >= SpellVerdict::TreatAsDiscard;
            (until - start >= shortest && matters).then_some((start, spell))
        });
        Some(judged.collect())
    }

    /// What of every spell lies in the cure or the cold rest, in the warmth that counts there.
    fn in_cure(&self, segment: &Segment, stays: &[Stay<'_>]) -> Vec<(Spell, SpellPiece)> {
        let rows = segment.stages.split(|held| !self.is_in_cure(held));
        let windows = rows.filter_map(|row| Segment::window(row, self.now));
        let spells = windows.flat_map(|window| {
            let spells = find_spells(stays, window, true).into_iter();
            spells.map(move |(start, end)| ((start, end.or(window.closed)), SpellPiece::InCure))
        });
        spells.collect()
    }

    /// Every spell that lies outside the cure or goes on after it, whole, with what the piece was when it began.
    fn off_cure(&self, segment: &Segment, stays: &[Stay<'_>]) -> Vec<(Spell, SpellPiece)> {
        let Some(window) = Segment::window(&segment.stages, self.now) else { return Vec::new() };
        let spells = find_spells(stays, window, false).into_iter();
        let spells = spells.filter(|(start, end)| end.is_some() || !self.is_on_the_clock(segment, *start));
        let judged = spells.filter_map(|(start, end)| {
            let end = end.or(window.closed);
            let until = end.unwrap_or(self.now);
            let reached = |held: &&Held| held.from < until && held.to.is_none_or(|to| start < to);
            let mut stages = segment.stages.iter().filter(reached);
            let held = stages.find(|held| !self.is_in_cure(held))?;
            Some(((start, end), self.piece(held.stage, start.max(held.from))))
        });
        judged.collect()
    }

    /// Whether the clock counts a spell that was still open when the batch began to ferment.
    fn is_on_the_clock(&self, segment: &Segment, start: DateTime<Utc>) -> bool {
        segment.is_before_fermenting() && self.fermentation.is_some_and(|clock| clock.counts(start))
    }

    fn is_in_cure(&self, held: &Held) -> bool {
        self.piece(held.stage, held.from) == SpellPiece::InCure
    }

    fn piece(&self, stage: BatchStage, at: DateTime<Utc>) -> SpellPiece {
        let acidity: Option<&Acidity> = self.fermentation.map(|fermentation| &fermentation.acidity);
        SpellPiece::of(PieceFacts { kind: self.batch.plan.kind, stage, acidity, at })
    }
}

#[cfg(test)]
mod tests;
