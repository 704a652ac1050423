//! A planned course of temperatures: how long each step may last, and when the clock must have ended.
//!
//! The bands go by the highest temperature of the whole plan, also for the steps before it: the plan as it is said is
//! what is judged. Everything is worked out in each system's own degrees; the shortest of the systems asked for counts.

use super::course::{Course, CourseError};
use super::degree_hours::{ClockState, DegreeHourReport};
use super::system::{HoursLeft, Rules, Systems};
use crate::quantity::compare;
use crate::quantity::{Hours, Temperature};
use thiserror::Error;

/// One step of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedStep {
    /// The room's temperature.
    pub temperature: Temperature,
    /// How long; `None`: until the pH is reached.
    pub hours: Option<Hours>,
}

/// Why a plan is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ScheduleError {
    /// A step is impossible.
    #[error(transparent)]
    Course(#[from] CourseError),
    /// A step before the last one has no length.
    #[error("only the last step may go without its hours, like: 24 C 24 h, 28 C")]
    OpenStep,
}

/// How long a step may last, with the steps before it as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StepLimit {
    /// The room is at or below the base: no time runs.
    NotRunning,
    /// So long, counted from the step's own start.
    Longest(HoursLeft),
    /// The steps before it have spent everything.
    Spent,
}

/// A step with what is worked out for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepPlan {
    /// The step.
    pub step: PlannedStep,
    /// Hours from the start of the clock to the start of the step.
    pub begins: f64,
    /// How long it may last.
    pub limit: StepLimit,
}

impl StepPlan {
    /// Whether it is planned to last as long as it may, or longer.
    pub fn reaches_limit(&self) -> bool {
        match (self.limit, self.step.hours) {
            (StepLimit::Spent, _) => true,
            (StepLimit::NotRunning, _) | (StepLimit::Longest(_), None) => false,
            (StepLimit::Longest(longest), Some(hours)) => {
                compare::with_tolerance(hours.value(), longest.exact()).is_ge()
            }
        }
    }

    /// Hours left at the step's temperature when it is over; `None` where none are, or no time runs.
    pub fn left(&self) -> Option<HoursLeft> {
        match (self.limit, self.step.hours) {
            (StepLimit::Longest(longest), Some(hours)) if !self.reaches_limit() => {
                HoursLeft::at_rate(longest.exact() - hours.value(), 1.0)
            }
            _ => None,
        }
    }
}

/// A plan with what the systems asked for say of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// The steps, in order.
    pub steps: Vec<StepPlan>,
    /// The sums of the steps that have a length; `None` where none has.
    pub report: Option<DegreeHourReport>,
}

/// When the clock must have ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MustEnd {
    /// In this step (counted from 1), so many hours from the start.
    InStep(usize, HoursLeft),
    /// The plan is under the limit; going on at its last temperature, so many hours from the start.
    GoingOn(HoursLeft),
    /// The plan is under the limit, and in its last step no time runs.
    NoTimeRuns,
}

impl Schedule {
    /// Works out a plan.
    pub fn of(steps: &[PlannedStep], systems: Systems) -> Result<Self, ScheduleError> {
        check(steps)?;
        let highest = steps.iter().map(|step| step.temperature).reduce(Temperature::warmer);
        let systems_asked = systems.members().iter().filter_map(|system| Rules::of(*system));
        let mut running: Vec<Running> =
            systems_asked.filter_map(|rules| Running::start(rules, highest)).collect();
        let mut begins = 0.0;
        let mut planned = Vec::new();
        for step in steps {
            let limits = running.iter().map(|system| system.limit_of(step.temperature));
            let limit = limits.reduce(strictest).unwrap_or(StepLimit::Spent);
            planned.push(StepPlan { step: *step, begins, limit });
            let hours = step.hours.map_or(0.0, Hours::value);
            begins += hours;
            for system in &mut running {
                system.spend(step.temperature, hours);
            }
        }
        Ok(Self { steps: planned, report: report(steps, highest, systems) })
    }

    /// Whether every step that has a length stays under the limit.
    pub fn is_allowed(&self) -> bool {
        !self.steps.iter().any(StepPlan::reaches_limit)
    }

    /// When the clock must have ended.
    pub fn must_end(&self) -> MustEnd {
        let from_start = |plan: &StepPlan| match plan.limit {
            StepLimit::Longest(longest) => Some(longest.after(plan.begins)),
            StepLimit::NotRunning | StepLimit::Spent => None,
        };
        for (at, plan) in self.steps.iter().enumerate() {
            let is_last_chance = plan.step.hours.is_none() || plan.reaches_limit();
            if let Some(end) = from_start(plan).filter(|_| is_last_chance) {
                return MustEnd::InStep(at + 1, end);
            }
        }
        self.steps.last().and_then(from_start).map_or(MustEnd::NoTimeRuns, MustEnd::GoingOn)
    }
}

/// How long a room may be kept at each of these temperatures, by the systems asked for.
pub fn planning_table(temperatures: &[Temperature], systems: Systems) -> Vec<(Temperature, HoursLeft)> {
    let row = |room: &Temperature| super::system::longest_at(systems, *room).map(|longest| (*room, longest));
    temperatures.iter().filter_map(row).collect()
}

fn check(steps: &[PlannedStep]) -> Result<(), ScheduleError> {
    // A step until the pH is reached has no length to check.
    let checked = steps.iter().map(|step| (step.hours.unwrap_or(Hours::new(1.0)), step.temperature));
    Course::declared(&checked.collect::<Vec<_>>())?;
    let before_last = steps.len().saturating_sub(1);
    if steps.iter().take(before_last).any(|step| step.hours.is_none()) {
        return Err(ScheduleError::OpenStep);
    }
    Ok(())
}

fn report(steps: &[PlannedStep], highest: Option<Temperature>, systems: Systems) -> Option<DegreeHourReport> {
    let stated: Vec<_> =
        steps.iter().filter_map(|step| step.hours.map(|hours| (hours, step.temperature))).collect();
    let course = Course::declared(&stated).ok()?;
    let course = Course { highest_certain: highest, highest_possible: highest, ..course };
    Some(DegreeHourReport::of(course, ClockState::Stated, systems))
}

/// One system along a plan.
struct Running {
    rules: Rules,
    limit: f64,
    spent: f64,
}

impl Running {
    fn start(rules: Rules, highest: Option<Temperature>) -> Option<Self> {
        let limit = rules.band(highest)?.value?;
        Some(Self { rules, limit, spent: 0.0 })
    }

    fn limit_of(&self, room: Temperature) -> StepLimit {
        if compare::with_tolerance(self.spent, self.limit).is_ge() {
            return StepLimit::Spent;
        }
        let left = HoursLeft::at_rate(self.limit - self.spent, self.rules.above_base(room));
        left.map_or(StepLimit::NotRunning, StepLimit::Longest)
    }

    fn spend(&mut self, room: Temperature, hours: f64) {
        self.spent += self.rules.above_base(room) * hours;
    }
}

fn strictest(one: StepLimit, other: StepLimit) -> StepLimit {
    match (one, other) {
        (StepLimit::Spent, _) | (_, StepLimit::Spent) => StepLimit::Spent,
        (StepLimit::Longest(one), StepLimit::Longest(other)) => StepLimit::Longest(one.shorter(other)),
        (StepLimit::Longest(one), StepLimit::NotRunning)
        | (StepLimit::NotRunning, StepLimit::Longest(one)) => StepLimit::Longest(one),
        (StepLimit::NotRunning, StepLimit::NotRunning) => StepLimit::NotRunning,
    }
}

#[cfg(test)]
mod tests;
