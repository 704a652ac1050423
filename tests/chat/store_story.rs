//! The record's story, told in order on one file: each step builds on what the steps before it kept.
#![expect(clippy::unwrap_used, reason = "a test stops where its premise does not hold")]

use crate::store_world::{
    ANNA, BEN, BOX, HOME, STICK, event, hung, keep, member, minute, mould, people, ph, plan, room, start,
    weighed,
};
use std::path::PathBuf;
use tallyhook::quantity::Temperature;
use tallyhook::record::climate::Climate;
use tallyhook::record::{
    BatchId, BatchStage, BatchState, Chamber, ChamberId, CopiedFrom, EventId, Formulation, Happening, Helper,
    MemberId, Outgoing, OutgoingState, PieceNumber, PlannedReminder, Recipe, Reminder, ReminderId,
    ReminderKind, ReminderState, Role, Subject,
};
use tallyhook::store::{
    BatchWrite, Change, Claimant, Claimed, Found, ReminderPlan, Settled, Settlement, ShareWrite, Store,
    StoreError,
};

#[tokio::test]
async fn a_record_from_first_opening_to_erasing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.sqlite3");
    let store = Store::open(&path).await.unwrap();
    step_1_a_new_record_is_empty(&store).await;
    step_2_people_and_chambers_are_kept_and_renamed(&store).await;
    step_3_a_batch_is_started_and_found_by_name(&store).await;
    step_4_entries_add_up_to_the_kept_state(&store).await;
    step_5_a_state_computed_from_an_old_one_is_refused(&store).await;
    step_6_a_request_that_comes_twice_is_kept_once(&store).await;
    step_7_a_chamber_answers_for_a_stretch_of_time(&store).await;
    step_8_the_plan_of_reminders_moves_and_withdraws(&store).await;
    step_9_what_is_due_is_claimed_once_and_again_when_the_lease_ran_out(&store).await;
    step_10_what_was_sent_or_cancelled_never_comes_back(&store).await;
    step_11_messages_wait_until_they_are_sent(&store).await;
    step_12_a_finished_batch_goes_on_the_board_and_off(&store).await;
    step_12_then_recipes_are_kept_shared_and_replaced(&store).await;
    let store = step_13_everything_is_there_after_reopening(store, path).await;
    step_14_a_member_takes_everything_along(&store).await;
    step_15_erasing_leaves_nothing_but_entries_without_author(&store).await;
    step_16_numbers_are_never_given_twice(store).await;
}

async fn step_1_a_new_record_is_empty(store: &Store) {
    assert_eq!(store.group_by_name("home"), None);
    assert_eq!(store.batch(STICK).await, Ok(None));
    assert_eq!(store.batches_of(ANNA).await, Ok(vec![]));
    assert_eq!(store.next_group_id(), HOME);
    assert_eq!(store.next_batch_id(), STICK);
    assert_eq!(store.next_event_id(), EventId(1));
}

async fn step_2_people_and_chambers_are_kept_and_renamed(store: &Store) {
    store.commit(people()).await.unwrap();
    assert_eq!(store.group_by_name(" HOME ").map(|group| group.id), Some(HOME));
    assert_eq!(store.member_by_name(HOME, "anna").map(|anna| anna.id), Some(ANNA));
    assert_eq!(store.member_by_name(HOME, "nobody"), None);
    let mut anna = member(ANNA, "Anna", Role::Steward);
    anna.settings.country = Some("IT".to_owned());
    let change = Change {
        members: vec![anna.clone()],
        chambers: vec![
            Chamber { id: BOX, owner: ANNA, name: "Curing Box".to_owned() },
            Chamber { id: ChamberId(2), owner: ANNA, name: "Cellar".to_owned() },
        ],
        ..Change::default()
    };
    store.commit(change).await.unwrap();
    assert_eq!(store.member(ANNA, HOME), Some(anna));
    assert_eq!(store.members_of_group(HOME).len(), 2);
    assert_eq!(store.chambers_of(ANNA).await.unwrap().len(), 2);
    let found = store.chamber_by_name(ANNA, "curing").await.unwrap().one().unwrap();
    assert_eq!(found.name, "Curing Box");
    assert_eq!(store.chamber_by_name(BEN, "curing").await, Ok(Found::Nothing));
    let taken = Change {
        chambers: vec![Chamber { id: ChamberId(3), owner: ANNA, name: " CELLAR ".to_owned() }],
        ..Change::default()
    };
    assert!(matches!(store.commit(taken).await, Err(StoreError::NameTaken { what: "chamber", .. })));
    assert_eq!(store.chamber(ChamberId(3)).await, Ok(None));
}

async fn step_3_a_batch_is_started_and_found_by_name(store: &Store) {
    store.commit(start(STICK, 1, "Juniper stick", ANNA)).await.unwrap();
    store.commit(start(BatchId(2), 2, "Juniper ham", ANNA)).await.unwrap();
    store.commit(start(BatchId(3), 3, "Fennel", BEN)).await.unwrap();
    let (state, version) = store.batch(STICK).await.unwrap().unwrap();
    assert_eq!((state.plan, version), (plan("Juniper stick", ANNA), 1));
    let named = |text: &'static str| store.batch_by_name(ANNA, HOME, text);
    assert_eq!(named("JUNIPER  stick").await.unwrap().one().unwrap().id, STICK);
    assert_eq!(named("juniper h").await.unwrap().one().unwrap().id, BatchId(2));
    assert!(matches!(named("juniper").await, Ok(Found::Several(two)) if two.len() == 2));
    assert_eq!(named("fen").await, Ok(Found::Nothing), "another's is not found by its name");
    let (batch, asked) = (BatchId(3), minute(1));
    let helper = |accepted_at| Helper { batch, member: ANNA, invited_at: asked, accepted_at };
    for accepted_at in [None, Some(minute(2))] {
        store.commit(Change { helpers: vec![helper(accepted_at)], ..Change::default() }).await.unwrap();
        assert_eq!(
            named("fen").await.unwrap().one().is_some(),
            accepted_at.is_some(),
            "once one helps with it"
        );
    }
    assert_eq!(store.helpers_of(batch).await, Ok(vec![helper(Some(minute(2)))]));
    store.commit(Change { helpers_gone: vec![(batch, ANNA)], ..Change::default() }).await.unwrap();
    assert_eq!(store.helping(ANNA).await, Ok(Vec::new()));
    assert_eq!(named("100%").await, Ok(Found::Nothing));
    assert_eq!(named("").await, Ok(Found::Nothing));
    assert_eq!(store.open_batches_in(BOX).await.unwrap().len(), 3);
    let again = store.commit(start(BatchId(4), 4, "juniper STICK", ANNA)).await;
    assert!(matches!(again, Err(StoreError::NameTaken { what: "batch", .. })));
    assert_eq!(store.event(EventId(4)).await, Ok(None), "nothing of a refused change is kept");
}

async fn step_4_entries_add_up_to_the_kept_state(store: &Store) {
    let batch = Subject::Batch(STICK);
    let pieces = vec![hung(1, 412.3), hung(2, 398.7)];
    keep(store, event(10, batch, minute(60), ANNA, Happening::PiecesHung { pieces })).await;
    keep(store, event(11, Subject::Piece(STICK, PieceNumber(2)), minute(3000), ANNA, weighed(371.1))).await;
    keep(store, event(12, Subject::Sample(STICK), minute(1200), ANNA, ph(5.53))).await;
    keep(store, event(13, Subject::Piece(STICK, PieceNumber(1)), minute(900), BEN, mould())).await;
    let fermenting = Happening::StageReached { stage: BatchStage::Fermenting };
    keep(store, event(14, batch, minute(70), ANNA, fermenting)).await;
    keep(store, event(15, batch, minute(3100), ANNA, Happening::Undone { of: EventId(12) })).await;
    let change = Happening::Changed { of: EventId(11), to: Box::new(weighed(317.1)) };
    keep(store, event(16, Subject::Piece(STICK, PieceNumber(2)), minute(3000), ANNA, change)).await;

    let (state, version) = store.batch(STICK).await.unwrap().unwrap();
    let events = store.events_of_batch(STICK).await.unwrap();
    assert_eq!(version, 8);
    assert_eq!(events.len(), 8);
    assert_eq!(Some(&state), BatchState::rebuild(&events).as_ref());
    assert!(state.ph.is_empty(), "the pH was undone");
    let last = state.piece(PieceNumber(2)).unwrap().last_gross();
    assert_eq!(last, (tallyhook::quantity::Mass::grams(317.1), minute(3000)));
    let summary = store.batch_summary(STICK).await.unwrap().unwrap();
    assert_eq!((summary.stage, summary.is_open), (BatchStage::Fermenting, true));
    assert_eq!((summary.started_at, summary.last_at), (minute(0), minute(3000)));
    assert_eq!(store.events_by_author(BEN).await.unwrap().len(), 2);
}

async fn step_5_a_state_computed_from_an_old_one_is_refused(store: &Store) {
    let (state, version) = store.batch(STICK).await.unwrap().unwrap();
    let outdated = |computed_from| Change {
        batches: vec![BatchWrite { state: state.clone(), computed_from }],
        ..Change::default()
    };
    for wrong in [0, version - 1, version + 1] {
        assert_eq!(store.commit(outdated(wrong)).await, Err(StoreError::Conflict { batch: STICK }));
    }
    let mut gone = state.clone();
    gone.id = BatchId(99);
    let change = Change { batches: vec![BatchWrite { state: gone, computed_from: 5 }], ..Change::default() };
    assert_eq!(store.commit(change).await, Err(StoreError::Conflict { batch: BatchId(99) }));
    assert_eq!(store.batch(STICK).await, Ok(Some((state, version))));
}

async fn step_6_a_request_that_comes_twice_is_kept_once(store: &Store) {
    let note = |id| Change {
        request: Some("message 77".to_owned()),
        events: vec![event(id, Subject::Chamber(BOX), minute(5), ANNA, room(22.0))],
        ..Change::default()
    };
    assert!(!store.commit(note(20)).await.unwrap().duplicate);
    assert!(store.commit(note(21)).await.unwrap().duplicate);
    assert_eq!(store.event(EventId(21)).await, Ok(None));
    let kept = store.events_of_request("message 77").await.unwrap();
    assert_eq!(kept.iter().map(|event| event.id).collect::<Vec<_>>(), [EventId(20)]);
    let nothing = Change { request: Some("message 78".to_owned()), ..Change::default() };
    assert!(!store.commit(nothing.clone()).await.unwrap().duplicate);
    assert!(!store.commit(nothing).await.unwrap().duplicate, "what keeps nothing is not remembered");
}

async fn step_7_a_chamber_answers_for_a_stretch_of_time(store: &Store) {
    let cellar = ChamberId(2);
    let subject = Subject::Chamber(cellar);
    let set = |celsius: Option<f64>| Happening::RoomSet {
        temperature: celsius.map(Temperature::celsius),
        humidity: None,
        hysteresis_celsius: 1.0,
    };
    let entries = [
        (30, 0, set(Some(24.0))),
        (31, 10, set(Some(12.0))),
        (32, 20, set(None)),
        (33, 30, room(24.5)),
        (34, 40, room(99.0)),
        (35, 100, room(23.9)),
        (36, 150, room(80.0)),
        (37, 200, room(23.5)),
        (38, 260, room(19.0)),
        // Corrections, written later: the setting of 12 °C never was, nor the reading of 99; the reading of 80 °C
        // was 18.0; the last reading was at minute 120 already.
        (39, 300, Happening::Undone { of: EventId(31) }),
        (40, 301, Happening::Undone { of: EventId(34) }),
        (41, 150, Happening::Changed { of: EventId(36), to: Box::new(room(18.0)) }),
        (42, 120, Happening::Changed { of: EventId(38), to: Box::new(room(19.0)) }),
    ];
    for (id, at, what) in entries {
        keep(store, event(id, subject, minute(at), BEN, what)).await;
    }
    let window = store.chamber_events(cellar, minute(100), minute(200)).await.unwrap();
    let seen: Vec<i64> = window.iter().map(|event| event.id.0).collect();
    assert_eq!(seen, [30, 33, 35, 38, 36, 37]);
    let climate = Climate::of(&window);
    assert_eq!(climate.settings.len(), 1);
    assert_eq!(climate.settings[0].temperature, Temperature::celsius(24.0));
    let read: Vec<f64> = climate.readings.iter().map(|reading| reading.temperature.as_celsius()).collect();
    assert_eq!(read, [24.5, 23.9, 19.0, 18.0, 23.5]);
    assert_eq!(store.events_of_chamber(cellar).await.unwrap().len(), 13);
}

fn planned(kind: ReminderKind, occurrence: u32, due: i64, text: &str) -> PlannedReminder {
    PlannedReminder { kind, occurrence, due: minute(due), text: text.to_owned() }
}

async fn plan_of(store: &Store, planned: Vec<PlannedReminder>) -> ReminderPlan {
    let (_, computed_from) = store.batch(STICK).await.unwrap().unwrap();
    ReminderPlan { batch: STICK, member: ANNA, planned, computed_from, air: vec![] }
}

async fn plan_is(store: &Store, planned: Vec<PlannedReminder>) {
    let plan = plan_of(store, planned).await;
    store.commit(Change { reminder_plans: vec![plan], ..Change::default() }).await.unwrap();
}

async fn kept_plan(store: &Store) -> Vec<(i64, i64, ReminderState)> {
    let kept = store.all_reminders_of(ANNA).await.unwrap();
    kept.iter()
        .filter(|reminder| reminder.kind != ReminderKind::Own)
        .map(|reminder| (reminder.id.0, (reminder.due - minute(0)).num_minutes(), reminder.state))
        .collect()
}

async fn step_8_the_plan_of_reminders_moves_and_withdraws(store: &Store) {
    use ReminderState::{Scheduled, Withdrawn};
    let first = planned(ReminderKind::PhCheck, 0, 720, "measure the pH");
    let second = planned(ReminderKind::PhCheck, 1, 1440, "measure the pH again");
    plan_is(store, vec![first.clone(), second.clone()]).await;
    assert_eq!(kept_plan(store).await, [(1, 720, Scheduled), (2, 1440, Scheduled)]);
    plan_is(store, vec![first.clone(), second.clone()]).await;
    assert_eq!(kept_plan(store).await.len(), 2, "planning the same again adds nothing");
    let earlier = planned(ReminderKind::PhCheck, 0, 600, "measure the pH");
    plan_is(store, vec![earlier.clone()]).await;
    assert_eq!(kept_plan(store).await, [(1, 600, Scheduled), (2, 1440, Withdrawn)]);
    plan_is(store, vec![earlier, second]).await;
    assert_eq!(kept_plan(store).await, [(1, 600, Scheduled), (2, 1440, Scheduled)]);
    let own = planned(ReminderKind::Own, 0, 1, "mine");
    let refused = plan_of(store, vec![own]).await;
    let refused = store.commit(Change { reminder_plans: vec![refused], ..Change::default() }).await;
    assert!(matches!(refused, Err(StoreError::Unfit { .. })));
}

async fn step_9_what_is_due_is_claimed_once_and_again_when_the_lease_ran_out(store: &Store) {
    let (first, second) = (store.next_claimant(), store.next_claimant());
    assert_eq!(store.claim_reminders(first, minute(599), 10, None).await, Ok(vec![]));
    let claimed = store.claim_reminders(first, minute(600), 10, None).await.unwrap();
    assert_eq!(claimed.len(), 1);
    assert_eq!(
        (claimed[0].id, claimed[0].tries, claimed[0].state),
        (ReminderId(1), 1, ReminderState::Claimed)
    );
    assert_eq!(
        store.claim_reminders(second, minute(600), 10, None).await,
        Ok(vec![]),
        "nobody claims it too"
    );
    let again = store.claim_reminders(second, minute(601), 10, None).await.unwrap();
    assert_eq!((again.len(), again[0].tries), (1, 2), "the lease of a minute ran out");
    let late = settle(store, first, ReminderId(1), Settlement::Sent { at: minute(602) }).await;
    assert_eq!(late, 1, "it is no longer the first one's to settle");
    assert_eq!(kept_plan(store).await[0].2, ReminderState::Claimed);
    let failure = "away".to_owned();
    let retry = Settlement::Retry { not_before: minute(700), failure };
    assert_eq!(settle(store, second, ReminderId(1), retry).await, 0);
    assert_eq!(
        store.claim_reminders(first, minute(699), 10, None).await,
        Ok(vec![]),
        "not before it is told"
    );
    let both = store.claim_reminders(first, minute(1440), 1, None).await.unwrap();
    assert_eq!(both.len(), 1, "no more than the limit");
    assert_eq!((both[0].id, both[0].tries), (ReminderId(1), 3), "longest overdue first");
    assert_eq!(both[0].failure.as_deref(), Some("away"));
    assert_eq!(store.claim_reminders(first, minute(1440), 10, None).await.unwrap()[0].id, ReminderId(2));
    let sent = settle(store, first, ReminderId(1), Settlement::Sent { at: minute(1441) }).await;
    assert_eq!(sent, 0);
}

/// How many claims were refused.
async fn settle(store: &Store, by: Claimant, id: ReminderId, how: Settlement) -> usize {
    let settled = vec![Settled { by, what: Claimed::Reminder(id), how }];
    store.commit(Change { settled, ..Change::default() }).await.unwrap().refused
}

async fn step_10_what_was_sent_or_cancelled_never_comes_back(store: &Store) {
    use ReminderState::{Cancelled, Sent};
    let mut own = Reminder {
        batch: Some(STICK),
        every_days: Some(7),
        anchor: Some(minute(2000).naive_utc()),
        ..Reminder::own(store.next_reminder_id(), ANNA, minute(2000), "wash the box".to_owned())
    };
    let change = Change {
        reminders: vec![own.clone()],
        reminders_cancelled: vec![ReminderId(2)],
        ..Change::default()
    };
    store.commit(change).await.unwrap();
    let same = planned(ReminderKind::PhCheck, 0, 1500, "measure the pH");
    let second = planned(ReminderKind::PhCheck, 1, 5001, "measure the pH again");
    plan_is(store, vec![same, second]).await;
    assert_eq!(kept_plan(store).await, [(1, 600, Sent), (2, 1440, Cancelled)]);
    assert_eq!(
        store.reminders_of(ANNA).await,
        Ok(vec![own.clone()]),
        "a member's own is no part of the plan"
    );
    // One that comes again goes on to its next time.
    let by = store.next_claimant();
    assert_eq!(store.claim_reminders(by, minute(2000), 10, None).await.unwrap().len(), 1);
    own.due = minute(2000 + 7 * 24 * 60);
    assert_eq!(
        settle(store, by, own.id, Settlement::Again { due: own.due, sent: None, failure: None }).await,
        0
    );
    assert_eq!(store.reminder(own.id).await, Ok(Some(own)));
}

async fn step_11_messages_wait_until_they_are_sent(store: &Store) {
    let id = store.next_outgoing_id();
    let text = "Juniper stick: measure the pH.".to_owned();
    let message = Outgoing { batch: Some(STICK), ..Outgoing::new(id, ANNA, minute(100), text) };
    store.commit(Change { outgoing: vec![message.clone()], ..Change::default() }).await.unwrap();
    assert_eq!(store.outgoing_to(ANNA).await, Ok(vec![message.clone()]));
    let (first, second) = (store.next_claimant(), store.next_claimant());
    assert_eq!(store.claim_messages(first, minute(99), 10, None).await, Ok(vec![]));
    let claimed = Outgoing { state: OutgoingState::Claimed, tries: 1, ..message.clone() };
    assert_eq!(store.claim_messages(first, minute(100), 10, None).await, Ok(vec![claimed]));
    assert_eq!(store.claim_messages(second, minute(100), 10, None).await, Ok(vec![]));
    assert_eq!(store.claim_messages(second, minute(102), 10, None).await.unwrap()[0].tries, 2);
    let sent = |by| {
        let how = Settlement::Sent { at: minute(101) };
        store.commit(Change {
            settled: vec![Settled { by, what: Claimed::Message(id), how }],
            ..Change::default()
        })
    };
    assert_eq!(sent(first).await.unwrap().refused, 1);
    assert_eq!(sent(second).await.unwrap().refused, 0);
    assert_eq!(store.claim_messages(first, minute(200), 10, None).await, Ok(vec![]));
    assert_eq!(store.outgoing_to(ANNA).await.unwrap()[0].state, OutgoingState::Sent);
}

async fn step_12_a_finished_batch_goes_on_the_board_and_off(store: &Store) {
    let finished = Happening::StageReached { stage: BatchStage::Finished };
    keep(store, event(50, Subject::Batch(STICK), minute(50_000), ANNA, finished)).await;
    assert_eq!(store.open_batches(ANNA).await.unwrap().len(), 1);
    assert_eq!(store.batches_of(ANNA).await.unwrap().len(), 2);
    let mut share = ShareWrite {
        batch: STICK,
        group: HOME,
        member: ANNA,
        shared_at: Some(minute(50_001)),
        record: "Juniper stick\n38 % lost".to_owned(),
    };
    let commit =
        |share: &ShareWrite| store.commit(Change { shares: vec![share.clone()], ..Change::default() });
    commit(&share).await.unwrap();
    let board = store.shares_of_group(HOME).await.unwrap();
    assert_eq!((board.len(), board[0].record.as_str()), (1, "Juniper stick\n38 % lost"));
    share.shared_at = None;
    commit(&share).await.unwrap();
    assert_eq!(store.share_of(STICK).await, Ok(None));
    share.shared_at = Some(minute(50_002));
    commit(&share).await.unwrap();
    assert_eq!(store.share_of(STICK).await.unwrap().unwrap().shared_at, minute(50_002));
}

async fn step_12_then_recipes_are_kept_shared_and_replaced(store: &Store) {
    let mut recipe = Formulation {
        owner: ANNA,
        name: "Fennel Stick".to_owned(),
        group: HOME,
        recipe: Recipe {
            items: vec!["2.5% salt".to_owned(), "3 g/kg fennel of the hill".to_owned()],
            product: "sausage".to_owned(),
            allergens: vec!["celery".to_owned()],
            unnamed: false,
            after: Some(CopiedFrom { name: "Hill stick".to_owned(), owner: Some(BEN) }),
        },
        saved_at: minute(50_003),
        shared_at: None,
    };
    let keep = |recipe: &Formulation| {
        store.commit(Change { formulations: vec![recipe.clone()], ..Change::default() })
    };
    keep(&recipe).await.unwrap();
    assert_eq!(store.formulations_of(ANNA).await, Ok(vec![recipe.clone()]));
    assert_eq!(store.formulation_by_name(BEN, HOME, "fennel").await, Ok(Found::Nothing), "it is not shared");
    recipe.shared_at = Some(minute(50_004));
    keep(&recipe).await.unwrap();
    assert_eq!(store.formulations_shared(HOME).await, Ok(vec![recipe.clone()]));
    assert_eq!(store.formulation_by_name(BEN, HOME, "FENNEL  st").await, Ok(Found::One(recipe.clone())));
    "fennel stick".clone_into(&mut recipe.name);
    recipe.recipe.items.truncate(1);
    recipe.shared_at = None;
    keep(&recipe).await.unwrap();
    assert_eq!(store.formulations_of(ANNA).await, Ok(vec![recipe]), "the same name is the same recipe");
    assert_eq!(store.formulations_shared(HOME).await, Ok(vec![]));
}

async fn step_13_everything_is_there_after_reopening(store: Store, path: PathBuf) -> Store {
    let before = store.everything_of(ANNA).await.unwrap();
    store.close().await.unwrap();
    assert_eq!(store.commit(people()).await, Err(StoreError::Closed));
    drop(store);
    let store = Store::open(&path).await.unwrap();
    assert_eq!(store.everything_of(ANNA).await.unwrap(), before);
    assert_eq!(store.member(ANNA, HOME).unwrap().settings.country.as_deref(), Some("IT"));
    assert_eq!(store.next_event_id(), EventId(51));
    store
}

async fn step_14_a_member_takes_everything_along(store: &Store) {
    let ben = store.everything_of(BEN).await.unwrap();
    assert_eq!((ben.batches.len(), ben.chambers.len(), ben.memberships.len()), (1, 0, 1));
    assert_eq!(ben.entries.len(), 1);
    assert_eq!(ben.entries_elsewhere.len(), 14, "the mould he saw and the cellar he read");
    let anna = store.everything_of(ANNA).await.unwrap();
    assert_eq!((anna.batches.len(), anna.chambers.len(), anna.shares.len()), (2, 2, 1));
    assert_eq!((anna.formulations.len(), ben.formulations.len()), (1, 0));
    assert_eq!((anna.reminders.len(), anna.messages.len()), (3, 1));
    assert!(
        serde_json::to_string(&anna).unwrap().contains("white, dry"),
        "others' entries in one's own batch"
    );
}

async fn step_15_erasing_leaves_nothing_but_entries_without_author(store: &Store) {
    let erase = |member: MemberId| store.commit(Change { erase_member: Some(member), ..Change::default() });
    let before = store.batch(STICK).await.unwrap();
    erase(BEN).await.unwrap();
    assert_eq!(store.member(BEN, HOME), None);
    assert_eq!(store.batch(BatchId(3)).await, Ok(None));
    assert_eq!(store.event(EventId(3)).await, Ok(None));
    let seen = store.event(EventId(13)).await.unwrap().unwrap();
    assert_eq!((seen.author, seen.what), (None, mould()));
    assert_eq!(store.batch(STICK).await.unwrap(), before, "Anna's batch is what it was");
    let copy = store.formulations_of(ANNA).await.unwrap().remove(0);
    assert_eq!(copy.recipe.after, Some(CopiedFrom { name: "Hill stick".to_owned(), owner: None }));
    erase(ANNA).await.unwrap();
    let left = store.everything_of(ANNA).await.unwrap();
    assert_eq!(left.memberships, vec![]);
    assert!(left.chambers.is_empty() && left.batches.is_empty() && left.shares.is_empty());
    assert!(left.formulations.is_empty());
    assert!(left.reminders.is_empty() && left.messages.is_empty() && left.entries_elsewhere.is_empty());
    assert_eq!(store.shares_of_group(HOME).await, Ok(vec![]));
    for id in 1..=51 {
        assert_eq!(store.event(EventId(id)).await, Ok(None));
    }
    let bytes = std::fs::read(store.path()).unwrap();
    let log = std::fs::read(store.path().with_extension("sqlite3-wal")).unwrap_or_default();
    for trace in ["Juniper", "fennel", "white, dry", "wash the box", "message 77"] {
        let found =
            [&bytes, &log].iter().any(|file| file.windows(trace.len()).any(|part| part == trace.as_bytes()));
        assert!(!found, "{trace:?} still stands in the file");
    }
}

async fn step_16_numbers_are_never_given_twice(store: Store) {
    let path = store.path().to_owned();
    store.close().await.unwrap();
    drop(store);
    let store = Store::open(&path).await.unwrap();
    assert_eq!(store.next_batch_id(), BatchId(4));
    assert_eq!(store.next_member_id(), MemberId(3));
    assert_eq!(store.next_chamber_id(), ChamberId(3));
    assert_eq!(store.next_event_id(), EventId(51));
    assert_eq!(store.next_reminder_id(), ReminderId(4));
    store.close().await.unwrap();
}
