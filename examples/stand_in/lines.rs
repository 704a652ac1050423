//! What a line means: commands, numbers, places, the clock.

use chrono::TimeDelta;
use serde_json::Value;

use crate::Trial;
use crate::support::stand_in::Id;

impl Trial {
    pub(crate) fn go(&mut self, name: &str) {
        let direct = (name == "dm").then(|| self.stand_in.direct_line(self.speaker));
        let named = || {
            self.stand_in.channels(self.guild).into_iter().find(|(known, _)| known == name).map(|(_, id)| id)
        };
        self.place = direct.or_else(named).expect("no such channel or thread");
    }

    pub(crate) fn advance(&self, word: &str) {
        let (number, unit) = word[1..].split_at(word.len() - 2);
        let number: i64 = number.parse().expect("+3h, +20m or +2d");
        let minutes = match unit {
            "m" => number,
            "h" => number * 60,
            "d" => number * 60 * 24,
            _ => panic!("+3h, +20m or +2d"),
        };
        self.stand_in.advance(TimeDelta::minutes(minutes));
        println!("  it is now {}", self.stand_in.now().format("%Y-%m-%d %H:%M UTC"));
    }

    /// A message by the number it was printed with, and the rest of the line.
    pub(crate) fn numbered<'a>(&self, rest: &'a str) -> (Id, &'a str) {
        let (number, text) = rest.split_once(' ').unwrap_or((rest, ""));
        let number: usize = number.trim_start_matches('#').parse().expect("the number of a message");
        (*self.numbers.get(number.wrapping_sub(1)).expect("no message with this number"), text)
    }

    /// Every command that can be sent, with the names of its options.
    pub(crate) fn commands(&self) -> Vec<(String, Vec<String>)> {
        let mut found = Vec::new();
        for command in self.stand_in.commands().iter().filter(|command| command["type"] == 1) {
            leaves(command, "", &mut found);
        }
        found
    }

    pub(crate) fn menus(&self) -> Vec<String> {
        let commands = self.stand_in.commands();
        let menus = commands.iter().filter(|command| command["type"] == 3);
        menus.filter_map(|command| command["name"].as_str().map(str::to_owned)).collect()
    }

    /// `/cure check method:dry days:7` as name and options, by what is registered.
    pub(crate) fn read_command(&self, line: &str) -> (String, Vec<(String, String)>) {
        let line = line.trim_start_matches('/');
        let commands = self.commands();
        let fits =
            |name: &str| line == name || line.strip_prefix(name).is_some_and(|rest| rest.starts_with(' '));
        let longest = commands.iter().filter(|(name, _)| fits(name)).max_by_key(|(name, _)| name.len());
        let (name, known) = longest.unwrap_or_else(|| panic!("no such command; `commands` lists them"));
        let mut options: Vec<(String, String)> = Vec::new();
        for word in line[name.len()..].split_whitespace() {
            let named = word.split_once(':').filter(|(key, _)| known.iter().any(|option| option == key));
            match (named, options.last_mut()) {
                (Some((key, value)), _) => options.push((key.to_owned(), value.to_owned())),
                (None, Some((_, value))) => {
                    if !value.is_empty() {
                        value.push(' ');
                    }
                    value.push_str(word);
                }
                (None, None) => {
                    let first = known.first().expect("this command has no options");
                    options.push((first.clone(), word.to_owned()));
                }
            }
        }
        (name.clone(), options)
    }
}

/// Commands without commands below them.
fn leaves(spec: &Value, before: &str, found: &mut Vec<(String, Vec<String>)>) {
    let name = format!("{before}{}", spec["name"].as_str().unwrap_or_default());
    let options: Vec<&Value> = spec["options"].as_array().into_iter().flatten().collect();
    let (below, plain): (Vec<&Value>, Vec<&Value>) =
        options.into_iter().partition(|option| matches!(option["type"].as_u64(), Some(1 | 2)));
    if below.is_empty() {
        let names = plain.iter().filter_map(|option| option["name"].as_str().map(str::to_owned));
        found.push((name, names.collect()));
    } else {
        for spec in below {
            leaves(spec, &format!("{name} "), found);
        }
    }
}
