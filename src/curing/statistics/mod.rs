//! What a group's finished batches tell together, without telling whose they are.
//!
//! - [`quartiles`]: the definition of a quartile.
//! - [`enough`]: from how many batches of how many members on anything is said, and that nobody outweighs the others.
//! - [`band`]: casings and muscles of about one thickness.
//! - [`dryings`]: days to the target and losses by day.
//! - [`compare`]: one batch beside the others.
//!
//! A batch counts once, by its median piece, so that ten sticks of one batch say no more than one stick of another.

pub mod band;
pub mod compare;
pub mod dryings;
pub mod enough;
pub mod quartiles;

pub use band::Band;
pub use compare::Comparison;
pub use dryings::{Cell, OnDay, Outcomes};
pub use enough::Missing;
pub use quartiles::Quartiles;
