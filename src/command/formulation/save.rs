//! `/formulation save`: keeps a recipe under a name.

use super::item::{self, ITEM, Item, PRODUCT};
use super::kept::{USUAL_MEAT, after, ingredients, scaled};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::command::lookup::typable;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::formulation::allergen;
use crate::quantity::format;
use crate::record::{Formulation, Recipe};
use crate::reply::{Question, Reply, say};
use crate::store::{Change, fold};

/// `/formulation save`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "save",
    aliases: &["keep"],
    summary: "keep a recipe under a name",
    options: &[
        needed("name", OptionKind::Text, "what you call it, e.g. juniper stick"),
        ITEM,
        PRODUCT,
        maybe("allergen", OptionKind::Text, "in it, beside those the names show, e.g. celery").several(),
    ],
    examples: [
        "formulation save name:juniper stick item:2.5% salt item:2 g/kg pepper",
        "formulation save name:fennel stick item:2.6% salt item:1% spice mix allergen:celery allergen:mustard",
    ],
    private: true,
};

/// The longest name of a recipe.
pub(in crate::command) const LONGEST_NAME: usize = 40;
/// Most recipes of one member.
pub(in crate::command) const MOST_RECIPES: usize = 200;

/// A recipe to be kept.
#[derive(Debug, Clone)]
pub struct FormulationSave {
    name: String,
    recipe: Recipe,
}

impl FormulationSave {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let name = args.needed("name")?.split_whitespace().collect::<Vec<_>>().join(" ");
        if name.chars().count() > LONGEST_NAME {
            let most = LONGEST_NAME.to_string();
            let sentence = say("formulation.save.name_too_long", &[("most", &most)]);
            return Err(args.error(Code::OutOfRange, sentence));
        }
        let items: Vec<(&str, Item)> = item::read(args)?;
        let recipe = Recipe {
            items: items.into_iter().map(|(typed, _)| typed.to_owned()).collect(),
            product: item::product(args)?.to_owned(),
            allergens: allergens(args)?,
            unnamed: false,
            after: None,
        };
        Ok(Self { name, recipe })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let own = services.store.formulations_of(asking.member.id).await?;
        let before = own.iter().find(|kept| fold(&kept.name) == fold(&self.name));
        if before.is_some() && !asking.confirmed {
            return Ok(Done::question(self.confirm(before)));
        }
        if before.is_none() && own.len() >= MOST_RECIPES {
            let sentence = say("formulation.save.too_many", &[("most", &MOST_RECIPES.to_string())]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "formulation list").into());
        }
        let kept = Formulation {
            owner: asking.member.id,
            name: self.name.clone(),
            group: asking.group.id,
            // What was copied and is altered stays after what it was copied from.
            recipe: Recipe {
                after: before.and_then(|before| before.recipe.after.clone()),
                ..self.recipe.clone()
            },
            saved_at: asking.now,
            shared_at: None,
        };
        let holes = [
            ("name", &*self.name),
            ("count", &ingredients(&kept)),
            ("meat", &format::mass(USUAL_MEAT, asking.member.settings.mass)),
        ];
        let headline = Reply::new("formulation save", say("formulation.save.done", &holes));
        let mut reply = scaled(&kept, USUAL_MEAT)?.fill(headline, asking);
        reply.lines.extend(after(&kept, services, asking));
        if before.is_some_and(|before| before.shared_at.is_some()) {
            reply.lines.push(say("formulation.save.taken_back", &[]));
        }
        reply.next = Some(say("formulation.save.next", &[("name", &typable(&self.name))]));
        Ok(Done::keeping(Change { formulations: vec![kept], ..Change::default() }, reply))
    }

    fn confirm(&self, before: Option<&Formulation>) -> Question {
        let is_shared = before.is_some_and(|before| before.shared_at.is_some());
        let key = if is_shared { "formulation.save.confirm_shared" } else { "formulation.save.confirm" };
        Question {
            code: "confirm_replace",
            text: say(key, &[("name", &self.name)]),
            example: "yes".to_owned(),
            choices: Vec::new(),
            answers: Vec::new(),
            line: String::new(),
        }
    }
}

fn allergens(args: Args<'_>) -> Result<Vec<String>, UserError> {
    let one = |text: &str| {
        allergen::named(text).map(str::to_owned).ok_or_else(|| {
            let all: Vec<&str> = allergen::all().collect();
            let holes = [("typed", &*shown(text)), ("allergens", &all.join(", "))];
            let sentence = say("formulation.save.allergen", &holes);
            UserError::new(Code::UnknownChoice, sentence, args.line().with("allergen", "mustard"))
        })
    };
    args.several("allergen").into_iter().map(one).collect()
}
