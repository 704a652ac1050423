//! Whole lines: observations, several readings, what is refused, doubted or none of ours.

use super::*;

#[test]
fn what_is_seen_and_smelled() {
    use ObservationKind::{HardRim, Mould, Slime, Smell};
    let on = |number| Whose::Piece(PieceNumber(number));
    let cases = [
        ("mould: white, a few green spots on #3", seen(on(3), Mould, "white, a few green spots")),
        ("white mould on #3", seen(on(3), Mould, "white mould")),
        ("mold", seen(Whose::Batch, Mould, "mold")),
        ("mould on #1 is green and black", seen(on(1), Mould, "mould is green and black")),
        ("no mould", seen(Whose::Batch, Mould, "no mould")),
        ("#2: green fuzzy mould", seen(on(2), Mould, "green fuzzy mould")),
        ("mould: 3 green spots of 5 mm", seen(Whose::Batch, Mould, "3 green spots of 5 mm")),
        ("smell: sour", seen(Whose::Batch, Smell, "sour")),
        ("smells of ammonia", seen(Whose::Batch, Smell, "smells of ammonia")),
        ("slime on #2", seen(on(2), Slime, "slime")),
        ("hard rim on #1", seen(on(1), HardRim, "hard rim")),
        ("case hardening on #1", seen(on(1), HardRim, "case hardening")),
    ];
    for (line, item) in cases {
        assert_eq!(said(line, &six()), [item], "{line}");
    }
    assert_eq!(
        said("slime on #1 and #2, smell: sour", &six()),
        [seen(on(1), Slime, "slime"), seen(on(2), Slime, "slime"), seen(Whose::Batch, Smell, "sour")]
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
    assert_eq!(said("mould: white, ph 5.2", &[]), [seen(Whose::Batch, Mould, "white"), ph(5.2)]);
    let found = understood("mould: white spots this morning", &[]);
    assert_eq!(found.at.unwrap().at, at("2026-11-10T07:00:00Z"));
}

/// A sample's temperature taken for the room's would make the degree-hours too small.
#[test]
fn a_temperature_that_follows_a_ph_and_its_piece_is_the_samples() {
    for line in [
        "ph 5.2 on #3 at 21 C",
        "ph 5.2 #3 @ 21 C",
        "#3 ph 5.2 by meter at 21 C",
        "ph 5.2 of the packet at 21 C",
    ] {
        let found = understood(line, &six());
        assert_eq!(found.items.len(), 1, "{line}");
        let What::Ph { sample_temperature, .. } = found.items[0].what else { panic!("{line}") };
        assert_eq!(sample_temperature, Some(Temperature::celsius(21.0)), "{line}");
    }
    let both = understood("ph 5.2 on #3 at 21 C, 13 C 80%", &six());
    assert_eq!(both.items.len(), 2);
    // Without "at" and without a comma nobody can tell whose the temperature is.
    assert!(understood("ph 5.2 21 C", &six()).is_doubtful);
    assert!(!understood("ph 5.2, 13 C", &six()).is_doubtful);
    assert!(!understood("ph 5.2 13 C 80%", &six()).is_doubtful);
}

#[test]
fn several_readings_at_one_time() {
    let one = pieces(&[1100.0]);
    let found = understood("ph 5.2, 1012g, 12.5C 82% this morning", &one);
    let items: Vec<_> = found.items.iter().map(|item| (item.whose, item.what.clone())).collect();
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
    assert_eq!(error("812 g yesterday, 13C today", &one), IntakeError::SaidTwice { what: "time".into() });
    assert_eq!(error("B3 812 g; B4 13C", &one), IntakeError::TwoBatches);
    assert_eq!(error("ph 5.1, ph 5.2", &one), IntakeError::SaidTwice { what: "pH".into() });
    let found = understood("now set to 12 C yesterday 8pm", &one);
    assert_eq!(found.at.map(|when| when.at), Some(at("2026-11-09T19:00:00Z")));
    assert!(matches!(error("812 g tomorrow", &one), IntakeError::Time(_)));
}

#[test]
fn counts_units_and_numbers_that_do_not_fit() {
    assert_eq!(error("640 655", &six()), IntakeError::CountMismatch { weights: 2, pieces: 6 });
    assert_eq!(error("812 g 798 g", &[]), IntakeError::CountMismatch { weights: 2, pieces: 0 });
    assert_eq!(error("#2 640 655 g", &six()), IntakeError::CountMismatch { weights: 2, pieces: 1 });
    assert!(matches!(error("640 g", &six()), IntakeError::WhichPiece { .. }));
    assert_eq!(error("#9 640 g", &six()), IntakeError::NoSuchPiece { piece: PieceNumber(9) });
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
        assert!(found.leftover.join(" ").contains(left), "{line}: {:?}", found.leftover);
    }
    for (line, left) in [("ph 5.1, lovely colour", "lovely colour"), ("812 g, soft 👍", "soft 👍")] {
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
    assert_eq!(named_in("ph 5.1 batch \"Juniper\" chamber cellar"), (some("Juniper"), some("cellar")));
    assert_eq!(named_in("812 g"), (None, None));
    assert_eq!(named_in("chamber fridge 3 C"), (None, some("fridge")));
    assert_eq!(named("fridge 3 C").place, some("fridge"));
    for (line, place) in [
        ("fridge 3 C", some("fridge")),
        ("set the box to 24 C", some("box")),
        ("chamber fridge 3 C", None),
        ("3 C", None),
    ] {
        assert_eq!(understood(line, &[]).place, place, "{line}");
    }
}

#[test]
fn the_example_of_an_error_is_read() {
    for line in [
        "812",
        "812 g tomorrow",
        "812 g 25:99",
        "640 655",
        "640 g",
        "#9 640 g",
        "#4 out",
        "slope 98%",
        "min 22 C",
        "max 22C min 26C",
        "power out",
        "#2 tare 30 g",
        "B3 812 g; B4 13C",
        "ph 5.1, ph 5.2",
        "ph 5.1 at 21",
        "#2 0 g",
        "24-26 C",
        "812 g\u{7}",
        "max 26C since yesterday 8pm, yesterday 7pm",
        "chamber attic 13C, chamber cellar 80%",
        "ph 5.1 yesterday 8pm, calibrated 3 h ago",
    ] {
        let example = error(line, &six()).example();
        // With one piece and with six: an example is for either.
        let found = [&six()[..], &six()[..1]].map(|pieces| read(&example, &with(pieces)));
        assert!(
            found.iter().any(|found| matches!(found, Ok(Some(found)) if !found.is_doubtful)),
            "{line}: {example}: {found:?}"
        );
    }
}
