//! A minimal client of the chat library, started against a stand-in and nothing else.

use std::sync::{Arc, Mutex, MutexGuard};

use serenity::all::{
    CacheHttp, Client, Context, EventHandler, GatewayIntents, Guild, GuildChannel, Http, HttpBuilder,
    Interaction, Message, Reaction, Ready, ResumedEvent,
};
use serenity::async_trait;
use tokio::sync::watch;
use tokio::task::JoinHandle;

use crate::support::guard::{Guard, assert_loopback};
use crate::support::stand_in::{SOON, StandIn};

/// What the client does with an interaction.
pub(crate) type OnInteraction =
    fn(Context, Interaction) -> std::pin::Pin<Box<dyn Future<Output = ()> + Send>>;

/// What the client saw.
#[derive(Default)]
pub(crate) struct Log {
    pub(crate) readies: usize,
    pub(crate) resumed: usize,
    pub(crate) guilds: Vec<Guild>,
    pub(crate) channel_updates: Vec<GuildChannel>,
    pub(crate) reactions: Vec<String>,
    pub(crate) messages: Vec<Message>,
    /// As the library writes what it read.
    pub(crate) interactions: Vec<serde_json::Value>,
}

struct Handler {
    log: Arc<Mutex<Log>>,
    changed: watch::Sender<()>,
    on_interaction: Option<OnInteraction>,
}

impl Handler {
    fn note(&self, note: impl FnOnce(MutexGuard<'_, Log>)) {
        note(self.log.lock().unwrap());
        self.changed.send_replace(());
    }
}

#[async_trait]
impl EventHandler for Handler {
    async fn ready(&self, _: Context, _: Ready) {
        self.note(|mut log| log.readies += 1);
    }

    async fn resume(&self, _: Context, _: ResumedEvent) {
        self.note(|mut log| log.resumed += 1);
    }

    async fn guild_create(&self, _: Context, guild: Guild, _: Option<bool>) {
        self.note(|mut log| log.guilds.push(guild));
    }

    async fn reaction_add(&self, _: Context, reaction: Reaction) {
        self.note(|mut log| log.reactions.push(reaction.emoji.to_string()));
    }

    async fn channel_update(&self, _: Context, _: Option<GuildChannel>, now: GuildChannel) {
        self.note(|mut log| log.channel_updates.push(now));
    }

    async fn message(&self, _: Context, message: Message) {
        self.note(|mut log| log.messages.push(message));
    }

    async fn interaction_create(&self, context: Context, interaction: Interaction) {
        let written = serde_json::to_value(&interaction).unwrap();
        self.note(|mut log| log.interactions.push(written));
        if let Some(act) = self.on_interaction {
            act(context, interaction).await;
        }
    }
}

/// A running client; dropping it ends it.
pub(crate) struct Running {
    pub(crate) http: Arc<Http>,
    pub(crate) log: Arc<Mutex<Log>>,
    changed: watch::Receiver<()>,
    pub(crate) task: JoinHandle<Result<(), serenity::Error>>,
    _guard: Guard,
}

impl Running {
    /// Waits until the log fits; panics with what was read.
    pub(crate) async fn until(&self, fits: impl Fn(&Log) -> bool) {
        let mut changed = self.changed.clone();
        let waited = tokio::time::timeout(4 * SOON, changed.wait_for(|()| fits(&self.log.lock().unwrap())));
        assert!(
            matches!(waited.await, Ok(Ok(_))),
            "the client did not come to that; it read {:?}",
            self.texts()
        );
    }

    /// The texts of all messages so far.
    pub(crate) fn texts(&self) -> Vec<String> {
        self.log.lock().unwrap().messages.iter().map(|message| message.content.clone()).collect()
    }

    /// Waits until these texts, and no others, were read, in this order.
    pub(crate) async fn reads(&self, texts: &[&str]) {
        self.until(|log| log.messages.len() >= texts.len()).await;
        assert_eq!(self.texts(), texts);
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.task.abort();
    }
}

/// The library's HTTP side against the stand-in; any other host is refused, and fails the test at its end.
pub(crate) struct Guarded {
    http: Http,
    _guard: Guard,
}

impl std::ops::Deref for Guarded {
    type Target = Http;

    fn deref(&self) -> &Http {
        &self.http
    }
}

impl AsRef<Http> for Guarded {
    fn as_ref(&self) -> &Http {
        &self.http
    }
}

impl CacheHttp for Guarded {
    fn http(&self) -> &Http {
        &self.http
    }
}

/// A client without a gateway.
pub(crate) fn http(stand_in: &StandIn, token: &str) -> Guarded {
    let guard = Guard::default();
    Guarded { http: bare_http(stand_in, token, &guard), _guard: guard }
}

fn bare_http(stand_in: &StandIn, token: &str, guard: &Guard) -> Http {
    let reqwest = guard.client_builder().build().unwrap();
    let builder = HttpBuilder::new(token).client(reqwest).proxy(stand_in.api_url());
    let http = builder.ratelimiter_disabled(true).build();
    http.set_application_id(stand_in.bot().0.into());
    http
}

/// Starts a client with its own token and intents.
pub(crate) async fn start_with(
    stand_in: &StandIn,
    token: &str,
    intents: GatewayIntents,
    on_interaction: Option<OnInteraction>,
) -> Running {
    let log = Arc::new(Mutex::new(Log::default()));
    let (sender, changed) = watch::channel(());
    let guard = Guard::default();
    let handler = Handler { log: log.clone(), changed: sender, on_interaction };
    let builder = serenity::client::ClientBuilder::new_with_http(bare_http(stand_in, token, &guard), intents);
    let mut client: Client = builder.event_handler(handler).await.unwrap();
    let url = stand_in.gateway_url();
    assert_loopback(&url);
    *client.ws_url.lock().await = url;
    let http = client.http.clone();
    let task = tokio::spawn(async move { client.start().await });
    Running { http, log, changed, task, _guard: guard }
}

/// Starts a client that may read everything, and waits until it is there.
pub(crate) async fn start(stand_in: &StandIn, on_interaction: Option<OnInteraction>) -> Running {
    let intents = GatewayIntents::non_privileged() | GatewayIntents::MESSAGE_CONTENT;
    let running = start_with(stand_in, stand_in.token(), intents, on_interaction).await;
    stand_in.ready().await;
    running
}
