//! Quartiles as Hyndman and Fan (1996), "Sample quantiles in statistical packages", The American Statistician 50 (4),
//! 361-365, define them under number 7: the value at the place `part · (n − 1)` of the sorted values, counted from 0, on
//! the straight line between its neighbours.

/// The middle half of some values, and their middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quartiles {
    /// Of how many values.
    pub count: usize,
    /// A quarter of them lie below.
    pub low: f64,
    /// Half of them do.
    pub middle: f64,
    /// Three quarters do.
    pub high: f64,
}

impl Quartiles {
    /// Of values in any order; `None` of no value.
    pub fn of(mut values: Vec<f64>) -> Option<Self> {
        values.sort_by(f64::total_cmp);
        let at = |part| quantile(&values, part);
        Some(Self { count: values.len(), low: at(0.25)?, middle: at(0.5)?, high: at(0.75)? })
    }
}

/// The middle of values in any order.
pub(super) fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    quantile(&values, 0.5)
}

/// A quantile of sorted values; `part` from 0 to 1.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places in a list"
)]
fn quantile(sorted: &[f64], part: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = part.clamp(0.0, 1.0) * last as f64;
    let below = place.floor();
    let low = sorted.get(below as usize)?;
    let high = sorted.get((below as usize + 1).min(last))?;
    Some(low + (place - below) * (high - low))
}
