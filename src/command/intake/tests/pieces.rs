//! pH, weights, hanging and leaving.

use super::*;

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
    for line in ["pH 5,1 at 21C", "ph 5.1 at 21 °C", "ph 5.1 @21c", "ph 5.1 at 21 deg", "PH5.1 AT 21C"] {
        assert_eq!(said(line, &one), [ph_of(Whose::Batch, 5.1, Instrument::Meter, at_21, None)], "{line}");
    }
    for line in
        ["ph 5.2 strip", "ph strip 5.2", "strip ph 5.2", "ph 5.2 (strip)", "pH 5,2 by strip", "ph 5.2 paper"]
    {
        assert_eq!(said(line, &one), [ph_of(Whose::Batch, 5.2, Instrument::Strip, None, None)], "{line}");
    }
    for line in
        ["ph sample 5.1", "packet ph 5.1", "ph of the packet 5.1", "ph 5.1 in the packet", "sample pH 5,1"]
    {
        assert_eq!(said(line, &one), [ph_of(Whose::Sample, 5.1, Instrument::Meter, None, None)], "{line}");
    }
    let on_three = Whose::Piece(PieceNumber(3));
    for line in ["ph 5.2 on #3", "#3 ph 5.2", "#3: pH 5,2"] {
        assert_eq!(said(line, &six()), [ph_of(on_three, 5.2, Instrument::Meter, None, None)], "{line}");
    }
    // A temperature without "at" is read as the room's, and asked about.
    assert_eq!(understood("ph 5.1 21C", &one).items.len(), 2);
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
            buffer_missed: false,
        })
    };
    let cases = [
        ("pH 5.09 calibrated 3 h ago slope 98%", checked(Some(3.0), Some(98.0), None, false)),
        (
            "pH 5.09, calibrated 3 h ago, slope 98 %, offset -12 mV",
            checked(Some(3.0), Some(98.0), Some(-12.0), false),
        ),
        // Since midnight: the age is never too low.
        ("ph 5.09 calibrated today", checked(Some(15.0), None, None, false)),
        ("ph 5.09 calibrated yesterday", checked(Some(39.0), None, None, false)),
        ("ph 5.09 buffer ok", checked(None, None, None, true)),
        ("buffer check ok 2 h ago, ph 5.09", checked(Some(2.0), None, None, true)),
        ("ph 5.09 calibrated", checked(None, None, None, false)),
        ("ph 5.09 calibrated 4/7 3 h ago", checked(Some(3.0), None, None, false)),
        ("ph 5.09 calibrated at pH 4 and 7 3 h ago", checked(Some(3.0), None, None, false)),
        ("ph 5.09, calibrated with two buffers 3 h ago", checked(Some(3.0), None, None, false)),
        ("ph 5.09 offset +12mV", checked(None, None, Some(12.0), false)),
        ("ph 5.09 calibrated 30 min before", checked(Some(0.5), None, None, false)),
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
    assert_eq!(error("ph 5.1 yesterday 8pm, calibrated 3 h ago", &[]), IntakeError::CalibratedAfterReading);
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
        assert_eq!((found.items[0].whose, found.items[0].what.clone()), piece(1, 812.0), "{line}");
        assert_eq!(found.leftover, Vec::<String>::new(), "{line}");
    }
    assert_eq!(said("2 lb 3 oz", &pieces(&[1000.0])), [piece(1, 992.233_309_375)]);
    assert_eq!(said("2lb3oz", &pieces(&[1000.0])), [piece(1, 992.233_309_375)]);
    assert_eq!(said("1 1/2 lb", &pieces(&[700.0])), [piece(1, 1.5 * 453.592_37)]);
    assert_eq!(said("1½ lb", &pieces(&[700.0])), [piece(1, 1.5 * 453.592_37)]);
    assert_eq!(said("#2 640g, #3 655g", &six()), [piece(2, 640.0), piece(3, 655.0)]);
    assert_eq!(said("640g #2 655 g #3", &six()), [piece(2, 640.0), piece(3, 655.0)]);
    assert_eq!(said("#2 640 #3 655", &six()), [piece(2, 640.0), piece(3, 655.0)]);
    assert_eq!(said("#2 and #3 640 and 655 g", &six()), [piece(2, 640.0), piece(3, 655.0)]);
    let each = [640.0, 655.0, 648.0, 630.0, 660.0, 641.0];
    let in_order: Vec<_> = (1..).zip(each).map(|(number, grams)| piece(number, grams)).collect();
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
    assert_eq!(said("batch weighs 3.8 kg", &six()), [weighed(Whose::Batch, 3800.0)]);
    assert_eq!(said("total 1 kg", &six()), [weighed(Whose::Batch, 1000.0)]);
    assert_eq!(said("812 g", &[]), [weighed(Whose::Batch, 812.0)]);
}

#[test]
fn the_last_weight_decides_what_three_digits_mean() {
    assert_eq!(said("1.234 g", &pieces(&[1300.0])), [piece(1, 1234.0)]);
    assert_eq!(said("1,234 g", &pieces(&[1300.0])), [piece(1, 1234.0)]);
    assert_eq!(said("1.234 g", &pieces(&[1.3])), [piece(1, 1.234)]);
    assert_eq!(said("#2 1.234", &pieces(&[900.0, 1300.0])), [piece(2, 1234.0)]);
    assert_eq!(said("1.234 1.112 g", &pieces(&[1300.0, 1200.0])), [piece(1, 1234.0), piece(2, 1112.0)]);
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
        (Whose::Batch, What::Hung { pieces: pieces(weights), tare: tare.map(Mass::grams) })
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
    assert_eq!(said("hung 812 798 g, tare 30 g each", &[]), [hung(&[812.0, 798.0], Some(30.0))]);
    let tare = (Whose::Batch, What::Tare { tare: Mass::grams(30.0) });
    for line in ["tare 30 g each", "tare 30g", "tare: 30", "tare is 30 g", "30 g tare"] {
        assert_eq!(said(line, &six()), std::slice::from_ref(&tare), "{line}");
    }
    assert_eq!(error("#2 tare 30 g", &six()), IntakeError::TareOfOnePiece);
    assert_eq!(error("tare 30 31 g", &six()), IntakeError::TareOfOnePiece);
    let found = understood("hung 812 798 g yesterday 8pm", &[]);
    assert_eq!(found.at.unwrap().at, at("2026-11-09T19:00:00Z"));
}

#[test]
fn pieces_leave() {
    let cases = [
        ("#4 out, packed", left(4, PieceFate::Packed, "")),
        ("#4 out eaten", left(4, PieceFate::Eaten, "")),
        ("#4 packed", left(4, PieceFate::Packed, "")),
        ("packed #4", left(4, PieceFate::Packed, "")),
        ("#4 out, discarded, mould inside", left(4, PieceFate::Discarded, "mould inside")),
        ("#4 discarded: hollow, grey and smells", left(4, PieceFate::Discarded, "hollow, grey and smells")),
        ("discarded #4 because of green mould", left(4, PieceFate::Discarded, "of green mould")),
        ("discarded #4, green mould", left(4, PieceFate::Discarded, "green mould")),
        ("#4 thrown away", left(4, PieceFate::Discarded, "")),
    ];
    for (line, item) in cases {
        assert_eq!(said(line, &six()), [item], "{line}");
    }
    assert_eq!(
        said("#3 and #4 out, eaten", &six()),
        [left(3, PieceFate::Eaten, ""), left(4, PieceFate::Eaten, "")]
    );
    assert_eq!(said("#4 410 g, out, packed", &six()), [piece(4, 410.0), left(4, PieceFate::Packed, "")]);
    assert_eq!(said("out, packed", &pieces(&[500.0])), [left(1, PieceFate::Packed, "")]);
    assert_eq!(error("#4 out", &six()), IntakeError::FateMissing { piece: PieceNumber(4) });
    assert_eq!(error("#9 out, packed", &six()), IntakeError::NoSuchPiece { piece: PieceNumber(9) });
    assert!(matches!(error("out, packed", &six()), IntakeError::WhichPiece { .. }));
}
