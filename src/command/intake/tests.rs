//! The whole grammar, line by line.

use super::*;
use crate::quantity::QuantityError;
use crate::quantity::{Mass, MassUnit, Ph, RelativeHumidity, Temperature, TemperatureScale};
use crate::record::event::ObservationKind;
use crate::record::{Calibration, Instrument, PieceFate, PieceNumber};
use chrono::{DateTime, Utc};
use chrono_tz::Tz;

/// Tuesday 10 November 2026, 15:00 in Berlin.
const NOW: &str = "2026-11-10T14:00:00Z";

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn pieces(weights: &[f64]) -> Vec<(PieceNumber, Mass)> {
    (1..)
        .zip(weights)
        .map(|(number, weight)| (PieceNumber(number), Mass::grams(*weight)))
        .collect()
}

/// Six sticks that hang.
fn six() -> Vec<(PieceNumber, Mass)> {
    pieces(&[650.0, 665.0, 655.0, 640.0, 670.0, 648.0])
}

fn with(pieces: &[(PieceNumber, Mass)]) -> Context<'_> {
    Context {
        now: at(NOW),
        zone: Tz::Europe__Berlin,
        mass_unit: MassUnit::Gram,
        temperature_scale: TemperatureScale::Celsius,
        pieces,
        batch_total: None,
    }
}

fn understood(line: &str, pieces: &[(PieceNumber, Mass)]) -> Understood {
    match read(line, &with(pieces)) {
        Ok(Some(found)) => found,
        other => panic!("{line:?} gave {other:?}"),
    }
}

/// Reads a line of which nothing may be left over.
fn said(line: &str, pieces: &[(PieceNumber, Mass)]) -> Vec<(Whose, What)> {
    let found = understood(line, pieces);
    assert_eq!(found.leftover, Vec::<String>::new(), "{line:?}");
    assert!(!found.is_doubtful, "{line:?}");
    found
        .items
        .into_iter()
        .map(|item| (item.whose, item.what))
        .collect()
}

fn error(line: &str, pieces: &[(PieceNumber, Mass)]) -> IntakeError {
    match read(line, &with(pieces)) {
        Err(error) => error,
        other => panic!("{line:?} gave {other:?}"),
    }
}

fn weighed(whose: Whose, grams: f64) -> (Whose, What) {
    (
        whose,
        What::Weighed {
            gross: Mass::grams(grams),
        },
    )
}

fn piece(number: u32, grams: f64) -> (Whose, What) {
    weighed(Whose::Piece(PieceNumber(number)), grams)
}

fn ph(value: f64) -> (Whose, What) {
    ph_of(Whose::Batch, value, Instrument::Meter, None, None)
}

fn ph_of(
    whose: Whose,
    value: f64,
    instrument: Instrument,
    sample_temperature: Option<Temperature>,
    calibration: Option<Calibration>,
) -> (Whose, What) {
    (
        whose,
        What::Ph {
            ph: Ph::new(value),
            instrument,
            sample_temperature,
            calibration,
        },
    )
}

fn room(celsius: Option<f64>, humidity: Option<f64>) -> (Whose, What) {
    (
        Whose::Chamber,
        What::Room {
            temperature: celsius.map(Temperature::celsius),
            humidity: humidity.map(RelativeHumidity::percent),
        },
    )
}

fn set(celsius: Option<f64>, humidity: Option<f64>, hysteresis_celsius: Option<f64>) -> (Whose, What) {
    (
        Whose::Chamber,
        What::Setting {
            temperature: celsius.map(Temperature::celsius),
            humidity: humidity.map(RelativeHumidity::percent),
            hysteresis_celsius,
        },
    )
}

fn seen(whose: Whose, kind: ObservationKind, text: &str) -> (Whose, What) {
    (
        whose,
        What::Observed {
            kind,
            text: text.to_owned(),
        },
    )
}

fn left(number: u32, fate: PieceFate, reason: &str) -> (Whose, What) {
    (
        Whose::Piece(PieceNumber(number)),
        What::Left {
            fate,
            reason: reason.to_owned(),
        },
    )
}

#[test]
fn ph_in_every_spelling() {
    let one = pieces(&[820.0]);
    for line in [
        "pH 5.09",
        "pH 5,09",
        "ph5.09",
        "PH: 5,09",
        "ph=5.09",
        "ph is 5.09",
        "ph 5.09.",
        "5.09 pH",
        "ph now 5.09",
        "pH of the 5.09",
        "  pH   5.09  ",
        "ph\u{a0}5.09",
        "ph 5.09!",
        "the ph is 5.09",
        "pH (5.09)",
    ] {
        assert_eq!(said(line, &one), [ph(5.09)], "{line}");
    }
    let at_21 = Some(Temperature::celsius(21.0));
    for line in [
        "pH 5,1 at 21C",
        "ph 5.1 at 21 °C",
        "ph 5.1 @21c",
        "ph 5.1 at 21 deg",
        "PH5.1 AT 21C",
    ] {
        assert_eq!(
            said(line, &one),
            [ph_of(Whose::Batch, 5.1, Instrument::Meter, at_21, None)],
            "{line}"
        );
    }
    for line in [
        "ph 5.2 strip",
        "ph strip 5.2",
        "strip ph 5.2",
        "ph 5.2 (strip)",
        "pH 5,2 by strip",
        "ph 5.2 paper",
    ] {
        assert_eq!(
            said(line, &one),
            [ph_of(Whose::Batch, 5.2, Instrument::Strip, None, None)],
            "{line}"
        );
    }
    for line in [
        "ph sample 5.1",
        "packet ph 5.1",
        "ph of the packet 5.1",
        "ph 5.1 in the packet",
        "sample pH 5,1",
    ] {
        assert_eq!(
            said(line, &one),
            [ph_of(Whose::Sample, 5.1, Instrument::Meter, None, None)],
            "{line}"
        );
    }
    let on_three = Whose::Piece(PieceNumber(3));
    for line in ["ph 5.2 on #3", "#3 ph 5.2", "#3: pH 5,2"] {
        assert_eq!(
            said(line, &six()),
            [ph_of(on_three, 5.2, Instrument::Meter, None, None)],
            "{line}"
        );
    }
    // A temperature without "at" is the room's.
    assert_eq!(said("ph 5.1 21C", &one), [ph(5.1), room(Some(21.0), None)]);
    // Kept as typed; whether it can be is for the doubts.
    assert_eq!(said("ph 51", &one), [ph(51.0)]);
    assert_eq!(said("ph 5.123", &one), [ph(5.123)]);
}

#[test]
fn a_meters_check_goes_with_its_ph() {
    let checked = |age, slope_percent, offset_mv, one_buffer_passed| {
        Some(Calibration {
            age: Option::map(age, crate::quantity::Hours::new),
            slope_percent,
            offset_mv,
            one_buffer_passed,
        })
    };
    let cases = [
        (
            "pH 5.09 calibrated 3 h ago slope 98%",
            checked(Some(3.0), Some(98.0), None, false),
        ),
        (
            "pH 5.09, calibrated 3 h ago, slope 98 %, offset -12 mV",
            checked(Some(3.0), Some(98.0), Some(-12.0), false),
        ),
        // Since midnight: the age is never too low.
        ("ph 5.09 calibrated today", checked(Some(15.0), None, None, false)),
        (
            "ph 5.09 calibrated yesterday",
            checked(Some(39.0), None, None, false),
        ),
        ("ph 5.09 buffer ok", checked(None, None, None, true)),
        (
            "buffer check ok 2 h ago, ph 5.09",
            checked(Some(2.0), None, None, true),
        ),
        ("ph 5.09 calibrated", checked(None, None, None, false)),
        (
            "ph 5.09 calibrated 4/7 3 h ago",
            checked(Some(3.0), None, None, false),
        ),
        (
            "ph 5.09 calibrated at pH 4 and 7 3 h ago",
            checked(Some(3.0), None, None, false),
        ),
        (
            "ph 5.09, calibrated with two buffers 3 h ago",
            checked(Some(3.0), None, None, false),
        ),
        ("ph 5.09 offset +12mV", checked(None, None, Some(12.0), false)),
        (
            "ph 5.09 calibrated 30 min before",
            checked(Some(0.5), None, None, false),
        ),
    ];
    for (line, calibration) in cases {
        assert_eq!(
            said(line, &[]),
            [ph_of(Whose::Batch, 5.09, Instrument::Meter, None, calibration)],
            "{line}"
        );
    }
    assert_eq!(
        said("pH 5.09 at 21C calibrated 3 h ago slope 98%", &[]),
        [ph_of(
            Whose::Batch,
            5.09,
            Instrument::Meter,
            Some(Temperature::celsius(21.0)),
            checked(Some(3.0), Some(98.0), None, false)
        )]
    );
    assert_eq!(error("slope 98%", &[]), IntakeError::CheckWithoutPh);
    assert_eq!(
        error("ph 5.1 yesterday 8pm, calibrated 3 h ago", &[]),
        IntakeError::CalibratedAfterReading
    );
}

#[test]
fn weights_of_one_piece_of_each_and_of_all() {
    let one = pieces(&[820.0]);
    for line in [
        "812 g",
        "812g",
        "812 G",
        "812 gr",
        "812 grams",
        "0.812 kg",
        "0,812kg",
        "weighed 812 g",
        "weighs 812g now",
        "weight: 812",
        "weighed 812",
        "#1 812 g",
        "#1 812",
        "#1: 812g",
        "812g #1",
        "# 1 812 g",
        "812 g.",
        "now 812 g!",
    ] {
        let found = understood(line, &one);
        assert_eq!(found.items.len(), 1, "{line}");
        assert_eq!(
            (found.items[0].whose, found.items[0].what.clone()),
            piece(1, 812.0),
            "{line}"
        );
        assert_eq!(found.leftover, Vec::<String>::new(), "{line}");
    }
    assert_eq!(said("2 lb 3 oz", &pieces(&[1000.0])), [piece(1, 992.233_309_375)]);
    assert_eq!(said("2lb3oz", &pieces(&[1000.0])), [piece(1, 992.233_309_375)]);
    assert_eq!(said("1 1/2 lb", &pieces(&[700.0])), [piece(1, 1.5 * 453.592_37)]);
    assert_eq!(said("1½ lb", &pieces(&[700.0])), [piece(1, 1.5 * 453.592_37)]);
    assert_eq!(
        said("#2 640g, #3 655g", &six()),
        [piece(2, 640.0), piece(3, 655.0)]
    );
    assert_eq!(
        said("640g #2 655 g #3", &six()),
        [piece(2, 640.0), piece(3, 655.0)]
    );
    assert_eq!(said("#2 640 #3 655", &six()), [piece(2, 640.0), piece(3, 655.0)]);
    assert_eq!(
        said("#2 and #3 640 and 655 g", &six()),
        [piece(2, 640.0), piece(3, 655.0)]
    );
    let each = [640.0, 655.0, 648.0, 630.0, 660.0, 641.0];
    let in_order: Vec<_> = (1..)
        .zip(each)
        .map(|(number, grams)| piece(number, grams))
        .collect();
    for line in [
        "640 655 648 630 660 641",
        "640, 655, 648, 630, 660, 641",
        "640 655 648 630 660 641 g",
        "640g 655g 648g 630g 660g 641g",
        "640 g, 655 g, 648 g, 630 g, 660 g and 641 g",
        "weighed 640 655 648 630 660 641",
        "0.640 0.655 0.648 0.630 0.660 0.641 kg",
    ] {
        assert_eq!(said(line, &six()), in_order, "{line}");
    }
    assert_eq!(said("3.8 kg", &six()), [weighed(Whose::Batch, 3800.0)]);
    assert_eq!(
        said("batch weighs 3.8 kg", &six()),
        [weighed(Whose::Batch, 3800.0)]
    );
    assert_eq!(said("total 1 kg", &six()), [weighed(Whose::Batch, 1000.0)]);
    assert_eq!(said("812 g", &[]), [weighed(Whose::Batch, 812.0)]);
}

#[test]
fn the_last_weight_decides_what_three_digits_mean() {
    assert_eq!(said("1.234 g", &pieces(&[1300.0])), [piece(1, 1234.0)]);
    assert_eq!(said("1,234 g", &pieces(&[1300.0])), [piece(1, 1234.0)]);
    assert_eq!(said("1.234 g", &pieces(&[1.3])), [piece(1, 1.234)]);
    assert_eq!(said("#2 1.234", &pieces(&[900.0, 1300.0])), [piece(2, 1234.0)]);
    assert_eq!(
        said("1.234 1.112 g", &pieces(&[1300.0, 1200.0])),
        [piece(1, 1234.0), piece(2, 1112.0)]
    );
    assert_eq!(said("1.012 kg", &pieces(&[1100.0])), [piece(1, 1012.0)]);
    for last in [&[][..], &[5000.0], &[100.0]] {
        let last = pieces(last);
        match error("1.234 g", &last) {
            IntakeError::Quantity(QuantityError::NumberAmbiguous { low, high, .. }) => {
                assert_eq!((low.as_str(), high.as_str()), ("1.2340 g", "1234 g"));
            }
            other => panic!("{other:?}"),
        }
    }
    assert!(matches!(
        error("hung 1.234 g", &[]),
        IntakeError::Quantity(QuantityError::NumberAmbiguous { .. })
    ));
}

#[test]
fn hanging_and_tare() {
    let hung = |weights: &[f64], tare: Option<f64>| {
        (
            Whose::Batch,
            What::Hung {
                pieces: pieces(weights),
                tare: tare.map(Mass::grams),
            },
        )
    };
    let all = [812.0, 798.0, 805.0, 790.0, 820.0, 801.0];
    for line in [
        "hung 812 798 805 790 820 801 g",
        "hung 812, 798, 805, 790, 820, 801 g",
        "hung 6 pieces: 812 798 805 790 820 801 g",
        "hung: 812 798 805 790 820 801",
        "hung #1 812 g, #2 798 g, #3 805 g, #4 790 g, #5 820 g, #6 801 g",
    ] {
        assert_eq!(said(line, &[]), [hung(&all, None)], "{line}");
    }
    assert_eq!(said("hung 812 g", &[]), [hung(&[812.0], None)]);
    assert_eq!(
        said("hung 812 798 g, tare 30 g each", &[]),
        [hung(&[812.0, 798.0], Some(30.0))]
    );
    let tare = (
        Whose::Batch,
        What::Tare {
            tare: Mass::grams(30.0),
        },
    );
    for line in [
        "tare 30 g each",
        "tare 30g",
        "tare: 30",
        "tare is 30 g",
        "30 g tare",
    ] {
        assert_eq!(said(line, &six()), std::slice::from_ref(&tare), "{line}");
    }
    assert_eq!(error("#2 tare 30 g", &six()), IntakeError::TareOfOnePiece);
    assert_eq!(error("tare 30 31 g", &six()), IntakeError::TareOfOnePiece);
    let found = understood("hung 812 798 g yesterday 8pm", &[]);
    assert_eq!(found.at.unwrap().at, at("2026-11-09T19:00:00Z"));
}

#[test]
fn the_air_of_a_room() {
    for line in [
        "13C 80%",
        "13 C 80 %",
        "13c80%",
        "13°C, 80%",
        "13 °C / 80 % rh",
        "80% 13C",
        "13 C and 80% humidity",
        "13C rh 80",
        "room 13C 80%",
        "chamber 13C 80%",
        "temp 13 C, rh 80%",
        "humidity 80, 13 C",
        "13 deg C 80 percent",
        "13° 80%",
        "13℃ 80％",
    ] {
        assert_eq!(said(line, &[]), [room(Some(13.0), Some(80.0))], "{line}");
    }
    let fahrenheit = (
        Whose::Chamber,
        What::Room {
            temperature: Some(Temperature::fahrenheit(55.0)),
            humidity: Some(RelativeHumidity::percent(78.0)),
        },
    );
    assert_eq!(said("55F rh 78", &[]), [fahrenheit]);
    assert_eq!(said("-2 C", &[]), [room(Some(-2.0), None)]);
    assert_eq!(said("12,5C", &[]), [room(Some(12.5), None)]);
    assert_eq!(said("82%", &[]), [room(None, Some(82.0))]);
    assert_eq!(said("900 C", &[]), [room(Some(900.0), None)]);
    let found = understood("chamber cellar 13C 80%", &[]);
    assert_eq!(found.chamber.as_deref(), Some("cellar"));
    let found = understood("chamber \"Drying room\" set to 13C", &[]);
    assert_eq!(found.chamber.as_deref(), Some("Drying room"));
}

#[test]
fn settings_and_hysteresis() {
    for line in [
        "chamber set to 24 C 88%",
        "set to 24C 88%",
        "set 24 c, 88 %",
        "set point 24C rh 88",
        "fridge set to 24C 88%",
    ] {
        assert_eq!(said(line, &[]), [set(Some(24.0), Some(88.0), None)], "{line}");
    }
    for line in [
        "set to 24C ±1.5",
        "set to 24 C +/- 1.5 C",
        "set to 24 ± 1.5 C",
        "set to 24 C, hysteresis 1.5 C",
        "set to 24C +-1,5",
    ] {
        assert_eq!(said(line, &[]), [set(Some(24.0), None, Some(1.5))], "{line}");
    }
    assert_eq!(said("hysteresis 1.5 C", &[]), [set(None, None, Some(1.5))]);
    assert_eq!(
        said("set to 24C 88% ±1.5", &[]),
        [set(Some(24.0), Some(88.0), Some(1.5))]
    );
    assert_eq!(said("set to -2 C", &[]), [set(Some(-2.0), None, None)]);
    let fahrenheit = (
        Whose::Chamber,
        What::Setting {
            temperature: Some(Temperature::fahrenheit(75.0)),
            humidity: None,
            hysteresis_celsius: Some(1.0),
        },
    );
    assert_eq!(said("set to 75F ±1.8", &[]), [fahrenheit]);
    assert!(matches!(
        error("set to 24", &[]),
        IntakeError::Quantity(QuantityError::UnitMissing { .. })
    ));
    assert!(matches!(
        error("set to 24 C ±30", &[]),
        IntakeError::Quantity(QuantityError::OutOfRange { .. })
    ));
}

#[test]
fn extremes() {
    let extremes = |since: Option<&str>, max: f64, min: Option<f64>| {
        (
            Whose::Chamber,
            What::Extremes {
                since: since.map(at),
                max: Temperature::celsius(max),
                min: min.map(Temperature::celsius),
            },
        )
    };
    let since = Some("2026-11-09T14:00:00Z");
    for line in [
        "max 26C min 22C since yesterday",
        "max 26 min 22C since yesterday",
        "max. 26 C, min. 22 C, since yesterday",
        "26C max 22C min since yesterday",
        "high 26C low 22C since yesterday",
        "min 22 max 26 C since yesterday",
        "max: 26 C / min: 22 C since 24 h ago",
    ] {
        assert_eq!(said(line, &[]), [extremes(since, 26.0, Some(22.0))], "{line}");
    }
    assert_eq!(said("max 26 C", &[]), [extremes(None, 26.0, None)]);
    assert_eq!(
        said("max 26C since monday 8am", &[]),
        [extremes(Some("2026-11-09T07:00:00Z"), 26.0, None)]
    );
    assert_eq!(
        said("24 C max 26 C min 22 C", &[]),
        [room(Some(24.0), None), extremes(None, 26.0, Some(22.0))]
    );
    assert_eq!(error("min 22 C", &[]), IntakeError::MaxMissing);
    assert_eq!(error("max 22C min 26C", &[]), IntakeError::MinAboveMax);
    assert!(matches!(
        error("max 26 min 22", &[]),
        IntakeError::Quantity(QuantityError::UnitMissing { .. })
    ));
    assert!(matches!(
        error("max 26C since yesterday 8pm, yesterday 7pm", &[]),
        IntakeError::SinceAfterReading { .. }
    ));
}

#[test]
fn power_cuts() {
    let out = |since: &str, reached: Option<f64>| {
        (
            Whose::Chamber,
            What::PowerOut {
                since: at(since),
                reached: reached.map(Temperature::celsius),
            },
        )
    };
    for line in [
        "power out 9h, chamber got to 24C",
        "power was out for 9 hours, it reached 24 C",
        "no power for 9 h, max 24C",
        "power out 9 h, got up to 24 °C",
        "power cut 9h. fridge went to 24C",
    ] {
        assert_eq!(
            said(line, &[]),
            [out("2026-11-10T05:00:00Z", Some(24.0))],
            "{line}"
        );
    }
    assert_eq!(
        said("power out since 2am", &[]),
        [out("2026-11-10T01:00:00Z", None)]
    );
    assert_eq!(said("power out 1h30", &[]), [out("2026-11-10T12:30:00Z", None)]);
    assert_eq!(
        said("power out 9h, yesterday 8pm", &[]),
        [out("2026-11-09T10:00:00Z", None)]
    );
    assert_eq!(error("power out", &[]), IntakeError::PowerHowLong);
}

#[test]
fn what_is_seen_and_smelled() {
    use ObservationKind::{HardRim, Mould, Slime, Smell};
    let on = |number| Whose::Piece(PieceNumber(number));
    let cases = [
        (
            "mould: white, a few green spots on #3",
            seen(on(3), Mould, "white, a few green spots"),
        ),
        ("white mould on #3", seen(on(3), Mould, "white mould")),
        ("mold", seen(Whose::Batch, Mould, "mold")),
        (
            "mould on #1 is green and black",
            seen(on(1), Mould, "mould is green and black"),
        ),
        ("no mould", seen(Whose::Batch, Mould, "no mould")),
        ("#2: green fuzzy mould", seen(on(2), Mould, "green fuzzy mould")),
        (
            "mould: 3 green spots of 5 mm",
            seen(Whose::Batch, Mould, "3 green spots of 5 mm"),
        ),
        ("smell: sour", seen(Whose::Batch, Smell, "sour")),
        (
            "smells of ammonia",
            seen(Whose::Batch, Smell, "smells of ammonia"),
        ),
        ("slime on #2", seen(on(2), Slime, "slime")),
        ("hard rim on #1", seen(on(1), HardRim, "hard rim")),
        ("case hardening on #1", seen(on(1), HardRim, "case hardening")),
    ];
    for (line, item) in cases {
        assert_eq!(said(line, &six()), [item], "{line}");
    }
    assert_eq!(
        said("slime on #1 and #2, smell: sour", &six()),
        [
            seen(on(1), Slime, "slime"),
            seen(on(2), Slime, "slime"),
            seen(Whose::Batch, Smell, "sour")
        ]
    );
    assert_eq!(
        said("slime on #2 and smell: sour", &six()),
        [seen(on(2), Slime, "slime"), seen(Whose::Batch, Smell, "sour")]
    );
    assert_eq!(
        said("#2: slime, discarded", &six()),
        [seen(on(2), Slime, "slime"), left(2, PieceFate::Discarded, "")]
    );
    assert_eq!(
        understood("#2 mould, discarded the skin", &six()).items.len(),
        1,
        "the piece itself still hangs"
    );
    assert_eq!(
        said("mould: white, ph 5.2", &[]),
        [seen(Whose::Batch, Mould, "white"), ph(5.2)]
    );
    let found = understood("mould: white spots this morning", &[]);
    assert_eq!(found.at.unwrap().at, at("2026-11-10T07:00:00Z"));
}

#[test]
fn pieces_leave() {
    let cases = [
        ("#4 out, packed", left(4, PieceFate::Packed, "")),
        ("#4 out eaten", left(4, PieceFate::Eaten, "")),
        ("#4 packed", left(4, PieceFate::Packed, "")),
        ("packed #4", left(4, PieceFate::Packed, "")),
        (
            "#4 out, discarded, mould inside",
            left(4, PieceFate::Discarded, "mould inside"),
        ),
        (
            "#4 discarded: hollow, grey and smells",
            left(4, PieceFate::Discarded, "hollow, grey and smells"),
        ),
        ("#4 thrown away", left(4, PieceFate::Discarded, "")),
    ];
    for (line, item) in cases {
        assert_eq!(said(line, &six()), [item], "{line}");
    }
    assert_eq!(
        said("#3 and #4 out, eaten", &six()),
        [left(3, PieceFate::Eaten, ""), left(4, PieceFate::Eaten, "")]
    );
    assert_eq!(
        said("#4 410 g, out, packed", &six()),
        [piece(4, 410.0), left(4, PieceFate::Packed, "")]
    );
    assert_eq!(
        said("out, packed", &pieces(&[500.0])),
        [left(1, PieceFate::Packed, "")]
    );
    assert_eq!(
        error("#4 out", &six()),
        IntakeError::FateMissing {
            piece: PieceNumber(4)
        }
    );
    assert_eq!(
        error("#9 out, packed", &six()),
        IntakeError::NoSuchPiece {
            piece: PieceNumber(9)
        }
    );
    assert!(matches!(
        error("out, packed", &six()),
        IntakeError::WhichPiece { .. }
    ));
}

#[test]
fn several_readings_at_one_time() {
    let one = pieces(&[1100.0]);
    let found = understood("ph 5.2, 1012g, 12.5C 82% this morning", &one);
    let items: Vec<_> = found
        .items
        .iter()
        .map(|item| (item.whose, item.what.clone()))
        .collect();
    assert_eq!(
        items,
        [
            ph_of(Whose::Batch, 5.2, Instrument::Meter, None, None),
            piece(1, 1012.0),
            room(Some(12.5), Some(82.0))
        ]
    );
    assert_eq!(found.at.unwrap().at, at("2026-11-10T07:00:00Z"));
    assert_eq!(found.leftover, Vec::<String>::new());
    let typed: Vec<_> = found.items.iter().map(|item| item.typed.as_str()).collect();
    assert_eq!(typed, ["ph 5.2", "1012g", "12.5C 82%"]);
    let found = understood("weighed 812g yesterday 8pm", &pieces(&[820.0]));
    assert_eq!(found.at.unwrap().at, at("2026-11-09T19:00:00Z"));
    let found = understood("B3 #1 812 g", &pieces(&[820.0]));
    assert_eq!(found.batch.as_deref(), Some("B3"));
    let found = understood("batch Juniper stick, 812 g", &pieces(&[820.0]));
    assert_eq!(found.batch.as_deref(), Some("Juniper stick"));
    assert_eq!(said("ph 5.1\n812 g\n13C 80%", &pieces(&[820.0])).len(), 3);
    assert_eq!(
        error("812 g yesterday, 13C today", &one),
        IntakeError::SaidTwice { what: "time".into() }
    );
    assert_eq!(error("B3 812 g; B4 13C", &one), IntakeError::TwoBatches);
    assert_eq!(
        error("ph 5.1, ph 5.2", &one),
        IntakeError::SaidTwice { what: "pH".into() }
    );
    let found = understood("now set to 12 C yesterday 8pm", &one);
    assert_eq!(found.at.map(|when| when.at), Some(at("2026-11-09T19:00:00Z")));
    assert!(matches!(error("812 g tomorrow", &one), IntakeError::Time(_)));
}

#[test]
fn counts_units_and_numbers_that_do_not_fit() {
    assert_eq!(
        error("640 655", &six()),
        IntakeError::CountMismatch {
            weights: 2,
            pieces: 6
        }
    );
    assert_eq!(
        error("812 g 798 g", &[]),
        IntakeError::CountMismatch {
            weights: 2,
            pieces: 0
        }
    );
    assert_eq!(
        error("#2 640 655 g", &six()),
        IntakeError::CountMismatch {
            weights: 2,
            pieces: 1
        }
    );
    assert!(matches!(error("640 g", &six()), IntakeError::WhichPiece { .. }));
    assert_eq!(
        error("#9 640 g", &six()),
        IntakeError::NoSuchPiece {
            piece: PieceNumber(9)
        }
    );
    for line in ["812", "ph 5.1 at 21"] {
        let found = error(line, &six());
        assert!(
            matches!(found, IntakeError::Quantity(QuantityError::UnitMissing { .. })),
            "{line}: {found:?}"
        );
    }
    assert!(matches!(
        error("temp 13.5 rh 80", &six()),
        IntakeError::Quantity(QuantityError::UnitMissing { .. })
    ));
    assert_eq!(error("5.1", &six()).example(), "5.1 pH");
    assert!(matches!(
        error("#2 640 stone", &six()),
        IntakeError::Quantity(QuantityError::UnitUnknown { .. })
    ));
    for line in [
        "#2 0 g",
        "-812 g",
        "ph -5.1",
        "ph nan",
        "ph 1e400",
        "1e400 g",
        "NaN g ph inf 812 g",
        "ph 5.1.2",
        "24-26 C",
        "#2 640-655 g",
        "#2 99999999999999999999 g",
        "ph 5.1-5.2",
        "812,798,805 g",
    ] {
        let found = read(line, &with(&six()));
        let refused = match &found {
            Err(_) => true,
            Ok(Some(found)) => found.is_doubtful,
            Ok(None) => false,
        };
        assert!(refused, "{line}: {found:?}");
    }
    assert_eq!(error(&"g".repeat(2001), &[]), IntakeError::TooLong);
    assert_eq!(error("812 g\u{7}", &[]), IntakeError::HiddenCharacters);
    assert_eq!(error("812 \u{202e}g", &[]), IntakeError::HiddenCharacters);
}

#[test]
fn what_is_not_understood_is_shown_and_casts_doubt_where_it_may_change_the_rest() {
    let one = pieces(&[820.0]);
    let doubtful = [
        ("812 g, pH 5.1 6", "6"),
        ("is 812 g ok?", "ok?"),
        ("target 700 g", "target"),
        ("lost 38%", "lost"),
        ("812 g 38%", ""),
        ("max 26 C 85%", ""),
        ("pH 5.1 ±0.05", "±0.05"),
        ("12 C in the core", "core"),
        ("ph 5.2 not 5.1", "not 5.1"),
        ("want ph 5.2", "want"),
        ("ph 5.1, x2", "x2"),
        ("~812 g", "~"),
        ("13 to 15 C", "13"),
        ("ph 5.1 ٣", "٣"),
    ];
    for (line, left) in doubtful {
        let found = understood(line, &one);
        assert!(found.is_doubtful, "{line}: {found:?}");
        assert!(
            found.leftover.join(" ").contains(left),
            "{line}: {:?}",
            found.leftover
        );
    }
    for (line, left) in [
        ("ph 5.1, lovely colour", "lovely colour"),
        ("812 g, soft 👍", "soft 👍"),
    ] {
        let found = understood(line, &one);
        assert!(!found.is_doubtful, "{line}: {found:?}");
        assert_eq!(found.leftover, [left], "{line}");
    }
}

#[test]
fn chatter_is_none_of_ours() {
    for line in [
        "",
        "   ",
        "hello",
        "what a nice day",
        "I have 3 sticks in the fridge",
        "see you at 8pm",
        "B3",
        "#2",
        "yesterday",
        "how is the ph?",
        "call 555 1234 tomorrow",
        "👍",
        "...",
        "we hung them",
        "thanks! 2 more days to go",
        "set 3 alarms",
        "the power of love",
    ] {
        assert_eq!(read(line, &with(&six())), Ok(None), "{line:?}");
    }
}

#[test]
fn batch_and_chamber_are_found_before_the_rest_is_read() {
    let named_in = |line: &str| {
        let found = named(line);
        (found.batch, found.chamber)
    };
    let some = |text: &str| Some(text.to_owned());
    assert_eq!(named_in("B3 #1 812 g"), (some("B3"), None));
    assert_eq!(named_in("812 g on b12"), (some("B12"), None));
    assert_eq!(named_in("batch 3 640 655 g"), (some("B3"), None));
    assert_eq!(
        named_in("ph 5.1 batch \"Juniper\" chamber cellar"),
        (some("Juniper"), some("cellar"))
    );
    assert_eq!(named_in("812 g"), (None, None));
}
