//! The cure against published examples, and what must hold for every dose.

mod batch_time;
mod journeys;
mod properties;
mod vectors;
mod wording;
