//! Documents on paper: a description of what stands on them, laid out onto pages and written as PDF. Every word and every
//! moment is handed in, so that the same description gives the same bytes.
//!
//! - [`Document`]: headings, paragraphs, figures, tables, charts and sentences with a signal word, one under another.
//! - [`Sheet`]: small labels on a page, with marks to cut them apart by.
//! - [`layout`]: where every line, rule and picture stands, and what it is a part of.
//! - [`pdf`]: the pages as a tagged PDF with the fonts of the charts inside it.

mod data;
pub mod layout;
pub mod pdf;
mod style;
pub mod text;

pub use data::{
    About, Align, Block, Column, Document, Field, Footer, Label, Picture, Sheet, Signal, Table, Tint,
};
