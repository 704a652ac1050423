//! Times the paths a member waits for, in one run on one machine: `cargo run --release --example pace`.
//!
//! The record holds 100,000 readings in 200 batches; the same figures are printed as ratios to reading a line, which
//! travel better than microseconds.
#![expect(clippy::print_stdout, reason = "it prints what it measured")]
#![expect(clippy::expect_used, reason = "a measurement that fails has nothing to report")]

use chrono::{DateTime, TimeDelta, Utc};
use std::time::{Duration, Instant};
use tallyhook::command::{self, Asking};
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::quantity::Mass;
use tallyhook::record::state::{Piece, Weighing};
use tallyhook::record::{
    BatchId, BatchStage, BatchState, Event, EventId, Happening, MemberId, PieceHung, PieceNumber, Subject,
};
use tallyhook::store::{BatchWrite, Change, ShareWrite, Store};

const BATCHES: i64 = 200;
const READINGS: i64 = 500;
const ROUNDS: i64 = 400;
const SHOWN: i64 = 10_000;
const ROUNDS_OF_STATS: i64 = 40;

fn start() -> DateTime<Utc> {
    DateTime::from_timestamp(1_780_000_000, 0).expect("a moment")
}

fn incoming(text: &str, at: DateTime<Utc>) -> Incoming {
    Incoming { confirmed: true, ..Incoming::line("home", "mara", text, at) }
}

async fn ask(desk: &Desk, text: &str, at: DateTime<Utc>) {
    match desk.answer(&incoming(text, at)).await {
        Answered::Reply(_) => {}
        other => panic!("{text}: {}", other.text()),
    }
}

/// Fills the record: every batch is started by a line, its readings are committed as one change.
async fn fill(desk: &Desk) {
    for number in 1..=BATCHES {
        ask(
            desk,
            &format!("batch start name:Batch number {number} kind:dried-sausage meat:1 kg loss:38%"),
            start(),
        )
        .await;
        ask(desk, &format!("batch piece batch:B{number} weights:1000 g"), start()).await;
        ask(desk, &format!("batch stage batch:B{number} to:drying at:{}", (start()).to_rfc3339()), start())
            .await;
        weigh(desk.store(), BatchId(number)).await;
    }
}

async fn weigh(store: &Store, batch: BatchId) {
    let (state, version) = store.batch(batch).await.expect("read").expect("there");
    let mut state: BatchState = state;
    let piece = state.pieces.first().expect("a piece").hung.number;
    let mut change = Change::default();
    for hour in 1..=READINGS {
        let event = Event {
            id: store.next_event_id(),
            subject: Subject::Piece(batch, piece),
            at: start() + TimeDelta::hours(hour),
            recorded_at: start(),
            author: Some(state.plan.owner),
            zone: "UTC".into(),
            what: Happening::Weighed { gross: Mass::grams(1000.0 - 0.5 * hour as f64) },
            typed: String::new(),
        };
        state.fold(&event);
        change.events.push(event);
    }
    let _: Option<EventId> = change.events.last().map(|event| event.id);
    change.batches.push(BatchWrite { state, computed_from: version });
    store.commit(change).await.expect("kept");
}

/// A finished batch of four pieces with eight weighings each, as the group shows it.
fn shown(number: i64, like: &BatchState, owner: MemberId) -> (BatchState, ShareWrite) {
    let mut state = like.clone();
    state.id = BatchId(1_000_000 + number);
    state.plan.name = format!("Shown {number}");
    state.plan.owner = owner;
    state.stages.push((BatchStage::Finished, start() + TimeDelta::days(60)));
    let weighing = |week: i64| Weighing {
        event: EventId(week),
        at: start() + TimeDelta::days(7 * week),
        gross: Mass::grams(1000.0 - (50.0 + (number % 7) as f64) * week as f64),
    };
    let piece = |of: u32| Piece {
        hung: PieceHung {
            number: PieceNumber(of),
            hung: Mass::grams(1000.0),
            tare: Mass::grams(0.0),
            before_cure: None,
        },
        hung_at: start(),
        weighings: (1..=8).map(weighing).collect(),
        left: None,
    };
    state.pieces = (1..=4).map(piece).collect();
    let share = ShareWrite {
        batch: state.id,
        group: state.plan.group,
        member: owner,
        shared_at: Some(start()),
        record: String::new(),
    };
    (state, share)
}

/// What the group's figures take when one of 10,000 batches was shown anew just before, and when nothing changed.
async fn stats(desk: &Desk) -> [Timed; 2] {
    let store = desk.store();
    let group = store.group_by_name("home").expect("the group");
    for name in ["jonas", "lena"] {
        let line = Incoming { confirmed: true, ..Incoming::line("home", name, "batch list", start()) };
        desk.answer(&line).await;
    }
    let owners: Vec<MemberId> = store.members_of_group(group.id).iter().map(|member| member.id).collect();
    let (like, _) = store.batch(BatchId(1)).await.expect("read").expect("there");
    let mut shares = Vec::new();
    for chunk in 0..SHOWN / 500 {
        let mut change = Change::default();
        for number in chunk * 500..(chunk + 1) * 500 {
            let owner = owners[number as usize % owners.len()];
            let (state, share) = shown(number, &like, owner);
            change.batches.push(BatchWrite { state, computed_from: 0 });
            change.shares.push(share.clone());
            shares.push(share);
        }
        store.commit(change).await.expect("kept");
    }
    let (mut anew, mut again) = (Vec::new(), Vec::new());
    for round in 0..ROUNDS_OF_STATS {
        let share = shares[round as usize].clone();
        store.commit(Change { shares: vec![share], ..Change::default() }).await.expect("kept");
        for times in [&mut anew, &mut again] {
            let before = Instant::now();
            ask(desk, "group stats", start() + TimeDelta::days(90)).await;
            times.push(before.elapsed());
        }
    }
    [sorted("group stats, 10,000, read anew", anew), sorted("group stats, 10,000, unchanged", again)]
}

struct Timed {
    name: &'static str,
    median: Duration,
    slowest: Duration,
}

fn sorted(name: &'static str, mut times: Vec<Duration>) -> Timed {
    times.sort();
    Timed { name, median: times[times.len() / 2], slowest: times[times.len() * 99 / 100] }
}

async fn timed(name: &'static str, desk: &Desk, line: impl Fn(i64) -> (String, DateTime<Utc>)) -> Timed {
    let mut times = Vec::new();
    for round in 0..ROUNDS {
        let (text, at) = line(round);
        let before = Instant::now();
        ask(desk, &text, at).await;
        times.push(before.elapsed());
    }
    sorted(name, times)
}

fn parsed(desk: &Desk) -> Timed {
    let group = desk.store().group_by_name("home").expect("the group");
    let member = desk.store().member_by_name(group.id, "mara").expect("the member");
    let asking = Asking {
        member,
        group,
        now: start(),
        request: None,
        confirmed: false,
        moderates: false,
        place: None,
        typed: String::new(),
        file: None,
        seen: command::Seen::default(),
    };
    let line = "cure check method:comminuted meat:1.6 kg pork, 0.4 kg back fat cure:5 g nitrite:6.25% salt:2.5% country:US";
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        let before = Instant::now();
        command::read(line, &asking).expect("it reads");
        times.push(before.elapsed());
    }
    sorted("a line, parsed", times)
}

#[tokio::main]
async fn main() {
    let desk = Desk::new(Store::open_temporary().await.expect("a record"));
    fill(&desk).await;
    let later = start() + TimeDelta::days(30);
    let mut rows = vec![parsed(&desk)];
    rows.push(
        timed("cure check", &desk, |_| {
            (
                "cure check method:comminuted meat:2 kg cure:5 g nitrite:6.25% salt:2.5% country:US".into(),
                later,
            )
        })
        .await,
    );
    rows.push(
        timed("status card, 100,000 readings", &desk, |round| {
            (format!("batch show B{}", round % BATCHES + 1), later)
        })
        .await,
    );
    rows.push(
        timed("a reading, committed", &desk, |round| {
            (
                format!("log reading batch:B{} text:740 g", round % BATCHES + 1),
                later + TimeDelta::minutes(round),
            )
        })
        .await,
    );
    rows.extend(stats(&desk).await);
    let base = rows[0].median.as_secs_f64();
    println!("{:32} {:>10} {:>10} {:>8}", "", "median", "99 %", "ratio");
    for row in rows {
        let micros = |time: Duration| format!("{:.1} µs", time.as_secs_f64() * 1e6);
        println!(
            "{:32} {:>10} {:>10} {:>8.1}",
            row.name,
            micros(row.median),
            micros(row.slowest),
            row.median.as_secs_f64() / base
        );
    }
    desk.store().close().await.expect("closed");
}
