//! `/batch repeat`: a new batch like an earlier one, with what was noted then. Its cure is weighed and kept anew.

use super::dose_again;
use super::last_time;
use super::start::{self, LONGEST_NAME};
use crate::command::Args;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{CommandError, UserError};
use crate::command::formulation::again;
use crate::command::intake::meats;
use crate::command::journal::{self, Journal};
use crate::command::lookup;
use crate::command::naming;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::quantity::Mass;
use crate::record::{BatchPlan, BatchState, Chamber, Happening, Meat, Subject};
use crate::reply::Reply;
use crate::store::Share;

/// `/batch repeat`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "repeat",
    aliases: &[],
    summary: "start a batch like an earlier one, with what was noted then",
    options: &[
        needed("batch", OptionKind::Batch, "yours, or one on the group's board"),
        needed("meat", OptionKind::Mass, "raw weight; a total alone keeps the old proportions"),
    ],
    examples: [
        "batch repeat batch:B4 meat:2.35 kg",
        "batch repeat batch:B4 meat:1.8 kg pork, 0.5 kg back fat",
    ],
    private: true,
};

/// A batch to be made again.
#[derive(Debug, Clone)]
pub struct BatchRepeat {
    batch: String,
    meats: Vec<Meat>,
}

impl BatchRepeat {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let batch = args.needed("batch")?.to_owned();
        let meats = meats(args.needed("meat")?).map_err(|error| args.intake_error("meat", &error))?;
        Ok(Self { batch, meats })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let earlier = lookup::named_batch(services, asking, &self.batch, Deed::Repeat).await?;
        let share = shown(&earlier, services, asking).await?;
        let (plan, chamber) = self.plan(&earlier, services, asking).await?;
        let mut journal = Journal::new(services, asking);
        let batch = services.store.next_batch_id();
        let event = journal.event(Subject::Batch(batch), asking.now, Happening::Started { plan });
        let stored = journal::stored(&event, &chamber.name);
        let state = journal.start(event)?;
        let mut reply = Reply { command: "batch repeat", ..start::started(&state, asking) };
        reply.stored.push(stored);
        match &share {
            None => last_time::own(&mut reply, &earlier, services, asking).await?,
            Some(share) => last_time::shown(&mut reply, &earlier, &share.record),
        }
        again::fill(&mut reply, &earlier.plan.name, state.plan.meat(), services, asking).await?;
        if let Some(next) = dose_again::fill(&mut reply, &earlier, &state, asking) {
            reply.next = Some(next);
        }
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    async fn plan(
        &self,
        earlier: &BatchState,
        services: &Services,
        asking: &Asking,
    ) -> Result<(BatchPlan, Chamber), CommandError> {
        let before = services.store.chamber(earlier.plan.chamber).await?;
        let chamber = match before.filter(|chamber| chamber.owner == asking.member.id) {
            Some(chamber) => chamber,
            None => lookup::chamber(services, asking, None).await?,
        };
        let own = services.store.batches_of(asking.member.id).await?;
        let taken: Vec<String> = own.into_iter().map(|batch| batch.name).collect();
        let plan = BatchPlan {
            name: naming::next(&earlier.plan.name, &taken, LONGEST_NAME),
            owner: asking.member.id,
            group: asking.group.id,
            meats: proportioned(&self.meats, &earlier.plan.meats),
            chamber: chamber.id,
            ..earlier.plan.clone()
        };
        Ok((plan, chamber))
    }
}

/// What is shown of a batch of another's; `None` for one's own.
async fn shown(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Share>, CommandError> {
    if may(Actor::of(asking), Deed::ReadNotes, &Thing::of_member(state.plan.owner)) {
        return Ok(None);
    }
    Ok(services.store.share_of(state.id).await?)
}

/// A total without a name keeps the old meats in their proportions; anything else stands as it was typed.
fn proportioned(typed: &[Meat], before: &[Meat]) -> Vec<Meat> {
    let total_g: f64 = before.iter().map(|meat| meat.mass.as_grams()).sum();
    match typed {
        [Meat { species, mass }] if species.is_empty() && total_g > 0.0 => {
            let part = mass.as_grams() / total_g;
            let scaled = |meat: &Meat| Meat {
                species: meat.species.clone(),
                mass: Mass::grams(meat.mass.as_grams() * part),
            };
            before.iter().map(scaled).collect()
        }
        _ => typed.to_vec(),
    }
}
