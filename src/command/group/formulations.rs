//! `/group formulations`: the recipes that members share, and a copy of one.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::experience;
use crate::command::formulation::kept;
use crate::command::formulation::save::{LONGEST_NAME, MOST_RECIPES};
use crate::command::line::shown;
use crate::command::lookup::typable;
use crate::command::naming;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::record::{CopiedFrom, Formulation, Recipe};
use crate::reply::{Reply, say};
use crate::store::{Change, Found, fold};
use std::collections::BTreeMap;

/// `/group formulations`
pub static SPEC: Spec = Spec {
    root: "group",
    verb: "formulations",
    aliases: &["recipes"],
    summary: "the recipes that members share; keep a copy of one",
    options: &[
        maybe("copy", OptionKind::Text, "a shared recipe, to keep it as one of yours"),
        maybe("as", OptionKind::Text, "what your copy is called; as it is when not said"),
    ],
    examples: ["group formulations", "group formulations copy:juniper stick as:my juniper stick"],
    private: false,
};

/// A list longer than this is cut, and says so.
const MOST: usize = 25;

/// What is to be done with the shared recipes.
#[derive(Debug, Clone)]
pub enum GroupFormulations {
    /// Every one, the latest first.
    List,
    /// One becomes the member's own too.
    Copy {
        /// Which.
        name: String,
        /// What it is called then.
        as_name: Option<String>,
    },
}

impl GroupFormulations {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        match (args.text("copy"), args.text("as")) {
            (None, None) => Ok(Self::List),
            (None, Some(_)) => {
                Err(args.error(Code::MissingOption, say("group.formulations.as_without_copy", &[])))
            }
            (Some(name), as_name) => {
                let as_name = as_name.map(|name| name.split_whitespace().collect::<Vec<_>>().join(" "));
                if as_name.as_ref().is_some_and(|name| name.chars().count() > LONGEST_NAME) {
                    let most = LONGEST_NAME.to_string();
                    let sentence = say("formulation.save.name_too_long", &[("most", &most)]);
                    return Err(args.error(Code::OutOfRange, sentence));
                }
                Ok(Self::Copy { name: name.to_owned(), as_name })
            }
        }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::List => list(services, asking).await,
            Self::Copy { name, as_name } => copy(name, as_name.as_deref(), services, asking).await,
        }
    }
}

async fn list(services: &Services, asking: &Asking) -> Outcome {
    let shared = services.store.formulations_shared(asking.group.id).await?;
    let used = used(services, asking).await?;
    let headline = match shared.len() {
        0 => say("group.formulations.none", &[]),
        1 => say("group.formulations.one", &[]),
        count => say("group.formulations.several", &[("count", &count.to_string())]),
    };
    let mut reply = Reply::new("group formulations", headline);
    for recipe in shared.iter().take(MOST) {
        let used = match used.get(&fold(&recipe.name)) {
            None => String::new(),
            Some(1) => say("group.formulations.used_once", &[]),
            Some(count) => say("group.formulations.used", &[("count", &count.to_string())]),
        };
        let since = recipe.shared_at.unwrap_or(recipe.saved_at);
        let holes = [
            ("name", &*kept::by(recipe, services, asking)),
            ("count", &kept::ingredients(recipe)),
            ("when", &time::shown(since, asking.now, asking.zone())),
            ("used", &used),
        ];
        reply.lines.push(say("group.formulations.line", &holes));
    }
    if shared.len() > MOST {
        let left = (shared.len() - MOST).to_string();
        reply.lines.push(say("group.formulations.more", &[("count", &left)]));
    }
    let others = shared.iter().find(|recipe| recipe.owner != asking.member.id);
    reply.next = Some(match (others, shared.first()) {
        (Some(recipe), _) => say("group.formulations.next", &[("name", &typable(&recipe.name))]),
        (None, Some(own)) => say("group.formulations.next_own", &[("name", &typable(&own.name))]),
        (None, None) => say("group.formulations.next_none", &[]),
    });
    Ok(Done::reply(reply))
}

/// How many dried batches on the board have the name of a recipe, by that name.
async fn used(services: &Services, asking: &Asking) -> Result<BTreeMap<String, usize>, CommandError> {
    let mut used = BTreeMap::new();
    for batch in experience::shown_in_group(services, asking).await?.iter() {
        *used.entry(naming::base(&batch.name)).or_default() += 1;
    }
    Ok(used)
}

/// Keeps a copy that says whose it was, as far as they want that said. What is under a name already is never replaced.
async fn copy(name: &str, as_name: Option<&str>, services: &Services, asking: &Asking) -> Outcome {
    let from = shared_by_another(name, services, asking).await?;
    let own = services.store.formulations_of(asking.member.id).await?;
    if own.len() >= MOST_RECIPES {
        let sentence = say("formulation.save.too_many", &[("most", &MOST_RECIPES.to_string())]);
        return Err(UserError::new(Code::DoesNotFit, sentence, "formulation list").into());
    }
    let taken: Vec<String> = own.iter().map(|kept| kept.name.clone()).collect();
    let wanted = as_name.unwrap_or(&from.name);
    let is_taken = taken.iter().any(|taken| fold(taken) == fold(wanted));
    let name = if is_taken { naming::next(wanted, &taken, LONGEST_NAME) } else { wanted.to_owned() };
    let after =
        CopiedFrom { name: from.name.clone(), owner: Some(from.owner).filter(|_| !from.recipe.unnamed) };
    let copy = Formulation {
        owner: asking.member.id,
        name,
        group: asking.group.id,
        recipe: Recipe { unnamed: false, after: Some(after), ..from.recipe },
        saved_at: asking.now,
        shared_at: None,
    };
    let holes = [("name", &*copy.name), ("count", &kept::ingredients(&copy))];
    let mut reply = Reply::new("group formulations", say("group.formulations.copied", &holes));
    reply.lines.extend(kept::after(&copy, services, asking));
    reply.next = Some(say("group.formulations.copied_next", &[("name", &typable(&copy.name))]));
    Ok(Done::keeping(Change { formulations: vec![copy], ..Change::default() }, reply))
}

async fn shared_by_another(
    name: &str,
    services: &Services,
    asking: &Asking,
) -> Result<Formulation, CommandError> {
    let folded = fold(name);
    let mut shared = services.store.formulations_shared(asking.group.id).await?;
    shared.retain(|recipe| !folded.is_empty() && fold(&recipe.name).starts_with(&folded));
    let mine =
        shared.iter().find(|recipe| recipe.owner == asking.member.id).map(|recipe| recipe.name.clone());
    shared.retain(|recipe| recipe.owner != asking.member.id);
    let refuse = |code, sentence| Err(UserError::new(code, sentence, "group formulations").into());
    match (Found::among(shared, name, |recipe| &recipe.name), mine) {
        (Found::One(recipe), _) => Ok(recipe),
        (Found::Several(several), _) => {
            let names: Vec<String> = several.iter().map(|one| kept::by(one, services, asking)).collect();
            let holes = [("typed", &*shown(name)), ("names", &names.join("; "))];
            refuse(Code::UnknownChoice, say("group.formulations.several_fit", &holes))
        }
        (Found::Nothing, Some(own)) => {
            refuse(Code::DoesNotFit, say("group.formulations.own", &[("name", &own)]))
        }
        (Found::Nothing, None) => {
            let holes = [("typed", &*shown(name))];
            refuse(Code::NoSuchThing, say("group.formulations.no_such", &holes))
        }
    }
}
