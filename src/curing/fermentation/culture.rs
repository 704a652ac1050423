//! At which temperatures the starters are comfortable, and whether a room is one of them.

use crate::curing::rule::Standing;
use crate::quantity::Temperature;
use crate::quantity::compare;
use serde::Deserialize;
use std::sync::LazyLock;

const TEXT: &str = include_str!("cultures.toml");

/// A starter that makes acid.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Culture {
    /// The word it is typed by.
    pub id: String,
    /// Its name.
    pub name: String,
    low_c: f64,
    high_c: f64,
    hardly_below_c: Option<f64>,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well the row is known.
    pub standing: Standing,
}

/// A room beside a culture's range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// So cold that the culture hardly works.
    HardlyWorks,
    /// Colder than the culture likes.
    TooCold,
    /// Within the range; its ends belong to it.
    Comfortable,
    /// Warmer than the culture likes.
    TooWarm,
}

impl Culture {
    /// The range in which it is comfortable.
    pub const fn range(&self) -> (Temperature, Temperature) {
        (Temperature::celsius(self.low_c), Temperature::celsius(self.high_c))
    }

    /// Holds a room against the range.
    pub fn in_room(&self, room: Temperature) -> Room {
        let below = |edge: f64| compare::with_tolerance(room.as_celsius(), edge).is_lt();
        if self.hardly_below_c.is_some_and(below) {
            Room::HardlyWorks
        } else if below(self.low_c) {
            Room::TooCold
        } else if compare::with_tolerance(room.as_celsius(), self.high_c).is_gt() {
            Room::TooWarm
        } else {
            Room::Comfortable
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    culture: Vec<Culture>,
}

static CULTURES: LazyLock<Vec<Culture>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.culture));

/// Every culture of which a range is held.
pub fn cultures() -> &'static [Culture] {
    &CULTURES
}

/// The culture of this word.
pub fn named(word: &str) -> Option<&'static Culture> {
    cultures().iter().find(|culture| culture.id == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_parses_and_every_row_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert_eq!(file.culture.len(), 5);
        for culture in cultures() {
            assert!(culture.low_c < culture.high_c, "{}", culture.id);
            assert!(!culture.source.is_empty() && !culture.place.is_empty(), "{}", culture.id);
        }
    }

    #[test]
    fn the_ends_of_a_range_belong_to_it_in_either_scale() {
        let sakei = named("sakei").unwrap();
        for comfortable in
            [Temperature::celsius(20.0), Temperature::fahrenheit(68.0), Temperature::celsius(30.0)]
        {
            assert_eq!(sakei.in_room(comfortable), Room::Comfortable);
        }
        assert_eq!(sakei.in_room(Temperature::celsius(19.9)), Room::TooCold);
        assert_eq!(sakei.in_room(Temperature::fahrenheit(86.2)), Room::TooWarm);
        let acidilactici = named("acidilactici").unwrap();
        assert_eq!(acidilactici.in_room(Temperature::celsius(26.0)), Room::TooCold);
        assert_eq!(acidilactici.in_room(Temperature::celsius(23.0)), Room::HardlyWorks);
    }
}
