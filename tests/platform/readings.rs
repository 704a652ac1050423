//! A batch, readings posted in every way there is, and the look afterwards that each was kept once and answered once.

use chrono::TimeDelta;
use tallyhook::record::BatchId;

use crate::assistant::{Cellar, morning, pause};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Options, Reply, SOON};

/// A cellar with a batch, and the places a reading can be posted in.
pub(crate) struct Story {
    pub(crate) cellar: Cellar,
    pub(crate) thread: Id,
    pub(crate) posted: Vec<Id>,
    listens: bool,
}

impl Story {
    pub(crate) async fn new(listens: bool) -> Self {
        Self::with(Options { now: Some(morning()), ..Options::default() }, listens).await
    }

    pub(crate) async fn with(options: Options, listens: bool) -> Self {
        let cellar = Cellar::with(options, listens).await;
        let thread = cellar.batch().await;
        Self { cellar, thread, posted: Vec::new(), listens }
    }

    /// A pH that no earlier one was, as a member types it.
    pub(crate) fn reading(&mut self) -> String {
        self.cellar.wait(TimeDelta::seconds(1));
        format!("ph {:.2} at 21 C", 5.90 - 0.02 * self.posted.len() as f64)
    }

    pub(crate) fn post(&mut self, place: Id, text: &str, reply: Reply) {
        let posted = self.cellar.stand_in.post(self.cellar.anna, place, text, reply);
        self.posted.push(posted);
    }

    pub(crate) fn mention_in(&mut self, place: Id) {
        let reading = self.reading();
        let text = format!("<@{}> {reading}", self.cellar.stand_in.bot());
        self.post(place, &text, Reply::None);
    }

    pub(crate) fn mention(&mut self) {
        self.mention_in(self.thread);
    }

    /// One reading in every way there is.
    pub(crate) fn everywhere(&mut self) {
        self.mention();
        let (thread, log) = (self.thread, self.cellar.log);
        let reading = self.reading();
        let hello = self.cellar.stand_in.messages(thread)[0].id;
        self.post(thread, &reading, Reply::To { message: hello, ping: true });
        let reading = self.reading();
        let line = self.cellar.stand_in.direct_line(self.cellar.anna);
        self.post(line, &reading, Reply::None);
        if self.listens {
            for place in [thread, log] {
                let reading = self.reading();
                self.post(place, &reading, Reply::None);
            }
        } else {
            self.mention_in(log);
        }
    }

    /// Every reading has its answer.
    pub(crate) async fn answered(&self) {
        for posted in &self.posted {
            let place = self.cellar.stand_in.message(*posted).unwrap().channel;
            self.cellar
                .stand_in
                .message_in(place, 2 * SOON, |message| message.reply_to == Some(*posted))
                .await;
        }
    }

    /// Waits for every answer, then looks that there is one of each, and each reading once in the record.
    pub(crate) async fn told_once(mut self) {
        self.answered().await;
        pause(300).await;
        self.cellar.stop().await;
        let all = self.cellar.stand_in.all_messages();
        for posted in &self.posted {
            let answers: Vec<&str> = all
                .iter()
                .filter(|message| message.reply_to == Some(*posted))
                .filter(|message| message.author == self.cellar.stand_in.bot())
                .map(|message| message.content.as_str())
                .collect();
            assert_eq!(answers.len(), 1, "{answers:#?}");
            // Killed after keeping it and before laying the answer out, it only knows that it was kept.
            let known = answers[0].contains("pH") || answers[0].contains("was kept before");
            assert!(known, "{answers:#?}");
        }
        let kept = self.cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
        let mut typed: Vec<String> =
            kept.into_iter().filter(|event| event.what.word() == "ph").map(|event| event.typed).collect();
        assert_eq!(typed.len(), self.posted.len(), "{typed:#?}");
        typed.sort();
        typed.dedup();
        assert_eq!(typed.len(), self.posted.len(), "{typed:#?}");
        assert_conforming(&self.cellar.stand_in.records());
    }
}
