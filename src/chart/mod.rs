//! Charts: a description of what is to be seen, and the ways it is drawn. Pure; every word is handed in.
//!
//! - [`Chart`]: panels above one another that share their time, each with one axis, because two scales in one frame
//!   suggest what is not there.
//! - [`layout`]: where everything stands, label by label, so that none covers another.
//! - [`svg`]: the picture as text; `png` (with the feature `app`) as an image; [`block`] in the letters of a terminal.

pub mod block;
mod data;
mod dates;
pub mod layout;
pub mod measure;
pub mod palette;
#[cfg(feature = "app")]
pub mod png;
pub mod scale;
pub mod svg;
pub mod ticks;

pub use data::{
    Axis, Band, Between, Chart, Edge, Extent, Fan, Horizontal, Mark, Panel, Point, Reach, Series, Target,
};
pub use dates::DateNames;

/// Width of a picture in pixels: three parts in four, so that a phone shows all of it.
pub const WIDTH: f64 = 1000.0;
/// Height of a picture in pixels.
pub const HEIGHT: f64 = 750.0;
