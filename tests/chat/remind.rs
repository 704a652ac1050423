//! Reminders as a member meets them: a record, a courier, and ticks of a clock moved by hand.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{self, ANNA, BEN, STICK, member, world};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use std::collections::BTreeSet;
use std::sync::Mutex;
use std::time::Duration;
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::quantity::{Mass, Temperature};
use tallyhook::record::climate::{Climate, RoomReading};
use tallyhook::record::{
    BatchId, BatchStage, BatchState, Event, EventId, Happening, MemberId, Outgoing, OutgoingState, Pause,
    PieceHung, PieceNumber, PlannedReminder, QuietHours, Reminder, ReminderId, ReminderKind, ReminderState,
    Role, Subject,
};
use tallyhook::remind::courier::{Courier, Delivery, Parcel};
use tallyhook::remind::plan::{PlanInput, plan};
use tallyhook::remind::quiet;
use tallyhook::remind::worker::{TickReport, tick};
use tallyhook::store::{Change, ReminderPlan, Snooze, Store};

/// A courier that keeps what it was given, or refuses it.
#[derive(Default)]
struct Letterbox {
    arrived: Mutex<Vec<Parcel>>,
    refuses: Mutex<Option<Delivery>>,
}

impl Courier for Letterbox {
    async fn deliver(&self, parcel: &Parcel) -> Delivery {
        // Gives another worker its turn, as a network would.
        tokio::task::yield_now().await;
        if let Some(refusal) = self.refuses.lock().unwrap().clone() {
            return refusal;
        }
        self.arrived.lock().unwrap().push(parcel.clone());
        Delivery::Delivered
    }
}

impl Letterbox {
    fn texts(&self) -> Vec<String> {
        self.arrived.lock().unwrap().iter().map(Parcel::text).collect()
    }

    fn refuse(&self, refusal: Option<Delivery>) {
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
    let reminder = Reminder { every_days, ..Reminder::own(id, ANNA, utc(due), text.to_owned()) };
    store.commit(Change { reminders: vec![reminder], ..Change::default() }).await.unwrap();
    id
}

async fn keep_plan(store: &Store, member: MemberId, planned: Vec<PlannedReminder>) {
    let computed_from = store.batch(STICK).await.unwrap().map_or(0, |(_, version)| version);
    let plan = ReminderPlan { batch: STICK, member, planned, computed_from, air: vec![] };
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

/// Timers of so many milliseconds overflow elsewhere and go off at once; here a time is a time.
#[tokio::test]
async fn one_far_ahead_comes_on_its_day() {
    let (store, letters) = (world().await, Letterbox::default());
    own(&store, "2027-04-06T12:00:00Z", None, "salt the next ham").await;
    for at in ["2026-03-02T12:00:00Z", "2026-03-27T08:30:00Z", "2027-04-06T11:59:59Z"] {
        assert_eq!(letters.tick(&store, at).await, TickReport::default(), "{at}");
    }
    letters.tick(&store, "2027-04-06T12:00:30Z").await;
    assert_eq!(letters.texts(), ["salt the next ham"], "400 days later, and not late");
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
    let lost =
        store.claim_reminders(store.next_claimant(), utc("2026-03-02T12:00:00Z"), 10, None).await.unwrap();
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
    assert_eq!(
        store
            .claim_reminders(store.next_claimant(), utc("2026-03-02T12:00:00Z"), 10, None)
            .await
            .unwrap()
            .len(),
        1
    );
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
    assert_eq!(store.reminder(evening).await.unwrap().unwrap().goes_at(), utc("2026-03-03T06:00:00Z"));
    letters.tick(&store, "2026-03-03T06:00:00Z").await;
    assert_eq!(store.reminder(evening).await.unwrap().unwrap().due, utc("2026-03-03T19:00:00Z"));
    letters.tick(&store, "2026-03-03T19:00:00Z").await;
    let late = "Late, was due Mon 2 Mar, 20:00. set for the evening";
    assert_eq!(letters.texts(), ["set for the night", late, "set for the evening"]);
}

fn later(after: Option<Duration>) -> Delivery {
    Delivery::Later { after, reason: "the platform is away".to_owned() }
}

fn never() -> Delivery {
    Delivery::Never { reason: "they take no messages".to_owned() }
}

#[tokio::test]
async fn what_cannot_be_delivered_is_tried_at_growing_distances_for_about_a_day() {
    let (store, letters) = (in_rome(true).await, Letterbox::default());
    letters.refuse(Some(later(None)));
    let once = own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    let (mut tried, mut gave_up) = (Vec::new(), None);
    for half_minutes in 0..2 * 60 * 30 {
        let at = utc("2026-03-02T12:00:00Z") + TimeDelta::seconds(30 * half_minutes);
        let report = tick(&store, &letters, at).await.unwrap();
        if report.failed > 0 {
            tried.push(half_minutes);
        }
        if report.gave_up > 0 {
            gave_up = Some(half_minutes);
            break;
        }
    }
    // After 30 s, then twice as long each time, then every hour: in half minutes.
    assert_eq!(tried[..10], [0, 1, 3, 7, 15, 31, 63, 127, 247, 367]);
    assert_eq!(tried.len(), 29);
    let hours = gave_up.unwrap() / 120;
    assert!((20..=26).contains(&hours), "{hours} h");
    let kept = store.reminder(once).await.unwrap().unwrap();
    assert_eq!((kept.state, kept.failure.as_deref()), (ReminderState::GaveUp, Some("the platform is away")));
    // The one that repeats has lost its turn, not its life.
    letters.refuse(None);
    assert_eq!(state_of(&store, daily).await, ReminderState::Scheduled);
    let next = store.reminder(daily).await.unwrap().unwrap().due;
    tick(&store, &letters, next).await.unwrap();
    assert_eq!(letters.texts(), ["look"]);
    assert_eq!(store.reminder(daily).await.unwrap().unwrap().failure, None);
}

#[tokio::test]
async fn a_wait_the_platform_asks_for_is_kept_and_counts_as_no_try() {
    let (store, letters) = (world().await, Letterbox::default());
    let id = own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    letters.refuse(Some(later(Some(Duration::from_secs(90)))));
    for minute in 0..80 {
        let at = utc("2026-03-02T12:00:00Z") + TimeDelta::minutes(2 * minute);
        assert_eq!(tick(&store, &letters, at).await.unwrap().failed, 1);
        assert_eq!(tick(&store, &letters, at + TimeDelta::seconds(89)).await.unwrap(), TickReport::default());
    }
    let kept = store.reminder(id).await.unwrap().unwrap();
    assert_eq!((kept.state, kept.tries), (ReminderState::Scheduled, 0));
    letters.refuse(None);
    letters.tick(&store, "2026-03-02T16:00:00Z").await;
    assert_eq!(letters.texts().len(), 1);
}

#[tokio::test]
async fn what_can_never_be_delivered_is_given_up_at_once_and_says_why() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(never()));
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    send_to(&store, ANNA, "2026-03-02T12:00:00Z", "hello").await;
    assert_eq!(letters.tick(&store, "2026-03-02T12:00:00Z").await.gave_up, 2);
    let kept = store.reminder(daily).await.unwrap().unwrap();
    assert_eq!((kept.state, kept.failure.as_deref()), (ReminderState::GaveUp, Some("they take no messages")));
    let message = store.outgoing_to(ANNA).await.unwrap().remove(0);
    let expected = (OutgoingState::GaveUp, Some("they take no messages"));
    assert_eq!((message.state, message.failure.as_deref()), expected);
}

#[tokio::test]
async fn a_courier_that_is_closed_is_not_asked_again_and_nothing_is_lost() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(Delivery::Closed { reason: "logged out".to_owned() }));
    let id = own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    own(&store, "2026-03-02T12:00:00Z", None, "soak").await;
    send_to(&store, ANNA, "2026-03-02T12:00:00Z", "hello").await;
    let report = letters.tick(&store, "2026-03-02T12:00:00Z").await;
    assert_eq!(report, TickReport { closed: true, ..TickReport::default() });
    assert_eq!(store.reminder(id).await.unwrap().unwrap().tries, 0);
    letters.refuse(None);
    letters.tick(&store, "2026-03-02T12:00:00Z").await;
    assert_eq!(letters.texts(), ["rinse", "soak", "hello"]);
}

#[tokio::test]
async fn every_try_of_a_message_has_the_same_nonce() {
    let store = world().await;
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    send_to(&store, ANNA, "2026-03-02T12:00:00Z", "hello").await;
    let refusing = Refusing::default();
    for minutes in [0, 5, 10, 20] {
        tick(&store, &refusing, utc("2026-03-02T12:00:00Z") + TimeDelta::minutes(minutes)).await.unwrap();
    }
    let nonces = refusing.0.lock().unwrap().clone();
    assert_eq!(nonces.len(), 8, "{nonces:?}");
    let distinct: BTreeSet<_> = nonces.iter().collect();
    assert_eq!(distinct.len(), 2);
    assert!(nonces.iter().all(|nonce| nonce.len() <= 25 && nonce.is_ascii()));
}

/// Notes the nonces of what it refuses.
#[derive(Default)]
struct Refusing(Mutex<Vec<String>>);

impl Courier for Refusing {
    async fn deliver(&self, parcel: &Parcel) -> Delivery {
        self.0.lock().unwrap().push(parcel.nonce.clone());
        Delivery::Later { after: None, reason: "not now".to_owned() }
    }
}

#[tokio::test]
async fn a_failed_try_is_followed_by_one_message_not_two() {
    let (store, letters) = (world().await, Letterbox::default());
    letters.refuse(Some(later(None)));
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
    async fn deliver(&self, _: &Parcel) -> Delivery {
        let change = Change { reminders_cancelled: vec![self.1], ..Change::default() };
        self.0.commit(change).await.unwrap();
        Delivery::Delivered
    }
}

#[tokio::test]
async fn one_that_is_cancelled_while_it_is_sent_does_not_come_back() {
    let store = world().await;
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "look").await;
    tick(&store, &Cancelling(&store, daily), utc("2026-03-02T12:00:00Z")).await.unwrap();
    assert_eq!(state_of(&store, daily).await, ReminderState::Cancelled);
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

/// A message in the outbox.
async fn send_to(store: &Store, member: MemberId, due: &str, text: &str) {
    let message = Outgoing::new(store.next_outgoing_id(), member, utc(due), text.to_owned());
    store.commit(Change { outgoing: vec![message], ..Change::default() }).await.unwrap();
}

#[tokio::test]
async fn the_outbox_is_emptied_once_by_day_and_waits_at_night() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    send_to(&store, ANNA, "2026-03-02T22:00:00Z", "Ben shared a batch.").await;
    assert_eq!(letters.tick(&store, "2026-03-02T22:00:00Z").await.held, 1);
    letters.refuse(Some(later(None)));
    assert_eq!(letters.tick(&store, "2026-03-03T06:00:00Z").await.failed, 1);
    letters.refuse(None);
    assert_eq!(letters.tick(&store, "2026-03-03T06:00:30Z").await.sent.len(), 1);
    assert_eq!(letters.tick(&store, "2026-03-03T06:01:00Z").await, TickReport::default());
    assert_eq!(letters.texts(), ["Ben shared a batch."]);
}

#[tokio::test]
async fn a_message_that_finds_nobody_for_a_day_is_given_up() {
    let (store, letters) = (in_rome(true).await, Letterbox::default());
    letters.refuse(Some(later(None)));
    send_to(&store, ANNA, "2026-03-02T12:00:00Z", "hello").await;
    let mut gave_up = 0;
    for hours in 0..40 {
        let at = utc("2026-03-02T12:00:00Z") + TimeDelta::hours(hours);
        gave_up += tick(&store, &letters, at).await.unwrap().gave_up;
    }
    assert_eq!(gave_up, 1);
    letters.refuse(None);
    assert_eq!(letters.tick(&store, "2026-03-09T12:00:00Z").await, TickReport::default());
}

#[tokio::test(flavor = "multi_thread")]
async fn two_workers_never_send_the_same_message() {
    let (store, letters) = (world().await, Letterbox::default());
    for number in 0..250 {
        send_to(&store, BEN, "2026-03-02T12:00:00Z", &format!("number {number}")).await;
    }
    let now = utc("2026-03-02T12:00:10Z");
    let (one, other) = tokio::join!(tick(&store, &letters, now), tick(&store, &letters, now));
    assert_eq!(one.unwrap().sent.len() + other.unwrap().sent.len(), 250);
    let texts: BTreeSet<String> = letters.texts().into_iter().collect();
    assert_eq!((texts.len(), letters.texts().len()), (250, 250));
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
        plan(&PlanInput { state: &state, climate: &self.climate, zone, quiet: Some(QuietHours::default()) })
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
    assert!(sent.iter().all(|moment| !quiet::is_quiet(
        *moment,
        Tz::Europe__Rome,
        Some(QuietHours::default())
    )));
}

async fn asked(desk: &Desk, at: &str, text: &str) -> Answered {
    let incoming = Incoming {
        id: Some(format!("anna at {at}")),
        confirmed: true,
        ..Incoming::line("Home", "Anna", text, utc(at))
    };
    desk.answer(&incoming).await
}

#[tokio::test]
async fn one_that_waits_for_the_morning_stands_in_the_list_and_can_be_cancelled() {
    let (desk, letters) = (Desk::new(in_rome(false).await), Letterbox::default());
    // 20:00 in Rome; the assistant is back at 23:45.
    let id = own(desk.store(), "2026-03-02T19:00:00Z", None, "salt the pork").await;
    assert_eq!(letters.tick(desk.store(), "2026-03-02T22:45:00Z").await.held, 1);
    let listed = asked(&desk, "2026-03-02T23:00:00Z", "remind list").await.text();
    assert!(listed.contains("Tue 3 Mar 07:00, in 7 h. salt the pork"), "{listed}");
    let cancelled = asked(&desk, "2026-03-02T23:05:00Z", &format!("remind cancel {id}")).await;
    assert_eq!(cancelled.exit_status(), 0, "{}", cancelled.text());
    letters.tick(desk.store(), "2026-03-03T07:00:00Z").await;
    assert_eq!(letters.texts(), [""; 0]);
}

#[tokio::test]
async fn one_that_is_cancelled_while_its_delivery_fails_stays_cancelled() {
    let own_and_batchs = [ReminderKind::Own, ReminderKind::Weigh];
    let failures = [later(None), never()];
    for (kind, failure) in own_and_batchs.iter().flat_map(|kind| failures.iter().map(move |how| (*kind, how)))
    {
        let (desk, letters) = (Desk::new(world().await), Letterbox::default());
        let id = if kind == ReminderKind::Own {
            own(desk.store(), "2026-03-02T12:00:00Z", None, "rinse").await
        } else {
            let weigh = of_batch(kind, 3, "2026-03-02T12:00:00Z", "B1: weigh.");
            keep_plan(desk.store(), ANNA, vec![weigh]).await;
            ReminderId(1)
        };
        let cancelling = CancellingAndFailing(&desk, id, failure.clone());
        for minute in 0..8 {
            let at = utc("2026-03-02T12:00:00Z") + TimeDelta::minutes(minute * 3);
            tick(desk.store(), &cancelling, at).await.unwrap();
        }
        assert_eq!(state_of(desk.store(), id).await, ReminderState::Cancelled, "{kind:?}");
        letters.tick(desk.store(), "2026-03-03T12:00:00Z").await;
        assert_eq!(letters.texts(), [""; 0]);
    }
}

#[tokio::test]
async fn a_skipped_hour_moves_one_time_and_not_those_after_it() {
    // Europe/Rome 2026: 02:00 to 03:00 on 29 March (IANA time zone database). 02:30 is 01:30 UTC before, 03:30 of
    // the clocks that day (01:30 UTC), and 00:30 UTC from then on.
    let (desk, letters) = (Desk::new(in_rome(true).await), Letterbox::default());
    asked(&desk, "2026-03-27T12:00:00Z", "remind set text:look when:tomorrow 2:30am every:1 day").await;
    for due in
        ["2026-03-28T01:30:00Z", "2026-03-29T01:30:00Z", "2026-03-30T00:30:00Z", "2026-03-31T00:30:00Z"]
    {
        let kept = desk.store().reminder(ReminderId(1)).await.unwrap().unwrap();
        assert_eq!(kept.due, utc(due));
        letters.tick(desk.store(), due).await;
    }
    assert_eq!(letters.texts().len(), 4);
}

#[tokio::test]
async fn what_was_sent_comes_again_when_it_turns_out_to_be_due_later() {
    let (store, letters) = (in_rome(true).await, Letterbox::default());
    let reached = |due: &str| vec![of_batch(ReminderKind::TargetReached, 1, due, "B1: #1 is there.")];
    keep_plan(&store, ANNA, reached("2026-03-05T08:00:00Z")).await;
    letters.tick(&store, "2026-03-05T08:00:00Z").await;
    // The weighing was misread and is corrected: nothing is reached. Days later it is.
    keep_plan(&store, ANNA, vec![]).await;
    keep_plan(&store, ANNA, reached("2026-03-12T08:00:00Z")).await;
    letters.tick(&store, "2026-03-11T08:00:00Z").await;
    assert_eq!(letters.texts().len(), 1);
    letters.tick(&store, "2026-03-12T08:00:00Z").await;
    assert_eq!(letters.texts().len(), 2);
    // The correction is taken back before the second time came: what was said the first time is not said again.
    keep_plan(&store, ANNA, reached("2026-03-13T08:00:00Z")).await;
    keep_plan(&store, ANNA, reached("2026-03-05T08:00:00Z")).await;
    letters.tick(&store, "2026-03-13T08:00:00Z").await;
    assert_eq!(letters.texts().len(), 2);
    // Sent late, it is not sent again for a time that was over by then, nor for one that is hardly later.
    keep_plan(&store, ANNA, reached("2026-03-14T08:00:00Z")).await;
    letters.tick(&store, "2026-03-20T08:00:00Z").await;
    assert_eq!(letters.texts().len(), 3);
    for due in ["2026-03-13T08:00:00Z", "2026-03-17T08:00:00Z", "2026-03-20T19:00:00Z"] {
        keep_plan(&store, ANNA, reached(due)).await;
        letters.tick(&store, "2026-03-25T08:00:00Z").await;
        assert_eq!(letters.texts().len(), 3, "{due}");
    }
}

/// A member who cancels a reminder while its delivery fails.
struct CancellingAndFailing<'a>(&'a Desk, ReminderId, Delivery);

impl Courier for CancellingAndFailing<'_> {
    async fn deliver(&self, _: &Parcel) -> Delivery {
        let answered = asked(self.0, "2026-03-02T12:00:00Z", &format!("remind cancel {}", self.1)).await;
        assert_eq!(answered.exit_status(), 0, "{}", answered.text());
        self.2.clone()
    }
}

#[tokio::test]
async fn a_members_requests_are_forgotten_with_them() {
    let desk = Desk::new(world().await);
    for (minute, line) in
        ["remind set text:soak when:in 3 h", "me set country:IT", "chamber add name:Loft"].iter().enumerate()
    {
        let answered = asked(&desk, &format!("2026-03-02T12:0{minute}:00Z"), line).await;
        assert_eq!(answered.exit_status(), 0, "{}", answered.text());
    }
    assert_eq!(asked(&desk, "2026-03-02T13:00:00Z", "me erase").await.exit_status(), 0);
    let bytes = std::fs::read(desk.store().path()).unwrap();
    let log = std::fs::read(desk.store().path().with_extension("sqlite3-wal")).unwrap_or_default();
    let trace = b"anna at 2026-03-02";
    for file in [&bytes, &log] {
        assert!(
            !file.windows(trace.len()).any(|part| part == trace),
            "a request's id still stands in the file"
        );
    }
}

async fn snooze(store: &Store, id: ReminderId, until: &str) {
    let reminders_snoozed = vec![Snooze { id, until: utc(until) }];
    store.commit(Change { reminders_snoozed, ..Change::default() }).await.unwrap();
}

#[tokio::test]
async fn one_that_is_put_off_comes_then_and_is_not_called_late() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let id = own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    snooze(&store, id, "2026-03-02T15:00:00Z").await;
    assert_eq!(letters.tick(&store, "2026-03-02T14:59:00Z").await, TickReport::default());
    letters.tick(&store, "2026-03-02T15:00:10Z").await;
    snooze(&store, id, "2026-03-02T17:00:00Z").await;
    letters.tick(&store, "2026-03-02T17:00:10Z").await;
    assert_eq!(letters.texts(), ["rinse", "rinse"]);
    let nonces: BTreeSet<_> = letters.arrived.lock().unwrap().iter().map(|it| it.nonce.clone()).collect();
    assert_eq!(nonces.len(), 2, "two messages, not one that is tried again");
    assert_eq!(state_of(&store, id).await, ReminderState::Sent);
}

#[tokio::test]
async fn one_that_repeats_keeps_its_other_times_when_it_is_put_off() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let id = store.next_reminder_id();
    // Every day at nine in Rome.
    let daily = Reminder {
        every_days: Some(1),
        anchor: Some(utc("2026-03-02T09:00:00Z").naive_utc()),
        ..Reminder::own(id, ANNA, utc("2026-03-02T08:00:00Z"), "turn".to_owned())
    };
    store.commit(Change { reminders: vec![daily], ..Change::default() }).await.unwrap();
    letters.tick(&store, "2026-03-02T08:00:00Z").await;
    snooze(&store, id, "2026-03-02T10:00:00Z").await;
    letters.tick(&store, "2026-03-02T10:00:00Z").await;
    assert_eq!(store.reminder(id).await.unwrap().unwrap().due, utc("2026-03-03T08:00:00Z"));
    // Put off past its next time, it comes once for both.
    snooze(&store, id, "2026-03-04T07:30:00Z").await;
    letters.tick(&store, "2026-03-03T08:00:00Z").await;
    letters.tick(&store, "2026-03-04T07:30:00Z").await;
    assert_eq!(letters.texts(), ["turn", "turn", "turn"]);
    assert_eq!(store.reminder(id).await.unwrap().unwrap().goes_at(), utc("2026-03-04T08:00:00Z"));
}

#[tokio::test]
async fn a_batchs_that_is_put_off_outlives_a_new_plan_and_goes_when_it_is_no_longer_planned() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let weigh = of_batch(ReminderKind::Weigh, 7, "2026-03-02T08:00:00Z", "weigh");
    keep_plan(&store, ANNA, vec![weigh.clone()]).await;
    let id = store.reminders_of(ANNA).await.unwrap()[0].id;
    // Before it was sent, and its time moved by an hour.
    snooze(&store, id, "2026-03-02T11:00:00Z").await;
    keep_plan(&store, ANNA, vec![of_batch(ReminderKind::Weigh, 7, "2026-03-02T09:00:00Z", "weigh")]).await;
    letters.tick(&store, "2026-03-02T10:59:00Z").await;
    assert_eq!(letters.texts(), [""; 0]);
    letters.tick(&store, "2026-03-02T11:00:00Z").await;
    // After it was sent: a plan that still has it leaves it, one that has not takes it back.
    snooze(&store, id, "2026-03-02T13:00:00Z").await;
    keep_plan(&store, ANNA, vec![weigh.clone()]).await;
    assert_eq!(state_of(&store, id).await, ReminderState::Scheduled);
    letters.tick(&store, "2026-03-02T13:00:00Z").await;
    assert_eq!(letters.texts(), ["weigh", "weigh"]);
    snooze(&store, id, "2026-03-02T15:00:00Z").await;
    keep_plan(&store, ANNA, vec![]).await;
    letters.tick(&store, "2026-03-02T15:00:00Z").await;
    assert_eq!(letters.texts().len(), 2);
    // What was withdrawn is not put off.
    snooze(&store, id, "2026-03-02T17:00:00Z").await;
    assert_eq!(state_of(&store, id).await, ReminderState::Withdrawn);
}

/// Anna's reminders are held back from nine to nine of the day after the next.
async fn paused(store: &Store, since: &str, until: Option<&str>) {
    let mut anna = store.memberships_of(ANNA).remove(0);
    anna.settings.reminders_paused = Some(Pause { since: utc(since), until: until.map(utc) });
    store.commit(Change { members: vec![anna], ..Change::default() }).await.unwrap();
}

#[tokio::test]
async fn a_pause_holds_back_what_can_wait_and_ends_in_one_message() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    let planned = vec![
        of_batch(ReminderKind::Weigh, 0, "2026-03-03T08:00:00Z", "weigh, day 3"),
        of_batch(ReminderKind::Weigh, 1, "2026-03-10T08:00:00Z", "weigh, day 10"),
        of_batch(ReminderKind::PhCheck, 0, "2026-03-03T09:00:00Z", "measure the pH"),
        of_batch(ReminderKind::DegreeHoursNearlySpent, 0, "2026-03-03T09:00:00Z", "nearly spent"),
    ];
    keep_plan(&store, ANNA, planned).await;
    let daily = own(&store, "2026-03-02T12:00:00Z", Some(1), "turn the bag").await;
    let once = own(&store, "2026-03-04T12:00:00Z", None, "order casings").await;
    paused(&store, "2026-03-02T09:00:00Z", Some("2026-03-12T09:00:00Z")).await;
    let mut held = 0;
    for day in 2..12 {
        for hour in 8..21 {
            held += letters.tick(&store, &format!("2026-03-{day:02}T{hour:02}:00:00Z")).await.held;
        }
    }
    assert!(held > 0);
    assert_eq!(letters.texts(), ["measure the pH", "nearly spent"], "a fermentation does not wait");
    let report = letters.tick(&store, "2026-03-12T09:00:00Z").await;
    assert_eq!(report.sent.len(), 3, "{report:?}");
    let after = "Paused, was due Mon 2 Mar, 13:00. turn the bag\nPaused, was due Wed 4 Mar, 13:00. order casings\n\
                 Paused, was due Tue 10 Mar, 09:00. weigh, day 10";
    assert_eq!(letters.texts()[2..], [after], "of what comes again and again only the last");
    assert_eq!(state_of(&store, once).await, ReminderState::Sent);
    let next = store.reminder(daily).await.unwrap().unwrap();
    assert_eq!(next.due, utc("2026-03-12T12:00:00Z"), "at its own time, and ten days are not made up for");
    assert_eq!(letters.tick(&store, "2026-03-12T09:10:00Z").await, TickReport::default());
}

#[tokio::test]
async fn a_pause_ends_early_and_not_in_the_night() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    own(&store, "2026-03-02T12:00:00Z", None, "rinse").await;
    paused(&store, "2026-03-02T09:00:00Z", None).await;
    assert_eq!(letters.tick(&store, "2026-03-02T12:00:00Z").await.held, 1);
    paused(&store, "2026-03-02T09:00:00Z", Some("2026-03-02T21:30:00Z")).await;
    assert_eq!(letters.tick(&store, "2026-03-02T21:31:00Z").await.held, 1, "it is night in Rome");
    assert_eq!(letters.texts(), [""; 0]);
    letters.tick(&store, "2026-03-03T06:00:00Z").await;
    assert_eq!(letters.texts(), ["Paused, was due Mon 2 Mar, 13:00. rinse"]);
}

#[tokio::test]
async fn what_fell_due_before_or_after_a_pause_comes_by_itself() {
    let (store, letters) = (in_rome(false).await, Letterbox::default());
    own(&store, "2026-03-02T08:59:00Z", None, "before").await;
    own(&store, "2026-03-02T10:00:00Z", None, "in it").await;
    own(&store, "2026-03-02T11:00:00Z", None, "in it too").await;
    own(&store, "2026-03-02T12:00:00Z", None, "when it was over").await;
    paused(&store, "2026-03-02T09:00:00Z", Some("2026-03-02T12:00:00Z")).await;
    letters.tick(&store, "2026-03-02T12:00:00Z").await;
    let texts = letters.texts();
    assert_eq!(texts.len(), 3, "{texts:?}");
    assert_eq!(texts[0], "Late, was due Mon 2 Mar, 09:59. before");
    assert_eq!(
        texts[1],
        "Paused, was due Mon 2 Mar, 11:00. in it\nPaused, was due Mon 2 Mar, 12:00. in it too"
    );
    assert_eq!(texts[2], "when it was over");
}
