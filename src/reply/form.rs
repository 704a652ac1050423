//! A form: what is filled in there says one command. Whoever has no forms types that command.

/// A form that an answer offers behind a button.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// What the button says.
    pub label: String,
    /// What stands above the form.
    pub title: String,
    /// The command's first word.
    pub root: &'static str,
    /// The command's second word.
    pub verb: &'static str,
    /// Options that are settled before it opens, with their values.
    pub settled: Vec<(&'static str, String)>,
    /// What is to be filled in, at most five.
    pub blanks: Vec<Blank>,
    /// Whether it says something also when nothing is filled in.
    pub may_be_empty: bool,
}

/// Something to be filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// The option it is.
    pub option: &'static str,
    /// What is to be typed.
    pub label: String,
    /// An example, shown while nothing stands there.
    pub hint: String,
    /// What stands there already.
    pub filled: Filled,
}

/// What stands in a field already.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Filled {
    /// Nothing; it takes one line.
    #[default]
    Nothing,
    /// Nothing; it takes several lines.
    Lines,
    /// This, and it is said also where it is left as it stands; alone it says nothing.
    Said(String),
    /// This, which is what follows if nothing is said: left as it stands it is not said.
    Known(String),
}
