//! `/formulation share`: shows a kept recipe to the group, or takes it back.

use super::kept;
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::lookup::typable;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::record::{Formulation, Recipe};
use crate::reply::{Question, Reply, say};
use crate::store::Change;

/// `/formulation share`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "share",
    aliases: &[],
    summary: "show a kept recipe of yours to the group, or take it back",
    options: &[
        maybe("name", OptionKind::Text, "of a recipe of yours, to show it"),
        maybe("withdraw", OptionKind::Text, "of a recipe of yours, to take it back"),
        maybe("credit", OptionKind::Choice(CREDIT), "whether your name stands beside it; yes when not said"),
    ],
    examples: ["formulation share name:juniper stick", "formulation share withdraw:juniper stick"],
    private: false,
};

const CREDIT: &[&str] = &["yes", "no"];

/// What is to be done with a recipe.
#[derive(Debug, Clone)]
pub enum FormulationShare {
    /// The group is to see it.
    Share {
        /// Its name.
        name: String,
        /// Without its owner's.
        unnamed: bool,
    },
    /// The group is no longer to see it.
    Withdraw(String),
}

impl FormulationShare {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        match (args.text("name"), args.text("withdraw")) {
            (Some(name), None) => {
                let unnamed = args.choice("credit", |word| CREDIT.contains(&word).then_some(word == "no"))?;
                Ok(Self::Share { name: name.to_owned(), unnamed: unnamed.unwrap_or(false) })
            }
            (None, Some(name)) => Ok(Self::Withdraw(name.to_owned())),
            (None, None) => Err(args.missing("name")),
            (Some(_), Some(_)) => {
                Err(args.error(Code::UnknownOption, say("formulation.share.one_at_a_time", &[])))
            }
        }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match self {
            Self::Share { name, unnamed } => share(name, *unnamed, services, asking).await,
            Self::Withdraw(name) => withdraw(name, services, asking).await,
        }
    }
}

async fn share(name: &str, unnamed: bool, services: &Services, asking: &Asking) -> Outcome {
    let recipe = kept::named(name, services, asking).await?;
    kept::allowed(&recipe, Deed::AlterRecipe, asking)?;
    kept::nothing_over(&recipe, asking)?;
    if !asking.confirmed {
        return Ok(Done::question(confirm(&recipe, unnamed, asking)));
    }
    let name = recipe.name.clone();
    let contents = Recipe { unnamed, ..recipe.recipe.clone() };
    let shared =
        Formulation { group: asking.group.id, shared_at: Some(asking.now), recipe: contents, ..recipe };
    let mut reply = Reply::new("formulation share", say("formulation.share.done", &[("name", &name)]));
    reply.next = Some(say("formulation.share.next", &[("name", &typable(&name))]));
    Ok(Done::keeping(Change { formulations: vec![shared], ..Change::default() }, reply))
}

fn confirm(recipe: &Formulation, unnamed: bool, asking: &Asking) -> Question {
    let key = if unnamed { "formulation.share.confirm_unnamed" } else { "formulation.share.confirm" };
    let holes = [("name", &*recipe.name), ("group", &asking.group.name), ("member", &asking.member.name)];
    Question {
        code: "confirm_share",
        text: say(key, &holes),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}

/// Its owner may, and a steward.
async fn withdraw(name: &str, services: &Services, asking: &Asking) -> Outcome {
    let recipe = kept::named(name, services, asking).await?;
    kept::allowed(&recipe, Deed::TakeBackRecipe, asking)?;
    if recipe.shared_at.is_none() {
        let sentence = say("formulation.share.not_shared", &[("name", &recipe.name)]);
        return Err(UserError::new(Code::DoesNotFit, sentence, "formulation list").into());
    }
    let reply =
        Reply::new("formulation share", say("formulation.share.withdrawn", &[("name", &recipe.name)]));
    let withdrawn = Formulation { shared_at: None, ..recipe };
    Ok(Done::keeping(Change { formulations: vec![withdrawn], ..Change::default() }, reply))
}
