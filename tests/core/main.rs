//! The pure part against the outside world: references, properties, structure.

mod acidity;
mod cure;
mod degree_hours;
mod layering;
mod quantity;
mod reference;
mod stable_ids;
mod target;
mod wording;
