//! Why a line could not be taken as readings.

use crate::command::time::TimeError;
use crate::quantity::QuantityError;
use crate::record::PieceNumber;
use thiserror::Error;

/// Why a line could not be taken as readings. Nothing of such a line is kept.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum IntakeError {
    /// More than 2,000 characters, or more parts than anything has.
    #[error("that is too long to read; I take up to 2,000 characters")]
    TooLong,
    /// Control characters, or marks that turn text around.
    #[error("that line has characters that cannot be shown; please type it again")]
    HiddenCharacters,
    /// A number, unit or range: what is wrong with one quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A time.
    #[error(transparent)]
    Time(#[from] TimeError),
    /// Two values for one thing in one line.
    #[error("that line says the {what} twice; send one line for each")]
    SaidTwice {
        /// "pH", "weight of #2", "time", …
        what: String,
    },
    /// Weights in piece order, but not as many as pieces hang.
    #[error("I count {weights} {} for {} that {}", plural("weight", *weights), pieces_in_words(*pieces), if *pieces == 1 { "hangs" } else { "hang" })]
    CountMismatch {
        /// Weights in the line.
        weights: usize,
        /// Pieces that hang.
        pieces: usize,
    },
    /// "6 pieces:" and another number of weights behind it.
    #[error("you say {announced} {}, and I count {weights} {}", plural("piece", *announced), plural("weight", *weights))]
    HungCount {
        /// Pieces that were announced.
        announced: usize,
        /// Weights in the line.
        weights: usize,
    },
    /// A pH that is not of the meat.
    #[error("\"{text}\" looks like the pH of something else, and I keep that of the meat alone")]
    PhOfOther {
        /// What was typed.
        text: String,
    },
    /// A packet's pH with a piece's number.
    #[error("a packet lies beside the whole batch, and \"#\" says a piece; send the pH of one of them")]
    SampleOfPiece,
    /// A drift in percent: only that of the temperature is kept.
    #[error("I keep how far the temperature may drift, and no drift of the humidity")]
    HumidityBand,
    /// A minus that stands apart from its number.
    #[error("\"- {number}\" may be -{number} or {number}; write one of them")]
    SignApart {
        /// The number with its unit, as typed.
        number: String,
    },
    /// Pounds or kilograms with a bare number behind them.
    #[error("\"{text}\" may be {one}, or two weights; write every unit")]
    LesserUnitMissing {
        /// What was typed.
        text: String,
        /// As one weight.
        one: String,
    },
    /// Something that speaks of one piece, and several hang.
    #[error("several pieces hang, so \"{text}\" needs the number of its piece")]
    WhichPiece {
        /// What was typed.
        text: String,
    },
    /// A piece that does not hang.
    #[error("there is no {piece} hanging in this batch")]
    NoSuchPiece {
        /// Which.
        piece: PieceNumber,
    },
    /// A piece is out, and how it left was not said.
    #[error("it was not said how {piece} left: eaten, packed or discarded")]
    FateMissing {
        /// Which.
        piece: PieceNumber,
    },
    /// A calibration, slope, offset or buffer check without the pH it belongs to.
    #[error("a meter's check belongs to a reading; send it with the pH")]
    CheckWithoutPh,
    /// A calibration after the reading it should vouch for.
    #[error("that calibration is later than the pH reading, so it says nothing about it")]
    CalibratedAfterReading,
    /// The coldest without the warmest.
    #[error("the highest temperature is missing; it is what counts")]
    MaxMissing,
    /// The coldest is warmer than the warmest.
    #[error("that minimum is above the maximum")]
    MinAboveMax,
    /// The beginning of something lies after its end.
    #[error("\"{text}\" is later than the reading it belongs to")]
    SinceAfterReading {
        /// What was typed.
        text: String,
    },
    /// A power cut without its length.
    #[error("it was not said how long the power was out")]
    PowerHowLong,
    /// A tare for one piece; the record has one tare for every piece.
    #[error("the tare is one weight for every piece")]
    TareOfOnePiece,
    /// A step of a course that is not a length of time at a temperature.
    #[error("I cannot read \"{text}\" as hours at a temperature")]
    CourseUnreadable {
        /// From where it cannot be read.
        text: String,
    },
    /// A step of a course without its temperature.
    #[error("\"{text}\" has no temperature")]
    CourseWithoutTemperature {
        /// The step.
        text: String,
    },
    /// A meat without its weight.
    #[error("\"{text}\" has no weight, and every meat needs one")]
    MeatWithoutWeight {
        /// The meat.
        text: String,
    },
    /// A digit that belongs to no weight.
    #[error("I cannot read \"{text}\" as a meat and its weight")]
    MeatUnreadable {
        /// What was typed.
        text: String,
    },
    /// Two batches in one line.
    #[error("that line names two batches; send one line for each")]
    TwoBatches,
    /// Two chambers in one line.
    #[error("that line names two chambers; send one line for each")]
    TwoChambers,
}

impl IntakeError {
    /// A line of the kind that is read.
    pub fn example(&self) -> String {
        let fixed = match self {
            Self::Quantity(error) => {
                return error.example().unwrap_or_else(|| "812 g".to_owned());
            }
            Self::Time(_) => "812 g yesterday 8pm",
            Self::NoSuchPiece { piece } => return format!("hung {piece} 812 g"),
            Self::FateMissing { piece } => return format!("{piece} out, packed"),
            Self::PhOfOther { .. } => "pH 5.1 at 21 C",
            Self::SampleOfPiece => "packet pH 5.1 at 21 C",
            Self::HumidityBand => "chamber set to 24 C 88%",
            Self::SignApart { number } => return format!("-{number}"),
            Self::LesserUnitMissing { one, .. } => return one.clone(),
            Self::HungCount { .. } | Self::CountMismatch { pieces: 0, .. } => "hung 812 798 805 g",
            Self::CountMismatch { .. } | Self::WhichPiece { .. } => "#2 640 g, #3 655 g",
            Self::TooLong => "pH 5.1, 812 g, 13 C 80 %",
            Self::HiddenCharacters => "812 g",
            Self::SaidTwice { .. } => "pH 5.1",
            Self::CheckWithoutPh => "pH 5.1 at 21 C, calibrated 3 h ago, slope 98 %",
            Self::CalibratedAfterReading => "pH 5.1 yesterday 8pm, calibrated 3 h before",
            Self::MaxMissing | Self::MinAboveMax => "max 26 C min 22 C since yesterday",
            Self::SinceAfterReading { .. } => "max 26 C min 22 C since yesterday 8pm",
            Self::PowerHowLong => "power out 9 h, chamber got to 24 C",
            Self::TareOfOnePiece => "tare 30 g each",
            Self::CourseUnreadable { .. } | Self::CourseWithoutTemperature { .. } => {
                "10 h at 24 C, 15 h at 35 C"
            }
            Self::MeatWithoutWeight { .. } | Self::MeatUnreadable { .. } => "1.6 kg pork, 0.4 kg back fat",
            Self::TwoBatches => "B3 812 g",
            Self::TwoChambers => "chamber home 13 C 80 %",
        };
        fixed.to_owned()
    }
}

fn plural(noun: &str, count: usize) -> String {
    if count == 1 { noun.to_owned() } else { format!("{noun}s") }
}

fn pieces_in_words(count: usize) -> String {
    match count {
        0 => "no piece".to_owned(),
        1 => "one piece".to_owned(),
        more => format!("{more} pieces"),
    }
}
