//! Which pH reading ends the degree-hours, and what the readings say of the end point.

use super::advice;
use super::trust::{self, Doubt, Trust};
use crate::curing::finding::{Advice, Finding, Level};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::compare;
use crate::quantity::{Length, Ph};
use crate::record::ids::EventId;
use crate::record::reading::PhReading;
use chrono::{DateTime, TimeDelta, Utc};
use std::cmp::Ordering;

/// Readings this close together are of one time: a probe put in twice. This project's choice, no source.
const SAME_TIME: TimeDelta = TimeDelta::minutes(15);

/// A reading with what it counts for.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedReading {
    /// The reading.
    pub reading: PhReading,
    /// How far it is believed.
    pub trust: Trust,
    /// What takes trust from it, the worst first.
    pub doubts: Vec<Doubt>,
    /// The pH at or below which it would end the clock; `None`: never.
    pub ends_at: Option<f64>,
    /// Whether a packet beside a piece this thick must read lower, or be confirmed on the piece.
    pub packet_leads: bool,
}

/// The reading that ended the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockEnd {
    /// When it was taken.
    pub at: DateTime<Utc>,
    /// What it was.
    pub ph: Ph,
    /// The event it came with.
    pub event: EventId,
    /// How far it is believed: full or usable.
    pub trust: Trust,
    /// Whether a second reading is asked for.
    pub provisional: bool,
}

/// What the pH readings of a fermentation say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Acidity {
    /// Every reading, in order of time.
    pub readings: Vec<JudgedReading>,
    /// The reading that ended the clock, if any did.
    pub end: Option<ClockEnd>,
}

/// Where the fermentation stands when the end point is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// The clock runs.
    Running,
    /// The batch left fermentation, or went cold, without an ending pH.
    NeverReached,
}

/// Figures of the rulebook that every reading is held against.
struct Figures {
    end_point: f64,
    usable: f64,
    provisional: f64,
    spread: f64,
    packet_mm: f64,
}

impl Figures {
    fn load() -> Option<Self> {
        let figure = |id| rulebook::by_id(id)?.value;
        Some(Self {
            end_point: figure("ph.end_point")?,
            usable: figure("ph.end_point.usable")?,
            provisional: figure("ph.end_point.provisional")?,
            spread: figure("ph.same_time_spread")?,
            packet_mm: figure("ph.packet_thickness")?,
        })
    }
}

impl Acidity {
    /// Judges the readings of a fermentation. `thickness` is the casing's diameter: beside a piece above 60 mm,
    /// or of unknown thickness, a packet must read 5.20 or be confirmed on the piece.
    pub fn of(readings: &[PhReading], thickness: Option<Length>) -> Self {
        let Some(figures) = Figures::load() else {
            return Self::default();
        };
        let mut sorted: Vec<_> = readings.to_vec();
        sorted.sort_by_key(|reading| (reading.at, reading.event));
        let judged = sorted.iter().map(|reading| figures.judge(reading, thickness));
        let readings: Vec<_> = judged.collect();
        Self { end: figures.end_of(&readings), readings }
    }

    /// The last reading that is believed.
    pub fn last_believed(&self) -> Option<&JudgedReading> {
        self.readings.iter().rev().find(|judged| judged.is_believed())
    }

    /// The finding on the end point. Never a clean "within" from a strip or an unchecked meter. `None` only when
    /// the rulebook cannot be read.
    pub fn finding(&self, phase: Phase) -> Option<Finding> {
        let limit = rulebook::by_id("ph.end_point")?;
        Some(match (self.end, phase) {
            (Some(end), _) => ended(limit, end),
            (None, Phase::NeverReached) => self.never_reached(limit),
            (None, Phase::Running) => self.not_yet(limit),
        })
    }

    fn never_reached(&self, limit: &Limit) -> Finding {
        let advice = Advice::plain(advice::PH_NEVER_REACHED);
        let above = self.last_believed().map(|judged| judged.reading.ph.value());
        let above = above.filter(|ph| is(*ph, Ordering::Greater, limit.value));
        match above {
            Some(ph) => Finding::judge(limit, ph).advising(advice),
            None => Finding::not_judged(limit, advice),
        }
        .at_least(Level::Warning)
    }

    fn not_yet(&self, limit: &Limit) -> Finding {
        let Some(last) = self.readings.last() else {
            return Finding::not_judged(limit, Advice::plain(advice::PH_NO_READING));
        };
        let ph = last.reading.ph.value();
        let key = match last.doubts.first() {
            Some(worst) if !last.is_believed() => worst.advice(),
            _ if is(ph, Ordering::Greater, limit.value) => advice::PH_NOT_YET,
            _ if last.ends_at.is_some_and(|needed| compare::with_tolerance(ph, needed).is_le()) => {
                advice::PH_READINGS_DIFFER
            }
            _ if last.packet_leads => advice::PH_PACKET_LEADS,
            _ => advice::PH_GUARD_BAND,
        };
        Finding { measured: Some(ph), ..Finding::not_judged(limit, Advice::plain(key)) }
    }
}

impl JudgedReading {
    /// Whether it may end the clock, or speak against another that did.
    pub const fn is_believed(&self) -> bool {
        matches!(self.trust, Trust::Full | Trust::Usable)
    }
}

fn ended(limit: &Limit, end: ClockEnd) -> Finding {
    let finding = Finding::judge(limit, end.ph.value());
    match (end.provisional, end.trust) {
        (true, _) => finding.at_least(Level::Notice).advising(Advice::plain(advice::PH_SECOND_READING)),
        (false, Trust::Usable) => {
            finding.at_least(Level::Notice).advising(Advice::plain(advice::PH_ENDED_USABLE))
        }
        (false, _) => finding,
    }
}

fn is(value: f64, order: Ordering, limit: Option<f64>) -> bool {
    limit.is_some_and(|limit| compare::with_tolerance(value, limit) == order)
}

/// What the readings of one time say together.
enum Says {
    Ends(ClockEnd),
    Contradicts,
    Nothing,
}

impl Figures {
    fn judge(&self, reading: &PhReading, thickness: Option<Length>) -> JudgedReading {
        let (trust, doubts) = trust::judge(reading);
        let thick = thickness.is_none_or(|size| {
            compare::with_tolerance(size.as_millimetres(), self.packet_mm) == Ordering::Greater
        });
        let packet_leads = reading.from_sample && thick;
        let ends_at = match trust {
            Trust::Full if packet_leads => Some(self.usable),
            Trust::Full => Some(self.end_point),
            Trust::Usable => Some(self.usable),
            Trust::Doubtful | Trust::Strip | Trust::Rejected => None,
        };
        JudgedReading { reading: *reading, trust, doubts, ends_at, packet_leads }
    }

    /// The first reading that ends the clock; never a time between readings. A provisional end is confirmed by
    /// a second reading and, while nobody confirmed it, taken back by one above the end point, however much later.
    fn end_of(&self, readings: &[JudgedReading]) -> Option<ClockEnd> {
        let believed: Vec<_> = readings.iter().filter(|judged| judged.is_believed()).collect();
        let mut waiting: Option<ClockEnd> = None;
        let mut rest = believed.as_slice();
        while let Some(first) = rest.first() {
            let together = rest.partition_point(|judged| judged.reading.at - first.reading.at <= SAME_TIME);
            let (now, later) = rest.split_at(together);
            rest = later;
            match (self.says(now), waiting) {
                (Says::Ends(_), Some(first)) => return Some(confirmed(first)),
                (Says::Ends(end), None) if !end.provisional => return Some(end),
                (Says::Ends(end), None) => waiting = Some(end),
                (Says::Contradicts, _) => waiting = None,
                (Says::Nothing, _) => {}
            }
        }
        waiting
    }

    /// Readings of one time: when they lie further apart than the spread, only the highest counts.
    fn says(&self, together: &[&JudgedReading]) -> Says {
        let order = |one: &JudgedReading, other: &JudgedReading| {
            let ph = one.reading.ph.value().total_cmp(&other.reading.ph.value());
            ph.then(one.reading.at.cmp(&other.reading.at))
        };
        let mut sorted: Vec<&JudgedReading> = together.to_vec();
        sorted.sort_by(|one, other| order(one, other));
        let (Some(lowest), Some(highest)) = (sorted.first(), sorted.last()) else {
            return Says::Nothing;
        };
        let (lowest, highest) = (lowest.reading.ph.value(), highest.reading.ph.value());
        if compare::with_tolerance(highest, self.end_point) == Ordering::Greater {
            return Says::Contradicts;
        }
        let apart = compare::with_tolerance(highest - lowest, self.spread) == Ordering::Greater;
        let counting = if apart { sorted.len() - 1 } else { 0 };
        let ending: Vec<_> = sorted.iter().skip(counting).filter(|judged| judged.ends()).collect();
        let Some(last) = ending.last() else {
            return Says::Nothing;
        };
        let provisional = ending.len() == 1
            && last.trust == Trust::Full
            && compare::with_tolerance(last.reading.ph.value(), self.provisional).is_ge();
        Says::Ends(ClockEnd {
            at: last.reading.at,
            ph: last.reading.ph,
            event: last.reading.event,
            trust: last.trust,
            provisional,
        })
    }
}

impl JudgedReading {
    fn ends(&self) -> bool {
        let ph = self.reading.ph.value();
        self.ends_at.is_some_and(|needed| compare::with_tolerance(ph, needed).is_le())
    }
}

const fn confirmed(end: ClockEnd) -> ClockEnd {
    ClockEnd { provisional: false, ..end }
}

#[cfg(test)]
mod tests;
