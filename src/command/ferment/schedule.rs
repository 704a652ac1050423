//! `/ferment schedule`: a planned course, before anything is stuffed: how long each step may last, and when the pH must
//! have been measured. Without a course, the table of rooms.

use super::culture;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::intake;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::fermentation;
use crate::command::why::{Why, values};
use crate::curing::fermentation::culture::Culture;
use crate::curing::fermentation::published::{self, Style};
use crate::curing::fermentation::schedule::{
    MustEnd, PlannedStep, Schedule, ScheduleError, StepLimit, StepPlan, planning_table,
};
use crate::curing::fermentation::{HoursLeft, System, Systems, Verdict};
use crate::curing::finding::Advice;
use crate::curing::{Finding, Level, rulebook};
use crate::quantity::{Hours, Temperature, TemperatureScale, format};
use crate::reply::finding::standing_shown;
use crate::reply::{Figure, Reply, say, unit};

/// `/ferment schedule`
pub static SPEC: Spec = Spec {
    root: "ferment",
    verb: "schedule",
    aliases: &["plan"],
    summary: "how long each step of a planned fermentation may last; a table of rooms without a course",
    options: &[
        maybe("course", OptionKind::Text, "e.g. 24 C 48 h, 15 C 24 h; or a course by name, e.g. slow"),
        maybe(
            "system",
            OptionKind::Choice(&["us", "canada", "strict"]),
            "strict runs both and takes the shorter",
        ),
        maybe("culture", OptionKind::Choice(culture::NAMES), "to see whether it likes the room"),
    ],
    examples: ["ferment schedule course:24 C 48 h, 15 C 24 h", "ferment schedule course:slow culture:sakei"],
    private: false,
};

/// Rooms of the planning table, in °C and in °F.
const ROOMS_C: [f64; 13] = [20.0, 22.0, 24.0, 26.0, 28.0, 30.0, 32.0, 33.0, 34.0, 36.0, 37.0, 38.0, 40.0];
const ROOMS_F: [f64; 9] = [65.0, 70.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0, 105.0];

/// What is planned.
#[derive(Debug, Clone)]
enum Planned {
    Table,
    Course(Schedule),
    Style(&'static Style, Schedule),
}

/// A look at a plan.
#[derive(Debug, Clone)]
pub struct FermentSchedule {
    planned: Planned,
    systems: Systems,
    culture: Option<&'static Culture>,
}

impl FermentSchedule {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let systems = args.choice("system", Systems::parse)?.unwrap_or_default();
        let culture = args.choice("culture", crate::curing::fermentation::culture::named)?;
        let planned = match args.text("course") {
            None => Planned::Table,
            Some(text) => match published::named(text) {
                Some(style) => {
                    let schedule = Schedule::of(&style.warmest_course(), systems);
                    Planned::Style(style, schedule.map_err(|error| refused(args, &error))?)
                }
                None => Planned::Course(course(args, text, systems)?),
            },
        };
        Ok(Self { planned, systems, culture })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let mut reply = match &self.planned {
            Planned::Table => self.table(asking),
            Planned::Course(schedule) => planned(schedule, self.systems, asking),
            Planned::Style(style, schedule) => {
                let mut reply = planned(schedule, self.systems, asking);
                reply.lines.insert(0, style_line(style, asking));
                let (_, longest) = style.hours();
                let key = if longest.is_some() {
                    "ferment.schedule.warm_end"
                } else {
                    "ferment.schedule.warm_end_open"
                };
                reply.lines.insert(1, say(key, &[]));
                reply.working.push(say("ferment.schedule.where", &[("where", &style.place)]));
                reply
            }
        };
        if let Some(culture) = self.culture {
            for (level, text) in
                self.rooms().into_iter().filter_map(|room| culture::advice(culture, room, asking))
            {
                reply.note(level, text);
            }
            reply.working.push(culture::range_line(culture, asking));
        }
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    /// The rooms in which the culture is to work: the steps in which the clock runs.
    fn rooms(&self) -> Vec<Temperature> {
        let (Planned::Course(schedule) | Planned::Style(_, schedule)) = &self.planned else {
            return Vec::new();
        };
        let runs = schedule.steps.iter().filter(|plan| plan.limit != StepLimit::NotRunning);
        let mut rooms: Vec<Temperature> = runs.map(|plan| plan.step.temperature).collect();
        rooms.dedup();
        rooms
    }

    fn table(&self, asking: &Asking) -> Reply {
        let scale = asking.member.settings.temperature;
        let rooms: Vec<Temperature> = match scale {
            TemperatureScale::Celsius => ROOMS_C.map(Temperature::celsius).to_vec(),
            TemperatureScale::Fahrenheit => ROOMS_F.map(Temperature::fahrenheit).to_vec(),
        };
        let key = match self.systems {
            Systems::Us => "ferment.schedule.table_us",
            Systems::Canada => "ferment.schedule.table_canada",
            Systems::Strict => "ferment.schedule.table",
        };
        let mut reply = Reply::new("ferment schedule", say(key, &[]));
        let row = |(room, longest): (Temperature, HoursLeft)| {
            hours_figure("step_longest", longest).of(format::temperature(room, scale))
        };
        reply.figures = planning_table(&rooms, self.systems).into_iter().map(row).collect();
        reply.lines.push(say("ferment.schedule.between_rows", &[]));
        reply.lines.extend(sources(self.systems));
        reply.next = Some(say("ferment.schedule.next_course", &[]));
        reply
    }
}

fn course(args: Args<'_>, text: &str, systems: Systems) -> Result<Schedule, UserError> {
    if !text.contains(|letter: char| letter.is_ascii_digit()) {
        let names: Vec<&str> = published::styles().iter().map(Style::name).collect();
        let holes = [("typed", text), ("names", &*names.join(", "))];
        return Err(args.error(Code::UnknownChoice, say("ferment.schedule.unknown_name", &holes)));
    }
    let scale = args.asking.member.settings.temperature;
    let steps = intake::plan(text, scale).map_err(|error| args.intake_error("course", &error))?;
    let steps: Vec<PlannedStep> =
        steps.into_iter().map(|(hours, temperature)| PlannedStep { temperature, hours }).collect();
    Schedule::of(&steps, systems).map_err(|error| refused(args, &error))
}

fn refused(args: Args<'_>, error: &ScheduleError) -> UserError {
    let sentence = say("error.option_value", &[("option", "course"), ("why", &error.why())]);
    args.error(Code::OutOfRange, sentence)
}

fn planned(schedule: &Schedule, systems: Systems, asking: &Asking) -> Reply {
    let mut reply = Reply::new("ferment schedule", headline(schedule, asking));
    if let MustEnd::InStep(_, end) | MustEnd::GoingOn(end) = schedule.must_end() {
        reply.figures.push(hours_figure("clock_must_end", end).folded());
    }
    for (at, plan) in schedule.steps.iter().enumerate() {
        reply.figures.extend(step_figures(at + 1, plan, asking));
    }
    if let Some(report) = &schedule.report {
        reply.figures.extend(fermentation::figures(report, asking));
        let over = report.verdict() >= Verdict::MayBeExceeded;
        let key = if over { "ferment.schedule.shorten" } else { "ferment.schedule.if_kept" };
        // Nothing is fermented yet: however far over it is, a plan can be changed.
        let planned = |finding: &Finding| {
            let level = finding.level.min(Level::Warning);
            finding.clone().at_level(level).advising(Advice::plain(key))
        };
        reply.findings = report.findings().map(planned).collect();
        reply.findings.sort_by_key(|finding| std::cmp::Reverse((finding.level, finding.outcome)));
        reply.working = fermentation::working(report);
    } else {
        reply.lines.extend(sources(systems));
    }
    if !matches!(schedule.must_end(), MustEnd::NoTimeRuns) {
        reply.note(Level::Notice, say("ferment.schedule.only_a_ph", &[]));
    }
    reply
}

fn headline(schedule: &Schedule, asking: &Asking) -> String {
    let scale = asking.member.settings.temperature;
    let last = schedule.steps.last().map(|plan| format::temperature(plan.step.temperature, scale));
    let hours: f64 = schedule.steps.iter().filter_map(|plan| plan.step.hours).map(Hours::value).sum();
    let (key, step, end) = match schedule.must_end() {
        MustEnd::InStep(step, end) if schedule.is_allowed() => ("ferment.schedule.open", step, Some(end)),
        MustEnd::InStep(step, end) => ("ferment.schedule.over", step, Some(end)),
        MustEnd::GoingOn(end) => ("ferment.schedule.going_on", 0, Some(end)),
        MustEnd::NoTimeRuns if schedule.steps.iter().all(|plan| plan.limit == StepLimit::NotRunning) => {
            ("ferment.schedule.never_runs", 0, None)
        }
        MustEnd::NoTimeRuns => ("ferment.schedule.cooled", 0, None),
    };
    let holes = [
        ("hours", format::trimmed(hours, 1)),
        ("last", last.unwrap_or_default()),
        ("step", step.to_string()),
        ("must_end", end.map(left_shown).unwrap_or_default()),
    ];
    let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    say(key, &holes)
}

fn step_figures(number: usize, plan: &StepPlan, asking: &Asking) -> Vec<Figure> {
    let mut found = vec![figures::temperature("step_temperature", plan.step.temperature, asking)];
    if let Some(hours) = plan.step.hours {
        found.push(hours_as_said("step_planned", hours.value()));
    }
    match plan.limit {
        StepLimit::Longest(longest) => found.push(hours_figure("step_longest", longest)),
        StepLimit::NotRunning => {
            let (label, shown) = (say("label.step_longest", &[]), say("ferment.schedule.no_limit", &[]));
            found.push(Figure::number("step_longest", label, f64::INFINITY, unit::HOUR, shown));
        }
        StepLimit::Spent => found.push(hours_as_said("step_longest", 0.0)),
    }
    found.extend(plan.left().map(|left| hours_figure("step_left", left)));
    found.into_iter().map(|figure| figure.of(format!("step {number}"))).collect()
}

fn hours_as_said(id: &'static str, hours: f64) -> Figure {
    let shown = format!("{} h", format::trimmed(hours, 1));
    Figure::number(id, say(&format!("label.{id}"), &[]), hours, unit::HOUR, shown)
}

fn hours_figure(id: &'static str, left: HoursLeft) -> Figure {
    Figure::number(id, say(&format!("label.{id}"), &[]), left.exact(), unit::HOUR, left_shown(left))
}

fn left_shown(left: HoursLeft) -> String {
    let less_than = format::number(left.less_than(), 1);
    say("status.hours_left", &[("less_than", &less_than), ("whole", &left.whole_hours().to_string())])
}

/// A published course with its source and how well each part is known.
fn style_line(style: &Style, asking: &Asking) -> String {
    let scale = asking.member.settings.temperature;
    let (low, high) = style.temperatures();
    let (low, high) = (format::temperature(low, scale), format::temperature(high, scale));
    let mut parts = vec![if low == high {
        high
    } else {
        say("ferment.schedule.range", &[("low", &low), ("high", &high)])
    }];
    let hours = |hours: f64| format!("{} h", format::trimmed(hours, 0));
    parts.extend(match style.hours() {
        (Some(shortest), Some(longest)) if shortest < longest => {
            Some(say("ferment.schedule.range", &[("low", &hours(shortest)), ("high", &hours(longest))]))
        }
        (_, Some(longest)) => Some(hours(longest)),
        (Some(shortest), None) => Some(say("ferment.schedule.from", &[("low", &hours(shortest))])),
        (None, None) => None,
    });
    if let Some(humidity) = &style.humidity {
        let standing = style.humidity_standing.map(standing_shown).unwrap_or_default();
        let key =
            if standing.is_empty() { "ferment.schedule.humidity" } else { "ferment.schedule.humidity_doubt" };
        parts.push(say(key, &[("humidity", &values(humidity)), ("standing", &standing)]));
    }
    if let Some(ph) = &style.end_ph {
        parts.push(say("ferment.schedule.end_ph", &[("ph", &values(ph))]));
    }
    let holes = [
        ("name", style.name()),
        ("what", &*parts.join(", ")),
        ("source", &style.source),
        ("standing", &standing_shown(style.standing)),
    ];
    say("ferment.schedule.style", &holes)
}

fn system_name(system: System) -> String {
    match system {
        System::Us => say("word.system.us", &[]),
        System::Canada => say("word.system.canada", &[]),
    }
}

/// The limits' sources and standing, one line each system.
fn sources(systems: Systems) -> Vec<String> {
    let rule = |system: &System| {
        let row = rulebook::by_id(system.rule_id())?;
        let holes = [
            ("system", &*system_name(*system)),
            ("source", row.source.as_str()),
            ("standing", &standing_shown(row.standing)),
        ];
        Some(say("ferment.schedule.source", &holes))
    };
    systems.members().iter().filter_map(rule).collect()
}
