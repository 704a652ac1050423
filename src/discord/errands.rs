//! What is done on the platform for nobody in particular: a greeting, and what an erased member leaves in the threads of
//! their batches. What is done, or cannot be done, is let go without a trace.

use super::body::Body;
use super::front::Front;
use super::trouble::{Meaning, Trouble};
use crate::record::{ChatId, Errand, Task};
use crate::reply::{Language, say, spoken_in};
use crate::store::{Change, StoreError};
use chrono::TimeDelta;
use serde_json::json;

/// Looked at in one round.
const ROUND: u32 = 20;
/// Tries before an errand is given up: with the pauses between them about a day.
const TRIES: u32 = 30;
/// The pause after the first try that failed; each later one is twice as long.
const FIRST_PAUSE: TimeDelta = TimeDelta::seconds(30);
/// The longest pause.
const LONGEST_PAUSE: TimeDelta = TimeDelta::hours(1);

impl Front {
    /// Does what may be done now.
    pub(super) async fn run_errands(&self) -> Result<(), StoreError> {
        loop {
            let due = self.store().errands_due(self.clock.now(), ROUND).await?;
            let is_all = due.len() < ROUND as usize;
            for (errand, tries) in due {
                let change = match self.run_errand(&errand).await {
                    Err(trouble) if may_work_later(&trouble) && tries < TRIES => {
                        let pause = FIRST_PAUSE * 2_i32.pow(tries.min(7));
                        let until = self.clock.now() + pause.min(LONGEST_PAUSE);
                        Change { errands_put_off: vec![(errand.nonce, until)], ..Change::default() }
                    }
                    done => {
                        if let Err(trouble) = done {
                            tracing::info!(%trouble, "an errand was let go");
                        }
                        Change { errands_done: vec![errand.nonce], ..Change::default() }
                    }
                };
                self.store().commit(change).await?;
            }
            if is_all {
                return Ok(());
            }
        }
    }

    async fn run_errand(&self, errand: &Errand) -> Result<(), Trouble> {
        match &errand.task {
            Task::Post { place, body } => {
                let Ok(body) = serde_json::from_str::<Body>(body) else { return Ok(()) };
                self.api.post(*place, &body.json(), &errand.nonce).await.map(|_| ())
            }
            Task::Empty { place, card, language } => {
                let language = language.as_deref().and_then(Language::of_tag).unwrap_or_default();
                spoken_in(language, self.empty_thread(*place, *card)).await
            }
        }
    }

    /// Makes the card of an erased batch empty, and gives its thread a neutral name where it was named after the batch: by
    /// the assistant, which only then may. A thread of somebody else's that was woken for it goes to sleep by itself.
    async fn empty_thread(&self, place: ChatId, card: Option<ChatId>) -> Result<(), Trouble> {
        let thread = self.api.channel(place).await?;
        let is_ours = thread["owner_id"] == self.me.to_string();
        if thread["thread_metadata"]["archived"] == true {
            self.api.change_channel(place, &json!({ "archived": false })).await?;
        }
        let emptied = match card {
            Some(card) => {
                let mut body = Body::words(&say("platform.erased.card", &[])).json();
                body["attachments"] = json!([]);
                self.api.edit_message(place, card, &body).await
            }
            None => Ok(()),
        };
        // What can be tried again is, before the thread is put to rest.
        if let Err(trouble) = &emptied
            && may_work_later(trouble)
        {
            return emptied;
        }
        if is_ours {
            let rest = json!({ "name": say("platform.erased.thread", &[]), "archived": true });
            self.api.change_channel(place, &rest).await?;
        }
        emptied
    }
}

fn may_work_later(trouble: &Trouble) -> bool {
    trouble.passes() || matches!(trouble.meaning(), Meaning::WrongToken | Meaning::EditedTooOften)
}
