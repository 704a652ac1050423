//! `/formulation show`: a kept recipe for the meat that is there.

use super::kept;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::quantity::{Mass, format};
use crate::reply::{Reply, say};

/// `/formulation show`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "show",
    aliases: &[],
    summary: "a kept recipe, in grams for the meat that is there",
    options: &[
        needed("name", OptionKind::Text, "of a recipe of yours or one that is shared, e.g. juniper stick"),
        maybe("meat", OptionKind::Mass, "that is there, e.g. 2.35 kg; 1 kg when not said"),
    ],
    examples: ["formulation show name:juniper stick meat:2.35 kg", "formulation show name:juniper stick"],
    private: true,
};

/// A recipe that is asked for.
#[derive(Debug, Clone)]
pub struct FormulationShow {
    name: String,
    meat: Mass,
}

impl FormulationShow {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let name = args.needed("name")?.to_owned();
        Ok(Self { name, meat: args.mass("meat")?.unwrap_or(kept::USUAL_MEAT) })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let recipe = kept::named(&self.name, services, asking).await?;
        let holes = [
            ("name", &*kept::by(&recipe, services, asking)),
            ("meat", &format::mass(self.meat, asking.member.settings.mass)),
        ];
        let headline = Reply::new("formulation show", say("formulation.show.headline", &holes));
        let mut reply = kept::scaled(&recipe, self.meat)?.fill(headline, asking);
        reply.lines.extend(kept::after(&recipe, services, asking));
        Ok(Done::reply(reply))
    }
}
