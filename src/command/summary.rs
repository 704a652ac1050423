//! A batch's record in a few lines: what its owner shows to the group when they share it. No notes, no places.

use super::appraisal;
use super::asking::{Asking, Services};
use super::error::CommandError;
use super::status::{self, Look, fermentation};
use crate::curing::fermentation::Systems;
use crate::quantity::{Hours, format};
use crate::record::{BatchStage, BatchState, Dose, Meat, hours_between};
use crate::reply::{say, words};

/// The lines of a record.
pub async fn record_lines(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<Vec<String>, CommandError> {
    let plan = &state.plan;
    let mut lines = vec![say(
        "summary.what",
        &[("name", &plan.name), ("kind", &*words::kind(plan.kind)), ("meat", &meats(&plan.meats))],
    )];
    lines.extend(state.doses.iter().map(dose));
    if let Some(fermentation) =
        fermentation::of_batch(Look::at_record(services, asking), state, Systems::Strict).await?
    {
        let verdict = say(fermentation::verdict_key(fermentation.degree_hours.verdict()), &[]);
        let evidence = say(fermentation::grade_key(fermentation.degree_hours.grade), &[]);
        let hours = format::number(fermentation.degree_hours.hours_counted, 0);
        lines.push(say(
            "summary.fermented",
            &[("hours", &hours), ("verdict", &verdict), ("evidence", &evidence)],
        ));
    }
    if let Some(last) = state.ph.last() {
        lines.push(say("summary.ph", &[("ph", &format::ph(last.ph))]));
    }
    lines.extend(dried(state, asking));
    lines.extend(appraisal::lines(state));
    lines.push(say("summary.days", &[("days", &days(state).to_string())]));
    Ok(lines)
}

/// Meats in grams and kilograms: a record is read by members of every unit.
fn meats(meats: &[Meat]) -> String {
    let one = |meat: &Meat| {
        let unit = if meat.mass.as_grams() < 1000.0 {
            crate::quantity::MassUnit::Gram
        } else {
            crate::quantity::MassUnit::Kilogram
        };
        format!("{} {}", format::mass(meat.mass, unit), meat.species).trim_end().to_owned()
    };
    meats.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn dose(dose: &Dose) -> String {
    let country =
        if dose.country.is_empty() { say("summary.all_rulebooks", &[]) } else { dose.country.clone() };
    let nitrite = format::mg_per_kg(dose.ingoing_nitrite_mg_per_kg);
    let nitrate = format::mg_per_kg(dose.ingoing_nitrate_mg_per_kg);
    let key = if dose.ingoing_nitrate_mg_per_kg > 0.0 { "summary.dose_with_nitrate" } else { "summary.dose" };
    say(key, &[("nitrite", &nitrite), ("nitrate", &nitrate), ("method", &dose.method), ("country", &country)])
}

fn dried(state: &BatchState, asking: &Asking) -> Option<String> {
    let drying = state.reached(BatchStage::Drying)?;
    let loss = final_loss(state)
        .or_else(|| status::progress(state, asking).batch.map(|batch| batch.loss.as_percent()))?;
    let last = state.pieces.iter().map(|piece| piece.last_gross().1).max()?;
    let hours = Hours::new(hours_between(drying, last));
    Some(say("summary.dried", &[("loss", &format::number(loss, 1)), ("time", &format::hours(hours))]))
}

/// The loss over every piece at its own last weighing, whether it still hangs or not.
fn final_loss(state: &BatchState) -> Option<f64> {
    let green: f64 = state.pieces.iter().map(|piece| piece.green().as_grams()).sum();
    let now: f64 = state.pieces.iter().map(|piece| piece.last_net().as_grams()).sum();
    (green > 0.0).then(|| 100.0 * (1.0 - now / green))
}

/// Days from the start to the last thing that happened, rounded up.
pub fn days(state: &BatchState) -> i64 {
    let started = state.stages.first().map_or(state.last_at, |(_, at)| *at);
    (hours_between(started, state.last_at) / 24.0).ceil().max(1.0) as i64
}
