//! What must not be kept in silence: what is asked about, and what is refused.

use super::*;

/// Nothing of the line may be kept without a yes.
fn is_asked(line: &str, pieces: &[(PieceNumber, Mass)]) -> bool {
    match read(line, &with(pieces)) {
        Ok(Some(found)) => found.is_doubtful,
        Ok(None) | Err(_) => true,
    }
}

#[test]
fn the_ph_of_something_else_is_not_the_meats() {
    for line in [
        "brine ph 5.1",
        "ph 5.1 brine",
        "ph of the brine 5.1",
        "starter ph 5.1",
        "wine pH 3.6",
        "buffer ph 4.01",
        "ph 4 buffer reads 4.02",
        "ph 4 buffer ok",
        "ph 7.01 solution",
        "calibrated the meter to ph 4",
        "calibrated my new probe in ph 7.01",
        "the meter is calibrated with a fresh ph 4",
    ] {
        assert!(read(line, &with(&[])).is_err(), "{line}: {:?}", read(line, &with(&[])));
    }
    for line in [
        "ph 5.1 gravy",
        "my ph 5.1 from yesterdays broth",
        "ph 5.1, out of the brine now",
        "calibrated today. ph 4",
        "ph 7.01, slope 98%",
    ] {
        assert!(is_asked(line, &[]), "{line}");
    }
    for line in [
        "took ph 5.09",
        "ph 5.09 at 4 C, slope 98%",
        "hi, ph tested at 5.09",
        "ph 5.09 👍",
        "ph 5.09 buffer ok",
        "ph 5.09, calibrated the meter at ph 4 and 7 3 h ago",
        "the ph is 5.09",
    ] {
        assert!(!is_asked(line, &[]), "{line}");
    }
}

#[test]
fn an_unread_word_beside_a_setting_may_be_a_chamber() {
    for line in [
        "attic set to 13 C",
        "attic max 26C min 22C since yesterday",
        "attic power out 9h",
        "attic hysteresis 2 C",
    ] {
        let found = understood(line, &[]);
        assert!(found.is_doubtful, "{line}: {found:?}");
        assert_eq!(found.leftover.join(" "), "attic", "{line}");
    }
}

#[test]
fn a_denied_asked_or_future_reading_is_not_kept() {
    for said in ["ph 5.1", "#2 640 g", "13 C 80%", "set to 13 C", "max 26 C"] {
        for turn in [
            "don't keep",
            "dont keep",
            "don’t keep",
            "can't be",
            "cant be",
            "cannot be",
            "hasn't",
            "didn't have",
            "haven't",
            "won't be",
            "shouldn't be",
            "couldn't be",
            "gonna be",
            "must be",
            "have to get",
            "next time",
            "later",
            "soon",
            "does it say",
            "did it say",
            "shall be",
            "unless",
        ] {
            for line in [format!("{turn}, {said}"), format!("{said}, {turn}")] {
                assert!(is_asked(&line, &six()), "{line}");
            }
        }
    }
    for line in ["is ph 5.1 good", "is the ph 5.1", "can ph 5.1 be", "are #2 and #3 packed", "to hang 812 g"]
    {
        assert!(is_asked(line, &six()), "{line}");
    }
}

#[test]
fn a_piece_that_may_still_hang_is_not_out() {
    for line in [
        "#4 out, packed?",
        "#4 packed?",
        "is #4 packed",
        "was #4 eaten",
        "has #4 been packed",
        "if #4 is packed",
        "#4 hasn't been packed",
        "#4 to be packed",
        "#4 packed but still hanging",
        "#4 discarded if it smells tomorrow",
        "#4 packed soon",
        "discarded #4 if it smells",
        "#4 out, discarded, or not",
        "#4 ready, discarded maybe",
    ] {
        assert!(is_asked(line, &six()), "{line}: {:?}", read(line, &with(&six())));
    }
}

#[test]
fn the_rooms_air_is_not_the_samples_temperature() {
    for line in
        ["ph 5.1 room at 24 C", "ph 5.1 chamber at 24 C", "ph 5.1 air at 24 C", "ph 5.1 fridge temp at 24 C"]
    {
        let found = understood(line, &[]);
        let What::Ph { sample_temperature, .. } = found.items[0].what else { panic!("{line}") };
        assert_eq!(sample_temperature, None, "{line}");
        assert_eq!(found.items[1].what, room(Some(24.0), None).1, "{line}");
    }
}

#[test]
fn no_piece_of_several_is_dropped() {
    let on = |number| Whose::Piece(PieceNumber(number));
    let each = |number| ph_of(on(number), 5.2, Instrument::Meter, None, None);
    for line in ["ph 5.2 on #2 and #3", "#2 and #3 ph 5.2"] {
        assert_eq!(said(line, &six()), [each(2), each(3)], "{line}");
    }
    assert_eq!(error("#2 packet ph 5.2", &six()), IntakeError::SampleOfPiece);
}

#[test]
fn a_humiditys_band_is_no_hysteresis() {
    for line in [
        "set to 24 C 88% ±2%",
        "set to 24 C 88% +/- 2 % rh",
        "set to 24 C, hysteresis 5%",
        "set to 88 ± 2 %",
        "hysteresis 5 %",
    ] {
        assert_eq!(error(line, &[]), IntakeError::HumidityBand, "{line}");
    }
    assert!(is_asked("set to 24 C 88% ±1.5", &[]), "of which of the two");
    assert!(!is_asked("set to 24 C 88% ±1.5 C", &[]));
}

#[test]
fn a_bare_temperature_beside_a_setting_is_asked_about() {
    for line in ["set to 24 C, 22 C", "22 C set to 24 C", "set to 24 C 22 C 80%", "set to 24 C; 22C"] {
        assert!(understood(line, &[]).is_doubtful, "{line}");
    }
    for line in ["set to 24 C, now 22 C", "room is 22 C, set to 24 C", "set to 24 C, reads 22 C"] {
        assert_eq!(said(line, &[]).len(), 2, "{line}");
    }
}

#[test]
fn a_remark_is_of_a_piece_only_where_it_names_it() {
    use ObservationKind::{Mould, Smell};
    let on = |number| Whose::Piece(PieceNumber(number));
    assert_eq!(said("#2 640 g, smell: sour", &six()), [piece(2, 640.0), seen(Whose::Batch, Smell, "sour")]);
    assert_eq!(
        said("#2 640 g, mould on all", &six()),
        [piece(2, 640.0), seen(Whose::Batch, Mould, "mould on all")]
    );
    assert_eq!(said("#2 white mould all over", &six()), [seen(on(2), Mould, "white mould all over")]);
    let found = understood("#2 640 g mould everywhere", &six());
    assert!(found.is_doubtful, "{found:?}");
    assert_eq!(found.items[1].whose, Whose::Batch);
}

#[test]
fn a_minus_is_never_lost() {
    assert_eq!(said("80% -2 C", &[]), [room(Some(-2.0), Some(80.0))]);
    assert_eq!(said("rh 80, -2 C", &[]), [room(Some(-2.0), Some(80.0))]);
    for line in ["- 2 C", "fridge - 2 C", "set to - 2 C", "max - 2 C", "80% - 2 C", "80%-2C", "812 g - 2 C"] {
        assert!(is_asked(line, &pieces(&[820.0])), "{line}: {:?}", read(line, &with(&pieces(&[820.0]))));
    }
    assert_eq!(said("13 C - 80%", &[]), [room(Some(13.0), Some(80.0))]);
}

#[test]
fn pounds_and_a_bare_number_are_not_two_weights() {
    let two = pieces(&[1000.0, 1000.0]);
    for line in ["2 lb 2", "hung 2 lb 2", "#2 2 lb 2", "1 kg 200", "hung 1 kg 200"] {
        let found = read(line, &with(&two));
        assert!(matches!(&found, Err(error) if error.to_string().contains("may be")), "{line}: {found:?}");
    }
    assert_eq!(said("2 lb, 2 lb 1 oz", &two).len(), 2);
    assert_eq!(said("1.8 lb 2.1", &two).len(), 2);
}

#[test]
fn an_announced_count_must_fit() {
    for line in ["hung 6 pieces: 812 798 g", "hung 6 pieces 4.8 kg", "hung 2 sticks, 812 798 805 g"] {
        let found = read(line, &with(&[]));
        assert!(matches!(found, Err(IntakeError::HungCount { .. })), "{line}: {found:?}");
    }
    assert!(is_asked("hung six pieces 812 798 g", &[]));
}

#[test]
fn several_lines_are_one_message() {
    let one = pieces(&[820.0]);
    let at_21 = Some(Temperature::celsius(21.0));
    assert_eq!(
        said("ph 5.08 at 21 C\n812 g", &one),
        [ph_of(Whose::Batch, 5.08, Instrument::Meter, at_21, None), piece(1, 812.0)]
    );
    assert_eq!(said("ph 5.08\r\n812 g\r\n\r\n13 C 80%\n", &one).len(), 3);
    let batch_then_piece = [ph(5.08), piece(1, 812.0)];
    assert_eq!(said("ph 5.08\n#1 812 g", &one), batch_then_piece);
    assert_eq!(said("#1 812 g\nph 5.08", &one), [piece(1, 812.0), ph(5.08)]);
    let of_one = ph_of(Whose::Piece(PieceNumber(1)), 5.08, Instrument::Meter, None, None);
    assert_eq!(said("#1 812 g, ph 5.08", &one), [piece(1, 812.0), of_one]);
    assert!(!is_asked("ph 5.08\n812 g\nyesterday 8pm", &one), "a time on its own line is of all");
    assert!(is_asked("ph 5.08 yesterday 8pm\n812 g", &one), "of one line or of both");
}
