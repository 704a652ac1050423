//! Degree-hours of a batch: what the air of its chambers was, the sums, and how they are shown.

pub mod alarms;
mod outlook;

pub use outlook::Outlook;

use super::Look;
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::command::figures;
use crate::curing::Finding;
use crate::curing::fermentation::degree_hours::SystemSum;
use crate::curing::fermentation::style::{AgainstTarget, against_target, styles_of};
use crate::curing::fermentation::{
    ClockState, DegreeHourReport, Fermentation, Grade, System, Systems, Verdict, assess,
};
use crate::curing::finding::Advice;
use crate::quantity::{Temperature, format};
use crate::record::climate::Climate;
use crate::record::correction::{corrected, effective};
use crate::record::{BatchKind, BatchStage, BatchState, ChamberId, Event};
use crate::reply::{Figure, Reply, say, unit};
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;

/// Before this much of the start, a reading still says what the room was when the batch came in.
const BEFORE: TimeDelta = TimeDelta::hours(24);

/// A fermentation with the air it was judged by.
#[derive(Debug, Clone)]
pub struct Seen {
    /// How it stands.
    pub fermentation: Fermentation,
    /// The air of every chamber the batch stayed in.
    pub climates: BTreeMap<ChamberId, Climate>,
}

/// The fermentation of a batch as it stood at the moment of asking; `None` where degree-hours do not apply.
pub async fn of_batch(
    look: Look<'_>,
    state: &BatchState,
    systems: Systems,
) -> Result<Option<Fermentation>, CommandError> {
    Ok(seen(look, state, systems).await?.map(|seen| seen.fermentation))
}

/// As [`of_batch`], with the air it was judged by.
pub async fn seen(
    look: Look<'_>,
    state: &BatchState,
    systems: Systems,
) -> Result<Option<Seen>, CommandError> {
    let Some(started) = state.reached(BatchStage::Fermenting) else {
        return Ok(None);
    };
    if state.plan.kind != BatchKind::FermentedSausage {
        return Ok(None);
    }
    // The clock of a batch that was warm before starts earlier, and a memory that was read long after the end may
    // reach back into it.
    let since = state.in_hand_since().map_or(started, |since| since.min(started));
    let climates = climates(look, state, since - BEFORE, look.asking.now).await?;
    let found = assess(state, &climates, look.asking.now, systems);
    Ok(found.map(|fermentation| Seen { fermentation, climates }))
}

/// The air of every chamber a batch stayed in between two moments, with the entries of this request.
pub async fn climates(
    look: Look<'_>,
    state: &BatchState,
    from: DateTime<Utc>,
    to: DateTime<Utc>,
) -> Result<BTreeMap<ChamberId, Climate>, CommandError> {
    let mut climates = BTreeMap::new();
    for (chamber, _) in &state.stays {
        if !climates.contains_key(chamber) {
            let mut events = air(look, *chamber, from, to).await?;
            // A reading of the future, where a line is judged at an earlier time, is not known yet.
            events.retain(|event| event.at <= to);
            climates.insert(*chamber, Climate::of(&events));
        }
    }
    Ok(climates)
}

/// What counts of a chamber's air. The store hands it out with its corrections applied; where this very request
/// corrects one of them, all of it is read again.
async fn air(
    look: Look<'_>,
    chamber: ChamberId,
    from: DateTime<Utc>,
    to: DateTime<Utc>,
) -> Result<Vec<Event>, CommandError> {
    let store = &look.services.store;
    let pending = || look.pending.iter().filter(move |event| event.subject.chamber() == Some(chamber));
    let corrects = pending().any(|event| corrected(&event.what).is_some());
    let mut events = if corrects {
        store.air_of_chamber(chamber).await?
    } else {
        store.chamber_events(chamber, from, to).await?
    };
    events.extend(pending().cloned());
    Ok(effective(&events))
}

/// The figures of a report, in the ids of the door for scripts.
pub fn figures(report: &DegreeHourReport, asking: &Asking) -> Vec<Figure> {
    let mut figures = Vec::new();
    for sum in &report.sums {
        let (id, limit_id) = match sum.system {
            System::Us => ("degree_hours_us", "limit_us"),
            System::Canada => ("degree_hours_canada", "limit_canada"),
        };
        figures.push(sum_figure(id, sum));
        figures.push(limit_figure(limit_id, sum));
    }
    if let Some(highest) = report.course.highest_possible {
        figures.push(figures::temperature("highest_temperature", highest, asking));
    }
    figures.push(figures::hours("hours_counted", report.hours_counted));
    if let Some(left) = report.hours_left() {
        let shown = say(
            "status.hours_left",
            &[
                ("less_than", &format::number(left.less_than(), 1)),
                ("whole", &left.whole_hours().to_string()),
            ],
        );
        figures.push(Figure::number(
            "hours_left",
            say("label.hours_left", &[]),
            left.exact(),
            unit::HOUR,
            shown,
        ));
    }
    figures
}

const fn unit_of(system: System) -> &'static str {
    match system {
        System::Us => unit::FAHRENHEIT_HOUR,
        System::Canada => unit::CELSIUS_HOUR,
    }
}

fn sum_figure(id: &'static str, sum: &SystemSum) -> Figure {
    let upper = sum.upper.unwrap_or(sum.upper_of_known);
    let beside_limit = |value| format::beside(value, sum.limit_upper, 0);
    let (low, high) = (beside_limit(sum.lower), beside_limit(upper));
    let key = match sum.upper {
        None => "status.at_least",
        Some(_) if low == high => "status.of_limit",
        Some(_) => "status.from_to",
    };
    let shown = say(key, &[("low", &low), ("high", &high), ("limit", &format::number(sum.limit_upper, 0))]);
    Figure::number(id, say(&format!("label.{id}"), &[]), upper, unit_of(sum.system), shown)
        .between(sum.lower, upper)
}

fn limit_figure(id: &'static str, sum: &SystemSum) -> Figure {
    let shown = say("status.less_than", &[("limit", &format::number(sum.limit_upper, 0))]);
    Figure::number(id, say(&format!("label.{id}"), &[]), sum.limit_upper, unit_of(sum.system), shown).folded()
}

/// The evidence, in words.
pub const fn grade_key(grade: Grade) -> &'static str {
    match grade {
        Grade::Logged => "grade.logged",
        Grade::Read => "grade.read",
        Grade::Declared => "grade.declared",
        Grade::Missing => "grade.missing",
    }
}

/// The verdict on degree-hours, in words.
pub const fn verdict_key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::NotRunning => "degree_hour_verdict.not_running",
        Verdict::Within => "degree_hour_verdict.within",
        Verdict::CannotBeAssessed => "degree_hour_verdict.cannot_be_assessed",
        Verdict::MayBeExceeded => "degree_hour_verdict.may_be_exceeded",
        Verdict::Exceeded => "degree_hour_verdict.exceeded",
    }
}

/// Where the clock stands, in words.
pub const fn clock_key(state: ClockState) -> &'static str {
    match state {
        ClockState::Stated => "clock.stated",
        ClockState::Running => "clock.running",
        ClockState::Ended { .. } => "clock.ended",
        ClockState::NeverReached { .. } => "clock.never_reached",
    }
}

/// What to do next about a fermentation, by wording key.
pub fn next_key(report: &DegreeHourReport) -> Option<&'static str> {
    match (report.state, report.verdict()) {
        (_, Verdict::Exceeded | Verdict::MayBeExceeded) => Some("ferment.next_discard"),
        (ClockState::Running, _) => Some("ferment.next_ph"),
        (ClockState::Ended { provisional: true, .. }, _) => Some("ferment.next_second"),
        (ClockState::Ended { .. }, _) => Some("ferment.next_cool"),
        (ClockState::NeverReached { .. } | ClockState::Stated, _) => None,
    }
}

/// What the last believed pH is beside the one the member aims at, when it will be there, and the customary windows that
/// hold such an aim. For information: no rule asks for it.
pub fn add_target(
    reply: &mut Reply,
    state: &BatchState,
    fermentation: &Fermentation,
    outlook: Option<&Outlook>,
) {
    let last = fermentation.acidity.last_believed().map(|judged| judged.reading.ph);
    let Some((target, last)) = state.plan.target_ph.zip(last) else {
        if let Some(outlook) = outlook {
            outlook.add_window(reply, None);
        }
        return;
    };
    let (key, by) = match against_target(last, target) {
        AgainstTarget::Above { by } => ("ferment.above_target", by),
        AgainstTarget::Reached => ("ferment.at_target", 0.0),
        AgainstTarget::BelowWindow { by } => ("ferment.below_window", by),
    };
    let line = say(key, &[("target", &format::ph(target)), ("by", &format::number(by, 2))]);
    match outlook {
        Some(outlook) => outlook.add_window(reply, Some(line)),
        None => reply.lines.push(line),
    }
    let windows = styles_of(target).map(|row| Finding::not_judged(row, Advice::plain("ferment.style")));
    reply.findings.extend(windows.map(|finding| finding.beside(last.value())));
}

/// The sums with their numbers put in, stretch by stretch.
pub fn working(report: &DegreeHourReport) -> Vec<String> {
    let mut lines: Vec<String> = report.sums.iter().map(formula).collect();
    lines.push(say("working.evidence", &[("grade", &say(grade_key(report.grade), &[]))]));
    for stretch in &report.course.stretches {
        let (Some(low), Some(high)) = (stretch.low, stretch.high) else {
            continue;
        };
        let holes =
            [("hours", format::number(stretch.hours, 1)), ("low", degrees(low)), ("high", degrees(high))];
        let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
        lines.push(say("working.stretch", &holes));
    }
    lines
}

fn degrees(temperature: Temperature) -> String {
    format::both_scales(temperature)
}

fn formula(sum: &SystemSum) -> String {
    let key = match sum.system {
        System::Us => "working.degree_hours_us",
        System::Canada => "working.degree_hours_canada",
    };
    let holes = [
        ("low", &*format::number(sum.lower, 1)),
        ("high", &*format::beside(sum.upper_of_known, sum.limit_upper, 1)),
        ("limit", &*format::number(sum.limit_upper, 0)),
        ("highest", &*sum.highest.map_or_else(String::new, |highest| format::number(highest, 1))),
        ("source", &*sum.finding.limit.source),
    ];
    say(key, &holes)
}
