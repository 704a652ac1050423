//! A table of weighings into batches: a column is a batch or one of its pieces.

use super::shown::{Preview, SHOWN};
use super::{LogImport, shown, standing};
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, FileSent, Outcome, Services};
use crate::command::describe;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{Context, Item, What, Whose, implausible};
use crate::command::journal::{self, Journal};
use crate::command::line::shown as shortened;
use crate::command::log::reading::{doubts, whom};
use crate::command::log::{entries_shown, ids_shown};
use crate::command::lookup::{self, Found};
use crate::command::status::Look;
use crate::command::time;
use crate::quantity::Mass;
use crate::record::state::{Piece, Weighing};
use crate::record::{BatchState, Event, Happening, PieceNumber, Subject};
use crate::reply::{Quiet, Reply, say};
use crate::sheet::{Column, Meaning, Row, Sheet, Weighed};
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// The most weights that are kept from one file: a weighing folds its batch anew.
const MOST_WEIGHTS: usize = 2000;

/// Whose weights a column holds.
struct Target {
    state: BatchState,
    piece: Option<PieceNumber>,
}

/// One weight of the file.
#[derive(Debug, Clone, Copy)]
struct Weight {
    line: u32,
    subject: Subject,
    at: DateTime<Utc>,
    gross: Mass,
}

/// The weights of a file beside what is known.
#[derive(Default)]
struct Sorted {
    fresh: Vec<Weight>,
    there: usize,
    otherwise: Vec<u32>,
    /// Weights from before a piece was hung, or after it was taken down.
    not_hanging: Vec<u32>,
    doubts: Vec<String>,
}

pub(super) async fn perform(
    import: &LogImport,
    sheet: &Sheet,
    rows: &[Row<Vec<Weighed>>],
    file: &FileSent,
    (services, asking): (&Services, &Asking),
) -> Outcome {
    let mut targets: BTreeMap<u32, Target> = BTreeMap::new();
    for column in &sheet.understood.columns {
        match target(import, column, services, asking).await? {
            Some(Ok(target)) => {
                targets.insert(column.column, target);
            }
            Some(Err(question)) => return Ok(Done::question(*question)),
            None => {}
        }
    }
    let sorted = sorted(&targets, rows, sheet.understood.days_only, asking);
    let name = shortened(&file.name);
    if sorted.fresh.len() > MOST_WEIGHTS {
        let sentence = say("log.import.too_many_weights", &[("most", &MOST_WEIGHTS.to_string())]);
        return Err(UserError::new(Code::OutOfRange, sentence, super::SPEC.examples[1]).into());
    }
    if sorted.fresh.is_empty() {
        let sentence = say("log.import.no_new_weights", &[("file", &name)]);
        return Err(UserError::new(Code::DoesNotFit, sentence, "batch list").into());
    }
    if asking.confirmed {
        return keep(&sorted, &name, services, asking).await;
    }
    let shown = Preview {
        headline: headline(&sorted.fresh, &name, asking),
        first: sorted.fresh.iter().take(SHOWN).map(|weight| weight_shown(weight, asking)).collect(),
        left_out: left_out(&sorted),
        rows: sorted.fresh.len(),
    };
    Ok(Done::question(shown.of(sheet, asking)))
}

/// Whose weights a column holds; `None` where it holds none.
async fn target(
    import: &LogImport,
    column: &Column,
    services: &Services,
    asking: &Asking,
) -> Result<Option<Result<Target, Box<crate::reply::Question>>>, CommandError> {
    let Meaning::Weight { batch, piece, .. } = &column.meaning else { return Ok(None) };
    let named = Some(batch.as_str()).filter(|name| !name.is_empty()).or(import.batch.as_deref());
    let line = format!("{} batch:{{batch}}", import.line);
    let state = match lookup::batch(services, asking, named, Deed::LogReading, &line).await? {
        Found::Batch(state) => *state,
        Found::Ask(question) => return Ok(Some(Err(Box::new(question)))),
    };
    lookup::still_open(&state)?;
    let piece = match (*piece, state.pieces.as_slice()) {
        (Some(number), _) => Some(PieceNumber(number)),
        (None, [only]) => Some(only.hung.number),
        (None, _) => None,
    };
    let hangs = piece.is_none_or(|number| state.pieces.iter().any(|piece| piece.hung.number == number));
    if !hangs {
        let piece = piece.map_or_else(String::new, |piece| piece.to_string());
        let holes = [("column", &*column.head), ("batch", &state.id.to_string()), ("piece", &piece)];
        let sentence = say("log.import.no_such_piece", &holes);
        let example = format!("batch piece batch:{} weights:640 655 648 g", state.id);
        return Err(UserError::new(Code::NoSuchThing, sentence, example).into());
    }
    Ok(Some(Ok(Target { state, piece })))
}

/// What of a table is new. A day without a time is as good as any time of that day: a weight that was kept on it is
/// there.
fn sorted(
    targets: &BTreeMap<u32, Target>,
    rows: &[Row<Vec<Weighed>>],
    days_only: bool,
    asking: &Asking,
) -> Sorted {
    let day = |at: DateTime<Utc>| at.with_timezone(&asking.zone()).date_naive();
    let is_same_time = |one, other| one == other || (days_only && day(one) == day(other));
    let mut sorted = Sorted::default();
    let mut last: BTreeMap<u32, (DateTime<Utc>, Mass)> = BTreeMap::new();
    for row in rows {
        for weighed in &row.values {
            let Some(target) = targets.get(&weighed.column) else { continue };
            if !target.hangs_at(row.at) {
                sorted.not_hanging.push(row.line);
                continue;
            }
            let known = target.weighings();
            if known.iter().any(|(at, gross)| *gross == weighed.mass && is_same_time(*at, row.at)) {
                sorted.there += 1;
            } else if known.iter().any(|(at, _)| *at == row.at) {
                sorted.otherwise.push(row.line);
            } else {
                let weight =
                    Weight { line: row.line, subject: target.subject(), at: row.at, gross: weighed.mass };
                let kept = known.into_iter().rfind(|(at, _)| *at < row.at);
                let before =
                    kept.into_iter().chain(last.get(&weighed.column).copied()).max_by_key(|(at, _)| *at);
                sorted.doubts.extend(doubt(&weight, target, before.map(|(_, gross)| gross), asking));
                sorted.fresh.push(weight);
            }
            last.insert(weighed.column, (row.at, weighed.mass));
        }
    }
    sorted
}

impl Target {
    fn subject(&self) -> Subject {
        self.piece.map_or(Subject::Batch(self.state.id), |piece| Subject::Piece(self.state.id, piece))
    }

    /// Whether there was something to weigh at a moment: the piece hung, or the batch was begun and all of it hung.
    fn hangs_at(&self, at: DateTime<Utc>) -> bool {
        let is_its = |piece: &&Piece| self.piece.is_none_or(|own| own == piece.hung.number);
        let left = |piece: &Piece| self.piece.is_some() && piece.left.is_some_and(|(_, left)| left < at);
        self.state.stages.first().is_none_or(|(_, started)| *started <= at)
            && self.state.pieces.iter().filter(is_its).all(|piece| piece.hung_at <= at && !left(piece))
    }

    /// Its weights by time, the one at hanging first.
    fn weighings(&self) -> Vec<(DateTime<Utc>, Mass)> {
        let of = |weighings: &[Weighing]| -> Vec<_> {
            weighings.iter().map(|weighing| (weighing.at, weighing.gross)).collect()
        };
        let Some(number) = self.piece else { return of(&self.state.total_weighings) };
        let Some(piece) = self.state.piece(number) else { return Vec::new() };
        let mut weighings = of(&piece.weighings);
        weighings.insert(0, (piece.hung_at, piece.hung.hung));
        weighings
    }
}

/// What is hard to believe of a weight beside the one before it, as of one that is typed.
fn doubt(weight: &Weight, target: &Target, before: Option<Mass>, asking: &Asking) -> Option<String> {
    let as_hung: Vec<_> = target.state.hanging().map(|piece| (piece.hung.number, piece.hung.hung)).collect();
    let (whose, pieces) = match target.piece {
        Some(piece) => (Whose::Piece(piece), vec![(piece, before?)]),
        None => (Whose::Batch, as_hung),
    };
    let item = Item { whose, what: What::Weighed { gross: weight.gross }, typed: String::new() };
    let batch_total = before.filter(|_| target.piece.is_none());
    let meat = Some(target.state.plan.meat()).filter(|meat| meat.as_grams() > 0.0);
    let context = Context { pieces: &pieces, batch_total, meat, ..whom::bare(asking) };
    let what = doubts::sentence(&implausible(&item, &context)?, asking);
    let (line, batch) = (weight.line.to_string(), target.state.id.to_string());
    Some(say("log.import.in_line", &[("line", &*line), ("batch", &batch), ("what", &what)]))
}

fn headline(weights: &[Weight], file: &str, asking: &Asking) -> String {
    let mut of: Vec<String> =
        weights.iter().map(|weight| journal::subject_shown(weight.subject, "")).collect();
    of.sort();
    of.dedup();
    let when = shown::span(weights.iter().map(|weight| weight.at), asking);
    let rows = weights.len().to_string();
    let holes = [("file", file), ("rows", &*rows), ("of", &of.join(", ")), ("when", &when)];
    say("log.import.weights", &holes)
}

fn weight_shown(weight: &Weight, asking: &Asking) -> String {
    let of = journal::subject_shown(weight.subject, "");
    let values = format!("{of} {}", describe::weight(weight.gross, asking));
    let when = time::moment(weight.at, asking.now, asking.zone());
    say("log.import.row", &[("when", &*when), ("values", &values)])
}

fn left_out(sorted: &Sorted) -> Vec<String> {
    let mut lines = Vec::new();
    let counted = |key: &str, rows: usize, line: u32| {
        say(key, &[("rows", &*rows.to_string()), ("line", &line.to_string())])
    };
    if sorted.there > 0 {
        let all = (sorted.there + sorted.otherwise.len() + sorted.fresh.len()).to_string();
        lines.push(say("log.import.there", &[("rows", &*sorted.there.to_string()), ("all", &all)]));
    }
    if let Some(first) = sorted.otherwise.first() {
        lines.push(counted("log.import.otherwise", sorted.otherwise.len(), *first));
    }
    if let Some(first) = sorted.not_hanging.first() {
        lines.push(counted("log.import.not_hanging", sorted.not_hanging.len(), *first));
    }
    if !sorted.doubts.is_empty() {
        let some: Vec<&str> = sorted.doubts.iter().take(SHOWN).map(String::as_str).collect();
        let holes = [("count", &*sorted.doubts.len().to_string()), ("doubts", &some.join("; "))];
        lines.push(say("log.import.doubts", &holes));
    }
    lines
}

async fn keep(sorted: &Sorted, file: &str, services: &Services, asking: &Asking) -> Outcome {
    let mut journal = Journal::new(services, asking);
    let mut ids = Vec::new();
    let headline = headline(&sorted.fresh, file, asking);
    let mut reply = Reply::new("log import", String::new());
    reply.quiet = Quiet::Folded;
    for weight in &sorted.fresh {
        let event = journal.event(weight.subject, weight.at, Happening::Weighed { gross: weight.gross });
        let event = Event { typed: describe::mass_as_typed(weight.gross), ..event };
        ids.push(event.id.0);
        reply.stored.push(journal::stored_as(&event, "", journal::words(&event)));
        journal.append(event).await?;
    }
    let pending = journal.pending();
    let weighed = sorted.fresh.iter().map(|weight| weight.subject);
    standing::add(&mut reply, weighed, &journal, Look { services, asking, pending: &pending }).await?;
    let change = journal.finish().await?;
    let holes = [("what", &*headline), ("entries", &entries_shown(&ids))];
    reply.headline = say("log.import.kept", &holes);
    reply.undo = Some(say("log.reading.undo", &[("ids", &ids_shown(&ids))]));
    reply.due = journal::dues(&change);
    Ok(Done::keeping(change, reply))
}
