//! Kept recipes: finding one by its name, reading it again, and what keeps one from being shown to others.

use super::item::Item;
use super::scale::FormulationScale;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::line::shown;
use crate::command::lookup::typable;
use crate::curing::cure::{Case, CureLabel, Ingoing, Method, Product, Scope, judge};
use crate::curing::finding::Outcome;
use crate::curing::formulation::ingredient::{may_hold_nitrite, percentages};
use crate::quantity::{Fraction, Mass, WeightBasis};
use crate::record::{Formulation, MemberId};
use crate::reply::say;
use crate::store::Found;

/// The meat a recipe is shown for when none is named.
pub(in crate::command) const USUAL_MEAT: Mass = Mass::grams(1000.0);

/// The recipe of a name: the member's own, else one that is shared with the group.
pub(super) async fn named(
    name: &str,
    services: &Services,
    asking: &Asking,
) -> Result<Formulation, CommandError> {
    let found = services.store.formulation_by_name(asking.member.id, asking.group.id, name).await?;
    let (code, sentence) = match found {
        Found::One(kept) => return Ok(kept),
        Found::Nothing => (Code::NoSuchThing, say("formulation.kept.none", &[("typed", &shown(name))])),
        Found::Several(several) => {
            let names: Vec<String> = several.iter().map(|kept| by(kept, services, asking)).collect();
            let holes = [("typed", &*shown(name)), ("names", &names.join("; "))];
            (Code::UnknownChoice, say("formulation.kept.several", &holes))
        }
    };
    Err(UserError::new(code, sentence, "formulation list").into())
}

/// Refuses what is not for the member to do.
pub(super) fn allowed(kept: &Formulation, deed: Deed, asking: &Asking) -> Result<(), CommandError> {
    if may(Actor::of(asking), deed, &Thing::recipe(kept)) {
        return Ok(());
    }
    let sentence = say("formulation.kept.not_yours", &[("name", &kept.name)]);
    Err(UserError::new(Code::NotYours, sentence, "formulation list").into())
}

/// Its name, with whose it is where it is another's.
pub(in crate::command) fn by(kept: &Formulation, services: &Services, asking: &Asking) -> String {
    if kept.owner == asking.member.id {
        return kept.name.clone();
    }
    let owner = Some(kept.owner).filter(|_| !kept.recipe.unnamed);
    credited(&kept.name, owner, services, asking)
}

/// A recipe's name with whose it is, where its owner wants that said.
fn credited(name: &str, owner: Option<MemberId>, services: &Services, asking: &Asking) -> String {
    match owner {
        Some(owner) => {
            let holes = [("name", name), ("member", &*member_name(owner, services, asking))];
            say("formulation.kept.by", &holes)
        }
        None => say("formulation.kept.by_a_member", &[("name", name)]),
    }
}

/// The recipe it was copied from, in a sentence of its own.
pub(in crate::command) fn after(kept: &Formulation, services: &Services, asking: &Asking) -> Option<String> {
    let from = kept.recipe.after.as_ref()?;
    let of = if from.owner == Some(asking.member.id) {
        from.name.clone()
    } else {
        credited(&from.name, from.owner, services, asking)
    };
    Some(say("formulation.kept.after", &[("name", &of)]))
}

fn member_name(member: MemberId, services: &Services, asking: &Asking) -> String {
    let found = services.store.member(member, asking.group.id);
    found.map_or_else(|| say("group.board.former_member", &[]), |member| member.name)
}

/// How many ingredients it has, in words.
pub(in crate::command) fn ingredients(kept: &Formulation) -> String {
    match kept.recipe.items.len() {
        1 => say("formulation.kept.one_ingredient", &[]),
        count => say("formulation.kept.ingredients", &[("count", &count.to_string())]),
    }
}

/// Reads a kept recipe for a weight of meat. What was saved could be read then; a reader that became stricter says so.
pub(in crate::command) fn scaled(kept: &Formulation, meat: Mass) -> Result<FormulationScale, UserError> {
    let items = kept.recipe.items.iter().map(|text| {
        Item::parse(text).map_err(|_| {
            let holes = [("name", &*kept.name), ("item", &shown(text))];
            let example = format!("formulation save name:{} item:2.5% salt", typable(&kept.name));
            UserError::new(Code::DoesNotFit, say("formulation.kept.unreadable", &holes), example)
        })
    });
    Ok(FormulationScale {
        meat,
        items: items.collect::<Result<_, _>>()?,
        product: if kept.recipe.product == "muscle" { "muscle" } else { "sausage" },
        allergens: kept.recipe.allergens.clone(),
    })
}

/// Refuses a recipe whose cure goes over a published limit, or whose cure has no label to judge it by: it is no example
/// for others.
pub(super) fn nothing_over(kept: &Formulation, asking: &Asking) -> Result<(), UserError> {
    let recipe = scaled(kept, USUAL_MEAT)?;
    let refused = |key: &str, item: &str| {
        let holes = [("name", &*kept.name), ("item", item)];
        UserError::new(Code::Refused, say(key, &holes), "cure mix meat:1 kg nitrite:6.25%")
    };
    let mut ingoing: Option<Ingoing> = None;
    for item in recipe.items.iter().filter(|item| may_hold_nitrite(&item.name)) {
        let label = label(&item.name).ok_or_else(|| refused("formulation.kept.no_label", &item.name))?;
        let share = Fraction::of_one(item.amount.of(USUAL_MEAT).as_grams() / USUAL_MEAT.as_grams());
        let brings = Ingoing::of_share(&label, share, WeightBasis::GreenWeight);
        ingoing = Some(ingoing.map_or(brings, |before| before.plus(brings)));
    }
    let Some(ingoing) = ingoing else { return Ok(()) };
    let (product, method) = match recipe.product {
        "muscle" => (Product::Muscle, Method::Dry),
        _ => (Product::Sausage, Method::Comminuted),
    };
    let scope = Scope::new(product, method, asking.country(), asking.day());
    let findings = judge(&Case { scope, ingoing, label: None, salt_in_meat: None });
    match findings.iter().find(|finding| finding.outcome == Outcome::Over) {
        Some(over) => Err(refused("formulation.kept.over", &crate::reply::finding::verdict(over))),
        None => Ok(()),
    }
}

/// The percentages in a cure's name, as its label: nitrite first, then nitrate.
fn label(name: &str) -> Option<CureLabel> {
    let part = |percent: Option<&f64>| Fraction::percent(percent.copied().unwrap_or(0.0));
    let said = percentages(name);
    let nitrite = said.first()?;
    CureLabel::new(Fraction::percent(*nitrite), part(said.get(1))).ok()
}
