//! How the cure gets into the meat, and into what kind of product.

/// How the cure gets into the meat. Each has its own formula and its own rows in a rulebook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// Mixed into minced or chopped meat.
    Comminuted,
    /// A weighed dose rubbed on whole meat.
    Dry,
    /// Laid in a brine until meat and brine are in balance.
    Immersion,
    /// Laid in a brine and taken out before balance; the weight it gained is known.
    ImmersionPickup,
    /// Pickle pumped in.
    Inject,
}

impl Method {
    /// All methods, in the order they are offered.
    pub const ALL: [Self; 5] =
        [Self::Comminuted, Self::Dry, Self::Immersion, Self::ImmersionPickup, Self::Inject];

    /// The word a member types and a rulebook row carries.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Comminuted => "comminuted",
            Self::Dry => "dry",
            Self::Immersion => "immersion",
            Self::ImmersionPickup => "immersion-pickup",
            Self::Inject => "inject",
        }
    }

    /// Reads the word, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|method| method.word().eq_ignore_ascii_case(text.trim()))
    }

    /// The product taken for granted when none is named.
    pub const fn usual_product(self) -> Product {
        match self {
            Self::Comminuted => Product::Sausage,
            Self::Dry | Self::Immersion | Self::ImmersionPickup | Self::Inject => Product::Muscle,
        }
    }
}

/// What the meat becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Product {
    /// Minced and stuffed, fermented or dried.
    Sausage,
    /// A whole muscle, dried and eaten raw; a dried belly eaten raw belongs here.
    Muscle,
    /// Belly or back that will be fried.
    Bacon,
    /// A ham or shoulder.
    Ham,
}

impl Product {
    /// All products, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::Sausage, Self::Muscle, Self::Bacon, Self::Ham];

    /// The word a member types and a rulebook row carries.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sausage => "sausage",
            Self::Muscle => "muscle",
            Self::Bacon => "bacon",
            Self::Ham => "ham",
        }
    }

    /// Reads the word, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|product| product.word().eq_ignore_ascii_case(text.trim()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_reads_back() {
        for method in Method::ALL {
            assert_eq!(Method::parse(&method.word().to_uppercase()), Some(method));
        }
        for product in Product::ALL {
            assert_eq!(Product::parse(product.word()), Some(product));
        }
        assert_eq!(Method::parse("pink"), None);
    }
}
