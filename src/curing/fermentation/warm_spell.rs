//! A warm spell for a piece that is not on the fermentation clock. This project's rule: no agency gives one.
//!
//! A soured sausage is protected by its acid. A piece without that is counted in degree-hours from the
//! start of the spell. Meat still in the cure is not protected by salt either, and has a few hours.

use super::acidity::Acidity;
use super::advice;
use super::course::Course;
use super::degree_hours::{ClockState, DegreeHourReport, Verdict};
use super::evidence::Grade;
use super::system::Systems;
use crate::curing::finding::{Advice, Finding, Level};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::Temperature;
use crate::quantity::compare;
use crate::record::batch::{BatchKind, BatchStage};
use chrono::{DateTime, TimeDelta, Utc};

/// A pH reading says what a sausage is now for so long. This project's choice, no source.
const PH_HOLDS: TimeDelta = TimeDelta::days(7);

/// What protects a piece, as far as a warm spell goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpellPiece {
    /// A sausage on its fermentation clock: the clock counts, no other rule.
    OnTheClock,
    /// A sausage that reached its end point and is at or below it now.
    Soured,
    /// A sausage whose acid is gone or not known, a dried sausage, a muscle.
    Unprotected,
    /// Meat in the cure or in the cold rest.
    InCure,
}

/// What is known of a piece when a spell begins.
#[derive(Debug, Clone, Copy)]
pub struct PieceFacts<'a> {
    /// The batch's kind.
    pub kind: BatchKind,
    /// Its stage.
    pub stage: BatchStage,
    /// The readings of its fermentation, and of the time since.
    pub acidity: Option<&'a Acidity>,
    /// When the spell began.
    pub at: DateTime<Utc>,
}

impl SpellPiece {
    /// Which sort of piece it is.
    pub fn of(facts: PieceFacts<'_>) -> Self {
        match (facts.stage, facts.acidity) {
            (BatchStage::Fermenting, _) => Self::OnTheClock,
            (BatchStage::Planned | BatchStage::Curing | BatchStage::Resting, _) => Self::InCure,
            (_, Some(acidity)) if facts.kind == BatchKind::FermentedSausage => {
                Self::after_the_clock(acidity, facts.at)
            }
            _ => Self::Unprotected,
        }
    }

    /// Which sort a fermented sausage is whose clock runs no more.
    pub fn after_the_clock(acidity: &Acidity, at: DateTime<Utc>) -> Self {
        if is_sour(acidity, at) { Self::Soured } else { Self::Unprotected }
    }
}

/// Had reached the end point by then, and the last believed reading of the week before is at or below it.
fn is_sour(acidity: &Acidity, at: DateTime<Utc>) -> bool {
    let end_point = rulebook::by_id("ph.end_point").and_then(|row| row.value);
    let before = acidity.readings.iter().rev().filter(|judged| judged.is_believed());
    let last = before.map(|judged| judged.reading).find(|reading| reading.at <= at);
    let end = acidity.end.filter(|end| end.at <= at);
    let (Some(_), Some(end_point), Some(last)) = (end, end_point, last) else {
        return false;
    };
    at - last.at <= PH_HOLDS && compare::with_tolerance(last.ph.value(), end_point).is_le()
}

/// What a warm spell means, best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpellVerdict {
    /// The fermentation clock counts it.
    OnTheClock,
    /// Nothing but: move it back, look for mould and drip.
    Notice,
    /// Long or warm enough to warn of; or not known well enough.
    Warning,
    /// To be treated as too long, unless the temperatures can be shown.
    TreatAsDiscard,
    /// Discard.
    Discard,
}

/// What came of a warm spell.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmSpell {
    /// Since when, where it has a date.
    pub since: Option<DateTime<Utc>>,
    /// Which sort of piece.
    pub piece: SpellPiece,
    /// What it means.
    pub verdict: SpellVerdict,
    /// How loud.
    pub level: Level,
    /// What to do.
    pub advice: Advice,
    /// The sums, for a piece that is counted.
    pub degree_hours: Option<DegreeHourReport>,
    /// Every rule that was looked at.
    pub findings: Vec<Finding>,
}

/// Judges a spell, from its start until the piece was back in the cold.
pub fn assess_spell(piece: SpellPiece, spell: Course, systems: Systems) -> WarmSpell {
    let since = spell.stretches.first().and_then(|stretch| stretch.span).map(|(from, _)| from);
    let quiet = |verdict, level, key| WarmSpell {
        since: None,
        piece,
        verdict,
        level,
        advice: Advice::plain(key),
        degree_hours: None,
        findings: Vec::new(),
    };
    let judged = match piece {
        SpellPiece::OnTheClock => quiet(SpellVerdict::OnTheClock, Level::None, advice::SPELL_ON_THE_CLOCK),
        SpellPiece::Soured => quiet(SpellVerdict::Notice, Level::Notice, advice::SPELL_MOVE_BACK),
        SpellPiece::Unprotected => counted(piece, spell, systems),
        SpellPiece::InCure => in_cure(piece, &spell),
    };
    WarmSpell { since, ..judged }
}

fn counted(piece: SpellPiece, spell: Course, systems: Systems) -> WarmSpell {
    let report = DegreeHourReport::of(spell, ClockState::Stated, systems);
    let verdict = match report.verdict() {
        Verdict::NotRunning | Verdict::Within => SpellVerdict::Notice,
        Verdict::CannotBeAssessed => SpellVerdict::Warning,
        Verdict::MayBeExceeded => SpellVerdict::TreatAsDiscard,
        Verdict::Exceeded => SpellVerdict::Discard,
    };
    let findings: Vec<_> = report.findings().cloned().collect();
    finish(piece, verdict, Some(report), findings)
}

/// Too long for certain is a discard; too long only if the room was as warm as it may have been is to be
/// treated as one.
fn in_cure(piece: SpellPiece, spell: &Course) -> WarmSpell {
    let mut verdict = SpellVerdict::Notice;
    let mut findings = Vec::new();
    for limit in rulebook::bands("warm_spell.in_cure.discard") {
        let (certain, possible) = hours_above(spell, limit);
        if is_over(certain, limit) {
            verdict = verdict.max(SpellVerdict::Discard);
        } else if is_over(possible, limit) {
            verdict = verdict.max(SpellVerdict::TreatAsDiscard);
        }
        findings.push(Finding::judge(limit, possible));
    }
    for limit in rulebook::bands("warm_spell.in_cure.warning") {
        let (_, possible) = hours_above(spell, limit);
        if is_over(possible, limit) {
            verdict = verdict.max(SpellVerdict::Warning);
        }
        findings.push(Finding::judge(limit, possible));
    }
    if spell.grade() == Grade::Missing {
        verdict = verdict.max(SpellVerdict::Warning);
    }
    finish(piece, verdict, None, findings)
}

fn finish(
    piece: SpellPiece,
    verdict: SpellVerdict,
    degree_hours: Option<DegreeHourReport>,
    findings: Vec<Finding>,
) -> WarmSpell {
    let (level, key) = match verdict {
        SpellVerdict::OnTheClock => (Level::None, advice::SPELL_ON_THE_CLOCK),
        SpellVerdict::Notice => (Level::Notice, advice::SPELL_MOVE_BACK),
        SpellVerdict::Warning => (Level::Warning, advice::SPELL_WARNING),
        SpellVerdict::TreatAsDiscard => (Level::Warning, advice::SPELL_TREAT_AS_DISCARD),
        SpellVerdict::Discard => (Level::Warning, advice::SPELL_DISCARD),
    };
    WarmSpell { since: None, piece, verdict, level, advice: Advice::plain(key), degree_hours, findings }
}

/// Hours above a row's temperature, in °C: for certain, and at most.
fn hours_above(spell: &Course, limit: &Limit) -> (f64, f64) {
    let Some(edge) = limit.above else {
        return (0.0, 0.0);
    };
    let above = |warmth: Option<Temperature>| {
        warmth.is_some_and(|warmth| compare::with_tolerance(warmth.as_celsius(), edge).is_gt())
    };
    let hours = |counts: &dyn Fn(&super::course::Stretch) -> bool| -> f64 {
        let warm = spell.stretches.iter().filter(|stretch| counts(stretch));
        warm.map(|stretch| stretch.hours).sum()
    };
    (hours(&|stretch| above(stretch.low)), hours(&|stretch| above(stretch.high)))
}

fn is_over(hours: f64, limit: &Limit) -> bool {
    limit.value.is_some_and(|most| compare::with_tolerance(hours, most).is_gt())
}

#[cfg(test)]
mod tests;
