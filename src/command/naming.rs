//! Names of batches that are made again: "Juniper stick", "Juniper stick 2", and the recipe "juniper stick". A batch's
//! record does not name its recipe; batches and recipes of one name belong together.

use crate::store::fold;

/// A number at the end of more digits than this is a year or a date and part of the name.
const MOST_DIGITS: usize = 3;

/// The name without the number that tells one making from another, folded.
pub fn base(name: &str) -> String {
    fold(without_number(name))
}

/// The next name of such a batch: with the lowest number from 2 that none of `taken` has, and at most so many letters.
pub fn next(name: &str, taken: &[String], most: usize) -> String {
    let taken: Vec<String> = taken.iter().map(|name| fold(name)).collect();
    let plain = without_number(name).trim();
    let candidate = |number: usize| {
        let ending = format!(" {number}");
        let kept: String = plain.chars().take(most.saturating_sub(ending.len())).collect();
        format!("{}{ending}", kept.trim_end())
    };
    let mut number = 2;
    while taken.contains(&fold(&candidate(number))) {
        number += 1;
    }
    candidate(number)
}

fn without_number(name: &str) -> &str {
    match name.trim_end().rsplit_once(' ') {
        Some((front, number))
            if !front.trim().is_empty()
                && (1..=MOST_DIGITS).contains(&number.len())
                && number.bytes().all(|digit| digit.is_ascii_digit()) =>
        {
            front
        }
        _ => name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn next_of(name: &str, taken: &[&str]) -> String {
        let taken: Vec<String> = taken.iter().map(|name| (*name).to_owned()).collect();
        next(name, &taken, 60)
    }

    #[test]
    fn the_number_grows() {
        assert_eq!(next_of("Juniper stick", &["Juniper stick"]), "Juniper stick 2");
        assert_eq!(next_of("Juniper stick 2", &["juniper  STICK 2"]), "Juniper stick 3");
        assert_eq!(next_of("Juniper stick", &["Juniper stick 3"]), "Juniper stick 2");
        assert_eq!(next_of("Neck 2025", &[]), "Neck 2025 2");
        assert_eq!(next_of("7 7", &[]), "7 2");
    }

    #[test]
    fn a_long_name_makes_room_for_its_number() {
        let long = "ä".repeat(60);
        let made = next_of(&long, &[]);
        assert_eq!(made.chars().count(), 60);
        assert!(made.ends_with(" 2"));
    }

    #[test]
    fn batches_and_recipes_of_one_name_belong_together() {
        assert_eq!(base("Juniper  Stick 12"), "juniper stick");
        assert_eq!(base("juniper stick"), "juniper stick");
        assert_eq!(base("Neck 2025"), "neck 2025");
        assert_eq!(base("12"), "12");
    }
}
