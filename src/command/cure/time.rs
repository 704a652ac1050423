//! `/cure time`: how long a piece stays in the cure, by the published customs.

use super::{options, timing};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::line::Line;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::cure::{CureTime, Custom, Method, Shape};
use crate::curing::finding::{Advice, Finding};
use crate::curing::rule::Limit;
use crate::quantity::{Length, Mass, format, parse};
use crate::reply::finding::{printed, source};
use crate::reply::{Reply, say};

/// `/cure time`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "time",
    aliases: &[],
    summary: "how long a piece stays in the cure, by the published customs",
    options: &[
        needed(
            "thickness",
            OptionKind::Length,
            "thickness, or diameter of a round piece, e.g. 70 mm",
        ),
        maybe(
            "shape",
            OptionKind::Choice(&["slab", "cylinder"]),
            "flat like a belly, or round like a loin",
        ),
        maybe(
            "method",
            OptionKind::Choice(&["dry", "immersion"]),
            "dry when not said",
        ),
        maybe(
            "meat",
            OptionKind::Mass,
            "weight of the piece; many customs go by it",
        ),
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
        let time = timing::of(
            self.thickness,
            self.shape,
            self.method,
            self.weight,
            &self.line,
            asking,
        )?;
        let holes = [
            ("days", &*time.days.to_string()),
            ("rest", &time.rest_days.to_string()),
        ];
        let mut reply = Reply::new("cure time", say("cure.time.headline", &holes));
        reply.figures.extend(timing::figures(&time));
        reply
            .lines
            .extend(time.customs.iter().take(MOST_CUSTOMS).map(custom));
        timing::remarks(&mut reply, time.advice.iter());
        reply.findings = time.customs.iter().map(finding).collect();
        reply.working = self.working(&time);
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    fn working(&self, time: &CureTime) -> Vec<String> {
        time.customs
            .iter()
            .map(|custom| formula(custom, self.thickness, self.weight))
            .collect()
    }
}

/// One custom in a line: days, rate in both units, for what, source.
fn custom(custom: &Custom) -> String {
    let row = custom.row;
    let other = custom.in_other_unit().map_or_else(String::new, |(rate, unit)| {
        say(
            "cure.time.other_unit",
            &[("rate", &format::trimmed(rate, 1)), ("unit", unit)],
        )
    });
    let holes = [
        ("days", &*custom.days.to_string()),
        ("rate", &rate(row)),
        ("other", &other),
        ("scope", &row.scope),
        ("source", &source(row)),
    ];
    say("cure.time.custom", &holes)
}

/// A rate as its source prints it, with its unit.
fn rate(row: &Limit) -> String {
    if row.printed.contains(&row.unit) {
        row.printed.clone()
    } else {
        printed(row)
    }
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
        ("place", &row.place),
    ];
    say("cure.time.formula", &holes)
}

/// A custom as a rule that was looked at: it informs and is never a limit.
fn finding(custom: &Custom) -> Finding {
    let said = Advice {
        key: "cure.time.by_custom",
        holes: vec![("days", custom.days.to_string())],
    };
    Finding::not_judged(custom.row, said)
}
