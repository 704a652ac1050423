//! The terminal and the chat platform give the same figures for the same lines: every dialogue of `tests/dialogues/` is
//! played in both at once, each with a record of its own, and each answer's figures are compared one by one.
//!
//! What the two lay out differently by rule is taken out before: where the terminal names a line to say, the platform has
//! a button, and where it draws a chart in letters, the platform shows a picture.

use std::cmp::Reverse;
use std::collections::{BTreeMap, VecDeque};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::desk::Desk;
use tallyhook::store::Store;
use tallyhook::terminal::dialogue::Player;
use tokio::task::JoinSet;

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Id, Options, Reply, SOON, Seen, permissions};

/// So many are played at the same time: the platform lets few messages a second into one channel, so each mostly waits.
const AT_ONCE: usize = 8;
/// What the desk takes of one member at one moment (`desk::pace`); a confirmed line takes two.
const LINES_AT_A_MOMENT: usize = 30;
/// What has to be played at least, so that leaving out does not eat the test up.
const LEAST_PLAYED: usize = 80;
/// After so many steps from one reminder to the next in one wait, none is smaller than this.
const STEPS: usize = 20;
const LARGER_STEP: TimeDelta = TimeDelta::hours(3);
/// Buttons that answer a question with yes.
const YES: [&str; 4] = ["Yes", "Save as it is", "Share", "Ja"];
/// Buttons to the next page.
const MORE: [&str; 2] = ["More", "Weiter"];

/// What is said where a line is answered directly.
const DIRECTLY: [&str; 2] = [
    "That is for you alone, so I wrote it to you directly. If nothing came, type it as a slash command here.",
    "Das ist nur für dich, darum habe ich dir direkt geschrieben. Kam nichts an, gib es hier als Slash-Befehl ein.",
];
/// What only the platform can say of a channel that is picked.
const NO_CHANNEL: &str = "it is not in this group, or I may not see it.";

/// Dialogues whose figures are not the same by their nature, with the reason.
const LEFT_OUT: [(&str, &str); 1] =
    [("me_export", "the platform's numbers and the letters that left stand in it")];

fn dialogues() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/dialogues");
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut found: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|ending| ending == "txt")).collect();
    found.sort();
    found
}

fn name_of(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

/// A member's line of a dialogue.
#[derive(Debug, Clone, Copy)]
struct Spoken<'a> {
    member: &'a str,
    text: &'a str,
    confirmed: bool,
}

fn spoken(line: &str) -> Option<Spoken<'_>> {
    let is_name = |name: &str| {
        !matches!(name, "" | "bot") && name.chars().all(|letter| letter.is_alphanumeric() || letter == '-')
    };
    let said = |mark, confirmed| {
        let (member, text) = line.split_once(mark).filter(|(name, _)| is_name(name))?;
        Some(Spoken { member, text, confirmed })
    };
    said("> ", false).or_else(|| said("! ", true))
}

/// Why a dialogue cannot be played in a chat.
fn left_out(name: &str, script: &str) -> Option<String> {
    if let Some((_, why)) = LEFT_OUT.iter().find(|(known, _)| *known == name) {
        return Some((*why).to_owned());
    }
    let mut now: BTreeMap<&str, usize> = BTreeMap::new();
    let mut most = 0;
    for line in script.lines() {
        if line.starts_with('@') {
            now.clear();
        } else if let Some(said) = spoken(line) {
            let lines = now.entry(said.member).or_default();
            *lines += if said.confirmed { 2 } else { 1 };
            most = most.max(*lines);
        }
    }
    if script.lines().filter_map(spoken).any(|said| said.text.contains(" file:")) {
        return Some("it names files of this machine, which are attached in a chat".to_owned());
    }
    if turns_back(script) {
        return Some("its clock is put back, which the platform's never is".to_owned());
    }
    (most > LINES_AT_A_MOMENT)
        .then(|| format!("{most} lines of one member at one moment are more than the desk takes"))
}

/// Whether a dialogue puts its clock back.
fn turns_back(script: &str) -> bool {
    let mut now = beginning(script);
    for line in script.lines() {
        if let Some(length) = line.strip_prefix("@wait ") {
            now += length_of(length);
        } else if let Some(at) = line.strip_prefix("@at ") {
            let at = at.trim().parse().unwrap();
            if at < now {
                return true;
            }
            now = at;
        }
    }
    false
}

/// How long a dialogue waits.
fn length_of(text: &str) -> TimeDelta {
    let hours = tallyhook::desk::hours(text.trim()).unwrap();
    TimeDelta::milliseconds((hours * 3_600_000.0).round() as i64)
}

/// Where a dialogue begins.
fn beginning(script: &str) -> DateTime<Utc> {
    let at = script.lines().find_map(|line| line.strip_prefix("@at "));
    at.unwrap().trim().parse().unwrap()
}

/// One dialogue in the terminal and in the chat.
struct Both<'a> {
    desk: &'a Desk,
    terminal: Player<'a>,
    cellar: Cellar,
    members: BTreeMap<String, Id>,
    answers: usize,
    figures: usize,
    wrong: Vec<String>,
}

impl Both<'_> {
    async fn play(&mut self, script: &str) {
        for (number, line) in script.lines().enumerate() {
            if let Some(length) = line.strip_prefix("@wait ") {
                self.wait_until(self.terminal.now() + length_of(length)).await;
            } else if line.starts_with("@at ") {
                self.terminal.play(line).await.unwrap();
                self.follow();
            } else if let Some(said) = spoken(line) {
                self.say(number + 1, line, said).await;
            }
        }
    }

    /// Both clocks go on from one reminder to the next, as they do in life.
    async fn wait_until(&mut self, until: DateTime<Utc>) {
        let mut steps = 0;
        while let Some(next) = self.desk.store().next_due().await.unwrap().filter(|next| *next <= until) {
            steps += 1;
            // What a pause holds back is looked at every ten minutes: for days of it larger steps will do.
            let least = if steps > STEPS { LARGER_STEP } else { TimeDelta::zero() };
            let at = next.max(self.terminal.now() + least).min(until);
            self.terminal.play(&format!("@at {}\n@wait 0h", at.to_rfc3339())).await.unwrap();
            self.follow();
            // The assistant looks for what is due by the machine's time.
            pause(250).await;
            if self.desk.store().next_due().await.unwrap() == Some(next) {
                break;
            }
        }
        self.terminal.play(&format!("@at {}", until.to_rfc3339())).await.unwrap();
        self.follow();
    }

    /// The chat's clock goes where the terminal's stands.
    fn follow(&self) {
        let by = self.terminal.now() - self.cellar.stand_in.now();
        assert!(by >= TimeDelta::zero(), "a dialogue turns its clock back");
        self.cellar.wait(by);
    }

    async fn say(&mut self, number: usize, line: &str, said: Spoken<'_>) {
        let played = self.terminal.play(line).await.unwrap();
        let seen = self.chat(said).await;
        let pages = self.pages(self.members[said.member], &seen).await;
        let terminal = of_terminal(&played, &seen);
        let chat = figures(&of_chat(&pages));
        let same = if seen.attachments.is_empty() { terminal == chat } else { is_within(&chat, &terminal) };
        if !same {
            self.wrong.push(format!("{number}: {line}\n  terminal: {terminal:?}\n  chat:     {chat:?}"));
        }
        self.answers += 1;
        self.figures += chat.len();
    }

    /// What the chat answers to a line, after a yes where it is one that was confirmed.
    async fn chat(&self, said: Spoken<'_>) -> Seen {
        let stand_in = &self.cellar.stand_in;
        let addressed = format!("<@{}> {}", stand_in.bot(), said.text);
        let member = self.members[said.member];
        let posted = stand_in.post(member, self.cellar.log, &addressed, Reply::None);
        let answer = |message: &Message| message.reply_to == Some(posted);
        let mut seen = Seen::of(&stand_in.message_in(self.cellar.log, 4 * SOON, answer).await);
        if DIRECTLY.contains(&seen.text().trim()) {
            // What is about one member alone is answered where nobody else reads.
            let (bot, line) = (stand_in.bot(), stand_in.direct_line(member));
            let direct = |message: &Message| message.author == bot && message.id > posted;
            seen = Seen::of(&stand_in.message_in(line, SOON, direct).await);
        }
        let yes = seen.buttons.iter().find(|button| YES.contains(&button.label.as_str()));
        match yes.filter(|_| said.confirmed) {
            Some(yes) => stand_in.click(member, seen.message.unwrap(), &yes.custom_id).answer(4 * SOON).await,
            None => seen,
        }
    }

    /// Everything in an answer, turned over page by page.
    async fn pages(&self, member: Id, first: &Seen) -> Vec<Seen> {
        let mut pages = vec![first.clone()];
        loop {
            let last = pages.last().unwrap();
            let more = last.buttons.iter().find(|button| MORE.contains(&button.label.as_str()));
            let Some(more) = more else { return pages };
            let turned = self.cellar.stand_in.click(member, last.message.unwrap(), &more.custom_id);
            pages.push(turned.until(4 * SOON, |seen| seen.in_place && seen.text() != last.text()).await);
        }
    }
}

/// The words of an answer without the platform's markup; what stands above the pages stands there once.
fn of_chat(pages: &[Seen]) -> String {
    let frames = pages.iter().flat_map(|page| &page.embeds).filter_map(|embed| embed["description"].as_str());
    let frames = frames.flat_map(str::lines);
    let frames = frames.filter(|line| !is_page_number(line) && !line.ends_with(NO_CHANNEL));
    let bare = |line: &str| line.replace("**", "").replace('\\', "");
    let lines = pages[0].content.lines().chain(frames).map(bare);
    lines.collect::<Vec<_>>().join("\n")
}

fn is_page_number(line: &str) -> bool {
    line.starts_with("_Page ") || line.starts_with("_Seite ")
}

/// The figures of a terminal's answer, without those that a button says in the chat.
fn of_terminal(played: &str, seen: &Seen) -> Vec<String> {
    let has = |label: &str| seen.buttons.iter().any(|button| button.label == label);
    let is_button = |line: &str| {
        let undo = is_undo(line) && (has("Undo") || has("Zurücknehmen"));
        let yes = line.ends_with(": yes") && YES.iter().any(|label| has(label));
        let choice = line.strip_prefix("- ").is_some_and(has);
        let chosen = line.starts_with("Answer with: ") && seen.buttons.len() > 1;
        undo || yes || choice || chosen
    };
    let lines = played.lines().filter_map(|line| line.strip_prefix("bot<"));
    let lines: Vec<&str> = lines.map(|line| line.strip_prefix(' ').unwrap_or(line)).collect();
    let told: Vec<&str> = lines.into_iter().filter(|line| !is_button(line)).collect();
    figures(&told.join("\n"))
}

/// Whether a line says nothing but how to take back what was kept.
fn is_undo(line: &str) -> bool {
    let begins = ["Next: \"log undo id:", "Als Nächstes: „log undo id:"];
    let rest = begins.iter().find_map(|begin| line.strip_prefix(begin));
    let after = rest.and_then(|rest| rest.split_once(['"', '“']));
    after.is_some_and(|(_, after)| !after.contains(|letter: char| letter.is_ascii_digit()))
}

/// Every word with a digit in it, together with the word after it, which names the unit.
fn figures(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        for (at, word) in words.iter().enumerate() {
            if word.contains(|letter: char| letter.is_ascii_digit()) {
                found.push([*word, words.get(at + 1).copied().unwrap_or_default()].join(" "));
            }
        }
    }
    found
}

/// Whether all of these come among those, in their order.
fn is_within(these: &[String], those: &[String]) -> bool {
    let mut those = those.iter();
    these.iter().all(|one| those.any(|other| other == one))
}

/// What came of a dialogue.
struct Came {
    answers: usize,
    figures: usize,
    wrong: Vec<String>,
}

async fn played_in_both(script: &str) -> Came {
    let begin = beginning(script);
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    let cellar = Cellar::with(Options { now: Some(begin), ..Options::default() }, false).await;
    let mut members: BTreeMap<String, Id> = BTreeMap::new();
    for said in script.lines().filter_map(spoken) {
        if members.contains_key(said.member) {
            continue;
        }
        // Who speaks first is the terminal's steward; here it is who owns the group.
        let id = if members.is_empty() {
            cellar.stand_in.change_user(cellar.anna, |user| said.member.clone_into(&mut user.display_name));
            cellar.anna
        } else {
            let id = cellar.stand_in.user(said.member, said.member);
            cellar.stand_in.member(cellar.group, id, permissions::MEMBER);
            id
        };
        members.insert(said.member.to_owned(), id);
    }
    let terminal = Player::new(&desk, begin);
    let mut both = Both { desk: &desk, terminal, cellar, members, answers: 0, figures: 0, wrong: Vec::new() };
    both.play(script).await;
    assert_conforming(&both.cellar.stand_in.records());
    both.cellar.stop().await;
    Came { answers: both.answers, figures: both.figures, wrong: both.wrong }
}

/// What is played at all, the longest first, so that none is left to the end alone.
fn played() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for path in dialogues() {
        let (name, script) = (name_of(&path), fs::read_to_string(&path).unwrap());
        match left_out(&name, &script) {
            Some(why) => tracing::info!(name, why, "left out"),
            None => found.push((name, script)),
        }
    }
    found.sort_by_key(|(_, script)| Reverse(script.lines().filter_map(spoken).count()));
    found
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_terminal_and_the_chat_give_the_same_figures_for_the_same_lines() {
    let queue = VecDeque::from(played());
    let all = queue.len();
    let queue = Arc::new(Mutex::new(queue));
    let mut players = JoinSet::new();
    for _ in 0..AT_ONCE {
        let queue = Arc::clone(&queue);
        players.spawn(async move {
            let mut came = Vec::new();
            let next = || queue.lock().unwrap().pop_front();
            while let Some((name, script)) = next() {
                let played = tokio::spawn(async move { played_in_both(&script).await }).await;
                came.push((name, played));
            }
            came
        });
    }
    let (mut answers, mut counted, mut wrong) = (0, 0, Vec::new());
    for (name, played) in players.join_all().await.into_iter().flatten() {
        match played {
            Ok(came) => {
                answers += came.answers;
                counted += came.figures;
                wrong.extend(came.wrong.iter().map(|one| format!("{name}:{one}")));
            }
            Err(error) => wrong.push(format!("{name}: {error}")),
        }
    }
    tracing::info!(all, answers, counted, "played");
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
    assert!(all >= LEAST_PLAYED, "only {all} were played");
    assert!(counted > answers, "{counted} figures in {answers} answers");
}
