//! `/dry compare`: a batch beside the group's of its class and band, and beside one's own earlier ones. No verdict.

use crate::chart::Chart;
use crate::command::Args;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::charting::comparison::{self, Words};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::experience;
use crate::command::figures;
use crate::command::group::stats::{self, Whole};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::drying::finished::LossCurve;
use crate::curing::statistics::{Band, Comparison, OnDay};
use crate::quantity::{Fraction, format};
use crate::record::{BatchKind, BatchState, PieceNumber};
use crate::reply::{Figure, Reply, say, unit};

/// `/dry compare`
pub static SPEC: Spec = Spec {
    root: "dry",
    verb: "compare",
    aliases: &[],
    summary: "a batch's loss beside the group's and beside your earlier ones",
    options: &[maybe("batch", OptionKind::Batch, "number or name; your only open one when not said")],
    examples: ["dry compare batch:B1", "dry compare batch:Juniper stick"],
    private: false,
};

/// One's own earlier batches that are told one by one.
const LAST: usize = 3;

/// A batch to be held beside others.
#[derive(Debug, Clone)]
pub struct DryCompare {
    batch: Option<String>,
}

impl DryCompare {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Self {
        Self { batch: args.text("batch").map(str::to_owned) }
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = "dry compare batch:{batch}";
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::LookAt, line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        let Some(comparison) = comparison(&state, services, asking).await? else {
            let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
            let example = format!("log reading batch:{} text:640 655 648 g", state.id);
            return Err(
                UserError::new(Code::DoesNotFit, say("dry.compare.not_weighed", &holes), example).into()
            );
        };
        Ok(Done::reply(reply(&state, &comparison, asking)))
    }
}

/// A batch beside the group's and, where it is the asking member's, beside their own; `None` before a piece was weighed.
pub(in crate::command) async fn comparison(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Comparison>, CommandError> {
    let shown = experience::shown_in_group(services, asking).await?;
    let own = experience::own(services, asking).await?;
    Ok(Comparison::of(state, &shown, &own))
}

fn reply(state: &BatchState, comparison: &Comparison, asking: &Asking) -> Reply {
    let day = format::number(comparison.day, 0);
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("day", &day),
        ("loss", &format::percent_with(comparison.loss, 1)),
    ];
    let mut reply = Reply::new("dry compare", say("dry.compare.headline", &holes));
    reply.batch = Some(state.id);
    reply.lines.push(group(state, comparison));
    if may(Actor::of(asking), Deed::ReadNotes, &Thing::of_member(state.plan.owner)) {
        reply.lines.push(own(&comparison.own));
    }
    reply.figures = figures_of(comparison);
    reply.chart = chart(state, comparison, &reply);
    reply.working = vec![say("dry.compare.working", &[]), say("group.stats.working_counts", &[])];
    reply
}

fn group(state: &BatchState, comparison: &Comparison) -> String {
    let of = |band: Band| {
        let class = match state.plan.kind {
            BatchKind::FermentedSausage | BatchKind::DriedSausage => "dry.compare.sausage",
            BatchKind::WholeMuscle => "dry.compare.muscle",
        };
        format!("{}, {band}", say(class, &[]))
    };
    let Some((found, thickness)) = comparison.group.as_ref().zip(state.plan.thickness) else {
        return say("dry.compare.no_thickness", &[]);
    };
    let of = of(Band::of(thickness));
    match found {
        Ok(loss) => {
            let loss = Whole::of(loss, 100.0);
            let holes = [("low", &*loss.low), ("high", &loss.high), ("count", &loss.count), ("of", &of)];
            say("dry.compare.group", &holes)
        }
        Err(too_few) => {
            say("dry.compare.group_missing", &[("missing", &stats::missing(too_few)), ("of", &of)])
        }
    }
}

/// The middle piece beside the group's quartiles by day; `None` where the group has none to show.
fn chart(state: &BatchState, comparison: &Comparison, reply: &Reply) -> Option<Chart> {
    let last = |curve: &LossCurve| curve.points().last().map_or(0.0, |point| point.loss.as_one());
    let mut pieces: Vec<&(PieceNumber, LossCurve)> =
        comparison.pieces.iter().filter(|(_, curve)| !curve.points().is_empty()).collect();
    pieces.sort_by(|(_, one), (_, other)| last(one).total_cmp(&last(other)));
    let (number, curve) = pieces.get(pieces.len().checked_sub(1)? / 2)?;
    let most = comparison.band.iter().map(|on_day| on_day.loss.count).max()?;
    let points = curve.points().iter().map(|point| (point.day, point.loss.as_percent()));
    let hung = std::iter::once((0.0, 0.0));
    let points: Vec<(f64, f64)> = hung.chain(points).collect();
    let quartiles = comparison
        .band
        .iter()
        .map(|OnDay { day, loss }| (*day, 100.0 * loss.low, 100.0 * loss.middle, 100.0 * loss.high));
    let others: Vec<(f64, f64, f64, f64)> = std::iter::once((0.0, 0.0, 0.0, 0.0)).chain(quartiles).collect();
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    let words = Words {
        title: &say("dry.compare.chart", &holes),
        piece: &number.to_string(),
        others: &say("dry.compare.others", &[("count", &most.to_string())]),
        alt: &format!("{} {}", reply.headline, reply.lines.join(" ")),
    };
    Some(comparison::comparison(words, &points, &others))
}

/// "your own last three: 11, 13 and 15 %".
fn own(losses: &[Fraction]) -> String {
    let last: Vec<String> =
        losses.iter().take(LAST).map(|loss| format::number(loss.as_percent(), 0)).collect();
    match last.as_slice() {
        [] => say("dry.compare.own_none", &[]),
        [one] => say("dry.compare.own_one", &[("loss", one)]),
        [front @ .., end] => {
            let holes = [
                ("shown", &*last.len().to_string()),
                ("losses", &front.join(", ")),
                ("end", end),
                ("count", &losses.len().to_string()),
            ];
            let key = if losses.len() > last.len() { "dry.compare.own_of" } else { "dry.compare.own" };
            say(key, &holes)
        }
    }
}

fn figures_of(comparison: &Comparison) -> Vec<Figure> {
    let mut figures = vec![
        figures::with_unit("compared_day", comparison.day, 1, unit::DAY).folded(),
        figures::percent("loss", comparison.loss).folded(),
    ];
    if let Some(Ok(loss)) = &comparison.group {
        figures.push(stats::typical_loss(loss));
        figures.push(stats::counted(loss));
    }
    for (number, loss) in (1..).zip(comparison.own.iter().take(LAST)) {
        figures.push(figures::percent("own_loss", *loss).of(format!("earlier {number}")).folded());
    }
    figures
}
