//! What `mix`, `rub`, `brine` and `inject` share: plan the dose, judge it, lay it out.

use super::options::DoseOptions;
use super::{amounts, judging, refusal, working};
use crate::command::asking::Asking;
use crate::command::error::UserError;
use crate::curing::cure::{Application, Case, Dose, DoseRequest, Product, Scope, advice, judge, plan};
use crate::curing::finding::{Advice, Level};
use crate::quantity::Mass;
use crate::reply::finding::advised;
use crate::reply::{Reply, say};

/// A dose that was planned, and what the rules say of it.
#[derive(Debug)]
pub(super) struct Planned {
    pub(super) request: DoseRequest,
    pub(super) dose: Dose,
    /// The dose as weighed: a whole number of the scale's steps.
    pub(super) cure: String,
    /// Plain salt as weighed; `None` where no salt was asked for.
    pub(super) salt: Option<String>,
    /// "150 mg/kg nitrite".
    pub(super) amounts: String,
    /// "within the US limit".
    pub(super) verdict: String,
    case: Case,
}

/// Plans and judges a dose.
pub(super) fn planned(
    options: &DoseOptions,
    application: Application,
    product: Option<Product>,
    asking: &Asking,
) -> Result<Planned, UserError> {
    let method = application.method();
    let product = options.product.or(product).unwrap_or(method.usual_product());
    let scope = Scope::new(product, method, options.country.clone(), asking.day());
    let request = DoseRequest {
        application,
        label: options.label,
        scope: scope.clone(),
        target: options.target,
        salt: options.salt,
        scale_step: options.scale_step,
    };
    let dose = plan(&request).map_err(|error| refusal::of(&error, &options.line))?;
    let case = Case {
        scope,
        ingoing: dose.ingoing,
        label: Some(options.label),
        salt_in_meat: options.salt.map(|_| dose.salt_in_meat),
    };
    let verdict = judging::in_words(&judge(&case), &case.ingoing, &case.scope);
    Ok(Planned {
        cure: amounts::cure(dose.cure_salt, request.scale_step, asking),
        salt: request.salt.map(|_| amounts::salt(dose.plain_salt, request.scale_step, asking)),
        amounts: amounts::ingoing(&dose.ingoing),
        verdict,
        request,
        dose,
        case,
    })
}

impl Planned {
    /// "2.4 g of cure and 22.7 g plain salt", or only the cure where no salt was asked for.
    pub(super) fn weights(&self) -> String {
        match &self.salt {
            Some(salt) if self.dose.plain_salt > Mass::grams(0.0) => {
                say("cure.weights_salt", &[("cure", &self.cure), ("salt", salt)])
            }
            Some(_) => say("cure.weights_no_plain", &[("cure", &self.cure)]),
            None => say("cure.weights", &[("cure", &self.cure)]),
        }
    }

    /// The reply under a headline.
    pub(super) fn reply(&self, command: &'static str, headline: String, asking: &Asking) -> Reply {
        let mut reply = Reply::new(command, headline);
        self.figures(&mut reply, asking);
        let findings = judge(&self.case);
        reply.working = working::dose(&self.request, &self.dose);
        judging::add(&mut reply, findings, &self.case.scope, self.case.salt_in_meat);
        for said in &self.dose.advice {
            reply.note(level(said), advised(said));
        }
        reply
    }

    fn figures(&self, reply: &mut Reply, asking: &Asking) {
        let dose = &self.dose;
        let figures = &mut reply.figures;
        figures.push(amounts::mass_figure("cure_salt", dose.cure_salt, self.cure.clone()));
        if let Some(salt) = &self.salt {
            figures.push(amounts::mass_figure("plain_salt", dose.plain_salt, salt.clone()));
            figures.push(amounts::salt_figure(dose.salt_in_meat));
        }
        if let Some(pickle) = dose.pickle {
            figures.push(amounts::mass_figure("brine_weight", pickle, amounts::meat(pickle, asking)));
        }
        figures.extend(amounts::ingoing_figures(&dose.ingoing));
        let most = self.request.scope.most(&self.request.label);
        if let (Some(cure), Some(most)) = (dose.cure_salt_at_limit, most) {
            let (label, step) = (&self.request.label, self.request.scale_step);
            figures.push(amounts::at_limit_figure(cure, &most, label, step, asking));
        }
        figures.push(amounts::pure_nitrite(dose.cure_salt, &self.request.label));
    }
}

/// How loud a remark beside a dose is. This project's choice, no source.
fn level(said: &Advice) -> Level {
    match said.key {
        advice::CONCENTRATE => Level::Warning,
        advice::PICKLE_SATURATED => Level::Caution,
        _ => Level::Notice,
    }
}
