//! How long members wait on the chat platform, against the stand-in, in one run: `cargo run --release --example
//! platform_pace`.
//!
//! A bare client of the chat library that only says "pong" is the yardstick: it costs what the library, the stand-in
//! and loopback cost. The assistant's own share is the difference. Stand-in, client and assistant share this machine,
//! so only the ratios mean anything elsewhere.
#![expect(clippy::print_stdout, reason = "a program that prints its figures")]
#![expect(clippy::unwrap_used, reason = "a measurement that cannot be made stops")]

mod bare;
#[path = "../../tests/support/mod.rs"]
mod support;

use std::future::Future;
use std::sync::Arc;
use std::time::{Duration, Instant};

use support::stand_in::clock::Id;
use support::stand_in::message::Message;
use support::stand_in::{Options, SOON, StandIn};
use tallyhook::clock::SystemClock;
use tallyhook::discord::Settings;
use tallyhook::discord::settings::Raw;
use tallyhook::discord::start::serve;
use tallyhook::store::Store;
use tokio::sync::oneshot;

/// Members who speak at the same time.
const MANY: usize = 50;
/// Rounds at one outstanding; at fifty, each member makes a fifth of them.
const ROUNDS: usize = 500;
const WARM_UP: usize = 20;

/// What was measured of one thing at one load.
struct Measured {
    median: Duration,
    slow: Duration,
    rate: f64,
}

#[tokio::main]
async fn main() {
    println!(
        "{:<16} {:>11}  {:>9} {:>9} {:>9}  {:>7}",
        "", "outstanding", "p50 µs", "p99 µs", "a second", "to echo"
    );
    let echo = echo().await;
    for (name, load, measured) in &echo {
        print_line(name, *load, measured, measured);
    }
    for (name, load, measured) in assistant().await {
        let yardstick = if load == 1 { &echo[0].2 } else { &echo[1].2 };
        print_line(name, load, &measured, yardstick);
    }
}

type Line = (&'static str, usize, Measured);

async fn echo() -> Vec<Line> {
    let stand_in = StandIn::start(Options::default()).await;
    let people = people(&stand_in);
    let _running = bare::start(&stand_in).await;
    let mut lines = Vec::new();
    for load in [1, MANY] {
        let one = |person: Person, _| {
            let stand_in = &stand_in;
            async move { drop(stand_in.slash(person.user, person.place, "ping", &[]).answer(SOON).await) }
        };
        lines.push(("bare echo", load, measure(&stand_in, &people[..load], one).await));
    }
    lines
}

async fn assistant() -> Vec<Line> {
    let stand_in = StandIn::start(Options::default()).await;
    let people = people(&stand_in);
    let (stop, running) = start(&stand_in).await;
    for person in &people {
        let options = [("name", "Bench"), ("kind", "dried-sausage"), ("meat", "1 kg pork"), ("loss", "38%")];
        stand_in.slash(person.user, person.place, "batch start", &options).answer(SOON).await;
        let line = stand_in.direct(person.user, "hung 1000 g");
        stand_in.reply_after(line, SOON).await;
    }
    let mut lines = Vec::new();
    for load in [1, MANY] {
        let check = |person: Person, _| {
            let stand_in = &stand_in;
            async move {
                let options = [
                    ("method", "comminuted"),
                    ("meat", "2 kg"),
                    ("cure", "5 g"),
                    ("nitrite", "6.25%"),
                    ("country", "US"),
                ];
                drop(stand_in.slash(person.user, person.place, "cure check", &options).answer(SOON).await);
            }
        };
        lines.push(("/cure check", load, measure(&stand_in, &people[..load], check).await));
        let show = |person: Person, _| {
            let stand_in = &stand_in;
            async move { drop(stand_in.slash(person.user, person.place, "batch show", &[]).answer(SOON).await) }
        };
        lines.push(("/batch show", load, measure(&stand_in, &people[..load], show).await));
        let reading = |person: Person, round: usize| {
            let stand_in = &stand_in;
            async move {
                // A piece that dries slowly, so that no reading is doubted.
                let hundredths = if load == 1 { 99_900 } else { 99_000 } - round;
                let weight = format!("{}.{:02} g", hundredths / 100, hundredths % 100);
                let posted = stand_in.direct(person.user, &weight);
                let reply = stand_in.reply_after(posted, SOON).await;
                assert!(is_kept(&reply), "{weight} was not kept");
            }
        };
        lines.push(("stored reading", load, measure(&stand_in, &people[..load], reading).await));
    }
    stop.send(()).unwrap();
    running.await.unwrap();
    lines
}

#[derive(Clone, Copy)]
struct Person {
    user: Id,
    place: Id,
}

/// Everybody in a direct conversation of their own. Invented.
fn people(stand_in: &StandIn) -> Vec<Person> {
    (0..MANY)
        .map(|number| {
            let user = stand_in.user(&format!("member{number}"), &format!("Member {number}"));
            Person { user, place: stand_in.direct_line(user) }
        })
        .collect()
}

async fn start(stand_in: &StandIn) -> (oneshot::Sender<()>, tokio::task::JoinHandle<()>) {
    let raw = Raw {
        token: Some(stand_in.token().to_owned()),
        api: Some(stand_in.api_url()),
        gateway: Some(stand_in.gateway_url()),
        ..Raw::default()
    };
    let settings = Settings::read(&raw).unwrap();
    let (stop, stopped) = oneshot::channel();
    let task = tokio::spawn(async move {
        let store = Store::open_temporary().await.unwrap();
        serve(&settings, store, Arc::new(SystemClock), async move { drop(stopped.await) }).await.unwrap();
    });
    stand_in.ready().await;
    (stop, task)
}

/// A kept reading can be undone; a question cannot.
fn is_kept(reply: &Message) -> bool {
    reply.components.to_string().contains("Undo")
}

/// Every person does a thing again and again, each waiting for its answer.
async fn measure<F: Future<Output = ()>>(
    stand_in: &StandIn,
    people: &[Person],
    act: impl Fn(Person, usize) -> F,
) -> Measured {
    let rounds = if people.len() == 1 { ROUNDS } else { ROUNDS / 5 };
    let started = Instant::now();
    let each = people.iter().map(|person| async {
        let mut times = Vec::with_capacity(rounds);
        for round in 0..rounds {
            let begun = Instant::now();
            act(*person, round).await;
            times.push(begun.elapsed());
        }
        times.split_off(WARM_UP)
    });
    let mut times: Vec<Duration> = serenity::futures::future::join_all(each).await.concat();
    let rate = (people.len() * rounds) as f64 / started.elapsed().as_secs_f64();
    stand_in.clear_records();
    times.sort_unstable();
    Measured { median: times[times.len() / 2], slow: times[times.len() * 99 / 100], rate }
}

fn print_line(name: &str, load: usize, measured: &Measured, yardstick: &Measured) {
    let ratio = measured.median.as_secs_f64() / yardstick.median.as_secs_f64();
    println!(
        "{name:<16} {load:>11}  {:>9} {:>9} {:>9.0}  {ratio:>7.1}",
        measured.median.as_micros(),
        measured.slow.as_micros(),
        measured.rate
    );
}
