//! `/help`: every command with two lines that work.

mod start;

use super::Args;
use super::asking::{Asking, Done, Outcome, Services};
use super::error::UserError;
use super::line::{Line, shown};
use super::spec::{OptionKind, Spec, maybe};
use super::table;
use crate::quantity::TemperatureScale;
use crate::reply::{Language, Reply, say};

/// `/help`
pub static SPEC: Spec = Spec {
    root: "help",
    verb: "",
    aliases: &[],
    summary: "every command, or one of them with two examples",
    options: &[maybe("about", OptionKind::Rest, "a command, e.g. cure mix; or start, or readings")],
    examples: ["help start", "help cure mix"],
    private: true,
};

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&SPEC];

/// A request for help.
#[derive(Debug, Clone)]
pub struct Help {
    about: Option<String>,
    /// Whether it is how to begin.
    pub is_start: bool,
}

impl Help {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let about = args.text("about").map(plain);
        let is_start = about.as_deref().is_some_and(|about| start::WORDS.contains(&about));
        Ok(Self { about, is_start })
    }

    /// Whether there is help about what a line asks for.
    pub fn knows(line: &Line) -> bool {
        let about = line.values.get("about").map(|about| plain(about)).unwrap_or_default();
        let is_a_way_in = READINGS.contains(&about.as_str()) || start::WORDS.contains(&about.as_str());
        about.is_empty() || is_a_way_in || topic(&about).is_some()
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        if self.is_start {
            return start::answer(services, asking).await;
        }
        let scale = asking.member.settings.temperature;
        let Some(about) = &self.about else {
            return Ok(Done::reply(overview(say("help.headline", &[]), scale)));
        };
        if READINGS.contains(&about.as_str()) {
            return Ok(Done::reply(readings(scale)));
        }
        Ok(Done::reply(match topic(about) {
            Some(Topic::One(spec)) => one(spec),
            Some(Topic::Root(root)) => of_root(root),
            None => overview(say("help.unknown", &[("typed", &shown(about))]), scale),
        }))
    }
}

fn plain(about: &str) -> String {
    about.trim_start_matches('/').to_lowercase()
}

/// What there is help about, besides readings.
enum Topic<'a> {
    One(&'static Spec),
    Root(&'a str),
}

fn topic(about: &str) -> Option<Topic<'_>> {
    let (root, verb) = about.split_once(' ').unwrap_or((about, ""));
    match table::find(root, verb.trim()) {
        Some(spec) => Some(Topic::One(spec)),
        None => table::verbs(root).next().is_some().then_some(Topic::Root(root)),
    }
}

/// Words by which a member asks what can be said without a command.
const READINGS: &[&str] = &["readings", "reading", "log"];

/// What can be said without a command, as lines that work.
fn readings(scale: TemperatureScale) -> Reply {
    let mut reply = Reply::new("help", say("help.readings_headline", &[]));
    let air = match scale {
        TemperatureScale::Celsius => "help.of_air_celsius",
        TemperatureScale::Fahrenheit => "help.of_air_fahrenheit",
    };
    reply.lines = vec![
        say("help.of_acid", &[]),
        say("help.of_weight", &[]),
        say("help.of_hanging", &[]),
        say(air, &[]),
        say("help.of_sight", &[]),
        say("help.of_time", &[]),
        say("help.of_batch", &[]),
    ];
    reply.lines.extend(table::verbs("log").map(verb));
    reply
}

fn verb(spec: &'static Spec) -> String {
    say("help.verb", &[("command", &spec.name()), ("summary", spec.summary_in(Language::in_force()))])
}

fn overview(headline: String, scale: TemperatureScale) -> Reply {
    let mut reply = Reply::new("help", headline);
    for root in &table::ROOTS {
        let verbs: Vec<&str> =
            root.specs.iter().map(|spec| spec.verb).filter(|verb| !verb.is_empty()).collect();
        let holes = [
            ("root", root.name),
            ("verbs", &verbs.join(" ")),
            ("about", root.about_in(Language::in_force())),
        ];
        reply.lines.push(say(if verbs.is_empty() { "help.bare_root" } else { "help.root" }, &holes));
    }
    reply.lines.push(match scale {
        TemperatureScale::Celsius => say("help.readings_celsius", &[]),
        TemperatureScale::Fahrenheit => say("help.readings_fahrenheit", &[]),
    });
    reply.next = Some(say("help.next", &[]));
    reply
}

fn of_root(root: &str) -> Reply {
    let mut reply = Reply::new("help", say("help.of_root", &[("root", root)]));
    reply.lines.extend(table::verbs(root).map(verb));
    reply
}

fn one(spec: &Spec) -> Reply {
    let language = Language::in_force();
    let mut reply = Reply::new(
        "help",
        say("help.one", &[("command", &spec.name()), ("summary", spec.summary_in(language))]),
    );
    for option in spec.options {
        let key = if option.required { "help.option_needed" } else { "help.option" };
        let choices = match option.kind {
            OptionKind::Choice(words) => say("help.choices", &[("words", &words.join(", "))]),
            _ => String::new(),
        };
        let several = if option.repeats { say("help.several", &[]) } else { String::new() };
        let help = spec.help_in(option, language);
        let holes = [("name", option.name), ("help", help), ("choices", &choices), ("several", &several)];
        reply.lines.push(say(key, &holes));
    }
    reply.lines.extend(spec.examples.iter().map(|example| say("help.example", &[("example", example)])));
    reply
}
