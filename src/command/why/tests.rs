use super::{Why, values};
use crate::command::intake::IntakeError;
use crate::command::time::TimeError;
use crate::curing::air::AirError;
use crate::curing::brine::BrineError;
use crate::curing::cure::CureError;
use crate::curing::drying::TargetError;
use crate::curing::fermentation::CourseError;
use crate::curing::fermentation::schedule::ScheduleError;
use crate::curing::hygrometer::{CorrectionError, Salt};
use crate::curing::meter::{Buffer, CheckError};
use crate::curing::moisture::BalanceError;
use crate::curing::water_activity::NotEstimated;
use crate::curing::whole_muscle::SaltingError;
use crate::quantity::{QuantityError, Temperature, parse};
use crate::record::PieceNumber;
use crate::reply::{Language, in_language};
use std::fmt::Display;

/// The English is what the error says of itself, and the German is another sentence without a hole left open.
fn is_worded(error: &(impl Why + Display)) {
    assert_eq!(error.why(), error.to_string());
    let german = in_language(Language::German, || error.why());
    assert_ne!(german, error.to_string());
    assert!(!german.contains(['{', '[']), "{german}");
}

#[test]
fn quantities() {
    let texts = ["", "x g", "812", "812 stone", "1.234 kg 5", "-5 g", "10001 kg", &"7".repeat(60)];
    for text in texts {
        if let Err(error) = parse::mass(text) {
            is_worded(&error);
        }
    }
    for text in ["12", "900 C", "12 C 13", "1.234 C"] {
        if let Err(error) = parse::temperature(text) {
            is_worded(&error);
        }
    }
    is_worded(&parse::percent("6.25").expect_err("no sign"));
    is_worded(&parse::volume("1 gal").expect_err("two gallons"));
    is_worded(&parse::voltage("171 V").expect_err("too much"));
    is_worded(&parse::mass("2 lb 40 oz").expect_err("no ounces"));
    is_worded(&parse::length("1 mm 2 mm").expect_err("two lengths"));
    is_worded(&parse::duration("1 h 90 min").expect_err("no minutes"));
    is_worded(&parse::voltage("1 2 mV").expect_err("two numbers"));
    let range =
        QuantityError::OutOfRange { text: "0 g".into(), range: "more than 0 g, up to 10000 kg".into() };
    let german = in_language(Language::German, || range.why());
    assert_eq!(german, "„0 g“ liegt außerhalb: mehr als 0 g, bis 10000 kg");
    assert_eq!(values("g, kg, oz or lb"), "g, kg, oz or lb");
    assert_eq!(in_language(Language::German, || values("g, kg, oz or lb")), "g, kg, oz oder lb");
}

#[test]
fn times() {
    let text = || "3/11".to_owned();
    for error in [
        TimeError::Empty,
        TimeError::Unreadable { text: text() },
        TimeError::NoSuchTime { text: text() },
        TimeError::DayAmbiguous { text: text() },
        TimeError::InFuture { text: text() },
        TimeError::InPast { text: text() },
        TimeError::TooFar { text: text() },
        TimeError::NotAnInterval { text: text() },
    ] {
        is_worded(&error);
    }
}

#[test]
fn readings() {
    let text = || "rim 5".to_owned();
    let twice =
        ["weight of #2", "tare", "setting", "maximum", "power cut", "way out", "room temperature", "time"];
    for what in
        twice.into_iter().chain(["humidity", "hysteresis", "sample's temperature", "pH of the sample"])
    {
        is_worded(&IntakeError::SaidTwice { what: what.to_owned() });
    }
    for (weights, pieces) in [(1, 2), (2, 1), (2, 6)] {
        is_worded(&IntakeError::CountMismatch { weights, pieces });
    }
    for (announced, weights) in [(1, 2), (2, 1), (4, 3)] {
        is_worded(&IntakeError::HungCount { announced, weights });
    }
    for error in [
        IntakeError::TooLong,
        IntakeError::HiddenCharacters,
        IntakeError::PhOfOther { text: text() },
        IntakeError::SampleOfPiece,
        IntakeError::HumidityBand,
        IntakeError::SignApart { number: "4 C".to_owned() },
        IntakeError::LesserUnitMissing { text: text(), one: "1 lb 6 oz".to_owned() },
        IntakeError::WhichPiece { text: text() },
        IntakeError::NoSuchPiece { piece: PieceNumber(9) },
        IntakeError::FateMissing { piece: PieceNumber(2) },
        IntakeError::CheckWithoutPh,
        IntakeError::CalibratedAfterReading,
        IntakeError::MaxMissing,
        IntakeError::MinAboveMax,
        IntakeError::SinceAfterReading { text: text() },
        IntakeError::PowerHowLong,
        IntakeError::TareOfOnePiece,
        IntakeError::CourseUnreadable { text: text() },
        IntakeError::CourseWithoutTemperature { text: text() },
        IntakeError::MeatWithoutWeight { text: text() },
        IntakeError::MeatUnreadable { text: text() },
        IntakeError::TwoBatches,
        IntakeError::TwoChambers,
    ] {
        is_worded(&error);
    }
}

#[test]
fn cures_brines_and_targets() {
    for what in [
        "step of the scale",
        "salt",
        "target",
        "cure",
        "thickness",
        "pickle",
        "meat",
        "water",
        "pump",
        "pick-up",
    ] {
        is_worded(&CureError::NotPositive { what, example: "meat:2 kg" });
        is_worded(&CureError::OutOfRange { what, range: "0 g or more", example: "cure:2.5 g" });
    }
    for error in [
        CureError::LabelSum,
        CureError::NoNitrite,
        CureError::PickleTooSmall,
        CureError::WeightNeeded,
        CureError::OverMaximum { asked: "200".into(), most: "156".into(), row: None },
        CureError::ScaleTooCoarse { dose: "0.3".into(), step: "1".into(), ways_out: Vec::new() },
        CureError::NoCustom("cure mixed into mince is everywhere at once"),
        CureError::NoCustom("its form and its method together"),
    ] {
        is_worded(&error);
    }
    for error in [
        BrineError::Strength { percent: 30.0 },
        BrineError::Degrees { degrees: 120.0 },
        BrineError::Temperature { celsius: 60.0 },
        BrineError::BeyondDensities,
        BrineError::Volume,
        BrineError::TooMuchSalt,
    ] {
        is_worded(&error);
    }
    for error in [
        TargetError::WeightOutOfRange { grams: 0.0 },
        TargetError::TareOutOfRange { grams: 2e6 },
        TargetError::NothingBesideTare { gross_grams: 30.0, tare_grams: 30.0 },
        TargetError::LossOutOfRange { percent: 80.0 },
        TargetError::Grew { now_grams: 900.0, green_grams: 800.0 },
    ] {
        is_worded(&error);
    }
}

#[test]
fn air_balances_and_weights() {
    for error in [AirError::Temperature(80.0), AirError::Humidity(0.5), AirError::Pressure] {
        is_worded(&error);
    }
    is_worded(&BalanceError::NoMeat);
    is_worded(&BalanceError::MoreThanWater { lost: 70.0, water: 61.25 });
    is_worded(&NotEstimated::Loss(50.0));
    is_worded(&NotEstimated::TooDry);
    for error in [
        SaltingError::Weight { grams: 0.0 },
        SaltingError::TooMuchSalt { grams: 1000.0 },
        SaltingError::MoreThanWentIn { after_grams: 1910.0, most_grams: 1905.5 },
        SaltingError::NothingTakenUp { before_grams: 1000.0, after_grams: 990.0 },
    ] {
        is_worded(&error);
    }
}

#[test]
fn courses() {
    for error in
        [CourseError::Empty, CourseError::HoursOutOfRange(0.0), CourseError::TemperatureOutOfRange(90.5)]
    {
        is_worded(&error);
        is_worded(&ScheduleError::Course(error));
    }
    is_worded(&ScheduleError::OpenStep);
}

#[test]
fn instruments() {
    is_worded(&Salt::parse("flour").expect_err("no salt"));
    let salt = Salt::parse("NaCl").expect("a salt");
    is_worded(&salt.at(Temperature::celsius(60.0)).expect_err("too warm"));
    let (drier, damper) = ("NaCl".to_owned(), "KCl".to_owned());
    for error in [
        CorrectionError::JarCount,
        CorrectionError::TooClose,
        CorrectionError::Swapped { drier, damper },
        CorrectionError::Impossible { salt: "NaCl".into(), reference: "75.5".into(), shown: "50".into() },
    ] {
        is_worded(&error);
    }
    for text in ["x", "7.00 mine", "5.00 technical", "99"] {
        is_worded(&Buffer::parse(text, None).expect_err("no buffer"));
    }
    let buffer = Buffer::parse("7.00 technical", None).expect("a buffer");
    is_worded(&buffer.at(Temperature::celsius(60.0)).expect_err("too warm"));
    for error in [
        CheckError::BufferCount,
        CheckError::Mixed,
        CheckError::OneInMillivolts,
        CheckError::TooClose { lower: 6.86, upper: 7.0 },
        CheckError::Swapped { lower: 4.0, upper: 7.0 },
    ] {
        is_worded(&error);
    }
}
