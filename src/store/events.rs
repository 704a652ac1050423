//! The record itself: entries are added and read, never altered.

use super::Store;
use super::convert::{count, each, instant, json, ms, parsed};
use super::engine::{Connection, Value};
use super::error::StoreError;
use crate::record::correction::{corrected, effective};
use crate::record::{BatchId, ChamberId, Event, EventId, Happening, MemberId, MeterId, PieceNumber, Subject};
use chrono::{DateTime, Utc};
use sqlx::FromRow;

#[derive(FromRow)]
struct EventRow {
    id: i64,
    batch_id: Option<i64>,
    piece: Option<i64>,
    chamber_id: Option<i64>,
    meter_id: Option<i64>,
    is_sample: i64,
    at_ms: i64,
    recorded_ms: i64,
    author_id: Option<i64>,
    zone: String,
    payload: String,
    typed: String,
}

impl EventRow {
    fn of(event: &Event) -> Result<Self, StoreError> {
        let piece = match event.subject {
            Subject::Piece(_, number) => Some(i64::from(number.0)),
            _ => None,
        };
        Ok(Self {
            id: event.id.0,
            batch_id: event.subject.batch().map(|batch| batch.0),
            piece,
            chamber_id: event.subject.chamber().map(|chamber| chamber.0),
            meter_id: event.subject.meter().map(|meter| meter.0),
            is_sample: i64::from(matches!(event.subject, Subject::Sample(_))),
            at_ms: ms(event.at),
            recorded_ms: ms(event.recorded_at),
            author_id: event.author.map(|author| author.0),
            zone: event.zone.clone(),
            payload: json(&event.what)?,
            typed: event.typed.clone(),
        })
    }

    fn subject(&self) -> Result<Subject, StoreError> {
        let owner = (self.batch_id, self.chamber_id, self.meter_id);
        Ok(match (owner, self.piece, self.is_sample) {
            ((Some(batch), None, None), None, 0) => Subject::Batch(BatchId(batch)),
            ((Some(batch), None, None), Some(piece), 0) => {
                Subject::Piece(BatchId(batch), PieceNumber(count("piece", piece)?))
            }
            ((Some(batch), None, None), None, _) => Subject::Sample(BatchId(batch)),
            ((None, Some(chamber), None), None, 0) => Subject::Chamber(ChamberId(chamber)),
            ((None, None, Some(meter)), None, 0) => Subject::Meter(MeterId(meter)),
            _ => return Err(StoreError::unreadable("subject", &self.id)),
        })
    }
}

impl TryFrom<EventRow> for Event {
    type Error = StoreError;

    fn try_from(row: EventRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: EventId(row.id),
            subject: row.subject()?,
            at: instant(row.at_ms)?,
            recorded_at: instant(row.recorded_ms)?,
            author: row.author_id.map(MemberId),
            what: parsed("entry", &row.payload)?,
            zone: row.zone,
            typed: row.typed,
        })
    }
}

macro_rules! events {
    ($rest:literal) => {
        concat!(
            "select e.id, e.batch_id, e.piece, e.chamber_id, e.meter_id, e.is_sample, e.at_ms, e.recorded_ms, ",
            "e.author_id, e.zone, e.payload, e.typed from events e ",
            $rest
        )
    };
}

impl Store {
    /// One entry.
    pub async fn event(&self, id: EventId) -> Result<Option<Event>, StoreError> {
        let row: Option<EventRow> = self.readers.one(events!("where e.id = $1"), [id.0.into()]).await?;
        row.map(Event::try_from).transpose()
    }

    /// Every entry of a batch, corrections among them, by time and number.
    pub async fn events_of_batch(&self, batch: BatchId) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.batch_id = $1 order by e.at_ms, e.id"), [batch.0.into()]).await
    }

    /// The photos of a batch with every correction of the batch, by time and number.
    pub async fn pictures_of_batch(&self, batch: BatchId) -> Result<Vec<Event>, StoreError> {
        let statement = events!(
            "where e.batch_id = $1 and (e.kind = 'picture' or e.corrects is not null) order by e.at_ms, e.id"
        );
        self.events(statement, [batch.0.into()]).await
    }

    /// Every entry of a chamber, corrections among them, by time and number.
    pub async fn events_of_chamber(&self, chamber: ChamberId) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.chamber_id = $1 order by e.at_ms, e.id"), [chamber.0.into()]).await
    }

    /// Every entry of a meter, corrections among them, by time and number.
    pub async fn events_of_meter(&self, meter: MeterId) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.meter_id = $1 order by e.at_ms, e.id"), [meter.0.into()]).await
    }

    /// What counts of a chamber's entries between two moments, both included: corrections are applied and gone.
    /// In front stand the last temperature reading, the last temperature setting and the last check of the hygrometer
    /// before `from`, because a setting and a check hold until the next one.
    pub async fn chamber_events(
        &self,
        chamber: ChamberId,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
    ) -> Result<Vec<Event>, StoreError> {
        // Whatever was ever corrected may have moved into the window or out of it, so all of it is read; of the
        // rest only the window and the three entries that are in force when it begins.
        let known = self
            .events(
                events!(
                    "where e.id in (
                         select id from events where chamber_id = $1 and at_ms between $2 and $3
                         union all
                         select id from events where chamber_id = $1 and corrects is not null
                         union all
                         select corrects from events where chamber_id = $1 and corrects is not null
                         union all
                         select * from (
                             select p.id from events p
                             where p.chamber_id = $1 and p.kind = 'room_setting' and p.at_ms < $2
                                 and p.tells_temperature = 1
                                 and not exists (select 1 from events c where c.corrects = p.id)
                             order by p.at_ms desc, p.id desc limit 1) as setting
                         union all
                         select * from (
                             select p.id from events p
                             where p.chamber_id = $1 and p.kind = 'room_reading' and p.at_ms < $2
                                 and p.tells_temperature = 1
                                 and not exists (select 1 from events c where c.corrects = p.id)
                             order by p.at_ms desc, p.id desc limit 1) as reading
                         union all
                         select * from (
                             select p.id from events p
                             where p.chamber_id = $1 and p.kind = 'hygrometer_check' and p.at_ms < $2
                                 and not exists (select 1 from events c where c.corrects = p.id)
                             order by p.at_ms desc, p.id desc limit 1) as hygrometer)"
                ),
                [chamber.0.into(), ms(from).into(), ms(to).into()],
            )
            .await?;
        let logged = self.logged_readings(chamber, from, to).await?;
        Ok(in_force(effective(&[known, logged].concat()), from, to))
    }

    /// The entries of a chamber that each brought a logger's file.
    pub async fn entries_of_files(&self, chamber: ChamberId) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.chamber_id = $1 and e.kind = 'air_logged'"), [chamber.0.into()]).await
    }

    /// The newest entry of a chamber by number, to tell whether another was added since.
    pub async fn newest_in_chamber(&self, chamber: ChamberId) -> Result<Option<EventId>, StoreError> {
        let row: Option<(Option<i64>,)> =
            self.readers.one("select max(id) from events where chamber_id = $1", [chamber.0.into()]).await?;
        Ok(row.and_then(|(id,)| id).map(EventId))
    }

    /// Everything a member wrote, by time and number.
    pub async fn events_by_author(&self, author: MemberId) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.author_id = $1 order by e.at_ms, e.id"), [author.0.into()]).await
    }

    /// The entries that came with one request, e.g. to correct them when its message is edited.
    pub async fn events_of_request(&self, request: &str) -> Result<Vec<Event>, StoreError> {
        self.events(events!("where e.request = $1 order by e.id"), [request.into()]).await
    }

    async fn events(
        &self,
        statement: &'static str,
        values: impl IntoIterator<Item = Value>,
    ) -> Result<Vec<Event>, StoreError> {
        let rows: Vec<EventRow> = self.readers.all(statement, values).await?;
        each(rows)
    }
}

/// Keeps what lies in the window and, of what was before, the last reading, the last setting and the last check.
fn in_force(mut counting: Vec<Event>, from: DateTime<Utc>, to: DateTime<Utc>) -> Vec<Event> {
    let last_before = |counts: fn(&Happening) -> bool| {
        counting.iter().rev().find(|event| event.at < from && counts(&event.what)).map(|event| event.id)
    };
    let reading = last_before(|what| matches!(what, Happening::RoomRead { temperature: Some(_), .. }));
    let setting = last_before(|what| matches!(what, Happening::RoomSet { temperature: Some(_), .. }));
    let check = last_before(|what| matches!(what, Happening::HygrometerChecked { .. }));
    let held = [reading, setting, check];
    counting.retain(|event| (from <= event.at && event.at <= to) || held.contains(&Some(event.id)));
    counting
}

const fn tells_temperature(what: &Happening) -> bool {
    matches!(
        what,
        Happening::RoomRead { temperature: Some(_), .. } | Happening::RoomSet { temperature: Some(_), .. }
    )
}

/// Adds one entry. Refused when it would not read back exactly as it is: a time finer than a millisecond, or a
/// number that is not one.
pub(super) async fn keep(
    connection: &mut Connection,
    event: &Event,
    request: Option<&str>,
) -> Result<(), StoreError> {
    let row = EventRow::of(event)?;
    let values = [
        row.id.into(),
        row.batch_id.into(),
        row.piece.into(),
        row.chamber_id.into(),
        row.meter_id.into(),
        row.is_sample.into(),
        row.at_ms.into(),
        row.recorded_ms.into(),
        row.author_id.into(),
        row.zone.as_str().into(),
        event.what.word().into(),
        tells_temperature(&event.what).into(),
        corrected(&event.what).map(|of| of.0).into(),
        row.payload.as_str().into(),
        row.typed.as_str().into(),
        request.into(),
    ];
    if Event::try_from(row).as_ref() != Ok(event) {
        return Err(StoreError::unfit(&format!(
            "entry {} would not read back as it is: times are whole milliseconds, numbers finite",
            event.id
        )));
    }
    connection
        .run(
            "insert into events (id, batch_id, piece, chamber_id, meter_id, is_sample, at_ms, recorded_ms, author_id,
                 zone, kind, tells_temperature, corrects, payload, typed, request)
             values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)",
            values,
        )
        .await?;
    Ok(())
}
