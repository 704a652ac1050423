//! How much of one kind one member may keep.

use chrono::DateTime;
use tallyhook::desk::{Answered, Desk, Incoming};
use tallyhook::store::Store;

/// Says a line until it is refused; the number of times it was not, and the refusal.
async fn until_refused(line: impl Fn(usize) -> String) -> (usize, String) {
    let desk = Desk::new(Store::open_temporary().await.unwrap());
    let now = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
    for number in 0..1000 {
        match desk.answer(&Incoming::line("home", "mara", &line(number), now)).await {
            Answered::Reply(_) => {}
            Answered::Error(error) => return (number, error.message),
            other => panic!("{other:?}"),
        }
    }
    panic!("never refused");
}

#[tokio::test]
async fn two_hundred_reminders_wait_at_most() {
    let refused = until_refused(|number| format!("remind set text:look {number} when:tomorrow 9am")).await;
    assert_eq!(refused, (200, "200 reminders of yours wait already; cancel one first.".to_owned()));
}

#[tokio::test]
async fn fifty_chambers_are_enough() {
    let (kept, refusal) = until_refused(|number| format!("chamber add name:box {number}")).await;
    assert_eq!(kept, 49, "home is there from the beginning");
    assert!(refusal.starts_with("You have 50 chambers already"), "{refusal}");
}
