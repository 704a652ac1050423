//! Tests of what a member can say and see.
mod intake;
