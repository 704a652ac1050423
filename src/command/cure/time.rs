//! `/cure time`: how long a piece stays in the cure, by the published customs.

use super::{options, timing};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::line::Line;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::cure::{CureTime, Custom, Method, Shape};
use crate::curing::finding::{Advice, Finding, Level};
use crate::curing::rule::Limit;
use crate::curing::whole_muscle::diffusion::{ARRIVED, DIFFUSIVITY, Spread, days_until, fourier_at, lean_to};
use crate::quantity::{Length, Mass, format, parse};
use crate::reply::finding::{printed, source};
use crate::reply::rows;
use crate::reply::{Figure, Reply, say, unit};

/// `/cure time`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "time",
    aliases: &[],
    summary: "how long a piece stays in the cure, by the published customs",
    options: &[
        needed("thickness", OptionKind::Length, "thickness, or diameter of a round piece, e.g. 70 mm"),
        maybe("shape", OptionKind::Choice(&["slab", "cylinder"]), "flat like a belly, or round like a loin"),
        maybe("method", OptionKind::Choice(&["dry", "immersion"]), "dry when not said"),
        maybe("meat", OptionKind::Mass, "weight of the piece; many customs go by it"),
    ],
    examples: [
        "cure time thickness:45 mm shape:slab",
        "cure time thickness:70 mm shape:cylinder meat:1850 g",
    ],
    private: false,
};

/// Customs shown at once, the longest first; the others stand with how it was worked out.
const MOST_CUSTOMS: usize = 3;

/// A piece in the cure.
#[derive(Debug, Clone)]
pub struct CureTiming {
    thickness: Length,
    shape: Option<Shape>,
    method: Method,
    weight: Option<Mass>,
    line: Line,
}

impl CureTiming {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            thickness: args.read_needed("thickness", parse::length)?,
            shape: args.choice("shape", Shape::parse)?,
            method: args.choice("method", Method::parse)?.unwrap_or(Method::Dry),
            weight: options::meat(args)?,
            line: args.line().clone(),
        })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let time = timing::of(self.thickness, self.shape, self.method, self.weight, &self.line, asking)?;
        let holes = [("days", &*time.days.to_string()), ("rest", &time.rest_days.to_string())];
        let mut reply = Reply::new("cure time", say("cure.time.headline", &holes));
        reply.figures.extend(timing::figures(&time));
        reply.lines.extend(time.customs.iter().take(MOST_CUSTOMS).map(custom));
        timing::remarks(&mut reply, time.advice.iter());
        self.diffusion(&mut reply, &time);
        reply.findings = time.customs.iter().map(finding).collect();
        reply.working = self.working(&time);
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    /// What diffusion alone would take, told beside the customs and never in their place.
    fn diffusion(&self, reply: &mut Reply, time: &CureTime) {
        let system = self.system();
        let (slow, fast) = DIFFUSIVITY;
        let days = |diffusivity| days_until(ARRIVED, system, self.thickness, diffusivity);
        let (soonest, latest) = (days(fast), days(slow));
        let [from, to] = [soonest, latest].map(|days| format::trimmed(days.ceil(), 0));
        let key = match system {
            Spread::Slab => "cure.time.diffusion_slab",
            Spread::Cylinder => "cure.time.diffusion_round",
            Spread::SlabHeld => "cure.time.diffusion_brine",
        };
        reply.lines.push(say(key, &[("from", &from), ("to", &to)]));
        let label = say("label.diffusion_days", &[]);
        let range = say("cure.time.range", &[("from", &from), ("to", &to)]);
        let figure = Figure::number("diffusion_days", label, latest, unit::DAY, range);
        reply.figures.push(figure.between(soonest, latest).folded());
        let lean = lean_to(self.thickness, time.days);
        if lean > time.days && system != Spread::SlabHeld {
            reply.note(Level::Caution, say("cure.time.lean", &[("days", &lean.to_string())]));
        }
    }

    /// A weighed dose evens out in its bag; much brine keeps its strength until the meat is in balance with it.
    fn system(&self) -> Spread {
        match (self.method, self.shape) {
            (Method::Dry, shape) => shape.unwrap_or(Shape::Slab).into(),
            _ => Spread::SlabHeld,
        }
    }

    fn working(&self, time: &CureTime) -> Vec<String> {
        let customs = time.customs.iter().map(|custom| formula(custom, self.thickness, self.weight));
        customs.chain([self.diffusion_formula()]).collect()
    }

    fn diffusion_formula(&self) -> String {
        let system = self.system();
        let (slow, fast) = DIFFUSIVITY;
        let half = format::trimmed(self.thickness.as_millimetres() / 2.0, 2);
        let holes = [
            ("fourier", &*format::trimmed(fourier_at(system, ARRIVED), 4)),
            ("half", &half),
            ("fast", &format!("{:.0}e-10", fast * 1e10)),
            ("slow", &format!("{:.0}e-10", slow * 1e10)),
        ];
        say("cure.time.diffusion_formula", &holes)
    }
}

/// One custom in a line: days, rate in both units, for what, source.
fn custom(custom: &Custom) -> String {
    let row = custom.row;
    let other = custom.in_other_unit().map_or_else(String::new, |(rate, unit)| {
        say("cure.time.other_unit", &[("rate", &format::trimmed(rate, 1)), ("unit", unit)])
    });
    let holes = [
        ("days", &*custom.days.to_string()),
        ("rate", &rate(row)),
        ("other", &other),
        ("scope", &rows::scope(row)),
        ("source", &source(row)),
    ];
    say("cure.time.custom", &holes)
}

/// A rate as its source prints it, with its unit.
fn rate(row: &Limit) -> String {
    if row.printed.contains(&row.unit) { rows::printed(row) } else { printed(row) }
}

fn formula(custom: &Custom, thickness: Length, weight: Option<Mass>) -> String {
    let row = custom.row;
    let of = if row.unit.ends_with("inch") {
        format!("{} in", format::trimmed(thickness.as_inches(), 3))
    } else {
        let weight = weight.unwrap_or(Mass::grams(0.0));
        format!("{} g", format::trimmed(weight.as_grams(), 1))
    };
    let holes = [
        ("rate", &*rate(row)),
        ("of", &of),
        ("exact", &format::trimmed(custom.exact_days, 2)),
        ("days", &custom.days.to_string()),
        ("rule", &row.id),
    ];
    say("cure.time.formula", &holes)
}

/// A custom as a rule that was looked at: it informs and is never a limit.
fn finding(custom: &Custom) -> Finding {
    let said = Advice { key: "cure.time.by_custom", holes: vec![("days", custom.days.to_string())] };
    Finding::not_judged(custom.row, said)
}
