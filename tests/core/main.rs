//! The pure part against the outside world: references, properties, structure.
//! The computing core against outside references and properties.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot get its material fails by panicking"
)]

mod cure;
mod layering;
mod quantity;
mod reference;
mod wording;
