//! `/batch show`: the status card.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::appraisal;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::charting::{self, ChartKind};
use crate::command::error::{CommandError, UserError};
use crate::command::forms;
use crate::command::lookup::{self, Found};
use crate::command::pictures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status;
use crate::command::status::{Look, fermentation};
use crate::command::tap;
use crate::curing::fermentation::{Fermentation, Systems};
use crate::record::{BatchKind, BatchStage, BatchState};
use crate::reply::{Reply, say};

/// `/batch show`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "show",
    aliases: &["status"],
    summary: "the status card: where a batch stands, its figures, what to do next",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("chart", OptionKind::Choice(charting::KINDS), "draw its drying, its fermentation or its air"),
    ],
    examples: ["batch show B1", "batch show batch:Juniper stick chart:drying"],
    private: false,
};

/// A look at a batch.
#[derive(Debug, Clone)]
pub struct BatchShow {
    batch: Option<String>,
    chart: Option<ChartKind>,
}

impl BatchShow {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let chart = args.choice("chart", ChartKind::parse)?;
        Ok(Self { batch: args.text("batch").map(str::to_owned), chart })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let state = match lookup::batch(
            services,
            asking,
            self.batch.as_deref(),
            Deed::LookAt,
            "batch show batch:{batch}",
        )
        .await?
        {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let look = Look::at_record(services, asking);
        let fermentation = fermentation::of_batch(look, &state, Systems::Strict).await?;
        let mut reply = Reply::new("batch show", status::headline(&state, fermentation.as_ref(), asking));
        reply.figures = status::card(&state, fermentation.as_ref(), asking);
        status::add_judgement(&mut reply, &state, look).await?;
        reply.lines.extend(status::finish::line(look, &state).await?);
        reply.lines.extend(appraisal::lines(&state));
        reply.lines.extend(status::helpers::line(services, &state).await?);
        reply.lines.extend(pictures::line(services, &state).await?);
        if let Some(kind) = self.chart {
            charting::add(&mut reply, kind, &state, look).await?;
        }
        reply.batch = Some(state.id);
        if reply.next.is_none() {
            let key = next_key(&state, fermentation.as_ref(), asking);
            reply.next = key.map(|key| say(key, &[("batch", &state.id.to_string())]));
            if state.plan.owner == asking.member.id {
                reply.taps.extend(tap::on_card(key, &state));
            }
        }
        if state.plan.owner == asking.member.id {
            add_owners(&mut reply, &state, services, asking).await?;
        }
        reply.judges = true;
        Ok(Done::reply(reply))
    }
}

/// What only its owner can do: log a reading, finish the batch, show it to the group.
async fn add_owners(
    reply: &mut Reply,
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<(), CommandError> {
    let stage = state.stage().0;
    if !stage.is_over() {
        reply.forms.push(forms::log(Some(state.id.to_string())));
    }
    let is_at_target = !state.pieces.is_empty() && status::progress(state, asking).all_reached();
    if is_at_target || matches!(stage, BatchStage::Drying | BatchStage::Equalising | BatchStage::Finished) {
        reply.forms.push(forms::finish(state, asking));
    }
    if stage == BatchStage::Finished {
        let shown = services.store.share_of(state.id).await?.is_some();
        reply.taps.push(if shown { tap::withdraw(state.id) } else { tap::share(state.id) });
    }
    Ok(())
}

/// The next thing to do, by stage.
fn next_key(
    state: &BatchState,
    fermentation: Option<&Fermentation>,
    asking: &Asking,
) -> Option<&'static str> {
    let ended = fermentation.and_then(|known| fermentation::next_key(&known.degree_hours));
    let done = !state.pieces.is_empty() && status::progress(state, asking).all_reached();
    let key = match (state.stage().0, state.plan.kind) {
        (BatchStage::Planned, _) if state.doses.is_empty() => "batch.show.next_cure",
        (BatchStage::Planned | BatchStage::Curing | BatchStage::Resting, BatchKind::WholeMuscle) => {
            "batch.show.next_hang"
        }
        (BatchStage::Planned | BatchStage::Curing | BatchStage::Resting, _) => "batch.show.next_pieces",
        (BatchStage::Cased, BatchKind::FermentedSausage) => "batch.show.next_ferment",
        (BatchStage::Cased, _) => "batch.show.next_dry",
        (BatchStage::Fermenting, _) if ended == Some("ferment.next_cool") => "ferment.next_cool",
        (BatchStage::Fermenting, _) => "batch.show.next_ph",
        (BatchStage::Drying, _) if done => "batch.show.next_equalise",
        (BatchStage::Drying, _) => "batch.show.next_weigh",
        (BatchStage::Equalising, _) => "batch.show.next_finish",
        (BatchStage::Finished | BatchStage::Discarded, _) => return None,
    };
    Some(key)
}
