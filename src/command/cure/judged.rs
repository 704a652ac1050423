//! What the rules say of a cure that was applied, and the reply's parts that follow from it.

use super::applied::Applied;
use super::{amounts, judging, refusal, working};
use crate::command::asking::Asking;
use crate::command::error::UserError;
use crate::curing::cure::{Application, Case, CureError, Ingoing, Method, Product, Scope, advice, judge};
use crate::curing::finding::{Finding, Outcome};
use crate::curing::rule::Kind;
use crate::quantity::{Fraction, Mass};
use crate::reply::{Reply, say};
use chrono::NaiveDate;

/// More salt in the meat than this is a slip: the most that a dose is worked out for, too.
const MOST_SALT: f64 = 0.30;

/// A cure as it was judged.
#[derive(Debug)]
pub(in crate::command) struct Judged {
    /// Raw meat.
    pub(in crate::command) meat: Mass,
    /// What this cure brings.
    pub(in crate::command) ingoing: Ingoing,
    /// Product, methods, country and day.
    pub(in crate::command) scope: Scope,
    /// What every row says, loudest first.
    pub(in crate::command) findings: Vec<Finding>,
    application: Application,
    /// Of this cure and of those before it on the same meat.
    total: Ingoing,
    salt: Option<Fraction>,
    alone: bool,
}

/// A cure that is already on the same meat: its method, and what it brought.
#[derive(Debug, Clone, Copy)]
pub(in crate::command) struct Earlier {
    /// How it was applied.
    pub(in crate::command) method: Method,
    /// What it brought.
    pub(in crate::command) ingoing: Ingoing,
}

/// Judges a cure, together with those already on the same meat: the contributions add up and the strictest row of
/// the methods used decides.
pub(in crate::command) fn judged(
    applied: &Applied,
    meat: Mass,
    product: Option<Product>,
    earlier: &[Earlier],
    day: NaiveDate,
) -> Result<Judged, UserError> {
    let application = applied.application(meat);
    let ingoing = application
        .ingoing(applied.cure, &applied.label)
        .map_err(|error| refusal::of(&error, &applied.line))?;
    check_salt(applied, meat).map_err(|error| refusal::of(&error, &applied.line))?;
    let product = applied.product.or(product).unwrap_or(application.method().usual_product());
    let mut scope = Scope::new(product, application.method(), applied.country.clone(), day);
    let mut total = ingoing;
    for before in earlier {
        total = total.plus(before.ingoing);
        if !scope.methods.contains(&before.method) {
            scope.methods.push(before.method);
        }
    }
    let alone = earlier.is_empty();
    let salt = applied.salt_in_meat(meat).filter(|_| alone);
    let case = Case {
        scope: scope.clone(),
        ingoing: total,
        label: alone.then_some(applied.label),
        salt_in_meat: salt,
    };
    Ok(Judged { meat, ingoing, findings: judge(&case), scope, application, total, salt, alone })
}

/// Salt is believed up to the most that a dose is worked out for; and a pickle holds what is dissolved in it.
fn check_salt(applied: &Applied, meat: Mass) -> Result<(), CureError> {
    let dissolved = applied.cure + applied.plain_salt(meat).unwrap_or(Mass::grams(0.0));
    if applied.pickle().is_some_and(|pickle| dissolved >= pickle) {
        return Err(CureError::PickleTooSmall);
    }
    match applied.salt_in_meat(meat) {
        Some(salt) if salt.as_one() > MOST_SALT => Err(CureError::OutOfRange {
            what: "salt",
            range: "0 % to 30 % of the meat",
            example: "salt:22 g",
        }),
        _ => Ok(()),
    }
}

impl Judged {
    /// How this cure went in.
    pub(in crate::command) const fn method(&self) -> Method {
        self.application.method()
    }

    /// "156.25 mg/kg nitrite", of everything on this meat.
    pub(in crate::command) fn amounts(&self) -> String {
        amounts::ingoing(&self.total)
    }

    /// "at the US limit".
    pub(in crate::command) fn verdict(&self) -> String {
        judging::in_words(&self.findings, &self.total, &self.scope)
    }

    /// Whether neither nitrite nor nitrate went in.
    pub(in crate::command) fn is_nothing(&self) -> bool {
        self.total.is_nothing()
    }

    /// Whether a maximum is exceeded.
    pub(in crate::command) fn is_over(&self) -> bool {
        self.findings.iter().any(|finding| finding.outcome == Outcome::Over)
    }

    /// "2.5 g of cure mixed into 1 kg".
    pub(in crate::command) fn what_was_done(&self, applied: &Applied, asking: &Asking) -> String {
        let key = match self.method() {
            Method::Comminuted => "cure.done.comminuted",
            Method::Dry => "cure.done.dry",
            Method::Immersion => "cure.done.immersion",
            Method::ImmersionPickup => "cure.done.pickup",
            Method::Inject => "cure.done.inject",
        };
        let pickle = applied.pickle().map_or_else(String::new, |pickle| amounts::meat(pickle, asking));
        let cure = amounts::typed_cure(applied.cure, asking);
        let meat = amounts::meat(self.meat, asking);
        say(key, &[("cure", &cure), ("meat", &meat), ("pickle", &pickle)])
    }

    /// Figures, findings and the way they were worked out.
    pub(in crate::command) fn fill(&self, reply: &mut Reply, applied: &Applied, asking: &Asking) {
        reply.figures.extend(amounts::ingoing_figures(&self.total));
        if let Some(salt) = self.salt {
            reply.figures.push(amounts::salt_figure(salt));
        }
        if let Some(pickle) = applied.pickle() {
            reply.figures.push(amounts::mass_figure("brine_weight", pickle, amounts::meat(pickle, asking)));
        }
        if let Some(gain) = applied.pick_up() {
            reply.figures.push(amounts::pick_up_figure(gain));
        }
        self.bounds(reply, applied, asking);
        reply.figures.push(amounts::pure_nitrite(applied.cure, &applied.label));
        let (cure, label) = (applied.cure, &applied.label);
        reply.working = working::ingoing(&self.application, cure, label, &self.ingoing, applied.pickle());
        judging::add(reply, self.findings.clone(), &self.scope, self.salt);
    }

    /// The cure at the limit; and where it is exceeded, the meat that brings it down to the limit.
    fn bounds(&self, reply: &mut Reply, applied: &Applied, asking: &Asking) {
        if !self.alone {
            return;
        }
        let Some(most) = self.scope.most(&applied.label).filter(|most| most.row.kind != Kind::Prohibited)
        else {
            return;
        };
        let step = asking.member.settings.scale_step;
        if let Ok(cure) = self.application.cure_for(most.share, &applied.label, None) {
            reply.figures.push(amounts::at_limit_figure(cure, &most, &applied.label, step, asking));
        }
        if let Some(meat) = self.meat_to_reach_limit(applied) {
            let shown = amounts::at_least(meat, asking);
            reply.figures.push(amounts::mass_figure("meat_to_reach_limit", meat, shown));
        }
    }

    /// How much meat in all brings an overdose down to the limit, where more meat can.
    fn meat_to_reach_limit(&self, applied: &Applied) -> Option<Mass> {
        let most = self.scope.most(&applied.label).filter(|most| most.row.kind != Kind::Prohibited)?;
        let meat = self.application.meat_for(applied.cure, most.share, &applied.label)?;
        (self.alone && self.is_over() && meat > self.meat).then_some(meat)
    }

    /// How much mince in all dilutes an overdose to the limit: only what is minced can still be mixed.
    pub(in crate::command) fn diluted(&self, applied: &Applied) -> Option<Mass> {
        let mixable = self.method() == Method::Comminuted && !self.is_swapped();
        self.meat_to_reach_limit(applied).filter(|_| mixable)
    }

    /// Whether it looks like the dose of another cure: then the label is in doubt, and so is every number.
    fn is_swapped(&self) -> bool {
        let key = |finding: &Finding| finding.advice.as_ref().map(|said| said.key);
        let of_another = [Some(advice::SWAP_STRONG), Some(advice::NITRATE_FOR_NITRITE)];
        self.findings.iter().any(|finding| of_another.contains(&key(finding)))
    }

    /// What to do about a dose over a limit, or one that looks like the dose of another cure.
    pub(in crate::command) fn next(&self, applied: &Applied, asking: &Asking) -> Option<String> {
        if self.is_swapped() {
            return Some(say("cure.over.next_swapped", &[]));
        }
        if !self.is_over() {
            return None;
        }
        match self.diluted(applied) {
            Some(meat) => {
                let more = amounts::at_least(Mass::grams(meat.as_grams() - self.meat.as_grams()), asking);
                let all = amounts::at_least(meat, asking);
                Some(say("cure.over.next_mixable", &[("more", &more), ("all", &all)]))
            }
            None => Some(say("cure.over.next_whole", &[])),
        }
    }
}
