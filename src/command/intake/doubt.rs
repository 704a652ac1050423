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
/// How much more than its meat a batch weighs at most: salt, spices, wine and casing add to it, but not this much.
/// Common practice, no source.
const MOST_OF_MEAT: f64 = 1.3;
/// How much of its meat a batch weighs at least, when it is weighed whole for the first time. Nothing is dried by
/// more than 60 %; common practice, no source.
const LEAST_OF_MEAT: f64 = 0.4;
/// How much more or less than the middle one of its batch a hung piece weighs at most. Common practice, no source.
const MOST_OF_MEDIAN: f64 = 2.0;
/// How much of the lightest piece a tare is at most: hooks and casings are light. Common practice, no source.
const MOST_TARE: f64 = 0.25;
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
    /// A first weight of a whole batch that its meat cannot have.
    NotOfMeat {
        /// Now.
        now: Mass,
        /// The raw meat.
        meat: Mass,
    },
    /// Pieces that together weigh more than 1.3 times the meat.
    HungHeavy {
        /// Together, with those that hang already.
        sum: Mass,
        /// The raw meat.
        meat: Mass,
    },
    /// A piece of less than half or more than twice the middle one.
    HungFar {
        /// Which.
        piece: PieceNumber,
        /// Now.
        now: Mass,
        /// The middle one.
        median: Mass,
    },
    /// Piece numbers with a gap.
    HungGap {
        /// The first number behind it.
        piece: PieceNumber,
        /// The number that is missing.
        missing: PieceNumber,
    },
    /// A tare of more than a quarter of the lightest piece.
    TareHeavy {
        /// As typed.
        tare: Mass,
        /// The lightest piece.
        lightest: Mass,
    },
    /// A tare that leaves nothing of the lightest piece.
    TareTooHeavy {
        /// As typed.
        tare: Mass,
        /// The lightest piece.
        lightest: Mass,
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
    /// A relative humidity as a fraction: 0.8 for 80 %.
    HumidityFraction {
        /// As typed.
        typed: RelativeHumidity,
        /// What is probably meant.
        meant: RelativeHumidity,
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
                | Self::HumidityFraction { .. }
                | Self::TareTooHeavy { .. }
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
        What::Hung { pieces, tare } => {
            let tare_of = |tare: Mass| lightest(pieces).and_then(|lightest| heavy_tare(tare, lightest));
            hung(pieces, context).or_else(|| tare.and_then(tare_of))
        }
        What::Tare { tare } => lightest(context.pieces).and_then(|lightest| heavy_tare(*tare, lightest)),
        What::Observed { .. } | What::Left { .. } => None,
    }
}

fn weight(whose: Whose, now: Mass, context: &Context<'_>) -> Option<Doubt> {
    let (piece, last) = match whose {
        Whose::Piece(piece) => (Some(piece), context.last_weight(piece)?),
        _ => match context.last_total() {
            Some(last) => (None, last),
            None => return not_of_meat(now, context.meat?),
        },
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

/// A whole batch that was never weighed is held against its meat.
fn not_of_meat(now: Mass, meat: Mass) -> Option<Doubt> {
    let beside = |factor: f64| with_tolerance(now.as_grams(), meat.as_grams() * factor);
    let is_off = beside(MOST_OF_MEAT) == Ordering::Greater || beside(LEAST_OF_MEAT) == Ordering::Less;
    is_off.then_some(Doubt::NotOfMeat { now, meat })
}

/// Weights of pieces being hung: too much for the meat, far from the others, or with a number left out.
fn hung(pieces: &[(PieceNumber, Mass)], context: &Context<'_>) -> Option<Doubt> {
    let is_new = |number: PieceNumber| pieces.iter().all(|(new, _)| *new != number);
    let kept = context.pieces.iter().filter(|(number, _)| is_new(*number));
    let all: Vec<(PieceNumber, Mass)> = kept.chain(pieces).copied().collect();
    let sum: Mass = all.iter().map(|(_, weight)| *weight).sum();
    let heavy = context
        .meat
        .filter(|meat| with_tolerance(sum.as_grams(), meat.as_grams() * MOST_OF_MEAT) == Ordering::Greater);
    if let Some(meat) = heavy {
        return Some(Doubt::HungHeavy { sum, meat });
    }
    far_from_median(pieces, &all).or_else(|| gap(pieces, &all))
}

/// A piece far from the middle one of three or more; the one that is furthest off.
fn far_from_median(pieces: &[(PieceNumber, Mass)], all: &[(PieceNumber, Mass)]) -> Option<Doubt> {
    let mut grams: Vec<f64> = all.iter().map(|(_, weight)| weight.as_grams()).collect();
    grams.sort_by(f64::total_cmp);
    let lower = grams.get(grams.len().checked_sub(1)? / 2).filter(|_| grams.len() > 2)?;
    let median = Mass::grams(lower.midpoint(*grams.get(grams.len() / 2)?));
    let off = |weight: Mass| (weight.as_grams() / median.as_grams()).ln().abs();
    let (piece, now) = *pieces.iter().max_by(|one, other| off(one.1).total_cmp(&off(other.1)))?;
    (off(now) > MOST_OF_MEDIAN.ln() + 1e-9).then_some(Doubt::HungFar { piece, now, median })
}

fn gap(pieces: &[(PieceNumber, Mass)], all: &[(PieceNumber, Mass)]) -> Option<Doubt> {
    pieces.iter().find_map(|(piece, _)| {
        let missing = PieceNumber(piece.0.checked_sub(1).filter(|before| *before > 0)?);
        let is_gap = all.iter().all(|(number, _)| *number != missing);
        is_gap.then_some(Doubt::HungGap { piece: *piece, missing })
    })
}

fn lightest(pieces: &[(PieceNumber, Mass)]) -> Option<Mass> {
    pieces.iter().map(|(_, weight)| weight.as_grams()).min_by(f64::total_cmp).map(Mass::grams)
}

fn heavy_tare(tare: Mass, lightest: Mass) -> Option<Doubt> {
    if tare >= lightest {
        return Some(Doubt::TareTooHeavy { tare, lightest });
    }
    let is_heavy = with_tolerance(tare.as_grams(), lightest.as_grams() * MOST_TARE) == Ordering::Greater;
    is_heavy.then_some(Doubt::TareHeavy { tare, lightest })
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
    if percent > 0.0 && percent <= 1.0 {
        return Some(Doubt::HumidityFraction { typed, meant: RelativeHumidity::percent(percent * 100.0) });
    }
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
            meat: Some(Mass::grams(5000.0)),
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
            "2%",
            "100%",
            "set to 24C 88%",
            "max 26C min 22C",
            "power out 9h, chamber got to 24C",
            "hung 812 g",
            "hung 812 798 805 790 820 801 g, tare 30 g each",
            "hung #2 812 g, #3 798 g",
            "hung 812 1600 820 420 g",
            "tare 30 g",
            "tare 250 g",
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
            "rh 0.8",
            "1%",
            "tare 1000 g",
            "hung 812 g, tare 900 g",
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
            "hung 812 798 81 g",
            "hung 812 798 1625 g",
            "hung 3.3 3.3 kg",
            "hung #2 3 kg, #3 2.6 kg",
            "hung #3 812 g",
            "hung #2 812 g, #4 798 g",
            "tare 251 g",
            "hung 812 g, tare 210 g",
            "power out 31 days",
        ] {
            let found = doubt(line).unwrap_or_else(|| panic!("{line}"));
            assert!(found.may_be_confirmed(), "{line}: {found:?}");
        }
    }

    #[test]
    fn a_whole_batch_is_held_against_its_pieces_or_its_meat() {
        let pieces = [(PieceNumber(1), Mass::grams(1000.0)), (PieceNumber(2), Mass::grams(1000.0))];
        let with = |pieces| Context {
            now: "2026-11-10T14:00:00Z".parse().unwrap(),
            zone: Tz::UTC,
            mass_unit: MassUnit::Gram,
            temperature_scale: TemperatureScale::Celsius,
            pieces,
            batch_total: None,
            meat: Some(Mass::grams(2000.0)),
        };
        let doubt = |line: &str, context: &Context<'_>| {
            let found = read(line, context).unwrap().unwrap();
            found.items.iter().find_map(|item| implausible(item, context))
        };
        for (line, of_pieces, of_meat) in [
            ("total 1.9 kg", false, false),
            ("total 1.1 kg", true, false),
            ("total 2.1 kg", true, false),
            ("total 2.7 kg", true, true),
            ("total 700 g", true, true),
        ] {
            assert_eq!(doubt(line, &with(&pieces)).is_some(), of_pieces, "{line}");
            let alone = doubt(line, &with(&[]));
            assert_eq!(matches!(alone, Some(Doubt::NotOfMeat { .. })), of_meat, "{line}: {alone:?}");
        }
    }
}
