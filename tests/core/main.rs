//! The pure part against the outside world: references, properties, structure.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

mod acidity;
mod additive;
mod air;
mod brine;
mod cure;
mod degree_hours;
mod forecast;
mod formulation;
mod growth;
mod hygrometer;
mod layering;
mod meter;
mod moisture;
mod observation;
mod parasites;
mod quantity;
mod reference;
mod shelf;
mod stable_ids;
mod statistics;
mod target;
mod whole_muscle;
mod wording;
