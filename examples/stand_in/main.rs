//! The stand-in of the chat platform for a trial by hand: `cargo run --example stand_in`.
//!
//! It prints the settings to start the assistant with in another shell, then plays a member line by line; `help`
//! lists what can be typed. Group and members are invented. Everything stays on 127.0.0.1.
#![expect(clippy::print_stdout, reason = "a program that is used in a terminal")]
#![expect(
    clippy::expect_used,
    reason = "a wrong line ends in a sentence, which is caught where lines are taken"
)]

mod lines;
mod look;
#[path = "../../tests/support/mod.rs"]
mod support;

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::Duration;

use look::fields;
use serenity::futures::FutureExt;
use support::stand_in::{Form, Handle, Id, Options, Reply, StandIn, permissions};
use tokio::io::{AsyncBufReadExt, BufReader};

const HELP: &str = "\
/cure check method:dry …   a command, its options by name (a text without a name is the first option's)
? /log batch:cop           what is suggested for the last option
any text                   a message in the channel (`say text` if it begins with one of these words)
@ text                     a message that names the assistant
dm text                    a direct message
re N text                  a reply to message N, with a ping
edit N text | delete N     changes or deletes message N
menu N [name]              a command from the menu of message N
click N | pick N value     presses button N, picks from list N
form text                  fills in the first field of the form and sends it; `form a=…; b=…` by name
thread NAME                opens a thread and goes there
as NAME | in NAME          who speaks; where (a channel, a thread or dm)
+3h | +20m | +2d           moves the stand-in's clock (deadlines, ids)
offline text               the connection breaks, the text is written meanwhile
commands | help";

/// A running trial.
struct Trial {
    stand_in: StandIn,
    guild: Id,
    people: BTreeMap<String, Id>,
    speaker: Id,
    place: Id,
    /// Messages as they were last printed.
    printed: BTreeMap<Id, String>,
    numbers: Vec<Id>,
    /// What can be pressed, by number.
    parts: Vec<(Id, String)>,
    open: Vec<Handle>,
    form: Option<Handle>,
}

#[tokio::main]
async fn main() {
    std::panic::set_hook(Box::new(|panic| {
        println!("  {}", panic.payload_as_str().unwrap_or("something went wrong"));
    }));
    let port = std::env::args().nth(1).and_then(|port| port.parse().ok()).unwrap_or(0);
    let stand_in = StandIn::start(Options { port, ..Options::default() }).await;
    let (anna, ben) = (stand_in.user("anna", "Anna"), stand_in.user("ben", "Ben"));
    let guild = stand_in.guild("Cellar (invented)", anna);
    stand_in.member(guild, ben, permissions::MEMBER);
    let place = stand_in.channel(guild, "log");
    println!("The stand-in runs. Start the assistant in another shell:\n");
    println!("  TALLYHOOK_API={} \\\n  TALLYHOOK_GATEWAY={} \\", stand_in.api_url(), stand_in.gateway_url());
    println!("  TALLYHOOK_TOKEN={} tallyhook serve\n", stand_in.token());
    println!("#log has the number {place}, Anna {anna}, Ben {ben}, the server {guild}.");
    println!("Waiting for it …");
    let mut trial = Trial {
        stand_in,
        guild,
        people: BTreeMap::from([("anna".to_owned(), anna), ("ben".to_owned(), ben)]),
        speaker: anna,
        place,
        printed: BTreeMap::new(),
        numbers: Vec::new(),
        parts: Vec::new(),
        open: Vec::new(),
        form: None,
    };
    trial.stand_in.connected().await;
    trial.settle().await;
    println!("It is there. You are Anna in #log of an invented group; `help` lists what can be typed.");
    trial.talk().await;
}

impl Trial {
    /// Lines in, changes out, until the input ends.
    async fn talk(&mut self) {
        let mut lines = BufReader::new(tokio::io::stdin()).lines();
        let mut changes = self.stand_in.changes();
        loop {
            tokio::select! {
                line = lines.next_line() => {
                    let Ok(Some(line)) = line else { return };
                    self.take(line.trim()).await;
                    self.settle().await;
                    changes.mark_unchanged();
                }
                _ = changes.changed() => self.settle().await,
            }
        }
    }

    /// Waits until nothing has happened for a moment, then prints what is new.
    async fn settle(&mut self) {
        let mut changes = self.stand_in.changes();
        for _ in 0..20 {
            changes.mark_unchanged();
            if tokio::time::timeout(Duration::from_millis(300), changes.changed()).await.is_err() {
                break;
            }
        }
        self.print_new();
    }

    async fn take(&mut self, line: &str) {
        let (word, rest) = line.split_once(' ').map_or((line, ""), |(word, rest)| (word, rest.trim()));
        if let Some(command) = line.strip_prefix("? ") {
            let suggested = AssertUnwindSafe(self.suggest(command)).catch_unwind().await;
            return suggested.unwrap_or_else(|_| println!("  (not done)"));
        }
        // A member's mistake is a sentence, not the end of the trial.
        if catch_unwind(AssertUnwindSafe(|| self.act(line, word, rest))).is_err() {
            println!("  (not done)");
        }
    }

    fn act(&mut self, line: &str, word: &str, rest: &str) {
        match word {
            "" => {}
            "help" => println!("{HELP}"),
            "commands" => {
                for (name, options) in self.commands() {
                    println!("  /{name} {}", options.join(" "));
                }
            }
            _ if line.starts_with('/') => {
                let (name, options) = self.read_command(line);
                let given: Vec<(&str, &str)> =
                    options.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
                let handle = self.stand_in.slash(self.speaker, self.place, &name, &given);
                self.open.push(handle);
            }
            "@" => self.post(&format!("<@{}> {rest}", self.stand_in.bot()), Reply::None),
            "say" => self.post(rest, Reply::None),
            "dm" => {
                self.stand_in.direct(self.speaker, rest);
            }
            "re" => {
                let (message, text) = self.numbered(rest);
                self.post(text, Reply::To { message, ping: true });
            }
            "edit" => {
                let (message, text) = self.numbered(rest);
                self.stand_in.edit(message, text);
            }
            "delete" => self.stand_in.delete(self.numbered(rest).0),
            "menu" => {
                let (message, name) = self.numbered(rest);
                let name = if name.is_empty() {
                    self.menus().first().cloned().unwrap_or_default()
                } else {
                    name.to_owned()
                };
                let handle = self.stand_in.menu(self.speaker, message, &name);
                self.open.push(handle);
            }
            "click" | "pick" => self.press(rest),
            "form" => self.fill_in(rest),
            "thread" => self.place = self.stand_in.thread(self.place, rest, self.speaker),
            "as" => self.speaker = *self.people.get(&rest.to_lowercase()).expect("anna or ben"),
            "in" => self.go(rest),
            "offline" => self.stand_in.offline(true, |stand_in| {
                stand_in.post(self.speaker, self.place, rest, Reply::None);
            }),
            _ if word.starts_with('+') => self.advance(word),
            _ => self.post(line, Reply::None),
        }
    }

    fn post(&self, text: &str, reply: Reply) {
        self.stand_in.post(self.speaker, self.place, text, reply);
    }

    fn press(&mut self, rest: &str) {
        let (number, value) = rest.split_once(' ').unwrap_or((rest, ""));
        let number: usize = number.parse().expect("the number of a button or list");
        let (message, custom_id) = self.parts.get(number.wrapping_sub(1)).expect("nothing has this number");
        let handle = if value.is_empty() {
            self.stand_in.click(self.speaker, *message, custom_id)
        } else {
            self.stand_in.select(self.speaker, *message, custom_id, &[value])
        };
        self.open.push(handle);
    }

    fn fill_in(&mut self, rest: &str) {
        let opened = self.form.take().expect("no form is open");
        let modal = opened.now().and_then(|seen| seen.modal).expect("no form is open");
        let first = fields(&modal).first().map(|(id, ..)| id.clone()).unwrap_or_default();
        let named: Vec<(&str, &str)> = rest.split(';').filter_map(|pair| pair.split_once('=')).collect();
        let known = |key: &str| fields(&modal).iter().any(|(id, ..)| id == key.trim());
        let given: Vec<(&str, &str)> = if !named.is_empty() && named.iter().all(|(key, _)| known(key)) {
            named.iter().map(|(key, value)| (key.trim(), value.trim())).collect()
        } else if rest.is_empty() {
            Vec::new()
        } else {
            vec![(first.as_str(), rest)]
        };
        let handle = self.stand_in.submit_form(&opened, &given, Form::Classic);
        self.open.push(handle);
    }

    async fn suggest(&self, line: &str) {
        let (name, options) = self.read_command(line);
        let given: Vec<(&str, &str)> =
            options.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        let Some((focused, _)) = given.last() else { return };
        for (name, value) in
            self.stand_in.autocomplete(self.speaker, self.place, &name, &given, focused).await
        {
            println!("  {name}  = {value}");
        }
    }
}
