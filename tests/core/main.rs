//! The pure part against the outside world: references, properties, structure.

mod cure;
mod layering;
mod quantity;
mod reference;
mod wording;
