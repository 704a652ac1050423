//! Dates and times as files write them: [`written`] reads a cell without deciding which number is the day,
//! [`order`] decides that for the whole file, [`instant`] turns what a clock showed into instants.

pub(super) mod clock;
pub(super) mod date;
pub(super) mod instant;
pub(super) mod order;
pub(super) mod written;
