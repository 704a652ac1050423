//! The science and the rules. Pure: no I/O, no clock, no chat, no database.
//!
//! A limit is data: it stands in `rulebook/*.toml` with its source and standing, is read by [`rulebook`], and
//! only a [`rule::Limit`] can be judged into a [`finding::Finding`]. A bare number in code cannot become a verdict.

pub mod additive;
pub mod air;
pub mod brine;
pub mod caution;
pub mod composition;
pub mod cure;
pub mod drying;
pub mod fermentation;
pub mod finding;
pub mod formulation;
pub mod growth;
pub mod hygrometer;
pub mod meter;
pub mod moisture;
pub mod observation;
pub mod parasites;
pub mod rule;
pub mod rulebook;
pub mod shelf;
pub mod statistics;
pub mod storage;
pub mod water_activity;
pub mod whole_muscle;

pub use finding::{Finding, Level, Outcome};
pub use rule::{Country, Limit, Standing};
