//! tallyhook: a chat assistant for people who dry-cure and ferment meat at home.
//!
//! The layers, from the bottom; a module may use only what stands above it in this list:
//!
//! - [`quantity`]: values that carry unit and basis; parsing and printing.
//! - [`record`]: what is kept, as events, and the pure fold that turns them into a state.
//! - [`curing`]: the science and the rules. No I/O, no clock, no chat, no database.
//! - [`chart`]: charts as data, and drawn: SVG, PNG, letters of a terminal. No words of its own.
//! - `document`: documents on paper as data, laid out and written as PDF. No words of its own.
//! - [`sheet`]: the text of a data logger's file, or of a table of weighings, as typed rows.
//! - [`reply`]: typed answers, their wording, and how they look as plain text and as JSON.
//! - `wall`: what clocks show in a zone, as instants.
//! - `store`: the only place with SQL.
//! - `command`: typed requests, what they compute and what they keep.
//! - `remind`: what a batch asks to be reminded of (pure), and the worker that sends it.
//! - `desk`: takes a line from any front end, finds the member, calls `command`.
//! - `discord`: the front end on Discord; the only place that knows its library.
//! - `terminal`: the chat in a shell, the door for scripts, the demonstration.
//!
//! `tests/core/layering.rs` holds these arrows. Without the feature `app` only the pure part builds.
#![forbid(unsafe_code)]

pub mod chart;
pub mod curing;
pub mod quantity;
pub mod record;
pub mod record_file;
pub mod reply;
pub mod sheet;

#[cfg(feature = "app")]
pub mod clock;
#[cfg(feature = "app")]
pub mod command;
#[cfg(feature = "app")]
pub mod desk;
#[cfg(feature = "app")]
pub mod discord;
#[cfg(feature = "app")]
pub mod document;
#[cfg(feature = "app")]
pub mod remind;
#[cfg(feature = "app")]
pub mod store;
#[cfg(feature = "app")]
pub mod terminal;
#[cfg(feature = "app")]
pub mod wall;
