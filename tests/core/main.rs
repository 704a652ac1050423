//! The pure part against the outside world: references, properties, structure.

mod layering;
mod quantity;
mod wording;
