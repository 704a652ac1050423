//! `/cure mix`: grams of cure and salt into minced meat.

use super::dose::planned;
use super::options::{COUNTRY, DoseOptions, NITRATE, NITRITE, PRODUCT, SALT, SCALE, TARGET};
use super::{amounts, meat_of};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::cure::{Application, GreenWeight};
use crate::reply::say;

/// `/cure mix`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "mix",
    aliases: &[],
    summary: "grams of cure and salt to mix into minced meat",
    options: &[
        maybe(
            "meat",
            OptionKind::Mass,
            "raw meat and fat, e.g. 1.6 kg pork, 0.4 kg back fat",
        ),
        NITRITE,
        NITRATE,
        SALT,
        TARGET,
        SCALE,
        PRODUCT,
        COUNTRY,
        maybe("batch", OptionKind::Batch, "take the meat from this batch"),
    ],
    examples: [
        "cure mix meat:2 kg nitrite:6.25% salt:2.5%",
        "cure mix meat:1.6 kg pork, 0.4 kg back fat nitrite:0.5% salt:2.8% country:DE",
    ],
    private: false,
};

/// A dose for minced meat.
#[derive(Debug, Clone)]
pub struct CureMix {
    meat: meat_of::Meat,
    options: DoseOptions,
}

impl CureMix {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            meat: meat_of::Meat::read(args)?,
            options: DoseOptions::read(args)?,
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let meat = self.meat.find(services, asking).await?;
        let application = Application::Comminuted {
            meat: GreenWeight::of(meat.weight),
        };
        let planned = planned(&self.options, application, meat.product(), asking)?;
        let holes = [
            ("weights", &*planned.weights()),
            ("meat", &amounts::meat(meat.weight, asking)),
            ("amounts", &planned.amounts),
            ("verdict", &planned.verdict),
        ];
        let mut reply = planned.reply("cure mix", say("cure.mix.headline", &holes), asking);
        reply.next = Some(match meat.keep_line(&planned, &self.options.line) {
            Some(line) => say("cure.mix.next_batch", &[("line", &line)]),
            None => say("cure.mix.next", &[]),
        });
        Ok(Done::reply(reply))
    }
}
