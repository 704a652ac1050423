//! Reminders as a member meets them: a record, a courier, and ticks of a clock moved by hand.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{self, ANNA, BEN, STICK, member, world};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use std::sync::Mutex;
use tallyhook::quantity::{Mass, Temperature};
use tallyhook::record::climate::{Climate, RoomReading};
use tallyhook::record::{
    BatchId, BatchStage, BatchState, Event, EventId, Happening, MemberId, Outgoing, OutgoingState, PieceHung,
    PieceNumber, PlannedReminder, Reminder, ReminderId, ReminderKind, ReminderState, Role, Subject,
};
use tallyhook::remind::courier::{Courier, Parcel, Undelivered};
use tallyhook::remind::plan::{PlanInput, plan};
use tallyhook::remind::quiet;
use tallyhook::remind::worker::{TickReport, tick};
use tallyhook::store::{Change, ReminderPlan, Store};

/// A courier that keeps what it was given, or refuses it.
#[derive(Default)]
struct Letterbox {
    arrived: Mutex<Vec<Parcel>>,
    refuses: Mutex<Option<Undelivered>>,
}

impl Courier for Letterbox {
    async fn deliver(&self, parcel: &Parcel) -> Result<(), Undelivered> {
        // Gives another worker its turn, as a network would.
        tokio::task::yield_now().await;
        if let Some(refusal) = *self.refuses.lock().unwrap() {
            return Err(refusal);
        }
        self.arrived.lock().unwrap().push(parcel.clone());
        Ok(())
    }
}

impl Letterbox {
    fn texts(&self) -> Vec<String> {
        self.arrived.lock().unwrap().iter().map(|parcel| parcel.text.clone()).collect()
    }

    fn refuse(&self, refusal: Option<Undelivered>) {
        *self.refuses.lock().unwrap() = refusal;
    }

    async fn tick(&self, store: &Store, at: &str) -> TickReport {
        tick(store, self, utc(at)).await.unwrap()
    }
}

fn utc(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// Anna in Rome, with or without reminders at night.
async fn in_rome(at_night: bool) -> Store {
    let store = world().await;
    let mut anna = member(ANNA, "Anna", Role::Steward);
    anna.settings.timezone = Some("Europe/Rome".to_owned());
    anna.settings.reminders_at_night = at_night;
    store.commit(Change { members: vec![anna], ..Change::default() }).await.unwrap();
    store
}

/// One of Anna's own reminders.
async fn own(store: &Store, due: &str, every_days: Option<u32>, text: &str) -> ReminderId {
    let id = store.next_reminder_id();
    let reminder = Reminder {
        id,
        member: ANNA,
        batch: None,
        kind: ReminderKind::Own,
        occurrence: 0,
        due: utc(due),
        text: text.to_owned(),
        every_days,
        state: ReminderState::Scheduled,
        tries: 0,
    };
    store.commit(Change { reminders: vec![reminder], ..Change::default() }).await.unwrap();
    id
}

async fn keep_plan(store: &Store, member: MemberId, planned: Vec<PlannedReminder>) {
    let plan = ReminderPlan { batch: STICK, member, planned };
    store.commit(Change { reminder_plans: vec![plan], ..Change::default() }).await.unwrap();
}

fn of_batch(kind: ReminderKind, occurrence: u32, due: &str, text: &str) -> PlannedReminder {
    PlannedReminder { kind, occurrence, due: utc(due), text: text.to_owned() }
}

async fn state_of(store: &Store, id: ReminderId) -> ReminderState {
    store.reminder(id).await.unwrap().unwrap().state
}

#[tokio::test]
async fn what_is_due_goes_out_once_and_is_marked() {
    let (store, letters) = (world().await, Letterbox::default());
    let id = own(&store, "2026-03-02T12:00:00Z", None, "rinse the bung").await;
    assert_eq!(letters.tick(&store, "2026-03-02T11:59:59Z").await, TickReport::default());
    let report = letters.tick(&store, "2026-03-02T12:00:10Z").await;
    assert_eq!(report.sent.len(), 1);
    assert_eq!(report.sent[0].reminder, Some((id, ReminderKind::Own)));
    assert_eq!(report.sent[0].text, "rinse the bung");
    assert_eq!(state_of(&store, id).await, ReminderState::Sent);
    assert_eq!(letters.tick(&store, "2026-03-02T12:00:40Z").await, TickReport::default());
    assert_eq!(letters.texts(), ["rinse the bung"]);
}

#[tokio::test]
async fn a_late_one_says_when_it_was_due() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    own(&store, "2026-03-02T11:59:59Z", None, "soak").await;
    letters.tick(&store, "2026-03-02T13:00:00Z").await;
    assert_eq!(letters.texts(), ["Late, was due Mon 2 Mar, 12:59. soak", "rinse"]);
}

#[tokio::test]
async fn a_claim_that_was_never_marked_is_taken_again_after_its_lease() {
    let (store, letters) = (world().await, Letterbox::default());
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    let lost = store.claim_due(utc("2026-03-02T12:00:00Z"), 10, None).await.unwrap();
    assert_eq!(lost.len(), 1);
    letters.tick(&store, "2026-03-02T12:00:30Z").await;
    assert_eq!(letters.texts(), [""; 0]);
    letters.tick(&store, "2026-03-02T12:01:01Z").await;
    assert_eq!(letters.texts(), ["rinse"]);
}

#[tokio::test]
async fn a_claim_of_a_process_that_died_is_free_when_the_record_is_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let (store, letters) = (Store::open(&path).await.unwrap(), Letterbox::default());
    store.commit(store_world::people()).await.unwrap();
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    assert_eq!(store.claim_due(utc("2026-03-02T12:00:00Z"), 10, None).await.unwrap().len(), 1);
    store.close().await.unwrap();
    drop(store);
    let store = Store::open(&path).await.unwrap();
    letters.tick(&store, "2026-03-02T12:00:05Z").await;
    assert_eq!(letters.texts(), ["rinse"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn two_workers_never_send_the_same_reminder() {
    let (store, letters) = (world().await, Letterbox::default());
    for number in 0..500 {
        own(&store, "2026-03-02T12:00:00Z", None, &format!("number {number}")).await;
    }
    let now = utc("2026-03-02T12:00:10Z");
    let (one, other) = tokio::join!(tick(&store, &letters, now), tick(&store, &letters, now));
    assert_eq!(one.unwrap().sent.len() + other.unwrap().sent.len(), 500);
    let mut texts = letters.texts();
    texts.sort();
    texts.dedup();
    assert_eq!(texts.len(), 500);
}

#[tokio::test]
async fn one_that_repeats_keeps_its_time_of_day_and_makes_up_for_nothing() {
    // Europe/Rome goes forward on 29 March 2026 (IANA time zone database): 9:00 is 7:00 UTC from then on.
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let id = own(&store, "2026-03-27T08:00:00Z", Some(1), "look at the mould").await;
    letters.tick(&store, "2026-03-27T08:00:10Z").await;
    assert_eq!(store.reminder(id).await.unwrap().unwrap().due, utc("2026-03-28T08:00:00Z"));
    // Away for three days.
    letters.tick(&store, "2026-03-31T10:00:00Z").await;
    let kept = store.reminder(id).await.unwrap().unwrap();
    assert_eq!((kept.due, kept.state), (utc("2026-04-01T07:00:00Z"), ReminderState::Scheduled));
    letters.tick(&store, "2026-04-01T07:00:00Z").await;
    let late = "Late, was due Sat 28 Mar, 09:00. look at the mould";
    assert_eq!(letters.texts(), ["look at the mould", late, "look at the mould"]);
}

#[tokio::test]
async fn at_night_a_batch_waits_for_seven_unless_the_member_wants_it() {
    let weigh = || vec![of_batch(ReminderKind::Weigh, 3, "2026-03-02T20:00:00Z", "B1: weigh.")];
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    keep_plan(&store, ANNA, weigh()).await;
    // 23:00 in Rome; the assistant was away at 21:00.
    assert_eq!(letters.tick(&store, "2026-03-02T22:00:00Z").await.held, 1);
    assert_eq!(letters.tick(&store, "2026-03-03T05:59:59Z").await, TickReport::default());
    letters.tick(&store, "2026-03-03T06:00:00Z").await;
    assert_eq!(letters.texts(), ["Late, was due Mon 2 Mar, 21:00. B1: weigh."]);

    let (store, letters) = (in_rome(true).await, Letterbox::default());
    keep_plan(&store, ANNA, weigh()).await;
    assert_eq!(letters.tick(&store, "2026-03-02T22:00:00Z").await.sent.len(), 1);
}

#[tokio::test]
async fn what_waits_for_the_morning_can_still_be_withdrawn() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let weigh = of_batch(ReminderKind::Weigh, 3, "2026-03-02T20:00:00Z", "B1: weigh.");
    keep_plan(&store, ANNA, vec![weigh]).await;
    letters.tick(&store, "2026-03-02T22:00:00Z").await;
    keep_plan(&store, ANNA, vec![]).await;
    letters.tick(&store, "2026-03-03T06:00:00Z").await;
    assert_eq!(letters.texts(), [""; 0]);
}

#[tokio::test]
async fn a_members_own_goes_out_at_night_only_if_they_set_it_there() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    // 23:30 and 20:00 in Rome; the assistant is back at 23:45.
    own(&store, "2026-03-02T22:30:00Z", None, "set for the night").await;
    let evening = own(&store, "2026-03-02T19:00:00Z", Some(1), "set for the evening").await;
    letters.tick(&store, "2026-03-02T22:45:00Z").await;
    assert_eq!(letters.texts(), ["set for the night"]);
    assert_eq!(store.reminder(evening).await.unwrap().unwrap().due, utc("2026-03-03T19:00:00Z"));
    letters.tick(&store, "2026-03-03T06:00:00Z").await;
    letters.tick(&store, "2026-03-03T19:00:00Z").await;
    let late = "Late, was due Mon 2 Mar, 20:00. set for the evening";
    assert_eq!(letters.texts(), ["set for the night", late, "set for the evening"]);
}

#[tokio::test]
async fn what_cannot_be_delivered_is_tried_five_times() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(Undelivered::TryAgain));
    let once = own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    let mut reports = Vec::new();
    for minutes in 0..5 {
        let at = utc("2026-03-02T12:00:00Z") + TimeDelta::seconds(61 * minutes);
        reports.push(tick(&store, &letters, at).await.unwrap());
    }
    let failed: Vec<_> = reports.iter().map(|report| (report.failed, report.gave_up)).collect();
    assert_eq!(failed, [(2, 0), (2, 0), (2, 0), (2, 0), (0, 2)]);
    assert_eq!(state_of(&store, once).await, ReminderState::GaveUp);
    // The one that repeats has lost its turn, not its life.
    letters.refuse(None);
    letters.tick(&store, "2026-03-03T12:00:00Z").await;
    assert_eq!(letters.texts(), ["look"]);
    assert_eq!(state_of(&store, daily).await, ReminderState::Scheduled);
}

#[tokio::test]
async fn what_can_never_be_delivered_is_given_up_at_once() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(Undelivered::Never));
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    assert_eq!(letters.tick(&store, "2026-03-02T12:00:00Z").await.gave_up, 1);
    assert_eq!(state_of(&store, daily).await, ReminderState::GaveUp);
}

#[tokio::test]
async fn a_failed_try_is_followed_by_one_message_not_two() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(Undelivered::TryAgain));
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    letters.tick(&store, "2026-03-02T12:00:00Z").await;
    letters.refuse(None);
    for second in [30, 61, 90, 122] {
        let at = utc("2026-03-02T12:00:00Z") + TimeDelta::seconds(second);
        tick(&store, &letters, at).await.unwrap();
    }
    assert_eq!(letters.texts(), ["rinse"]);
}

/// Cancels a reminder while it is being sent.
struct Cancelling<'a>(&'a Store, ReminderId);

impl Courier for Cancelling<'_> {
    async fn deliver(&self, _: &Parcel) -> Result<(), Undelivered> {
        let kept = self.0.reminder(self.1).await.unwrap().unwrap();
        let cancelled = Reminder { state: ReminderState::Withdrawn, ..kept };
        self.0.commit(Change { reminders: vec![cancelled], ..Change::default() }).await.unwrap();
        Ok(())
    }
}

#[tokio::test]
async fn one_that_is_cancelled_while_it_is_sent_does_not_come_back() {
    let store = world().await;
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    tick(&store, &Cancelling(&store, daily), utc("2026-03-02T12:00:00Z")).await.unwrap();
    assert_eq!(state_of(&store, daily).await, ReminderState::Withdrawn);
}

#[tokio::test]
async fn after_a_pause_what_repeats_is_said_once_and_every_piece_is_named() {
    let (store, letters) = (world().await, Letterbox::default());
    let planned = vec![
        of_batch(ReminderKind::Weigh, 3, "2026-03-02T09:00:00Z", "B1: weigh (day 3)."),
        of_batch(ReminderKind::Weigh, 6, "2026-03-05T09:00:00Z", "B1: weigh (day 6)."),
        of_batch(ReminderKind::TargetReached, 1, "2026-03-05T09:00:00Z", "B1: #1 is there."),
        of_batch(ReminderKind::TargetReached, 2, "2026-03-05T09:00:00Z", "B1: #2 is there."),
    ];
    keep_plan(&store, ANNA, planned).await;
    letters.tick(&store, "2026-03-05T09:00:00Z").await;
    assert_eq!(letters.texts(), ["B1: weigh (day 6).", "B1: #1 is there.\nB1: #2 is there."]);
    let waiting = store.reminders_of(ANNA).await.unwrap();
    assert_eq!(waiting, []);
}

#[tokio::test]
async fn the_outbox_is_emptied_once_by_day_and_waits_at_night() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let message = Outgoing {
        id: store.next_outgoing_id(),
        member: ANNA,
        batch: Some(STICK),
        due: utc("2026-03-02T22:00:00Z"),
        text: "Ben shared a batch.".to_owned(),
        state: OutgoingState::Waiting,
        letter: None,
    };
    store.commit(Change { outgoing: vec![message], ..Change::default() }).await.unwrap();
    assert_eq!(letters.tick(&store, "2026-03-02T22:00:00Z").await.held, 1);
    letters.refuse(Some(Undelivered::TryAgain));
    assert_eq!(letters.tick(&store, "2026-03-03T06:00:00Z").await.failed, 1);
    letters.refuse(None);
    assert_eq!(letters.tick(&store, "2026-03-03T06:00:30Z").await.sent.len(), 1);
    assert_eq!(letters.tick(&store, "2026-03-03T06:01:00Z").await, TickReport::default());
    assert_eq!(letters.texts(), ["Ben shared a batch."]);
}

#[tokio::test]
async fn a_message_that_finds_nobody_for_a_day_is_given_up() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(Undelivered::TryAgain));
    let message = Outgoing {
        id: store.next_outgoing_id(),
        member: BEN,
        batch: None,
        due: utc("2026-03-02T12:00:00Z"),
        text: "hello".to_owned(),
        state: OutgoingState::Waiting,
        letter: None,
    };
    store.commit(Change { outgoing: vec![message], ..Change::default() }).await.unwrap();
    assert_eq!(letters.tick(&store, "2026-03-03T11:59:00Z").await.failed, 1);
    assert_eq!(letters.tick(&store, "2026-03-03T12:00:00Z").await.gave_up, 1);
    letters.refuse(None);
    assert_eq!(letters.tick(&store, "2026-03-03T12:01:00Z").await, TickReport::default());
}

/// A batch with its entries, in a member's kitchen in Rome. Invented.
struct Kitchen {
    events: Vec<Event>,
    climate: Climate,
}

impl Kitchen {
    fn new() -> Self {
        let mut kitchen = Self { events: Vec::new(), climate: Climate::default() };
        kitchen.add(
            "2026-03-02T07:00:00Z",
            Happening::Started { plan: store_world::plan("Juniper stick", ANNA) },
        );
        kitchen
    }

    fn add(&mut self, at: &str, what: Happening) {
        let number = self.events.len() as u32 + 1;
        self.events.push(Event {
            id: EventId(i64::from(number)),
            subject: Subject::Batch(BatchId(1)),
            at: utc(at),
            recorded_at: utc(at),
            author: Some(ANNA),
            zone: "Europe/Rome".to_owned(),
            what,
            typed: String::new(),
        });
    }

    fn weigh(&mut self, at: &str, grams: f64) {
        self.add(at, Happening::Weighed { gross: Mass::grams(grams) });
    }

    fn plan(&self) -> Vec<PlannedReminder> {
        let state = BatchState::rebuild(&self.events).unwrap();
        let zone = Tz::Europe__Rome;
        plan(&PlanInput { state: &state, climate: &self.climate, zone, at_night: false })
    }
}

/// Ticks every half hour from one moment to another.
async fn live(store: &Store, letters: &Letterbox, from: &str, to: &str) -> Vec<DateTime<Utc>> {
    let (mut now, end) = (utc(from), utc(to));
    let mut sent = Vec::new();
    while now < end {
        let report = tick(store, letters, now).await.unwrap();
        sent.extend(report.sent.iter().map(|_| now));
        now += TimeDelta::minutes(30);
    }
    sent
}

#[tokio::test]
async fn a_batch_lived_through_with_entries_made_late_is_reminded_of_each_thing_once() {
    let (store, letters, mut kitchen) = (in_rome(false).await, Letterbox::default(), Kitchen::new());
    kitchen.add("2026-03-02T08:00:00Z", Happening::StageReached { stage: BatchStage::Fermenting });
    kitchen
        .climate
        .readings
        .push(RoomReading { at: utc("2026-03-02T08:00:00Z"), temperature: Temperature::celsius(22.0) });
    keep_plan(&store, ANNA, kitchen.plan()).await;
    let mut sent = live(&store, &letters, "2026-03-02T08:00:00Z", "2026-03-03T12:00:00Z").await;
    // 9:00 in Rome: hour 12 is 21:00, hour 24 is 9:00.
    let expected = [
        "B1 Juniper stick: measure the pH (12 h of fermentation).",
        "B1 Juniper stick: measure the pH (24 h of fermentation).",
    ];
    assert_eq!(letters.texts(), expected);

    // It had begun half an hour earlier. The same checks move; none that was sent comes again.
    let begun = Happening::StageReached { stage: BatchStage::Fermenting };
    kitchen.add("2026-03-02T07:30:00Z", Happening::Changed { of: EventId(2), to: Box::new(begun) });
    keep_plan(&store, ANNA, kitchen.plan()).await;
    sent.extend(live(&store, &letters, "2026-03-03T12:00:00Z", "2026-03-03T20:00:00Z").await);
    let third = "B1 Juniper stick: measure the pH (36 h of fermentation).";
    assert_eq!(letters.texts()[2..], [third]);

    let pieces = (1..=2).map(|number| PieceHung {
        number: PieceNumber(number),
        hung: Mass::grams(1000.0),
        tare: Mass::grams(0.0),
        before_cure: None,
    });
    kitchen.add("2026-03-04T17:00:00Z", Happening::PiecesHung { pieces: pieces.collect() });
    kitchen.add("2026-03-04T17:00:00Z", Happening::StageReached { stage: BatchStage::Drying });
    keep_plan(&store, ANNA, kitchen.plan()).await;
    sent.extend(live(&store, &letters, "2026-03-04T17:00:00Z", "2026-03-20T00:00:00Z").await);
    kitchen.weigh("2026-03-20T17:00:00Z", 1220.0);
    keep_plan(&store, ANNA, kitchen.plan()).await;
    sent.extend(live(&store, &letters, "2026-03-20T17:00:00Z", "2026-04-01T00:00:00Z").await);
    let texts = letters.texts();
    let mut distinct = texts.clone();
    distinct.sort();
    distinct.dedup();
    assert_eq!(distinct.len(), texts.len(), "{texts:?}");
    assert!(texts.iter().any(|text| text.contains("all pieces together reached the target weight")));
    assert!(sent.iter().all(|moment| !quiet::is_quiet(*moment, Tz::Europe__Rome)));
}
