//! What goes wrong: in the member's line, or in us.

use super::intake::IntakeError;
use crate::quantity::QuantityError;
use crate::store::StoreError;
use thiserror::Error;

/// What is wrong with a line, as a stable word for scripts. Words never change their meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Code {
    /// The cure's label percentages are needed; a colour or a number is not enough.
    LabelNeeded,
    /// What was named contains no nitrite at all.
    NotACure,
    /// A nitrate was named where nitrite is asked for.
    NitrateNotNitrite,
    /// A spoon is not a weight.
    Spoon,
    /// A percentage without its sign.
    PercentSignNeeded,
    /// A unit that is missing or not on the list.
    UnitUnknown,
    /// Two readings of one number.
    NumberAmbiguous,
    /// A value that cannot be: not a number, or outside what the quantity can be.
    OutOfRange,
    /// A needed option is not there.
    MissingOption,
    /// An option that this command does not have, or the same one twice.
    UnknownOption,
    /// A word that is not among an option's choices.
    UnknownChoice,
    /// Not a command, and not a reading.
    UnknownCommand,
    /// No batch of that number or name.
    NoSuchBatch,
    /// No piece, chamber, entry or reminder of that number or name.
    NoSuchThing,
    /// It belongs to somebody else.
    NotYours,
    /// A time that cannot be read, or lies on the wrong side of now.
    TimeUnclear,
    /// It does not fit what the record says.
    DoesNotFit,
    /// A refusal for safety's sake.
    Refused,
    /// More at once than one member or one group may say.
    TooMuch,
    /// The database could not keep it.
    NotSaved,
}

impl Code {
    /// Every code.
    pub const ALL: [Self; 20] = [
        Self::LabelNeeded,
        Self::NotACure,
        Self::NitrateNotNitrite,
        Self::Spoon,
        Self::PercentSignNeeded,
        Self::UnitUnknown,
        Self::NumberAmbiguous,
        Self::OutOfRange,
        Self::MissingOption,
        Self::UnknownOption,
        Self::UnknownChoice,
        Self::UnknownCommand,
        Self::NoSuchBatch,
        Self::NoSuchThing,
        Self::NotYours,
        Self::TimeUnclear,
        Self::DoesNotFit,
        Self::Refused,
        Self::TooMuch,
        Self::NotSaved,
    ];

    /// The word in the door for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Self::LabelNeeded => "label_needed",
            Self::NotACure => "not_a_cure",
            Self::NitrateNotNitrite => "nitrate_not_nitrite",
            Self::Spoon => "spoon",
            Self::PercentSignNeeded => "percent_sign_needed",
            Self::UnitUnknown => "unit_unknown",
            Self::NumberAmbiguous => "number_ambiguous",
            Self::OutOfRange => "out_of_range",
            Self::MissingOption => "missing_option",
            Self::UnknownOption => "unknown_option",
            Self::UnknownChoice => "unknown_choice",
            Self::UnknownCommand => "unknown_command",
            Self::NoSuchBatch => "no_such_batch",
            Self::NoSuchThing => "no_such_thing",
            Self::NotYours => "not_yours",
            Self::TimeUnclear => "time_unclear",
            Self::DoesNotFit => "does_not_fit",
            Self::Refused => "refused",
            Self::TooMuch => "too_much",
            Self::NotSaved => "not_saved",
        }
    }
}

/// What the member can mend: one sentence and a line that would work.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{sentence}")]
pub struct UserError {
    /// Stable word.
    pub code: Code,
    /// One sentence.
    pub sentence: String,
    /// A corrected example.
    pub example: String,
}

impl UserError {
    /// An error with its sentence and a corrected example.
    pub fn new(code: Code, sentence: String, example: impl Into<String>) -> Self {
        Self { code, sentence, example: example.into() }
    }
}

/// Why a request was not carried out.
#[derive(Debug, Error)]
pub enum CommandError {
    /// The member can mend it.
    #[error(transparent)]
    User(#[from] UserError),
    /// The store failed; the cause goes to the log once, the member gets one sentence.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Something that should not be: logged with its cause, the member gets one sentence.
    #[error("{0}")]
    Internal(String),
}

/// The code for each way a text can fail to be a quantity.
pub const fn code_of(error: &QuantityError) -> Code {
    match error {
        QuantityError::Empty => Code::MissingOption,
        QuantityError::UnitMissing { .. }
        | QuantityError::UnitUnknown { .. }
        | QuantityError::GallonAmbiguous { .. }
        | QuantityError::PartsUnclear { .. } => Code::UnitUnknown,
        QuantityError::PercentSignNeeded { .. } => Code::PercentSignNeeded,
        QuantityError::NumberAmbiguous { .. } => Code::NumberAmbiguous,
        QuantityError::NotANumber { .. }
        | QuantityError::TooLong { .. }
        | QuantityError::OutOfRange { .. } => Code::OutOfRange,
    }
}

/// The code for each way a line can fail to be a reading.
pub fn code_of_intake(error: &IntakeError) -> Code {
    match error {
        IntakeError::Quantity(error) => code_of(error),
        IntakeError::Time(_)
        | IntakeError::SinceAfterReading { .. }
        | IntakeError::CalibratedAfterReading => Code::TimeUnclear,
        IntakeError::CourseWithoutTemperature { .. } => Code::UnitUnknown,
        IntakeError::NoSuchPiece { .. } => Code::NoSuchThing,
        IntakeError::TooLong
        | IntakeError::HiddenCharacters
        | IntakeError::MinAboveMax
        | IntakeError::CourseUnreadable { .. }
        | IntakeError::MeatUnreadable { .. } => Code::OutOfRange,
        IntakeError::FateMissing { .. }
        | IntakeError::CheckWithoutPh
        | IntakeError::MaxMissing
        | IntakeError::PowerHowLong
        | IntakeError::MeatWithoutWeight { .. } => Code::MissingOption,
        _ => Code::DoesNotFit,
    }
}
