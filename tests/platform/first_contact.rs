//! The plain path: READY, a command, a deferred answer, a direct message.

use serenity::all::{
    ChannelId, Command, CommandOptionType, Context, CreateCommand, CreateCommandOption,
    CreateInteractionResponse, CreateInteractionResponseMessage, CreateMessage, EditInteractionResponse,
    Interaction,
};

use crate::client;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Options, Reply, SOON, StandIn, permissions};

fn answer(context: Context, interaction: Interaction) -> std::pin::Pin<Box<dyn Future<Output = ()> + Send>> {
    Box::pin(async move {
        let Interaction::Command(command) = interaction else { return };
        if command.data.name == "later" {
            command.defer_ephemeral(&context.http).await.unwrap();
            let edit = EditInteractionResponse::new().content("came later");
            command.edit_response(&context.http, edit).await.unwrap();
            return;
        }
        let said = command.data.options.first().and_then(|option| option.value.as_str()).unwrap_or_default();
        let message = CreateInteractionResponseMessage::new().content(format!("heard {said}"));
        command.create_response(&context.http, CreateInteractionResponse::Message(message)).await.unwrap();
    })
}

async fn with_commands(stand_in: &StandIn) -> client::Running {
    let running = client::start(stand_in, Some(answer)).await;
    let option = CreateCommandOption::new(CommandOptionType::String, "text", "what to say").required(true);
    let say = CreateCommand::new("say").description("Says it").add_option(option);
    let later = CreateCommand::new("later").description("Answers later");
    Command::set_global_commands(&running.http, vec![say, later]).await.unwrap();
    running
}

#[tokio::test]
async fn a_command_is_answered_at_once_and_later() {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let _running = with_commands(&stand_in).await;
    let seen = stand_in.slash(anna, log, "say", &[("text", "salt")]).answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.ephemeral, seen.deferred), ("heard salt", false, false));
    let seen = stand_in.slash(anna, log, "/later", &[]).answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.ephemeral, seen.deferred), ("came later", true, true));
    assert_conforming(&stand_in.records());
}

#[tokio::test]
async fn members_write_in_channels_threads_and_directly() {
    let stand_in = StandIn::start(Options::default()).await;
    let (anna, ben) = (stand_in.user("anna", "Anna"), stand_in.user("ben", "Ben"));
    let cellar = stand_in.guild("Cellar (invented)", anna);
    stand_in.member(cellar, ben, permissions::MEMBER);
    let log = stand_in.channel(cellar, "log");
    let thread = stand_in.thread(log, "coppa", ben);
    let running = client::start(&stand_in, None).await;
    stand_in.post(ben, log, "ph 5.08", Reply::None);
    stand_in.post(ben, thread, "812 g", Reply::None);
    let direct = stand_in.direct(anna, "hello");
    let line = ChannelId::new(stand_in.direct_line(anna).0);
    let answer = CreateMessage::new().content("hello Anna").reference_message((line, direct.0.into()));
    line.send_message(&running.http, answer).await.unwrap();
    let reply = stand_in.reply_after(direct, SOON).await;
    assert_eq!((reply.content.as_str(), reply.reply_to), ("hello Anna", Some(direct)));
    assert!(reply.pings.contains(&anna));
    running.until(|log| log.messages.len() == 4).await;
    let mut texts = running.texts();
    texts.sort();
    assert_eq!(texts, ["812 g", "hello", "hello Anna", "ph 5.08"]);
}
