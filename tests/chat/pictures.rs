//! Photos at the desk, as any front end hands them over: who sees them, what they are kept with, in both languages.

use chrono::{DateTime, Utc};
use tallyhook::desk::{Answered, Desk, Files, Incoming, Refusal, Refused, Said};
use tallyhook::record::{BatchId, ChatId, Happening, Picture, PictureKind, Subject};
use tallyhook::store::Store;

fn at() -> DateTime<Utc> {
    "2026-11-02T08:00:00Z".parse().unwrap()
}

fn photo(attachment: i64) -> Picture {
    Picture {
        group: Some(ChatId(3)),
        place: ChatId(7),
        message: ChatId(24),
        attachment: ChatId(attachment),
        name: "rim of ben.jpg".to_owned(),
        bytes: 2_400_000,
        kind: PictureKind::Jpeg,
    }
}

fn photos(count: i64) -> Files {
    Files { pictures: (1..=count).map(photo).collect(), refused: Vec::new() }
}

struct Talk(Desk);

impl Talk {
    async fn new() -> Self {
        let talk = Self(Desk::new(Store::open_temporary().await.unwrap()));
        talk.say("mara", "batch start name:Juniper stick kind:fermented-sausage meat:2 kg pork loss:38%")
            .await;
        talk.say("mara", "batch piece batch:B1 weights:812 798 g").await;
        talk
    }

    async fn answer(&self, who: &str, text: &str, files: Files) -> Answered {
        let said = Said::of(text.to_owned(), files);
        self.0.answer(&Incoming { said, confirmed: true, ..Incoming::line("home", who, "", at()) }).await
    }

    async fn say(&self, who: &str, text: &str) -> String {
        self.send(who, text, Files::default()).await
    }

    async fn send(&self, who: &str, text: &str, files: Files) -> String {
        self.answer(who, text, files).await.text()
    }

    async fn pictured(&self) -> Vec<(Subject, usize)> {
        let events = self.0.store().events_of_batch(BatchId(1)).await.unwrap();
        let of = |event: &tallyhook::record::Event| match &event.what {
            Happening::Pictured { pictures } => Some((event.subject, pictures.len())),
            _ => None,
        };
        events.iter().filter_map(of).collect()
    }
}

#[tokio::test]
async fn photos_go_with_whatever_a_line_writes_down() {
    let talk = Talk::new().await;
    let batch = Subject::Batch(BatchId(1));
    let piece = Subject::Piece(BatchId(1), tallyhook::record::PieceNumber(2));
    for (text, subject) in [
        ("B1 #2 790 g", piece),
        ("B1 #1 800 g, #2 785 g", batch),
        ("B1 pH 5.4 at 21 C, 13 C 80%", batch),
        ("batch note batch:B1 text:cold smoked for 4 h", batch),
        ("batch stage batch:B1 to:drying", batch),
        ("B1", batch),
    ] {
        let answer = talk.send("mara", text, photos(1)).await;
        assert!(answer.contains("1 photo kept with"), "{text}: {answer}");
        assert_eq!(talk.pictured().await.last(), Some(&(subject, 1)), "{text}");
    }
    // What writes nothing of a batch keeps no photo, and says so.
    let before = talk.pictured().await.len();
    for text in ["batch list", "cure mix meat:2 kg nitrite:6.25%", "log undo id:3"] {
        let answer = talk.send("mara", text, photos(1)).await;
        assert!(answer.contains("No photo was kept"), "{text}: {answer}");
    }
    for text in ["B1 pH 51", "B7", "batch show batch:B7"] {
        let answer = talk.send("mara", text, photos(1)).await;
        assert!(answer.contains("No photo was kept either."), "{text}: {answer}");
    }
    assert_eq!(talk.pictured().await.len(), before);
    // The air of a chamber keeps its photo too, and the batch's history shows it.
    talk.send("mara", "14 C 82%", photos(2)).await;
    let history = talk.say("mara", "log history batch:B1").await;
    assert!(history.contains("chamber home: 2 photos, https://discord.com/channels/3/7/24"), "{history}");
    assert_eq!(history.matches("https://").count(), before + 1, "{history}");
}

#[tokio::test]
async fn a_helper_sees_and_adds_photos_and_nobody_else_does() {
    let talk = Talk::new().await;
    talk.send("mara", "B1", photos(1)).await;
    for line in ["me set country:DE", "batch list"] {
        talk.say("ben", line).await;
    }
    let history = talk.say("ben", "log history batch:B1").await;
    let card = talk.say("ben", "batch show batch:B1").await;
    let sent = talk.send("ben", "B1", photos(1)).await;
    assert!(![history, card].iter().any(|text| text.contains("photo")));
    assert!(sent.contains("No photo was kept either."), "{sent}");
    assert_eq!(talk.pictured().await.len(), 1);
    talk.say("mara", "batch helper batch:B1 member:ben").await;
    talk.say("ben", "batch helper accept:yes").await;
    assert!(talk.send("ben", "B1", photos(1)).await.contains("1 photo kept with B1"));
    let history = talk.say("mara", "log history batch:B1").await;
    assert!(history.contains("1 photo, https://discord.com/channels/3/7/24, by ben"), "{history}");
    assert!(talk.say("ben", "batch show batch:B1").await.contains("2 photos, see the history."));
    // Taken along, a photo is there with its size; what another called it is not.
    let Answered::Reply(export) = talk.answer("mara", "me export", Files::default()).await else {
        panic!("no export")
    };
    let record = String::from_utf8(export.files[0].bytes.clone()).unwrap();
    assert_eq!(record.matches("rim of ben.jpg").count(), 1, "her own");
    assert_eq!(record.matches("2400000").count(), 2);
    assert!(export.files.iter().all(|file| !file.bytes.is_empty()));
    // Shown on the board, a record has no photos in it.
    talk.say("mara", "batch finish batch:B1").await;
    talk.say("mara", "group board share:B1").await;
    talk.say("cleo", "me set country:DE").await;
    for line in ["group board", "group board show:B1", "batch repeat batch:B1", "log history batch:B1"] {
        assert!(!talk.say("cleo", line).await.contains("photo"), "{line}");
    }
}

#[tokio::test]
async fn a_photo_alone_needs_a_batch_that_had_begun() {
    let talk = Talk::new().await;
    let said = Said::of(String::new(), photos(1));
    let early = at() - chrono::TimeDelta::days(2);
    let answered = talk.0.answer(&Incoming { said, ..Incoming::line("home", "mara", "", early) }).await;
    assert!(matches!(&answered, Answered::Error(error) if error.code == "time_unclear"), "{answered:?}");
    let nothing = talk.send("zoe", "", photos(1)).await;
    assert!(nothing.contains("no open batch") && nothing.contains("No photo was kept either"), "{nothing}");
    assert!(talk.pictured().await.is_empty());
}

#[tokio::test]
async fn what_is_left_out_is_said_in_the_members_language() {
    let talk = Talk::new().await;
    talk.say("mara", "me set language:de").await;
    let refused = |name: &str, why| Refused { name: name.to_owned(), why };
    let files = Files {
        refused: vec![
            refused("plan.pdf", Refusal::NoPicture),
            refused("a.csv", Refusal::NoPicture),
            refused("far.jpg", Refusal::Elsewhere),
            refused("huge.jpg", Refusal::TooLarge),
        ],
        ..photos(2)
    };
    let answer = talk.send("mara", "B1", files).await;
    for said in ["2 Fotos bei B1 Juniper stick vermerkt.", "plan.pdf, a.csv.", "far.jpg.", "huge.jpg."] {
        assert!(answer.contains(said), "{said}: {answer}");
    }
    assert!(
        talk.say("mara", "log history batch:B1")
            .await
            .contains("2 Fotos, https://discord.com/channels/3/7/24")
    );
}
