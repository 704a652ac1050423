//! From how much on a group's figures are shown: five batches of three members in every single figure, so that none
//! tells of one member's batches (this project's choice).
//!
//! No member outweighs the others: whoever has more batches in a figure than all others together counts there with so
//! many of their latest as the others have, but with no fewer than make the five. The quartiles stay those of plain values.

use super::quartiles::Quartiles;
use crate::record::{BatchId, MemberId};
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// Batches that a figure needs.
pub const BATCHES: usize = 5;
/// Members that they must be of.
pub const MEMBERS: usize = 3;

/// What there is where it is not enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Missing {
    /// Batches that there are.
    pub batches: usize,
    /// Members that they are of.
    pub members: usize,
}

/// One batch's value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OfBatch {
    pub(super) batch: BatchId,
    pub(super) member: MemberId,
    pub(super) ended_at: DateTime<Utc>,
    pub(super) value: f64,
}

/// The quartiles over batches, each of which stands there once.
pub(super) fn quartiles(values: Vec<OfBatch>) -> Result<Quartiles, Missing> {
    let missing = enough(values.iter().map(|value| value.member)).err();
    let counted = none_outweighs(values).into_iter().map(|value| value.value).collect();
    let none = Missing { batches: 0, members: 0 };
    missing.map_or_else(|| Quartiles::of(counted).ok_or(none), Err)
}

/// Whether batches of these members are enough; a member stands there once for each batch.
pub(super) fn enough(members: impl IntoIterator<Item = MemberId>) -> Result<(), Missing> {
    let counts = counts(members);
    let missing = Missing { batches: counts.values().sum(), members: counts.len() };
    if missing.batches >= BATCHES && missing.members >= MEMBERS { Ok(()) } else { Err(missing) }
}

fn counts(members: impl IntoIterator<Item = MemberId>) -> BTreeMap<MemberId, usize> {
    let mut counts = BTreeMap::new();
    for member in members {
        *counts.entry(member).or_default() += 1;
    }
    counts
}

fn none_outweighs(mut values: Vec<OfBatch>) -> Vec<OfBatch> {
    let all = values.len();
    let counts = counts(values.iter().map(|value| value.member));
    let Some((member, count)) = counts.into_iter().max_by_key(|(_, count)| *count) else { return values };
    let others = all - count;
    let allowed = others.max(BATCHES.saturating_sub(others));
    let mut left_out = count.saturating_sub(allowed);
    values.sort_by_key(|value| (value.ended_at, value.batch));
    values.retain(|value| {
        let drops = value.member == member && left_out > 0;
        left_out -= usize::from(drops);
        !drops
    });
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;

    /// Batches of members 1, 2, …: so many each, the value is the batch's number, which grows with time.
    fn batches(of_members: &[usize]) -> Vec<OfBatch> {
        let mut values = Vec::new();
        for (member, count) in (1..).zip(of_members) {
            for _ in 0..*count {
                let number = i64::try_from(values.len()).unwrap() + 1;
                values.push(OfBatch {
                    batch: BatchId(number),
                    member: MemberId(member),
                    ended_at: DateTime::UNIX_EPOCH + TimeDelta::days(number),
                    value: number as f64,
                });
            }
        }
        values
    }

    fn counted(of_members: &[usize]) -> Result<usize, Missing> {
        quartiles(batches(of_members)).map(|quartiles| quartiles.count)
    }

    #[test]
    fn five_batches_of_three_members() {
        assert_eq!(counted(&[]), Err(Missing { batches: 0, members: 0 }));
        assert_eq!(counted(&[2, 1]), Err(Missing { batches: 3, members: 2 }));
        assert_eq!(counted(&[9, 9]), Err(Missing { batches: 18, members: 2 }));
        assert_eq!(counted(&[2, 1, 1]), Err(Missing { batches: 4, members: 3 }));
        assert_eq!(counted(&[2, 2, 1]), Ok(5));
        assert_eq!(counted(&[1, 1, 1, 1, 1]), Ok(5));
    }

    #[test]
    fn nobody_counts_with_more_than_all_others_together() {
        assert_eq!(counted(&[3, 2, 2]), Ok(7));
        assert_eq!(counted(&[20, 2, 2]), Ok(8));
        // But the five are kept: three of the first.
        assert_eq!(counted(&[3, 1, 1]), Ok(5));
        assert_eq!(counted(&[20, 1, 1]), Ok(5));
    }

    #[test]
    fn the_latest_count() {
        // Batches 1 to 20 are of one member: of these 17 to 20 count, beside 21 to 24.
        let quartiles = quartiles(batches(&[20, 2, 2])).unwrap();
        assert!((quartiles.middle - 20.5).abs() < 1e-12);
        let mut turned = batches(&[20, 2, 2]);
        turned.reverse();
        assert_eq!(super::quartiles(turned), Ok(quartiles));
    }
}
