//! `/cure inject`: cure and salt for a pickle that is pumped into the meat.

use super::amounts;
use super::dose::planned;
use super::options::{self, COUNTRY, DoseOptions, NITRATE, NITRITE, PRODUCT, SALT, SCALE, TARGET};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::spec::{OptionKind, Spec, needed};
use crate::curing::cure::Application;
use crate::quantity::{Fraction, Mass, MassUnit, compare, format};
use crate::reply::say;

/// `/cure inject`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "inject",
    aliases: &[],
    summary: "cure and salt for a pickle to pump into the meat",
    options: &[
        needed("meat", OptionKind::Mass, "raw meat, e.g. 2 kg"),
        needed(
            "pickle",
            OptionKind::Mass,
            "weight of the whole pickle: water, salt, cure and all",
        ),
        needed(
            "pump",
            OptionKind::Percent,
            "pickle pumped, as a part of the meat, e.g. 10%",
        ),
        NITRITE,
        NITRATE,
        SALT,
        TARGET,
        SCALE,
        PRODUCT,
        COUNTRY,
    ],
    examples: [
        "cure inject meat:2 kg pickle:500 g pump:10% nitrite:6.25% salt:2%",
        "cure inject meat:2.5 kg pickle:600 g pump:10% nitrite:6.25% salt:2% product:bacon country:US",
    ],
    private: false,
};

/// A pickle to be pumped.
#[derive(Debug, Clone)]
pub struct CureInject {
    meat: Mass,
    pickle: Mass,
    pump: Fraction,
    options: DoseOptions,
}

impl CureInject {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let request = Self {
            meat: options::meat_needed(args)?,
            pickle: options::mass_needed(args, "pickle")?,
            pump: args.read_needed("pump", crate::quantity::parse::percent)?,
            options: DoseOptions::read(args)?,
        };
        request.enough(args)?;
        Ok(request)
    }

    fn pumped(&self) -> Mass {
        Mass::grams(self.meat.as_grams() * self.pump.as_one())
    }

    /// The pickle must be at least what is pumped.
    fn enough(&self, args: Args<'_>) -> Result<(), UserError> {
        let pumped = self.pumped();
        if compare::with_tolerance(pumped.as_grams(), self.pickle.as_grams()).is_le() {
            return Ok(());
        }
        let shown = amounts::at_least(pumped, args.asking);
        let holes = [("pump", &*format::percent(self.pump)), ("pumped", &shown)];
        let (_, whole) = format::ceil_to_step(pumped.as_grams(), 1.0);
        let example = format::mass_exact(Mass::grams(whole), MassUnit::Gram);
        let sentence = say("cure.inject.too_little", &holes);
        Err(UserError::new(
            Code::OutOfRange,
            sentence,
            args.line().with("pickle", &example),
        ))
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let application = Application::Pumped {
            pickle: self.pickle,
            pump: self.pump,
        };
        let planned = planned(&self.options, application, None, asking)?;
        let pumped = amounts::meat(self.pumped(), asking);
        let holes = [
            ("weights", &*planned.weights()),
            ("pickle", &amounts::meat(self.pickle, asking)),
            ("pumped", &pumped),
            ("meat", &amounts::meat(self.meat, asking)),
            ("amounts", &planned.amounts),
            ("verdict", &planned.verdict),
        ];
        let mut reply = planned.reply("cure inject", say("cure.inject.headline", &holes), asking);
        let after = amounts::meat(self.meat + self.pumped(), asking);
        reply.next = Some(say("cure.inject.next", &[("pumped", &pumped), ("after", &after)]));
        Ok(Done::reply(reply))
    }
}
