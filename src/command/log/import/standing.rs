//! What the weights of a table mean for their batches, as for weights that are typed.

use crate::command::error::CommandError;
use crate::command::journal::Journal;
use crate::command::log::reading::{clock, echo, weights};
use crate::command::status::{self, Look};
use crate::record::{BatchId, PieceNumber, Subject};
use crate::reply::Reply;
use std::collections::BTreeMap;

/// Adds where every weighed batch stands now: of one batch piece by piece, of several each in its card's words.
pub(super) async fn add(
    reply: &mut Reply,
    weighed: impl Iterator<Item = Subject>,
    journal: &Journal<'_>,
    look: Look<'_>,
) -> Result<(), CommandError> {
    let mut pieces: BTreeMap<BatchId, Vec<Option<PieceNumber>>> = BTreeMap::new();
    for subject in weighed {
        match subject {
            Subject::Piece(batch, piece) => pieces.entry(batch).or_default().push(Some(piece)),
            Subject::Batch(batch) => pieces.entry(batch).or_default().push(None),
            _ => {}
        }
    }
    let states: Vec<_> = pieces.keys().filter_map(|batch| journal.state_as_of_now(*batch)).collect();
    for state in &states {
        let of_batch = pieces.get(&state.id).map_or(&[][..], Vec::as_slice);
        if let [only] = states.as_slice() {
            weights::add_latest(reply, only, of_batch, look.asking);
        } else {
            let mut own = Reply::new(reply.command, String::new());
            weights::add_latest(&mut own, state, of_batch, look.asking);
            clock::merge(reply, own, state);
            reply.lines.push(status::headline(state, None, look.asking));
        }
    }
    echo::alarms(reply, look, &states).await
}
