//! The gateway's faults, and waiting for what the application does about them.

use serde_json::{Value, json};

use super::sessions::{Gateway, Order};
use super::{SOON, StandIn};

impl StandIn {
    /// Waits until the application has a session.
    pub async fn ready(&self) {
        let ready = self.inner.until(4 * SOON, |state| state.gateway.ready().then_some(())).await;
        assert!(ready.is_some(), "the application did not identify or resume in time");
    }

    /// Waits for the application without an end.
    pub async fn connected(&self) {
        let forever = std::time::Duration::MAX;
        self.inner.until(forever, |state| state.gateway.ready().then_some(())).await;
    }

    /// Waits until something about the gateway holds: `|gateway| gateway.resumes.len() == 1`.
    pub async fn gateway_until(&self, fits: impl Fn(&Gateway) -> bool) {
        let found = self.inner.until(4 * SOON, |state| fits(&state.gateway).then_some(())).await;
        let count =
            |gateway: &Gateway| (gateway.connections, gateway.identifies.len(), gateway.resumes.len());
        let (connections, identifies, resumes) = self.inner.with(|state| count(&state.gateway));
        let there = format!("{connections} connections, {identifies} IDENTIFYs, {resumes} RESUMEs");
        assert!(found.is_some(), "the gateway did not come to that; there were {there}");
    }

    /// So many sessions may still be begun.
    pub fn starts_left(&self, left: u64) {
        self.inner.with(|state| state.gateway.starts_left = left);
    }

    /// A close frame, with or without a code.
    pub fn close(&self, code: Option<u16>) {
        self.inner.with(|state| {
            // 4007 and 4009 end the session (platform's close codes); a code-less frame leaves it.
            if matches!(code, Some(4007 | 4009)) {
                state.gateway.forget_sessions();
            }
            state.gateway.order(|| Order::Close(code));
        });
    }

    /// The connection breaks without a close frame; the session can be resumed.
    pub fn drop_tcp(&self) {
        self.inner.with(|state| state.gateway.order(|| Order::Drop));
    }

    /// Op 7: reconnect and resume.
    pub fn reconnect(&self) {
        self.raw(&json!({ "op": 7, "s": null, "t": null, "d": null }));
    }

    /// Op 9: the session is invalid, resumable or not.
    pub fn invalidate(&self, resumable: bool) {
        self.inner.with(|state| {
            if !resumable {
                state.gateway.forget_sessions();
            }
        });
        self.raw(&json!({ "op": 9, "s": null, "t": null, "d": resumable }));
    }

    /// Heartbeats are not acknowledged any more (or again).
    pub fn ignore_heartbeats(&self, ignore: bool) {
        self.inner.with(|state| state.gateway.ignore_heartbeats = ignore);
    }

    /// Sends a payload as it is.
    pub fn raw(&self, payload: &Value) {
        self.raw_text(&payload.to_string());
    }

    /// Sends text that need not be JSON.
    pub fn raw_text(&self, text: &str) {
        self.inner.with(|state| state.gateway.order(|| Order::Raw(text.to_owned())));
    }

    /// Gives an event its number and sends it, whatever it says: unknown names, malformed data.
    pub fn event(&self, name: &'static str, data: Value) {
        self.inner.with(|state| state.emit(name, 0, data));
    }

    /// The next RESUME brings this many delivered events once more.
    pub fn repeat_on_resume(&self, events: usize) {
        self.inner.with(|state| state.gateway.repeat_on_resume = events);
    }

    /// Delivers the last events once more, with new numbers.
    pub fn repeat_last(&self, events: usize) {
        self.inner.with(|state| {
            let Some(session) = state.gateway.sessions.iter_mut().rev().find(|session| session.valid) else {
                return;
            };
            let from = session.log.len().saturating_sub(events);
            let again: Vec<Value> = session.log[from..].iter().map(|(_, payload)| payload.clone()).collect();
            for mut payload in again {
                session.sequence += 1;
                payload["s"] = json!(session.sequence);
                session.log.push((session.sequence, payload.clone()));
                if let Some(live) =
                    state.gateway.live.iter().find(|live| Some(live.number) == session.connection)
                {
                    let _ = live.orders.send(Order::Send(payload));
                }
            }
        });
    }

    /// Holds events back until [`Self::release`].
    pub fn hold(&self) {
        self.inner.with(|state| state.gateway.held = Some(Vec::new()));
    }

    /// Delivers what was held back, in order or last first.
    pub fn release(&self, last_first: bool) {
        self.inner.with(|state| {
            let mut held = state.gateway.held.take().unwrap_or_default();
            if last_first {
                held.reverse();
            }
            for event in held {
                state.gateway.emit(event);
            }
        });
    }

    /// Keeps the application off the gateway while `happens` runs. What happened is replayed on RESUME if
    /// `resumable`; otherwise it can only be fetched over HTTP after a fresh IDENTIFY.
    pub fn offline(&self, resumable: bool, happens: impl FnOnce(&Self)) {
        self.shut(resumable);
        happens(self);
        self.open();
    }

    /// Breaks the connection and keeps the application off the gateway until [`Self::open`]; HTTP goes on.
    pub fn shut(&self, resumable: bool) {
        self.inner.open.send_replace(false);
        self.drop_tcp();
        if !resumable {
            self.inner.with(|state| state.gateway.forget_sessions());
        }
    }

    /// Lets the application back onto the gateway.
    pub fn open(&self) {
        self.inner.open.send_replace(true);
    }

    /// How many connections the gateway has seen.
    pub fn connections(&self) -> u64 {
        self.inner.with_quietly(|state| state.gateway.connections)
    }

    /// The data of every IDENTIFY.
    pub fn identifies(&self) -> Vec<Value> {
        self.inner.with_quietly(|state| state.gateway.identifies.clone())
    }

    /// The data of every RESUME.
    pub fn resumes(&self) -> Vec<Value> {
        self.inner.with_quietly(|state| state.gateway.resumes.clone())
    }
}
