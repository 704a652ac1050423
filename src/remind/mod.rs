//! What a batch asks to be reminded of, and the worker that sends it.
//!
//! - [`plan`]: pure; from a batch's record to what should be waiting.
//! - [`quiet`] and [`wall`]: quiet hours and wall-clock time in the member's zone.

pub mod plan;
pub mod quiet;
pub mod wall;
