//! What a weighing means: loss, what is left to lose, and whether the target is reached.

use crate::command::asking::Asking;
use crate::command::figures;
use crate::command::intake::{Item, What, Whose};
use crate::command::status;
use crate::command::tap;
use crate::curing::Level;
use crate::curing::drying::target::{Green, Target};
use crate::quantity::Mass;
use crate::record::state::Piece;
use crate::record::{BatchStage, BatchState, PieceNumber};
use crate::reply::{Reply, say};

/// Adds the figures of every weighing in a line, each from its own weight, and says which targets are reached.
pub(super) fn add(reply: &mut Reply, state: &BatchState, items: &[Item], asking: &Asking) {
    let mut reached = Vec::new();
    for item in items {
        let What::Weighed { gross } = item.what else { continue };
        match item.whose {
            Whose::Piece(number) => {
                if let Some(piece) = state.piece(number)
                    && add_piece(reply, state, piece, gross, asking)
                {
                    reached.push(number);
                }
            }
            _ => add_whole(reply, state, asking),
        }
    }
    if !reached.is_empty() && state.stage().0 < BatchStage::Equalising {
        say_reached(reply, state, &reached, asking);
    }
    if items.iter().any(|item| matches!(item.what, What::Hung { .. })) {
        status::add_targets(reply, state, asking);
    }
}

/// Adds the figures of pieces, each from its last weight, or of all together where no piece was weighed by itself.
pub(in crate::command::log) fn add_latest(
    reply: &mut Reply,
    state: &BatchState,
    weighed: &[Option<PieceNumber>],
    asking: &Asking,
) {
    let mut reached = Vec::new();
    for piece in state.hanging().filter(|piece| weighed.contains(&Some(piece.hung.number))) {
        if let Some(last) = piece.weighings.last()
            && add_piece(reply, state, piece, last.gross, asking)
        {
            reached.push(piece.hung.number);
        }
    }
    if weighed.contains(&None) {
        add_whole(reply, state, asking);
    }
    if !reached.is_empty() && state.stage().0 < BatchStage::Equalising {
        say_reached(reply, state, &reached, asking);
    }
}

/// Whether the piece is at its target.
fn add_piece(reply: &mut Reply, state: &BatchState, piece: &Piece, gross: Mass, asking: &Asking) -> bool {
    let of = format!("piece {}", piece.hung.number.0);
    let Ok(green) = Green::from_scale(piece.hung.hung, piece.hung.tare) else { return false };
    let Ok(loss) = green.loss_at(gross) else { return false };
    reply.figures.push(figures::percent("loss", loss).of(of.clone()));
    let target: Option<Target> = state.plan.target_loss.and_then(|loss| green.target(loss).ok());
    let Some((target, left)) = target.and_then(|target| Some((target, target.left_to_lose(gross).ok()?)))
    else {
        return false;
    };
    let reached = target.is_reached_at(loss);
    let figure = figures::meat("left_to_lose", left, asking).of(of);
    reply.figures.push(if reached { figure.folded() } else { figure });
    reached
}

fn add_whole(reply: &mut Reply, state: &BatchState, asking: &Asking) {
    if let Some(batch) = status::progress(state, asking).batch {
        reply.figures.push(figures::percent("loss", batch.loss));
    }
}

fn say_reached(reply: &mut Reply, state: &BatchState, reached: &[PieceNumber], asking: &Asking) {
    let batch = state.id.to_string();
    let all = reached.len() == state.hanging().count();
    let list: Vec<String> = reached.iter().map(ToString::to_string).collect();
    let key = match (all, reached.len()) {
        (true, 2..) => "status.every_target_reached",
        (_, 1) => "status.target_reached",
        _ => "status.targets_reached",
    };
    reply.note(Level::Notice, say(key, &[("pieces", &list.join(", "))]));
    let done = status::progress(state, asking).all_reached();
    let next = if done { "batch.show.next_equalise" } else { "status.next_take_down" };
    reply.taps.extend(tap::after(next, state.id));
    reply.next = Some(say(next, &[("batch", &batch), ("piece", list.first().map_or("#1", String::as_str))]));
}
