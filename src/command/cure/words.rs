//! Words that stand where a percentage or a weight belongs, and what each of them can be.

/// What somebody typed in place of a label's percentage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Misnamed {
    /// A measure by volume: a spoon, a cup, a pinch.
    Spoon,
    /// Table salt under a name that sounds like a cure: it has no nitrite.
    TableSalt,
    /// A nitrate: it brings no nitrite.
    Nitrate,
    /// A vegetable powder: nitrate or nitrite in an amount nobody printed.
    Vegetable,
    /// A colour, a number on a bag, a trade name: a cure or none.
    Unclear,
}

const SPOONS: &[&str] = &[
    "tsp",
    "tsps",
    "tbs",
    "tbsp",
    "tbsps",
    "teaspoon",
    "teaspoons",
    "teaspoonful",
    "tablespoon",
    "tablespoons",
    "tablespoonful",
    "spoon",
    "spoons",
    "spoonful",
    "spoonfuls",
    "cup",
    "cups",
    "pinch",
    "pinches",
    "handful",
    "dash",
];

const TABLE_SALTS: &[&str] = &[
    "himalaya",
    "himalayan",
    "sea",
    "table",
    "kosher",
    "rock",
    "iodised",
    "iodized",
];

const NITRATES: &[&str] = &["nitrate", "nitrates", "kno3", "nano3", "salitre"];

const VEGETABLES: &[&str] = &["celery", "vegetable", "chard", "beet", "beetroot", "spinach"];

/// Spellings of "not a number" and "infinite" that are slips of a script, not names of a salt.
const NO_NUMBERS: &[&str] = &["nan", "inf", "infinity"];

/// The words of a text in small letters: `2 tsp` and `2tsp` both hold `tsp`.
fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_alphanumeric());
    words
        .map(|word| {
            word.trim_start_matches(|letter: char| letter.is_ascii_digit())
                .to_owned()
        })
        .chain(lower.split_whitespace().map(str::to_owned))
        .filter(|word| !word.is_empty())
        .collect()
}

/// Whether an amount is by volume, which nobody can turn into grams.
pub(super) fn is_spoon(text: &str) -> bool {
    words(text).iter().any(|word| SPOONS.contains(&word.as_str()))
}

/// What a text in place of the nitrite percentage can be; `None` where it is a number, right or wrong.
pub(super) fn misnamed(text: &str) -> Option<Misnamed> {
    let words = words(text);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let saltpetre = |word: &String| word.starts_with("saltpet") || word.starts_with("salpet");
    if has(SPOONS) {
        return Some(Misnamed::Spoon);
    }
    // Two percentages in one option are a line to be taken apart, not a name.
    if (has(NITRATES) || words.iter().any(saltpetre)) && text.matches('%').count() < 2 {
        return Some(Misnamed::Nitrate);
    }
    if text.contains('%') {
        return None;
    }
    if has(TABLE_SALTS) {
        return Some(Misnamed::TableSalt);
    }
    if has(VEGETABLES) {
        return Some(Misnamed::Vegetable);
    }
    is_a_name(text, &words).then_some(Misnamed::Unclear)
}

/// A name or a number on a bag. The bare numbers 1 and 2 are the names of two cures before they are percentages.
fn is_a_name(text: &str, words: &[String]) -> bool {
    let text = text.trim();
    if text == "1" || text == "2" || text.starts_with('#') {
        return true;
    }
    let starts_like_a_number =
        text.starts_with(|letter: char| letter.is_ascii_digit() || "+-.,−".contains(letter));
    let no_number = words.iter().any(|word| NO_NUMBERS.contains(&word.as_str()));
    !starts_like_a_number && !no_number && text.contains(char::is_alphabetic)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_or_a_number_on_a_bag_is_unclear() {
        for text in [
            "pink",
            "Pink salt",
            "#1",
            "# 2",
            "1",
            "2",
            "cure 1",
            "no. 1",
            "pink curing salt",
            "rosa",
        ] {
            assert_eq!(misnamed(text), Some(Misnamed::Unclear), "{text}");
        }
    }

    #[test]
    fn table_salt_under_another_name_is_no_cure() {
        for text in [
            "himalayan",
            "pink himalayan",
            "Himalaya",
            "sea salt",
            "table salt",
            "kosher salt",
        ] {
            assert_eq!(misnamed(text), Some(Misnamed::TableSalt), "{text}");
        }
    }

    #[test]
    fn nitrate_is_not_nitrite() {
        for text in [
            "saltpetre",
            "saltpeter",
            "Potassium nitrate",
            "KNO3",
            "100% saltpetre",
            "2 oz saltpeter",
        ] {
            assert_eq!(misnamed(text), Some(Misnamed::Nitrate), "{text}");
        }
    }

    #[test]
    fn spoons_are_seen_wherever_they_stand() {
        for text in [
            "1 tsp",
            "1tsp",
            "half a teaspoon",
            "2 level Tablespoons",
            "1 pinch",
            "½ tsp",
        ] {
            assert!(is_spoon(text), "{text}");
            assert_eq!(misnamed(text), Some(Misnamed::Spoon), "{text}");
        }
        assert!(!is_spoon("2.5 g"));
        assert!(!is_spoon("1.6 kg pork, 0.4 kg back fat"));
    }

    #[test]
    fn vegetable_powders_have_their_own_answer() {
        assert_eq!(misnamed("celery powder"), Some(Misnamed::Vegetable));
        assert_eq!(misnamed("vegetable juice"), Some(Misnamed::Vegetable));
    }

    #[test]
    fn numbers_are_left_to_the_reader_of_numbers() {
        for text in [
            "6.25%",
            "6,25 %",
            "6.25",
            "0.6",
            "NaN",
            "inf",
            "1e400",
            "-1",
            "",
            "62.5 percent",
        ] {
            assert_eq!(misnamed(text), None, "{text}");
        }
        assert_eq!(misnamed("6.25% nitrite 4% nitrate"), None);
    }
}
