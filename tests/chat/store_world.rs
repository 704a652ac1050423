//! A group of two, a chamber and a batch: what the tests of the record begin with. All invented.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::quantity::{Fraction, Length, Mass, Ph, Temperature};
use tallyhook::record::event::ObservationKind;
use tallyhook::record::member::{GroupSettings, MemberSettings};
use tallyhook::record::{
    BatchId, BatchKind, BatchPlan, BatchState, Chamber, ChamberId, ChatId, Event, EventId, Group, GroupId,
    Happening, Instrument, Meat, Member, MemberId, Picture, PictureKind, PieceHung, PieceNumber, Role,
    Subject,
};
use tallyhook::store::{BatchWrite, Change, Store};

pub(crate) const HOME: GroupId = GroupId(1);
pub(crate) const ANNA: MemberId = MemberId(1);
pub(crate) const BEN: MemberId = MemberId(2);
pub(crate) const BOX: ChamberId = ChamberId(1);
pub(crate) const STICK: BatchId = BatchId(1);

/// Minutes after the tests' own beginning of time.
pub(crate) fn minute(minutes: i64) -> DateTime<Utc> {
    let beginning = DateTime::from_timestamp_millis(1_767_225_600_000).unwrap();
    beginning + TimeDelta::minutes(minutes)
}

pub(crate) fn member(id: MemberId, name: &str, role: Role) -> Member {
    Member { id, group: HOME, name: name.to_owned(), role, settings: MemberSettings::default(), chat: None }
}

/// The group with Anna, who looks after it and owns the chamber, and Ben.
pub(crate) fn people() -> Change {
    Change {
        groups: vec![Group {
            id: HOME,
            name: "Home".to_owned(),
            settings: GroupSettings::default(),
            chat: None,
            left: None,
        }],
        members: vec![member(ANNA, "Anna", Role::Steward), member(BEN, "Ben", Role::Member)],
        chambers: vec![Chamber { id: BOX, owner: ANNA, name: "Box".to_owned() }],
        ..Change::default()
    }
}

pub(crate) fn plan(name: &str, owner: MemberId) -> BatchPlan {
    BatchPlan {
        name: name.to_owned(),
        owner,
        group: HOME,
        kind: BatchKind::FermentedSausage,
        meats: vec![Meat { species: "pork".to_owned(), mass: Mass::grams(2400.1) }],
        thickness: Some(Length::millimetres(50.0)),
        target_loss: Some(Fraction::percent(38.0)),
        target_ph: Some(Ph::new(5.1)),
        chamber: BOX,
    }
}

pub(crate) fn event(
    id: i64,
    subject: Subject,
    at: DateTime<Utc>,
    author: MemberId,
    what: Happening,
) -> Event {
    Event {
        id: EventId(id),
        subject,
        at,
        recorded_at: at,
        author: Some(author),
        zone: "Europe/Rome".to_owned(),
        what,
        typed: format!("line {id}"),
    }
}

pub(crate) fn ph(value: f64) -> Happening {
    Happening::PhRead {
        ph: Ph::new(value),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.3)),
        calibration: None,
    }
}

pub(crate) fn weighed(grams: f64) -> Happening {
    Happening::Weighed { gross: Mass::grams(grams) }
}

pub(crate) fn room(celsius: f64) -> Happening {
    Happening::RoomRead { temperature: Some(Temperature::celsius(celsius)), humidity: None }
}

pub(crate) fn hung(number: u32, grams: f64) -> PieceHung {
    PieceHung {
        number: PieceNumber(number),
        hung: Mass::grams(grams),
        tare: Mass::grams(12.0),
        before_cure: None,
    }
}

/// A photo whose file has this name.
pub(crate) fn pictured(name: String) -> Happening {
    let (group, place) = (Some(ChatId(3)), ChatId(7));
    let (message, attachment) = (ChatId(24), ChatId(38));
    let picture = Picture { group, place, message, attachment, name, bytes: 9, kind: PictureKind::Png };
    Happening::Pictured { pictures: vec![picture] }
}

pub(crate) fn mould() -> Happening {
    Happening::Observed { kind: ObservationKind::Mould, text: "white, dry".to_owned() }
}

/// The change that starts a batch with its first entry.
pub(crate) fn start(batch: BatchId, first_event: i64, name: &str, owner: MemberId) -> Change {
    let started = event(
        first_event,
        Subject::Batch(batch),
        minute(0),
        owner,
        Happening::Started { plan: plan(name, owner) },
    );
    Change {
        batches: vec![BatchWrite { state: BatchState::started(&started).unwrap(), computed_from: 0 }],
        events: vec![started],
        ..Change::default()
    }
}

/// A fresh record with the group and one batch of Anna's.
pub(crate) async fn world() -> Store {
    let store = Store::open_temporary().await.unwrap();
    store.commit(people()).await.unwrap();
    store.commit(start(STICK, 1, "Juniper stick", ANNA)).await.unwrap();
    store
}

/// Keeps one entry the way a command does: reads the state, folds or rebuilds, and commits both.
pub(crate) async fn keep(store: &Store, entry: Event) {
    let mut change = Change { events: vec![entry.clone()], ..Change::default() };
    if let Some(batch) = entry.subject.batch() {
        let (mut state, version, mut events) = store.batch_with_events(batch).await.unwrap().unwrap();
        if state.takes_at_end(&entry) {
            state.fold(&entry);
        } else {
            events.push(entry);
            state = BatchState::rebuild(&events).unwrap();
        }
        change.batches.push(BatchWrite { state, computed_from: version });
    }
    store.commit(change).await.unwrap();
}
