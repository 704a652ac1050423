//! Every dialogue once more with its members spoken to in German: no English word is left in an answer.
//!
//! What counts as English is worked out from the wording files themselves (words that the English one uses and the German one
//! nowhere), together with the words that hold English sentences together. Commands, lines to type, members' own words and the
//! titles of sources stay as they are; everything else that may is in [`STAYS`], with its reason.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use chrono::{DateTime, Duration, Utc};
use tallyhook::command::spec::Spec;
use tallyhook::curing::rulebook;
use tallyhook::desk::{Answered, ChatSender, Desk, Incoming, Sender, table};
use tallyhook::record::ChatId;
use tallyhook::reply::{Language, in_language, plain, wording};
use tallyhook::store::Store;
use tallyhook::terminal::due;

/// Words that hold English sentences together and are no German words.
const HOLDING_TOGETHER: &str = "the of is and not with for from are to by at be it or has have this that which if then \
    than every each when where before after until below above over without only more less least most nothing no none \
    first last next what how who whose would could should cannot can does did been being its their there here these \
    those both either neither any some all other another between into onto out up down off because while during";

/// What stays English, with the reason.
const STAYS: &[(&str, &str)] = &[
    ("Listeria monocytogenes", "organisms go by their scientific names"),
    ("Salmonella", "organisms go by their scientific names"),
    ("Rogers and Pitzer, 1982", "a source"),
    ("Canada/Atlantic", "time zones go by the names of their database"),
];

/// Behind these words a line lists words to type, or gives one.
const WORDS_TO_TYPE: [&str; 6] =
    ["etwa: ", "Zum Beispiel:", "z. B. ", "Antworte mit:", "gehört nicht zu ", "kenne ich "];

/// Words of the English wording that the German one never uses.
fn english() -> BTreeSet<String> {
    let german: BTreeSet<String> = wording::templates(Language::German)
        .values()
        .chain(wording::commands(Language::German).values())
        .flat_map(|text| words(text))
        .collect();
    let mut english: BTreeSet<String> =
        wording::templates(Language::English).values().flat_map(|text| words(text)).collect();
    english.retain(|word| !german.contains(word) && word.chars().count() > 2);
    english.extend(HOLDING_TOGETHER.split_whitespace().map(str::to_owned));
    english
}

fn words(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    words
        .filter(|word| word.chars().all(char::is_alphabetic) && !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// What the tables name as sources, and where to look in them: it stays in the language it is written in.
fn sources() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src/curing")];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "toml") {
                let table: toml::Table = fs::read_to_string(&path).unwrap().parse().unwrap();
                collect_sources(&toml::Value::Table(table), false, &mut found);
            }
        }
    }
    found
}

fn collect_sources(value: &toml::Value, is_source: bool, found: &mut BTreeSet<String>) {
    match value {
        toml::Value::Table(table) => {
            for (key, inner) in table {
                let names_one = ["source", "where"].contains(&key.as_str()) || (is_source && key == "name");
                match inner {
                    toml::Value::String(text) if names_one => {
                        found.insert(text.clone());
                        found.insert(with_a_capital(text));
                    }
                    _ => collect_sources(inner, ["source", "register"].contains(&key.as_str()), found),
                }
            }
        }
        toml::Value::Array(all) => all.iter().for_each(|inner| collect_sources(inner, is_source, found)),
        _ => {}
    }
}

fn with_a_capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}

/// Texts that are taken out of an answer before it is looked at: the longest first.
fn kept_as_they_are(script: &str, sources: &BTreeSet<String>) -> Vec<String> {
    let mut kept = sources.clone();
    kept.extend(STAYS.iter().map(|(text, _)| (*text).to_owned()));
    kept.extend(rulebook::all().iter().map(|row| row.id.clone()));
    kept.extend(table::all().flat_map(|spec| spec.options.iter().map(|option| format!("{}:", option.name))));
    for line in script.lines().filter_map(|line| spoken(line).map(|said| said.text)) {
        kept.extend(own_words(line));
    }
    kept.retain(|text| {
        text.chars().count() > 1 && !HOLDING_TOGETHER.split_whitespace().any(|word| word == text)
    });
    let mut kept: Vec<String> = kept.into_iter().collect();
    kept.sort_by_key(|text| std::cmp::Reverse(text.len()));
    kept
}

static OPTION: LazyLock<regex::Regex> = LazyLock::new(|| regex::Regex::new(r"(?:^|\s)[a-z-]+:").unwrap());
static UNIT: LazyLock<regex::Regex> =
    LazyLock::new(|| regex::Regex::new(r"^(?:kg|g|lb|oz|mm|h|d|of|C|F)\b").unwrap());

/// What is a member's own in a line: the whole line, the values of options, and in them what stands between numbers.
fn own_words(line: &str) -> BTreeSet<String> {
    let mut own: BTreeSet<String> = BTreeSet::from([line.to_owned()]);
    // "slime on #2"
    own.extend(line.split_once(" on #").map(|(seen, _)| seen.to_owned()));
    // What of a reading was not understood is shown as it was typed.
    own.extend(
        line.match_indices(' ').map(|(at, _)| line[at + 1..].to_owned()).filter(|end| end.contains(' ')),
    );
    for value in OPTION
        .split(line)
        .skip(1)
        .flat_map(|value| value.split([',', ';']))
        .flat_map(|value| [value, value.split(" on ").next().unwrap_or_default()])
        .map(str::trim)
    {
        own.insert(value.to_owned());
        let between_numbers = value.split(|letter: char| letter.is_ascii_digit() || ".%+/".contains(letter));
        own.extend(between_numbers.map(|part| UNIT.replace(part.trim(), "").trim().to_owned()));
    }
    own
}

/// Who looks after the group.
const FIRST_MEMBER: ChatId = ChatId(1_000);

struct Spoken<'a> {
    member: &'a str,
    text: &'a str,
    confirmed: bool,
}

fn spoken(line: &str) -> Option<Spoken<'_>> {
    let said = |mark, confirmed| {
        let (member, text) = line.split_once(mark)?;
        let is_name =
            !member.is_empty() && member != "bot" && member.chars().all(|l| l.is_alphanumeric() || l == '-');
        is_name.then_some(Spoken { member, text, confirmed })
    };
    said("> ", false).or_else(|| said("! ", true))
}

/// What a dialogue's members are answered in German, working and reminders with it.
async fn answers(script: &str) -> Vec<String> {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    let mut now = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
    let mut users: BTreeMap<String, ChatId> = BTreeMap::new();
    let mut said = Vec::new();
    for line in script.lines() {
        if let Some(moment) = line.strip_prefix("@at ") {
            now = moment.trim().parse().unwrap();
        } else if let Some(length) = line.strip_prefix("@wait ") {
            let hours = tallyhook::desk::hours(length.trim()).unwrap();
            now += Duration::milliseconds((hours * 3_600_000.0).round() as i64);
            due::tick(desk.store(), now, None, |gone| {
                said.push(gone.due.text.clone());
                Ok(())
            })
            .await
            .unwrap();
        } else if let Some(line) = spoken(line).filter(|line| !line.text.contains("language:en")) {
            let next = ChatId(FIRST_MEMBER.0 + i64::try_from(users.len()).unwrap());
            let user = *users.entry(line.member.to_owned()).or_insert(next);
            said.push(answer(&desk, &line, user, now).await);
        }
    }
    said
}

async fn answer(desk: &Desk, line: &Spoken<'_>, user: ChatId, now: DateTime<Utc>) -> String {
    let sender = ChatSender {
        user,
        name: line.member.to_owned(),
        group: Some((ChatId(7), "home".to_owned())),
        manages: Some(user == FIRST_MEMBER),
        locale: Some("de".to_owned()),
        moderates: false,
    };
    let incoming = Incoming {
        sender: Sender::Chat(sender),
        confirmed: line.confirmed,
        ..Incoming::line("home", line.member, line.text, now)
    };
    let (answered, language) = desk.answer_spoken(&incoming).await;
    assert_eq!(language, Language::German, "{}", line.text);
    in_language(language, || match &answered {
        // What is exported is for machines.
        _ if line.text.starts_with("me export") => String::new(),
        Answered::Reply(reply) => format!("{}\n{}", answered.text(), plain::working(reply)),
        _ => answered.text(),
    })
}

/// The English words of a line, without what is typed and what is a member's own.
fn english_in(line: &str, english: &BTreeSet<String>, kept: &[String]) -> Vec<String> {
    let of = |text: &str| -> Vec<String> {
        words(text).into_iter().filter(|word| english.contains(word)).collect()
    };
    let line = without_commands(line);
    if of(&line).is_empty() {
        return Vec::new();
    }
    of(&kept.iter().fold(line, |text, own| without(&text, own)))
}

/// Without a text, where it stands as whole words.
fn without(text: &str, own: &str) -> String {
    let (mut left, mut rest) = (String::new(), text);
    while let Some((before, after)) = rest.split_once(own) {
        let inside_a_word =
            before.ends_with(char::is_alphanumeric) || after.starts_with(char::is_alphanumeric);
        left.push_str(before);
        left.push_str(if inside_a_word { own } else { " " });
        rest = after;
    }
    left + rest
}

/// From a command to the end of the line or the quotation, and lines to type in quotation marks.
fn without_commands(line: &str) -> String {
    let mut rest = line.to_owned();
    // "remind: set list snooze (…)"
    if let Some((root, about)) = line.split_once(" (")
        && table::ROOTS.iter().any(|known| root.starts_with(&format!("{}:", known.name)))
    {
        about.clone_into(&mut rest);
    }
    while let Some((start, end)) = quotation(&rest) {
        rest.replace_range(start..end, " ");
    }
    for mark in WORDS_TO_TYPE {
        if let Some(place) = rest.find(mark) {
            rest.truncate(place);
        }
    }
    let starts = table::all().map(Spec::name).filter_map(|name| rest.find(&name));
    if let Some(place) = starts.min() {
        rest.truncate(place);
    }
    rest
}

fn quotation(text: &str) -> Option<(usize, usize)> {
    let start = text.find('„')?;
    let end = text.get(start..)?.find('“').map_or(text.len(), |end| start + end + '“'.len_utf8());
    Some((start, end))
}

#[tokio::test]
async fn no_english_is_left_for_a_german_member() {
    let (english, sources) = (english(), sources());
    let mut left: BTreeMap<String, String> = BTreeMap::new();
    let mut lines = 0;
    for path in dialogues() {
        let script = fs::read_to_string(&path).unwrap();
        let kept = kept_as_they_are(&script, &sources);
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        for answer in answers(&script).await {
            for line in answer.lines() {
                lines += 1;
                let found = english_in(line, &english, &kept);
                if !found.is_empty() {
                    let shown = format!("{name}: {}: {}", found.join(" "), line.trim());
                    left.entry(line.trim().to_owned()).or_insert(shown);
                }
            }
        }
    }
    assert!(lines > 5_000, "only {lines} lines were looked at");
    let left: Vec<&String> = left.values().collect();
    assert!(left.is_empty(), "{} lines of {lines}: {left:#?}", left.len());
}

fn dialogues() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/dialogues");
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut found: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|ending| ending == "txt")).collect();
    found.sort();
    found
}
