//! The air of a chamber: how much water it holds, how much more it could, and what that means for a piece in it.
//!
//! - [`saturation`]: the pressure of water vapour over water and over ice, and back.
//! - [`moist`]: air at a temperature and a humidity: dew point, deficit, water in it, drive at a piece.
//! - [`advice`]: the humidity a textbook aims at, and when air dries nothing or too hard.

pub mod advice;
pub mod moist;
pub mod saturation;

pub use advice::{Advice, Remark, RoomStage, Target, TargetSource};
pub use moist::{AirError, MoistAir, Surface};
