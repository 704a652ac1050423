//! The cure of a batch that is made again: what to weigh for the meat that is there now. It is never kept as done, and one
//! that went over a limit, or would where the member lives, is not proposed.

use crate::command::asking::Asking;
use crate::command::cure::meat_of::product_of;
use crate::command::figures;
use crate::curing::cure::{Case, CureLabel, Ingoing, Method, Product, Scope, judge};
use crate::curing::{Level, Outcome};
use crate::quantity::{Fraction, Mass, WeightBasis, format, parse};
use crate::record::{BatchKind, BatchState, Dose};
use crate::reply::{Reply, say};

/// A scale that takes more than this part of a dose away is too coarse for it.
const TOO_COARSE: f64 = 0.05;

/// Says what to weigh, or why that has to be worked out anew; answers with what to do next, where a dose can be weighed.
pub(super) fn fill(
    reply: &mut Reply,
    earlier: &BatchState,
    state: &BatchState,
    asking: &Asking,
) -> Option<String> {
    let anew = |key: &str| say(key, &[("command", working(state.plan.kind))]);
    match earlier.doses.as_slice() {
        [] => {
            reply.lines.push(say("batch.repeat.no_dose", &[]));
            None
        }
        _ if earlier.carries_over() => {
            reply.note(Level::Warning, anew("batch.repeat.dose_over"));
            None
        }
        [dose] => match Weighing::of(dose, state, asking) {
            Some(weighing) if weighing.goes_over(asking) => {
                reply.note(Level::Warning, anew("batch.repeat.dose_over_here"));
                None
            }
            Some(weighing) => Some(weighing.say(reply, dose, state, asking)),
            None => {
                reply.lines.push(anew("batch.repeat.dose_anew"));
                None
            }
        },
        _ => {
            reply.lines.push(anew("batch.repeat.dose_anew"));
            None
        }
    }
}

/// The command that works a dose out.
const fn working(kind: BatchKind) -> &'static str {
    match kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => "cure mix",
        BatchKind::WholeMuscle => "cure rub",
    }
}

/// A dose for the meat that is there now.
struct Weighing {
    method: Method,
    product: Product,
    label: CureLabel,
    meat: Mass,
    cure: Mass,
    shown: String,
}

impl Weighing {
    /// `None` where a weight of cure does not simply go with the meat: a brine or a pickle.
    fn of(dose: &Dose, state: &BatchState, asking: &Asking) -> Option<Self> {
        let method = Method::parse(&dose.method)
            .filter(|method| matches!(method, Method::Comminuted | Method::Dry))?;
        let meat = state.plan.meat();
        let exact = Mass::grams(dose.cure.as_grams() * meat.as_grams() / dose.meat.as_grams());
        let (cure, shown) = on_scale(exact, asking)?;
        Some(Self {
            method,
            product: Product::parse(&dose.product)?,
            label: CureLabel::new(dose.nitrite, dose.nitrate).ok()?,
            meat,
            cure,
            shown,
        })
    }

    fn goes_over(&self, asking: &Asking) -> bool {
        let share = Fraction::of_one(self.cure.as_grams() / self.meat.as_grams());
        let ingoing = Ingoing::of_share(&self.label, share, WeightBasis::GreenWeight);
        let scope = Scope::new(self.product, self.method, asking.country(), asking.day());
        let findings = judge(&Case { scope, ingoing, label: None, salt_in_meat: None });
        findings.iter().any(|finding| finding.outcome == Outcome::Over)
    }

    fn say(&self, reply: &mut Reply, dose: &Dose, state: &BatchState, asking: &Asking) -> String {
        let per_kg = dose.cure.as_grams() / dose.meat.as_grams() * 1000.0;
        let percent = if dose.nitrate.as_one() > 0.0 {
            format!("{} + {}", format::percent(dose.nitrite), format::percent(dose.nitrate))
        } else {
            format::percent(dose.nitrite)
        };
        let holes = [
            ("per_kg", &*format::trimmed(per_kg, 2)),
            ("label", &percent),
            ("cure", &self.shown),
            ("meat", &format::mass(self.meat, asking.member.settings.mass)),
        ];
        reply.lines.push(say("batch.repeat.dose", &holes));
        reply.figures.push(figures::cure("cure_salt", self.cure, asking.member.settings.scale_step).folded());
        say("batch.repeat.next_dose", &[("line", &self.line(dose, state))])
    }

    /// The line that keeps it.
    fn line(&self, dose: &Dose, state: &BatchState) -> String {
        let percent = |part: Fraction| format!("{}%", format::trimmed(part.as_percent(), 4));
        let product = self.product;
        let parts = [
            Some(format!("batch cure batch:{}", state.id)),
            (product != product_of(state.plan.kind)).then(|| format!("product:{}", product.word())),
            Some(format!("cure:{} nitrite:{}", self.shown, percent(dose.nitrite))),
            (dose.nitrate.as_one() > 0.0).then(|| format!("nitrate:{}", percent(dose.nitrate))),
            dose.salt.map(|salt| format!("salt:{}", percent(salt))),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }
}

/// What the member's scale shows for a dose, never more than it; to a milligram where the scale is too coarse for it.
fn on_scale(exact: Mass, asking: &Asking) -> Option<(Mass, String)> {
    let shown = format::dose_mass(exact, asking.member.settings.scale_step);
    let read = |shown: String| parse::positive_mass(&shown).ok().map(|mass| (mass, shown));
    match read(shown) {
        Some((mass, shown)) if mass.as_grams() >= exact.as_grams() * (1.0 - TOO_COARSE) => {
            Some((mass, shown))
        }
        _ => read(format::dose_mass(exact, Mass::grams(0.001))),
    }
}
