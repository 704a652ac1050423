//! The pure part against the outside world: references, properties, structure.
#![expect(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

mod acidity;
mod additive;
mod air;
mod brine;
mod charts;
mod cure;
mod degree_hours;
mod drying_alarms;
mod forecast;
mod forecast_learning;
mod forecast_trials;
mod formulation;
mod growth;
mod hygrometer;
mod layering;
mod meter;
mod moisture;
mod observation;
mod parasites;
mod ph_forecast;
mod quantity;
mod record_file;
mod reference;
mod sheet;
mod shelf;
mod stable_ids;
mod statistics;
mod target;
mod whole_muscle;
mod wording;

#[allow(dead_code, reason = "the evaluation uses more of it")]
#[path = "../support/drying_simulator/mod.rs"]
mod drying_simulator;
#[allow(dead_code, reason = "the evaluation uses more of it")]
#[path = "../support/forecast_trial/mod.rs"]
mod forecast_trial;
