//! Requests to the platform: each with its own patience, none repeated that could be carried out twice.

mod files;
mod threads;

pub(super) use files::NotFetched;

use super::enclosed::Upload;
use super::settings::{Address, Settings};
use super::trouble::{Meaning, Trouble};
use crate::record::ChatId;
use serde_json::{Value, json};
use serenity::http::{Http, HttpBuilder, LightMethod, Request, Route};
use serenity::model::id::{ApplicationId, ChannelId, InteractionId};
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::Duration;

/// Tries of a request that can be repeated.
const TRIES: u32 = 4;
/// The first pause between two tries; it doubles.
const PAUSE: Duration = Duration::from_millis(400);
/// How long one request may take.
const PATIENCE: Duration = Duration::from_secs(15);
/// The platform's own name, which the library writes into every address.
const PLATFORM: &str = "discord.com";
/// Where the platform's name leads while another address is set: nobody listens there.
const NOWHERE: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 9);

/// The platform's HTTP side.
#[derive(Debug)]
pub(super) struct Api {
    http: Http,
    /// The client under it, for what the library cannot say.
    client: reqwest::Client,
}

/// How an interaction is answered: its own number and the token it came with.
#[derive(Debug, Clone)]
pub(super) struct Ticket {
    /// Its number.
    pub(super) id: InteractionId,
    /// Its token; never logged, never kept.
    pub(super) token: String,
}

/// What the platform calls the kinds of first answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum First {
    /// A message.
    Message = 4,
    /// A message that will follow.
    Later = 5,
    /// The message under the button, altered.
    Update = 7,
    /// Suggestions.
    Suggestions = 8,
    /// A form.
    Form = 9,
}

/// A message on its way: its body, and the files that its body names.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sent<'a> {
    body: &'a Value,
    files: &'a [Upload],
}

impl<'a> Sent<'a> {
    /// A message with its files, where it has some.
    pub(super) const fn with(body: &'a Value, files: &'a [Upload]) -> Self {
        Self { body, files }
    }
}

impl<'a> From<&'a Value> for Sent<'a> {
    fn from(body: &'a Value) -> Self {
        Self { body, files: &[] }
    }
}

impl Api {
    /// The HTTP side as set.
    pub(super) fn new(settings: &Settings) -> Result<Self, reqwest::Error> {
        let client = client(settings)?;
        Ok(Self { http: library(settings, client.clone()), client })
    }

    /// Whose commands these are. Needed by every route of interactions.
    pub(super) fn set_application(&self, id: ChatId) {
        self.http.set_application_id(ApplicationId::new(number(id)));
    }

    /// The assistant's own account.
    pub(super) async fn own_account(&self) -> Result<Value, Trouble> {
        self.repeated(LightMethod::Get, Route::UserMe, None, &[]).await
    }

    /// The application the token belongs to.
    pub(super) async fn application(&self) -> Result<Value, Trouble> {
        self.repeated(LightMethod::Get, Route::Oauth2ApplicationCurrent, None, &[]).await
    }

    /// The gateway, with how many sessions may still be begun with it.
    pub(super) async fn gateway(&self) -> Result<Value, Trouble> {
        self.repeated(LightMethod::Get, Route::GatewayBot, None, &[]).await
    }

    /// The groups the assistant is in.
    pub(super) async fn own_groups(&self) -> Result<Value, Trouble> {
        self.repeated(LightMethod::Get, Route::UserMeGuilds, None, &[]).await
    }

    /// The commands that are registered, with their words in every language, which the platform gives only when asked.
    pub(super) async fn commands(&self) -> Result<Value, Trouble> {
        let route = Route::Commands { application_id: self.application_id() };
        self.repeated(LightMethod::Get, route, None, &[("with_localizations", "true".to_owned())]).await
    }

    /// Registers commands in place of all that were.
    pub(super) async fn set_commands(&self, commands: &Value) -> Result<Value, Trouble> {
        let route = Route::Commands { application_id: self.application_id() };
        self.repeated(LightMethod::Put, route, Some(commands.into()), &[]).await
    }

    /// Posts a message. Its `nonce`, enforced, makes every repetition the same message.
    pub(super) async fn post(
        &self,
        place: ChatId,
        sent: impl Into<Sent<'_>>,
        nonce: &str,
    ) -> Result<ChatId, Trouble> {
        let Sent { body, files } = sent.into();
        let mut message = body.clone();
        message["nonce"] = json!(nonce);
        message["enforce_nonce"] = json!(true);
        let route = Route::ChannelMessages { channel_id: ChannelId::new(number(place)) };
        let sent = Sent::with(&message, files);
        let posted = self.repeated(LightMethod::Post, route, Some(sent), &[]).await?;
        id_of(&posted)
    }

    /// Messages after one, newest first as the platform gives them; at most a hundred.
    pub(super) async fn messages_after(&self, place: ChatId, after: ChatId) -> Result<Value, Trouble> {
        let route = Route::ChannelMessages { channel_id: ChannelId::new(number(place)) };
        let params = [("limit", "100".to_owned()), ("after", after.to_string())];
        self.repeated(LightMethod::Get, route, None, &params).await
    }

    /// The direct conversation with somebody; made where there is none, the same where there is one.
    pub(super) async fn direct(&self, user: ChatId) -> Result<ChatId, Trouble> {
        let body = json!({ "recipient_id": user.to_string() });
        let channel =
            self.repeated(LightMethod::Post, Route::UserMeDmChannels, Some((&body).into()), &[]).await?;
        id_of(&channel)
    }

    /// The first answer to an interaction. Repeated while the way is broken: a second arrival is refused by the
    /// platform as answered already, and that is as good.
    pub(super) async fn first(
        &self,
        ticket: &Ticket,
        kind: First,
        sent: impl Into<Sent<'_>>,
    ) -> Result<(), Trouble> {
        let Sent { body: data, files } = sent.into();
        let body = json!({ "type": kind as u8, "data": data });
        let mut tried = 0;
        loop {
            let route = Route::InteractionResponse { interaction_id: ticket.id, token: &ticket.token };
            let result = self.send(LightMethod::Post, route, Some(Sent::with(&body, files)), &[]).await;
            tried += 1;
            match result {
                Ok(_) => return Ok(()),
                Err(Trouble::Refused { code: 40_060, .. }) if tried > 1 => return Ok(()),
                Err(trouble) if trouble.passes() && tried < TRIES => pause(tried).await,
                Err(trouble) => return Err(trouble),
            }
        }
    }

    /// Puts the answer in the place of a deferred one.
    pub(super) async fn edit(&self, ticket: &Ticket, message: Sent<'_>) -> Result<(), Trouble> {
        let application_id = self.application_id();
        let route = Route::WebhookOriginalInteractionResponse { application_id, token: &ticket.token };
        self.repeated(LightMethod::Patch, route, Some(message), &[]).await.map(|_| ())
    }

    /// A further answer. Not repeated: the platform knows no nonce here.
    pub(super) async fn further(&self, ticket: &Ticket, message: impl Into<Sent<'_>>) -> Result<(), Trouble> {
        let application_id = self.application_id();
        let route = Route::WebhookFollowupMessages { application_id, token: &ticket.token };
        self.once(LightMethod::Post, route, Some(message.into()), &[]).await.map(|_| ())
    }

    /// Lets go of what the library's limiter remembers; it never does by itself, and holds on to every interaction.
    pub(super) async fn forget_limits(&self) {
        if let Some(limiter) = &self.http.ratelimiter {
            limiter.routes().write().await.clear();
        }
    }

    fn application_id(&self) -> ApplicationId {
        self.http.application_id().unwrap_or_else(|| ApplicationId::new(1))
    }

    async fn once(
        &self,
        method: LightMethod,
        route: Route<'_>,
        body: Option<Sent<'_>>,
        params: &[(&'static str, String)],
    ) -> Result<Value, Trouble> {
        self.send(method, route, body, params).await
    }

    async fn repeated(
        &self,
        method: LightMethod,
        route: Route<'_>,
        body: Option<Sent<'_>>,
        params: &[(&'static str, String)],
    ) -> Result<Value, Trouble> {
        let mut tried = 0;
        loop {
            let result = self.send(method, route, body, params).await;
            tried += 1;
            match result {
                Err(trouble) if trouble.passes() && tried < TRIES => {
                    tracing::debug!(%trouble, tried, "a request is repeated");
                    pause(tried).await;
                }
                other => return other,
            }
        }
    }

    async fn send(
        &self,
        method: LightMethod,
        route: Route<'_>,
        body: Option<Sent<'_>>,
        params: &[(&'static str, String)],
    ) -> Result<Value, Trouble> {
        let mut request = Request::new(route, method);
        if !params.is_empty() {
            request = request.params(Some(params.to_vec()));
        }
        let result = match body {
            Some(Sent { body, files: [file] }) => {
                self.http.request(request.multipart(Some(files::with_one(body, file)))).await
            }
            Some(Sent { body, files: files @ [_, _, ..] }) => self.with_several(request, body, files).await,
            body => {
                let body = body.map(|sent| sent.body.to_string().into_bytes());
                self.http.request(request.body(body)).await
            }
        };
        let response = result.map_err(|error| Trouble::of(&error))?;
        let text = response.text().await.map_err(|_| Trouble::Unclear("the answer broke off".to_owned()))?;
        if text.is_empty() {
            return Ok(Value::Null);
        }
        serde_json::from_str(&text)
            .map_err(|error| Trouble::Unclear(format!("an answer that cannot be read: {error}")))
    }
}

/// The client under the library: it goes to the platform, or to the address that is set and nowhere else.
fn client(settings: &Settings) -> Result<reqwest::Client, reqwest::Error> {
    // The platform sends nobody elsewhere: what would is not followed.
    let nowhere_else = reqwest::redirect::Policy::none();
    let client = reqwest::Client::builder().use_rustls_tls().timeout(PATIENCE).redirect(nowhere_else);
    match &settings.address {
        Address::Platform => client.build(),
        Address::Plain { .. } => client.resolve(PLATFORM, NOWHERE).no_proxy().build(),
        Address::Encrypted { api, certificate, .. } => {
            let certificate = reqwest::Certificate::from_pem(certificate.as_bytes())?;
            client.add_root_certificate(certificate).resolve(PLATFORM, *api).no_proxy().build()
        }
    }
}

/// The library's HTTP client: with its limiter towards the platform, without where another address is set in the
/// clear, because the library then ignores the address.
fn library(settings: &Settings, client: reqwest::Client) -> Http {
    let builder = HttpBuilder::new(settings.token.reveal()).client(client);
    match &settings.address {
        Address::Plain { api, .. } => builder.proxy(api).ratelimiter_disabled(true).build(),
        Address::Platform | Address::Encrypted { .. } => builder.build(),
    }
}

/// As the library's own loops need it.
pub(super) fn http(settings: &Settings) -> Result<Http, reqwest::Error> {
    Ok(library(settings, client(settings)?))
}

#[expect(clippy::disallowed_methods, reason = "a pause between two tries of one request")]
async fn pause(tried: u32) {
    tokio::time::sleep(PAUSE * 2_u32.saturating_pow(tried - 1)).await;
}

/// The platform's numbers are never zero.
const fn number(id: ChatId) -> u64 {
    let number = id.0.unsigned_abs();
    if number == 0 { 1 } else { number }
}

fn id_of(value: &Value) -> Result<ChatId, Trouble> {
    let id = value["id"].as_str().and_then(|id| id.parse().ok()).map(ChatId);
    id.ok_or_else(|| Trouble::Unclear("an answer without a number".to_owned()))
}

/// Whether a first answer came too late to be seen.
pub(super) fn is_too_late(trouble: &Trouble) -> bool {
    trouble.meaning() == Meaning::AnswerTooLate
}
