//! From what was said to what it means: of which piece, from when, in which weight; and what is left over.

use crate::command::intake::amount::settled;
use crate::command::intake::check::calibration;
use crate::command::intake::draft::{Began, Draft, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::{Item, What, Whose};
use crate::command::intake::line::Line;
use crate::command::intake::twice::refuse_twice;
use crate::command::intake::weight::which_piece;
use crate::command::time::echo;
use crate::quantity::Hours;
use crate::quantity::parse::MassReading;
use crate::record::{Calibration, PieceNumber};
use chrono::{DateTime, Duration, Utc};

/// Everything a line says, in order.
pub(super) fn items(line: &mut Line<'_>) -> Result<Vec<Item>, IntakeError> {
    let calibration = calibration(line)?;
    let mut found = Vec::new();
    for mut draft in std::mem::take(&mut line.drafts) {
        // A remark is of a piece only where it names it.
        let is_remark = matches!(draft.said, Said::Known(What::Observed { .. }));
        if draft.pieces.is_empty() && draft.said.is_of_a_piece() && !is_remark {
            draft.pieces.extend(line.only_piece(draft.clause));
        }
        let typed = match draft.said {
            Said::Known(What::Ph { .. }) => std::iter::once(draft.typed.as_str())
                .chain(line.beside_ph.iter().map(String::as_str))
                .collect::<Vec<_>>()
                .join(", "),
            _ => draft.typed.clone(),
        };
        for (whose, what) in settle(draft, line, calibration)? {
            found.push(Item { whose, what, typed: typed.clone() });
        }
    }
    let found = with_tare(found);
    refuse_twice(&found)?;
    Ok(found)
}

/// When the readings were made.
pub(super) fn reading_time(line: &Line<'_>) -> DateTime<Utc> {
    line.at.as_ref().map_or(line.context.now, |(when, _)| when.at)
}

fn settle(
    draft: Draft,
    line: &Line<'_>,
    calibration: Option<Calibration>,
) -> Result<Vec<(Whose, What)>, IntakeError> {
    let Draft { said, pieces, typed, clause } = draft;
    known_pieces(&pieces, line)?;
    match said {
        Said::Weight(weight) => {
            let whose = whose_weight(&pieces, &weight.reading, line, clause, &typed)?;
            let last = match whose {
                Whose::Piece(piece) => line.context.last_weight(piece),
                _ => line.context.last_total(),
            };
            let gross = settled(&weight, last)?;
            Ok(vec![(whose, What::Weighed { gross })])
        }
        Said::Hung(weights) => {
            if let Some((announced, _)) = line.announced
                && announced != weights.len()
            {
                return Err(IntakeError::HungCount { announced, weights: weights.len() });
            }
            let mut hung = Vec::new();
            for (index, (number, weight)) in weights.into_iter().enumerate() {
                let next = PieceNumber(u32::try_from(index + 1).unwrap_or(u32::MAX));
                hung.push((number.unwrap_or(next), settled(&weight, None)?));
            }
            Ok(vec![(Whose::Batch, What::Hung { pieces: hung, tare: None })])
        }
        Said::PowerOut { began, reached } => {
            let since = beginning(&began, line, &typed)?;
            Ok(vec![(Whose::Chamber, What::PowerOut { since, reached })])
        }
        Said::Known(what) => known(what, pieces, line, clause, calibration, &typed),
    }
}

/// What was complete but for its subject, its sample and its meter's check.
fn known(
    what: What,
    pieces: Vec<PieceNumber>,
    line: &Line<'_>,
    clause: usize,
    calibration: Option<Calibration>,
    typed: &str,
) -> Result<Vec<(Whose, What)>, IntakeError> {
    match what {
        What::Ph { ph, instrument, sample_temperature, .. } => {
            if sample_temperature.is_some() && line.sample_temperature.is_some() {
                return Err(IntakeError::SaidTwice { what: "sample's temperature".to_owned() });
            }
            let sample_temperature = sample_temperature.or(line.sample_temperature);
            let read = What::Ph { ph, instrument, sample_temperature, calibration };
            let is_sample = line.samples.iter().any(|(of, _)| *of == clause);
            match pieces.as_slice() {
                [] if is_sample => Ok(vec![(Whose::Sample, read)]),
                [] => Ok(vec![(Whose::Batch, read)]),
                _ if is_sample => Err(IntakeError::SampleOfPiece),
                several => Ok(several.iter().map(|piece| (Whose::Piece(*piece), read.clone())).collect()),
            }
        }
        What::Extremes { since, max, min } => {
            if since.is_some_and(|since| since > reading_time(line)) {
                return Err(IntakeError::SinceAfterReading { text: echo(typed) });
            }
            Ok(vec![(Whose::Chamber, What::Extremes { since, max, min })])
        }
        What::Observed { .. } if pieces.is_empty() => Ok(vec![(Whose::Batch, what)]),
        What::Left { .. } if pieces.is_empty() => match line.context.pieces {
            [(only, _)] => Ok(vec![(Whose::Piece(*only), what)]),
            _ => Err(which_piece(typed)),
        },
        What::Observed { .. } | What::Left { .. } => {
            Ok(pieces.into_iter().map(|piece| (Whose::Piece(piece), what.clone())).collect())
        }
        What::Room { .. } | What::Setting { .. } | What::PowerOut { .. } => Ok(vec![(Whose::Chamber, what)]),
        What::Tare { .. } | What::Hung { .. } | What::Weighed { .. } => Ok(vec![(Whose::Batch, what)]),
    }
}

/// A piece that is spoken of must hang, where it is known what hangs.
fn known_pieces(pieces: &[PieceNumber], line: &Line<'_>) -> Result<(), IntakeError> {
    if line.hanging.is_some() {
        return Ok(());
    }
    match pieces.iter().find(|piece| line.context.last_weight(**piece).is_none()) {
        Some(piece) => Err(IntakeError::NoSuchPiece { piece: *piece }),
        None => Ok(()),
    }
}

/// Of what an unnamed weight is: of the only piece, or of all together when it looks like that.
fn whose_weight(
    pieces: &[PieceNumber],
    reading: &MassReading,
    line: &Line<'_>,
    clause: usize,
    typed: &str,
) -> Result<Whose, IntakeError> {
    let is_whole = line.whole_clauses.contains(&clause);
    match (pieces, line.context.pieces) {
        ([piece], _) => Ok(Whose::Piece(*piece)),
        ([], _) if is_whole => Ok(Whose::Batch),
        ([], [(only, _)]) => Ok(Whose::Piece(*only)),
        ([], []) => Ok(Whose::Batch),
        ([], _) => {
            let total = line.context.last_total();
            let (MassReading::Certain(most) | MassReading::Either { thousands: most, .. }) = *reading;
            // All together weigh more than any one piece; 60 % of the last total is far more than one of several.
            let largest = line.context.pieces.iter().map(|(_, weight)| weight.as_grams()).fold(0.0, f64::max);
            let looks_whole = total.is_some_and(|total| {
                most.as_grams() >= total.as_grams() * 0.6 && most.as_grams() > largest * 1.02
            });
            if looks_whole { Ok(Whose::Batch) } else { Err(which_piece(typed)) }
        }
        _ => Err(which_piece(typed)),
    }
}

fn beginning(began: &Began, line: &Line<'_>, typed: &str) -> Result<DateTime<Utc>, IntakeError> {
    let end = reading_time(line);
    let since = match began {
        Began::At(at) => Some(*at),
        Began::Before(hours) => before(end, *hours),
    };
    since.filter(|since| *since < end).ok_or_else(|| IntakeError::SinceAfterReading { text: echo(typed) })
}

/// A moment some hours before another; `None` beyond a year, which is no power cut.
fn before(end: DateTime<Utc>, hours: Hours) -> Option<DateTime<Utc>> {
    if !(0.0..=8784.0).contains(&hours.value()) {
        return None;
    }
    let seconds = Duration::try_seconds((hours.value() * 3600.0).round() as i64)?;
    end.checked_sub_signed(seconds)
}

/// The tare said with pieces being hung is theirs.
fn with_tare(mut items: Vec<Item>) -> Vec<Item> {
    let tare = items.iter().find_map(|item| match item.what {
        What::Tare { tare } => Some((tare, item.typed.clone())),
        _ => None,
    });
    let hung = items.iter_mut().find_map(|item| match &mut item.what {
        What::Hung { tare, .. } => Some((tare, &mut item.typed)),
        _ => None,
    });
    if let (Some((tare, words)), Some((slot, typed))) = (tare, hung) {
        *slot = Some(tare);
        *typed = format!("{typed}, {words}");
        items.retain(|item| !matches!(item.what, What::Tare { .. }));
    }
    items
}
