//! What is still to be done on a chat platform for nobody in particular.

use super::Store;
use super::convert::{count, json, ms, parsed};
use super::engine::Connection;
use super::error::StoreError;
use crate::record::{ChatId, Errand, MemberId, MemberSettings, Task};
use chrono::{DateTime, Utc};

impl Store {
    /// What may be tried now, longest waiting first, each with how often it was tried.
    pub async fn errands_due(
        &self,
        now: DateTime<Utc>,
        limit: u32,
    ) -> Result<Vec<(Errand, u32)>, StoreError> {
        let rows: Vec<(String, String, i64)> = self
            .readers
            .all(
                "select nonce, task, tries from errands where not_before_ms <= $1
                 order by not_before_ms, nonce limit $2",
                [ms(now).into(), i64::from(limit).into()],
            )
            .await?;
        let errand = |(nonce, task, tries): (String, String, i64)| {
            let errand = Errand { nonce, task: parsed("errand", &task)? };
            Ok((errand, count("errand's tries", tries)?))
        };
        rows.into_iter().map(errand).collect()
    }

    /// Whether a batch of a member's has a thread on a chat platform.
    pub async fn has_threads(&self, member: MemberId) -> Result<bool, StoreError> {
        let found: Option<(i64,)> = self
            .readers
            .one(
                "select places.id from places join batches on batches.id = places.batch_id
                 where batches.owner_id = $1 limit 1",
                [member.0.into()],
            )
            .await?;
        Ok(found.is_some())
    }
}

/// Keeps an errand; a second one of the same nonce is left out.
pub(super) async fn keep(connection: &mut Connection, errand: &Errand) -> Result<(), StoreError> {
    connection
        .run(
            "insert into errands (nonce, task, tries, not_before_ms) values ($1, $2, 0, 0)
             on conflict (nonce) do nothing",
            [errand.nonce.as_str().into(), json(&errand.task)?.into()],
        )
        .await?;
    Ok(())
}

/// It is done, or given up.
pub(super) async fn done(connection: &mut Connection, nonce: &str) -> Result<(), StoreError> {
    connection.run("delete from errands where nonce = $1", [nonce.into()]).await?;
    Ok(())
}

/// It failed and is tried again.
pub(super) async fn put_off(
    connection: &mut Connection,
    nonce: &str,
    until: DateTime<Utc>,
) -> Result<(), StoreError> {
    connection
        .run(
            "update errands set tries = tries + 1, not_before_ms = $2 where nonce = $1",
            [nonce.into(), ms(until).into()],
        )
        .await?;
    Ok(())
}

/// Every thread of a member's batches is to be emptied. Called before they are erased, in the same change.
pub(super) async fn empty_threads_of(
    connection: &mut Connection,
    member: MemberId,
) -> Result<(), StoreError> {
    let settings: Vec<(String,)> =
        connection.all("select settings from members where id = $1", [member.0.into()]).await?;
    let language = match settings.first() {
        Some((settings,)) => {
            let settings: MemberSettings = parsed("member's settings", settings)?;
            settings.language.or(settings.heard_language)
        }
        None => None,
    };
    let threads: Vec<(i64, Option<i64>)> = connection
        .all(
            "select places.id, live_cards.message_id from places
             join batches on batches.id = places.batch_id
             left join live_cards on live_cards.batch_id = batches.id and live_cards.place_id = places.id
             where batches.owner_id = $1 order by places.id",
            [member.0.into()],
        )
        .await?;
    for (place, card) in threads {
        let task = Task::Empty { place: ChatId(place), card: card.map(ChatId), language: language.clone() };
        keep(connection, &Errand { nonce: format!("x{place:x}"), task }).await?;
    }
    Ok(())
}
