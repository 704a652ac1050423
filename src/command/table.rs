//! The one table of commands.

use super::spec::said_in;
pub use super::spec::{OptionKind, OptionSpec, Spec};
use super::{batch, chamber, check, cure, dry, ferment, formulation, group, help, log, me, remind, target};
use crate::reply::Language;

/// A first word and the commands under it.
#[derive(Debug)]
pub struct Root {
    /// The word.
    pub name: &'static str,
    /// What its commands are about.
    pub about: &'static str,
    /// Its commands.
    pub specs: &'static [&'static Spec],
}

impl Root {
    /// What its commands are about, in a language; in English where that language does not say.
    pub fn about_in(&self, language: Language) -> &'static str {
        said_in(language, &format!("roots.{}", self.name)).unwrap_or(self.about)
    }
}

/// Every root, in the order of help.
pub static ROOTS: [Root; 13] = [
    Root {
        name: "cure",
        about: "grams of cure and salt, and whether they are inside the limit",
        specs: cure::SPECS,
    },
    Root {
        name: "formulation",
        about: "the mix, its ingredients, its casing and its making day",
        specs: formulation::SPECS,
    },
    Root { name: "batch", about: "the record of a batch", specs: batch::SPECS },
    Root { name: "log", about: "readings, and putting them right", specs: log::SPECS },
    Root { name: "chamber", about: "places with a climate, and what hangs where", specs: chamber::SPECS },
    Root { name: "target", about: "the weight to dry to", specs: target::SPECS },
    Root { name: "ferment", about: "degree-hours until the pH is reached", specs: ferment::SPECS },
    Root { name: "dry", about: "the air pieces dry in, and what drying makes of them", specs: dry::SPECS },
    Root {
        name: "check",
        about: "whether a figure can be believed, what a treatment does, which rule applies",
        specs: check::SPECS,
    },
    Root { name: "remind", about: "your own reminders", specs: remind::SPECS },
    Root {
        name: "group",
        about: "what members chose to show, and the group's settings",
        specs: group::SPECS,
    },
    Root { name: "me", about: "your country, zone and units, and your data", specs: me::SPECS },
    Root { name: "help", about: "this help", specs: help::SPECS },
];

/// Every command.
pub fn all() -> impl Iterator<Item = &'static Spec> {
    ROOTS.iter().flat_map(|root| root.specs.iter().copied())
}

/// The commands under a root.
pub fn verbs(root: &str) -> impl Iterator<Item = &'static Spec> {
    let found = ROOTS.iter().find(|known| known.name == root);
    found.into_iter().flat_map(|root| root.specs.iter().copied())
}

/// The command of a root and a verb or one of its other names.
pub fn find(root: &str, verb: &str) -> Option<&'static Spec> {
    verbs(root).find(|spec| spec.verb.is_empty() || spec.verb == verb || spec.aliases.contains(&verb))
}
