//! `/cure weights`: what the scale says before and after salting: pick-up in a brine, salt in and water out of a dry
//! cure.

use super::{amounts, options};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::why::Why;
use crate::curing::finding::Level;
use crate::curing::whole_muscle::{Salting, SaltingError, Weighed};
use crate::quantity::{Fraction, Mass, format, parse};
use crate::reply::{Figure, Reply, say, unit};

/// `/cure weights`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "weights",
    aliases: &[],
    summary: "what the weights before and after salting say: pick-up, or salt in and water out",
    options: &[
        needed("before", OptionKind::Mass, "raw weight, before salt and cure, e.g. 1850 g"),
        needed("after", OptionKind::Mass, "weight after, wiped and drained, e.g. 1776 g"),
        maybe("salt", OptionKind::Mass, "salt and cure that went on it in all, e.g. 55.5 g; not for a brine"),
    ],
    examples: [
        "cure weights before:1850 g after:1776 g salt:55.5 g",
        "cure weights before:2 kg after:2080 g",
    ],
    private: false,
};

/// Two weights.
#[derive(Debug, Clone, Copy)]
pub struct CureWeights {
    weighed: Weighed,
    salting: Option<Salting>,
}

impl CureWeights {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let refused = |error: SaltingError| {
            let sentence = say("cure.weighing.refused", &[("why", &super::refusal::capital(&error.why()))]);
            args.error(Code::OutOfRange, sentence)
        };
        let (before, after) = (options::mass_needed(args, "before")?, options::mass_needed(args, "after")?);
        options::no_spoon(args, "salt")?;
        let weighed = Weighed::new(before, after).map_err(refused)?;
        let salting = match args.read("salt", parse::mass)? {
            Some(salt) => Some(weighed.with_salt(salt).map_err(refused)?),
            None => None,
        };
        Ok(Self { weighed, salting })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let mut reply = match self.salting {
            Some(salting) => Self::dry(salting, asking),
            None => self.change(),
        };
        let change = self.weighed.change();
        reply.figures.insert(0, percent("weight_change", change));
        let holes = [
            ("before", &*grams(self.weighed.before())),
            ("after", &grams(self.weighed.after())),
            ("change", &format::percent(change)),
        ];
        reply.working.insert(0, say("cure.weighing.formula_change", &holes));
        Ok(Done::reply(reply))
    }

    fn dry(salting: Salting, asking: &Asking) -> Reply {
        let (water, part, salt) = (salting.water_lost(), salting.water_lost_part(), salting.salt_now());
        let shown = amounts::meat(water, asking);
        let holes = [
            ("water", &*shown),
            ("part", &format::percent(part)),
            ("salt", &format::percent(salt)),
            ("dose", &format::percent(salting.salt_of_raw())),
        ];
        let mut reply = Reply::new("cure weights", say("cure.weighing.headline_dry", &holes));
        reply.figures = vec![
            figures::meat("water_lost", water, asking),
            percent("water_lost_part", part),
            percent("salt_now", salt),
        ];
        reply.note(Level::Notice, say("cure.weighing.at_most", &[]));
        reply.next = Some(say("cure.weighing.next_dry", &[]));
        reply.working.push(say("cure.weighing.formula_dry", &[("water", &grams(water))]));
        reply
    }

    fn change(&self) -> Reply {
        if let Ok(gain) = self.weighed.pick_up() {
            let headline = say("cure.weighing.headline_gain", &[("gain", &format::percent(gain))]);
            let mut reply = Reply::new("cure weights", headline);
            reply.figures.push(amounts::pick_up_figure(gain));
            reply.next = Some(say("cure.weighing.next_gain", &[]));
            return reply;
        }
        let lost = Fraction::of_one(-self.weighed.change().as_one());
        let headline = say("cure.weighing.headline_loss", &[("lost", &format::percent(lost))]);
        let mut reply = Reply::new("cure weights", headline);
        reply.next = Some(say("cure.weighing.next_loss", &[]));
        reply
    }
}

fn percent(id: &'static str, part: Fraction) -> Figure {
    let label = say(&format!("label.{id}"), &[]);
    Figure::number(id, label, part.as_percent(), unit::PERCENT, format::percent(part))
}

fn grams(mass: Mass) -> String {
    format!("{} g", format::trimmed(mass.as_grams(), 2))
}
