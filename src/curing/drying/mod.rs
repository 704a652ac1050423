//! Drying: target weight and loss.
//!
//! - [`target`]: green weight, tare and loss to a target and to what the scale will show; and back.
//! - [`progress`]: how far each piece and the batch are.
//! - [`finished`]: the losses of pieces whose batch is over.

pub mod finished;
pub mod forecast;
pub mod progress;
pub mod target;

pub use progress::{BatchProgress, PieceProgress};
pub use target::{Green, Target, TargetError};
