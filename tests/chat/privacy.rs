//! What is erased is gone, what is left behind is nobody's, and figures name nobody.

use crate::rows::rows;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use tallyhook::desk::{Answered, Attention, ChatSender, Desk, Incoming, Said, Sender, TOMBSTONE};
use tallyhook::record::{
    Card, ChatId, Happening, Letter, MemberId, Outgoing, OutgoingState, Place, PlaceKind,
};
use tallyhook::store::{Change, Everything, Store};

/// Rare enough that nothing else holds it. Invented.
const NAME: &str = "Zeldaquast";
const USER: i64 = 987_654_321_012_345_678;
const CANARY: &str = "pomegranatecanary";
/// The numbers of members begin here, so that one of them is found among other figures.
const MEMBERS_FROM: i64 = 770_077_000;

const BEN: (&str, i64) = ("Ben", 9_002);
const CLEO: (&str, i64) = ("Cleo", 9_003);
const ZELDA: (&str, i64) = (NAME, USER);
/// Every message has a number of its own.
static MESSAGES: AtomicU64 = AtomicU64::new(60_000);

const CELLAR: ChatId = ChatId(100);

fn now() -> DateTime<Utc> {
    "2026-11-02T08:00:00Z".parse().unwrap()
}

fn line(who: (&str, i64), text: &str, directly: bool) -> Incoming {
    let group = (!directly).then(|| (CELLAR, "Cellar (invented)".to_owned()));
    let manages = group.as_ref().map(|_| false);
    let sender = ChatSender {
        user: ChatId(who.1),
        name: who.0.to_owned(),
        group,
        manages,
        moderates: false,
        locale: None,
    };
    Incoming {
        id: Some(format!("m{}", MESSAGES.fetch_add(1, Ordering::Relaxed))),
        sender: Sender::Chat(sender),
        said: Said::Line(text.to_owned()),
        at: now(),
        confirmed: true,
        place: None,
        channel: None,
        file: None,
        attention: Attention::Addressed,
    }
}

async fn said(desk: &Desk, who: (&str, i64), text: &str) -> String {
    let answered = desk.answer(&line(who, text, false)).await;
    assert!(matches!(answered, Answered::Reply(_)), "{text}: {}", answered.text());
    answered.text()
}

async fn directly(desk: &Desk, who: (&str, i64), text: &str) {
    let answered = desk.answer(&line(who, text, true)).await;
    assert!(matches!(answered, Answered::Reply(_)), "{text}: {}", answered.text());
}

fn id_of(desk: &Desk, who: (&str, i64)) -> MemberId {
    desk.store().member_by_chat(ChatId(who.1)).unwrap().id
}

/// A record whose members have rare numbers.
async fn record(path: &Path) -> Desk {
    Store::open(path).await.unwrap().close().await.unwrap();
    let mut connection =
        sqlx::ConnectOptions::connect(&sqlx::sqlite::SqliteConnectOptions::new().filename(path))
            .await
            .unwrap();
    sqlx::query("insert into numbers (kind, last) values ('member', $1)")
        .bind(MEMBERS_FROM)
        .execute(&mut connection)
        .await
        .unwrap();
    sqlx::Connection::close(connection).await.unwrap();
    Desk::new(Store::open(path).await.unwrap())
}

/// Zelda leaves a trace wherever one can be left: of her own, with Ben, whom she helps, and in what the assistant wrote
/// to Ben.
async fn traces(desk: &Desk) {
    directly(desk, ZELDA, "me set country:IT timezone:Europe/Rome").await;
    for text in [
        "me set mass:kg".to_owned(),
        format!("batch start name:{CANARY} kind:fermented-sausage meat:2 kg pork casing:50 mm loss:38%"),
        "batch piece batch:B1 weights:1000 990 g".to_owned(),
        format!("B1 #1 mould: white, {CANARY}"),
        "B1 pH 5.4 at 21 C".to_owned(),
        "B1 chamber 13 C 80%".to_owned(),
        format!("batch note batch:B1 text:{CANARY}"),
        "log undo id:3".to_owned(),
        format!("batch start name:{CANARY} two kind:dried-sausage meat:1 kg pork"),
        "batch finish batch:B2".to_owned(),
        "group board share:B2".to_owned(),
        format!("chamber add name:{CANARY}"),
        format!("check meter temperature:20 C buffer:7.00 shown:7.02 name:{CANARY}"),
        format!("formulation save name:{CANARY} item:2.5% salt"),
        format!("formulation share name:{CANARY}"),
        format!("remind set text:{CANARY} when:tomorrow 9am"),
    ] {
        said(desk, ZELDA, &text).await;
    }
    for who in [BEN, CLEO] {
        said(desk, who, "me set country:DE").await;
    }
    said(desk, ZELDA, "batch helper batch:B1 member:Cleo").await;
    said(desk, BEN, "batch start name:Ben's kind:dried-sausage meat:1 kg pork loss:38%").await;
    said(desk, BEN, "batch piece batch:B3 weights:800 g").await;
    said(desk, BEN, &format!("batch helper batch:B3 member:{NAME}")).await;
    said(desk, ZELDA, "batch helper accept:yes").await;
    said(desk, ZELDA, &format!("B3 #1 790 g, {CANARY}")).await;
    said(desk, ZELDA, "B3 14 C 82%").await;
    platform(desk).await;
}

/// What the front end keeps: conversations, messages, answers with pages and buttons.
async fn platform(desk: &Desk) {
    let (zelda, ben) = (id_of(desk, ZELDA), id_of(desk, BEN));
    let group = desk.store().group_by_chat(CELLAR).unwrap().id;
    let place = |id: i64, kind, member, batch| Place {
        id: ChatId(id),
        group,
        kind,
        member,
        batch,
        seen: ChatId(id),
        reachable: true,
    };
    let sent = |member, text: &str| {
        let id = desk.store().next_outgoing_id();
        let nonce = format!("m{}", id.0);
        let letter = Letter {
            place: CELLAR,
            answers: Some(ChatId(504)),
            body: format!("{{\"content\":\"{text}\"}}"),
            nonce,
        };
        let letter = Some(letter);
        Outgoing { letter, state: OutgoingState::Sent, ..Outgoing::new(id, member, now(), text.to_owned()) }
    };
    let card = |owner, buttons: &str, pages: &str| Card {
        id: desk.store().next_card_id(),
        owner,
        made: now(),
        buttons: buttons.to_owned(),
        pages: Some(pages.to_owned()),
    };
    let change = Change {
        places: vec![
            place(501, PlaceKind::Direct, Some(zelda), None),
            place(502, PlaceKind::Thread, None, Some(tallyhook::record::BatchId(1))),
            place(503, PlaceKind::Thread, None, Some(tallyhook::record::BatchId(3))),
        ],
        outgoing: vec![
            sent(zelda, CANARY),
            sent(ben, &format!("{NAME} helps with B3 now.")),
            sent(ben, "B3 Ben's: weigh the pieces."),
        ],
        cards: vec![
            card(zelda, "[]", CANARY),
            card(ben, "[]", &format!("[\"Helpers:\\n{NAME}\"]")),
            card(ben, &format!("[\"batch helper batch:B3 member:{NAME}\"]"), "[]"),
            card(ben, "[\"batch show B3\"]", "[\"B3\"]"),
        ],
        ..Change::default()
    };
    desk.store().commit(change).await.unwrap();
}

/// Whatever would tell of Zelda.
fn told(text: &str, member: MemberId) -> bool {
    [NAME, CANARY, &USER.to_string(), &member.0.to_string()].iter().any(|trace| text.contains(trace))
}

/// What is left of somebody's own record when another is forgotten: nothing of theirs is missing, and what the other
/// wrote there stands without author and words.
fn without(member: MemberId, mut everything: Everything) -> Everything {
    for entry in everything.entries.iter_mut().filter(|entry| entry.author == Some(member)) {
        entry.author = None;
        entry.typed = String::new();
    }
    for message in everything.messages.iter_mut().filter(|message| message.text.contains(NAME)) {
        message.text = String::new();
        message.letter = None;
    }
    everything.messages.retain(|message| message.state == OutgoingState::Sent || !message.text.is_empty());
    everything
}

#[tokio::test]
async fn nothing_of_a_member_remains_and_nothing_of_others_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let desk = record(&path).await;
    traces(&desk).await;
    let (zelda, ben, cleo) = (id_of(&desk, ZELDA), id_of(&desk, BEN), id_of(&desk, CLEO));
    let before = rows(&path).await;
    assert!(before.values().flatten().filter(|row| told(row, zelda)).count() > 30, "the traces are there");
    assert!(!no_bytes_remain(&path), "the traces are in the file");
    let of_ben = without(zelda, desk.store().everything_of(ben).await.unwrap());

    let asked = Incoming { confirmed: false, ..line(ZELDA, "me erase", false) };
    assert!(matches!(desk.answer(&asked).await, Answered::Question(_)));
    assert_eq!(rows(&path).await, before, "a question erases nothing");
    let done = desk.answer(&line(ZELDA, "me erase", false)).await;
    assert!(done.text().starts_with("Everything of yours is deleted."), "{}", done.text());

    let left: Vec<String> = remaining(&rows(&path).await, zelda);
    assert!(left.is_empty(), "{left:#?}");
    assert_eq!(desk.store().everything_of(ben).await.unwrap(), of_ben);
    assert!(desk.store().helping(cleo).await.unwrap().is_empty(), "what she was asked to help with is gone");
    let history = said(&desk, BEN, "log history batch:B3").await;
    assert!(history.contains("#1: 790 g, by a former helper"), "{history}");
    assert!(no_bytes_remain(&path), "in the file or its log");
    desk.store().close().await.unwrap();
    assert!(no_bytes_remain(&path), "in the file");
}

/// `numbers` holds the highest number ever given out, which need not be hers: Ben and Cleo came after.
fn remaining(all: &BTreeMap<String, Vec<String>>, member: MemberId) -> Vec<String> {
    let rows = all.iter().flat_map(|(table, rows)| rows.iter().map(move |row| format!("{table}: {row}")));
    rows.filter(|row| told(row, member)).collect()
}

/// Also on pages that hold no row any more: as text, and the number as `SQLite` keeps one, in eight bytes, the highest first
/// (its file format, "Record Format").
fn no_bytes_remain(path: &Path) -> bool {
    let log = path.with_file_name("record.sqlite3-wal");
    let bytes: Vec<u8> =
        [path, &log].iter().flat_map(|path| std::fs::read(path).unwrap_or_default()).collect();
    assert!(bytes.starts_with(b"SQLite format 3"));
    let traces = [NAME.as_bytes().to_vec(), CANARY.as_bytes().to_vec(), USER.to_be_bytes().to_vec()];
    traces.iter().all(|trace| !bytes.windows(trace.len()).any(|window| window == trace))
}

/// The dialogues hold what really comes back. Names of members, and numbers of batches that were not asked about, have no
/// place in it.
#[test]
fn figures_of_a_group_name_nobody() {
    let batch = regex::Regex::new(r"\bB\d+\b").unwrap();
    for (file, command) in [("group_stats", "group stats"), ("dry_compare", "dry compare")] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/dialogues");
        let dialogue = std::fs::read_to_string(folder.join(format!("{file}.txt"))).unwrap();
        let speaker =
            |line: &str| line.split_once("> ").map(|(name, said)| (name.to_owned(), said.to_owned()));
        let members: std::collections::BTreeSet<String> = dialogue
            .lines()
            .filter(|line| !line.starts_with("bot"))
            .filter_map(speaker)
            .map(|(name, _)| name)
            .collect();
        assert!(members.len() > 1, "{file}");
        let (mut asked, mut checked) = (None, 0);
        for line in dialogue.lines() {
            let Some(answer) = line.strip_prefix("bot< ") else {
                asked = speaker(line).map(|(_, said)| said).filter(|said| said.starts_with(command));
                continue;
            };
            let Some(asked) = &asked else { continue };
            checked += 1;
            assert!(!members.iter().any(|name| answer.contains(name.as_str())), "{file}: {line}");
            let own: Vec<&str> = batch.find_iter(asked).map(|found| found.as_str()).collect();
            let others =
                batch.find_iter(answer).filter(|found| !own.is_empty() && !own.contains(&found.as_str()));
            assert_eq!(others.count(), 0, "{file}: {line}");
        }
        assert!(checked > 10, "{file}");
    }
}

/// Ben also writes directly, Cleo never did; Zelda is in another group as well.
#[tokio::test]
async fn a_group_that_lets_the_assistant_go_is_let_go_after_thirty_days() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let desk = record(&path).await;
    traces(&desk).await;
    said(&desk, CLEO, "batch start name:Cleo's kind:dried-sausage meat:1 kg pork").await;
    let (zelda, ben, cleo) = (id_of(&desk, ZELDA), id_of(&desk, BEN), id_of(&desk, CLEO));
    let group = desk.store().group_by_chat(CELLAR).unwrap().id;
    let direct = Place {
        id: ChatId(601),
        group,
        kind: PlaceKind::Direct,
        member: Some(ben),
        batch: None,
        seen: ChatId(601),
        reachable: true,
    };
    desk.store().commit(Change { places: vec![direct], ..Change::default() }).await.unwrap();
    let before = rows(&path).await;

    // Removed, back before the time is over: as it was.
    desk.leave(CELLAR, now()).await.unwrap();
    let almost = now() + TOMBSTONE - TimeDelta::seconds(1);
    assert_eq!(desk.purge_left_groups(almost).await, Ok(0));
    desk.come_back(CELLAR).await.unwrap();
    assert_eq!(rows(&path).await, before);
    assert_eq!(desk.purge_left_groups(now() + TimeDelta::days(400)).await, Ok(0), "it is back");

    // Removed for good. The first notice counts.
    desk.leave(CELLAR, now()).await.unwrap();
    desk.leave(CELLAR, now() + TimeDelta::days(20)).await.unwrap();
    let (of_ben, of_zelda) =
        (desk.store().everything_of(ben).await.unwrap(), desk.store().everything_of(zelda).await.unwrap());
    assert_eq!(desk.purge_left_groups(now() + TOMBSTONE).await, Ok(1));
    assert_eq!(desk.purge_left_groups(now() + TOMBSTONE).await, Ok(0));

    let after = rows(&path).await;
    assert!(after["shares"].is_empty() && after["helpers"].is_empty());
    assert!(
        !after["groups"].iter().any(|row| row.contains("Cellar") || row.contains(&CELLAR.0.to_string())),
        "{:?}",
        after["groups"]
    );
    let gone: Vec<String> = after.values().flatten().filter(|row| row.contains("Cleo")).cloned().collect();
    assert!(gone.is_empty() && desk.store().memberships_of(cleo).is_empty(), "{gone:?}");
    for (who, member, kept) in [(BEN, ben, of_ben), (ZELDA, zelda, of_zelda)] {
        let now = desk.store().everything_of(member).await.unwrap();
        assert_eq!(now.batches, kept.batches, "{}", who.0);
        assert_eq!(now.entries, kept.entries, "{}", who.0);
        assert_eq!(now.reminders, kept.reminders);
        assert_eq!(now.memberships.len(), 1);
        let directly = desk.answer(&line(who, "batch list which:all", true)).await;
        assert!(directly.text().contains("kind") || directly.text().contains('B'), "{}", directly.text());
    }
    let weight = |entry: &tallyhook::record::Event| matches!(entry.what, Happening::Weighed { .. });
    assert!(desk.store().everything_of(ben).await.unwrap().entries.iter().any(weight));

    // After a restart, and when the group lets it in once more, it begins anew.
    desk.store().close().await.unwrap();
    let desk = Desk::new(Store::open(&path).await.unwrap());
    assert_eq!(desk.store().group_by_name(""), None, "what is left of a group has no name to come in by");
    let board = said(&desk, BEN, "group board").await;
    assert!(board.starts_with("The board is empty."), "{board}");
    let list = said(&desk, BEN, "batch list which:all").await;
    assert!(list.contains("B3 Ben's"), "{list}");
    desk.store().close().await.unwrap();
}
