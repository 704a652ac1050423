//! The meats of a batch: `1.6 kg pork, 0.4 kg back fat`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{mass_text, negative_mass_text, not_a_number};
use crate::command::intake::token::{Kind, cut, is_digit_like};
use crate::command::time::{echo, is_hidden};
use crate::quantity::QuantityError;
use crate::quantity::parse::positive_mass;
use crate::record::Meat;

/// Longest text of meats, in characters.
const LONGEST_TEXT: usize = 1000;
/// Most meats of one batch.
const MOST_MEATS: usize = 20;
/// Longest name of a meat, in characters.
const LONGEST_NAME: usize = 60;
/// Words between two meats.
const BETWEEN: &[&str] = &["and", "plus", "with"];

/// Reads meats and their raw weights. A meat without a name has an empty species.
///
/// # Errors
/// [`IntakeError::Quantity`], [`IntakeError::MeatWithoutWeight`], [`IntakeError::MeatUnreadable`],
/// [`IntakeError::TooLong`]; no weight may be 0.
pub fn meats(text: &str) -> Result<Vec<Meat>, IntakeError> {
    if text.trim().is_empty() {
        return Err(IntakeError::Quantity(QuantityError::Empty));
    }
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(IntakeError::TooLong);
    }
    let tokens = cut(text);
    let mut cursor = Cursor::new(text, &tokens);
    let mut found = Vec::new();
    loop {
        while cursor.take_sign(&[',', ';', '+', '&', '.']) || cursor.take(BETWEEN) {}
        if cursor.is_at_end() {
            break;
        }
        if found.len() == MOST_MEATS {
            return Err(IntakeError::TooLong);
        }
        found.push(meat(&mut cursor)?);
    }
    if found.is_empty() {
        return Err(IntakeError::Quantity(QuantityError::Empty));
    }
    Ok(found)
}

/// One meat: the weight, then the name, or the other way round.
fn meat(cursor: &mut Cursor<'_>) -> Result<Meat, IntakeError> {
    let start = *cursor;
    let name_before = name(cursor)?;
    let before_weight = *cursor;
    if let Some(negative) = negative_mass_text(cursor) {
        positive_mass(&negative)?;
    }
    let Some(weight) = mass_text(cursor) else {
        return Err(no_weight(&start, &before_weight));
    };
    let mass = positive_mass(weight)?;
    cursor.take(&["of"]);
    let species = if name_before.is_empty() { name(cursor)? } else { name_before };
    Ok(Meat { species, mass })
}

/// Why there is no weight: a number whose unit is missing or unknown, or none at all.
fn no_weight(start: &Cursor<'_>, at: &Cursor<'_>) -> IntakeError {
    let name = at.text_since(start);
    if !matches!(at.kind(), Some(Kind::Number)) {
        // "NaN kg" is a number that is none, not a meat of that name.
        let is_no_number = start.sees(&["nan", "inf", "infinity"]);
        return if is_no_number {
            not_a_number(name)
        } else {
            IntakeError::MeatWithoutWeight { text: echo(name) }
        };
    }
    let behind = at.after_one();
    let typed = match behind.word() {
        Some(_) => behind.after_one().text_since(at),
        None => at.text(),
    };
    match positive_mass(typed) {
        Err(error) => error.into(),
        Ok(_) => IntakeError::MeatUnreadable { text: echo(typed) },
    }
}

/// Passes words up to a separator or a number.
fn name(cursor: &mut Cursor<'_>) -> Result<String, IntakeError> {
    let start = *cursor;
    while !cursor.is_at_end()
        && !matches!(cursor.kind(), Some(Kind::Number))
        && !cursor.sees_sign(&[',', ';', '+', '&'])
        && !cursor.sees(BETWEEN)
    {
        cursor.skip();
    }
    let text = cursor.text_since(&start);
    let name = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let name = name.trim_matches([':', '=', '-', '.', ' ']).to_owned();
    if name.contains(is_digit_like) || name.chars().any(is_hidden) {
        return Err(IntakeError::MeatUnreadable { text: echo(text) });
    }
    if name.chars().nth(LONGEST_NAME).is_some() {
        return Err(IntakeError::TooLong);
    }
    Ok(name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Mass;

    fn found(text: &str) -> Vec<(String, f64)> {
        let meats = meats(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        meats.into_iter().map(|meat| (meat.species, meat.mass.as_grams())).collect()
    }

    #[test]
    fn meats_are_read_in_every_spelling() {
        let both = [("pork".to_owned(), 1600.0), ("back fat".to_owned(), 400.0)];
        for text in [
            "1.6 kg pork, 0.4 kg back fat",
            "1,6 kg pork, 0,4 kg back fat",
            "1.6kg pork and 400 g back fat",
            "1.6 kg of pork + 400 g of back fat",
            "pork 1.6 kg, back fat 0.4 kg",
            "pork: 1.6 kg; back fat: 400g",
            "1.6 kg pork 400 g back fat",
        ] {
            assert_eq!(found(text), both, "{text}");
        }
        assert_eq!(found("2,4 kg"), [(String::new(), 2400.0)]);
        assert_eq!(
            found("5 lb venison and 2 lb pork fat"),
            [("venison".to_owned(), 5.0 * 453.592_37), ("pork fat".to_owned(), 2.0 * 453.592_37)]
        );
        assert_eq!(meats("2 lb 3 oz pork").unwrap()[0].mass, Mass::grams(992.233_309_375));
    }

    #[test]
    fn everything_else_is_refused() {
        assert_eq!(meats(" "), Err(IntakeError::Quantity(QuantityError::Empty)));
        assert_eq!(meats(","), Err(IntakeError::Quantity(QuantityError::Empty)));
        assert_eq!(meats(&"1 kg a,".repeat(21)), Err(IntakeError::TooLong));
        assert_eq!(meats(&format!("1 kg {}", "a".repeat(61))), Err(IntakeError::TooLong));
        assert_eq!(meats("pork"), Err(IntakeError::MeatWithoutWeight { text: "pork".into() }));
        assert!(matches!(meats("1.6 kg pork, fat"), Err(IntakeError::MeatWithoutWeight { .. })));
        for text in [
            "1.6 pork",
            "1.6",
            "1.234 g",
            "0 kg pork",
            "1e400 kg",
            "1.6 stone pork",
            "-1 kg",
            "1.6 kg pork 80",
            "1 kg 2",
        ] {
            let found = meats(text);
            assert!(
                matches!(found, Err(IntakeError::Quantity(_) | IntakeError::MeatWithoutWeight { .. })),
                "{text}: {found:?}"
            );
        }
        for text in ["NaN kg", "inf kg pork"] {
            let found = meats(text);
            assert!(
                matches!(found, Err(IntakeError::Quantity(QuantityError::NotANumber { .. }))),
                "{text}: {found:?}"
            );
        }
        assert!(matches!(meats("1 kg p٣rk"), Err(IntakeError::MeatUnreadable { .. })));
    }
}
