//! The library's own rate limiter, over TLS on loopback, as it runs towards the platform.

use std::time::{Duration, Instant};

use crate::assistant::{Cellar, morning};
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Action, Fault, Options, Reply, SOON};

async fn encrypted() -> Cellar {
    Cellar::with(Options { tls: true, now: Some(morning()), ..Options::default() }, false).await
}

fn too_many(path: &str, global: bool) -> Fault {
    Fault {
        method: "POST",
        path: path.to_owned(),
        times: 1,
        action: Action::TooMany { retry_after_seconds: 1.0, global },
    }
}

#[tokio::test]
async fn an_answer_that_was_one_too_many_waits_as_long_as_it_is_told() {
    let mut cellar = encrypted().await;
    for global in [false, true] {
        cellar.stand_in.clear_records();
        cellar.stand_in.fault(too_many(r"^/channels/\d+/messages$", global));
        let started = Instant::now();
        let posted = cellar.stand_in.post(
            cellar.anna,
            cellar.log,
            &format!("<@{}> help", cellar.stand_in.bot()),
            Reply::None,
        );
        cellar.stand_in.reply_after(posted, SOON).await;
        assert!(started.elapsed() >= Duration::from_secs(1), "{:?}", started.elapsed());
        let posts: Vec<u16> = cellar
            .stand_in
            .records()
            .iter()
            .filter(|record| record.is("POST", "/channels/", "/messages"))
            .map(|record| record.status)
            .collect();
        assert_eq!(posts, [429, 200], "global: {global}");
        let answers = cellar.said_in(cellar.log).len();
        assert_eq!(answers, if global { 2 } else { 1 });
    }
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
}

/// Counters on an answer that was taken: the next one waits without having been turned away.
#[tokio::test]
async fn an_empty_bucket_is_waited_for() {
    let mut cellar = encrypted().await;
    let headers = [
        ("x-ratelimit-limit", "1"),
        ("x-ratelimit-remaining", "0"),
        ("x-ratelimit-reset-after", "0.7"),
        ("x-ratelimit-reset", "0.7"),
        ("x-ratelimit-bucket", "invented"),
    ];
    let headers = headers.map(|(name, value)| (name.to_owned(), value.to_owned())).to_vec();
    cellar.stand_in.fault(Fault {
        method: "POST",
        path: r"^/channels/\d+/messages$".to_owned(),
        times: 1,
        action: Action::Headers(headers),
    });
    let line = format!("<@{}> help", cellar.stand_in.bot());
    let first = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    cellar.stand_in.reply_after(first, SOON).await;
    let started = Instant::now();
    let second = cellar.stand_in.post(cellar.anna, cellar.log, &line, Reply::None);
    cellar.stand_in.reply_after(second, SOON).await;
    assert!(started.elapsed() >= Duration::from_millis(500), "{:?}", started.elapsed());
    assert!(cellar.stand_in.records().iter().all(|record| record.status != 429));
    cellar.stop().await;
}
