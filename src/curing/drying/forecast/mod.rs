//! When a piece will have lost what it is to lose: a window of days from few and irregular weighings.
//!
//! The loss follows `end · x / (1 + x)` with `x = (days / pace)^bend`. Every curve of a grid is weighed by what is
//! expected of such a piece and by how well it goes through the weighings (errors after Student, so that one slip of the
//! scale does not bend everything; old weighings count less, because rooms change). What remains is read from each curve
//! between the last weighing and the target, so that the window always begins at what the scale last showed.

//!
//! [`base_window`] is that engine alone. [`window`] is what members see: it expects the pace that finished batches let
//! expect ([`experience`]), counts days as the piece felt them where its room was logged, and sets right what the base
//! engine is off by on pieces whose end is known.

mod air;
mod base;
mod calibration;
pub mod experience;
mod grid;
mod outlook;
mod prior;
mod window;

pub use air::AirAt;
pub use base::{NoWindow, Piece, Weighed, Window, base_window};
pub use experience::{Expectation, FinishedBatch, Maker};
pub use prior::Class;
pub use window::{Knowledge, window};
