//! Who may do what: every command by everybody who can stand to a record in another way, against what is expected here.
//!
//! A command that is not in [`EXPECTED`] fails the test. What is refused is refused in one sentence and leaves every row
//! as it was; and where somebody has no business with a thing, the refusal is that of a record in which there is no such
//! thing.

use crate::rows::rows;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use tallyhook::command::spec::Spec;
use tallyhook::desk::{Answered, Attention, ChatSender, Desk, FileSent, Incoming, Said, Sender, table};
use tallyhook::record::ChatId;
use tallyhook::store::Store;
use tempfile::TempDir;

/// Somebody, and how they stand to Anna's record. All invented.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Person {
    pub(crate) name: &'static str,
    pub(crate) user: i64,
    group: i64,
    manages: bool,
    moderates: bool,
}

const CELLAR: i64 = 100;
const ELSEWHERE: i64 = 200;

const fn person(name: &'static str, user: i64) -> Person {
    Person { name, user, group: CELLAR, manages: false, moderates: false }
}

pub(crate) const OWNER: Person = person("Anna", 9_001);
pub(crate) const MEMBER: Person = person("Ben", 9_002);
pub(crate) const HELPER: Person = person("Hana", 9_003);
const STEWARD: Person = Person { manages: true, ..person("Stella", 9_004) };
const MODERATOR: Person = Person { moderates: true, ..person("Mo", 9_005) };
const OUTSIDER: Person = Person { group: ELSEWHERE, ..person("Otto", 9_006) };

/// In the order of the letters below.
const EVERYBODY: [Person; 6] = [OWNER, MEMBER, HELPER, STEWARD, MODERATOR, OUTSIDER];

/// Owner, other member, helper, steward, moderator, outsider: `y` may; `k` may not, and may know that it is there; `.`
/// may not, and is told what they would be told if it were not there.
///
/// `{entry}` is an entry of Anna's in B1, `{helped}` Hana's, `{air}` one of Anna's chamber, `{reminder}` a reminder of
/// Anna's. B1 is open and Hana helps with it; B2 is finished; B3 is finished and on the board.
const EXPECTED: &[(&str, &str, &str)] = &[
    ("cure mix", "cure mix meat:1 kg nitrite:6.25%", "yyyyyy"),
    ("cure mix", "cure mix batch:B1 nitrite:6.25%", "y.k..."),
    ("cure rub", "cure rub meat:1 kg nitrite:6.25% thickness:60 mm", "yyyyyy"),
    ("cure brine", "cure brine meat:1 kg water:500 g nitrite:6.25%", "yyyyyy"),
    ("cure inject", "cure inject meat:2 kg pickle:1 kg pump:10% nitrite:6.25%", "yyyyyy"),
    ("cure check", "cure check method:comminuted meat:1 kg cure:2 g nitrite:6.25%", "yyyyyy"),
    ("cure recipe", "cure recipe cure:50 g nitrite:6.25% water:2 kg meat:2 kg", "yyyyyy"),
    ("cure time", "cure time thickness:60 mm", "yyyyyy"),
    ("cure weights", "cure weights before:1000 g after:960 g", "yyyyyy"),
    ("cure muscle", "cure muscle product:muscle", "yyyyyy"),
    ("formulation scale", "formulation scale meat:2 kg item:2.5% salt", "yyyyyy"),
    ("formulation blend", "formulation blend cut:1.2 kg pork shoulder cut:0.5 kg back fat fat:25%", "yyyyyy"),
    ("formulation casing", "formulation casing mass:2 kg diameter:50 mm", "yyyyyy"),
    ("formulation culture", "formulation culture meat:2.4 kg packet:25 g for:100 kg", "yyyyyy"),
    ("formulation plan", "formulation plan stuffing:tomorrow 14:00", "yyyyyy"),
    ("formulation plan", "formulation plan stuffing:tomorrow 14:00 batch:B1", "y.k..."),
    ("formulation save", "formulation save name:Secret mix item:2.4% salt", "yyyyyy"),
    ("formulation show", "formulation show name:Secret mix", "y....."),
    ("formulation show", "formulation show name:Shown mix", "yyyyy."),
    ("formulation list", "formulation list", "yyyyyy"),
    ("formulation share", "formulation share name:Secret mix", "y....."),
    ("formulation share", "formulation share name:Shown mix", "ykkkk."),
    ("formulation share", "formulation share withdraw:Shown mix", "ykkyk."),
    ("batch start", "batch start name:Another kind:dried-sausage meat:1 kg", "yyyyyy"),
    ("batch list", "batch list which:all", "yyyyyy"),
    ("batch show", "batch show batch:B1", "y.y..."),
    ("batch show", "batch show batch:Secret stick chart:drying", "y.y..."),
    ("batch show", "batch show batch:B2", "y....."),
    ("batch show", "batch show batch:B3", "ykkkk."),
    ("batch stage", "batch stage batch:B1 to:drying", "y.k..."),
    ("batch cure", "batch cure batch:B1 cure:5 g nitrite:6.25% method:comminuted meat:2 kg", "y.k..."),
    ("batch piece", "batch piece batch:B1 weights:1000 990 g", "y.k..."),
    ("batch note", "batch note batch:B1 text:hello", "y.k..."),
    ("batch store", "batch store batch:B2 how:vacuum", "y....."),
    ("batch repeat", "batch repeat batch:B1 meat:1 kg", "y.k..."),
    ("batch repeat", "batch repeat batch:B2 meat:1 kg", "y....."),
    ("batch repeat", "batch repeat batch:B3 meat:1 kg", "yyyyy."),
    ("batch helper", "batch helper batch:B1", "y.y..."),
    ("batch helper", "batch helper batch:B1 member:Ben", "y.k..."),
    ("batch helper", "batch helper batch:B1 member:Hana withdraw:yes", "y.k..."),
    ("batch helper", "batch helper batch:B1 accept:yes", "..y..."),
    ("batch helper", "batch helper batch:B1 accept:no", "..y..."),
    ("batch record", "batch record batch:B1", "y.y..."),
    ("batch record", "batch record batch:B2 notes:yes", "y....."),
    ("batch record", "batch record batch:B3", "ykkkk."),
    ("batch label", "batch label batch:B1", "y.y..."),
    ("batch label", "batch label batch:B3", "ykkkk."),
    ("batch finish", "batch finish batch:B1", "y.k..."),
    ("batch discard", "batch discard batch:B1 reason:dropped", "y.k..."),
    ("log reading", "log reading batch:B1 text:pH 5.1 at 21 C, #1 960 g", "y.y..."),
    ("log reading", "B1 #1 960 g", "y.y..."),
    ("log reading", "B1 13 C 80%", "y.y..."),
    ("log reading", "B1 chamber set to 20 C", "y.k..."),
    ("log undo", "log undo id:{entry}", "y.k..."),
    ("log undo", "log undo id:{helped}", "y.y..."),
    ("log undo", "log undo id:{air}", "y.k..."),
    ("log undo", "log undo id:{note}", "y....."),
    ("log change", "log change id:{entry} text:pH 5.2 at 21 C", "y.k..."),
    ("log change", "log change id:{helped} text:pH 5.2 at 21 C", "y.y..."),
    ("log change", "log change id:{note} text:pH 5.2", "y....."),
    ("log history", "log history batch:B1", "y.y..."),
    ("log import", "log import file:air.csv chamber:attic", "y....."),
    ("log import", "log import file:weights.csv", "y.y..."),
    ("chamber add", "chamber add name:loft", "yyyyyy"),
    ("chamber list", "chamber list", "yyyyyy"),
    ("chamber set", "chamber set chamber:attic temperature:13 C", "y....."),
    ("chamber move", "chamber move batch:B1 to:attic", "y.k..."),
    ("target weight", "target weight green:1 kg loss:38%", "yyyyyy"),
    ("ferment schedule", "ferment schedule course:10 h at 24 C", "yyyyyy"),
    ("ferment degree-hours", "ferment degree-hours course:10 h at 24 C", "yyyyyy"),
    ("ferment degree-hours", "ferment degree-hours batch:B1", "y.y..."),
    ("ferment culture", "ferment culture culture:{culture}", "yyyyyy"),
    ("dry air", "dry air temperature:13 C humidity:80%", "yyyyyy"),
    ("dry air", "dry air chamber:attic", "y....."),
    (
        "dry balance",
        "dry balance cut:800 g shoulder blade cut:200 g back fat salt:28 g other:12 g loss:35%",
        "yyyyyy",
    ),
    ("dry forecast", "dry forecast batch:B1", "y.y..."),
    ("dry compare", "dry compare batch:B1", "y.y..."),
    ("check meter", "check meter temperature:20 C buffer:7.00 shown:7.02", "yyyyyy"),
    ("check hygrometer", "check hygrometer salt:sodium chloride temperature:20 C shown:74%", "yyyyyy"),
    (
        "check hygrometer",
        "check hygrometer salt:sodium chloride temperature:20 C shown:74% chamber:attic",
        "y.....",
    ),
    ("check freezing", "check freezing species:pork temperature:-18 C days:30 thickness:10 cm", "yyyyyy"),
    ("check heat", "check heat temperature:60 C minutes:2", "yyyyyy"),
    (
        "check drying",
        "check drying method:1 salt:3.33% diameter:60 mm particle:8 mm drying:20 at:13 C total:25",
        "yyyyyy",
    ),
    ("check shelf", "check shelf ph:5.0 aw:0.90", "yyyyyy"),
    ("check shelf", "check shelf batch:B1 aw:0.90", "y.y..."),
    ("check growth", "check growth ph:5.0", "yyyyyy"),
    ("check mould", "check mould colour:white", "yyyyyy"),
    ("check additive", "check additive name:sodium nitrite", "yyyyyy"),
    ("check rules", "check rules country:IT", "yyyyyy"),
    ("remind set", "remind set text:look when:tomorrow 9am", "yyyyyy"),
    ("remind set", "remind set text:look when:tomorrow 9am batch:B1", "y.k..."),
    ("remind list", "remind list", "yyyyyy"),
    ("remind snooze", "remind snooze id:{reminder} for:2 h", "y....."),
    ("remind pause", "remind pause for:2 days", "yyyyyy"),
    ("remind resume", "remind resume", "yyyyyy"),
    ("remind cancel", "remind cancel id:{reminder}", "y....."),
    ("group board", "group board", "yyyyyy"),
    ("group board", "group board batch:B3", "yyyyy."),
    ("group board", "group board share:B2", "y....."),
    ("group board", "group board share:B3", "ykkkk."),
    ("group board", "group board withdraw:B3", "ykkyy."),
    ("group stats", "group stats", "yyyyyy"),
    ("group formulations", "group formulations", "yyyyyy"),
    ("group settings", "group settings", "yyyyyy"),
    ("group settings", "group settings country:DE", "kkkykk"),
    ("me set", "me set country:FR", "yyyyyy"),
    ("me show", "me show", "yyyyyy"),
    ("me privacy", "me privacy", "yyyyyy"),
    ("me export", "me export", "yyyyyy"),
    ("me erase", "me erase", "yyyyyy"),
    ("help", "help", "yyyyyy"),
];

/// What Anna wrote for herself alone.
const CANARY: &str = "a note for nobody else";

pub(crate) fn now() -> DateTime<Utc> {
    "2026-11-02T08:00:00Z".parse().unwrap()
}

pub(crate) fn incoming(who: Person, line: &str) -> Incoming {
    let group = Some((ChatId(who.group), format!("Group {}", who.group)));
    let sender = Sender::Chat(ChatSender {
        user: ChatId(who.user),
        name: who.name.to_owned(),
        group,
        manages: Some(who.manages),
        moderates: who.moderates,
        locale: None,
    });
    let incoming = Incoming {
        id: None,
        sender,
        said: Said::Line(line.to_owned()),
        at: now(),
        confirmed: true,
        place: None,
        channel: None,
        file: None,
        attention: Attention::Addressed,
    };
    let file = incoming.file_named().map(|name| Arc::new(file(name)));
    Incoming { file, ..incoming }
}

/// A file that a line names: of a logger, or of weighings.
fn file(name: String) -> FileSent {
    let text = match &*name {
        "air.csv" => "time,temperature C\n2026-11-01 08:00,13.2\n",
        _ => "time,B1 #1 [g]\n2026-11-02 07:59,960\n",
    };
    FileSent { name, bytes: text.as_bytes().to_vec() }
}

async fn said(desk: &Desk, who: Person, line: &str) -> Answered {
    desk.answer(&incoming(who, line)).await
}

/// The first entry that a line kept, or the reminder.
async fn kept(desk: &Desk, who: Person, line: &str) -> i64 {
    kept_at(desk, who, line, now()).await
}

async fn kept_at(desk: &Desk, who: Person, line: &str, at: DateTime<Utc>) -> i64 {
    match desk.answer(&Incoming { at, ..incoming(who, line) }).await {
        Answered::Reply(reply) => {
            let entry = reply.stored.first().map(|stored| stored.id);
            entry.or_else(|| reply.due.first().and_then(|due| due.id)).unwrap_or_default()
        }
        other => panic!("{}: {line}: {}", who.name, other.text()),
    }
}

/// A record, and what the words in braces stand for.
pub(crate) struct World {
    folder: TempDir,
    words: Vec<(&'static str, String)>,
}

impl World {
    /// Everybody is known; nobody has anything.
    async fn empty() -> Self {
        let world = Self { folder: tempfile::tempdir().unwrap(), words: Vec::new() };
        let desk = world.desk("template").await;
        for who in EVERYBODY {
            kept(&desk, who, "me set country:IT").await;
        }
        desk.store().close().await.unwrap();
        world
    }

    /// Anna's things.
    pub(crate) async fn full() -> Self {
        let mut world = Self::empty().await;
        let desk = world.desk("template").await;
        let hours = std::cell::Cell::new(0);
        let anna = async |line: &str| {
            hours.set(hours.get() + 1);
            kept_at(&desk, OWNER, line, now() - TimeDelta::days(10) + TimeDelta::hours(hours.get())).await
        };
        anna("batch start name:Secret stick kind:fermented-sausage meat:2 kg pork casing:50 mm loss:38%")
            .await;
        anna("batch piece batch:B1 weights:1000 990 g").await;
        anna("batch stage batch:B1 to:fermenting").await;
        let entry = anna("B1 pH 5.3 at 21 C").await;
        anna("B1 #1 980 g").await;
        let air = anna("B1 14 C 82%").await;
        let note = anna(&format!("batch note batch:B1 text:{CANARY}")).await;
        for name in ["Hidden", "Shown"] {
            anna(&format!("batch start name:{name} kind:dried-sausage meat:1 kg pork loss:38%")).await;
            anna(&format!("batch finish batch:{name}")).await;
        }
        anna("group board share:Shown").await;
        anna("chamber add name:attic").await;
        anna("chamber set chamber:attic temperature:13 C humidity:80%").await;
        anna("chamber attic 13 C 80%").await;
        anna("formulation save name:Secret mix item:2.5% salt").await;
        anna("formulation save name:Shown mix item:2.6% salt").await;
        anna("formulation share name:Shown mix").await;
        let reminder = anna("remind set text:turn when:tomorrow 9am").await;
        anna("batch helper batch:B1 member:Hana").await;
        kept(&desk, HELPER, "batch helper accept:yes").await;
        let helped = kept(&desk, HELPER, "B1 pH 5.25 at 21 C").await;
        desk.store().close().await.unwrap();
        world.words = vec![
            ("{entry}", entry.to_string()),
            ("{air}", air.to_string()),
            ("{note}", note.to_string()),
            ("{helped}", helped.to_string()),
            ("{reminder}", reminder.to_string()),
            ("{culture}", culture()),
        ];
        world
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(format!("{name}.sqlite3"))
    }

    async fn desk(&self, name: &str) -> Desk {
        Desk::new(Store::open(self.path(name)).await.unwrap())
    }

    fn line(&self, line: &str) -> String {
        self.words.iter().fold(line.to_owned(), |line, (word, value)| line.replace(word, value))
    }

    /// A desk over a copy of it.
    async fn copy(&self) -> (Desk, PathBuf) {
        let path = self.path("copy");
        std::fs::copy(self.path("template"), &path).unwrap();
        (self.desk("copy").await, path)
    }
}

fn culture() -> String {
    let spec = table::find("ferment", "culture").unwrap();
    let example = spec.examples[0].split("culture:").nth(1).unwrap_or_default();
    example.split(" temperature:").next().unwrap_or_default().to_owned()
}

/// What an answer was, as far as it decides.
fn outcome(answered: &Answered) -> Result<(), (String, String)> {
    match answered {
        Answered::Error(error) => Err((error.code.to_owned(), error.message.clone())),
        _ => Ok(()),
    }
}

const REFUSALS: [&str; 3] = ["not_yours", "no_such_batch", "no_such_thing"];

async fn check(full: &World, empty: &World, line: &str, who: Person, expected: char) -> Vec<String> {
    let mut wrong = Vec::new();
    let (desk, path) = full.copy().await;
    let line = full.line(line);
    let before = if expected == 'y' { BTreeMap::new() } else { rows(&path).await };
    let answered = said(&desk, who, &line).await;
    let after = if expected == 'y' { BTreeMap::new() } else { rows(&path).await };
    desk.store().close().await.unwrap();
    let mut fail = |what: &str| {
        wrong.push(format!("{} ({expected}): {line}: {what}: {}", who.name, answered.text()));
    };
    let text = answered.text();
    if who != OWNER && text.contains(CANARY) {
        fail("tells a private note");
    }
    if who == OUTSIDER
        && ["Anna", "Secret", "Hidden", "Shown"]
            .iter()
            .any(|word| text.contains(word) && !line.contains(word))
    {
        fail("tells an outsider something");
    }
    let Err((code, message)) = outcome(&answered) else {
        if expected != 'y' {
            fail("was allowed");
        }
        return wrong;
    };
    if expected == 'y' {
        fail("was refused");
        return wrong;
    }
    if before != after {
        fail("a refusal left something behind");
    }
    let is_one_sentence = !message.contains('\n') && message.ends_with('.');
    let is_refusal = REFUSALS.contains(&code.as_str()) || (code == "unknown_choice" && line.contains("mix"));
    if !is_refusal || !is_one_sentence {
        fail(&format!("is no refusal in one sentence ({code})"));
    }
    if expected == '.' {
        let (desk, _) = empty.copy().await;
        let there = said(&desk, who, &line).await;
        desk.store().close().await.unwrap();
        if there.text() != text {
            fail(&format!("without the thing it is said otherwise: {}", there.text()));
        }
    }
    wrong
}

#[tokio::test]
async fn everybody_may_what_is_theirs_and_nothing_else() {
    let (full, empty) = (World::full().await, World::empty().await);
    let mut wrong = Vec::new();
    for (_, line, letters) in EXPECTED {
        assert_eq!(letters.len(), EVERYBODY.len(), "{line}");
        for (who, expected) in EVERYBODY.into_iter().zip(letters.chars()) {
            wrong.extend(check(&full, &empty, line, who, expected).await);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_command_is_without_an_expectation() {
    let known = |name: &str| EXPECTED.iter().any(|(command, ..)| *command == name);
    let missing: Vec<String> = table::all().map(Spec::name).filter(|name| !known(name)).collect();
    assert!(missing.is_empty(), "say in EXPECTED who may what with {missing:?}");
    for (command, line, _) in EXPECTED {
        let is_spelled = table::all().any(|spec| spec.name() == *command);
        assert!(is_spelled && (line.starts_with(command) || *command == "log reading"), "{command}: {line}");
    }
}

/// A message that anybody can read speaks for its writer only: what somebody else edits or deletes is not theirs.
#[tokio::test]
async fn an_edit_by_another_changes_nothing() {
    let full = World::full().await;
    let (desk, path) = full.copy().await;
    let kept = Incoming { id: Some("m77".to_owned()), ..incoming(OWNER, "B1 #2 970 g") };
    assert!(matches!(desk.answer(&kept).await, Answered::Reply(_)));
    let before = rows(&path).await;
    for who in EVERYBODY.into_iter().filter(|who| *who != OWNER) {
        for said in [
            Said::Edited {
                of: "m77".to_owned(),
                written: now(),
                text: "B1 #2 960 g".to_owned(),
                files: None,
            },
            Said::Deleted { of: vec!["m77".to_owned()] },
        ] {
            let answered = desk.answer(&Incoming { said, ..incoming(who, "") }).await;
            assert!(!answered.text().contains("970"), "{}: {}", who.name, answered.text());
            assert_eq!(rows(&path).await, before, "{}", who.name);
        }
    }
    desk.store().close().await.unwrap();
}

/// Somebody whose very first line has a slip in it leaves nothing; their next is a first line again.
#[tokio::test]
async fn whoever_was_refused_first_looks_after_their_group_all_the_same() {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    let say = async |line: &str| desk.answer(&Incoming::line("home", "mara", line, now())).await;
    assert!(matches!(say("cure mix meat:1 kg nitrite:6.25").await, Answered::Error(_)));
    assert!(desk.store().groups().is_empty(), "{:?}", desk.store().groups());
    let settings = say("group settings").await.text();
    assert!(settings.contains("Steward: mara"), "{settings}");
}
