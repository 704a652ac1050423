//! The status card: headline and figures of a batch.

use super::fermentation;
use crate::command::asking::Asking;
use crate::command::figures;
use crate::curing::Level;
use crate::curing::drying::progress::{BatchProgress, PieceProgress};
use crate::curing::fermentation::Fermentation;
use crate::quantity::{Fraction, format};
use crate::record::{BatchStage, BatchState, hours_between};
use crate::reply::{Figure, Reply, say, words};
use chrono::TimeDelta;

/// The figures of a card.
pub fn card(state: &BatchState, fermentation: Option<&Fermentation>, asking: &Asking) -> Vec<Figure> {
    let (stage, since) = state.stage();
    let mut figures = vec![figures::word("stage", stage.word()).folded()];
    figures.push(figures::hours("stage_hours", hours_between(since, asking.now)).folded());
    if let Some(last) = state.ph.last() {
        // While it sours the headline says it.
        let figure = figures::number("ph_last", last.ph.value(), 2);
        figures.push(if stage == BatchStage::Fermenting { figure.folded() } else { figure });
    }
    if let Some(fermentation) = fermentation.filter(|_| stage == BatchStage::Fermenting) {
        figures.extend(fermentation::figures(&fermentation.degree_hours, asking));
    }
    if !stage.is_over() {
        figures.extend(drying(state, asking));
    }
    figures
}

fn drying(state: &BatchState, asking: &Asking) -> Vec<Figure> {
    let progress = progress(state, asking);
    let several = progress.pieces.len() > 1;
    let mut figures = Vec::new();
    if let Some(batch) = progress.batch.as_ref().filter(|_| several || progress.pieces.is_empty()) {
        figures.push(figures::percent("loss", batch.loss).folded());
    }
    // While it sours there is nothing to weigh.
    let weighed = |piece: &&PieceProgress| state.stage().0 >= BatchStage::Drying || piece.loss.as_one() > 0.0;
    for piece in progress.pieces.iter().filter(weighed) {
        figures.extend(piece_figures(state, piece, asking));
    }
    figures
}

/// How far a batch is, by the member's days.
pub fn progress(state: &BatchState, asking: &Asking) -> BatchProgress {
    let zone = asking.zone();
    BatchProgress::of(state, |at| at.with_timezone(&zone).date_naive())
}

fn piece_figures(state: &BatchState, progress: &PieceProgress, asking: &Asking) -> Vec<Figure> {
    let of = format!("piece {}", progress.number.0);
    let gross = state.piece(progress.number).map_or(progress.now, |piece| piece.last_gross().0);
    let mut figures =
        vec![figures::meat("weight_last", gross, asking), figures::percent("loss", progress.loss)];
    if let Some(left) = progress.left_to_lose {
        figures.push(figures::meat("left_to_lose", left, asking).folded());
    }
    if let Some(target) = progress.target {
        let figure = figures::target("target_on_scale", target.on_scale(), asking);
        figures.push(if progress.reached { figure.folded() } else { figure });
    }
    figures.into_iter().map(|figure| figure.of(of.clone())).collect()
}

/// Of pieces just hung: what their own scale will show at the target; and where a scale blurs the loss.
pub fn add_targets(reply: &mut Reply, state: &BatchState, asking: &Asking) {
    let pieces = progress(state, asking).pieces;
    for piece in &pieces {
        let Some(target) = piece.target else { continue };
        let of = format!("piece {}", piece.number.0);
        reply.figures.push(figures::target("target_weight", target.net(), asking).of(of.clone()).folded());
        reply.figures.push(figures::target("target_on_scale", target.on_scale(), asking).of(of));
    }
    if pieces.iter().any(|piece| piece.green.is_small()) {
        reply.note(Level::Notice, say("target.weight.small", &[]));
    }
}

/// The answer in words: where it stands, and the one figure that matters there.
pub fn headline(state: &BatchState, fermentation: Option<&Fermentation>, asking: &Asking) -> String {
    let (stage, since) = state.stage();
    if stage == BatchStage::Discarded {
        let reason = state.discard_reason.as_deref().unwrap_or_default();
        let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name), ("reason", reason)];
        return say("status.discarded", &holes);
    }
    let ago = format::hours(crate::quantity::Hours::new(hours_between(since, asking.now)));
    let batch = state.id.to_string();
    let just_now = asking.now - since < TimeDelta::minutes(1);
    let start = say(
        if just_now { "status.headline_now" } else { "status.headline" },
        &[("batch", &batch), ("name", &state.plan.name), ("stage", &*words::stage(stage)), ("ago", &ago)],
    );
    let more = match stage {
        BatchStage::Fermenting => fermenting(state, fermentation),
        BatchStage::Drying | BatchStage::Equalising | BatchStage::Cased => dried(state, asking),
        _ => String::new(),
    };
    format!("{start} {more}").trim_end().to_owned()
}

fn fermenting(state: &BatchState, fermentation: Option<&Fermentation>) -> String {
    let verdict = fermentation.map_or_else(String::new, |fermentation| {
        say(fermentation::verdict_key(fermentation.degree_hours.verdict()), &[])
    });
    let ph = match state.ph.last() {
        Some(last) => say("status.ph_is", &[("ph", &format::ph(last.ph))]),
        None => say("status.no_ph", &[]),
    };
    format!("{ph} {verdict}").trim_end().to_owned()
}

/// A loss as said beside its target: to a tenth, and never as the target itself unless it is there.
fn loss_shown(loss: Fraction, target: Option<Fraction>) -> String {
    match target.map(|target| (target, format::percent_with(loss, 1))) {
        Some((target, shown)) if shown == format::percent_with(target, 1) => {
            format!("{} %", format::beside(loss.as_percent(), target.as_percent(), 1))
        }
        Some((_, shown)) => shown,
        None => format::percent_with(loss, 1),
    }
}

fn dried(state: &BatchState, asking: &Asking) -> String {
    let progress = progress(state, asking);
    let reached = progress.pieces.iter().filter(|piece| piece.reached).count();
    let count = progress.pieces.len();
    let target = state.plan.target_loss;
    let loss = progress.batch.as_ref().map(|batch| loss_shown(batch.loss, target));
    let target = target.map(format::percent);
    match (loss, target) {
        (Some(loss), Some(target)) if reached == count && count > 0 => {
            say("status.all_reached", &[("loss", &loss), ("target", &target)])
        }
        (Some(loss), Some(target)) if reached > 0 => say(
            "status.some_reached",
            &[
                ("loss", &loss),
                ("target", &target),
                ("reached", &reached.to_string()),
                ("count", &count.to_string()),
            ],
        ),
        (Some(loss), Some(target)) => say("status.loss_of_target", &[("loss", &loss), ("target", &target)]),
        (Some(loss), None) => say("status.loss", &[("loss", &loss)]),
        (None, _) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_loss_is_printed_as_its_target_only_when_it_is_there() {
        let shown = |loss, target| loss_shown(Fraction::percent(loss), Some(Fraction::percent(target)));
        assert_eq!(shown(37.97, 38.0), "37.97 %");
        assert_eq!(shown(37.9999, 38.0), "37.99 %");
        assert_eq!(shown(38.03, 38.0), "38.03 %");
        assert_eq!(shown(38.0, 38.0), "38 %");
        assert_eq!(shown(34.0, 38.0), "34.0 %");
        assert_eq!(loss_shown(Fraction::percent(37.97), None), "38.0 %");
    }
}
