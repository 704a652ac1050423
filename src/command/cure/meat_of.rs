//! The meat a dose is for: weighed in the line, or taken from a batch.

use super::dose::Planned;
use super::{amounts, options};
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Services};
use crate::command::error::{CommandError, UserError};
use crate::command::line::Line;
use crate::command::lookup;
use crate::curing::cure::{Method, Product};
use crate::quantity::{AmountBasis, Fraction, Length, Mass, MassUnit, format};
use crate::record::{BatchKind, BatchState};

/// What the line says of the meat.
#[derive(Debug, Clone)]
pub(super) struct Meat {
    weight: Option<Mass>,
    batch: Option<String>,
}

/// The meat, found.
#[derive(Debug)]
pub(super) struct Found {
    /// Raw weight.
    pub(super) weight: Mass,
    batch: Option<BatchState>,
}

impl Meat {
    /// Reads `meat:` and `batch:`; one of them is needed.
    pub(super) fn read(args: Args<'_>) -> Result<Self, UserError> {
        let (weight, batch) = (options::meat(args)?, args.text("batch").map(str::to_owned));
        if weight.is_none() && batch.is_none() {
            return Err(args.missing("meat"));
        }
        Ok(Self { weight, batch })
    }

    /// Finds it; only the owner may work from a batch.
    pub(super) async fn find(&self, services: &Services, asking: &Asking) -> Result<Found, CommandError> {
        let batch = match &self.batch {
            Some(named) => Some(lookup::named_batch(services, asking, named, Deed::Run).await?),
            None => None,
        };
        let of_batch = batch.as_ref().map(|state| state.plan.meat());
        let weight = self.weight.or(of_batch).unwrap_or(Mass::grams(0.0));
        Ok(Found { weight, batch })
    }
}

impl Found {
    /// What the batch becomes.
    pub(super) fn product(&self) -> Option<Product> {
        self.batch.as_ref().map(|state| product_of(state.plan.kind))
    }

    /// The batch's thickness.
    pub(super) fn thickness(&self) -> Option<Length> {
        self.batch.as_ref().and_then(|state| state.plan.thickness)
    }

    /// The weight its time in the cure goes by: the batch's heaviest piece, or what was said.
    pub(super) fn heaviest(&self) -> Mass {
        let of_batch = self.batch.as_ref().filter(|state| state.plan.meat() == self.weight);
        of_batch.map_or(self.weight, BatchState::heaviest_raw_piece)
    }

    /// The line that keeps the dose with the batch: what was said is said again, what follows from the batch is not.
    pub(super) fn keep_line(&self, planned: &Planned, line: &Line) -> Option<String> {
        let state = self.batch.as_ref()?;
        let request = &planned.request;
        let label = &request.label;
        let method = request.application.method();
        let mut parts = vec![format!("batch cure batch:{}", state.id)];
        if method != usual_method(state.plan.kind) {
            parts.push(format!("method:{}", method.word()));
        }
        if self.weight != state.plan.meat() {
            parts.push(format!("meat:{}", exact(self.weight)));
        }
        parts.push(format!("cure:{}", exact(planned.dose.cure_salt)));
        parts.push(format!("nitrite:{}", percentage(label.nitrite(), label.nitrite_salt())));
        if label.nitrate().as_one() > 0.0 {
            parts.push(format!("nitrate:{}", percentage(label.nitrate(), label.nitrate_salt())));
        }
        if planned.salt.is_some() {
            let plain = amounts::salt_up(planned.dose.plain_salt, request.scale_step);
            parts.push(format!("salt:{}", exact(plain)));
        }
        let again =
            ["product", "country"].into_iter().filter_map(|name| Some((name, line.values.get(name)?)));
        parts.extend(again.map(|(name, value)| format!("{name}:{value}")));
        Some(parts.join(" "))
    }
}

/// How a cure goes into a kind of batch, unless said otherwise.
const fn usual_method(kind: BatchKind) -> Method {
    match kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => Method::Comminuted,
        BatchKind::WholeMuscle => Method::Dry,
    }
}

fn percentage(fraction: Fraction, salt: AmountBasis) -> String {
    let named = match salt {
        AmountBasis::PotassiumNitrite | AmountBasis::PotassiumNitrate => " potassium",
        _ => "",
    };
    format!("{}%{named}", format::trimmed(fraction.as_percent(), 6))
}

/// The product a kind of batch becomes.
pub(in crate::command) const fn product_of(kind: BatchKind) -> Product {
    match kind {
        BatchKind::FermentedSausage | BatchKind::DriedSausage => Product::Sausage,
        BatchKind::WholeMuscle => Product::Muscle,
    }
}

fn exact(mass: Mass) -> String {
    format::mass_exact(mass, MassUnit::Gram)
}
