//! The recipe of a batch that is made again, scaled to the meat that is there.

use super::item::Item;
use super::kept;
use crate::command::asking::{Asking, Services};
use crate::command::error::CommandError;
use crate::command::naming;
use crate::curing::formulation::allergen;
use crate::quantity::{Mass, format};
use crate::record::{BatchState, Formulation};
use crate::reply::{Reply, say};
use crate::store::fold;

/// Adds the kept recipe of the batch's name, of the member's own or else shared; says so where there is none.
pub(in crate::command) async fn fill(
    reply: &mut Reply,
    batch_name: &str,
    meat: Mass,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    let Some(recipe) = of_name(batch_name, services, asking).await? else {
        reply.lines.push(say("formulation.again.none", &[]));
        return Ok(());
    };
    match kept::scaled(&recipe, meat) {
        Ok(scaled) => {
            let holes = [
                ("name", &*kept::by(&recipe, services, asking)),
                ("meat", &format::mass(meat, asking.member.settings.mass)),
            ];
            reply.lines.push(say("formulation.show.headline", &holes));
            *reply = scaled.fill(std::mem::take(reply), asking);
        }
        Err(unreadable) => reply.lines.push(unreadable.sentence),
    }
    Ok(())
}

/// What a batch was made of by the recipe of its name, scaled to its meat.
#[derive(Debug)]
pub(in crate::command) struct Ingredients {
    /// The recipe's name.
    pub(in crate::command) name: String,
    /// Each ingredient.
    pub(in crate::command) all: Vec<Ingredient>,
    /// The allergens that names give away or that were recorded.
    pub(in crate::command) allergens: Vec<&'static str>,
}

/// One ingredient.
#[derive(Debug)]
pub(in crate::command) struct Ingredient {
    /// What it is called.
    pub(in crate::command) name: String,
    /// Its part of the meat, as it stands in the recipe.
    pub(in crate::command) part: String,
    /// For the meat of the batch.
    pub(in crate::command) weight: Mass,
}

/// The recipe that goes with a batch by its name: its owner's own, where they ask, else one that the group sees. A
/// helper's own recipe of that name is not the batch's.
pub(in crate::command) async fn of_batch(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Ingredients>, CommandError> {
    let recipe = if state.plan.owner == asking.member.id {
        of_name(&state.plan.name, services, asking).await?
    } else {
        let shared = services.store.formulations_shared(asking.group.id).await?;
        let names = names_of(&state.plan.name);
        shared
            .into_iter()
            .find(|recipe| recipe.owner == state.plan.owner && names.contains(&fold(&recipe.name)))
    };
    let Some(recipe) = recipe else { return Ok(None) };
    let meat = state.plan.meat();
    // A recipe that is no longer read is as good as none.
    let Ok(scaled) = kept::scaled(&recipe, meat) else { return Ok(None) };
    let ingredient = |item: &Item| Ingredient {
        name: item.name.clone(),
        part: item.part_shown(),
        weight: item.amount.of(meat),
    };
    Ok(Some(Ingredients {
        name: kept::by(&recipe, services, asking),
        all: scaled.items.iter().map(ingredient).collect(),
        allergens: allergen::with_known(
            scaled.items.iter().map(|item| item.name.as_str()),
            &recipe.recipe.allergens,
        ),
    }))
}

fn names_of(batch_name: &str) -> [String; 2] {
    [fold(batch_name), naming::base(batch_name)]
}

async fn of_name(
    batch_name: &str,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Formulation>, CommandError> {
    let names = names_of(batch_name);
    let own = services.store.formulations_of(asking.member.id).await?;
    let shared = services.store.formulations_shared(asking.group.id).await?;
    Ok(own.into_iter().chain(shared).find(|recipe| names.contains(&fold(&recipe.name))))
}
