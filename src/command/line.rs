//! A typed line: `root verb name:value name:value`.
//!
//! A value runs to the next `name:` of that command or to its closing quote; an option of kind rest takes all that
//! follows; the first option may stand without its name.

use super::error::{Code, UserError};
use super::spec::{OptionKind, OptionSpec, Spec};
use super::table;
use crate::reply::say;
use std::collections::BTreeMap;

/// Longer lines are refused before they are looked at.
pub const LONGEST_LINE: usize = 2_000;

/// A line taken apart: the command and its options as typed.
#[derive(Debug, Clone)]
pub struct Line {
    /// The command.
    pub spec: &'static Spec,
    /// Options by name, values trimmed.
    pub values: BTreeMap<&'static str, String>,
}

impl Line {
    /// The line again, with one option's value replaced: a corrected example.
    pub fn with(&self, name: &str, value: &str) -> String {
        let typed = self.spec.options.iter().filter_map(|option| {
            let text = if option.name == name {
                Some(value)
            } else {
                self.values.get(option.name).map(String::as_str)
            };
            text.map(|text| format!("{}:{}", option.name, shown(text)))
        });
        std::iter::once(self.spec.name()).chain(typed).collect::<Vec<_>>().join(" ")
    }

    /// The line as it could have been typed.
    pub fn typed(&self) -> String {
        let quoted = |option: &OptionSpec, text: &str| {
            let bare = option.kind == OptionKind::Rest || !text.contains(':');
            if bare { text.to_owned() } else { format!("\"{}\"", text.replace('"', "'")) }
        };
        let typed = self.spec.options.iter().filter_map(|option| {
            let text = self.values.get(option.name).filter(|text| !text.is_empty())?;
            Some(format!("{}:{}", option.name, quoted(option, text)))
        });
        std::iter::once(self.spec.name()).chain(typed).collect::<Vec<_>>().join(" ")
    }

    /// The line again with `{batch}` for its batch: what a question which one is meant makes its answers of.
    pub fn for_batch(&self) -> String {
        let mut line = self.clone();
        line.values.insert("batch", "{batch}".to_owned());
        line.typed()
    }

    /// The line again without one option: a corrected example.
    pub fn without(&self, name: &str) -> String {
        let mut rest = self.clone();
        rest.values.remove(name);
        rest.with("", "")
    }
}

/// Between the values of an option that may stand several times.
pub const SEVERAL: &str = ";";

/// Takes a line apart. `None`: its first word is no command, so it may be a reading.
pub fn read(text: &str) -> Result<Option<Line>, UserError> {
    let whole = text;
    let text = text.trim().trim_start_matches('/');
    let (root, rest) = split_word(text);
    let root = root.to_ascii_lowercase();
    let (verb, options) = split_word(rest);
    let verb = verb.to_ascii_lowercase();
    let is_command = table::ROOTS.iter().any(|known| known.name == root);
    // Readings are sent in several lines; in any other command a line break is a slip of the paste.
    check(
        whole,
        !is_command
            || (root == "log" && table::find(&root, &verb).is_some_and(|spec| spec.verb == "reading")),
    )?;
    if !is_command {
        return Ok(None);
    }
    let spec = match table::find(&root, &verb) {
        Some(spec) if spec.verb.is_empty() => return options_of(spec, rest).map(Some),
        Some(spec) => spec,
        None => return Err(unknown_verb(&root, &verb)),
    };
    options_of(spec, options).map(Some)
}

/// Whether a line's command takes a file.
pub fn takes_file(text: &str) -> bool {
    let line = read(text).ok().flatten();
    line.is_some_and(|line| line.spec.file_option().is_some())
}

/// The file that a line names, where its command takes one.
pub fn file_of(text: &str) -> Option<String> {
    let line = read(text).ok().flatten()?;
    let option = line.spec.file_option()?;
    line.values.get(option.name).filter(|named| !named.is_empty()).cloned()
}

/// A command and its options as a form gives them: nothing has to be taken apart.
pub fn of_options(root: &str, verb: &str, options: &[(String, String)]) -> Result<Line, UserError> {
    let spec = table::find(root, verb).ok_or_else(|| unknown_verb(root, verb))?;
    let mut line = Line { spec, values: BTreeMap::new() };
    for (name, value) in options {
        let option = spec.option(name).ok_or_else(|| unknown_option(spec, name))?;
        let is_reading = (spec.root, spec.verb) == ("log", "reading");
        check(value, option.kind == OptionKind::Rest || is_reading)?;
        line.values.insert(option.name, value.trim().to_owned());
    }
    Ok(line)
}

fn check(text: &str, may_have_lines: bool) -> Result<(), UserError> {
    let refuse = |key: &str| Err(UserError::new(Code::OutOfRange, say(key, &[]), "batch list"));
    if text.chars().count() > LONGEST_LINE {
        return refuse("error.line_too_long");
    }
    let is_shown = |letter| letter == '\t' || (may_have_lines && matches!(letter, '\n' | '\r'));
    if text.chars().any(|letter: char| (letter.is_control() && !is_shown(letter)) || is_hidden(letter)) {
        return refuse("error.control_characters");
    }
    Ok(())
}

/// Letters nobody sees that break a line or turn what follows around: they would make one member's words look like
/// another's. The joiner of composed emoji is not among them.
pub const fn is_hidden(letter: char) -> bool {
    matches!(letter, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn split_word(text: &str) -> (&str, &str) {
    let text = text.trim_start();
    text.split_once(char::is_whitespace).map_or((text, ""), |(word, rest)| (word, rest.trim_start()))
}

fn unknown_verb(root: &str, verb: &str) -> UserError {
    let verbs: Vec<&str> = table::verbs(root).map(|spec| spec.verb).collect();
    let example = table::verbs(root).next().map_or("help", |spec| spec.examples[0]);
    let key = if verb.is_empty() { "error.verb_missing" } else { "error.verb_unknown" };
    let holes = [("root", root), ("verb", &shown(verb)), ("verbs", &verbs.join(", "))];
    UserError::new(Code::UnknownCommand, say(key, &holes), example)
}

/// What a member typed, short enough to print back.
pub fn shown(typed: &str) -> String {
    const LONGEST: usize = 40;
    let mut text: String =
        typed.chars().take(LONGEST).map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    if typed.chars().count() > LONGEST {
        text.push('…');
    }
    text
}

fn options_of(spec: &'static Spec, text: &str) -> Result<Line, UserError> {
    let mut values: BTreeMap<&'static str, String> = BTreeMap::new();
    let mut rest = text.trim();
    let Some(first) = spec.options.first() else {
        if rest.is_empty() {
            return Ok(Line { spec, values });
        }
        return Err(unknown_option(spec, rest));
    };
    if !rest.is_empty()
        && name_at_start(rest)
            .is_none_or(|(name, _)| first.kind == OptionKind::Rest && spec.option(name).is_none())
    {
        let (value, after) = value_at_start(spec, first.kind, rest)?;
        values.insert(first.name, value);
        rest = after;
    }
    while !rest.is_empty() {
        let Some((name, after_name)) = name_at_start(rest) else {
            return Err(unknown_option(spec, rest));
        };
        let Some(option) = spec.option(name) else {
            return Err(unknown_option(spec, name));
        };
        let (value, after) = value_at_start(spec, option.kind, after_name)?;
        match values.get_mut(option.name) {
            None => drop(values.insert(option.name, value)),
            Some(earlier) if option.repeats => {
                // As a form gives it, where a field can stand only once.
                earlier.push_str(SEVERAL);
                earlier.push_str(&value);
            }
            Some(_) => {
                let sentence = say("error.option_twice", &[("option", option.name)]);
                return Err(UserError::new(Code::UnknownOption, sentence, spec.examples[0]));
            }
        }
        rest = after;
    }
    Ok(Line { spec, values })
}

/// `name:` at the start of a text: small letters and hyphens up to a colon.
fn name_at_start(text: &str) -> Option<(&str, &str)> {
    let (name, after) = text.split_once(':')?;
    let is_name =
        !name.is_empty() && name.chars().all(|letter| letter.is_ascii_alphabetic() || letter == '-');
    is_name.then_some((name, after))
}

/// The value at the start of a text and what follows it.
fn value_at_start<'t>(spec: &Spec, kind: OptionKind, text: &'t str) -> Result<(String, &'t str), UserError> {
    let text = text.trim_start();
    if kind == OptionKind::Rest {
        return Ok((text.trim().trim_matches('"').to_owned(), ""));
    }
    if name_at_start(text).is_some_and(|(name, _)| spec.option(name).is_some()) {
        return Ok((String::new(), text));
    }
    if let Some(quoted) = text.strip_prefix('"') {
        let Some((value, after)) = quoted.split_once('"') else {
            return Err(UserError::new(Code::MissingOption, say("error.quote_open", &[]), spec.examples[0]));
        };
        return Ok((value.trim().to_owned(), after.trim_start()));
    }
    let mut end = text.len();
    for (at, _) in text.match_indices(char::is_whitespace) {
        if name_at_start(text[at..].trim_start()).is_some() {
            end = at;
            break;
        }
    }
    let (value, after) = text.split_at(end);
    Ok((value.trim().to_owned(), after.trim_start()))
}

fn unknown_option(spec: &Spec, typed: &str) -> UserError {
    if spec.options.is_empty() {
        let sentence = say("error.no_options", &[("command", &spec.name()), ("typed", &shown(typed))]);
        return UserError::new(Code::UnknownOption, sentence, spec.examples[0]);
    }
    let names: Vec<String> = spec.options.iter().map(|option| format!("{}:", option.name)).collect();
    let holes = [("command", spec.name()), ("typed", shown(typed)), ("options", names.join(" "))];
    let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    UserError::new(Code::UnknownOption, say("error.unknown_option", &holes), spec.examples[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::spec::{maybe, needed};

    static SPEC: Spec = Spec {
        root: "weigh",
        verb: "",
        aliases: &[],
        summary: "a command of this test",
        options: &[
            needed("part", OptionKind::Text, "a part").several(),
            maybe("total", OptionKind::Text, "all of it"),
        ],
        examples: ["weigh part:1 kg", "weigh part:1 kg part:2 kg"],
        private: false,
    };

    fn of(text: &str) -> Result<BTreeMap<&'static str, String>, UserError> {
        options_of(&SPEC, text).map(|line| line.values)
    }

    #[test]
    fn an_option_may_stand_several_times_where_the_command_says_so() {
        let typed = of("1 kg lean part:0.5 kg fat total:1.5 kg part:2 g salt").unwrap();
        assert_eq!(typed["part"], "1 kg lean;0.5 kg fat;2 g salt");
        assert_eq!(typed["total"], "1.5 kg");
        assert_eq!(
            of("part:1 kg lean;0.5 kg fat;2 g salt total:1.5 kg").unwrap(),
            typed,
            "as a form gives it"
        );
        assert_eq!(of("part:1 kg total:1 kg total:2 kg").unwrap_err().code, Code::UnknownOption);
    }
}
