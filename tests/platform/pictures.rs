//! Photos of messages: kept as references beside what the words say, asked about, taken out again; of anything else
//! nothing is kept, and nothing is ever fetched.

use chrono::TimeDelta;
use naughty_strings::BLNS;
use serde_json::json;
use std::net::TcpListener;
use tallyhook::record::correction::effective;
use tallyhook::record::{ChatId, Event, Happening, Picture, PictureKind};

use crate::assistant::{Cellar, pause};
use crate::edits::Hanging;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Action, Id, SOON, Seen, Sent};

impl Hanging {
    /// A message of Anna's with files in the batch's thread, with the answer to it.
    async fn sends(&self, text: &str, files: &[Sent<'_>]) -> (Id, Seen) {
        self.cellar.wait(TimeDelta::minutes(1));
        let text = self.to_us(text);
        let posted = self.cellar.stand_in.post_sent(self.cellar.anna, self.thread, &text, files);
        let seen = Seen::of(&self.answer(posted, 1).await);
        (posted, seen)
    }

    /// What was kept since the pieces were hung; nobody asked for any file.
    async fn kept(self) -> Vec<Event> {
        assert_eq!(self.cellar.stand_in.fetched(), [""; 0]);
        let mut entries = self.entries().await;
        entries.sort_by_key(|event| event.id);
        entries.split_off(3)
    }
}

fn words(entries: &[Event]) -> Vec<&'static str> {
    entries.iter().map(|event| event.what.word()).collect()
}

fn pictures(entries: &[Event]) -> Vec<Picture> {
    let of = |event: &Event| match &event.what {
        Happening::Pictured { pictures } => pictures.clone(),
        _ => Vec::new(),
    };
    entries.iter().flat_map(of).collect()
}

fn chat(id: Id) -> ChatId {
    ChatId(i64::try_from(id.0).unwrap())
}

#[tokio::test]
async fn a_photo_is_kept_with_the_reading_beside_it_and_found_in_the_history() {
    let story = Hanging::new().await;
    let (group, thread) = (story.cellar.group, story.thread);
    let (posted, seen) = story.sends("#1 780 g", &[Sent::photo("rim.jpg"), Sent::photo("cut.jpg")]).await;
    assert!(seen.content.contains("780 g") && seen.text().contains("2 photos kept with it."), "{seen:?}");
    let history = story.cellar.ask("log history", &[("batch", "B1")]).await.text();
    let link = format!("https://discord.com/channels/{group}/{thread}/{posted}");
    assert!(history.contains(&format!("B1 #1: 2 photos, {link}")), "{history}");
    let card = story.cellar.ask("batch show", &[("batch", "B1")]).await.text();
    assert!(card.contains("2 photos, see the history."), "{card}");
    let attachments = story.cellar.stand_in.message(posted).unwrap().attachments;
    let entries = story.kept().await;
    assert_eq!(words(&entries), ["weight", "picture"]);
    assert_eq!((entries[1].subject, entries[1].at), (entries[0].subject, entries[0].at));
    let kept = pictures(&entries);
    for (picture, sent) in kept.iter().zip(&attachments) {
        assert_eq!((picture.group, picture.place), (Some(chat(group)), chat(thread)));
        assert_eq!((picture.message, picture.attachment), (chat(posted), chat(sent.id)));
        assert_eq!((picture.kind, picture.bytes), (PictureKind::Jpeg, 2_400_000));
    }
    assert_eq!(kept.iter().map(|picture| picture.name.as_str()).collect::<Vec<_>>(), ["rim.jpg", "cut.jpg"]);
    let stored = serde_json::to_string(&entries).unwrap();
    assert!(!stored.contains("http") && !stored.contains("attachments"), "{stored}");
}

#[tokio::test]
async fn a_photo_alone_is_one_of_its_threads_batch_and_can_be_undone() {
    let story = Hanging::new().await;
    let (_, seen) = story.sends("", &[Sent::photo("rim.jpg")]).await;
    assert_eq!(seen.content, "1 photo kept with B1 Juniper stick.");
    let undone = story.cellar.press(story.cellar.anna, &seen, "Undo").answer(SOON).await;
    assert!(undone.content.contains("1 photo"), "{}", undone.content);
    let card = story.cellar.ask("batch show", &[("batch", "B1")]).await.text();
    assert!(!card.contains("photo"), "{card}");
    let (_, seen) = story.sends("look at this rim", &[Sent::photo("rim.jpg")]).await;
    assert_eq!(seen.content, "1 photo kept with B1 Juniper stick.");
    assert!(seen.text().contains("Not read as a reading: \"look at this rim\"."), "{}", seen.text());
    // With a reading that cannot be, nothing is kept.
    let (_, seen) = story.sends("pH 51", &[Sent::photo("meter.jpg")]).await;
    assert!(seen.content.contains("No photo was kept either."), "{}", seen.content);
    assert_eq!(words(&story.kept().await), ["picture", "undone", "picture"]);
}

#[tokio::test]
async fn with_several_batches_it_is_asked_which_one_a_photo_is_of() {
    let story = Hanging::new().await;
    let (cellar, anna) = (&story.cellar, story.cellar.anna);
    let start = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1.2 kg pork")];
    cellar.ask("batch start", &start).await;
    cellar.thread("B2 Coppa").await;
    cellar.wait(TimeDelta::minutes(1));
    cellar.stand_in.direct(anna, "help");
    let line = cellar.stand_in.direct_line(anna);
    let posted = cellar.stand_in.post_sent(anna, line, "", &[Sent::photo("a.jpg"), Sent::photo("b.jpg")]);
    let asked = Seen::of(&story.answer(posted, 1).await);
    assert!(asked.content.contains("Which batch is the photo of?"), "{}", asked.content);
    let kept = cellar.press(anna, &asked, "B1 Juniper stick").answer(SOON).await;
    assert_eq!(kept.content, "2 photos kept with B1 Juniper stick.");
    let twice = cellar.press(anna, &asked, "B2 Coppa").answer(SOON).await;
    assert!(!twice.content.contains("B2 Coppa."), "a message is kept once: {}", twice.content);
    // Its name beside it answers by itself; a doubt keeps the photo waiting.
    let named = cellar.stand_in.post_sent(anna, line, "B1", &[Sent::photo("c.jpg")]);
    let seen = Seen::of(&story.answer(named, 1).await);
    assert_eq!(seen.text().trim(), "1 photo kept with B1 Juniper stick.");
    let doubtful = cellar.stand_in.post_sent(anna, line, "B1 #1 78 g", &[Sent::photo("d.jpg")]);
    let asked = Seen::of(&story.answer(doubtful, 1).await);
    let saved = cellar.press(anna, &asked, "Save as it is").answer(SOON).await;
    assert!(saved.text().contains("1 photo kept with it."), "{}", saved.text());
    let history = cellar.ask("log history", &[("batch", "B1")]).await.text();
    assert!(history.contains(&format!("https://discord.com/channels/@me/{line}/{posted}")), "{history}");
    assert_eq!(words(&story.kept().await), ["picture", "picture", "weight", "picture"]);
}

/// The hosts are tried to the letter in `discord::attached`; here one of them listens.
#[tokio::test]
async fn a_file_that_lies_elsewhere_is_refused_and_never_asked_for() {
    let story = Hanging::new().await;
    let elsewhere = TcpListener::bind("127.0.0.1:0").unwrap();
    elsewhere.set_nonblocking(true).unwrap();
    let here = format!("http://{}/rim.jpg", elsewhere.local_addr().unwrap());
    let base = story.cellar.stand_in.api_url();
    let tricks = [
        here.clone(),
        format!("{base}@{}/rim.jpg", elsewhere.local_addr().unwrap()),
        here.replace("127.0.0.1", "[::ffff:127.0.0.1]"),
        here.replace("127.0.0.1", "localhost"),
        "http://169.254.169.254/latest/rim.jpg".to_owned(),
        "https://cdn.discordapp.com/attachments/1/2/rim.jpg".to_owned(),
    ];
    for (number, url) in tricks.iter().enumerate() {
        let photo = Sent { url: Some(url), ..Sent::photo("rim.jpg") };
        let (_, seen) = story.sends(&format!("#1 {} g", 780 - number), &[photo]).await;
        let said = "Photos are kept only from Discord's own files, so this was left out: rim.jpg.";
        assert!(seen.content.contains(" g") && seen.text().contains(said), "{url}: {}", seen.text());
        let links = format!("see {here} and {base}/attachments/1/2/x.jpg");
        for text in ["", &links] {
            let (_, seen) = story.sends(text, &[photo]).await;
            assert!(seen.content.contains(said), "{url}: {}", seen.content);
        }
    }
    pause(300).await;
    assert!(elsewhere.accept().is_err(), "somebody came for a file");
    assert_eq!(words(&story.kept().await), ["weight"; 6]);
}

/// The platform sends nobody elsewhere; whoever stands in its place could.
#[tokio::test]
async fn nobody_is_followed_elsewhere() {
    let story = Hanging::new().await;
    let elsewhere = TcpListener::bind("127.0.0.1:0").unwrap();
    elsewhere.set_nonblocking(true).unwrap();
    let there = format!("http://{}/rim.jpg", elsewhere.local_addr().unwrap());
    for code in [301, 302, 307, 308] {
        let headers = vec![("location".to_owned(), there.clone())];
        let path = format!("^/channels/{}/messages$", story.thread);
        story.cellar.strike("POST", &path, 1, Action::Status { code, body: json!({}), headers });
        story.cellar.wait(TimeDelta::minutes(1));
        let text = story.to_us("#1 780 g");
        story.cellar.stand_in.post_sent(story.cellar.anna, story.thread, &text, &[Sent::photo("rim.jpg")]);
        pause(400).await;
        assert!(elsewhere.accept().is_err(), "{code} was followed");
    }
    let (_, seen) = story.sends("#1 770 g", &[]).await;
    assert!(seen.content.contains("770 g"), "{}", seen.content);
    assert_eq!(story.kept().await.len(), 9);
}

#[tokio::test]
async fn what_is_no_photo_is_left_out_in_one_sentence() {
    let story = Hanging::new().await;
    let file = |name, content_type| Sent { name, content_type, size: 9_000, url: None };
    for other in [
        file("plan.pdf", "application/pdf"),
        file("weights.csv", "text/csv"),
        file("rim.jpg.exe", "application/x-msdownload"),
        file("rim.jpg", "application/x-msdownload"),
        file("voice-message.ogg", "audio/ogg"),
        file("rim.svg", "image/svg+xml"),
    ] {
        let (_, seen) = story.sends("", &[other]).await;
        let (first, _) = seen.content.split_once('\n').unwrap();
        assert!(
            first.starts_with("Only photos are kept") && first.ends_with(&format!("{}.", other.name)),
            "{first}"
        );
    }
    let large = Sent { size: 26 * 1024 * 1024 + 1, ..Sent::photo("huge.jpg") };
    let (_, seen) =
        story.sends("#1 780 g", &[large, Sent::photo("rim.jpg"), file("plan.pdf", "application/pdf")]).await;
    let text = seen.text();
    for said in ["1 photo kept with it.", "left out: huge.jpg.", "left out: plan.pdf."] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let many: Vec<Sent<'_>> = (0..14).map(|_| Sent::photo("rim.jpg")).collect();
    let (_, seen) = story.sends("", &many).await;
    assert!(seen.content.contains("10 photos kept"), "{}", seen.content);
    assert!(seen.text().contains("at most"), "{}", seen.text());
    assert_eq!(words(&story.kept().await), ["weight", "picture", "picture"]);
}

#[tokio::test]
async fn names_of_files_call_nobody_and_break_nothing() {
    let story = Hanging::new().await;
    let long = "ü".repeat(300);
    let ben = format!("<@{}>.pdf", story.cellar.ben);
    let mut names = vec![
        "@everyone.pdf",
        "@here",
        &ben,
        "\u{202e}gpj.exe",
        "**loud** ||x||.pdf",
        "[x](https://evil.example).pdf",
        "```\n# big.pdf",
        "a\u{0}b\r\nc.pdf",
        &long,
        "../../etc/passwd",
        "con.\u{200b}pdf",
    ];
    // And of the public list of troublesome texts.
    names.extend(BLNS.iter().filter(|text| text.contains(['@', '<', '`', '[', '*', '|'])).step_by(9));
    assert!(names.len() > 25, "{}", names.len());
    for name in &names {
        let photo = format!("{name}.jpg");
        let (_, seen) =
            story.sends("", &[Sent { content_type: "application/pdf", ..Sent::photo(name) }]).await;
        assert!(seen.text().chars().count() < 250, "{name:?}: {}", seen.text());
        let (_, seen) = story.sends("", &[Sent::photo(&photo)]).await;
        assert!(seen.content.starts_with("1 photo kept"), "{name:?}: {}", seen.content);
    }
    story.cellar.ask("log history", &[("batch", "B1")]).await;
    story.cellar.ask("me export", &[]).await;
    let bot = story.cellar.stand_in.bot();
    for message in story.cellar.stand_in.all_messages().iter().filter(|message| message.author == bot) {
        assert!(message.pings.is_empty() && !message.mention_everyone, "{}", message.content);
        let text = Seen::of(message).text();
        assert!(!text.contains('\u{202e}') && !text.contains("\n# "), "{text}");
        assert!(
            !text.contains("://") || text.contains("\\://") || text.contains("https://discord.com/channels/"),
            "{text}"
        );
    }
    let kept = pictures(&story.kept().await);
    assert_eq!(kept.len(), names.len());
    assert!(kept.iter().all(|picture| picture.name.chars().count() <= 100), "{kept:?}");
    assert!(kept.iter().all(|picture| !picture.name.chars().any(char::is_control)), "{kept:?}");
}

#[tokio::test]
async fn an_edit_takes_out_what_is_gone_and_the_history_remembers() {
    let story = Hanging::new().await;
    let (posted, _) = story.sends("#1 780 g", &[Sent::photo("rim.jpg"), Sent::photo("cut.jpg")]).await;
    let edit = |text: &str, left: &[usize]| {
        story.cellar.wait(TimeDelta::minutes(1));
        story.cellar.stand_in.edit_files(posted, &story.to_us(text), left);
    };
    edit("#1 770 g", &[0]);
    let seen = Seen::of(&story.answer(posted, 2).await);
    assert!(seen.content.contains("is now 770 g; it was 780 g"), "{}", seen.content);
    assert!(
        seen.content.contains("1 photo of B1 #1 no longer in your message: taken out (entry 5)"),
        "{}",
        seen.content
    );
    edit("#1 770 g", &[]);
    let seen = Seen::of(&story.answer(posted, 3).await);
    assert!(seen.content.starts_with("1 photo of B1 #1 no longer in your message"), "{}", seen.content);
    story.says_nothing_to(|story| story.edit(posted, "#1 770 g")).await;
    let back = story.cellar.press(story.cellar.anna, &seen, "Undo").answer(SOON).await;
    assert!(back.content.contains("counts again"), "{}", back.content);
    let history = story.cellar.ask("log history", &[("batch", "B1")]).await.text();
    assert!(history.contains("2 photos, https://"), "{history}");
    let entries = story.kept().await;
    assert_eq!(words(&entries), ["weight", "picture", "changed", "changed", "undone", "undone"]);
    assert_eq!(pictures(&effective(&entries)).len(), 1);
}

#[tokio::test]
async fn what_an_edit_adds_is_said_not_to_be_kept() {
    let story = Hanging::new().await;
    let (posted, _) = story.sends("", &[Sent::photo("rim.jpg")]).await;
    let mut more = story.cellar.stand_in.message(posted).unwrap().attachments;
    more[0].id = Id(more[0].id.0 + 1);
    story.cellar.stand_in.attach(posted, more);
    story.edit(posted, "rim");
    let seen = Seen::of(&story.answer(posted, 2).await);
    assert_eq!(seen.content, "Photos added by an edit are not kept: post them in a new message.");
    assert_eq!(words(&story.kept().await), ["picture"]);
}

#[tokio::test]
async fn a_deleted_message_asks_and_says_that_the_photo_is_gone() {
    let story = Hanging::new().await;
    let (posted, answer) = story.sends("", &[Sent::photo("rim.jpg")]).await;
    let (bot, after) = (story.cellar.stand_in.bot(), answer.message.unwrap());
    story.cellar.stand_in.delete(posted);
    let asks =
        |message: &crate::support::stand_in::message::Message| message.author == bot && message.id > after;
    let asked = story.cellar.stand_in.message_in(story.thread, SOON, asks).await;
    let words_of = "The deleted message held entry 4 of B1: keep it, or take it back? Gone from Discord with it: 1 photo.";
    assert!(asked.content.ends_with(words_of), "{}", asked.content);
    story.cellar.press(story.cellar.anna, &Seen::of(&asked), "Take back").answer(SOON).await;
    assert_eq!(words(&story.kept().await), ["picture", "undone"]);
}

#[tokio::test]
async fn the_menu_logs_a_message_with_its_photo_and_once() {
    let story = Hanging::new().await;
    let (cellar, anna, ben) = (&story.cellar, story.cellar.anna, story.cellar.ben);
    cellar.wait(TimeDelta::minutes(1));
    // Ben's photo in Anna's thread is between people until Anna logs it.
    let his = cellar.stand_in.post_sent(ben, story.thread, "", &[Sent::photo("rim.jpg")]);
    pause(400).await;
    assert!(cellar.stand_in.messages(story.thread).iter().all(|message| message.reply_to != Some(his)));
    let logged = cellar.stand_in.menu(anna, his, "Log this reading").answer(SOON).await;
    assert_eq!(logged.content, "1 photo kept with B1 Juniper stick.");
    let again = cellar.stand_in.menu(anna, his, "Log this reading").answer(SOON).await;
    assert!(again.content.contains("kept before") || again.content.contains("already"), "{}", again.content);
    assert_eq!(words(&story.kept().await), ["picture"]);
}

#[tokio::test]
async fn a_photo_that_comes_twice_or_after_an_absence_is_kept_once() {
    let mut story = Hanging::new().await;
    story.sends("", &[Sent::photo("rim.jpg")]).await;
    story.cellar.stand_in.repeat_last(20);
    story.cellar.stop().await;
    story.cellar.wait(TimeDelta::seconds(2));
    let (anna, text) = (story.cellar.anna, story.to_us(""));
    let posted = story.cellar.stand_in.post_sent(anna, story.thread, &text, &[Sent::photo("cut.jpg")]);
    story.cellar.start().await;
    assert_eq!(story.answer(posted, 1).await.content, "1 photo kept with B1 Juniper stick.");
    story.cellar.stand_in.repeat_last(20);
    pause(300).await;
    let kept = story.kept().await;
    assert_eq!(words(&kept), ["picture", "picture"]);
    assert_eq!(pictures(&kept)[1].name, "cut.jpg");
}

#[tokio::test]
async fn who_did_not_share_shows_nobody_their_photos() {
    let story = Hanging::new().await;
    story.sends("", &[Sent::photo("rim.jpg")]).await;
    for line in ["log history", "batch show"] {
        let seen = story.cellar.ask_in(story.cellar.ben, story.cellar.log, line, &[("batch", "B1")]).await;
        assert!(seen.ephemeral && !seen.text().contains("photo"), "{line}: {}", seen.text());
    }
    assert_eq!(words(&story.kept().await), ["picture"]);
}

#[tokio::test]
async fn a_strangers_photo_makes_nobody_a_member() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    let text = format!("<@{}>", cellar.stand_in.bot());
    let posted = cellar.stand_in.post_sent(cellar.ben, cellar.log, &text, &[Sent::photo("rim.jpg")]);
    let answer = cellar.stand_in.reply_after(posted, SOON).await;
    assert!(answer.content.contains("I keep photos with a batch"), "{}", answer.content);
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
    let ben = chat(cellar.ben);
    assert!(cellar.record(async |store| store.member_by_chat(ben)).await.is_none());
}
