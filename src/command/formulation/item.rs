//! An ingredient as a recipe names it: "2.5% salt", "3 g/kg pepper", "1 oz/lb sugar", "10 g for 2 kg garlic".

use crate::command::Args;
use crate::command::cut::weight_first;
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, OptionSpec, maybe, needed};
use crate::curing::formulation::ingredient::Amount;
use crate::quantity::{QuantityError, format, parse};
use crate::reply::say;

pub(super) const ITEM: OptionSpec =
    needed("item", OptionKind::Text, "part and name, e.g. 2.5% salt, 3 g/kg pepper, 1 oz/lb sugar").several();
pub(super) const PRODUCT: OptionSpec =
    maybe("product", OptionKind::Choice(&["sausage", "muscle"]), "sausage when not said");

/// Most ingredients of a recipe.
const MOST_ITEMS: usize = 40;
/// The longest name of an ingredient.
const LONGEST_NAME: usize = 60;

/// An ingredient of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Item {
    /// How much.
    pub(super) amount: Amount,
    /// Of what.
    pub(super) name: String,
}

/// Why a text is no ingredient.
#[derive(Debug)]
pub(super) enum Mistake {
    /// It has no part or no name.
    Unreadable,
    /// Its part is no percentage.
    Part(QuantityError),
}

impl Item {
    /// Reads one.
    pub(super) fn parse(text: &str) -> Result<Self, Mistake> {
        let (amount, name) = amount_first(text)?.ok_or(Mistake::Unreadable)?;
        let name = name.trim().trim_start_matches("of ").trim();
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            return Err(Mistake::Unreadable);
        }
        Ok(Self { amount, name: name.to_owned() })
    }

    /// The part as it stands in a formula.
    pub(super) fn part_shown(&self) -> String {
        match self.amount {
            Amount::Part(part) => format::percent(part),
            Amount::For(amount, of) => {
                let grams = |grams: f64| format::trimmed(grams, 3);
                format!("{} g / {} g", grams(amount.as_grams()), grams(of.as_grams()))
            }
        }
    }
}

/// The values of `item:` as typed, each of which can be read.
pub(super) fn read(args: Args<'_>) -> Result<Vec<(&str, Item)>, UserError> {
    let typed = args.several("item");
    if typed.is_empty() {
        return Err(args.missing("item"));
    }
    if typed.len() > MOST_ITEMS {
        return Err(args.error(Code::OutOfRange, say("formulation.scale.too_many", &[])));
    }
    let one =
        |text| Item::parse(text).map(|item| (text, item)).map_err(|mistake| refused(args, text, &mistake));
    typed.into_iter().map(one).collect()
}

fn refused(args: Args<'_>, text: &str, mistake: &Mistake) -> UserError {
    match mistake {
        Mistake::Unreadable => {
            args.error(Code::MissingOption, say("formulation.scale.item", &[("typed", &shown(text))]))
        }
        Mistake::Part(error) => args.quantity_error("item", error),
    }
}

/// What the meat becomes; sausage when not said.
pub(super) fn product(args: Args<'_>) -> Result<&'static str, UserError> {
    let read = args.choice("product", |word| match word {
        "sausage" => Some("sausage"),
        "muscle" => Some("muscle"),
        _ => None,
    })?;
    Ok(read.unwrap_or("sausage"))
}

fn amount_first(text: &str) -> Result<Option<(Amount, &str)>, Mistake> {
    if let Some(at) = text.find('%') {
        let (number, name) = text.split_at(at + 1);
        if number.chars().all(|letter| !letter.is_alphabetic()) {
            let part = parse::percent(number).map_err(Mistake::Part)?;
            return Ok(Some((Amount::Part(part), name)));
        }
    }
    // The amount, a slash, the unit of the meat: g/kg, oz/lb, g/lb.
    if let Some((amount, rest)) = text.split_once('/') {
        let (of, name) = rest.trim_start().split_once(char::is_whitespace).unwrap_or((rest.trim(), ""));
        let (Ok(amount), Ok(of)) = (parse::positive_mass(amount), parse::positive_mass(&format!("1 {of}")))
        else {
            return Ok(None);
        };
        return Ok(Some((Amount::For(amount, of), name)));
    }
    let (Some(amount), rest) = weight_first(text) else { return Ok(None) };
    let Some(rest) = rest.strip_prefix("for ") else { return Ok(None) };
    let (Some(of), name) = weight_first(rest) else { return Ok(None) };
    Ok(Some((Amount::For(amount, of), name)))
}
