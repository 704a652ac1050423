//! What members do beside writing: buttons, lists, forms, menus, suggestions.

use serde_json::{Value, json};
use serenity::all::{Context, Interaction};

use crate::client;
use crate::support::stand_in::{Form, Id, Options, Reply, SOON, StandIn};

/// A little assistant: a command with a button, a list and a form, suggestions, a menu.
fn act(context: Context, interaction: Interaction) -> std::pin::Pin<Box<dyn Future<Output = ()> + Send>> {
    Box::pin(async move {
        let body = match &interaction {
            Interaction::Command(command) if command.data.name == "Log this reading" => {
                let text =
                    command.data.resolved.messages.values().next().map(|message| message.content.clone());
                json!({ "type": 4, "data": { "content": format!("logged {}", text.unwrap_or_default()), "flags": 64 } })
            }
            Interaction::Command(_) => json!({ "type": 4, "data": { "content": "kept", "components": [
                { "type": 1, "components": [
                    { "type": 2, "style": 4, "label": "Undo", "custom_id": "undo:1" },
                    { "type": 2, "style": 1, "label": "Change", "custom_id": "change:1" },
                    { "type": 2, "style": 2, "label": "Old", "custom_id": "old:1", "disabled": true } ] },
                { "type": 1, "components": [{ "type": 3, "custom_id": "batch", "options": [
                    { "label": "Coppa", "value": "c" }, { "label": "Lonzino", "value": "l" } ] }] } ] } }),
            Interaction::Component(pressed) => match pressed.data.custom_id.as_str() {
                "change:1" => {
                    json!({ "type": 9, "data": { "custom_id": "form:1", "title": "Change", "components": [
                    { "type": 1, "components": [{ "type": 4, "custom_id": "weight", "label": "Weight", "style": 1,
                        "value": "812 g", "max_length": 10 }] } ] } })
                }
                "batch" => {
                    let serenity::all::ComponentInteractionDataKind::StringSelect { values } =
                        &pressed.data.kind
                    else {
                        return;
                    };
                    json!({ "type": 7, "data": { "content": format!("batch {}", values[0]) } })
                }
                _ => json!({ "type": 7, "data": { "content": "undone", "components": [] } }),
            },
            Interaction::Modal(sent) => {
                let row = sent.data.components.first().and_then(|row| row.components.first());
                let Some(serenity::all::ActionRowComponent::InputText(input)) = row else {
                    return answer(
                        &context,
                        &interaction,
                        json!({ "type": 7, "data": { "content": "nothing typed" } }),
                    )
                    .await;
                };
                json!({ "type": 7, "data": { "content": format!("now {}", input.value.clone().unwrap_or_default()) } })
            }
            Interaction::Autocomplete(typed) => {
                let typed =
                    typed.data.autocomplete().map(|option| option.value.to_owned()).unwrap_or_default();
                json!({ "type": 8, "data": { "choices": [{ "name": format!("{typed}pa"), "value": "1" }] } })
            }
            _ => return,
        };
        answer(&context, &interaction, body).await;
    })
}

async fn answer(context: &Context, interaction: &Interaction, body: Value) {
    let token = interaction.token();
    context.http.create_interaction_response(interaction.id(), token, &body, vec![]).await.unwrap();
}

async fn place() -> (StandIn, client::Running, Id, Id) {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let running = client::start(&stand_in, Some(act)).await;
    let commands = json!([
        { "name": "log", "description": "Logs", "options": [
            { "type": 3, "name": "batch", "description": "Which", "autocomplete": true }] },
        { "name": "Log this reading", "type": 3 },
    ]);
    running.http.create_global_commands(&commands).await.unwrap();
    (stand_in, running, anna, log)
}

#[tokio::test]
async fn a_button_changes_the_message_in_place() {
    let (stand_in, _running, anna, log) = place().await;
    let kept = stand_in.slash(anna, log, "log", &[]).answer(SOON).await;
    let message = kept.message.unwrap();
    let seen = stand_in.click(anna, message, &kept.button("Undo").custom_id).answer(SOON).await;
    assert!(seen.in_place && seen.buttons.is_empty());
    assert_eq!((seen.message, seen.content.as_str()), (Some(message), "undone"));
    assert_eq!(stand_in.message(message).unwrap().content, "undone");
}

#[tokio::test]
async fn only_what_is_there_can_be_pressed() {
    let (stand_in, _running, anna, log) = place().await;
    let message = stand_in.slash(anna, log, "log", &[]).answer(SOON).await.message.unwrap();
    for missing in ["nothing", "old:1"] {
        let press = std::panic::AssertUnwindSafe(|| stand_in.click(anna, message, missing));
        assert!(std::panic::catch_unwind(press).is_err(), "{missing}");
    }
    let pick = std::panic::AssertUnwindSafe(|| stand_in.select(anna, message, "batch", &["x"]));
    assert!(std::panic::catch_unwind(pick).is_err());
    let seen = stand_in.select(anna, message, "batch", &["l"]).answer(SOON).await;
    assert_eq!(seen.content, "batch l");
}

#[tokio::test]
async fn a_form_is_filled_in_and_sent() {
    let (stand_in, _running, anna, log) = place().await;
    let message = stand_in.slash(anna, log, "log", &[]).answer(SOON).await.message.unwrap();
    let opened = stand_in.click(anna, message, "change:1");
    let form = opened.answer(SOON).await.modal.unwrap();
    assert_eq!(form["title"], "Change");
    let seen = stand_in.submit_form(&opened, &[], Form::Classic).answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.in_place), ("now 812 g", true), "what stood there is sent");
    let opened = stand_in.click(anna, message, "change:1");
    opened.answer(SOON).await;
    let seen = stand_in.submit_form(&opened, &[("weight", "800 g")], Form::Classic).answer(SOON).await;
    assert_eq!(seen.content, "now 800 g");
    let long = std::panic::AssertUnwindSafe(|| {
        stand_in.submit_form(&opened, &[("weight", "800000000 g")], Form::Classic)
    });
    assert!(std::panic::catch_unwind(long).is_err());
    // This version of the library loses what comes in labels; the stand-in shows it.
    let seen = stand_in.submit_form(&opened, &[("weight", "790 g")], Form::Labelled).answer(SOON).await;
    assert_eq!(seen.content, "nothing typed");
}

#[tokio::test]
async fn menus_and_suggestions() {
    let (stand_in, _running, anna, log) = place().await;
    let reading = stand_in.post(anna, log, "ph 5.08", Reply::None);
    let seen = stand_in.menu(anna, reading, "Log this reading").answer(SOON).await;
    assert_eq!((seen.content.as_str(), seen.ephemeral), ("logged ph 5.08", true));
    let offered = stand_in.autocomplete(anna, log, "log", &[("batch", "cop")], "batch").await;
    assert_eq!(offered, [("coppa".to_owned(), json!("1"))]);
    let other = stand_in.user("ben", "Ben");
    let press = std::panic::AssertUnwindSafe(|| stand_in.click(other, seen.message.unwrap(), "undo:1"));
    assert!(std::panic::catch_unwind(press).is_err(), "nobody else sees it");
}
