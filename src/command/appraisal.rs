//! What is said of a finished batch, in words: its yield, and how it turned out.

use super::asking::Asking;
use super::describe;
use crate::quantity::{Mass, MassUnit, format};
use crate::record::state::Piece;
use crate::record::{Appraisal, BatchStage, BatchState, PieceFate, Rating};
use crate::reply::say;

/// How many of the five points, with their word: "4 of 5, very good".
pub fn rating(rating: Rating) -> String {
    let points = rating.points().to_string();
    let word = say(&format!("rating.word_{points}"), &[]);
    say("rating.shown", &[("points", &points), ("word", &word)])
}

/// A rating as typed: its points, or their word.
pub fn read_rating(typed: &str) -> Option<Rating> {
    let typed = typed.trim();
    if typed.starts_with(|letter: char| letter.is_ascii_digit()) {
        let number = typed.split_whitespace().next().unwrap_or_default().trim_end_matches(',');
        return number.parse().ok().and_then(Rating::new);
    }
    let is_word = |points: &u8| say(&format!("rating.word_{points}"), &[]).eq_ignore_ascii_case(typed);
    (1..=5).find(is_word).and_then(Rating::new)
}

/// The ratings that were given, each with what it is of.
fn ratings(appraisal: &Appraisal) -> Vec<String> {
    let all = [
        ("rating.taste", appraisal.taste),
        ("rating.texture", appraisal.texture),
        ("rating.look", appraisal.look),
    ];
    all.into_iter().filter_map(|(key, given)| Some(say(key, &[("rating", &rating(given?))]))).collect()
}

/// An entry in a few words.
pub fn described(appraisal: &Appraisal, asking: &Asking) -> String {
    let weight = appraisal
        .finished_weight
        .map(|weight| say("rating.finished_weight", &[("weight", &describe::weight(weight, asking))]));
    weight.into_iter().chain(ratings(appraisal)).collect::<Vec<_>>().join("; ")
}

/// What the batch came to, for its record: the yield and the ratings. Weights in grams and kilograms, because a record
/// is read by members of every unit.
pub fn lines(state: &BatchState) -> Vec<String> {
    if state.stage().0 != BatchStage::Finished {
        return Vec::new();
    }
    let given = ratings(&state.appraisal);
    let ratings = (!given.is_empty()).then(|| say("rating.rated", &[("ratings", &given.join("; "))]));
    yield_line(state).into_iter().chain(ratings).collect()
}

fn yield_line(state: &BatchState) -> Option<String> {
    let meat = state.plan.meat();
    let (key, weight) = match state.appraisal.finished_weight {
        Some(weight) => ("rating.yield", weight),
        None => ("rating.yield_by_pieces", weight_of_pieces(state).filter(|_| all_hung(state))?),
    };
    if meat.as_grams() <= 0.0 {
        return None;
    }
    let part = format::number(100.0 * weight.as_grams() / meat.as_grams(), 1);
    Some(say(key, &[("weight", &shown(weight)), ("part", &part)]))
}

/// Of pieces that are only a part of the meat no yield is worked out (judgement, no source: the day in the cure takes a
/// few percent, a few packets are fried or fermented beside).
const MEAT_THAT_HANGS: f64 = 0.85;

fn all_hung(state: &BatchState) -> bool {
    let hung: Mass = state.pieces.iter().map(Piece::green).sum();
    hung.as_grams() >= MEAT_THAT_HANGS * state.plan.meat().as_grams()
}

fn shown(weight: Mass) -> String {
    let unit = if weight.as_grams() < 1000.0 { MassUnit::Gram } else { MassUnit::Kilogram };
    format::mass(weight, unit)
}

/// What the pieces weighed last, together, without those that were thrown away; `None` where none is left or one was
/// never weighed since it was hung.
pub fn weight_of_pieces(state: &BatchState) -> Option<Mass> {
    let kept = || {
        state.pieces.iter().filter(|piece| piece.left.is_none_or(|(fate, _)| fate != PieceFate::Discarded))
    };
    let is_weighed = kept().all(|piece| !piece.since_hung().is_empty());
    (is_weighed && kept().next().is_some()).then(|| kept().map(Piece::last_net).sum())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rating_is_typed_as_points_or_as_their_word() {
        for (typed, points) in [("4", 4), ("4 of 5, very good", 4), ("Very good", 4), ("poor", 1), ("5", 5)] {
            assert_eq!(read_rating(typed), Rating::new(points), "{typed}");
        }
        for typed in ["0", "6", "splendid", "", "-1", "4.5", "4/5"] {
            assert_eq!(read_rating(typed), None, "{typed}");
        }
    }
}
