//! Cure: nitrite, nitrate and salt, from a label and a weight to mg/kg and back.
//!
//! The way through: a [`CureLabel`] says what is in the bag; an [`Application`] says what it is spread over and
//! how; together with a weight of cure they give the [`Ingoing`] nitrite and nitrate. A [`Scope`] (product,
//! methods, country, day) picks the rulebook's rows; [`verdict::judge`] holds the one against the other.
//! [`plan`] goes the other way, from a target to grams a real scale can weigh.
//!
//! The formulas are those of the calculations handbook for processed meat inspection (FSIS Directive 7620.3,
//! 1995, chapter 3), second-hand except for the rules of basis.

pub mod advice;
mod application;
mod bath;
mod dose;
mod error;
mod ingoing;
mod label;
mod method;
mod salt;
mod scale;
mod scope;
pub mod time;
pub mod verdict;
mod whole_dose;

pub use application::{Application, GreenWeight, Liquid};
pub use bath::Bath;
pub use dose::{Dose, DoseRequest, Target, plan};
pub use error::CureError;
pub use ingoing::Ingoing;
pub use label::{CureLabel, PRESETS};
pub use method::{Method, Product};
pub use salt::{
    brine_salt_simple, salometer_degrees, salt_after_injection, salt_for_strength, strength_at_degrees,
    water_phase_salt,
};
use scope::measured;
pub use scope::{Bound, Scope};
pub use time::{CureTime, Custom, Piece, Shape, cure_time, time_of_batch};
pub use verdict::{Case, judge, usual_target};
