//! What the degree-hours ask of the plan: when half and when most of them are spent.

use super::PlanInput;
use crate::curing::fermentation::Acidity;
use crate::curing::fermentation::ClockState;
use crate::curing::fermentation::Course;
use crate::curing::fermentation::DegreeHourReport;
use crate::curing::fermentation::Systems;
use crate::curing::fermentation::alarm;
use crate::curing::fermentation::clock;
use crate::curing::fermentation::degree_hours::SystemSum;
use crate::curing::fermentation::history::{Stay, Window};
use crate::quantity::Temperature;
use crate::quantity::compare;
use crate::record::{BatchStage, hours_between};
use chrono::{DateTime, TimeDelta, Utc};

/// The whole limit.
const ALL: f64 = 1.0;
/// A part that is spent only after so many hours is never spent: nobody ferments for that long. In a room a hair
/// above the base of the sum it would lie past the end of the calendar.
const NEVER_HOURS: f64 = 40.0 * 24.0;

/// Where a fermentation stands.
pub(super) struct Budget {
    /// When half of the stricter limit is spent, if the room stays as it was.
    pub(super) half: Option<DateTime<Utc>>,
    /// When most of it is.
    pub(super) nearly_all: Option<DateTime<Utc>>,
    /// When all of it is: from then on the limit is exceeded.
    pub(super) all: Option<DateTime<Utc>>,
    /// The pH that was waited for is there: nothing more has to be measured.
    pub(super) is_sour: bool,
}

impl Budget {
    /// Looks at the fermentation that began at `since`.
    ///
    /// The room is projected from the last thing that is known of it, not from the last entry of the batch, so a
    /// note does not move a reminder. Hours of which nothing is known count as warm as the room was last.
    pub(super) fn of(input: &PlanInput<'_>, since: DateTime<Utc>) -> Self {
        let readings: Vec<_> = input.state.ph.iter().filter(|reading| reading.at >= since).copied().collect();
        let acidity = Acidity::of(&readings, input.state.plan.thickness);
        let is_sour = acidity.end.is_some_and(|end| !end.provisional) && is_at_target(input);
        let begun = begun(input, since);
        let known = last_known(input).filter(|_| acidity.end.is_none()).map(|known| known.max(since));
        let report = known.map(|known| (known, report(input, begun, known)));
        let spent = |part| {
            let (known, report) = report.as_ref()?;
            report.sums.iter().filter_map(|sum| reached(sum, report, (begun, *known), part)).min()
        };
        Self {
            half: spent(alarm::part("alarm.degree_hours.half")),
            nearly_all: spent(alarm::part("alarm.degree_hours.four_fifths")),
            all: spent(ALL),
            is_sour,
        }
    }
}

/// When the clock began that this fermentation is counted on: a cased batch may have been warm before.
fn begun(input: &PlanInput<'_>, since: DateTime<Utc>) -> DateTime<Utc> {
    let Some(in_hand) = input.state.in_hand_since() else { return since };
    let stay = Stay { climate: input.climate, from: in_hand, to: None };
    let is_first = input.state.reached(BatchStage::Fermenting) == Some(since);
    let begun = clock::begins(input.state, &[stay], DateTime::<Utc>::MAX_UTC).filter(|_| is_first);
    begun.unwrap_or(since)
}

/// The member's own target may lie below the pH that ends the degree-hours.
fn is_at_target(input: &PlanInput<'_>) -> bool {
    let Some(target) = input.state.plan.target_ph else {
        return true;
    };
    let last = input.state.ph.last().map(|reading| reading.ph.value());
    last.is_some_and(|last| compare::with_tolerance(last, target.value()).is_le())
}

fn report(input: &PlanInput<'_>, since: DateTime<Utc>, known: DateTime<Utc>) -> DegreeHourReport {
    let stay = Stay { climate: input.climate, from: since, to: None };
    let window = Window { from: since, closed: None, now: known };
    DegreeHourReport::of(Course::of_history(&[stay], window), ClockState::Running, Systems::Strict)
}

/// When a part of one system's limit is spent at the temperature of the moment up to which the room is known.
/// It may lie before that moment, but not before the fermentation. `None` where no time runs.
fn reached(
    sum: &SystemSum,
    report: &DegreeHourReport,
    (since, known): (DateTime<Utc>, DateTime<Utc>),
    part: f64,
) -> Option<DateTime<Utc>> {
    let rate = sum.rate.filter(|rate| *rate > 0.0)?;
    let elapsed = hours_between(since, known);
    let unknown = (elapsed - report.hours_counted).max(0.0);
    let left = sum.limit_upper * part - sum.upper_of_known - unknown * rate;
    let hours = Some((left / rate).max(-elapsed)).filter(|hours| *hours < NEVER_HOURS)?;
    known.checked_add_signed(whole_minutes(hours)?)
}

/// Cut to the minute, so that the reminder is never late by its rounding.
fn whole_minutes(hours: f64) -> Option<TimeDelta> {
    let minutes = (hours * 60.0).floor();
    minutes.is_finite().then(|| TimeDelta::try_minutes(minutes as i64))?
}

/// The moment up to which anything is known of the room.
fn last_known(input: &PlanInput<'_>) -> Option<DateTime<Utc>> {
    let climate = input.climate;
    let read = climate.readings.iter().map(|reading| reading.at);
    let set = climate.settings.iter().map(|setting| setting.at);
    let remembered = climate.extremes.iter().map(|extreme| extreme.at);
    read.chain(set).chain(remembered).max()
}

/// The room as it was last read or set, whichever came later.
pub(super) fn room(input: &PlanInput<'_>) -> Option<Temperature> {
    let read = input.climate.readings.iter().map(|reading| (reading.at, reading.temperature));
    let set = input.climate.settings.iter().map(|setting| (setting.at, setting.temperature));
    set.chain(read).max_by_key(|(at, _)| *at).map(|(_, temperature)| temperature)
}
