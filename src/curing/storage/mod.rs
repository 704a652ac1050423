//! Keeping what is finished: for how long by custom, and what a place without refrigeration takes.

use crate::curing::Standing;
use crate::curing::shelf::{Measured, said, systems};
use crate::quantity::{Temperature, compare};
use serde::Deserialize;
use std::cmp::Ordering;
use std::sync::LazyLock;

const TEXT: &str = include_str!("keeping.toml");

/// A refrigerator's temperature in °C: warmer than this is a room. Common practice, no source.
pub const COLD_CELSIUS: f64 = 4.0;
/// Water activity at and below which no listed organism grows (FSIS, 2004, as quoted by others).
const NOTHING_GROWS: f64 = 0.85;
/// Water activity at and below which what shuts out the air is no further danger (from memory, the lower end).
const WITHOUT_AIR: f64 = 0.92;

/// How something is kept.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keeping {
    /// Its word.
    pub how: String,
    /// For so many days: the shorter end.
    pub days: i64,
    /// At this or colder, in °C.
    pub at_c: f64,
    /// As custom has it.
    pub text: String,
    /// The source's short name.
    pub source: String,
    /// Where in it.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    keeping: Vec<Keeping>,
}

static ROWS: LazyLock<Vec<Keeping>> =
    LazyLock::new(|| toml::from_str::<File>(TEXT).map_or_else(|_| Vec::new(), |file| file.keeping));

/// The custom for a way of keeping.
pub fn keeping(how: &str) -> Option<&'static Keeping> {
    ROWS.iter().find(|row| row.how == how)
}

/// What is to be said of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Cold enough.
    Cold,
    /// Not cold, and everything that was measured lets it be there.
    RoomAllowed,
    /// Not cold, and nothing was measured.
    RoomUnmeasured,
    /// Not cold, and what was measured does not let it be there.
    RoomRefused,
}

/// Whether a place will do: a room only on measured figures, and only where no system asks for refrigeration, or the water
/// activity is 0.85 or less with what its meter may be off.
pub fn place(at: Option<Temperature>, measured: Option<&Measured>) -> Place {
    let is_cold =
        at.is_some_and(|at| compare::with_tolerance(at.as_celsius(), COLD_CELSIUS) != Ordering::Greater);
    if is_cold {
        return Place::Cold;
    }
    let Some(measured) = measured else { return Place::RoomUnmeasured };
    let activity = measured.activity.value() + measured.activity_off;
    let nothing_grows = compare::with_tolerance(activity, NOTHING_GROWS) != Ordering::Greater;
    let mut asked = systems().iter().filter(|system| !system.heated_and_packaged);
    if nothing_grows || asked.all(|system| said(system, measured).way.is_some()) {
        Place::RoomAllowed
    } else {
        Place::RoomRefused
    }
}

/// Whether shutting out the air is a danger there: not cold, and not shown to be dry enough.
pub fn is_airless_danger(at: Option<Temperature>, measured: Option<&Measured>) -> bool {
    let is_dry = measured.is_some_and(|measured| {
        let activity = measured.activity.value() + measured.activity_off;
        compare::with_tolerance(activity, WITHOUT_AIR) != Ordering::Greater
    });
    place(at, measured) != Place::Cold && !is_dry
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Ph, WaterActivity};

    fn measured(ph: f64, activity: f64) -> Measured {
        Measured { ph: Ph::new(ph), activity: WaterActivity::new(activity), ph_off: 0.05, activity_off: 0.02 }
    }

    #[test]
    fn the_file_is_whole() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert!(file.keeping.iter().all(|row| row.days > 0 && !row.text.is_empty() && !row.place.is_empty()));
        assert!(file.keeping.iter().all(|row| row.standing == Standing::Practice), "none of it has a source");
    }

    #[test]
    fn a_room_takes_measured_figures() {
        let room = Some(Temperature::celsius(15.0));
        assert_eq!(place(Some(Temperature::fahrenheit(39.0)), None), Place::Cold);
        assert_eq!(place(room, None), Place::RoomUnmeasured);
        assert_eq!(place(None, None), Place::RoomUnmeasured, "what is not said is a room");
        assert_eq!(place(room, Some(&measured(5.6, 0.83))), Place::RoomAllowed);
        assert_eq!(place(room, Some(&measured(5.6, 0.84))), Place::RoomRefused, "0.84 may be 0.86");
        assert_eq!(place(room, Some(&measured(4.5, 0.88))), Place::RoomAllowed, "every system lets it");
    }

    #[test]
    fn without_air_it_must_be_cold_or_dry() {
        let room = Some(Temperature::celsius(15.0));
        assert!(is_airless_danger(room, None));
        assert!(is_airless_danger(room, Some(&measured(5.0, 0.91))), "0.91 may be 0.93");
        assert!(!is_airless_danger(room, Some(&measured(5.0, 0.90))));
        assert!(!is_airless_danger(Some(Temperature::celsius(4.0)), None));
    }
}
