//! Where everything stands: pages of lines of text, rules and pictures, and the tree of parts they belong to.

mod flow;
mod label;
mod table;

pub use super::style::Ink;

use super::data::{Document, Sheet};

/// A leaf of the tree: what stands on the pages under its number belongs to one part.
pub type Leaf = usize;

/// Pages and the tree of what stands on them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Laid {
    /// The pages.
    pub pages: Vec<Page>,
    /// The parts of the document, in the order in which they are read.
    pub parts: Vec<Part>,
    /// The headings, for the list of contents.
    pub contents: Vec<Entry>,
}

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Width and height in points.
    pub size: (f64, f64),
    /// What stands on it, in the order in which it is drawn.
    pub items: Vec<Item>,
}

/// Something on a page; points from its upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What it is a part of; `None` for what only adorns.
    pub leaf: Option<Leaf>,
    /// What it is.
    pub shape: Shape,
}

/// What something on a page is.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// One line of text.
    Text {
        /// Where its baseline begins.
        at: (f64, f64),
        /// Size of the letters.
        size: f64,
        /// Whether they are bold.
        bold: bool,
        /// Their colour.
        ink: Ink,
        /// The line.
        text: String,
    },
    /// A line drawn from one point to another.
    Rule {
        /// From here.
        from: (f64, f64),
        /// To here.
        to: (f64, f64),
        /// How wide it is.
        width: f64,
        /// Its colour.
        ink: Ink,
    },
    /// A filled rectangle.
    Area {
        /// Its upper left corner.
        at: (f64, f64),
        /// Width and height.
        size: (f64, f64),
        /// Its colour.
        ink: Ink,
    },
    /// A picture.
    Picture {
        /// Its upper left corner.
        at: (f64, f64),
        /// Width and height.
        size: (f64, f64),
        /// The picture.
        svg: String,
    },
}

/// What a part is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Role {
    /// A heading of a level, from 1.
    Heading(u16, String),
    /// A paragraph.
    Paragraph,
    /// A list, of items of a name and a value.
    List,
    /// One item.
    ListItem,
    /// The name in an item.
    Name,
    /// The value in an item.
    Value,
    /// A table.
    Table,
    /// The row of its headings, and the rows under it.
    Head,
    /// The rows under the headings.
    Body,
    /// One row.
    Row,
    /// The heading of a column.
    HeadCell,
    /// A cell.
    Cell,
    /// A picture, with what is to be seen on it in words.
    Figure(String),
    /// What stands beside a picture.
    Caption,
    /// Something whole among others of its sort: a label.
    Section,
}

/// A part with what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub role: Role,
    /// What is in it.
    pub children: Vec<Child>,
}

/// What is in a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Child {
    /// A smaller part.
    Part(Part),
    /// What stands on the pages.
    Leaf(Leaf),
}

impl Part {
    pub(super) const fn new(role: Role) -> Self {
        Self { role, children: Vec::new() }
    }

    pub(super) fn of(role: Role, leaf: Leaf) -> Self {
        Self { role, children: vec![Child::Leaf(leaf)] }
    }

    pub(super) fn push(&mut self, part: Self) {
        self.children.push(Child::Part(part));
    }
}

/// A line of the list of contents.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The heading.
    pub text: String,
    /// On which page, from 0.
    pub page: usize,
    /// How far down.
    pub y: f64,
}

/// Lays out a document.
pub fn document(document: &Document) -> Laid {
    flow::laid(document)
}

/// Lays out labels.
pub fn labels(sheet: &Sheet) -> Laid {
    label::laid(sheet)
}
