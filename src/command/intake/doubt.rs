//! What is read well and hard to believe: asked about, not stored.

use crate::command::intake::item::{Context, Item, What, Whose};
use crate::quantity::compare::with_tolerance;
use crate::quantity::{Mass, Ph, RelativeHumidity, Temperature};
use crate::record::PieceNumber;
use std::cmp::Ordering;

/// The pH of curing and souring meat. Raw meat has 5.4 to 7.0, the sourest sausage about 4.4; the margin on both
/// sides is this project's choice, no source.
const PH_SEEN: std::ops::RangeInclusive<f64> = 3.5..=7.5;
/// How much heavier a piece may look from one weighing to the next: a scale's error and a damp casing.
const MOST_GAIN: f64 = 1.01;
/// How much of the last weight is left at least: nothing dries by 40 % between two weighings.
const LEAST_LEFT: f64 = 0.60;
/// The air of any chamber, in °C: from a freezer to a drying oven.
pub const AIR_CELSIUS: std::ops::RangeInclusive<f64> = -25.0..=60.0;
/// What a sample can have, in °C: from the cold room to the oven's door.
const SAMPLE_CELSIUS: std::ops::RangeInclusive<f64> = -5.0..=60.0;
/// Longest power cut that is believed, in days.
const LONGEST_CUT_DAYS: i64 = 30;

/// Why an item is hard to believe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// A pH that lost its decimal sign: 51 for 5.1.
    PhSlipped {
        /// As typed.
        typed: Ph,
        /// What is probably meant.
        meant: Ph,
    },
    /// No pH has this value: above 14.
    PhImpossible {
        /// As typed.
        typed: Ph,
    },
    /// A pH that meat does not have: outside 3.5 to 7.5.
    PhUnlikely {
        /// As typed.
        typed: Ph,
    },
    /// Heavier than last time by more than 1 %.
    Grew {
        /// Which piece; `None`: the batch as a whole.
        piece: Option<PieceNumber>,
        /// Last time.
        last: Mass,
        /// Now.
        now: Mass,
    },
    /// Lighter than last time by more than 40 %.
    Dropped {
        /// Which piece; `None`: the batch as a whole.
        piece: Option<PieceNumber>,
        /// Last time.
        last: Mass,
        /// Now.
        now: Mass,
    },
    /// A chamber's air outside −25 to 60 °C.
    AirTemperature {
        /// As typed.
        typed: Temperature,
    },
    /// A sample outside −5 to 60 °C.
    SampleTemperature {
        /// As typed.
        typed: Temperature,
    },
    /// A relative humidity of 0 or less, or above 100 %.
    Humidity {
        /// As typed.
        typed: RelativeHumidity,
    },
    /// A meter's slope that no electrode has: outside 50 to 110 %.
    Slope {
        /// As typed.
        percent: f64,
    },
    /// A power cut of more than 30 days.
    LongPowerCut {
        /// Whole days.
        days: i64,
    },
}

impl Doubt {
    /// Whether a "yes" may store it all the same. What cannot be is not stored however often it is said.
    pub const fn may_be_confirmed(&self) -> bool {
        !matches!(
            self,
            Self::PhSlipped { .. }
                | Self::PhImpossible { .. }
                | Self::Humidity { .. }
                | Self::AirTemperature { .. }
                | Self::SampleTemperature { .. }
                | Self::Slope { .. }
        )
    }
}

/// Why an item is hard to believe, beside what was last read; `None`: it is plausible.
pub fn implausible(item: &Item, context: &Context<'_>) -> Option<Doubt> {
    match &item.what {
        What::Weighed { gross } => weight(item.whose, *gross, context),
        What::Ph { ph, sample_temperature, calibration, .. } => unlikely_ph(*ph)
            .or_else(|| sample_temperature.and_then(outside_sample))
            .or_else(|| calibration.and_then(|check| check.slope_percent).and_then(slope)),
        What::Room { temperature, humidity } | What::Setting { temperature, humidity, .. } => {
            temperature.and_then(air).or_else(|| humidity.and_then(damp))
        }
        What::Extremes { max, min, .. } => air(*max).or_else(|| min.and_then(air)),
        What::PowerOut { since, reached } => {
            let days = (context.now - *since).num_days();
            let long = (days > LONGEST_CUT_DAYS).then_some(Doubt::LongPowerCut { days });
            reached.and_then(air).or(long)
        }
        What::Hung { .. } | What::Tare { .. } | What::Observed { .. } | What::Left { .. } => None,
    }
}

fn weight(whose: Whose, now: Mass, context: &Context<'_>) -> Option<Doubt> {
    let (piece, last) = match whose {
        Whose::Piece(piece) => (Some(piece), context.last_weight(piece)?),
        _ => (None, context.batch_total?),
    };
    let beside = |factor: f64| with_tolerance(now.as_grams(), last.as_grams() * factor);
    if beside(MOST_GAIN) == Ordering::Greater {
        Some(Doubt::Grew { piece, last, now })
    } else if beside(LEAST_LEFT) == Ordering::Less {
        Some(Doubt::Dropped { piece, last, now })
    } else {
        None
    }
}

fn unlikely_ph(typed: Ph) -> Option<Doubt> {
    if PH_SEEN.contains(&typed.value()) {
        return None;
    }
    if typed.value() <= 14.0 {
        return Some(Doubt::PhUnlikely { typed });
    }
    // 51, 509: the decimal sign was lost. Dividing by 10 and 100 is exact enough to print what is meant.
    [10.0, 100.0, 1000.0]
        .into_iter()
        .map(|by| Ph::new(typed.value() / by))
        .find(|meant| PH_SEEN.contains(&meant.value()))
        .map(|meant| Doubt::PhSlipped { typed, meant })
        .or(Some(Doubt::PhImpossible { typed }))
}

fn air(typed: Temperature) -> Option<Doubt> {
    (!AIR_CELSIUS.contains(&typed.as_celsius())).then_some(Doubt::AirTemperature { typed })
}

fn outside_sample(typed: Temperature) -> Option<Doubt> {
    (!SAMPLE_CELSIUS.contains(&typed.as_celsius())).then_some(Doubt::SampleTemperature { typed })
}

fn damp(typed: RelativeHumidity) -> Option<Doubt> {
    let percent = typed.as_percent();
    (percent <= 0.0 || percent > 100.0).then_some(Doubt::Humidity { typed })
}

fn slope(percent: f64) -> Option<Doubt> {
    (!(50.0..=110.0).contains(&percent)).then_some(Doubt::Slope { percent })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::intake::read;
    use crate::quantity::{MassUnit, TemperatureScale};
    use chrono_tz::Tz;

    /// The doubt about the first item of a line, with piece #1 at 1000 g and the batch at 5000 g.
    fn doubt(line: &str) -> Option<Doubt> {
        let pieces = [(PieceNumber(1), Mass::grams(1000.0))];
        let context = Context {
            now: "2026-11-10T14:00:00Z".parse().unwrap(),
            zone: Tz::UTC,
            mass_unit: MassUnit::Gram,
            temperature_scale: TemperatureScale::Celsius,
            pieces: &pieces,
            batch_total: Some(Mass::grams(5000.0)),
        };
        let found = read(line, &context).unwrap().unwrap();
        found.items.iter().find_map(|item| implausible(item, &context))
    }

    #[test]
    fn what_can_be_is_not_doubted() {
        for line in [
            "ph 3.5",
            "ph 7.5",
            "ph 5.09 at 21C slope 98%",
            "1000 g",
            "1010 g",
            "600 g",
            "total 4.8 kg",
            "-25 C",
            "60 C",
            "1%",
            "100%",
            "set to 24C 88%",
            "max 26C min 22C",
            "power out 9h, chamber got to 24C",
            "hung 812 g",
            "tare 30 g",
        ] {
            assert_eq!(doubt(line), None, "{line}");
        }
    }

    #[test]
    fn a_lost_decimal_sign_is_put_back() {
        for (line, meant) in [("ph 51", 5.1), ("ph 509", 5.09), ("ph 48", 4.8), ("pH 5123", 5.123)] {
            match doubt(line) {
                Some(Doubt::PhSlipped { meant: found, .. }) => assert_eq!(found, Ph::new(meant), "{line}"),
                other => panic!("{line}: {other:?}"),
            }
        }
    }

    #[test]
    fn what_cannot_be_is_never_stored_and_what_is_rare_can_be_confirmed() {
        let refused = [
            "ph 51",
            "ph 99",
            "ph 5.1 at 90C",
            "ph 5.1 slope 9%",
            "900 C",
            "-30 C",
            "61C",
            "200F",
            "0%",
            "101%",
            "-5%",
            "set to 240 C",
            "max 260 C",
        ];
        for line in refused {
            let found = doubt(line).unwrap_or_else(|| panic!("{line}"));
            assert!(!found.may_be_confirmed(), "{line}: {found:?}");
        }
        for line in [
            "ph 3.4",
            "ph 7.6",
            "ph 14",
            "1010.1 g",
            "599 g",
            "total 5.1 kg",
            "total 2.9 kg",
            "power out 31 days",
        ] {
            let found = doubt(line).unwrap_or_else(|| panic!("{line}"));
            assert!(found.may_be_confirmed(), "{line}: {found:?}");
        }
    }
}
