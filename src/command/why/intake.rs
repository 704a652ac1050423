//! Why a line could not be taken as readings.

use super::Why;
use crate::command::intake::IntakeError;
use crate::reply::say;

impl Why for IntakeError {
    fn why(&self) -> String {
        match self {
            Self::Quantity(error) => error.why(),
            Self::Time(error) => error.why(),
            Self::SaidTwice { what } => say("why.intake.said_twice", &[("what", &thing(what))]),
            Self::CountMismatch { weights, pieces } => mismatch(*weights, *pieces),
            Self::HungCount { announced, weights } => hung(*announced, *weights),
            Self::SignApart { number } => say("why.intake.sign_apart", &[("number", number)]),
            Self::LesserUnitMissing { text, one } => {
                say("why.intake.lesser_unit", &[("text", text), ("one", one)])
            }
            Self::NoSuchPiece { piece } => say("why.intake.no_such_piece", &[("piece", &piece.to_string())]),
            Self::FateMissing { piece } => say("why.intake.fate_missing", &[("piece", &piece.to_string())]),
            Self::PhOfOther { text } => say("why.intake.ph_of_other", &[("text", text)]),
            Self::WhichPiece { text } => say("why.intake.which_piece", &[("text", text)]),
            Self::SinceAfterReading { text } => say("why.intake.since_after", &[("text", text)]),
            Self::CourseUnreadable { text } => say("why.intake.course_unreadable", &[("text", text)]),
            Self::CourseWithoutTemperature { text } => {
                say("why.intake.course_no_temperature", &[("text", text)])
            }
            Self::MeatWithoutWeight { text } => say("why.intake.meat_no_weight", &[("text", text)]),
            Self::MeatUnreadable { text } => say("why.intake.meat_unreadable", &[("text", text)]),
            Self::TooLong => say("why.intake.too_long", &[]),
            Self::HiddenCharacters => say("why.intake.hidden_characters", &[]),
            Self::SampleOfPiece => say("why.intake.sample_of_piece", &[]),
            Self::HumidityBand => say("why.intake.humidity_band", &[]),
            Self::CheckWithoutPh => say("why.intake.check_without_ph", &[]),
            Self::CalibratedAfterReading => say("why.intake.calibrated_after", &[]),
            Self::MaxMissing => say("why.intake.max_missing", &[]),
            Self::MinAboveMax => say("why.intake.min_above_max", &[]),
            Self::PowerHowLong => say("why.intake.power_how_long", &[]),
            Self::TareOfOnePiece => say("why.intake.tare_of_one", &[]),
            Self::TwoBatches => say("why.intake.two_batches", &[]),
            Self::TwoChambers => say("why.intake.two_chambers", &[]),
        }
    }
}

/// "weight of #2", "pH of the sample", "time".
fn thing(english: &str) -> String {
    let (what, of) = english.split_once(" of ").unwrap_or((english, ""));
    let key = format!("why.twice.what_{}", what.to_lowercase().replace(' ', "_").replace('\'', ""));
    let what = say(&key, &[]);
    match of {
        "" => what,
        "the sample" => say("why.twice.of_sample", &[("what", &what)]),
        piece => say("why.twice.of_piece", &[("what", &what), ("piece", piece)]),
    }
}

fn mismatch(weights: usize, pieces: usize) -> String {
    let key = match (weights, pieces) {
        (1, 0) => "why.intake.one_for_none",
        (1, _) => "why.intake.one_for_several",
        (_, 0) => "why.intake.several_for_none",
        (_, 1) => "why.intake.several_for_one",
        _ => "why.intake.several_for_several",
    };
    say(key, &[("weights", &weights.to_string()), ("pieces", &pieces.to_string())])
}

fn hung(announced: usize, weights: usize) -> String {
    let key = match (announced, weights) {
        (1, _) => "why.intake.hung_one",
        (_, 1) => "why.intake.hung_weighed_one",
        _ => "why.intake.hung_several",
    };
    say(key, &[("announced", &announced.to_string()), ("weights", &weights.to_string())])
}
