//! What several test binaries and the hand-trial program share.
#![allow(
    dead_code,
    unreachable_pub,
    unused_imports,
    reason = "each binary that includes this module uses a part of it"
)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that cannot get its material fails by panicking"
)]
#![allow(clippy::missing_panics_doc, reason = "in a test's helper every wrong use panics with a sentence")]

pub mod conformance;
pub mod guard;
pub mod stand_in;
