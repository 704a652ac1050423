//! Whose meat it is, as far as Trichinella is concerned.

use super::table::tables;

/// A meat as a host of Trichinella.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Host {
    /// Domestic pork: the tables are for it.
    DomesticPork,
    /// Game, horse, or pork of unknown keeping: no table but heat.
    Barred,
    /// Meat the tables do not speak of.
    Other,
}

impl Host {
    /// The host that a member's words name. A mix is as the worst in it; words that name none of them give `None`.
    pub fn named(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        let words: Vec<&str> = text.split(|letter: char| !letter.is_alphabetic()).collect();
        let any = |names: &[String]| {
            names.iter().any(|name| words.iter().any(|word| stem(word) == name.as_str() || word == name))
        };
        let begins = |names: &[String]| {
            names.iter().any(|name| words.iter().any(|word| word.starts_with(name.as_str())))
        };
        let hosts = &tables().hosts;
        if any(&hosts.barred) || begins(&hosts.german.barred) {
            Some(Self::Barred)
        } else if any(&hosts.pork) || begins(&hosts.german.pork) {
            Some(Self::DomesticPork)
        } else if any(&hosts.other) || begins(&hosts.german.other) {
            Some(Self::Other)
        } else {
            None
        }
    }
}

/// Without the plural's s.
fn stem(word: &str) -> &str {
    word.strip_suffix('s').unwrap_or(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mix_is_as_the_worst_in_it() {
        assert_eq!(Host::named("1 kg pork and 1 kg wild boar"), Some(Host::Barred));
        assert_eq!(Host::named("Wild pigs"), Some(Host::Barred));
        for game in ["wildboar", "wolves", "foxes", "lynxes", "walruses", "horsemeat"] {
            assert_eq!(Host::named(&format!("pork and {game}")), Some(Host::Barred), "{game}");
        }
        assert_eq!(Host::named("beef and pork"), Some(Host::DomesticPork));
        assert_eq!(Host::named("venison"), Some(Host::Other));
        assert_eq!(Host::named("hogs"), Some(Host::DomesticPork));
        assert_eq!(Host::named("boarding school ham"), None, "a word inside a word is none");
        assert_eq!(Host::named("Wildschweinkeule"), Some(Host::Barred));
        assert_eq!(Host::named("Schweinenacken und Hirsch"), Some(Host::DomesticPork));
        assert_eq!(Host::named("Rehkeule"), Some(Host::Other));
        assert_eq!(Host::named(""), None);
    }
}
