//! A stand-in of the chat platform on 127.0.0.1: its HTTP interface (version 10) and its gateway.
//!
//! ```ignore
//! let stand_in = StandIn::start(Options::default()).await;
//! let (anna, ben) = (stand_in.user("anna", "Anna"), stand_in.user("ben", "Ben"));
//! let cellar = stand_in.guild("Cellar (invented)", anna);      // owner and application are in it
//! stand_in.member(cellar, ben, permissions::MEMBER);
//! let log = stand_in.channel(cellar, "log");
//! // … start the assistant against stand_in.api_url() and stand_in.gateway_url() with stand_in.token() …
//! stand_in.ready().await;
//! let seen = stand_in.slash(anna, log, "cure check", &[("method", "dry")]).answer(SOON).await;
//! assert!(seen.content.contains("…") && seen.ephemeral);
//! let pressed = stand_in.click(anna, seen.message.unwrap(), &seen.buttons[0].custom_id);
//! let form = pressed.answer(SOON).await.modal.unwrap();
//! stand_in.submit_form(&pressed, &[("weight", "812 g")], Form::Classic).answer(SOON).await;
//! let reading = stand_in.post(ben, log, "ph 5.08", Reply::None);
//! stand_in.wait(SOON, |record| record.is("POST", "/channels/", "/messages")).await;
//! ```
//!
//! - Everything said by a member is checked as the platform's app checks it: no unregistered command, no missing
//!   option, no button that isn't there. A wrong use panics with a sentence.
//! - The clock runs unless `Options::now` is set; then it stands still until `set_now` or `advance`. Ids are made
//!   from it and only ever grow. Deadlines (3 s, 15 min) go by it.
//! - `records()` holds every request with its answer; `wait` waits for one and panics with all of them.
//! - `fault(Fault { method, path, times, action })` strikes the next matching requests.
//! - Gateway: `close`, `drop_tcp`, `reconnect`, `invalidate`, `ignore_heartbeats`, `raw`, `repeat_on_resume`, `hold` and
//!   `release`, `offline` (or `shut` and `open`), `zlib`; `connections`, `identifies`, `resumes` count.
//! - `support::conformance::assert_conforming(&stand_in.records())` holds every body that was sent against the
//!   platform's description; `support::guard::Guard` makes clients that reach this machine only, and
//!   `guard::assert_loopback` is for the gateway's address.
//! - `message_in`, `reply_after` wait for messages; `messages`, `message` give them with `pings`, `reply_to`, reactions
//!   and files. `Handle::answer` waits past "thinking", `Handle::until` follows edits and further messages.
//! - Members' actions are in `member.rs` and `press.rs`, what a member sees in `seen.rs`, the world in `build.rs`, the
//!   gateway's faults in `control.rs`.

pub mod build;
pub mod clock;
pub mod commands;
pub mod control;
pub mod describe;
pub mod draft;
pub mod faults;
pub mod gateway;
pub mod http;
pub mod interactions;
pub mod member;
pub mod message;
pub mod messages;
pub mod multipart;
pub mod payload;
pub mod permissions;
pub mod press;
pub mod reactions;
pub mod record;
pub mod refusal;
pub mod routes;
pub mod seen;
pub mod sessions;
pub mod threads;
pub mod tls;
pub mod world;

use std::net::SocketAddr;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use chrono::{DateTime, Utc};
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio::task::JoinHandle;

pub use clock::Id;
pub use faults::{Action, Fault};
pub use member::{Reply, Sent};
pub use press::Form;
pub use record::Recorded;
pub use seen::{Handle, Seen};

use clock::Clock;
use http::Door;
use sessions::Gateway;
use tls::Identity;
use world::World;

/// Long enough for anything on loopback; a test that waits this long has failed.
pub const SOON: Duration = Duration::from_secs(5);

/// How a stand-in starts.
#[derive(Debug, Clone)]
pub struct Options {
    /// Serves HTTPS for `discord.com` too, for a client with its rate limiter on.
    pub tls: bool,
    /// The gateway's heartbeat interval.
    pub heartbeat: Duration,
    /// Whether the application may ask for the content of messages; else close code 4014.
    pub privileged_content_intent_enabled: bool,
    /// The application's token: invented.
    pub token: String,
    /// Compresses the gateway's payloads where the client allows it.
    pub zlib: bool,
    /// The port of the plain interface; 0 takes a free one.
    pub port: u16,
    /// Sessions that may still be begun today.
    pub starts_left: u64,
    /// Stands the clock at this moment; without it the clock runs with the machine's time.
    pub now: Option<DateTime<Utc>>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            tls: false,
            heartbeat: Duration::from_secs(41),
            privileged_content_intent_enabled: true,
            token: "invented-token-of-the-stand-in".to_owned(),
            zlib: false,
            port: 0,
            starts_left: 1000,
            now: None,
        }
    }
}

/// Everything that changes, behind one lock.
#[derive(Debug)]
pub struct State {
    pub world: World,
    pub gateway: Gateway,
    pub records: Vec<Recorded>,
    pub faults: Vec<Fault>,
}

/// What the serving tasks and the handles share.
pub struct Inner {
    pub options: Options,
    state: Mutex<State>,
    /// Counts changes, so that waiting needs no polling.
    changed: watch::Sender<u64>,
    /// False while the application is kept off the gateway.
    pub open: watch::Sender<bool>,
    address: SocketAddr,
}

impl Inner {
    /// Looks at or changes the state, and wakes whoever waits.
    pub fn with<T>(&self, act: impl FnOnce(&mut State) -> T) -> T {
        let result = self.with_quietly(act);
        self.changed.send_modify(|count| *count += 1);
        result
    }

    /// Looks at the state, which is no change. A panic of an earlier wrong use leaves the state as it was.
    pub fn with_quietly<T>(&self, look: impl FnOnce(&mut State) -> T) -> T {
        look(&mut self.state.lock().unwrap_or_else(std::sync::PoisonError::into_inner))
    }

    /// Waits until `look` finds something; `None` when the time is over.
    pub async fn until<T>(
        &self,
        timeout: Duration,
        mut look: impl FnMut(&mut State) -> Option<T>,
    ) -> Option<T> {
        let mut changes = self.changed.subscribe();
        let search = async {
            loop {
                changes.mark_unchanged();
                if let Some(found) = self.with_quietly(&mut look) {
                    return found;
                }
                changes.changed().await.expect("the sender lives as long as the stand-in");
            }
        };
        tokio::time::timeout(timeout, search).await.ok()
    }

    pub fn gateway_url(&self) -> String {
        format!("ws://{}", self.address)
    }

    /// The flags that say whether the content intent is enabled (limited, as for a small application).
    pub fn application_flags(&self) -> u64 {
        if self.options.privileged_content_intent_enabled { 1 << 19 } else { 0 }
    }
}

/// The stand-in: dropping it ends it.
pub struct StandIn {
    pub(super) inner: Arc<Inner>,
    tls: Option<(SocketAddr, Identity)>,
    tasks: Vec<JoinHandle<()>>,
}

impl StandIn {
    /// Starts on free ports of 127.0.0.1.
    pub async fn start(options: Options) -> Self {
        let plain = TcpListener::bind(("127.0.0.1", options.port)).await.unwrap();
        let address = plain.local_addr().unwrap();
        let clock = options.now.map_or_else(Clock::running, Clock::standing);
        let world = World::new(clock, format!("http://{address}"));
        let gateway = Gateway { zlib: options.zlib, starts_left: options.starts_left, ..Gateway::default() };
        let state = State { world, gateway, records: Vec::new(), faults: Vec::new() };
        let with_tls = options.tls;
        let inner = Arc::new(Inner {
            options,
            state: Mutex::new(state),
            changed: watch::Sender::new(0),
            open: watch::Sender::new(true),
            address,
        });
        let mut tasks = vec![tokio::spawn(http::serve(Door { listener: plain, tls: None }, inner.clone()))];
        let mut secured = None;
        if with_tls {
            let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
            let identity = Identity::new();
            secured = Some((listener.local_addr().unwrap(), identity.clone()));
            let door = Door { listener, tls: Some(identity) };
            tasks.push(tokio::spawn(http::serve(door, inner.clone())));
        }
        Self { inner, tls: secured, tasks }
    }

    /// `http://127.0.0.1:PORT`, to be used in place of `https://discord.com`.
    pub fn api_url(&self) -> String {
        format!("http://{}", self.inner.address)
    }

    /// `ws://127.0.0.1:PORT`.
    pub fn gateway_url(&self) -> String {
        self.inner.gateway_url()
    }

    /// Where `discord.com` is to be resolved to, with TLS.
    pub fn tls_address(&self) -> SocketAddr {
        self.tls.as_ref().expect("started without TLS").0
    }

    /// The certificate to trust for `discord.com`.
    pub fn certificate_pem(&self) -> &str {
        &self.tls.as_ref().expect("started without TLS").1.certificate_pem
    }

    pub fn token(&self) -> &str {
        &self.inner.options.token
    }

    /// What time it is in the stand-in.
    pub fn now(&self) -> DateTime<Utc> {
        self.inner.with_quietly(|state| state.world.clock.now())
    }

    pub fn set_now(&self, now: DateTime<Utc>) {
        self.inner.with(|state| state.world.clock.set(now));
    }

    pub fn advance(&self, by: chrono::TimeDelta) {
        self.inner.with(|state| {
            let now = state.world.clock.now() + by;
            state.world.clock.set(now);
        });
    }

    /// Counts changes: for a program that shows what happens.
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.inner.changed.subscribe()
    }

    /// Every request so far.
    pub fn records(&self) -> Vec<Recorded> {
        self.inner.with_quietly(|state| state.records.clone())
    }

    /// Forgets the requests so far, so that `wait` finds only later ones.
    pub fn clear_records(&self) {
        self.inner.with(|state| state.records.clear());
    }

    /// Waits for a request, also one already made.
    pub async fn wait(&self, timeout: Duration, fits: impl Fn(&Recorded) -> bool) -> Recorded {
        let found =
            self.inner.until(timeout, |state| state.records.iter().find(|record| fits(record)).cloned());
        if let Some(found) = found.await {
            return found;
        }
        panic!("no such request within {timeout:?}; there were:\n{}", record::dump(&self.records()));
    }

    /// Strikes the next matching requests.
    pub fn fault(&self, fault: Fault) {
        self.inner.with(|state| state.faults.push(fault));
    }

    /// The registered commands.
    pub fn commands(&self) -> Vec<serde_json::Value> {
        self.inner.with_quietly(|state| state.world.commands.clone())
    }
}

impl Drop for StandIn {
    fn drop(&mut self) {
        for task in &self.tasks {
            task.abort();
        }
        // Connections have tasks of their own.
        self.inner.with(|state| state.gateway.order(|| sessions::Order::Drop));
    }
}
