//! Nothing in a test may reach a real host.

use std::sync::{Arc, Mutex, PoisonError};

use reqwest::dns::{Name, Resolve, Resolving};

/// Makes HTTP clients that can reach addresses of this machine and nothing else: any name they would look up is noted
/// and refused. Dropping the guard fails the test if there was one.
#[derive(Debug, Default)]
pub struct Guard {
    strays: Arc<Strays>,
}

#[derive(Debug, Default)]
struct Strays {
    names: Mutex<Vec<String>>,
}

impl Resolve for Strays {
    fn resolve(&self, name: Name) -> Resolving {
        let refusal = format!("a test would have reached {}", name.as_str());
        self.names.lock().unwrap_or_else(PoisonError::into_inner).push(name.as_str().to_owned());
        Box::pin(async move { Err(refusal.into()) })
    }
}

impl Guard {
    /// The beginnings of a client; `resolve` may still lead a name to loopback.
    pub fn client_builder(&self) -> reqwest::ClientBuilder {
        // A proxy set in the environment would look names up for us.
        reqwest::Client::builder().no_proxy().dns_resolver(self.strays.clone())
    }

    /// The names that were looked up; they are forgotten by this.
    pub fn strays(&self) -> Vec<String> {
        std::mem::take(&mut *self.strays.names.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        let strays = self.strays();
        assert!(strays.is_empty() || std::thread::panicking(), "a test would have reached {strays:?}");
    }
}

/// Fails for an address that is not of this machine: for the gateway, whose client takes no resolver.
pub fn assert_loopback(url: &str) {
    let rest = url.split_once("://").map_or("", |(_, rest)| rest);
    let host = rest.split(['/', ':']).next().unwrap_or_default();
    assert!(host == "127.0.0.1" || host == "localhost", "a test would have reached {url}");
}
