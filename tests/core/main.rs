//! Tests of the pure part: quantities, rules, the record, replies.

mod quantity;
