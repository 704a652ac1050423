//! What an electrode gives: `-5 mV`, `171 mV`, `0.171 V`. Of either sign.

use crate::quantity::Voltage;
use crate::quantity::exact::Exact;
use crate::quantity::parse::error::{QuantityError, echo};
use crate::quantity::parse::number::{Typed, prepare, typed_number};
use crate::quantity::parse::units::{named, parts};
use std::ops::RangeInclusive;

const HARD_MILLIVOLTS: RangeInclusive<f64> = -2000.0..=2000.0;
const HARD_WORDS: &str = "-2000 mV to 2000 mV";
const ACCEPTED: &str = "mV or V";

/// Units by name, with their millivolts.
const UNITS: &[(&str, u128)] =
    &[("mv", 1), ("millivolt", 1), ("millivolts", 1), ("v", 1000), ("volt", 1000), ("volts", 1000)];

/// A voltage from -2 V to 2 V; the unit is required.
///
/// # Errors
/// Every [`QuantityError`] but those of percentages and gallons.
pub fn voltage(text: &str) -> Result<Voltage, QuantityError> {
    let text = prepare(text)?;
    let found = parts(text)?;
    let [part] = found.as_slice() else {
        return Err(QuantityError::PartsUnclear { text: echo(text), rule: "write one number and mV or V" });
    };
    // A thousands reading is a volt or more of millivolts, or a kilovolt: no electrode's, so the decimal one is left.
    let (Typed::Certain(size) | Typed::Either { decimal: size, .. }) = typed_number(part.number, text)?;
    if part.unit.is_empty() {
        return Err(QuantityError::UnitMissing { text: echo(text), accepted: ACCEPTED });
    }
    let unit = named(UNITS, part.unit)
        .ok_or_else(|| QuantityError::UnitUnknown { unit: echo(part.unit), accepted: ACCEPTED })?;
    let size = size.times(Exact::whole(unit)).ok_or_else(|| QuantityError::too_long(text))?.to_float();
    let is_below_zero = matches!(part.sign, Some('-' | '−'));
    let millivolts = if is_below_zero && size > 0.0 { -size } else { size };
    if HARD_MILLIVOLTS.contains(&millivolts) {
        Ok(Voltage::millivolts(millivolts))
    } else {
        Err(QuantityError::out_of_range(text, HARD_WORDS))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn millivolts_and_volts_of_either_sign() {
        for (text, millivolts) in [
            ("171 mV", 171.0),
            ("+171mV", 171.0),
            ("0.171 V", 171.0),
            ("0,171 V", 171.0),
            ("-5 mV", -5.0),
            ("−5 mv", -5.0),
            ("-0.005 V", -5.0),
            ("177,5 mV", 177.5),
        ] {
            assert_eq!(voltage(text), Ok(Voltage::millivolts(millivolts)), "{text}");
        }
        assert!(voltage("-0 mV").unwrap().as_millivolts().is_sign_positive());
    }

    #[test]
    fn refusals() {
        for (text, sentence) in [
            ("171", "\"171\" needs a unit: mV or V"),
            ("171 mA", "\"mA\" is not a unit I know here; I read mV or V"),
            ("171 V", "\"171 V\" is out of range: -2000 mV to 2000 mV"),
            ("1 V 2 mV", "\"1 V 2 mV\" is not one clear amount; write one number and mV or V"),
        ] {
            assert_eq!(voltage(text).unwrap_err().to_string(), sentence);
        }
        assert!(voltage("").is_err() && voltage("mV").is_err());
    }
}
