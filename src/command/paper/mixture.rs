//! What went in: meats, cures with what they bring, plain salt, and the rest by the recipe of its name.

use super::{Paper, small_weight, table};
use crate::command::describe;
use crate::curing::cure::Method;
use crate::document::{Align, Block};
use crate::quantity::{Fraction, Mass, MassUnit, format};
use crate::record::Dose;
use crate::reply::say;

const COLUMNS: [(&str, f64, Align); 4] = [
    ("paper.column.ingredient", 44.0, Align::Left),
    ("paper.column.weight", 16.0, Align::Right),
    ("paper.column.part", 18.0, Align::Right),
    ("paper.column.ingoing", 28.0, Align::Right),
];

pub(super) fn blocks(paper: &Paper<'_>) -> Vec<Block> {
    let mut rows = meats(paper);
    for dose in &paper.state.doses {
        rows.extend(dose_rows(paper, dose));
    }
    if let Some(cure) = paper.cure.as_ref().filter(|_| paper.state.doses.len() > 1) {
        rows.push(vec![say("paper.in_all", &[]), String::new(), String::new(), cure.amounts()]);
    }
    let mut blocks = vec![Block::Heading(say("paper.mixture", &[])), table(&COLUMNS, rows)];
    if paper.state.doses.is_empty() {
        blocks.push(Block::Paragraph(say("paper.no_cure", &[])));
    }
    blocks.extend(recipe(paper));
    blocks
}

fn meats(paper: &Paper<'_>) -> Vec<Vec<String>> {
    let plan = &paper.state.plan;
    let all = plan.meat().as_grams();
    let row = |meat: &crate::record::Meat| {
        let name = if meat.species.is_empty() { say("paper.meat", &[]) } else { meat.species.clone() };
        let part = format::percent(Fraction::of_one(meat.mass.as_grams() / all));
        vec![name, weight(paper, meat.mass), part, String::new()]
    };
    plan.meats.iter().map(row).collect()
}

fn weight(paper: &Paper<'_>, mass: Mass) -> String {
    describe::mass(mass, paper.asking)
}

/// A cure with what it brings, and the plain salt beside it.
fn dose_rows(paper: &Paper<'_>, dose: &Dose) -> Vec<Vec<String>> {
    let label = if dose.nitrate.as_one() > 0.0 {
        let holes =
            [("nitrite", &*format::percent(dose.nitrite)), ("nitrate", &format::percent(dose.nitrate))];
        say("paper.label_both", &holes)
    } else {
        say("paper.label_nitrite", &[("nitrite", &format::percent(dose.nitrite))])
    };
    let holes = [("label", &*label), ("method", &method(&dose.method))];
    let name = say("paper.cure", &holes);
    let part = per_kilogram(dose.cure, dose.meat);
    let ingoing = super::rules::amounts(dose.ingoing_nitrite_mg_per_kg, dose.ingoing_nitrate_mg_per_kg);
    let mut rows = vec![vec![name, small_weight(dose.cure, paper.asking), part, ingoing]];
    if let Some(salt) = dose.salt {
        let plain = Mass::grams(salt.as_one() * dose.meat.as_grams());
        let shown = small_weight(plain, paper.asking);
        rows.push(vec![say("paper.plain_salt", &[]), shown, format::percent(salt), String::new()]);
    }
    rows
}

fn per_kilogram(mass: Mass, of: Mass) -> String {
    let grams = format::trimmed(mass.in_unit(MassUnit::Gram) / of.in_unit(MassUnit::Gram) * 1000.0, 3);
    say("paper.per_kilogram", &[("grams", &grams)])
}

/// How a cure went in, in words.
pub(super) fn method(word: &str) -> String {
    match Method::parse(word) {
        Some(method) => say(&format!("word.method.{}", method.word().replace('-', "_")), &[]),
        None => word.to_owned(),
    }
}

/// The rest of the ingredients by the recipe of its name; what the record holds itself is not said again as done.
fn recipe(paper: &Paper<'_>) -> Vec<Block> {
    let Some(recipe) = &paper.recipe else {
        return vec![Block::Small(say("paper.no_recipe", &[]))];
    };
    let list = recipe.all.iter().map(|one| {
        let holes = [("name", &*one.name), ("weight", &weight(paper, one.weight)), ("part", &one.part)];
        say("paper.recipe_item", &holes)
    });
    let list = list.collect::<Vec<_>>().join("; ");
    let allergens = if recipe.allergens.is_empty() {
        say("formulation.scale.no_allergens", &[])
    } else {
        say("formulation.scale.allergens_recorded", &[("allergens", &recipe.allergens.join(", "))])
    };
    let holes = [("name", &*recipe.name), ("meat", &weight(paper, paper.state.plan.meat())), ("list", &list)];
    vec![Block::Paragraph(say("paper.recipe", &holes)), Block::Paragraph(allergens)]
}
