//! `/check growth`: which organisms the published tables let grow at a temperature, a pH and a water activity.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::growth::{Bound, Facts, Growth, Hurdle, Limits, Organism, growth};
use crate::curing::{Level, Standing};
use crate::quantity::{Fraction, format, parse};
use crate::reply::finding::standing_shown;
use crate::reply::{Figure, Reply, say};

const ORGANISMS: &[&str] = &[
    "salmonella",
    "listeria",
    "e-coli",
    "staphylococcus",
    "staphylococcus-toxin",
    "botulinum",
    "botulinum-e",
    "perfringens",
    "yersinia",
];

/// `/check growth`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "growth",
    aliases: &[],
    summary: "which organisms the published tables let grow",
    options: &[
        maybe("organism", OptionKind::Choice(ORGANISMS), "one of them; all when not said"),
        maybe("temperature", OptionKind::Text, "where it lies or hangs, e.g. 13 C"),
        maybe("ph", OptionKind::Text, "its pH, e.g. 5.1"),
        maybe("aw", OptionKind::Text, "its water activity, e.g. 0.90"),
    ],
    examples: ["check growth temperature:13 C ph:5.1 aw:0.90", "check growth organism:listeria"],
    private: false,
};

/// What might grow, and where.
#[derive(Debug, Clone, Copy)]
pub struct CheckGrowth {
    organism: Option<Organism>,
    facts: Facts,
}

impl CheckGrowth {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let facts = Facts {
            temperature: args.read("temperature", parse::temperature)?,
            ph: args.ph("ph")?,
            activity: args.read("aw", parse::water_activity)?,
        };
        let named = |word: &str| Organism::ALL.into_iter().find(|organism| organism.word() == word);
        let organism = args.choice("organism", named)?;
        if organism.is_none() && facts == Facts::default() {
            return Err(args.missing("temperature"));
        }
        Ok(Self { organism, facts })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let mut reply = match self.organism {
            Some(organism) => self.one(organism, asking),
            None => self.all(asking),
        };
        if self.facts != Facts::default() {
            reply.note(Level::Notice, say("check.growth.no_kill", &[]));
        }
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    fn all(&self, asking: &Asking) -> Reply {
        let found: Vec<(Organism, Growth)> =
            Organism::ALL.into_iter().map(|organism| (organism, growth(organism, self.facts))).collect();
        let (stopped, others): (Vec<_>, Vec<_>) =
            found.iter().partition(|(_, growth)| matches!(growth, Growth::Stopped(_)));
        let growing: Vec<&str> = others.iter().map(|(organism, _)| organism.name()).collect();
        let missing = self.missing();
        let holes = [
            ("facts", &*self.facts_in_words(asking)),
            ("stopped", &stopped.len().to_string()),
            ("all", &found.len().to_string()),
            ("growing", &growing.join(", ")),
            ("missing", &missing),
        ];
        let key = match (growing.is_empty(), stopped.is_empty()) {
            (true, _) => "check.growth.headline_all",
            (false, true) => "check.growth.headline_none",
            (false, false) => "check.growth.headline",
        };
        let mut reply = Reply::new("check growth", say(key, &holes));
        reply.figures = found.iter().map(|(organism, growth)| figure(*organism, growth)).collect();
        if !growing.is_empty() {
            let key = if missing.is_empty() { "check.growth.growing" } else { "check.growth.unstopped" };
            reply.lines.push(say(key, &holes));
        }
        reply.lines.extend(stopped.iter().map(|(organism, growth)| self.line(*organism, growth, asking)));
        reply.lines.extend(to_check(stopped.iter().map(|(_, growth)| growth)));
        reply.working = found.iter().map(|(organism, _)| sources(*organism)).collect();
        reply
    }

    fn one(&self, organism: Organism, asking: &Asking) -> Reply {
        let found = growth(organism, self.facts);
        let headline = if self.facts == Facts::default() {
            say("check.growth.limits_of", &[("organism", organism.name())])
        } else {
            let line = self.line(organism, &found, asking);
            say("check.growth.headline_one", &[("facts", &self.facts_in_words(asking)), ("line", &line)])
        };
        let mut reply = Reply::new("check growth", headline);
        reply.figures = limit_figures(organism, asking);
        reply.figures.push(figure(organism, &found));
        reply.lines = vec![sources(organism)];
        reply
    }

    fn line(&self, organism: Organism, growth: &Growth, asking: &Asking) -> String {
        let (key, why) = match growth {
            Growth::Stopped(hurdles) => {
                let why: Vec<String> = hurdles.iter().map(|hurdle| self.why(*hurdle, asking)).collect();
                ("check.growth.stopped", why.join(", "))
            }
            Growth::NotStopped => ("check.growth.not_stopped", self.missing()),
            Growth::Grows => ("check.growth.grows", String::new()),
        };
        say(key, &[("organism", organism.name()), ("why", &why)])
    }

    fn why(&self, hurdle: Hurdle, asking: &Asking) -> String {
        let bound = hurdle.bound();
        let mark = if bound.row.standing == Standing::FromMemory { "*" } else { "" };
        let limit = format!("{}{mark}", format::trimmed(bound.value, 3));
        let scale = asking.member.settings.temperature;
        let temperature = format!("{}{mark}", format::temperature(bound.temperature(), scale));
        let ph = self.facts.ph.map(format::ph).unwrap_or_default();
        let activity = self.facts.activity.map(format::water_activity).unwrap_or_default();
        match hurdle {
            Hurdle::Dry(_) => say("check.growth.dry", &[("measured", &activity), ("limit", &limit)]),
            Hurdle::Acid(_) => say("check.growth.acid", &[("measured", &ph), ("limit", &limit)]),
            Hurdle::Alkaline(_) => say("check.growth.alkaline", &[("measured", &ph), ("limit", &limit)]),
            Hurdle::Cold(_) => say("check.growth.cold", &[("limit", &temperature)]),
            Hurdle::Hot(_) => say("check.growth.hot", &[("limit", &temperature)]),
        }
    }

    /// Which facts would tell more.
    fn missing(&self) -> String {
        let facts = [
            (self.facts.temperature.is_none(), "figure_name.temperature"),
            (self.facts.ph.is_none(), "figure_name.ph"),
            (self.facts.activity.is_none(), "figure_name.water_activity"),
        ];
        let missing: Vec<String> =
            facts.into_iter().filter(|(missing, _)| *missing).map(|(_, key)| say(key, &[])).collect();
        missing.join(", ")
    }

    fn facts_in_words(&self, asking: &Asking) -> String {
        let scale = asking.member.settings.temperature;
        let known = [
            self.facts.temperature.map(|temperature| format::temperature(temperature, scale)),
            self.facts.ph.map(|ph| format!("pH {}", format::ph(ph))),
            self.facts.activity.map(|activity| format!("aw {}", format::water_activity(activity))),
        ];
        known.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// What the figures with a star are to be checked against.
fn to_check<'a>(found: impl Iterator<Item = &'a Growth>) -> Option<String> {
    let hurdles = found.filter_map(|growth| match growth {
        Growth::Stopped(hurdles) => Some(hurdles),
        Growth::NotStopped | Growth::Grows => None,
    });
    let mut rows = hurdles.flatten().map(|hurdle| hurdle.bound().row);
    let row = rows.find(|row| row.standing == Standing::FromMemory)?;
    Some(say("check.growth.starred", &[("source", &row.source), ("where", &row.place)]))
}

fn figure(organism: Organism, growth: &Growth) -> Figure {
    let word = match growth {
        Growth::Stopped(_) => "stopped",
        Growth::NotStopped => "not_stopped",
        Growth::Grows => "grows",
    };
    figures::word("growth", word).of(organism.word().to_owned()).folded()
}

fn limit_figures(organism: Organism, asking: &Asking) -> Vec<Figure> {
    let limits = Limits::of(organism);
    let number = |id: &'static str, bound: Option<Bound>| {
        bound.map(|bound| Figure {
            shown: format::trimmed(bound.value, 3),
            ..figures::number(id, bound.value, 3)
        })
    };
    let temperature = |id: &'static str, bound: Option<Bound>| {
        bound.map(|bound| figures::temperature(id, bound.temperature(), asking))
    };
    let salt = limits.salt_in_water_max_percent;
    [
        number("growth_aw_min", limits.activity_min),
        number("growth_ph_min", limits.ph_min),
        number("growth_ph_max", limits.ph_max),
        temperature("growth_temperature_min", limits.temperature_min),
        temperature("growth_temperature_max", limits.temperature_max),
        salt.map(|bound| figures::percent("growth_salt_in_water_max", Fraction::percent(bound.value))),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The rows behind an organism's limits, each once, with how well it is known.
fn sources(organism: Organism) -> String {
    let limits = Limits::of(organism);
    let bounds = [
        limits.activity_min,
        limits.ph_min,
        limits.ph_max,
        limits.temperature_min,
        limits.temperature_max,
        limits.salt_in_water_max_percent,
    ];
    let mut rows: Vec<String> = Vec::new();
    for row in bounds.into_iter().flatten().map(|bound| bound.row) {
        let standing = standing_shown(row.standing);
        let key = if row.standing == Standing::FromMemory {
            "check.growth.source_to_check"
        } else {
            "check.growth.source"
        };
        let holes = [("source", &*row.source), ("where", &row.place), ("standing", &standing)];
        let text = say(key, &holes);
        if !rows.contains(&text) {
            rows.push(text);
        }
    }
    say("check.growth.sources", &[("organism", organism.name()), ("sources", &rows.join("; "))])
}
