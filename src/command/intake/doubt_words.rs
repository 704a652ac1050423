//! A doubt in words: a sentence without its full stop, so that several can be joined.

use crate::command::intake::doubt::Doubt;
use crate::quantity::format::{both_scales, mass, ph, ph_exact, relative_humidity, trimmed};
use crate::quantity::{Mass, MassUnit};
use crate::record::PieceNumber;
use std::fmt;

impl Doubt {
    /// The doubt in words, weights in the member's unit.
    pub fn sentence(&self, unit: MassUnit) -> String {
        match *self {
            Self::PhSlipped { typed, meant } => {
                format!("no pH is {}, perhaps {} is meant", ph_exact(typed), ph_exact(meant))
            }
            Self::PhImpossible { typed } => format!("no pH is {}; a pH is from 0 to 14", ph_exact(typed)),
            Self::PhUnlikely { typed } => format!("pH {} is not what meat has: 3.5 to 7.5", ph(typed)),
            Self::Grew { piece, last, now } => {
                format!("{}, which is heavier", change(piece, last, now, unit))
            }
            Self::Dropped { piece, last, now } => {
                format!("{}, more than 40 % less at once", change(piece, last, now, unit))
            }
            Self::AirTemperature { typed } => {
                format!("{} is no chamber's air: −25 to 60 °C (−13 to 140 °F)", both_scales(typed))
            }
            Self::SampleTemperature { typed } => {
                format!("{} is no sample's temperature: −5 to 60 °C (23 to 140 °F)", both_scales(typed))
            }
            Self::Humidity { typed } => {
                format!("{} is no humidity of air: above 0 to 100 %", relative_humidity(typed))
            }
            Self::Slope { percent } => {
                format!("{} % is no electrode's slope: 50 to 110 %", trimmed(percent, 2))
            }
            Self::LongPowerCut { days } => format!("a power cut of {days} days is very long"),
        }
    }
}

/// "#2 was 640 g and is 705 g now".
fn change(piece: Option<PieceNumber>, last: Mass, now: Mass, unit: MassUnit) -> String {
    let what = piece.map_or_else(|| "the batch".to_owned(), |piece| piece.to_string());
    format!("{what} was {} and is {} now", mass(last, unit), mass(now, unit))
}

/// The sentence with weights in grams.
impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence(MassUnit::Gram))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Ph, RelativeHumidity, Temperature};

    #[test]
    fn doubts_ask_in_words() {
        let ph = |value| Ph::new(value);
        let (last, now) = (Mass::grams(640.0), Mass::grams(705.0));
        for (doubt, sentence) in [
            (Doubt::PhSlipped { typed: ph(51.0), meant: ph(5.1) }, "no pH is 51, perhaps 5.1 is meant"),
            (Doubt::PhImpossible { typed: ph(99.0) }, "no pH is 99; a pH is from 0 to 14"),
            (Doubt::PhUnlikely { typed: ph(3.2) }, "pH 3.2 is not what meat has: 3.5 to 7.5"),
            (
                Doubt::Grew { piece: Some(PieceNumber(2)), last, now },
                "#2 was 640 g and is 705 g now, which is heavier",
            ),
            (
                Doubt::Dropped { piece: None, last: now, now: Mass::grams(300.0) },
                "the batch was 705 g and is 300 g now, more than 40 % less at once",
            ),
            (
                Doubt::AirTemperature { typed: Temperature::celsius(900.0) },
                "900 °C (1652 °F) is no chamber's air: −25 to 60 °C (−13 to 140 °F)",
            ),
            (
                Doubt::Humidity { typed: RelativeHumidity::percent(101.0) },
                "101 % is no humidity of air: above 0 to 100 %",
            ),
        ] {
            assert_eq!(doubt.to_string(), sentence);
        }
        let pounds = Doubt::Grew {
            piece: Some(PieceNumber(2)),
            last: Mass::of(1.0, MassUnit::Pound),
            now: Mass::of(2.0, MassUnit::Pound),
        };
        assert_eq!(pounds.sentence(MassUnit::Pound), "#2 was 1 lb and is 2 lb now, which is heavier");
    }
}
