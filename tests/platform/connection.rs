//! Gateway life.
