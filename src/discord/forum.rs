//! Forums: a batch's post with its card as the first message, and its stage as the post's tag.

use super::front::Front;
use super::live_card::Composed;
use super::notices::About;
use super::threads::ThreadWanted;
use super::trouble::{Meaning, Trouble};
use crate::record::{BatchStage, CardId, ChatId, LiveCard};
use crate::reply::say;
use crate::store::{Change, StoreError};
use serde_json::{Value, json};

/// What the platform calls a forum, and a forum of pictures.
const FORUMS: [u64; 2] = [15, 16];
/// Tags on one post.
const TAGS: usize = 5;
/// The flag of a forum that takes no post without a tag.
const REQUIRE_TAG: u64 = 1 << 4;
/// Kept in the place of a stage where a thread is in no forum.
const NO_FORUM: &str = "none";

impl Front {
    /// Opens a batch's post. What its buttons stand for is kept before; the rest once it is there.
    pub(super) async fn open_post(
        &self,
        wanted: &ThreadWanted,
        forum: ChatId,
        composed: &Composed,
    ) -> Result<(ChatId, CardId), Trouble> {
        let described = self.api.channel(forum).await?;
        let refused = |code, message: &str| Trouble::Refused { status: 0, code, message: message.to_owned() };
        if !is_forum(&described) {
            return Err(refused(0, "no forum"));
        }
        let stage = composed.state.stage().0;
        let asks = Forum::of(&described);
        let tags = asks.with_stage(&[], stage);
        if tags.is_empty() && asks.requires_tag {
            return Err(refused(
                super::trouble::TAG_REQUIRED,
                "it asks for a tag, and none is named like the stage",
            ));
        }
        let id = self.store().next_card_id();
        let (body, card) = composed.message(id);
        let change = Change { cards: vec![card], ..Change::default() };
        self.store().commit(change).await.map_err(|error| super::notices::store_failed(&error))?;
        let post = self.api.open_post(forum, &wanted.thread, &tags, &body.json()).await?;
        Ok((post, id))
    }

    /// Keeps what became of a card once its post carries the tag of its stage; until then it counts as out of date.
    /// Answers whether it makes sense to go on with other cards.
    pub(super) async fn tagged(
        &self,
        current: LiveCard,
        behind: &LiveCard,
        composed: &Composed,
    ) -> Result<bool, StoreError> {
        let stage = composed.state.stage().0;
        if current.tagged.as_deref().is_some_and(|tagged| tagged == NO_FORUM || tagged == stage.word()) {
            return self.kept(current).await;
        }
        let tagged = match self.tag_post(current.place, stage).await {
            Ok(tagged) => tagged,
            Err(trouble) if trouble.passes() => {
                return self.put_off_unreached(behind).await.map(|_| false);
            }
            Err(trouble) => {
                tracing::warn!(batch = current.batch.0, %trouble, "a post could not be tagged");
                if trouble.meaning() == Meaning::NotPermitted {
                    self.tell_of_tags(&current, composed).await;
                }
                stage.word()
            }
        };
        self.kept(LiveCard { tagged: Some(tagged.to_owned()), ..current }).await
    }

    async fn tell_of_tags(&self, live: &LiveCard, composed: &Composed) {
        let about = About { member: composed.state.plan.owner, batch: Some(live.batch) };
        let holes = [("place", &*live.place.to_string()), ("batch", &live.batch.to_string())];
        let nonce = format!("f{:x}.{:x}", live.place.0, about.member.0);
        self.tell_once(&nonce, &say("platform.live.tags_refused", &holes), about).await;
    }

    /// Gives a post the tag of a stage, where its forum has one of that name. Gives what is to be remembered.
    async fn tag_post(&self, post: ChatId, stage: BatchStage) -> Result<&'static str, Trouble> {
        let thread = self.api.channel(post).await?;
        let Some(parent) = thread["parent_id"].as_str().and_then(|id| id.parse().ok()).map(ChatId) else {
            return Ok(NO_FORUM);
        };
        let parent = self.api.channel(parent).await?;
        if !is_forum(&parent) {
            return Ok(NO_FORUM);
        }
        let applied = texts(&thread["applied_tags"]);
        let wanted = Forum::of(&parent).with_stage(&applied, stage);
        if wanted != applied {
            let mut change = json!({ "applied_tags": wanted });
            if thread["thread_metadata"]["archived"] == true {
                change["archived"] = json!(false);
            }
            self.api.change_channel(post, &change).await?;
        }
        Ok(stage.word())
    }

    /// The forum that a batch's group has its posts in, where the command was used in that very group.
    pub(super) fn forum_of(&self, group: crate::record::GroupId, used_in: ChatId) -> Option<ChatId> {
        let group = self.store().group(group)?;
        group.settings.forum.filter(|_| group.chat == Some(used_in))
    }

    /// Remembers a post that was opened: its first message has its own number.
    pub(super) async fn take_post(
        &self,
        (post, card): (ChatId, Option<CardId>),
        composed: &Composed,
    ) -> Result<(), StoreError> {
        let batch = composed.state.id;
        let place = super::threads::own_place(post, &composed.state, post);
        let live = LiveCard {
            batch,
            place: post,
            message: Some(post),
            card,
            // What one shows that was found again is not known: the first look edits it.
            shown: card.map_or_else(String::new, |_| composed.shown.clone()),
            changes: 0,
            shown_changes: 0,
            not_before: self.clock.now(),
            ages: composed.ages(),
            failures: 0,
            posts: 1,
            tagged: None,
        };
        let change = Change {
            places: vec![place],
            live_cards: vec![live],
            posted: vec![(post, batch)],
            ..Change::default()
        };
        self.store().commit(change).await?;
        self.cursors().begin_place(post);
        self.look_at_cards();
        Ok(())
    }
}

fn is_forum(channel: &Value) -> bool {
    channel["type"].as_u64().is_some_and(|kind| FORUMS.contains(&kind))
}

fn texts(list: &Value) -> Vec<String> {
    list.as_array().into_iter().flatten().filter_map(|text| text.as_str().map(str::to_owned)).collect()
}

/// What a forum asks of its posts.
struct Forum {
    /// Tags with their numbers.
    tags: Vec<(String, Option<BatchStage>)>,
    requires_tag: bool,
}

impl Forum {
    fn of(channel: &Value) -> Self {
        let tag = |tag: &Value| {
            let name = tag["name"].as_str().unwrap_or_default().trim().to_lowercase();
            Some((tag["id"].as_str()?.to_owned(), BatchStage::parse(&name)))
        };
        let tags = channel["available_tags"].as_array().into_iter().flatten().filter_map(tag).collect();
        let requires_tag = channel["flags"].as_u64().is_some_and(|flags| flags & REQUIRE_TAG != 0);
        Self { tags, requires_tag }
    }

    /// The tags of a post once it stands at a stage. A tag with the name of another stage goes, everybody else's stay.
    /// Where that leaves none and the forum asks for one, or there is no room, they stay as they are.
    fn with_stage(&self, applied: &[String], stage: BatchStage) -> Vec<String> {
        let stage_of =
            |id: &String| self.tags.iter().find(|(tag, _)| tag == id).and_then(|(_, stage)| *stage);
        let mut tags: Vec<String> =
            applied.iter().filter(|id| stage_of(id).is_none_or(|other| other == stage)).cloned().collect();
        let own = self.tags.iter().find(|(_, of)| *of == Some(stage)).map(|(id, _)| id);
        if let Some(own) = own.filter(|own| !tags.contains(own) && tags.len() < TAGS) {
            tags.push(own.clone());
        }
        if tags.is_empty() && self.requires_tag { applied.to_vec() } else { tags }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn forum(flags: u64) -> Forum {
        Forum::of(&json!({
            "flags": flags,
            "available_tags": [
                { "id": "1", "name": "Fermenting" }, { "id": "2", "name": " drying" }, { "id": "3", "name": "pork" },
                { "id": "4", "name": "venison" }, { "id": "5", "name": "mild" }, { "id": "6", "name": "hot" },
                { "id": "7", "name": "smoked" },
            ],
        }))
    }

    fn tags(names: &[&str]) -> Vec<String> {
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    #[test]
    fn a_stage_takes_the_place_of_another_and_of_nothing_else() {
        let open = forum(0);
        assert_eq!(open.with_stage(&[], BatchStage::Fermenting), tags(&["1"]));
        assert_eq!(open.with_stage(&tags(&["3", "1"]), BatchStage::Drying), tags(&["3", "2"]));
        assert_eq!(open.with_stage(&tags(&["3", "2"]), BatchStage::Drying), tags(&["3", "2"]));
        assert_eq!(open.with_stage(&tags(&["2", "3"]), BatchStage::Finished), tags(&["3"]), "no such tag");
        assert_eq!(open.with_stage(&tags(&["2"]), BatchStage::Finished), tags(&[]));
    }

    #[test]
    fn five_tags_of_others_leave_no_room_and_a_tag_that_is_asked_for_stays() {
        let full = tags(&["3", "4", "5", "6", "7"]);
        assert_eq!(forum(0).with_stage(&full, BatchStage::Drying), full);
        assert_eq!(forum(REQUIRE_TAG).with_stage(&tags(&["2"]), BatchStage::Finished), tags(&["2"]));
        assert_eq!(forum(REQUIRE_TAG).with_stage(&tags(&["2"]), BatchStage::Fermenting), tags(&["1"]));
    }
}
