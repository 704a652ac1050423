//! `/cure check`: judges what somebody did.

use super::applied::{AFTER, Applied, CURE, METHOD, PICKLE, PICKUP, PUMP, SALT, SKIN};
use super::judged::judged;
use super::options::{COUNTRY, NITRATE, NITRITE, PRODUCT};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::curing::cure::Method;
use crate::quantity::Mass;
use crate::reply::{Reply, say};

/// `/cure check`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "check",
    aliases: &[],
    summary: "judge a cure that was weighed or used",
    options: &[
        needed("method", METHOD, "how it went in"),
        needed("meat", OptionKind::Mass, "raw meat, e.g. 2 kg"),
        CURE,
        NITRITE,
        NITRATE,
        SALT,
        PICKLE,
        PUMP,
        PICKUP,
        AFTER,
        SKIN,
        PRODUCT,
        COUNTRY,
    ],
    examples: [
        "cure check method:comminuted meat:1 kg cure:2.5 g nitrite:6.25% country:US",
        "cure check method:inject meat:2 kg cure:16 g nitrite:6.25% pickle:500 g pump:10%",
    ],
    private: false,
};

/// A cure to be judged.
#[derive(Debug, Clone)]
pub struct CureCheck {
    applied: Applied,
    meat: Mass,
}

impl CureCheck {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let method = args.choice("method", Method::parse)?.ok_or_else(|| args.missing("method"))?;
        let applied = Applied::read(args, method)?;
        let meat = applied.meat.ok_or_else(|| args.missing("meat"))?;
        Ok(Self { applied, meat })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let judged = judged(&self.applied, self.meat, None, &[], asking.day())?;
        let holes = [
            ("done", &*judged.what_was_done(&self.applied, asking)),
            ("amounts", &judged.amounts()),
            ("verdict", &judged.verdict()),
        ];
        let key = if judged.is_nothing() { "cure.check.headline_nothing" } else { "cure.check.headline" };
        let mut reply = Reply::new("cure check", say(key, &holes));
        judged.fill(&mut reply, &self.applied, asking);
        reply.next = judged.next(&self.applied, asking);
        Ok(Done::reply(reply))
    }
}
