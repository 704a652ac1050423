//! Finds a time zone by what a member calls it: its name in any case, or how it ends (`rome`).

use chrono_tz::{TZ_VARIANTS, Tz};

/// Names that are offered when one is not found.
const NEAR: usize = 5;

/// So many letters of a text may hold one slip of the keys more than the one that is always allowed.
const LETTERS_PER_SLIP: usize = 4;

/// A text longer than this is compared with no name.
const LONGEST: usize = 40;

/// Abbreviations that the time zone database knows as zones without summer time. Who types one means a place that
/// may well have it, so the place is asked for.
const BARE_ABBREVIATIONS: [&str; 3] = ["est", "mst", "hst"];

/// Zones counted from Greenwich, with the sign the other way round from everyday use: `Etc/GMT+2` is two hours
/// behind. They are found by their whole name only.
const BY_OFFSET: &str = "Etc/";

/// Why a text is not one zone.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum NotOne {
    /// Several end so.
    Several(Vec<Tz>),
    /// None is called so; these are near, the nearest first, at most five.
    Unknown(Vec<Tz>),
}

/// The zone of a name.
pub(super) fn find(text: &str) -> Result<Tz, NotOne> {
    let folded = fold(text);
    if folded.is_empty() || folded.chars().count() > LONGEST || BARE_ABBREVIATIONS.contains(&&*folded) {
        return Err(NotOne::Unknown(Vec::new()));
    }
    if let Some(zone) = TZ_VARIANTS.iter().find(|zone| fold(zone.name()) == folded) {
        return Ok(*zone);
    }
    let ending = format!("/{folded}");
    let ends = |zone: &&Tz| !zone.name().starts_with(BY_OFFSET) && fold(zone.name()).ends_with(&ending);
    let mut found: Vec<Tz> = TZ_VARIANTS.iter().filter(ends).copied().collect();
    match found.as_slice() {
        [] => Err(NotOne::Unknown(near(&folded))),
        [only] => Ok(*only),
        _ => {
            found.truncate(NEAR);
            Err(NotOne::Several(found))
        }
    }
}

fn fold(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '-'], "_")
}

/// The places whose city begins so, then those that contain it, then those a slip of the keys away.
fn near(folded: &str) -> Vec<Tz> {
    let mut ranked: Vec<(usize, &str, Tz)> = TZ_VARIANTS
        .iter()
        .filter_map(|zone| Some((rank(folded, zone.name())?, zone.name(), *zone)))
        .collect();
    ranked.sort_unstable_by_key(|(rank, name, _)| (*rank, *name));
    ranked.into_iter().take(NEAR).map(|(_, _, zone)| zone).collect()
}

fn rank(folded: &str, name: &str) -> Option<usize> {
    let (area, _) = name.split_once('/')?;
    if area == BY_OFFSET.trim_end_matches('/') {
        return None;
    }
    let whole = fold(name);
    let city = whole.rsplit('/').next().unwrap_or_default();
    let length = folded.chars().count();
    if length >= 2 && city.starts_with(folded) {
        return Some(0);
    }
    if length >= 3 && whole.contains(folded) {
        return Some(1);
    }
    let slips = distance(folded, city).min(distance(folded, &whole));
    (slips <= length / LETTERS_PER_SLIP + 1).then_some(1 + slips)
}

/// Letters to put in, leave out or replace to make one text the other (Levenshtein's distance).
fn distance(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (removed, letter) in from.chars().enumerate() {
        let mut next = vec![removed + 1];
        for ((above_left, above), other) in row.iter().zip(row.iter().skip(1)).zip(&to) {
            let left = next.last().copied().unwrap_or_default();
            let replaced = above_left + usize::from(letter != *other);
            next.push(replaced.min(above + 1).min(left + 1));
        }
        row = next;
    }
    row.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_zone_is_found_in_any_case_and_by_its_ending() {
        for (text, zone) in [
            ("Europe/Rome", Tz::Europe__Rome),
            ("europe/rome", Tz::Europe__Rome),
            ("rome", Tz::Europe__Rome),
            ("New York", Tz::America__New_York),
            ("america/new york", Tz::America__New_York),
            ("PORT AU PRINCE", Tz::America__PortauPrince),
            ("utc", Tz::UTC),
            ("Singapore", Tz::Singapore),
            ("indiana/knox", Tz::America__Indiana__Knox),
        ] {
            assert_eq!(find(text), Ok(zone), "{text}");
        }
    }

    // tz database, file `backward`: Asia/Istanbul and Europe/Istanbul are two names of one zone.
    #[test]
    fn an_ending_of_two_zones_is_asked_about() {
        assert_eq!(find("Istanbul"), Err(NotOne::Several(vec![Tz::Asia__Istanbul, Tz::Europe__Istanbul])));
    }

    #[test]
    fn near_names_are_offered_nearest_first() {
        for (text, first) in [
            ("Rom", Tz::Europe__Rome),
            ("Rmoe", Tz::Europe__Rome),
            ("Europe/Roma", Tz::Europe__Rome),
            ("york", Tz::America__New_York),
            ("Berlim", Tz::Europe__Berlin),
        ] {
            let Err(NotOne::Unknown(near)) = find(text) else { panic!("{text} is a zone") };
            assert_eq!(near.first(), Some(&first), "{text}: {near:?}");
            assert!(near.len() <= NEAR);
        }
    }

    // tz database, file `etcetera`: the names use POSIX's sign, so `Etc/GMT+2` is two hours behind Greenwich.
    #[test]
    fn an_offset_with_the_turned_sign_is_never_guessed() {
        for text in ["GMT+2", "UTC+2", "+2", "EST", "", "x", &"7".repeat(10_000)] {
            let Err(NotOne::Unknown(near)) = find(text) else { panic!("{text} is a zone") };
            assert!(near.iter().all(|zone| !zone.name().starts_with(BY_OFFSET)), "{text}: {near:?}");
        }
        assert_eq!(find("GMT+2"), Err(NotOne::Unknown(Vec::new())));
    }

    #[test]
    fn distances() {
        assert_eq!(distance("rome", "rome"), 0);
        assert_eq!(distance("rmoe", "rome"), 2);
        assert_eq!(distance("", "rome"), 4);
        assert_eq!(distance("berlim", "berlin"), 1);
    }
}
