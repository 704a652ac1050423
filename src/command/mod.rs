//! stub
pub mod intake;
pub mod time;
