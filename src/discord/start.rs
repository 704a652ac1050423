//! Starting and stopping.

use super::api::{Api, http};
use super::attached::Origins;
use super::courier::UntilClosed;
use super::front::Front;
use super::handler::Handler;
use super::inbound::Addressee;
use super::register::register;
use super::settings::Settings;
use super::trouble::{Meaning, Trouble};
use crate::clock::Clock;
use crate::desk::Desk;
use crate::record::ChatId;
use crate::remind::worker;
use crate::store::{Change, Store, StoreError};
use chrono::TimeDelta;
use serenity::client::ClientBuilder;
use serenity::gateway::GatewayError;
use serenity::model::gateway::GatewayIntents;
use std::future::Future;
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};
use tokio::sync::watch;

/// How long a stop waits for what is being answered.
const LAST_WORDS: Duration = Duration::from_secs(6);
/// How often the limiter's table is cleared and old pages are let go.
const HOUSEKEEPING: Duration = Duration::from_mins(10);
/// Further pages of an answer and how it was worked out are kept for so long.
const PAGES_KEPT: TimeDelta = TimeDelta::days(30);

/// How a front end ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// It was told to stop.
    Stopped,
    /// The platform does not know the token.
    WrongToken,
    /// An intent was asked for that the application may not have.
    IntentsForbidden,
}

/// Why a front end could not go on.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The HTTP client could not be made.
    #[error("the connection could not be prepared: {0}")]
    Client(#[from] reqwest::Error),
    /// The platform could not be reached at the start.
    #[error("{0}")]
    Platform(String),
    /// The record failed.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// The runtime that [`serve`] is to run on, of one thread: the client library starts a task for every event, and only on
/// one thread do tasks begin in the order in which they were started. What takes long is computed on threads beside it.
///
/// # Errors
/// When the machine gives it nothing to wait with.
pub fn runtime() -> std::io::Result<Runtime> {
    Builder::new_current_thread().enable_all().build()
}

/// Serves members until `stop` is ready, then lets what is being answered be answered and closes the record.
///
/// # Errors
/// When the platform cannot be reached at the start, or the connection cannot be kept up.
pub async fn serve(
    settings: &Settings,
    store: Store,
    clock: Arc<dyn Clock>,
    stop: impl Future<Output = ()> + Send,
) -> Result<Ended, ServeError> {
    let api = Api::new(settings)?;
    let me = match introduced(&api).await {
        Ok(me) => me,
        Err(trouble) if trouble.meaning() == Meaning::WrongToken => {
            store.close().await?;
            return Ok(Ended::WrongToken);
        }
        Err(trouble) => return Err(ServeError::Platform(trouble.to_string())),
    };
    let to = Addressee { me, origins: Origins::of(&settings.address) };
    let front = Arc::new(Front::new(Desk::new(store), api, clock, to, settings.listen.clone()));
    let ended = connected(settings, &front, stop).await;
    front.store().close().await?;
    ended
}

/// Who the token belongs to; the commands are registered where they differ.
async fn introduced(api: &Api) -> Result<ChatId, Trouble> {
    let account = api.own_account().await?;
    let application = api.application().await?;
    let number = |value: &serde_json::Value| value["id"].as_str().and_then(|id| id.parse().ok()).map(ChatId);
    let (me, application) = number(&account)
        .zip(number(&application))
        .ok_or_else(|| Trouble::Unclear("the platform did not say who this is".to_owned()))?;
    api.set_application(application);
    let written = register(api).await?;
    tracing::info!(written, "the commands are registered");
    Ok(me)
}

async fn connected(
    settings: &Settings,
    front: &Arc<Front>,
    stop: impl Future<Output = ()> + Send,
) -> Result<Ended, ServeError> {
    let handler = Handler { front: Arc::clone(front) };
    let builder = ClientBuilder::new_with_http(http(settings)?, intents(settings));
    let made = builder.event_handler(handler).await;
    let mut client = made.map_err(|error| ServeError::Platform(error.to_string()))?;
    if let Some(gateway) = settings.address.gateway() {
        // The library falls back to the platform's own gateway where it was not told of another.
        gateway.clone_into(&mut *client.ws_url.lock().await);
    }
    let door = Arc::clone(&client.ws_url);
    let shut = Arc::clone(&door).lock_owned().await;
    let shards = Arc::clone(&client.shard_manager);
    let (close, mut closed) = watch::channel(false);
    let courier = UntilClosed { front, closed: closed.clone() };
    let told = async move { drop(closed.wait_for(|closed| *closed).await) };
    let (store, every) = (front.store(), settings.reminders_every);
    let mut worker = pin!(worker::run(store, &courier, front.clock.as_ref(), every, told));
    let ended = tokio::select! {
        ended = client.start() => ended_by(ended),
        () = &mut worker => Ok(Ended::Stopped),
        never = front.keep_the_door(door, shut, &shards) => never,
        never = housekeeping(front) => never,
        never = front.keep_cards_current(every) => never,
        () = stop => Ok(Ended::Stopped),
    };
    close.send_replace(true);
    let hang_up = async {
        // A connection that the platform ended is not there to be ended.
        if matches!(ended, Ok(Ended::Stopped)) {
            shards.shutdown_all().await;
        }
    };
    let goodbye = async { tokio::join!(hang_up, worker, front.empty()) };
    if tokio::time::timeout(LAST_WORDS, goodbye).await.is_err() {
        tracing::warn!("stopped before everything was answered");
    }
    ended
}

fn ended_by(ended: serenity::Result<()>) -> Result<Ended, ServeError> {
    match ended {
        Err(serenity::Error::Gateway(GatewayError::InvalidAuthentication)) => Ok(Ended::WrongToken),
        Err(serenity::Error::Gateway(
            GatewayError::DisallowedGatewayIntents | GatewayError::InvalidGatewayIntents,
        )) => Ok(Ended::IntentsForbidden),
        Err(error) => Err(ServeError::Platform(error.to_string())),
        Ok(()) => Ok(Ended::Stopped),
    }
}

/// What the gateway is asked for. What members write without a word to the assistant needs the platform's privileged
/// content intent, and is asked for only where the operator lets it listen.
pub(super) fn intents(settings: &Settings) -> GatewayIntents {
    let least = GatewayIntents::GUILDS | GatewayIntents::GUILD_MESSAGES | GatewayIntents::DIRECT_MESSAGES;
    if settings.listen.anywhere() { least | GatewayIntents::MESSAGE_CONTENT } else { least }
}

async fn housekeeping(front: &Front) -> ! {
    let mut tick = tokio::time::interval(HOUSEKEEPING);
    loop {
        tick.tick().await;
        front.api.forget_limits().await;
        let before = front.clock.now() - PAGES_KEPT;
        let change = Change { forget_pages_before: Some(before), ..Change::default() };
        if let Err(error) = front.store().commit(change).await {
            tracing::warn!(%error, "old pages could not be let go");
        }
        if let Err(error) = front.desk.purge_left_groups(front.clock.now()).await {
            tracing::warn!(%error, "a group that let the assistant go could not be let go");
        }
    }
}
