//! Whatever a member writes, and by whatever way it comes out again: nobody is called by it, and it is no markup.

use chrono::TimeDelta;
use naughty_strings::BLNS;
use serde_json::json;

use crate::assistant::Cellar;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Reply, SOON};

/// Texts of the public list that hold a mark of the platform, and calls for everybody this group knows.
fn hostile(cellar: &Cellar) -> Vec<String> {
    let marked =
        BLNS.iter().filter(|text| text.contains(['@', '<', '`', '[', '*', '|']) && !text.contains('\n'));
    let short = marked.filter(|text| (3..120).contains(&text.chars().count()));
    let mut texts: Vec<String> = short.step_by(7).map(|text| (*text).to_owned()).collect();
    assert!(texts.len() > 15, "{}", texts.len());
    let (ben, group) = (cellar.ben, cellar.group);
    texts.extend([
        "@everyone".to_owned(),
        "@here".to_owned(),
        format!("<@{ben}>"),
        format!("<@!{ben}>"),
        format!("<@&{group}>"),
        format!("\\<@{ben}>"),
        format!("\\\\<@{ben}>"),
        format!("`<@{ben}>"),
        format!("```\n<@{ben}>"),
        format!("@\u{200b}everyone @\u{feff}here <@\u{200b}{ben}>"),
        format!("\u{202e}>{ben}@<"),
        format!("[@everyone](https://example.org) ||<@{ben}>||"),
    ]);
    texts
}

/// Marks that are there to be seen and not escaped, outside of what we write ourselves.
fn calls(content: &str) -> bool {
    let mut escaped = false;
    let mut unescaped = String::new();
    for letter in content.chars() {
        if escaped {
            escaped = false;
            unescaped.push(' ');
        } else if letter == '\\' {
            escaped = true;
        } else {
            unescaped.push(letter);
        }
    }
    unescaped.contains("<@") || unescaped.contains("@everyone") || unescaped.contains("@here")
}

async fn said(cellar: &Cellar, thread: Id, text: &str) {
    cellar.wait(TimeDelta::minutes(2));
    let lines: [(&str, Vec<(&str, &str)>); 6] = [
        ("batch note", vec![("batch", "B1"), ("text", text)]),
        ("batch show", vec![("batch", text)]),
        ("formulation save", vec![("name", text), ("item", "2.5% salt")]),
        ("chamber add", vec![("name", text)]),
        ("cure mix", vec![("meat", text), ("nitrite", "6.25%")]),
        ("remind set", vec![("text", text), ("when", "in 1 h"), ("batch", "B1")]),
    ];
    for (line, options) in lines {
        cellar.ask(line, &options).await;
    }
    let to_us = format!("<@{}> smell {text}", cellar.stand_in.bot());
    let written = cellar.stand_in.post(cellar.anna, thread, &to_us, Reply::None);
    cellar.stand_in.message_in(thread, SOON, |message| message.reply_to == Some(written)).await;
}

#[tokio::test]
async fn no_text_calls_anybody_by_any_way_out() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let texts = hostile(&cellar);
    for (number, text) in texts.iter().enumerate() {
        said(&cellar, thread, text).await;
        if number % 6 == 0 {
            let started = [("name", text.as_str()), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
            cellar.ask("batch start", &started).await;
        }
    }
    cellar.ask("log history", &[("batch", "B1")]).await;
    cellar.ask("formulation list", &[]).await;
    cellar.ask("remind list", &[]).await;
    cellar.wait(TimeDelta::hours(3));
    cellar.stand_in.message_in(thread, 2 * SOON, |message| message.pings.contains(&cellar.anna)).await;
    crate::assistant::pause(1000).await;
    let bot = cellar.stand_in.bot();
    let (own, to_us) = (format!("<@{}>", cellar.anna), format!("<@{bot}>"));
    let mut seen = 0;
    for message in cellar.stand_in.all_messages().iter().filter(|message| message.author == bot) {
        seen += 1;
        let is_reminder = message.pings.contains(&cellar.anna);
        assert!(message.pings.iter().all(|pinged| *pinged == cellar.anna), "{}", message.content);
        assert!(!message.mention_everyone, "{}", message.content);
        assert_eq!(message.allowed_mentions["parse"], json!([]), "{}", message.content);
        // How to speak to it, and whom a reminder is for, it writes itself.
        let content = message.content.replace(&to_us, "");
        let content = if is_reminder { content.replacen(&own, "", 1) } else { content };
        assert!(!calls(&content), "{content}");
        for embed in message.embeds.as_array().into_iter().flatten() {
            let text = embed["description"].as_str().unwrap_or_default().replace(&to_us, "");
            assert!(!calls(&text), "{text}");
        }
    }
    assert!(seen > texts.len(), "{seen} messages");
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}
