//! Before the stuffing: a mix to a fat target, ingredients to what is there, casings, cultures, and what carries an
//! allergen.

pub mod advice;
pub mod allergen;
pub mod blend;
pub mod casing;
pub mod culture;
pub mod ingredient;
pub mod plan;
