//! `/formulation scale`: a recipe's parts scaled to the meat that is there, with the salt, sugar and water in them.

use super::super::cut::weight_first;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::finding::Finding;
use crate::curing::formulation::allergen::allergens;
use crate::curing::formulation::ingredient::{Amount, brings};
use crate::curing::{Level, rulebook};
use crate::quantity::{Fraction, Mass, format, parse};
use crate::reply::{Reply, say};

/// `/formulation scale`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "scale",
    aliases: &[],
    summary: "a recipe's parts in grams for the meat that is there",
    options: &[
        needed("meat", OptionKind::Mass, "that is there, e.g. 2.35 kg"),
        needed("item", OptionKind::Text, "part and name, e.g. 2.5% salt, 3 g/kg pepper, 1 oz/lb sugar")
            .several(),
        maybe("product", OptionKind::Choice(&["sausage", "muscle"]), "sausage when not said"),
    ],
    examples: [
        "formulation scale meat:2.35 kg item:2.5% salt item:3 g/kg pepper item:0.3% dextrose",
        "formulation scale meat:5 lb item:0.4 oz/lb salt item:2% red wine",
    ],
    private: false,
};

/// Most ingredients of a recipe.
const MOST_ITEMS: usize = 40;
/// More salt than this tastes of nothing else, in percent of the meat: common practice, no source.
const SALTY_PERCENT: f64 = 4.0;
/// The longest name of an ingredient.
const LONGEST_NAME: usize = 60;

/// An ingredient of a recipe.
#[derive(Debug, Clone, PartialEq)]
struct Item {
    amount: Amount,
    name: String,
}

/// A recipe and meat.
#[derive(Debug, Clone)]
pub struct FormulationScale {
    meat: Mass,
    items: Vec<Item>,
    product: &'static str,
}

impl FormulationScale {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let meat = args.mass_needed("meat")?;
        let typed = args.several("item");
        if typed.is_empty() {
            return Err(args.missing("item"));
        }
        if typed.len() > MOST_ITEMS {
            return Err(args.error(Code::OutOfRange, say("formulation.scale.too_many", &[])));
        }
        let items = typed.into_iter().map(|text| item(args, text)).collect::<Result<Vec<_>, _>>()?;
        let product = args.choice("product", |word| match word {
            "sausage" => Some("sausage"),
            "muscle" => Some("muscle"),
            _ => None,
        })?;
        Ok(Self { meat, items, product: product.unwrap_or("sausage") })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let settings = &asking.member.settings;
        let holes = [("meat", &*format::mass(self.meat, settings.mass))];
        let mut reply = Reply::new("formulation scale", say("formulation.scale.headline", &holes));
        for item in &self.items {
            let mass = item.amount.of(self.meat);
            let figure = figures::cure("ingredient_mass", mass, settings.scale_step).of(item.name.clone());
            let holes = [("mass", &*figure.shown), ("name", &item.name), ("part", &part_shown(item.amount))];
            reply.lines.push(say("formulation.scale.line", &holes));
            reply.figures.push(figure.folded());
            let holes = [
                ("name", &*item.name),
                ("part", &part_shown(item.amount)),
                ("meat", &format::trimmed(self.meat.as_grams(), 1)),
                ("mass", &format::trimmed(mass.as_grams(), 3)),
            ];
            reply.working.push(say("formulation.scale.formula", &holes));
        }
        self.hidden(&mut reply);
        self.remarks(&mut reply);
        Ok(Done::reply(reply))
    }

    /// What the ingredients bring of one thing, as a part of the meat.
    fn brought(&self, part: fn(&Brought) -> f64) -> Fraction {
        let grams: f64 = self
            .items
            .iter()
            .map(|item| item.amount.of(self.meat).as_grams() * part(&brought_by(&item.name)) / 100.0)
            .sum();
        Fraction::of_one(grams / self.meat.as_grams())
    }

    fn hidden(&self, reply: &mut Reply) {
        let salt = self.brought(|brought| brought.salt);
        let (sugar, water) = (self.brought(|brought| brought.sugar), self.brought(|brought| brought.water));
        reply.figures.push(figures::percent("salt_in_meat", salt));
        for (id, part) in [("sugar_in_meat", sugar), ("water_added", water)] {
            if part.as_one() > 0.0 {
                reply.figures.push(figures::percent(id, part));
            }
        }
        let row = rulebook::by_id(if self.product == "sausage" {
            "trade.salt.sausage"
        } else {
            "trade.salt.muscle"
        });
        if let Some(row) = row.filter(|_| salt.as_one() > 0.0) {
            reply.findings.push(Finding::judge(row, salt.as_percent()));
            reply.judges = true;
        }
        if salt.as_percent() > SALTY_PERCENT {
            reply.note(Level::Notice, say("formulation.scale.salty", &[]));
        }
    }

    fn remarks(&self, reply: &mut Reply) {
        let found = allergens(self.items.iter().map(|item| item.name.as_str()));
        let key =
            if found.is_empty() { "formulation.scale.no_allergens" } else { "formulation.scale.allergens" };
        reply.lines.push(say(key, &[("allergens", &found.join(", "))]));
        if self.items.iter().any(|item| is_cure(&item.name)) {
            reply.note(Level::Caution, say("formulation.scale.cure", &[]));
        }
    }
}

/// Salt, sugar and water of an ingredient, in percent of it.
#[derive(Debug, Clone, Copy, Default)]
struct Brought {
    salt: f64,
    sugar: f64,
    water: f64,
}

/// A cure is salt but for what its label says it is not.
fn brought_by(name: &str) -> Brought {
    if is_cure(name) {
        let label = name
            .split_whitespace()
            .find(|word| word.ends_with('%'))
            .and_then(|word| parse::percent(word).ok());
        return Brought { salt: 100.0 - label.map_or(0.0, Fraction::as_percent), ..Brought::default() };
    }
    brings(name).map_or_else(Brought::default, |known| Brought {
        salt: known.salt,
        sugar: known.sugar,
        water: known.water,
    })
}

fn is_cure(name: &str) -> bool {
    let name = name.to_lowercase();
    name.split(|letter: char| !letter.is_alphabetic())
        .any(|word| matches!(word, "cure" | "curing" | "nitrite" | "nitrate"))
}

/// "2.5% salt", "3 g/kg pepper", "1 oz/lb sugar", "10 g for 1 kg garlic".
fn item(args: Args<'_>, text: &str) -> Result<Item, UserError> {
    let refused =
        || args.error(Code::MissingOption, say("formulation.scale.item", &[("typed", &shown(text))]));
    let (amount, name) = read_amount(args, text)?.ok_or_else(refused)?;
    let name = name.trim_start_matches("of ").trim();
    if name.is_empty() || name.chars().count() > LONGEST_NAME {
        return Err(refused());
    }
    Ok(Item { amount, name: name.to_owned() })
}

fn read_amount<'t>(args: Args<'_>, text: &'t str) -> Result<Option<(Amount, &'t str)>, UserError> {
    if let Some(at) = text.find('%') {
        let (number, name) = text.split_at(at + 1);
        if number.chars().all(|letter| !letter.is_alphabetic()) {
            let part = parse::percent(number).map_err(|error| args.quantity_error("item", &error))?;
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

fn part_shown(amount: Amount) -> String {
    match amount {
        Amount::Part(part) => format::percent(part),
        Amount::For(amount, of) => {
            format!("{} g / {} g", format::trimmed(amount.as_grams(), 3), format::trimmed(of.as_grams(), 3))
        }
    }
}
