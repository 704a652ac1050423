//! A list of weights as the value of an option: `812 798 805 g`, `1 lb 12 oz, 2 lb`.

use crate::command::intake::amount::{UNITS, amounts, settled, weights_of};
use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::not_a_number;
use crate::command::intake::token::{Kind, cut};
use crate::command::time::echo;
use crate::quantity::{Mass, MassUnit, QuantityError};

/// Longest text of a list, in characters.
const LONGEST_TEXT: usize = 2000;

/// Reads weights in order. A bare number takes the unit of the next weight that has one, else of the one before, else
/// `bare_unit`.
///
/// # Errors
/// [`IntakeError::Quantity`] and [`IntakeError::TooLong`]; no weight may be 0.
pub fn weights(text: &str, bare_unit: MassUnit) -> Result<Vec<Mass>, IntakeError> {
    if text.trim().is_empty() {
        return Err(QuantityError::Empty.into());
    }
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(IntakeError::TooLong);
    }
    let tokens = cut(text);
    let mut cursor = Cursor::new(text, &tokens);
    let found = amounts(&mut cursor)?;
    cursor.take_sign(&['.']);
    if !cursor.is_at_end() {
        return Err(unread(&cursor));
    }
    weights_of(&found, bare_unit)?.iter().map(|weight| settled(weight, None)).collect()
}

/// What is wrong where the list stops.
fn unread(cursor: &Cursor<'_>) -> IntakeError {
    let behind = cursor.after_one();
    match (cursor.kind(), behind.word()) {
        (Some(Kind::Number), Some(_)) => {
            QuantityError::UnitUnknown { unit: echo(behind.text()), accepted: UNITS }.into()
        }
        _ => not_a_number(cursor.rest()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grams(text: &str) -> Vec<f64> {
        let found = weights(text, MassUnit::Gram).unwrap_or_else(|error| panic!("{text}: {error}"));
        found.into_iter().map(Mass::as_grams).collect()
    }

    #[test]
    fn lists_are_read_in_every_spelling() {
        let three = [812.0, 798.0, 805.0];
        for text in [
            "812 798 805 g",
            "812, 798, 805 g",
            "812 g, 798 g, 805 g",
            "812 g 798 805",
            "812g+798g+805g",
            "812 g; 798 g; 805 g",
            "0.812 0.798 0.805 kg",
            "812 g, 798 g and 805 g.",
        ] {
            assert_eq!(grams(text), three, "{text}");
        }
        assert_eq!(grams("812 798 805"), three);
        assert_eq!(grams("1 lb 12 oz, 2 lb"), [793.786_647_5, 907.184_74]);
        assert_eq!(grams("1.012 kg"), [1012.0]);
    }

    #[test]
    fn everything_else_is_refused() {
        for text in [
            "",
            "812 stone",
            "812 g, pork",
            "0 g",
            "1.234 g",
            "812 g 798 C",
            "-812 g",
            "1e400 g",
            "nan",
            "812-815 g",
            "812,798,805 g",
            "812 g ٣",
        ] {
            assert!(weights(text, MassUnit::Gram).is_err(), "{text}: {:?}", weights(text, MassUnit::Gram));
        }
        assert_eq!(weights(&"1 g ".repeat(600), MassUnit::Gram), Err(IntakeError::TooLong));
    }
}
