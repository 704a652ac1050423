//! A logger's rows into a chamber.

use super::clock::{self, About};
use super::echo;
use super::shown::{Preview, SHOWN};
use super::{LogImport, shown};
use crate::command::asking::{Asking, Done, FileSent, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::journal::{self, Journal};
use crate::command::line::shown as shortened;
use crate::command::log::entries_shown;
use crate::command::lookup::{self, FoundChamber};
use crate::command::status::Look;
use crate::command::time;
use crate::record::{AirRow, Chamber, Event, Happening, Subject};
use crate::reply::{Quiet, Reply, say};
use crate::sheet::{Air, Row, Sheet};
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, BTreeSet};

/// The rows of a file beside what was logged already.
struct Sorted {
    fresh: Vec<AirRow>,
    there: usize,
    /// Rows that say otherwise than what is there, with the first's line.
    otherwise: Vec<u32>,
}

pub(super) async fn perform(
    import: &LogImport,
    sheet: &Sheet,
    rows: &[Row<Air>],
    file: &FileSent,
    (services, asking): (&Services, &Asking),
) -> Outcome {
    let line = format!("{} chamber:{{chamber}}", import.line);
    let found = lookup::which_chamber(services, asking, import.chamber.as_deref(), &line).await?;
    let chamber = match found {
        FoundChamber::Chamber(chamber) => chamber,
        FoundChamber::Ask(question) => return Ok(Done::question(question)),
    };
    let sorted = sorted(services, &chamber, rows, sheet).await?;
    let name = shortened(&file.name);
    if sorted.fresh.is_empty() {
        let holes = [("file", &*name), ("chamber", &*chamber.name), ("rows", &sorted.there.to_string())];
        let sentence = say("log.import.all_there", &holes);
        return Err(UserError::new(Code::DoesNotFit, sentence, "chamber list").into());
    }
    if asking.confirmed {
        return keep(sorted.fresh, &chamber, &name, services, asking).await;
    }
    let shown = Preview {
        headline: headline(&sorted.fresh, &chamber, &name, asking),
        first: sorted.fresh.iter().take(SHOWN).map(|row| row_shown(row, asking)).collect(),
        left_out: left_out(&sorted, rows.len()),
        rows: sorted.fresh.len(),
    };
    Ok(Done::question(shown.of(sheet, asking)))
}

/// What of a file is new. A row that a file said before is a duplicate; where it said otherwise, it stays.
async fn sorted(
    services: &Services,
    chamber: &Chamber,
    rows: &[Row<Air>],
    sheet: &Sheet,
) -> Result<Sorted, CommandError> {
    let (first, last) = (sheet.understood.first, sheet.understood.last);
    let known = services.store.chamber_events(chamber.id, first, last).await?;
    let is_file = |event: &&Event| matches!(event.what, Happening::AirLogged { .. });
    let files: BTreeSet<_> =
        services.store.entries_of_files(chamber.id).await?.iter().map(|file| file.id).collect();
    let logged: BTreeMap<DateTime<Utc>, &Happening> = known
        .iter()
        .filter(|event| files.contains(&event.id) && !is_file(event))
        .map(|event| (event.at, &event.what))
        .collect();
    let mut sorted = Sorted { fresh: Vec::new(), there: 0, otherwise: Vec::new() };
    for row in rows {
        let Air { temperature, humidity } = row.values;
        match logged.get(&row.at) {
            None => sorted.fresh.push(AirRow { at: row.at, temperature, humidity }),
            Some(what) if **what == Happening::RoomRead { temperature, humidity } => sorted.there += 1,
            Some(_) => sorted.otherwise.push(row.line),
        }
    }
    Ok(sorted)
}

fn headline(rows: &[AirRow], chamber: &Chamber, file: &str, asking: &Asking) -> String {
    let when = shown::span(rows.iter().map(|row| row.at), asking);
    let rows = rows.len().to_string();
    let holes = [("file", file), ("rows", &rows), ("chamber", &chamber.name), ("when", &when)];
    say("log.import.air", &holes)
}

fn row_shown(row: &AirRow, asking: &Asking) -> String {
    let air = shown::air(row.temperature, row.humidity);
    let when = time::moment(row.at, asking.now, asking.zone());
    say("log.import.row", &[("when", &when), ("values", &air)])
}

fn left_out(sorted: &Sorted, all: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if sorted.there > 0 {
        let holes = [("rows", &*sorted.there.to_string()), ("all", &all.to_string())];
        lines.push(say("log.import.there", &holes));
    }
    if let Some(first) = sorted.otherwise.first() {
        let holes = [("rows", &*sorted.otherwise.len().to_string()), ("line", &first.to_string())];
        lines.push(say("log.import.otherwise", &holes));
    }
    lines
}

async fn keep(
    rows: Vec<AirRow>,
    chamber: &Chamber,
    file: &str,
    services: &Services,
    asking: &Asking,
) -> Outcome {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return Err(CommandError::Internal("a file without rows was to be kept".to_owned()));
    };
    let mut journal = Journal::new(services, asking);
    let count = u32::try_from(rows.len()).unwrap_or(u32::MAX);
    let what = Happening::AirLogged { file: file.to_owned(), first: first.at, rows: count };
    let entry = journal.event(Subject::Chamber(chamber.id), last.at, what);
    let stored = journal::stored(&entry, &chamber.name);
    let headline = headline(&rows, chamber, file, asking);
    journal.append_logged(entry.clone(), rows).await?;
    let pending = journal.pending();
    let change = journal.finish().await?;
    let holes = [("what", &*headline), ("entries", &entries_shown(&[entry.id.0]))];
    let mut reply = Reply::new("log import", say("log.import.kept", &holes));
    reply.quiet = Quiet::Folded;
    reply.undo = Some(say("log.reading.undo", &[("ids", &entry.id.to_string())]));
    let states = clock::batches_in(services, asking, chamber.id).await?;
    let look = Look { services, asking, pending: &pending };
    clock::judge(&mut reply, look, &states, About::of([&entry.what])).await?;
    echo::alarms(&mut reply, look, &states).await?;
    reply.stored.push(stored);
    reply.due = journal::dues(&change);
    Ok(Done::keeping(change, reply))
}
