//! Cure and salt for a brine with meat in it. In balance with the meat (equilibrium) unless a pick-up is given.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::cure::amounts;
use crate::command::cure::dose::{Planned, planned};
use crate::command::cure::options::{self, DoseOptions};
use crate::command::error::{Code, UserError};
use crate::curing::cure::{Application, GreenWeight, Liquid};
use crate::quantity::{Fraction, Mass};
use crate::reply::say;

/// A brine for meat.
#[derive(Debug, Clone)]
pub struct BrineForMeat {
    meat: Mass,
    liquid: Liquid,
    taken_up: Option<Fraction>,
    options: DoseOptions,
}

impl BrineForMeat {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let meat = options::meat_needed(args)?;
        let liquid = match (options::mass(args, "water")?, options::mass(args, "pickle")?) {
            (Some(water), None) => Liquid::Water(water),
            (None, Some(pickle)) => Liquid::Pickle(pickle),
            (None, None) => return Err(args.missing("water")),
            (Some(_), Some(_)) => {
                return Err(args.error(Code::OutOfRange, say("cure.brine.water_or_pickle", &[])));
            }
        };
        let (taken_up, options) = (args.percent("pickup")?, DoseOptions::read(args)?);
        Ok(Self { meat, liquid, taken_up, options })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let meat = GreenWeight::of(self.meat);
        let application = match self.taken_up {
            Some(taken_up) => Application::PickUp { liquid: self.liquid, taken_up },
            None => Application::Equilibrium { meat, liquid: self.liquid },
        };
        let planned = planned(&self.options, application, None, asking)?;
        let mut reply = planned.reply("cure brine", self.headline(&planned, asking), asking);
        if let Some(line) = self.water(&planned, asking) {
            reply.lines.push(line);
        }
        reply.next = Some(match self.taken_up {
            Some(taken_up) => {
                let after = Mass::grams(self.meat.as_grams() * (1.0 + taken_up.as_one()));
                say("cure.brine.next_pickup", &[("after", &amounts::meat(after, asking))])
            }
            None => say("cure.brine.next", &[]),
        });
        Ok(Done::reply(reply))
    }

    fn headline(&self, planned: &Planned, asking: &Asking) -> String {
        let (key, liquid) = match self.liquid {
            Liquid::Water(water) => ("cure.brine.headline_water", water),
            Liquid::Pickle(pickle) => ("cure.brine.headline_pickle", pickle),
        };
        let holes = [
            ("weights", &*planned.weights()),
            ("liquid", &amounts::meat(liquid, asking)),
            ("meat", &amounts::meat(self.meat, asking)),
            ("amounts", &planned.amounts),
            ("verdict", &planned.verdict),
        ];
        say(key, &holes)
    }

    /// Of a pickle given whole: the water that makes it up.
    fn water(&self, planned: &Planned, asking: &Asking) -> Option<String> {
        let Liquid::Pickle(pickle) = self.liquid else {
            return None;
        };
        let dissolved = planned.dose.cure_salt.as_grams() + planned.dose.plain_salt.as_grams();
        let water = Mass::grams(pickle.as_grams() - dissolved);
        Some(say("cure.brine.water", &[("water", &amounts::meat(water, asking))]))
    }
}
