//! `/help`: every command with two lines that work.

use super::Args;
use super::asking::Done;
use super::error::UserError;
use super::spec::{OptionKind, Spec, maybe};
use super::table;
use crate::reply::{Reply, say};

/// `/help`
pub static SPEC: Spec = Spec {
    root: "help",
    verb: "",
    aliases: &[],
    summary: "every command, or one of them with two examples",
    options: &[maybe("about", OptionKind::Rest, "a command, e.g. cure mix")],
    examples: ["help", "help cure mix"],
    private: true,
};

/// Every command under this root.
pub const SPECS: &[&Spec] = &[&SPEC];

/// A request for help.
#[derive(Debug, Clone)]
pub struct Help {
    about: Option<String>,
}

impl Help {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self { about: args.text("about").map(|about| about.trim_start_matches('/').to_lowercase()) })
    }

    /// Carries it out.
    pub fn perform(&self) -> Done {
        let Some(about) = &self.about else {
            return Done::reply(overview());
        };
        let (root, verb) = about.split_once(' ').unwrap_or((about.as_str(), ""));
        match table::find(root, verb.trim()) {
            Some(spec) => Done::reply(one(spec)),
            None if table::verbs(root).next().is_some() => Done::reply(of_root(root)),
            None => Done::reply(overview()),
        }
    }
}

fn overview() -> Reply {
    let mut reply = Reply::new("help", say("help.headline", &[]));
    for root in &table::ROOTS {
        let verbs: Vec<&str> =
            root.specs.iter().map(|spec| spec.verb).filter(|verb| !verb.is_empty()).collect();
        let holes = [("root", root.name), ("verbs", &verbs.join(" ")), ("about", root.about)];
        reply.lines.push(say(if verbs.is_empty() { "help.bare_root" } else { "help.root" }, &holes));
    }
    reply.lines.push(say("help.readings", &[]));
    reply.next = Some(say("help.next", &[]));
    reply
}

fn of_root(root: &str) -> Reply {
    let mut reply = Reply::new("help", say("help.of_root", &[("root", root)]));
    for spec in table::verbs(root) {
        reply.lines.push(say("help.verb", &[("command", &spec.name()), ("summary", spec.summary)]));
    }
    reply
}

fn one(spec: &Spec) -> Reply {
    let mut reply =
        Reply::new("help", say("help.one", &[("command", &spec.name()), ("summary", spec.summary)]));
    for option in spec.options {
        let key = if option.required { "help.option_needed" } else { "help.option" };
        let choices = match option.kind {
            OptionKind::Choice(words) => say("help.choices", &[("words", &words.join(", "))]),
            _ => String::new(),
        };
        reply.lines.push(say(key, &[("name", option.name), ("help", option.help), ("choices", &choices)]));
    }
    reply.lines.extend(spec.examples.iter().map(|example| say("help.example", &[("example", example)])));
    reply
}
