//! What a command is called, what it takes, and how it is explained. The one table from which lines are read and
//! help, the README's table and other front ends' registrations are made. What it says in English stands here; every
//! other language says it in its wording file.

use crate::reply::Language;
use crate::reply::wording;

/// What a language's wording file says of commands.
pub(super) fn said_in(language: Language, key: &str) -> Option<&'static str> {
    wording::commands(language).get(key).map(String::as_str)
}

/// What an option's value is, so that a front end can offer the right field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OptionKind {
    /// A weight with unit, or several.
    Mass,
    /// A percentage with its sign.
    Percent,
    /// A length with unit.
    Length,
    /// A batch: `B3` or its name.
    Batch,
    /// A moment.
    Time,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A file: attached, or its path.
    File,
    /// A short text.
    Text,
    /// The rest of the line, whatever it holds.
    Rest,
}

/// One option of a command.
#[derive(Debug, Clone, Copy)]
pub struct OptionSpec {
    /// Name before the colon.
    pub name: &'static str,
    /// What its value is.
    pub kind: OptionKind,
    /// Whether the command cannot do without.
    pub required: bool,
    /// What it means, in a few words.
    pub help: &'static str,
    /// Whether it may stand several times, or hold several values with `;` between them.
    pub repeats: bool,
}

impl OptionSpec {
    /// The same option, which may stand several times.
    #[must_use]
    pub const fn several(self) -> Self {
        Self { repeats: true, ..self }
    }
}

/// A required option.
pub const fn needed(name: &'static str, kind: OptionKind, help: &'static str) -> OptionSpec {
    OptionSpec { name, kind, required: true, help, repeats: false }
}

/// An option that may be left out.
pub const fn maybe(name: &'static str, kind: OptionKind, help: &'static str) -> OptionSpec {
    OptionSpec { name, kind, required: false, help, repeats: false }
}

/// One command.
#[derive(Debug)]
pub struct Spec {
    /// First word.
    pub root: &'static str,
    /// Second word; empty for a root without verbs.
    pub verb: &'static str,
    /// Other names of the verb.
    pub aliases: &'static [&'static str],
    /// What it does, in one line.
    pub summary: &'static str,
    /// What it takes, in the order of use; the first may stand without its name.
    pub options: &'static [OptionSpec],
    /// Two lines that work.
    pub examples: [&'static str; 2],
    /// Whether the answer is for the member's eyes only.
    pub private: bool,
}

impl Spec {
    /// The command as typed: root and verb.
    pub fn name(&self) -> String {
        if self.verb.is_empty() { self.root.to_owned() } else { format!("{} {}", self.root, self.verb) }
    }

    /// What it does, in a language; in English where that language does not say.
    pub fn summary_in(&self, language: Language) -> &str {
        said_in(language, &format!("commands.{}.summary", self.name())).unwrap_or(self.summary)
    }

    /// What one of its options means, in a language; in English where that language does not say.
    pub fn help_in(&self, option: &OptionSpec, language: Language) -> &'static str {
        said_in(language, &format!("commands.{}.options.{}", self.name(), option.name)).unwrap_or(option.help)
    }

    /// The option that is a file, where it takes one.
    pub fn file_option(&self) -> Option<&'static OptionSpec> {
        self.options.iter().find(|option| option.kind == OptionKind::File)
    }

    /// The option of this name.
    pub fn option(&self, name: &str) -> Option<&'static OptionSpec> {
        self.options.iter().find(|option| option.name == name)
    }
}
