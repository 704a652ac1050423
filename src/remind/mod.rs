//! What a batch asks to be reminded of, and the worker that sends it.
//!
//! - [`plan`]: pure; from a batch's record to what should be waiting.
//! - [`quiet`]: quiet hours in the member's zone.
//! - [`courier`]: how a message leaves; every front end brings its own.
//! - [`worker`]: one tick sends what is due; the loop around it is the only place that sleeps.

pub mod courier;
pub mod plan;
pub mod quiet;
mod repeat;
pub mod worker;

pub(crate) use crate::wall;
