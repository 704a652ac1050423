//! `/cure rub`: a weighed dose rubbed on a whole muscle, all of which it takes up (equilibrium cure).

use super::dose::planned;
use super::options::{COUNTRY, DoseOptions, NITRATE, NITRITE, PRODUCT, SALT, SCALE, TARGET};
use super::{amounts, meat_of, timing};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::cure::{Application, GreenWeight, Method};
use crate::quantity::Length;
use crate::reply::say;

/// `/cure rub`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "rub",
    aliases: &["equilibrium"],
    summary: "a weighed dose of cure and salt to rub on a whole muscle",
    options: &[
        maybe("meat", OptionKind::Mass, "raw muscle, e.g. 1850 g"),
        NITRITE,
        NITRATE,
        SALT,
        TARGET,
        SCALE,
        maybe("thickness", OptionKind::Length, "to say how long it cures, e.g. 70 mm"),
        PRODUCT,
        COUNTRY,
        maybe("batch", OptionKind::Batch, "take the meat from this batch"),
    ],
    examples: [
        "cure rub meat:1850 g nitrite:0.6% salt:3% thickness:70 mm country:IT",
        "cure rub meat:4 lb 2 oz nitrite:6.25% salt:2.75%",
    ],
    private: false,
};

/// A dose for a whole muscle.
#[derive(Debug, Clone)]
pub struct CureRub {
    meat: meat_of::Meat,
    thickness: Option<Length>,
    options: DoseOptions,
}

impl CureRub {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            meat: meat_of::Meat::read(args)?,
            thickness: args.length("thickness")?,
            options: DoseOptions::read(args)?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let meat = self.meat.find(services, asking).await?;
        let application = Application::Dry { meat: GreenWeight::of(meat.weight) };
        let planned = planned(&self.options, application, meat.product(), asking)?;
        let holes = [
            ("weights", &*planned.weights()),
            ("meat", &amounts::meat(meat.weight, asking)),
            ("amounts", &planned.amounts),
            ("verdict", &planned.verdict),
        ];
        let mut reply = planned.reply("cure rub", say("cure.rub.headline", &holes), asking);
        if let Some(thickness) = self.thickness.or(meat.thickness()) {
            timing::add_line(
                &mut reply,
                thickness,
                Method::Dry,
                Some(meat.heaviest()),
                &self.options.line,
                asking,
            )?;
        }
        reply.next = Some(match meat.keep_line(&planned, &self.options.line) {
            Some(line) => say("cure.rub.next_batch", &[("line", &line)]),
            None => say("cure.rub.next", &[]),
        });
        Ok(Done::reply(reply))
    }
}
