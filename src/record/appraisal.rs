//! What came of a finished batch: what it weighed, and how it turned out.

use crate::quantity::Mass;
use serde::{Deserialize, Serialize};

/// How something turned out, from 1 (poor) to 5 (excellent). The scale is this project's choice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct Rating(u8);

impl Rating {
    /// Of a number of points; `None` outside 1 to 5.
    pub const fn new(points: u8) -> Option<Self> {
        if matches!(points, 1..=5) { Some(Self(points)) } else { None }
    }

    /// The points, 1 to 5.
    pub const fn points(self) -> u8 {
        self.0
    }
}

impl TryFrom<u8> for Rating {
    type Error = String;

    fn try_from(points: u8) -> Result<Self, String> {
        Self::new(points).ok_or_else(|| format!("{points} is no rating of 1 to 5"))
    }
}

impl From<Rating> for u8 {
    fn from(rating: Rating) -> Self {
        rating.0
    }
}

/// What its maker says of a finished batch. Whatever was not said is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Appraisal {
    /// What it weighs finished, without casing and string, all of it together.
    #[serde(default)]
    pub finished_weight: Option<Mass>,
    /// How it tastes.
    #[serde(default)]
    pub taste: Option<Rating>,
    /// How it bites and cuts.
    #[serde(default)]
    pub texture: Option<Rating>,
    /// How the slice looks.
    #[serde(default)]
    pub look: Option<Rating>,
}

impl Appraisal {
    /// Whether nothing was said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// What is said now, and what was said before where nothing is said now.
    #[must_use]
    pub fn over(self, before: Self) -> Self {
        Self {
            finished_weight: self.finished_weight.or(before.finished_weight),
            taste: self.taste.or(before.taste),
            texture: self.texture.or(before.texture),
            look: self.look.or(before.look),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rating_is_a_number_of_one_to_five_also_when_it_is_read() {
        assert_eq!([0, 1, 5, 6].map(|points| Rating::new(points).is_some()), [false, true, true, false]);
        assert_eq!(serde_json::from_str::<Rating>("4").ok(), Rating::new(4));
        assert!(serde_json::from_str::<Rating>("9").is_err());
    }

    #[test]
    fn what_is_not_said_again_stays() {
        let before = Appraisal { taste: Rating::new(2), look: Rating::new(5), ..Appraisal::default() };
        let now = Appraisal { taste: Rating::new(4), ..Appraisal::default() };
        assert_eq!(now.over(before), Appraisal { taste: Rating::new(4), ..before });
        assert_eq!(serde_json::from_str::<Appraisal>("{}").unwrap(), Appraisal::default());
    }
}
