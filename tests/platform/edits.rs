//! Messages that were kept and are edited: their entries are put right once, asked about like new ones, and nothing else
//! that the platform tells of a message stores anything.

use chrono::TimeDelta;
use serde_json::json;
use tallyhook::quantity::Mass;
use tallyhook::record::{BatchId, Event, Happening};

use crate::assistant::{Cellar, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::message::Message;
use crate::support::stand_in::{Id, Reply, SOON, Seen};

/// A batch with two pieces that hang, and its thread.
pub(crate) struct Hanging {
    pub(crate) cellar: Cellar,
    pub(crate) thread: Id,
}

impl Hanging {
    pub(crate) async fn new() -> Self {
        let cellar = Cellar::new().await;
        let thread = cellar.batch().await;
        let hanging = Self { cellar, thread };
        hanging.keep("hung 812 798 g").await;
        hanging
    }

    pub(crate) fn to_us(&self, text: &str) -> String {
        format!("<@{}> {text}", self.cellar.stand_in.bot())
    }

    /// A message in the thread, a minute after the last.
    pub(crate) fn post(&self, text: &str) -> Id {
        self.cellar.wait(TimeDelta::minutes(1));
        self.cellar.stand_in.post(self.cellar.anna, self.thread, &self.to_us(text), Reply::None)
    }

    /// A message with its answer.
    pub(crate) async fn keep(&self, text: &str) -> Id {
        let posted = self.post(text);
        self.answer(posted, 1).await;
        posted
    }

    /// The answer to a message that came as this one of its answers.
    pub(crate) async fn answer(&self, to: Id, number: usize) -> Message {
        let place = self.cellar.stand_in.message(to).unwrap().channel;
        let nth = |message: &Message| {
            message.reply_to == Some(to)
                && self.answers(place, to).iter().position(|id| *id == message.id) == Some(number - 1)
        };
        // The world is looked at between changes, not while one is made.
        for _ in 0..100 {
            if let Some(found) = self.cellar.stand_in.messages(place).into_iter().find(|message| nth(message))
            {
                return found;
            }
            pause(50).await;
        }
        panic!("no answer {number}; there were: {:#?}", self.cellar.said_in(place));
    }

    fn answers(&self, place: Id, to: Id) -> Vec<Id> {
        let messages = self.cellar.stand_in.messages(place).into_iter();
        messages.filter(|message| message.reply_to == Some(to)).map(|message| message.id).collect()
    }

    /// Edits a message, a minute later.
    pub(crate) fn edit(&self, message: Id, text: &str) {
        self.cellar.wait(TimeDelta::minutes(1));
        self.cellar.stand_in.edit(message, &self.to_us(text));
    }

    /// An edit with the answer to it.
    pub(crate) async fn edited(&self, message: Id, text: &str, answer: usize) -> Seen {
        self.edit(message, text);
        Seen::of(&self.answer(message, answer).await)
    }

    /// The assistant says nothing to what happens, and keeps nothing of it. The card above is another matter: it goes on.
    pub(crate) async fn says_nothing_to(&self, happens: impl FnOnce(&Self)) {
        let below_the_card = || self.cellar.said_in(self.thread).split_off(1);
        let before = below_the_card();
        happens(self);
        pause(500).await;
        assert_eq!(below_the_card(), before);
    }

    /// The batch's entries at the end; every request was as the platform describes it.
    pub(crate) async fn entries(mut self) -> Vec<Event> {
        assert_conforming(&self.cellar.stand_in.records());
        self.cellar.stop().await;
        self.cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await
    }
}

fn words(entries: &[Event]) -> Vec<&'static str> {
    let mut entries: Vec<&Event> = entries.iter().collect();
    entries.sort_by_key(|event| event.id);
    entries.iter().map(|event| event.what.word()).collect()
}

#[tokio::test]
async fn an_edit_puts_right_what_was_kept_and_says_what_changed() {
    let story = Hanging::new().await;
    let posted = story.keep("#1 780 g, #2 770 g, pH 5.40 at 21 C").await;
    let seen = story.edited(posted, "#1 708 g, #2 770 g, pH 5.30 at 21 C", 2).await;
    assert!(seen.content.contains("is now 708 g; it was 780 g"), "{}", seen.content);
    assert!(seen.content.contains("is now pH 5.3"), "{}", seen.content);
    assert!(!seen.content.contains("770"), "what is as it was is not spoken of: {}", seen.content);
    let again = story.edited(posted, "#1 780 g, #2 770 g, pH 5.30 at 21 C", 3).await;
    assert!(again.content.contains("is now 780 g; it was 708 g"), "{}", again.content);
    let back = story.cellar.press(story.cellar.anna, &again, "Undo").answer(SOON).await;
    assert!(back.content.contains("as it was before"), "{}", back.content);
    let entries = story.entries().await;
    let kept = ["batch_started", "pieces_hung", "stage", "weight", "weight", "ph"];
    assert_eq!(words(&entries), [&kept[..], &["changed", "changed", "changed", "undone"]].concat());
    let first = entries.iter().find(|event| event.what.word() == "weight").unwrap();
    assert!(
        matches!(first.what, Happening::Weighed { gross } if gross == Mass::grams(780.0)),
        "it stays in the history"
    );
}

#[tokio::test]
async fn what_is_hard_to_believe_is_asked_about_and_kept_with_a_yes() {
    let story = Hanging::new().await;
    let posted = story.keep("#1 780 g").await;
    let asked = story.edited(posted, "#1 78 g", 2).await;
    let labels: Vec<&str> = asked.buttons.iter().map(|button| button.label.as_str()).collect();
    assert_eq!(labels, ["Yes"], "it is mended by editing it once more: {}", asked.content);
    let yes = story.cellar.press(story.cellar.anna, &asked, "Yes").answer(SOON).await;
    assert!(yes.content.contains("is now 78 g; it was 780 g"), "{}", yes.content);
    let twice = story.cellar.press(story.cellar.anna, &asked, "Yes").answer(SOON).await;
    assert!(twice.content.contains("nothing was changed"), "{}", twice.content);
    assert_eq!(words(&story.entries().await)[3..], ["weight", "changed"]);
}

/// A reading that was kept with a yes is the message's own.
#[tokio::test]
async fn what_was_kept_with_a_yes_is_put_right_by_an_edit() {
    let story = Hanging::new().await;
    let posted = story.post("#1 78 g");
    let asked = Seen::of(&story.answer(posted, 1).await);
    story.cellar.press(story.cellar.anna, &asked, "Save as it is").answer(SOON).await;
    let seen = story.edited(posted, "#1 780 g", 2).await;
    assert!(seen.content.contains("is now 780 g; it was 78 g"), "{}", seen.content);
    assert_eq!(words(&story.entries().await)[3..], ["weight", "changed"]);
}

#[tokio::test]
async fn what_is_no_news_stores_nothing_and_says_nothing() {
    let story = Hanging::new().await;
    let posted = story.keep("#1 780 g").await;
    // Where it does not listen, what people say to each other is theirs.
    let chat = story.cellar.stand_in.post(story.cellar.anna, story.cellar.log, "smells fine", Reply::None);
    let embed = json!({ "title": "a page", "url": "https://example.org/", "type": "link" });
    story.says_nothing_to(|story| story.edit(posted, "#1 780 g")).await;
    story.says_nothing_to(|story| story.cellar.stand_in.resolve_link(posted, &embed)).await;
    let said = story.cellar.said_in(story.cellar.log);
    story.says_nothing_to(|story| story.edit(chat, "#1 700 g")).await;
    assert_eq!(story.cellar.said_in(story.cellar.log), said);
    // An edit counts, and the link that is resolved after it does not count as another.
    story.edited(posted, "#1 770 g", 2).await;
    story.says_nothing_to(|story| story.cellar.stand_in.resolve_link(posted, &embed)).await;
    assert_eq!(words(&story.entries().await)[3..], ["weight", "changed"]);
}

#[tokio::test]
async fn an_edit_that_arrives_twice_counts_once_and_a_late_one_not_at_all() {
    let story = Hanging::new().await;
    let posted = story.keep("#1 780 g").await;
    story.edited(posted, "#1 770 g", 2).await;
    story.cellar.stand_in.repeat_on_resume(3);
    story.says_nothing_to(|story| story.cellar.stand_in.reconnect()).await;
    story.cellar.stand_in.hold();
    story.edit(posted, "#1 760 g");
    story.edit(posted, "#1 750 g");
    story.cellar.stand_in.release(true);
    let seen = Seen::of(&story.answer(posted, 3).await);
    assert!(seen.content.contains("is now 750 g; it was 770 g"), "{}", seen.content);
    pause(500).await;
    let entries = story.entries().await;
    assert_eq!(words(&entries)[3..], ["weight", "changed", "changed"]);
}

/// What is replayed after a broken connection comes at once, and nobody weighs backwards.
#[tokio::test]
async fn what_comes_at_once_is_kept_in_its_order() {
    let story = Hanging::new().await;
    let weights: Vec<Mass> = (0..16).map(|number| Mass::grams(800.0 - f64::from(number))).collect();
    let mut last = None;
    story.cellar.stand_in.offline(true, |_| {
        for weight in &weights {
            last = Some(story.post(&format!("#1 {} g", weight.as_grams())));
        }
    });
    story.answer(last.unwrap(), 1).await;
    pause(500).await;
    let mut entries = story.entries().await;
    entries.sort_by_key(|event| event.id);
    let kept: Vec<Mass> = entries
        .iter()
        .filter_map(|event| match event.what {
            Happening::Weighed { gross } => Some(gross),
            _ => None,
        })
        .collect();
    assert_eq!(kept, weights);
}

#[tokio::test]
async fn what_cannot_be_put_right_by_an_edit_gets_a_sentence_and_stores_nothing() {
    let story = Hanging::new().await;
    let posted = story.keep("#1 780 g").await;
    for (number, (text, said)) in [
        ("never mind", "no reading in the edited message"),
        ("batch list", "no reading in the edited message"),
        ("#1 780 g, pH 5.4 at 21 C", "has other readings than before"),
        ("pH 5.4 at 21 C", "has other readings than before"),
        ("#9 780 g", "Not kept"),
    ]
    .into_iter()
    .enumerate()
    {
        let seen = story.edited(posted, text, number + 2).await;
        assert!(seen.content.contains(said), "{text}: {}", seen.content);
    }
    let asked = story.keep("pH 51").await;
    let seen = story.edited(asked, "pH 5.1 at 21 C", 2).await;
    assert!(seen.content.contains("Nothing was kept of that message"), "{}", seen.content);
    let note = story.keep("batch stage to:fermenting").await;
    let seen = story.edited(note, "pH 5.1 at 21 C", 2).await;
    assert!(seen.content.contains("undo it and say the other thing anew"), "{}", seen.content);
    // Without its mention the words of an edit do not arrive.
    story.cellar.wait(TimeDelta::minutes(1));
    story.cellar.stand_in.edit(posted, "#1 770 g");
    let seen = Seen::of(&story.answer(posted, 7).await);
    assert!(seen.content.contains("cannot read that edit"), "{}", seen.content);
    assert_eq!(words(&story.entries().await)[3..], ["weight", "stage"]);
}

#[tokio::test]
async fn an_edit_is_found_directly_by_the_menu_and_after_an_absence() {
    let mut story = Hanging::new().await;
    let (anna, ben) = (story.cellar.anna, story.cellar.ben);
    story.cellar.wait(TimeDelta::minutes(1));
    let direct = story.cellar.stand_in.direct(anna, "B1 #1 780 g");
    story.answer(direct, 1).await;
    story.cellar.wait(TimeDelta::minutes(1));
    story.cellar.stand_in.edit(direct, "B1 #1 770 g");
    let seen = Seen::of(&story.answer(direct, 2).await);
    assert!(seen.content.contains("is now 770 g; it was 780 g"), "{}", seen.content);
    // Anna logs what Ben wrote: his edit is not hers.
    let his = story.cellar.stand_in.post(ben, story.thread, "pH 5.40 at 21 C", Reply::None);
    let logged = story.cellar.stand_in.menu(anna, his, "Log this reading").answer(SOON).await;
    assert!(logged.text().contains("pH 5.4"), "{}", logged.text());
    story.says_nothing_to(|story| story.edit(his, "pH 5.30 at 21 C")).await;
    // The gateway brings what happened meanwhile; else the last messages are read again.
    let posted = story.keep("#2 780 g").await;
    story.cellar.stop().await;
    story.cellar.wait(TimeDelta::seconds(2));
    story.cellar.stand_in.edit(posted, &story.to_us("#2 770 g"));
    story.cellar.start().await;
    let seen = Seen::of(&story.answer(posted, 2).await);
    assert!(seen.content.contains("is now 770 g; it was 780 g"), "{}", seen.content);
    assert_eq!(words(&story.entries().await)[3..], ["weight", "changed", "ph", "weight", "changed"]);
}
