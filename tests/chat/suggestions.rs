//! What is suggested while an option is typed, for a member of ten thousand batches.

use crate::store_world::{ANNA, start, world};
use std::time::{Duration, Instant};
use tallyhook::desk::{Desk, Sender};
use tallyhook::record::BatchId;
use tallyhook::store::Change;

/// The platform gives three seconds and shows what comes within a blink: 300 ms is the bound here, also in a debug build.
const AT_ONCE: Duration = Duration::from_millis(300);

#[tokio::test]
async fn ten_thousand_batches_are_searched_at_once() {
    let store = world().await;
    for chunk in 0..20 {
        let mut all = Change::default();
        for number in chunk * 500..(chunk + 1) * 500 {
            let one = start(BatchId(100 + number), 1000 + number, &format!("Stick {number:05}"), ANNA);
            all.batches.extend(one.batches);
            all.events.extend(one.events);
        }
        store.commit(all).await.unwrap();
    }
    let (group, anna) = {
        let member = store.memberships_of(ANNA).remove(0);
        (store.group(member.group).unwrap().name, member.name)
    };
    let desk = Desk::new(store);
    let sender = Sender::Named { group, member: anna };
    let mut longest = Duration::ZERO;
    for (typed, first) in [("", "B10099"), ("B77", "B7799"), ("stick 0777", "B7879"), ("nothing like it", "")]
    {
        let before = Instant::now();
        let found = desk.suggest(&sender, "batch", "show", "batch", typed).await;
        longest = longest.max(before.elapsed());
        assert!(found.len() <= 25, "{}", found.len());
        assert_eq!(found.first().map_or("", |one| one.value.as_str()), first, "{typed}");
    }
    assert!(longest < AT_ONCE, "{longest:?}");
}
