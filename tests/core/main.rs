//! The computing core against outside references and properties.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot get its material fails by panicking"
)]

mod acidity;
mod cure;
mod degree_hours;
mod reference;
mod target;
