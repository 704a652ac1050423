//! Lines in German: each is what its English neighbour is, and what is not understood is shown.

use super::*;
use crate::reply::{Language, in_language};

/// What a line says, without how it was typed.
fn meant(line: &str, pieces: &[(PieceNumber, Mass)]) -> (Vec<(Whose, What)>, Option<DateTime<Utc>>) {
    let found = understood(line, pieces);
    assert_eq!(found.leftover, Vec::<String>::new(), "{line:?}");
    assert!(!found.is_doubtful, "{line:?}");
    let items = found.items.into_iter().map(|item| (item.whose, item.what)).collect();
    (items, found.at.map(|when| when.at))
}

#[test]
fn a_german_line_is_what_its_english_neighbour_is() {
    for (german, english) in [
        ("pH 5,1 bei 21 °C", "pH 5.1 at 21 C"),
        ("pH-Wert 5,1 bei 21 Grad", "pH 5.1 at 21 C"),
        ("pH 5,2 Streifen", "ph 5.2 strip"),
        ("pH 5,2 mit Messgerät", "ph 5.2 by meter"),
        (
            "pH 5,1 bei 21 °C, kalibriert vor 3 Stunden, Steilheit 98 %",
            "pH 5.1 at 21C, calibrated 3 h ago, slope 98%",
        ),
        ("pH 5,1, Puffer ok, Offset -12 mV", "ph 5.1, buffer ok, offset -12 mV"),
        ("Päckchen pH 5,1", "packet ph 5.1"),
        ("Kammer 13 °C 80 %", "chamber 13 C 80%"),
        ("13 Grad 80 Prozent", "13C 80%"),
        ("Luftfeuchte 80 %", "humidity 80%"),
        ("max 26 °C min 22 °C seit gestern", "max 26C min 22C since yesterday"),
        ("Kammer auf 24 °C 88 %", "chamber set to 24 C 88%"),
        ("Kammer eingestellt auf 24 °C 88 %", "chamber set to 24 C 88%"),
        ("Stromausfall 9 Stunden", "power out 9h"),
        ("Strom weg 9 h, Kammer kam auf 24 °C", "power out 9h, chamber got to 24C"),
        ("kein Strom seit gestern 20 Uhr", "no power since yesterday 8pm"),
    ] {
        assert_eq!(meant(german, &[]), meant(english, &[]), "{german}");
    }
    let one = pieces(&[820.0]);
    for (german, english) in [
        ("812 Gramm", "812 g"),
        ("0,812 Kilo", "0.812 kg"),
        ("gewogen 812 g gestern 20 Uhr", "weighed 812g yesterday 8pm"),
        ("812 g vorgestern", "812 g day before yesterday"),
        ("812 g vor 2 Stunden", "812 g 2 h ago"),
        ("812 g heute früh", "812 g this morning"),
        ("812 g heute morgen", "812 g this morning"),
        ("Gewicht 812 g, Montag 8:30", "weight 812 g, monday 8:30"),
        ("Gewicht: 812 g am Montag um 8:30 Uhr", "weight: 812 g on monday at 8:30"),
        ("812 g gestern Abend um 8 Uhr", "812 g yesterday 8pm"),
    ] {
        assert_eq!(meant(german, &one), meant(english, &one), "{german}");
    }
    for (german, english) in [
        ("aufgehängt 812 798 805 g", "hung 812 798 805 g"),
        ("aufgehängt 3 Stücke: 812 798 805 g", "hung 3 pieces: 812 798 805 g"),
        ("Tara 30 g", "tare 30 g each"),
    ] {
        assert_eq!(meant(german, &[]), meant(english, &[]), "{german}");
    }
    for (german, english) in [
        ("#4 raus, verpackt", "#4 out, packed"),
        ("#4 weg, gegessen", "#4 out, eaten"),
        ("Stück 2 640 g und Stück 3 655 g", "piece 2 640 g and piece 3 655 g"),
        ("#2 640 g, #3 655 g", "#2 640g, #3 655g"),
    ] {
        assert_eq!(meant(german, &six()), meant(english, &six()), "{german}");
    }
}

#[test]
fn what_is_seen_keeps_its_words() {
    use ObservationKind::{HardRim, Mould, Slime, Smell};
    let on = |number| Whose::Piece(PieceNumber(number));
    for (line, item) in [
        ("Schimmel: weiß, ein paar grüne Flecken an #3", seen(on(3), Mould, "weiß, ein paar grüne Flecken")),
        ("weißer Schimmel auf #3", seen(on(3), Mould, "weißer Schimmel")),
        ("kein Schimmel", seen(Whose::Batch, Mould, "kein Schimmel")),
        ("Geruch: sauer", seen(Whose::Batch, Smell, "sauer")),
        ("riecht nach Ammoniak", seen(Whose::Batch, Smell, "riecht nach Ammoniak")),
        ("Schleim an #2", seen(on(2), Slime, "Schleim")),
        ("#1 Trockenrand", seen(on(1), HardRim, "Trockenrand")),
        ("harter Rand an #1", seen(on(1), HardRim, "harter Rand")),
    ] {
        assert_eq!(said(line, &six()), [item], "{line}");
    }
}

/// A unit that means two weights, a half hour that means another hour, a wish and a doubt: none is kept as it stands.
#[test]
fn what_is_not_clear_is_shown_or_refused() {
    let one = pieces(&[1000.0]);
    assert!(matches!(
        error("gewogen 2 Pfund", &one),
        IntakeError::Quantity(QuantityError::UnitUnknown { ref unit, .. }) if unit == "Pfund"
    ));
    for line in [
        "812 g halb acht",
        "812 g um halb 8",
        "etwa 812 g",
        "ungefähr 13 °C",
        "13 °C nicht",
        "soll 13 °C 80 %",
        "fast 812 g",
        "812 g?",
        "ist pH 5,1 gut",
        "hat #4 640 g",
    ] {
        if let Ok(Some(found)) = read(line, &with(&one)) {
            assert!(found.is_doubtful, "{line}: {found:?}");
        }
    }
    assert!(read("Morgen bringe ich die Wurst", &with(&one)).is_ok_and(|found| found.is_none()));
    assert!(read("Wie lange hängt ihr eure Würste?", &with(&one)).is_ok_and(|found| found.is_none()));
}

/// "Probe" is a meter's probe in English and the sample in German.
#[test]
fn a_word_of_both_languages_goes_by_the_members() {
    let whose = |language| in_language(language, || understood("Probe pH 5,1", &[]).items.remove(0).whose);
    assert_eq!(whose(Language::German), Whose::Sample);
    assert_eq!(whose(Language::English), Whose::Batch);
}

#[test]
fn a_chamber_goes_by_the_name_that_was_typed() {
    assert_eq!(named("Kühlschrank 3 °C").place.as_deref(), Some("kühlschrank"));
    assert_eq!(named("Kammer Keller auf 13 °C").chamber.as_deref(), Some("Keller"));
    assert_eq!(named("Charge 3 pH 5,1").batch.as_deref(), Some("B3"));
}
