//! A pH meter in its buffers: what the buffers have at the temperature, what the electrode gives, how far it is believed.
//!
//! - [`buffer`]: the pH of a buffer at a temperature, by published table or by its bottle.
//! - [`electrode`]: slope and offset against what Nernst's equation gives.
//! - [`check`]: one check of a meter in one or several buffers, and its trust.

pub mod buffer;
pub mod check;
pub mod electrode;

pub use buffer::{Buffer, BufferError};
pub use check::{CheckError, Judged, leaned_on};
pub use electrode::Electrode;
