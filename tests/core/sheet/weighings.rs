//! Tables of weighings.

use super::{air, file, refused, rome, weights};
use chrono_tz::Tz;
use tallyhook::quantity::{MassUnit, TemperatureScale};
use tallyhook::sheet::{Asked, DecidedBy, DecimalSign, Ignored, Kind, Meaning, Refused, What, read};

fn weight(batch: &str, piece: Option<u32>, unit: Option<MassUnit>) -> Meaning {
    Meaning::Weight { batch: batch.to_owned(), piece, unit }
}

/// Common practice, no source: a piece per column, days without a time, notes. Europe/Rome is at UTC+1 in February (IANA),
/// so nine in the morning is 08:00 UTC.
#[test]
fn a_piece_per_column() {
    let sheet = file("weighings_pieces.csv", &rome());
    assert_eq!(
        weights(&sheet),
        [
            "2 2026-02-01T08:00:00Z 2:812 3:798.5",
            "3 2026-02-14T17:30:00Z 2:701",
            "4 2026-02-28T08:00:00Z 2:633.5 3:612",
        ]
    );
    let understood = &sheet.understood;
    assert_eq!((understood.gaps, understood.days_only), (1, true));
    assert_eq!(understood.date_order_by, DecidedBy::DayOverTwelve);
    assert_eq!(understood.decimal_sign, Some(DecimalSign::Comma));
    let meanings: Vec<&Meaning> = understood.columns.iter().map(|column| &column.meaning).collect();
    let gram = Some(MassUnit::Gram);
    let notes = Meaning::Ignored(Ignored::Other);
    assert_eq!(
        meanings,
        [&Meaning::Moment, &weight("B1", Some(1), gram), &weight("B1", Some(2), gram), &notes]
    );
}

/// A pound is 453.59237 g, an ounce a sixteenth of it (international yard and pound agreement, 1959): 1.5 lb are
/// 680.388555 g, 1 lb 4 oz 566.9904625 g.
#[test]
fn units_in_heads_and_cells() {
    let sheet = file("weighings_kg_lb.csv", &rome());
    assert_eq!(
        weights(&sheet),
        [
            "2 2026-02-01T08:00:00Z 2:812 3:680.388555 4:2001",
            "3 2026-02-14T08:00:00Z 2:701 3:566.9904625 4:1750",
        ]
    );
    assert_eq!(sheet.understood.columns[1].meaning, weight("Finocchiona", None, None));
    assert_eq!(sheet.understood.columns[2].meaning, weight("", Some(3), Some(MassUnit::Pound)));
    assert_eq!(sheet.understood.columns[3].meaning, weight("B2", None, Some(MassUnit::Kilogram)));
}

#[test]
fn a_unit_is_asked_for_by_the_name_of_the_column() {
    let table = "Date,B1,B2\n2026-02-01,812,1790\n2026-02-14,701,1650\n";
    let Refused::UnitUnknown { place, head } = refused(table, &rome()) else { panic!("taken") };
    assert_eq!((place.line, place.column, place.text.as_str(), head.as_str()), (2, 2, "812", "B1"));
    let asked = Asked { mass: Some(MassUnit::Gram), ..rome() };
    assert_eq!(weights(&read(table.as_bytes(), &asked).unwrap())[0], "2 2026-02-01T08:00:00Z 2:812 3:1790");
}

#[test]
fn thousands_are_never_guessed() {
    let table = "Date;B1 (g)\n2026-02-01;1.234\n2026-02-14;1.101\n";
    let Refused::DecimalUnclear { place, sign } = refused(table, &rome()) else { panic!("taken") };
    assert_eq!((place.line, place.column, place.text.as_str(), sign), (2, 2, "1.234", DecimalSign::Point));
    let decimals = Asked { decimal_sign: Some(DecimalSign::Point), ..rome() };
    assert_eq!(weights(&read(table.as_bytes(), &decimals).unwrap())[0], "2 2026-02-01T08:00:00Z 2:1.234");
    let thousands = Asked { decimal_sign: Some(DecimalSign::Comma), ..rome() };
    let Refused::AllFaulty { first, lines } = refused(table, &thousands) else { panic!("taken") };
    assert_eq!((first.what, lines), (What::Thousands, 2));
}

#[test]
fn what_is_no_weight_is_a_fault() {
    let table =
        "Date,B1 (g)\n2026-02-01,812\n2026-02-02,0\n2026-02-03,-5\n2026-02-04,about 700\n2026-02-05,12 %\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    let faults: Vec<(u32, &What)> =
        sheet.faults.iter().map(|fault| (fault.place.line, &fault.what)).collect();
    assert_eq!(
        faults,
        [(3, &What::OutOfRange), (4, &What::OutOfRange), (5, &What::NotANumber), (6, &What::OtherUnit)]
    );
}

#[test]
fn a_room_beside_weights_is_left_unless_it_is_asked_for() {
    let table = "Date,B1 (g),Room (°C)\n2026-02-01,812,12.5\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    assert_eq!(weights(&sheet), ["2 2026-02-01T08:00:00Z 2:812"]);
    let asked = Asked { kind: Some(Kind::Air), ..rome() };
    assert_eq!(air(&read(table.as_bytes(), &asked).unwrap()), ["2 2026-02-01T08:00:00Z 12.5°C -"]);
    assert_eq!(sheet.understood.temperature_scale, None::<TemperatureScale>);
}

#[test]
fn other_heads_further_down_are_refused() {
    let table = "Date,B1 (g)\n2026-02-01,812\nDate,B2 (g)\n2026-02-02,900\n";
    assert_eq!(refused(table, &rome()), Refused::HeadsChanged { line: 3 });
    let same = "Date,B1 (g)\n2026-02-01,812\nDate,B1 (g)\n2026-02-02,800\n";
    assert_eq!(weights(&read(same.as_bytes(), &rome()).unwrap()).len(), 2);
}

/// Weighed before nine, and the file sent at once: the row of today is no row of the future.
#[test]
fn a_row_that_says_only_today_is_of_now_before_nine() {
    let table = "Date,B1 [g]\n2026-02-13,812\n2026-02-14,701\n2026-02-15,690\n";
    let early = Asked::new(Tz::Europe__Rome, "2026-02-14T06:30:00Z".parse().unwrap());
    let sheet = read(table.as_bytes(), &early).unwrap();
    assert_eq!(weights(&sheet), ["2 2026-02-13T08:00:00Z 2:812", "3 2026-02-14T06:30:00Z 2:701"]);
    assert_eq!(sheet.understood.faulty_lines, 1, "tomorrow is still to come");
    let late = Asked::new(Tz::Europe__Rome, "2026-02-14T20:00:00Z".parse().unwrap());
    let sheet = read(table.as_bytes(), &late).unwrap();
    assert_eq!(weights(&sheet)[1], "3 2026-02-14T08:00:00Z 2:701");
}
