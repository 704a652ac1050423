//! The computing core against outside references and properties.

mod cure;
mod reference;
