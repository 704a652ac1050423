//! Commands as the app offers and sends them.

use serde_json::{Value, json};

use crate::client;
use crate::support::stand_in::{Id, Options, StandIn, permissions};

async fn place() -> (StandIn, Id, Id) {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let http = client::http(&stand_in, stand_in.token());
    let commands = json!([
        { "name": "cure", "description": "Doses", "options": [{ "type": 1, "name": "check", "description": "Checks",
            "options": [
                { "type": 3, "name": "method", "description": "How", "required": true,
                  "choices": [{ "name": "dry", "value": "dry" }, { "name": "in brine", "value": "brine" }] },
                { "type": 4, "name": "days", "description": "How long", "min_value": 1, "max_value": 90 },
            ] }] },
        { "name": "admin", "description": "For stewards", "default_member_permissions": "32", "contexts": [0] },
    ]);
    http.create_global_commands(&commands).await.unwrap();
    (stand_in, anna, log)
}

/// Whether the app would refuse to send this.
fn refused(stand_in: &StandIn, user: Id, channel: Id, line: &str, options: &[(&str, &str)]) -> bool {
    let send = std::panic::AssertUnwindSafe(|| stand_in.slash(user, channel, line, options));
    std::panic::catch_unwind(send).is_err()
}

#[tokio::test]
async fn only_what_is_registered_and_valid_can_be_sent() {
    let (stand_in, anna, log) = place().await;
    let ben = stand_in.user("ben", "Ben");
    stand_in.member(stand_in.guild_of(log), ben, permissions::MEMBER);
    let good = [("method", "in brine"), ("days", "7")];
    assert!(!refused(&stand_in, anna, log, "cure check", &good));
    assert!(refused(&stand_in, anna, log, "cure", &[]), "a command with others below it");
    assert!(refused(&stand_in, anna, log, "cure mend", &good), "no such command");
    assert!(refused(&stand_in, anna, log, "cure check", &[("days", "7")]), "a required option is missing");
    assert!(refused(&stand_in, anna, log, "cure check", &[("method", "smoke")]), "not one of the choices");
    assert!(
        refused(&stand_in, anna, log, "cure check", &[("method", "dry"), ("days", "91")]),
        "out of range"
    );
    assert!(
        refused(&stand_in, anna, log, "cure check", &[("method", "dry"), ("days", "7.5")]),
        "no whole number"
    );
    assert!(!refused(&stand_in, anna, log, "admin", &[]));
    assert!(refused(&stand_in, ben, log, "admin", &[]), "needs MANAGE_GUILD");
    assert!(
        refused(&stand_in, anna, stand_in.direct_line(anna), "admin", &[]),
        "not offered in a direct line"
    );
}

#[tokio::test]
async fn the_payload_is_complete_in_a_server_and_in_a_direct_line() {
    let (stand_in, anna, log) = place().await;
    let running = client::start(&stand_in, None).await;
    stand_in.slash(anna, log, "cure check", &[("method", "in brine"), ("days", "7")]);
    stand_in.slash(anna, stand_in.direct_line(anna), "cure check", &[("method", "dry")]);
    running.until(|log| log.interactions.len() == 2).await;
    let seen = running.log.lock().unwrap().interactions.clone();
    let by_context = |context: u64| seen.iter().find(|seen| seen["context"] == context).unwrap().clone();
    let (server, direct): (Value, Value) = (by_context(0), by_context(1));
    let options = &server["data"]["options"][0];
    assert_eq!(options["name"], "check");
    assert_eq!(options["options"][0]["value"], "brine");
    assert_eq!(options["options"][1]["value"], 7);
    assert_eq!(server["member"]["user"]["id"], anna.to_string());
    assert_ne!(server["member"]["permissions"], Value::Null);
    assert_eq!(server["authorizing_integration_owners"]["0"], stand_in.guild_of(log).to_string());
    assert_eq!(server["channel"]["name"], "log");
    assert_eq!(direct["member"], Value::Null);
    assert_eq!(direct["user"]["global_name"], "Anna");
    assert_eq!(direct["attachment_size_limit"], 10 * 1024 * 1024);
}
