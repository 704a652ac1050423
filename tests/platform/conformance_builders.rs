//! What the chat library's own builders send passes the check: a false alarm would cost the check its weight.

use serenity::all::{
    AutoArchiveDuration, ButtonStyle, ChannelId, ChannelType, Command, CommandOptionType, CommandType,
    CreateActionRow, CreateAllowedMentions, CreateAttachment, CreateAutocompleteResponse, CreateButton,
    CreateCommand, CreateCommandOption, CreateEmbed, CreateEmbedFooter, CreateForumPost, CreateInputText,
    CreateInteractionResponse, CreateInteractionResponseFollowup, CreateInteractionResponseMessage,
    CreateMessage, CreateModal, CreateSelectMenu, CreateSelectMenuKind, CreateSelectMenuOption, CreateThread,
    EditInteractionResponse, EditMessage, EditThread, Http, InputTextStyle, InstallationContext,
    InteractionContext, MessageFlags, Nonce, Permissions, UserId,
};

use crate::support::conformance::request_faults;
use crate::support::guard::Guard;
use crate::support::stand_in::{Handle, Id, Options, Reply, StandIn};

struct Place {
    stand_in: StandIn,
    http: Http,
    anna: Id,
    log: Id,
}

pub(crate) fn the_librarys_own_bodies_pass() {
    let records = crate::conformance_cases::run(async {
        let guard = Guard::default();
        let stand_in = StandIn::start(Options::default()).await;
        let client = guard.client_builder().build().expect("a client");
        let builder =
            serenity::all::HttpBuilder::new(stand_in.token()).client(client).proxy(stand_in.api_url());
        let http = builder.ratelimiter_disabled(true).build();
        http.set_application_id(stand_in.bot().0.into());
        let anna = stand_in.user("anna", "Anna");
        let cellar = stand_in.guild("Cellar (invented)", anna);
        let log = stand_in.channel(cellar, "log");
        let place = Place { stand_in, http, anna, log };
        register(&place).await;
        messages(&place).await;
        threads(&place).await;
        interactions(&place).await;
        place.stand_in.records()
    });
    let refused: Vec<_> = records.iter().filter(|record| record.status >= 300).collect();
    assert!(refused.is_empty(), "{refused:#?}");
    let faults: Vec<String> = records.iter().flat_map(request_faults).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(records.len() >= 19, "only {} requests", records.len());
}

async fn register(place: &Place) {
    let method = CreateCommandOption::new(CommandOptionType::String, "method", "How it is cured")
        .name_localized("de", "verfahren")
        .description_localized("de", "Wie gepökelt wird")
        .required(true)
        .add_string_choice("dry", "dry")
        .add_string_choice_localized("in brine", "brine", [("de", "in Lake")]);
    let days = CreateCommandOption::new(CommandOptionType::Integer, "days", "How long")
        .min_int_value(1)
        .max_int_value(90);
    let batch = CreateCommandOption::new(CommandOptionType::String, "batch", "Which")
        .set_autocomplete(true)
        .max_length(60);
    let check = CreateCommandOption::new(CommandOptionType::SubCommand, "check", "Checks a cure")
        .add_sub_option(method)
        .add_sub_option(days)
        .add_sub_option(batch);
    let cure = CreateCommand::new("cure")
        .description("Doses and checks")
        .add_option(check)
        .contexts(vec![InteractionContext::Guild, InteractionContext::BotDm])
        .integration_types(vec![InstallationContext::Guild]);
    let admin = CreateCommand::new("group")
        .description("For stewards")
        .default_member_permissions(Permissions::MANAGE_GUILD);
    let menu = CreateCommand::new("Log this reading").kind(CommandType::Message);
    Command::set_global_commands(&place.http, vec![cure, admin, menu]).await.expect("registered");
}

fn rows() -> Vec<CreateActionRow> {
    let undo = CreateButton::new("undo:1").label("Undo").style(ButtonStyle::Secondary);
    let link = CreateButton::new_link("https://example.org/").label("Source");
    let options = vec![CreateSelectMenuOption::new("Coppa", "1").description("hung on Monday")];
    let list = CreateSelectMenu::new("batch", CreateSelectMenuKind::String { options }).placeholder("Which?");
    vec![CreateActionRow::Buttons(vec![undo, link]), CreateActionRow::SelectMenu(list)]
}

fn embed() -> CreateEmbed {
    CreateEmbed::new()
        .title("Coppa")
        .description("Day 12")
        .field("weight", "812 g", true)
        .colour(0x00AA_5500)
        .attachment("curve.png")
        .footer(CreateEmbedFooter::new("common practice, no source"))
        .timestamp(serenity::all::Timestamp::from_unix_timestamp(1_767_603_600).expect("a moment"))
}

async fn messages(place: &Place) {
    let channel = ChannelId::new(place.log.0);
    let asked = place.stand_in.post(place.anna, place.log, "ph 5.08", Reply::None);
    let message = CreateMessage::new()
        .content("kept")
        .embed(embed())
        .components(rows())
        .reference_message((channel, asked.0.into()))
        .allowed_mentions(CreateAllowedMentions::new().replied_user(true))
        .flags(MessageFlags::SUPPRESS_NOTIFICATIONS)
        .nonce(Nonce::String("r17".to_owned()))
        .enforce_nonce(true)
        .add_file(CreateAttachment::bytes(vec![1, 2], "curve.png").description("pH falls"));
    let sent = channel.send_message(&place.http, message).await.expect("sent");
    let edit = EditMessage::new().content("changed").embeds(vec![embed()]).components(vec![]);
    channel.edit_message(&place.http, sent.id, edit).await.expect("edited");
    channel.create_reaction(&place.http, sent.id, '✅').await.expect("reacted");
    channel.broadcast_typing(&place.http).await.expect("typing");
    UserId::new(place.anna.0).create_dm_channel(&place.http).await.expect("opened");
}

async fn threads(place: &Place) {
    let channel = ChannelId::new(place.log.0);
    let thread = CreateThread::new("coppa").auto_archive_duration(AutoArchiveDuration::OneWeek);
    let asked = place.stand_in.post(place.anna, place.log, "coppa", Reply::None);
    channel.create_thread_from_message(&place.http, asked.0, thread).await.expect("opened");
    let thread = CreateThread::new("lonzino").kind(ChannelType::PublicThread);
    let mut opened = channel.create_thread(&place.http, thread).await.expect("opened");
    opened
        .edit_thread(&place.http, EditThread::new().name("lonzino 2").archived(true))
        .await
        .expect("archived");
    opened.edit_thread(&place.http, EditThread::new().archived(false)).await.expect("woken");
    let forum = place.stand_in.forum(place.stand_in.guild_of(place.log), "batches");
    let post = CreateForumPost::new("bresaola", CreateMessage::new().content("card").components(rows()));
    ChannelId::new(forum.0).create_forum_post(&place.http, post).await.expect("posted");
}

async fn answer(place: &Place, handle: &Handle, response: CreateInteractionResponse) {
    use serenity::all::Builder;
    response.execute(&place.http, (handle.id.0.into(), &handle.token())).await.expect("answered");
}

async fn interactions(place: &Place) {
    use serenity::all::Builder;
    let check = || place.stand_in.slash(place.anna, place.log, "cure check", &[("method", "dry")]);
    let message =
        || CreateInteractionResponseMessage::new().content("156 ppm").embed(embed()).components(rows());
    let plain = check();
    let with_file = message().ephemeral(true).add_file(CreateAttachment::bytes(vec![1], "curve.png"));
    answer(place, &plain, CreateInteractionResponse::Message(with_file)).await;
    let deferred = check();
    let ephemeral = CreateInteractionResponseMessage::new().ephemeral(true);
    answer(place, &deferred, CreateInteractionResponse::Defer(ephemeral)).await;
    let edit = EditInteractionResponse::new()
        .content("156 ppm")
        .components(rows())
        .new_attachment(CreateAttachment::bytes(vec![1], "curve.png"));
    edit.execute(&place.http, &deferred.token()).await.expect("edited");
    let further = CreateInteractionResponseFollowup::new().content("more").ephemeral(true);
    further.execute(&place.http, (None, &deferred.token())).await.expect("followed up");
    let shown = deferred.now().and_then(|seen| seen.message).expect("an answer");
    let pressed = || place.stand_in.click(place.anna, shown, "undo:1");
    answer(place, &pressed(), CreateInteractionResponse::Acknowledge).await;
    answer(place, &pressed(), CreateInteractionResponse::UpdateMessage(message())).await;
    let input = CreateInputText::new(InputTextStyle::Short, "Weight", "weight").value("812 g").max_length(20);
    let form = CreateModal::new("form:1", "Change").components(vec![CreateActionRow::InputText(input)]);
    answer(place, &pressed(), CreateInteractionResponse::Modal(form)).await;
    let typed = place.stand_in.type_in(place.anna, place.log, "cure check", &[("batch", "co")], "batch");
    let offered = CreateAutocompleteResponse::new().add_string_choice("Coppa", "1");
    answer(place, &typed, CreateInteractionResponse::Autocomplete(offered)).await;
}
