//! Answers that come when the platform no longer takes them.

use serde_json::json;
use tallyhook::record::BatchId;

use crate::assistant::{Cellar, pause};
use crate::support::stand_in::{Action, Fault, SOON};

/// An answer that comes too late for the platform (10062) leaves what was kept as it is, and is not tried again.
#[tokio::test]
async fn what_was_kept_stays_where_its_answer_comes_too_late() {
    let mut cellar = Cellar::new().await;
    cellar.batch().await;
    cellar.stand_in.fault(Fault {
        method: "POST",
        path: r"/interactions/\d+/[^/]+/callback$".to_owned(),
        times: 1,
        action: Action::Status {
            code: 404,
            body: json!({ "code": 10062, "message": "Unknown interaction" }),
            headers: Vec::new(),
        },
    });
    let before = cellar.stand_in.records().len();
    let asked = cellar.stand_in.slash(
        cellar.anna,
        cellar.log,
        "log reading",
        &[("batch", "B1"), ("text", "hung 812 798 g")],
    );
    cellar.stand_in.wait(SOON, |record| record.is("POST", "/interactions/", "/callback")).await;
    pause(1500).await;
    assert!(!asked.acknowledged());
    let tried = cellar.stand_in.records().into_iter().skip(before);
    let callbacks = tried.filter(|record| record.is("POST", "/interactions/", "/callback")).count();
    assert_eq!(callbacks, 1, "it is not tried again");
    cellar.stop().await;
    let kept = cellar.record(async |store| store.events_of_batch(BatchId(1)).await.unwrap()).await;
    assert!(kept.iter().any(|event| event.what.word() == "pieces_hung"));
}
