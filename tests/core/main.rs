//! The pure part against the outside world: references, properties, structure.

mod layering;
mod quantity;
mod wording;
//! The computing core against outside references and properties.

mod cure;
mod reference;
