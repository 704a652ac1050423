//! Whole muscle: how salt moves in, what weights say about salting, and how warm a piece may be before it is dry.

pub mod course;
pub mod diffusion;
pub mod salting;

pub use course::{Course, CourseStage, Muscle, Warmer};
pub use diffusion::{Spread, days_until, fourier_at, in_the_centre, lean_to};
pub use salting::{Salting, SaltingError, Weighed};
