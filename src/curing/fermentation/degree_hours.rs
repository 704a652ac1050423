//! Degree-hours: the sums of a course in each system, and what they say.
//!
//! Degree-hours are hours times degrees of the room above the base, from the start of fermentation until the pH
//! is 5.3 or less. The lower sum is what the course had for certain, the upper sum what it may have had.

use super::advice;
use super::course::{Course, CourseError, Stretch};
use super::evidence::Grade;
use super::system::{HoursLeft, Rules, System, Systems};
use crate::curing::finding::{Advice, Finding, Level, Outcome};
use crate::curing::rule::Limit;
use crate::quantity::Hours;
use crate::quantity::Ph;
use crate::quantity::compare;
use crate::quantity::{Temperature, TemperatureScale};
use chrono::{DateTime, Utc};

/// What a system says of a course, best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Under the limit, and the room is at or below the base: no time runs.
    NotRunning,
    /// Under the limit.
    Within,
    /// Part of the course is not known, and the rest does not decide it.
    CannotBeAssessed,
    /// The upper sum is at or over the limit: to be treated as exceeded.
    MayBeExceeded,
    /// The lower sum is at or over the limit: discard.
    Exceeded,
}

/// Where the clock stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClockState {
    /// A stated course, not a batch: taken as it stands.
    Stated,
    /// It runs: no ending pH yet.
    Running,
    /// A pH reading ended it.
    Ended {
        /// When the reading was taken.
        at: DateTime<Utc>,
        /// What it was.
        ph: Ph,
        /// Whether a second reading is still asked for.
        provisional: bool,
    },
    /// The batch left fermentation, or its room stayed at or below the base for twelve hours, without an
    /// ending pH.
    NeverReached {
        /// When counting stopped.
        at: DateTime<Utc>,
    },
}

impl ClockState {
    const fn is_open(self) -> bool {
        matches!(self, Self::Running)
    }
}

/// One system's sums over a course.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemSum {
    /// Which system; its scale is the unit of everything here.
    pub system: System,
    /// Degree-hours for certain.
    pub lower: f64,
    /// Degree-hours at most; `None` where part of the course is not known.
    pub upper: Option<f64>,
    /// Degree-hours at most of the part that is known.
    pub upper_of_known: f64,
    /// The limit that the lower sum is held against.
    pub limit_lower: f64,
    /// The limit that the upper sum is held against. While the clock runs, the temperature now counts for it.
    pub limit_upper: f64,
    /// The warmest it may have been, in the system's degrees.
    pub highest: Option<f64>,
    /// Degrees above the base now, while the clock is open and the temperature is known.
    pub rate: Option<f64>,
    /// What it says.
    pub verdict: Verdict,
    /// The same as a finding, from the row that decided.
    pub finding: Finding,
}

impl SystemSum {
    /// Hours until a part of the limit (1 for all of it) at the temperature now; `None` unless the clock runs
    /// and the sums are within.
    pub fn hours_until(&self, part: f64) -> Option<HoursLeft> {
        if self.verdict != Verdict::Within {
            return None;
        }
        HoursLeft::at_rate(self.limit_upper * part - self.upper?, self.rate?)
    }

    /// Hours left at the temperature now.
    pub fn hours_left(&self) -> Option<HoursLeft> {
        self.hours_until(1.0)
    }
}

/// Everything about the degree-hours of one course.
#[derive(Debug, Clone, PartialEq)]
pub struct DegreeHourReport {
    /// The systems asked for, the US one first.
    pub sums: Vec<SystemSum>,
    /// Where the clock stands.
    pub state: ClockState,
    /// How well the course is known: the worst of its stretches.
    pub grade: Grade,
    /// Hours that could be counted.
    pub hours_counted: f64,
    /// Stretches of which nothing is known.
    pub gaps: Vec<(DateTime<Utc>, DateTime<Utc>)>,
    /// The course itself, for showing how it was worked out.
    pub course: Course,
}

impl DegreeHourReport {
    /// Sums a course in the systems asked for and judges it.
    pub fn of(course: Course, state: ClockState, systems: Systems) -> Self {
        let rules = systems.members().iter().filter_map(|system| Rules::of(*system));
        Self {
            sums: rules.filter_map(|rules| sum(&rules, &course, state)).collect(),
            state,
            grade: course.grade(),
            hours_counted: course.hours_counted(),
            gaps: course.gaps(),
            course,
        }
    }

    /// The sum in one system, if it was asked for.
    pub fn in_system(&self, system: System) -> Option<&SystemSum> {
        self.sums.iter().find(|sum| sum.system == system)
    }

    /// The worst verdict of the systems asked for.
    pub fn verdict(&self) -> Verdict {
        let verdicts = self.sums.iter().map(|sum| sum.verdict);
        verdicts.max().unwrap_or(Verdict::CannotBeAssessed)
    }

    /// Hours left at the temperature now: the shortest of the systems asked for, and none if any of them is not
    /// within.
    pub fn hours_left(&self) -> Option<HoursLeft> {
        if self.verdict() > Verdict::Within {
            return None;
        }
        let left = self.sums.iter().filter_map(SystemSum::hours_left);
        left.reduce(HoursLeft::shorter)
    }

    /// Every rule that was looked at.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.sums.iter().map(|sum| &sum.finding)
    }
}

/// Judges a stated course, like 10 h at 24 °C and then 15 h at 35 °C.
pub fn assess_course(
    steps: &[(Hours, Temperature)],
    systems: Systems,
) -> Result<DegreeHourReport, CourseError> {
    let course = Course::declared(steps)?;
    Ok(DegreeHourReport::of(course, ClockState::Stated, systems))
}

fn sum(rules: &Rules, course: &Course, state: ClockState) -> Option<SystemSum> {
    let add = |of: fn(&Stretch) -> Option<Temperature>| -> f64 {
        let counted = |stretch| of(stretch).map_or(0.0, |warmth| rules.above_base(warmth) * stretch.hours);
        course.stretches.iter().map(counted).sum()
    };
    let lower = add(|stretch| stretch.low);
    let upper_of_known = add(|stretch| stretch.high);
    let now = course.current.filter(|_| state.is_open());
    let warmest = super::course::warmer(course.highest_possible, now);
    let sums = Sums {
        lower,
        upper_of_known,
        row_lower: rules.band(course.highest_certain)?,
        row_upper: rules.band(warmest)?,
        complete: course.grade() != Grade::Missing,
        rate: now.map(|now| rules.above_base(now)),
    };
    let (limit_lower, limit_upper) = (sums.row_lower.value?, sums.row_upper.value?);
    let verdict = sums.verdict(limit_lower, limit_upper);
    Some(SystemSum {
        system: rules.system,
        lower,
        upper: sums.complete.then_some(upper_of_known),
        upper_of_known,
        limit_lower,
        limit_upper,
        highest: course.highest_possible.map(|warmest| warmest.in_scale(rules.system.scale())),
        rate: sums.rate,
        verdict,
        finding: sums.finding(verdict, course),
    })
}

/// What a verdict is made from.
struct Sums {
    lower: f64,
    upper_of_known: f64,
    row_lower: &'static Limit,
    row_upper: &'static Limit,
    complete: bool,
    rate: Option<f64>,
}

impl Sums {
    fn verdict(&self, limit_lower: f64, limit_upper: f64) -> Verdict {
        if compare::with_tolerance(self.lower, limit_lower).is_ge() {
            Verdict::Exceeded
        } else if compare::with_tolerance(self.upper_of_known, limit_upper).is_ge() {
            Verdict::MayBeExceeded
        } else if !self.complete {
            Verdict::CannotBeAssessed
        } else if self.rate.is_some_and(|rate| rate <= 0.0) {
            Verdict::NotRunning
        } else {
            Verdict::Within
        }
    }

    fn finding(&self, verdict: Verdict, course: &Course) -> Finding {
        match verdict {
            Verdict::Exceeded => self.exceeded(),
            Verdict::MayBeExceeded => Finding::judge(self.row_upper, self.upper_of_known)
                .at_least(Level::Warning)
                .advising(Advice::plain(advice::MAY_BE_EXCEEDED)),
            Verdict::CannotBeAssessed => Finding::not_judged(self.row_upper, unknown(course)),
            Verdict::NotRunning => Finding::judge(self.row_upper, self.upper_of_known)
                .advising(Advice::plain(advice::NOT_RUNNING)),
            Verdict::Within => self.within(course),
        }
    }

    /// Over twice the limit it will, not could, hold toxin: the same factor as for every other maximum.
    fn exceeded(&self) -> Finding {
        let level = self.row_lower.value.map_or(Level::Warning, |limit| Level::over(self.lower, limit));
        let finding = Finding::judge(self.row_lower, self.lower).at_least(level);
        let key = match finding.outcome {
            Outcome::AtLimit => advice::AT_LIMIT,
            _ => advice::EXCEEDED,
        };
        finding.advising(Advice::plain(key))
    }

    fn within(&self, course: &Course) -> Finding {
        let finding = Finding::judge(self.row_upper, self.upper_of_known);
        let declared = course.stretches.iter().filter(|s| s.grade == Grade::Declared);
        match declared.filter_map(|stretch| stretch.high).reduce(Temperature::warmer) {
            Some(warmest) => {
                finding.advising(Advice { key: advice::DECLARED, holes: vec![("warmest", shown(warmest))] })
            }
            None => finding,
        }
    }
}

/// In the scale it was given in, to a tenth where there is one.
fn shown(temperature: Temperature) -> String {
    let degrees = format!("{:.1}", temperature.in_scale(temperature.scale()));
    let sign = match temperature.scale() {
        TemperatureScale::Celsius => "°C",
        TemperatureScale::Fahrenheit => "°F",
    };
    format!("{} {sign}", degrees.strip_suffix(".0").unwrap_or(&degrees))
}

/// Why a course cannot be assessed: no reading at all, or a gap of so many hours.
fn unknown(course: &Course) -> Advice {
    let missing = course.stretches.iter().filter(|s| s.grade == Grade::Missing);
    let hours: f64 = missing.map(|stretch| stretch.hours).sum();
    if compare::with_tolerance(course.hours_counted(), 0.0).is_le() {
        return Advice::plain(advice::NO_READING);
    }
    Advice { key: advice::GAP, holes: vec![("hours", format!("{hours:.0}"))] }
}
