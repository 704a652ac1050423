//! How often a session with the gateway is begun. The platform allows 1,000 a day; whoever uses them up loses the token.
//! So what is left of them is asked for before the first, and few are begun in a short time, whatever goes wrong.

use super::front::Front;
use serde_json::Value;
use serenity::gateway::ShardManager;
use std::collections::VecDeque;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{Mutex, OwnedMutexGuard};
use tokio::time::Instant;

/// Sessions begun in [`WITHIN`], at most.
const MOST: usize = 5;
/// The time in which they are counted.
const WITHIN: Duration = Duration::from_mins(10);
/// With fewer left than this none is begun.
const LEAST_LEFT: u64 = 50;
/// How often it is looked whether the library wants to connect.
const LOOK: Duration = Duration::from_millis(50);
/// How often, while it connects: a connection may break at once.
const LOOK_CLOSELY: Duration = Duration::from_millis(5);
/// How long a connection may take to come about; the library itself waits so long between two.
const CONNECTING: Duration = Duration::from_secs(5);
/// The shortest wait for more to be allowed.
const SHORTEST_WAIT: Duration = Duration::from_secs(1);

/// When sessions were begun lately.
#[derive(Debug, Default)]
pub(super) struct Starts {
    begun: VecDeque<Instant>,
    /// Whether the platform has greeted since the door was opened last.
    greeted: bool,
}

impl Starts {
    fn begin(&mut self, now: Instant) {
        self.begun.push_back(now);
    }

    /// The platform greeted a session.
    pub(super) const fn greeted(&mut self) {
        self.greeted = true;
    }

    /// The last connection went on with the session there was: none was begun.
    pub(super) fn resumed(&mut self) {
        self.begun.pop_back();
    }

    /// How long the next has to wait; zero: not at all.
    fn wait(&mut self, now: Instant) -> Duration {
        while self.begun.front().is_some_and(|begun| now.duration_since(*begun) >= WITHIN) {
            self.begun.pop_front();
        }
        match self.begun.front() {
            Some(first) if self.begun.len() >= MOST => WITHIN.saturating_sub(now.duration_since(*first)),
            _ => Duration::ZERO,
        }
    }
}

/// The library reads the gateway's address behind this lock before every connection; whoever holds it lets none through.
pub(super) type Door = Arc<Mutex<String>>;

impl Front {
    /// Lets the library connect, one connection at a time, and only as often as it may. For as long as it is polled.
    pub(super) async fn keep_the_door(
        &self,
        door: Door,
        mut shut: OwnedMutexGuard<String>,
        shards: &ShardManager,
    ) -> ! {
        let mut left = self.starts_left().await;
        loop {
            let wait = self.starts().wait(Instant::now());
            if !wait.is_zero() {
                let seconds = wait.as_secs();
                tracing::warn!(
                    seconds,
                    "the connection was begun anew {MOST} times in ten minutes: it waits"
                );
                pause(wait).await;
            }
            self.starts().greeted = false;
            drop(shut);
            // Whoever waits at the door comes first, so it is closed to us only if somebody went through.
            if let Ok(nobody_came) = Arc::clone(&door).try_lock_owned() {
                shut = nobody_came;
                pause(LOOK).await;
                continue;
            }
            shut = Arc::clone(&door).lock_owned().await;
            if !self.connected(shards).await {
                continue;
            }
            self.starts().begin(Instant::now());
            left = left.map(|left| left.saturating_sub(1));
            if left.is_some_and(|left| left < LEAST_LEFT) {
                left = self.starts_left().await;
            }
        }
    }

    /// Whether a connection came about. One that did not begins no session, and may be tried again at once.
    async fn connected(&self, shards: &ShardManager) -> bool {
        let until = Instant::now() + CONNECTING;
        while Instant::now() < until {
            if self.starts().greeted || !shards.shards_instantiated().await.is_empty() {
                return true;
            }
            pause(LOOK_CLOSELY).await;
        }
        false
    }

    /// How many sessions may still be begun, once there are enough. `None`: the platform did not say.
    async fn starts_left(&self) -> Option<u64> {
        let mut told = false;
        loop {
            let said = match self.api.gateway().await {
                Ok(said) => said,
                Err(trouble) => {
                    tracing::warn!(%trouble, "how many connections are left today is not known");
                    return None;
                }
            };
            let (left, reset) = starts_said(&said)?;
            if left >= LEAST_LEFT {
                return Some(left);
            }
            if !told {
                let seconds = reset.as_secs();
                tracing::warn!(
                    left,
                    seconds,
                    "too few connections are left today: it waits until there are more"
                );
                told = true;
            }
            pause(reset.max(SHORTEST_WAIT)).await;
        }
    }
}

/// What is left, and after how long there are more (the platform's reference, "Get Gateway Bot").
fn starts_said(said: &Value) -> Option<(u64, Duration)> {
    let limit = &said["session_start_limit"];
    Some((limit["remaining"].as_u64()?, Duration::from_millis(limit["reset_after"].as_u64()?)))
}

#[expect(clippy::disallowed_methods, reason = "nothing is to happen before it is over")]
async fn pause(time: Duration) {
    tokio::time::sleep(time).await;
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn five_in_ten_minutes_and_no_sixth() {
        let (mut starts, begin) = (Starts::default(), Instant::now());
        let at = |seconds| begin + Duration::from_secs(seconds);
        for second in [0, 5, 10, 15, 20] {
            assert_eq!(starts.wait(at(second)), Duration::ZERO);
            starts.begin(at(second));
        }
        assert_eq!(starts.wait(at(25)), Duration::from_secs(575), "until the first is ten minutes old");
        assert_eq!(starts.wait(at(600)), Duration::ZERO);
        starts.begin(at(600));
        assert_eq!(starts.wait(at(601)), Duration::from_secs(4));
        starts.resumed();
        assert_eq!(starts.wait(at(601)), Duration::ZERO, "a session that went on was not begun");
    }

    /// The example of the platform's reference, "Get Gateway Bot".
    #[test]
    fn what_is_left_is_read() {
        let said = json!({ "url": "wss://example.org", "shards": 9, "session_start_limit": {
            "total": 1000, "remaining": 999, "reset_after": 14_400_000, "max_concurrency": 1 } });
        assert_eq!(starts_said(&said), Some((999, Duration::from_hours(4))));
        assert_eq!(starts_said(&json!({})), None);
    }
}
