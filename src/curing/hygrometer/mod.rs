//! A hygrometer over its salt jars: what each jar has at its temperature, and how later readings are corrected.
//!
//! - [`salt`]: the humidity over a saturated salt at a temperature, by published table.
//! - [`correction`]: from the jars of one check to a corrected reading, and how far it is believed.

pub mod correction;
pub mod salt;

pub use correction::{Corrected, Correction, CorrectionError, HumidityDoubt};
pub use salt::{Salt, SaltError};
