//! A cut of meat as a member names it: "1.2 kg pork shoulder", "0.5 kg trim 70/30", "back fat".

use super::Args;
use super::error::{Code, UserError};
use super::line::shown;
use crate::curing::composition::{self, Cut, Found, Parts};
use crate::curing::formulation::blend::estimated;
use crate::quantity::{Fraction, Mass, parse};
use crate::reply::rows;
use crate::reply::say;

/// The cuts between which a member's own estimate of fat lies: lean shoulder and back fat.
const LEAN: &str = "10072";
const FAT: &str = "10004";

/// Most choices that an error lists.
const CHOICES: usize = 6;

/// A cut with its weight.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NamedCut {
    /// As typed, without the weight.
    pub(super) name: String,
    /// The weight, where one was given.
    pub(super) mass: Option<Mass>,
    /// What it is made of.
    pub(super) parts: Parts,
    /// The table's cut; `None`: the member's own estimate.
    pub(super) cut: Option<&'static Cut>,
}

/// Most cuts of a mix.
const MOST_CUTS: usize = 20;

/// Reads every value of an option of cuts; one is needed.
pub(super) fn read_all(args: Args<'_>, option: &'static str) -> Result<Vec<NamedCut>, UserError> {
    let typed = args.several(option);
    if typed.is_empty() {
        return Err(args.missing(option));
    }
    if typed.len() > MOST_CUTS {
        return Err(args.error(Code::OutOfRange, say("cut.too_many", &[])));
    }
    typed.into_iter().map(|text| read(args, option, text)).collect()
}

fn read(args: Args<'_>, option: &'static str, text: &str) -> Result<NamedCut, UserError> {
    let (mass, name) = weight_first(text);
    if name.is_empty() {
        return Err(args
            .error(Code::MissingOption, say("cut.no_name", &[("option", option), ("typed", &shown(text))])));
    }
    if mass.is_none()
        && name.starts_with(|letter: char| letter.is_ascii_digit() || letter == '-')
        && !name.contains('/')
    {
        let number: Vec<&str> = name.split_whitespace().take(2).collect();
        let why = parse::positive_mass(&number.join(" ")).err();
        if let Some(error) = why {
            return Err(args.quantity_error(option, &error));
        }
    }
    let name = name.trim_start_matches("of ").trim();
    if let Some(fat) = own_estimate(name) {
        let parts =
            table_parts(LEAN).zip(table_parts(FAT)).and_then(|(lean, tissue)| estimated(fat, lean, tissue));
        let parts = parts.ok_or_else(|| args.error(Code::OutOfRange, say("cut.estimate_range", &[])))?;
        return Ok(NamedCut { name: name.to_owned(), mass, parts, cut: None });
    }
    match composition::find(name) {
        Found::One(cut) => Ok(NamedCut { name: cut.name.clone(), mass, parts: cut.parts(), cut: Some(cut) }),
        Found::Several(cuts) => Err(args.error(Code::UnknownChoice, which(name, &cuts))),
        Found::Nothing => {
            Err(args.error(Code::UnknownChoice, say("cut.unknown", &[("typed", &shown(name))])))
        }
    }
}

fn table_parts(number: &str) -> Option<Parts> {
    match composition::find(number) {
        Found::One(cut) => Some(cut.parts()),
        _ => None,
    }
}

fn which(name: &str, cuts: &[&Cut]) -> String {
    let names: Vec<String> = cuts.iter().take(CHOICES).map(|cut| name_of(cut)).collect();
    say("cut.several", &[("typed", &shown(name)), ("cuts", &names.join("; "))])
}

/// What a cut of the table is called.
fn name_of(cut: &Cut) -> String {
    rows::name("cut", &cut.ndb, &cut.name)
}

impl NamedCut {
    /// What it is called: a cut of the table by its name there, else as it was said.
    pub(super) fn shown(&self) -> String {
        self.cut.map_or_else(|| self.name.clone(), name_of)
    }
}

/// The longest beginning that is a weight, and the rest.
pub(super) fn weight_first(text: &str) -> (Option<Mass>, &str) {
    let text = text.trim();
    let ends = text.match_indices(char::is_whitespace).map(|(at, _)| at).chain([text.len()]);
    let mut found = (None, text);
    for end in ends.take(4) {
        if let Ok(mass) = parse::positive_mass(&text[..end]) {
            found = (Some(mass), text[end..].trim());
        }
    }
    found
}

/// "70/30" or "30% fat" in a name: the member's own estimate.
fn own_estimate(name: &str) -> Option<Fraction> {
    let words: Vec<&str> = name.split_whitespace().collect();
    for word in &words {
        if let Some((lean, fat)) = word.split_once('/')
            && let (Ok(lean), Ok(fat)) = (lean.parse::<f64>(), fat.parse::<f64>())
            && (lean + fat - 100.0).abs() < 0.5
        {
            return Some(Fraction::percent(fat));
        }
    }
    let at = words.iter().position(|word| *word == "fat")?;
    let percent = words.get(at.checked_sub(1)?)?;
    percent.ends_with('%').then(|| parse::percent(percent).ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weight_stands_first() {
        assert_eq!(weight_first("1.2 kg pork shoulder"), (Some(Mass::grams(1200.0)), "pork shoulder"));
        assert_eq!(weight_first("500g back fat"), (Some(Mass::grams(500.0)), "back fat"));
        let (mass, name) = weight_first("2 lb 3 oz pork loin");
        approx::assert_relative_eq!(mass.unwrap().as_grams(), 35.0 * 28.349_523_125, max_relative = 1e-12);
        assert_eq!(name, "pork loin");
        assert_eq!(weight_first("back fat"), (None, "back fat"));
    }

    #[test]
    fn an_own_estimate_is_lean_over_fat() {
        assert_eq!(own_estimate("trim 70/30"), Some(Fraction::percent(30.0)));
        assert_eq!(own_estimate("belly 45% fat"), Some(Fraction::percent(45.0)));
        assert_eq!(own_estimate("back fat"), None);
        assert_eq!(own_estimate("cut 7/3"), None);
    }
}
