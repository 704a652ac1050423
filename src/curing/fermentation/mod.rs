//! Fermentation: degree-hours, the pH that ends them, and warmth afterwards.
//!
//! Two published systems limit how long a fermenting sausage may stay warm before its pH is 5.3 or less:
//! the US one in °F and the Canadian one in °C. Both sum hours times degrees above a base, and in both the
//! highest temperature of the whole course picks the limit. The pieces, in the order in which they are used:
//!
//! - [`evidence`]: how well a stretch of time is known.
//! - [`course`]: what the room did, as stretches with a lowest and a highest temperature; [`history`] makes it
//!   from readings, settings and min/max thermometers.
//! - [`system`]: base and bands of each system, from the rulebook.
//! - [`degree_hours`]: the sums and their verdict.
//! - [`schedule`]: a planned course, how long each step may last, and when the clock must have ended.
//! - [`published`] and [`culture`]: courses by their names in the trade, and where a starter is comfortable; information.
//! - [`trust`] and [`acidity`]: how far a pH reading can be believed, and which one ends the clock.
//! - [`style`]: the pH a member aims at, for information.
//! - [`clock`]: all of it for one batch at one moment.
//! - [`stall`]: a pH that does not move.
//! - [`ph_forecast`]: when the pH that is aimed at will be there; a forecast that nothing else here looks at.
//! - [`find_spell`] and [`warm_spell`]: when it was warm around a piece that is not on the clock, and what that means.
//! - [`off_clock`]: all of that for one batch at one moment.
//! - [`alarm`]: what a fermenting batch is spoken of on its own account for.
//! - [`advice`]: the wording keys of it all.

pub mod acidity;
pub mod advice;
pub mod alarm;
pub mod clock;
pub mod course;
pub mod culture;
pub mod degree_hours;
pub mod evidence;
pub mod find_spell;
pub mod history;
pub mod off_clock;
pub mod ph_forecast;
mod point;
pub mod published;
pub mod schedule;
mod segment;
pub mod stall;
#[cfg(test)]
mod story;
pub mod style;
pub mod system;
pub mod trust;
pub mod warm_spell;

pub use acidity::{Acidity, ClockEnd};
pub use clock::{Fermentation, assess};
pub use course::{Course, CourseError};
pub use degree_hours::{ClockState, DegreeHourReport, Verdict, assess_course};
pub use evidence::Grade;
pub use system::{HoursLeft, System, Systems};
pub use trust::Trust;
