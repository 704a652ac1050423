//! Names are compared folded, so that `Juniper  Stick` finds `juniper stick`.

/// A name without outer blanks, in lower case, with single spaces.
pub fn fold(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// What a search by name found: the exact name, or the only one that begins so.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<T> {
    /// Nothing begins so.
    Nothing,
    /// This one.
    One(T),
    /// Several begin so; the member has to say which.
    Several(Vec<T>),
}

impl<T> Found<T> {
    /// Chooses among everything whose folded name begins with the folded text.
    pub fn among(candidates: Vec<T>, text: &str, name: impl Fn(&T) -> &str) -> Self {
        let folded = fold(text);
        let (exact, longer): (Vec<T>, Vec<T>) =
            candidates.into_iter().partition(|candidate| fold(name(candidate)) == folded);
        let mut chosen = if exact.is_empty() { longer } else { exact };
        match chosen.len() {
            0 | 1 => chosen.pop().map_or(Self::Nothing, Self::One),
            _ => Self::Several(chosen),
        }
    }

    /// The one that was found, if it is one.
    pub fn one(self) -> Option<T> {
        match self {
            Self::One(found) => Some(found),
            Self::Nothing | Self::Several(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folding_forgets_case_and_spare_blanks() {
        assert_eq!(fold("  Juniper \t Stick\n"), "juniper stick");
        assert_eq!(fold("ÄRGER"), "ärger");
        assert_eq!(fold(" \n"), "");
    }

    #[test]
    fn the_exact_name_wins_over_longer_ones() {
        let names = vec!["Coppa two".to_owned(), "Coppa".to_owned()];
        let found = Found::among(names.clone(), "coppa", String::as_str);
        assert_eq!(found, Found::One("Coppa".to_owned()));
        let found = Found::among(names.clone(), "cop", String::as_str);
        assert_eq!(found, Found::Several(names.clone()));
        assert_eq!(Found::among(vec![names[0].clone()], "cop", String::as_str), Found::One(names[0].clone()));
        assert_eq!(Found::among(Vec::<String>::new(), "cop", String::as_str), Found::Nothing);
    }
}
