//! The decimal sign of a file: by the numbers that leave no doubt.

use super::cell::{Cell, Vote, cell, vote};
use super::layout::{Layout, Taken};
use super::refused::{Place, Refused};
use super::timeline::Timed;
use super::understood::DecimalSign;

/// The decimal sign by the majority of clear numbers; `None` where no number has any.
///
/// In the air `23.456` is clear: 23,456 degrees are not. A weight of `1.234` is not clear, and where every weight is
/// of that kind the member is asked.
pub(super) fn decimal_sign(
    timed: &[Timed<'_, '_>],
    layouts: &[Layout],
    asked: Option<DecimalSign>,
) -> Result<Option<DecimalSign>, Refused> {
    let (mut points, mut commas) = (0_usize, 0_usize);
    let mut unclear: Option<(&Timed<'_, '_>, usize, DecimalSign)> = None;
    let indices: Vec<(Vec<usize>, bool)> = layouts
        .iter()
        .map(|layout| (layout.taken.indices(), matches!(layout.taken, Taken::Air { .. })))
        .collect();
    for row in timed {
        let Some((indices, is_air)) = indices.get(row.layout) else { continue };
        for index in indices {
            let Cell::Number { figures, .. } = cell(row.record.cell(*index)) else { continue };
            match vote(figures) {
                Vote::Clear(DecimalSign::Point) => points += 1,
                Vote::Clear(DecimalSign::Comma) => commas += 1,
                Vote::Unclear(DecimalSign::Point) if *is_air => points += 1,
                Vote::Unclear(DecimalSign::Comma) if *is_air => commas += 1,
                Vote::Unclear(sign) => unclear = unclear.or(Some((row, *index, sign))),
                Vote::None => {}
            }
        }
    }
    match (points, commas, unclear) {
        (0, 0, None) => Ok(None),
        (0, 0, Some(_)) if asked.is_some() => Ok(asked),
        (0, 0, Some((row, index, sign))) => {
            let place = Place::new(row.record.line, index, row.record.cell(index));
            Err(Refused::DecimalUnclear { place, sign })
        }
        (points, commas, _) if points >= commas => Ok(Some(DecimalSign::Point)),
        _ => Ok(Some(DecimalSign::Comma)),
    }
}
