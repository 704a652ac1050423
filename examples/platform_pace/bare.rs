//! The least a client of the chat library can do: say "pong".

use serenity::all::{
    Command, Context, CreateCommand, CreateInteractionResponse, CreateInteractionResponseMessage,
    EventHandler, GatewayIntents, HttpBuilder, Interaction,
};
use serenity::async_trait;
use tokio::task::JoinHandle;

use crate::support::stand_in::StandIn;

struct Echo;

#[async_trait]
impl EventHandler for Echo {
    async fn interaction_create(&self, context: Context, interaction: Interaction) {
        let Interaction::Command(command) = interaction else { return };
        let message = CreateInteractionResponseMessage::new().content("pong");
        command.create_response(&context.http, CreateInteractionResponse::Message(message)).await.unwrap();
    }
}

/// Runs until it is dropped.
pub(crate) struct Running(JoinHandle<()>);

impl Drop for Running {
    fn drop(&mut self) {
        self.0.abort();
    }
}

pub(crate) async fn start(stand_in: &StandIn) -> Running {
    let nowhere = "127.0.0.1:1".parse().unwrap();
    let client = reqwest::Client::builder().resolve("discord.com", nowhere).build().unwrap();
    let builder = HttpBuilder::new(stand_in.token()).client(client).proxy(stand_in.api_url());
    let http = builder.ratelimiter_disabled(true).build();
    http.set_application_id(stand_in.bot().0.into());
    let command = CreateCommand::new("ping").description("Says pong");
    Command::set_global_commands(&http, vec![command]).await.unwrap();
    let builder = serenity::client::ClientBuilder::new_with_http(http, GatewayIntents::non_privileged());
    let mut client = builder.event_handler(Echo).await.unwrap();
    *client.ws_url.lock().await = stand_in.gateway_url();
    let task = tokio::spawn(async move { client.start().await.unwrap() });
    stand_in.ready().await;
    Running(task)
}
