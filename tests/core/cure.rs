//! The cure against published examples, and what must hold for every dose.

mod journeys;
mod properties;
mod rule_ids;
mod vectors;
mod wording;
