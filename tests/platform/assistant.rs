//! The assistant's own front end, running against a stand-in and nothing else.

use std::future::Future;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread::JoinHandle;
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::clock::FixedClock;
use tallyhook::discord::settings::Raw;
use tallyhook::discord::start::{Ended, ServeError, runtime, serve};
use tallyhook::discord::{Address, Settings};
use tallyhook::store::Store;
use tempfile::TempDir;
use tokio::sync::oneshot;
use tracing_subscriber::EnvFilter;

use crate::support::stand_in::clock::Id;
use crate::support::stand_in::{Handle, Options, Recorded, SOON, Seen, StandIn, permissions};

/// Where the stories begin: a Sunday morning.
pub(crate) fn morning() -> DateTime<Utc> {
    "2026-03-01T08:00:00Z".parse().unwrap()
}

/// Lets the assistant get on, which looks for what is due by the machine's time.
#[expect(clippy::disallowed_methods, reason = "what does not happen is waited for")]
pub(crate) async fn pause(milliseconds: u64) {
    tokio::time::sleep(Duration::from_millis(milliseconds)).await;
}

/// A stand-in whose clock stands, with a group of two and a channel, all invented; and the assistant connected to it.
pub(crate) struct Cellar {
    pub(crate) stand_in: StandIn,
    pub(crate) group: Id,
    pub(crate) log: Id,
    pub(crate) anna: Id,
    pub(crate) ben: Id,
    clock: Arc<FixedClock>,
    listens: bool,
    encrypted: bool,
    folder: TempDir,
    running: Option<Running>,
}

struct Running {
    stop: oneshot::Sender<()>,
    ended: oneshot::Receiver<Result<Ended, ServeError>>,
    process: Process,
}

/// A thread with the runtime of its own: with its end everything in it ends, also what the library started, as with a
/// process.
struct Process {
    kill: oneshot::Sender<()>,
    thread: JoinHandle<()>,
}

impl Process {
    /// Runs what `work` makes until it is through or killed.
    fn run<F: Future>(work: impl FnOnce() -> F + Send + 'static) -> (Self, oneshot::Receiver<F::Output>)
    where
        F::Output: Send + 'static,
    {
        let (kill, killed) = oneshot::channel::<()>();
        let (through, ended) = oneshot::channel();
        let thread = std::thread::spawn(move || {
            let runtime = runtime().unwrap();
            runtime.block_on(async {
                tokio::select! {
                    output = work() => drop(through.send(output)),
                    _ = killed => {}
                }
            });
            runtime.shutdown_timeout(SOON);
        });
        (Self { kill, thread }, ended)
    }

    async fn end(self) {
        drop(self.kill);
        tokio::task::spawn_blocking(move || self.thread.join()).await.unwrap().unwrap();
    }
}

/// What the operator would set to reach a stand-in.
pub(crate) fn raw(stand_in: &StandIn) -> Raw {
    Raw {
        token: Some(stand_in.token().to_owned()),
        api: Some(stand_in.api_url()),
        gateway: Some(stand_in.gateway_url()),
        ..Raw::default()
    }
}

impl Cellar {
    /// With the least intents.
    pub(crate) async fn new() -> Self {
        Self::with(Options { now: Some(morning()), ..Options::default() }, false).await
    }

    /// Where the channel is one it listens in, and stewards may name others.
    pub(crate) async fn listening() -> Self {
        Self::with(Options { now: Some(morning()), ..Options::default() }, true).await
    }

    pub(crate) async fn with(options: Options, listens: bool) -> Self {
        let encrypted = options.tls;
        let stand_in = StandIn::start(options).await;
        let (anna, ben) = (stand_in.user("anna", "Anna"), stand_in.user("ben", "Ben"));
        let group = stand_in.guild("Cellar (invented)", anna);
        stand_in.member(group, ben, permissions::MEMBER);
        let log = stand_in.channel(group, "log");
        let clock = Arc::new(FixedClock::at(stand_in.now()));
        let folder = TempDir::new().unwrap();
        let mut cellar =
            Self { stand_in, group, log, anna, ben, clock, listens, encrypted, folder, running: None };
        cellar.start().await;
        cellar
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.folder.path().join("record.sqlite3")
    }

    /// Starts the assistant and waits until it is there.
    #[expect(clippy::disallowed_methods, reason = "a test that does not get on ends")]
    pub(crate) async fn start(&mut self) {
        // `RUST_LOG=tallyhook=debug` shows what the assistant says of itself while a test is looked into.
        let log = tracing_subscriber::fmt().with_env_filter(EnvFilter::from_default_env()).with_test_writer();
        drop(log.try_init());
        let mut raw = raw(&self.stand_in);
        if self.encrypted {
            raw.api = Some(format!("https://{}", self.stand_in.tls_address()));
            raw.certificate = Some(self.stand_in.certificate_pem().to_owned());
        }
        raw.listen = self.listens.then(|| format!("{}, stewards", self.log));
        let mut settings = Settings::read(&raw).unwrap();
        assert_ne!(settings.address, Address::Platform, "a test would reach the platform");
        settings.reminders_every = Duration::from_millis(100);
        let (stop, stopped) = oneshot::channel();
        let (file, clock) = (self.file(), Arc::clone(&self.clock));
        let before = self.stand_in.identifies().len();
        let (process, mut ended) = Process::run(async move || {
            let store = Store::open(file).await.unwrap();
            serve(&settings, store, clock, async move { drop(stopped.await) }).await
        });
        tokio::select! {
            () = self.stand_in.gateway_until(|gateway| gateway.identifies.len() > before && gateway.ready()) => {}
            ended = &mut ended => panic!("it ended before it was connected: {ended:?}"),
            () = tokio::time::sleep(4 * SOON) => panic!("not connected: {:#?}", self.stand_in.records().iter().map(|record| format!("{} {} {}", record.method, record.path, record.status)).collect::<Vec<_>>()),
        }
        self.running = Some(Running { stop, ended, process });
    }

    /// Stops it as an operator does.
    pub(crate) async fn stop(&mut self) {
        let running = self.running.take().unwrap();
        running.stop.send(()).unwrap();
        let ended = tokio::time::timeout(Duration::from_secs(10), running.ended).await;
        assert_eq!(ended.unwrap().unwrap().unwrap(), Ended::Stopped);
        running.process.end().await;
    }

    /// Ends it in the middle of whatever it does.
    pub(crate) async fn kill(&mut self) {
        let running = self.running.take().unwrap();
        running.process.end().await;
    }

    /// Both clocks go on.
    pub(crate) fn wait(&self, time: TimeDelta) {
        self.stand_in.advance(time);
        self.clock.set(self.stand_in.now());
    }

    /// A command in the channel, with its answer.
    pub(crate) async fn ask(&self, line: &str, options: &[(&str, &str)]) -> Seen {
        self.ask_in(self.anna, self.log, line, options).await
    }

    pub(crate) async fn ask_in(&self, user: Id, place: Id, line: &str, options: &[(&str, &str)]) -> Seen {
        self.stand_in.slash(user, place, line, options).answer(SOON).await
    }

    /// Starts a batch and gives its thread.
    pub(crate) async fn batch(&self) -> Id {
        let seen = self
            .ask(
                "batch start",
                &[
                    ("name", "Juniper stick"),
                    ("kind", "fermented-sausage"),
                    ("meat", "2.4 kg pork"),
                    ("casing", "50 mm"),
                    ("loss", "38%"),
                ],
            )
            .await;
        assert!(seen.content.contains("Juniper stick"), "{seen:?}");
        self.thread("B1 Juniper stick").await
    }

    /// The thread of a name, once the first message stands in it.
    pub(crate) async fn thread(&self, name: &str) -> Id {
        let opened =
            |record: &Recorded| record.method == "POST" && record.body["name"] == name && record.status < 400;
        self.stand_in.wait(SOON, opened).await;
        let channels = self.stand_in.channels(self.group);
        let thread = channels.iter().find(|(known, _)| known == name).unwrap().1;
        let bot = self.stand_in.bot();
        self.stand_in.message_in(thread, SOON, |message| message.author == bot).await;
        thread
    }

    /// What the assistant wrote in a place.
    pub(crate) fn said_in(&self, place: Id) -> Vec<String> {
        let bot = self.stand_in.bot();
        let messages = self.stand_in.messages(place).into_iter();
        messages.filter(|message| message.author == bot).map(|message| Seen::of(&message).text()).collect()
    }

    /// The assistant's record, read while it is stopped.
    pub(crate) async fn record<T, F: Future<Output = T>>(&mut self, look: impl FnOnce(Arc<Store>) -> F) -> T {
        assert!(self.running.is_none(), "one process owns the record");
        let store = Arc::new(Store::open(self.file()).await.unwrap());
        let seen = look(Arc::clone(&store)).await;
        store.close().await.unwrap();
        seen
    }

    /// Presses a button by its label.
    pub(crate) fn press(&self, user: Id, seen: &Seen, label: &str) -> Handle {
        self.stand_in.click(user, seen.message.unwrap(), &seen.button(label).custom_id)
    }
}
