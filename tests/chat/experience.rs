//! Which finished dryings a member's forecasts learn from.

use crate::store_world::{ANNA, BEN, BOX, HOME, hung, keep, member, minute, start, weighed};
use crate::store_world::{event, people};
use tallyhook::command::experience::finished_dryings;
use tallyhook::command::{self, Answer, Asking, Seen, Services};
use tallyhook::quantity::MassUnit;
use tallyhook::record::{BatchId, BatchStage, Happening, MemberId, PieceNumber, Role, Subject};
use tallyhook::reply::{json, plain};
use tallyhook::store::{Change, ShareWrite, Store};

const CARLA: MemberId = MemberId(3);

fn asking(services: &Services, id: MemberId) -> Asking {
    Asking {
        member: services.store.member(id, HOME).unwrap(),
        group: services.store.group(HOME).unwrap(),
        now: minute(100_000),
        request: None,
        confirmed: false,
        moderates: false,
        place: None,
        typed: String::new(),
        file: None,
        seen: Seen::default(),
    }
}

/// A finished batch of one piece: 1000 g net, 600 g net after ten days (target 38 %, reached on day 9.5).
async fn finished(store: &Store, number: i64, owner: MemberId) {
    let batch = BatchId(number);
    let first = number * 100;
    let day = |days: i64| minute(days * 1440);
    store.commit(start(batch, first, &format!("batch {number}"), owner)).await.unwrap();
    let of_batch = Subject::Batch(batch);
    let pieces = vec![hung(1, 1012.0)];
    keep(store, event(first + 1, of_batch, day(1), owner, Happening::PiecesHung { pieces })).await;
    keep(store, event(first + 2, Subject::Piece(batch, PieceNumber(1)), day(11), owner, weighed(612.0)))
        .await;
    let over = Happening::StageReached { stage: BatchStage::Finished };
    keep(store, event(first + 3, of_batch, day(12), owner, over)).await;
}

async fn show(store: &Store, number: i64, owner: MemberId, on_board: bool) {
    let share = ShareWrite {
        batch: BatchId(number),
        group: HOME,
        member: owner,
        shared_at: on_board.then(|| minute(50_000)),
        record: "record".to_owned(),
    };
    store.commit(Change { shares: vec![share], ..Change::default() }).await.unwrap();
}

async fn services() -> Services {
    let store = Store::open_temporary().await.unwrap();
    store.commit(people()).await.unwrap();
    let carla = Change { members: vec![member(CARLA, "Carla", Role::Member)], ..Change::default() };
    store.commit(carla).await.unwrap();
    for (number, owner) in [(1, ANNA), (2, ANNA), (3, BEN), (4, BEN), (5, CARLA)] {
        finished(&store, number, owner).await;
    }
    Services::new(store)
}

/// Own, shared and anonymous number of the member of each.
async fn found(services: &Services, who: MemberId) -> Vec<(bool, bool, usize)> {
    let dryings = finished_dryings(services, &asking(services, who)).await.unwrap();
    dryings.iter().map(|drying| (drying.is_own, drying.is_shared, drying.member)).collect()
}

#[tokio::test]
async fn ones_own_count_either_way_and_others_when_shown() {
    let services = services().await;
    assert_eq!(found(&services, ANNA).await, [(true, false, 0), (true, false, 0)]);
    show(&services.store, 2, ANNA, true).await;
    show(&services.store, 4, BEN, true).await;
    show(&services.store, 5, CARLA, true).await;
    assert_eq!(
        found(&services, ANNA).await,
        [(true, false, 0), (true, true, 0), (false, true, 1), (false, true, 2)]
    );
    assert_eq!(
        found(&services, CARLA).await,
        [(true, true, 0), (false, true, 1), (false, true, 2)],
        "what is not shown is its owner's alone"
    );
    let dryings = finished_dryings(&services, &asking(&services, CARLA)).await.unwrap();
    let own = dryings.first().unwrap();
    assert_eq!((own.chamber, own.curve.points().len()), (BOX, 1));
    assert!((own.target_day.unwrap() - 9.5).abs() < 1e-9);
}

#[tokio::test]
async fn what_is_taken_back_or_erased_counts_no_longer() {
    let services = services().await;
    show(&services.store, 4, BEN, true).await;
    show(&services.store, 5, CARLA, true).await;
    assert_eq!(found(&services, ANNA).await.len(), 4);
    show(&services.store, 4, BEN, false).await;
    assert_eq!(found(&services, ANNA).await.len(), 3);
    services.store.commit(Change { erase_member: Some(CARLA), ..Change::default() }).await.unwrap();
    assert_eq!(found(&services, ANNA).await.len(), 2);
}

#[tokio::test]
async fn an_undone_finish_is_seen_at_once() {
    let services = services().await;
    assert_eq!(found(&services, BEN).await.len(), 2);
    let undone = Happening::Undone { of: tallyhook::record::EventId(303) };
    keep(&services.store, event(900, Subject::Batch(BatchId(3)), minute(20_000), BEN, undone)).await;
    assert_eq!(found(&services, BEN).await.len(), 1);
    finished(&services.store, 6, BEN).await;
    assert_eq!(found(&services, BEN).await.len(), 2);
}

/// The answer as a person and as a script get it.
async fn told(line: &str, services: &Services, asking: &Asking) -> (String, String) {
    let request = command::read(line, asking).unwrap();
    let Answer::Reply(reply) = command::perform(&request, services, asking).await.unwrap() else {
        panic!("{line}: no reply");
    };
    (plain::text(&reply), json::reply(&reply).to_string())
}

#[tokio::test]
async fn figures_name_nobody_and_are_the_same_for_everybody() {
    let services = services().await;
    for (number, owner) in [(1, ANNA), (2, ANNA), (3, BEN), (4, BEN), (5, CARLA)] {
        show(&services.store, number, owner, true).await;
    }
    let anna = asking(&services, ANNA);
    let (shown, script) = told("group stats", &services, &anna).await;
    assert!(shown.contains("5 batches"), "{shown}");
    for name in ["Anna", "Ben", "Carla", "batch 1", "B1", "B2", "B3", "B4", "B5", "Box"] {
        assert!(!shown.contains(name) && !script.contains(name), "{name} in {shown} {script}");
    }
    let mut carla = asking(&services, CARLA);
    carla.member.settings.mass = MassUnit::Pound;
    assert_eq!(told("group stats", &services, &carla).await, (shown, script));
    let (shown, _) = told("dry compare batch:B5", &services, &carla).await;
    for name in ["Anna", "Ben", "batch 1", "B1"] {
        assert!(!shown.contains(name), "{name} in {shown}");
    }
}
