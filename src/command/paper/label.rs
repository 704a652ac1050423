//! Labels of a batch: one for each piece that is still there.

use super::{Paper, about, date, lost};
use crate::command::asking::{Asking, Services};
use crate::command::batch::store::measured;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::status::Look;
use crate::curing::fermentation::Verdict;
use crate::curing::storage::{COLD_CELSIUS, Place, is_airless_danger, keeping, place};
use crate::document::{Field, Label, Sheet};
use crate::quantity::{Temperature, TemperatureScale, format};
use crate::record::state::Piece;
use crate::record::{BatchStage, BatchState, PieceFate, Storage, StorageKind};
use crate::reply::{say, words};
use chrono::TimeDelta;

/// The labels of a batch. `asking` is what [`super::as_of`] gives.
///
/// # Errors
/// A discarded batch is not for eating, and one whose pieces are all gone has nothing to put a label on.
pub(in crate::command) async fn sheet(
    state: &BatchState,
    services: &Services,
    asking: &Asking,
) -> Result<Sheet, CommandError> {
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    if state.stage().0 == BatchStage::Discarded {
        return Err(UserError::new(Code::Refused, say("paper.tag.discarded", &holes), "batch list").into());
    }
    let there: Vec<&Piece> = state.pieces.iter().filter(|piece| is_there(piece)).collect();
    if there.is_empty() && !state.pieces.is_empty() {
        let example = format!("batch record batch:{}", state.id);
        return Err(UserError::new(Code::DoesNotFit, say("paper.tag.none_left", &holes), example).into());
    }
    let paper = Paper::new(state, Look::at_record(services, asking)).await?;
    let labels = if there.is_empty() {
        vec![label(&paper, None)]
    } else {
        there.into_iter().map(|piece| label(&paper, Some(piece))).collect()
    };
    let title = say("paper.tag.title", &holes);
    Ok(Sheet { about: about(title, say("paper.tag.subject", &holes), asking), labels })
}

fn is_there(piece: &Piece) -> bool {
    piece.left.is_none_or(|(fate, _)| fate == PieceFate::Packed)
}

fn label(paper: &Paper<'_>, piece: Option<&Piece>) -> Label {
    let state = paper.state;
    let (batch, name) = (state.id.to_string(), &state.plan.name);
    let heading = match piece {
        Some(piece) => {
            let number = piece.hung.number.to_string();
            say("paper.tag.heading", &[("batch", &*batch), ("piece", &number), ("name", name)])
        }
        None => say("paper.title", &[("batch", &*batch), ("name", name)]),
    };
    let field = |key: &str, value: String| Field { name: say(key, &[]), value };
    let fields = vec![
        field("paper.tag.meat", species(paper)),
        field("paper.tag.allergens", allergens(paper)),
        field(
            "paper.tag.hung",
            piece.map_or_else(|| say("paper.tag.not_hung", &[]), |piece| date(piece.hung_at, paper.asking)),
        ),
        field("paper.tag.finished", finished(paper, piece)),
        field("paper.tag.loss", piece.map_or_else(|| say("paper.not_weighed", &[]), loss)),
        field(
            "paper.tag.ingoing",
            paper.cure.as_ref().map_or_else(|| say("paper.tag.no_cure", &[]), super::rules::Cure::amounts),
        ),
        field("paper.tag.measured", figures(state)),
    ];
    let over = is_over(paper).then(|| say("paper.tag.over", &[]));
    Label { heading, fields, foot: over.into_iter().chain(keep(paper)).collect() }
}

fn species(paper: &Paper<'_>) -> String {
    let mut names: Vec<&str> = Vec::new();
    for meat in paper.state.plan.meats.iter().filter(|meat| !meat.species.is_empty()) {
        if !names.contains(&meat.species.as_str()) {
            names.push(&meat.species);
        }
    }
    if names.is_empty() { say("paper.tag.unnamed", &[]) } else { names.join(", ") }
}

fn allergens(paper: &Paper<'_>) -> String {
    match &paper.recipe {
        None => say("paper.tag.allergens_unknown", &[]),
        Some(recipe) if recipe.allergens.is_empty() => say("paper.tag.allergens_none", &[]),
        Some(recipe) => recipe.allergens.join(", "),
    }
}

/// When the piece was packed, else when the batch was put away or finished; where neither was, how it stands.
fn finished(paper: &Paper<'_>, piece: Option<&Piece>) -> String {
    let state = paper.state;
    let on = |key: &str, at| say(key, &[("when", &date(at, paper.asking))]);
    if let Some((PieceFate::Packed, at)) = piece.and_then(|piece| piece.left) {
        return on("paper.tag.packed", at);
    }
    if let Some((storage, at)) = state.stored.last() {
        let how = say(&format!("batch.store.how.{}", storage.kind.word()), &[]);
        let holes = [("how", &*how), ("when", &date(*at, paper.asking))];
        return say("paper.stored", &holes);
    }
    match state.reached(BatchStage::Finished) {
        Some(at) => date(at, paper.asking),
        None => say("paper.tag.not_finished", &[("stage", &words::stage(state.stage().0))]),
    }
}

fn loss(piece: &Piece) -> String {
    lost(piece).map_or_else(|| say("paper.not_weighed", &[]), |lost| format::percent_with(lost, 1))
}

/// Only what was measured: the pH of the finished piece, else the last of the batch; the water activity of the finished
/// piece.
fn figures(state: &BatchState) -> String {
    let stored = || state.stored.iter().rev().map(|(storage, _)| storage);
    let ph = stored().find_map(|storage| storage.ph).or_else(|| state.ph.last().map(|read| read.ph));
    let activity = stored().find_map(|storage| storage.water_activity);
    let ph = match ph {
        Some(ph) => say("paper.tag.ph", &[("ph", &format::ph(ph))]),
        None => say("paper.tag.no_ph", &[]),
    };
    let activity = match activity {
        Some(activity) => say("paper.tag.aw", &[("aw", &format::water_activity(activity))]),
        None => say("paper.tag.no_aw", &[]),
    };
    say("paper.tag.both", &[("ph", &ph), ("aw", &activity)])
}

/// Whether its cure or its degree-hours went over a published limit.
fn is_over(paper: &Paper<'_>) -> bool {
    let hours = paper.fermentation.as_ref().map(|known| known.degree_hours.verdict());
    paper.state.carries_over() || hours.is_some_and(|verdict| verdict >= Verdict::MayBeExceeded)
}

/// How it is to be kept, and by custom until when.
fn keep(paper: &Paper<'_>) -> Vec<String> {
    let scale = paper.asking.member.settings.temperature;
    let cold = format::temperature(Temperature::celsius(COLD_CELSIUS), scale);
    let Some((storage, at)) = paper.state.stored.last() else {
        return vec![say("paper.tag.cold", &[("cold", &cold)])];
    };
    let how = match where_kept(storage, paper.state) {
        Kept::Frozen => say("paper.tag.cold", &[("cold", &frozen(scale))]),
        Kept::Cold => say("paper.tag.cold", &[("cold", &cold)]),
        Kept::Room => say("paper.tag.room", &[]),
    };
    let until = keeping(storage.kind.word()).map(|row| {
        say("paper.tag.until", &[("until", &date(*at + TimeDelta::days(row.days), paper.asking))])
    });
    std::iter::once(how).chain(until).collect()
}

/// The temperature of a freezer by the custom for what is frozen.
fn frozen(scale: TemperatureScale) -> String {
    let at = keeping(StorageKind::Frozen.word()).map_or(-18.0, |row| row.at_c);
    format::temperature(Temperature::celsius(at), scale)
}

enum Kept {
    Frozen,
    Cold,
    Room,
}

fn where_kept(storage: &Storage, state: &BatchState) -> Kept {
    if storage.kind == StorageKind::Frozen {
        return Kept::Frozen;
    }
    let measured = measured(storage, state);
    let is_airless = matches!(storage.kind, StorageKind::Vacuum | StorageKind::Oil);
    let is_danger = is_airless && is_airless_danger(storage.temperature, measured.as_ref());
    match place(storage.temperature, measured.as_ref()) {
        Place::RoomAllowed if !is_danger => Kept::Room,
        _ => Kept::Cold,
    }
}
