//! What stands on a document, without where.

use chrono::{DateTime, Utc};

/// What a file says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// Its title, as a reader shows it in the window's bar.
    pub title: String,
    /// What it is about, in a sentence.
    pub subject: String,
    /// The language it is written in, as a tag (BCP 47): `en`, `de`.
    pub language: String,
    /// The moment it speaks of: the file's date.
    pub made: DateTime<Utc>,
}

/// A document of several pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What it says of itself.
    pub about: About,
    /// At the foot of every page.
    pub footer: Footer,
    /// What stands on it, from top to bottom.
    pub blocks: Vec<Block>,
}

/// At the foot of every page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Footer {
    /// On the left.
    pub text: String,
    /// On the right: words with `{page}` and `{pages}` in them.
    pub page: String,
}

/// One part of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The heading of the whole document.
    Title(String),
    /// The heading of a part; it stays with what follows it.
    Heading(String),
    /// Running text.
    Paragraph(String),
    /// Running text that matters less, in smaller letters.
    Small(String),
    /// A sentence with a signal word.
    Signal(Signal),
    /// Figures with their names, several in a row.
    Fields(Vec<Field>),
    /// A table.
    Table(Table),
    /// A picture with its words beside it.
    Picture(Picture),
}

/// A sentence with a signal word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signal {
    /// The word.
    pub word: String,
    /// The sentence.
    pub text: String,
    /// The colour that repeats the word.
    pub tint: Tint,
}

/// A colour that repeats a signal word; it says nothing that the word does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tint {
    /// Of what matters little.
    Quiet,
    /// Of what could injure lightly.
    Caution,
    /// Of what could injure badly.
    Warning,
}

/// A figure with its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// Its value with unit.
    pub value: String,
}

/// A table. Its headings stand again on top of every page it goes on to.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, one text for each column.
    pub rows: Vec<Vec<String>>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading.
    pub heading: String,
    /// Its part of the width, beside those of the others.
    pub share: f64,
    /// To which side its texts are set.
    pub align: Align,
}

/// To which side a text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A picture with its words beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The picture, four wide to three high, as SVG.
    pub svg: String,
    /// What is to be seen on it, in words.
    pub alt: String,
}

/// Small labels to be cut apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// What it says of itself.
    pub about: About,
    /// The labels, one after another.
    pub labels: Vec<Label>,
}

/// One label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Its heading, in two lines at most.
    pub heading: String,
    /// Figures with their names, each in one line.
    pub fields: Vec<Field>,
    /// What must be done with it, each in two lines at most.
    pub foot: Vec<String>,
}
