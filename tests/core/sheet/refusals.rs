//! What is not taken, with line and column.

use super::{air, bytes, file, refused, rome};
use chrono_tz::Tz;
use tallyhook::quantity::{Temperature, TemperatureScale};
use tallyhook::sheet::{Asked, Binary, DateOrder, DecidedBy, Ignored, Meaning, Refused, What, read};

fn day(text: &str) -> chrono::NaiveDate {
    text.parse().unwrap()
}

/// One line of each kind of fault among good ones; the good ones stay.
#[test]
fn faults_name_line_column_and_text() {
    let sheet = file("faulty_lines.csv", &rome());
    assert_eq!(air(&sheet), ["2 2026-03-01T09:00:00Z 12.4°C 78%", "16 2026-03-01T10:50:00Z 12.6°C 77%"]);
    let future = What::InFuture { at: "2027-03-01T10:20:00Z".parse().unwrap() };
    let expected = [
        (3, 2, "HI", What::NotANumber),
        (4, 3, "178", What::OutOfRange),
        (5, 2, "'=1+1", What::Formula),
        (6, 1, "2026-03-01 10:40", What::Cells { found: 2, expected: 3 }),
        (7, 1, "2026-03-01 10:50", What::Cells { found: 4, expected: 3 }),
        (8, 2, "1.234,5", What::Thousands),
        (9, 2, "12.5", What::OtherDecimalSign),
        (10, 1, "about eleven", What::NotATime),
        (11, 1, "2027-03-01 11:20", future),
        (12, 2, "12,5 kg", What::OtherUnit),
        (14, 2, "13,4", What::SaysOtherwise { earlier_line: 2 }),
        (15, 2, "121", What::OutOfRange),
    ];
    let found: Vec<_> = sheet
        .faults
        .iter()
        .map(|fault| (fault.place.line, fault.place.column, fault.place.text.as_str(), fault.what.clone()))
        .collect();
    assert_eq!(found, expected);
    assert_eq!((sheet.understood.faulty_lines, sheet.understood.duplicates), (12, 1));
}

#[test]
fn files_that_are_no_text() {
    let of = |bytes: &[u8]| read(bytes, &rome()).unwrap_err();
    assert_eq!(of(b""), Refused::Empty);
    assert_eq!(of(b" \r\n\r\n"), Refused::Empty);
    assert_eq!(of(b"%PDF-1.7\n1 0 obj\n"), Refused::NotText(Binary::Pdf));
    assert_eq!(of(b"PK\x03\x04rest"), Refused::NotText(Binary::Zip));
    assert_eq!(of(b"\x89PNG\r\n\x1a\n"), Refused::NotText(Binary::Picture));
    let small = Asked { most_bytes: 10, ..rome() };
    let file = bytes("no_heads.csv");
    assert_eq!(read(&file, &small), Err(Refused::TooBig { bytes: file.len(), most: 10 }));
    let long = format!("Date,Temp (C)\n{}", "2026-03-01 10:00,12\n".repeat(400_001));
    assert!(read(long.as_bytes(), &rome()).is_ok(), "lines alone are not too many");
    let wide = format!("Date,Temp (C)\n{}", ",".repeat(7_000_000));
    assert_eq!(read(wide.as_bytes(), &rome()), Err(Refused::TooLong { line: 2 }));
}

#[test]
fn columns_that_are_missing() {
    assert_eq!(
        refused("a,b\n1,2\n", &rome()),
        Refused::NoTime { first_line: tallyhook::sheet::Place { line: 1, column: 1, text: "a,b".into() } }
    );
    let Refused::Elapsed(place) = refused("Time (s),Temp (C)\n0,12.4\n60,12.5\n", &rome()) else {
        panic!("taken")
    };
    assert_eq!((place.line, place.column, place.text.as_str()), (1, 1, "Time (s)"));
    let elapsed = refused("Elapsed,Temp (C)\n00:00:00,12.4\n00:10:00,12.5\n", &rome());
    assert!(matches!(elapsed, Refused::Elapsed(_)), "{elapsed:?}");
    let Refused::NoDate(place) = refused("Time,Temp (C)\n10:00,12.4\n10:10,12.5\n", &rome()) else {
        panic!("taken")
    };
    assert_eq!((place.line, place.column), (1, 1));
    let no_value = refused("Date,Battery (%),Note\n2026-03-01 10:00,98,cold\n", &rome());
    assert_eq!(
        no_value,
        Refused::NoValue { line: 1, heads: vec!["Date".into(), "Battery (%)".into(), "Note".into()] }
    );
    assert_eq!(refused("Date,Temp (C)\n", &rome()), Refused::NoRows { header_line: Some(1) });
    assert_eq!(
        refused("Date,Temp (C)\n2026-03-01 10:00,\n", &rome()),
        Refused::NoRows { header_line: Some(1) }
    );
    assert_eq!(refused("Date,\"Temp (C)\n2026-03-01 10:00,12\n", &rome()), Refused::QuoteOpen { line: 1 });
}

#[test]
fn a_scale_is_asked_for_with_both_readings() {
    let table = "Date,Temperature,RH\n2026-03-01 10:00,54.5,78\n";
    let Refused::ScaleUnknown { place, celsius, fahrenheit } = refused(table, &rome()) else {
        panic!("taken")
    };
    assert_eq!((place.line, place.column, place.text.as_str()), (2, 2, "54.5"));
    assert_eq!((celsius, fahrenheit), (Temperature::celsius(54.5), Temperature::fahrenheit(54.5)));
    let asked = Asked { temperature: Some(TemperatureScale::Fahrenheit), ..rome() };
    assert_eq!(air(&read(table.as_bytes(), &asked).unwrap()), ["2 2026-03-01T09:00:00Z 54.5°F 78%"]);
    // A line before the heads may say it.
    let told = format!("Temperature unit,F\n{table}");
    assert_eq!(air(&read(told.as_bytes(), &rome()).unwrap()), ["3 2026-03-01T09:00:00Z 54.5°F 78%"]);
}

#[test]
fn mixed_units_are_faults_where_a_bare_number_could_be_either() {
    let table = "Date,Temp (°C)\n2026-03-01 10:00,12.4\n2026-03-01 10:10,54.5 °F\n2026-03-01 10:20,54.7\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    assert_eq!(air(&sheet), ["2 2026-03-01T09:00:00Z 12.4°C -", "3 2026-03-01T09:10:00Z 54.5°F -"]);
    let fault = &sheet.faults[0];
    assert_eq!((fault.place.line, fault.place.column, &fault.what), (4, 2, &What::MixedUnits));
}

#[test]
fn a_humidity_of_parts_of_one_is_not_taken_for_percent() {
    let table = "Date,Humidity\n2026-03-01 10:00,0.78\n2026-03-01 10:10,0.81\n";
    let Refused::UnitUnknown { place, head } = refused(table, &rome()) else { panic!("taken") };
    assert_eq!((place.line, place.text.as_str(), head.as_str()), (3, "0.81", "Humidity"));
}

#[test]
fn day_or_month_is_asked_with_both_readings() {
    let table = "Date,Temp (C)\n03/04/2026 10:00,12.4\n03/04/2026 10:10,12.5\n";
    let Refused::DayOrMonth { place, readings } = refused(table, &rome()) else { panic!("taken") };
    assert_eq!((place.line, place.column, place.text.as_str()), (2, 1, "03/04/2026 10:00"));
    let expected = [(DateOrder::DayFirst, day("2026-04-03")), (DateOrder::MonthFirst, day("2026-03-04"))];
    assert_eq!(readings, expected);
    // In April Rome is at UTC+2, in March, before the 29th, at UTC+1 (IANA).
    let order = |order| Asked { date_order: Some(order), ..rome() };
    let day_first = read(table.as_bytes(), &order(DateOrder::DayFirst)).unwrap();
    assert_eq!(air(&day_first)[0], "2 2026-04-03T08:00:00Z 12.4°C -");
    let month_first = read(table.as_bytes(), &order(DateOrder::MonthFirst)).unwrap();
    assert_eq!(air(&month_first)[0], "2 2026-03-04T09:00:00Z 12.4°C -");
    assert_eq!(month_first.understood.date_order_by, DecidedBy::Asked);
}

#[test]
fn what_decides_between_day_and_month() {
    let by = |table: &str| {
        let sheet = read(table.as_bytes(), &rome()).unwrap();
        (sheet.understood.date_order, sheet.understood.date_order_by)
    };
    assert_eq!(by("Date,Temp (C)\n03.04.2026 10:00,12\n"), (DateOrder::DayFirst, DecidedBy::Points));
    assert_eq!(by("Date (mm/dd/yyyy),Temp (C)\n03/04/2026,12\n"), (DateOrder::MonthFirst, DecidedBy::Head));
    assert_eq!(by("Date,Temp (C)\n04/04/2026 10:00,12\n"), (DateOrder::DayFirst, DecidedBy::SameEitherWay));
    // On 26 November 2026 the 10 December lies ahead.
    assert_eq!(by("Date,Temp (C)\n10/12/2026 10:00,12\n"), (DateOrder::MonthFirst, DecidedBy::NotInFuture));
    let mixed = refused("Date,Temp (C)\n13/02/2026 10:00,12\n02/14/2026 10:00,12\n", &rome());
    let Refused::DatesMixed { first, second } = mixed else { panic!("{mixed:?}") };
    assert_eq!((first.line, second.line), (2, 3));
    // With two figures each, the year may come first.
    let short = refused("Date,Temp (C)\n24/03/11 10:00,12\n", &rome());
    let Refused::DayOrMonth { readings, .. } = short else { panic!("{short:?}") };
    let expected = [(DateOrder::DayFirst, day("2011-03-24")), (DateOrder::YearFirst, day("2024-03-11"))];
    assert_eq!(readings, expected);
}

#[test]
fn the_future_is_refused() {
    let Refused::InFuture { first, line } =
        refused("Date,Temp (C)\n2027-03-01 10:10,12\n2027-03-01 10:00,12\n", &rome())
    else {
        panic!("taken")
    };
    assert_eq!((first.to_rfc3339().as_str(), line), ("2027-03-01T09:00:00+00:00", 3));
    // Now is 13:00 in Rome; a clock may be five minutes ahead.
    let table = "Date,Temp (C)\n2026-11-26 13:05,12\n2026-11-26 13:06,12\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    assert_eq!((air(&sheet).len(), sheet.faults[0].place.line), (1, 3));
}

#[test]
fn heads_that_are_formulas_are_defused() {
    let table = "Date,Temp (C),\"=cmd|'/C calc'!A0\"\n2026-03-01 10:00,12.4,1\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    let column = &sheet.understood.columns[2];
    assert_eq!(
        (column.head.as_str(), &column.meaning),
        ("'=cmd|'/C calc'!A0", &Meaning::Ignored(Ignored::Other))
    );
}

#[test]
fn several_sensors_are_listed_and_one_can_be_chosen() {
    let table = "Time,Set temp (°C),Temp 1 (°C),Temp 2 (°C),RH (%)\n2026-03-01 10:00,12,12.4,14.6,78\n";
    let sheet = read(table.as_bytes(), &rome()).unwrap();
    assert_eq!(air(&sheet), ["2 2026-03-01T09:00:00Z 12.4°C 78%"]);
    let meanings: Vec<&Meaning> = sheet.understood.columns.iter().map(|column| &column.meaning).collect();
    assert_eq!(meanings[1], &Meaning::Ignored(Ignored::SetPoint));
    assert_eq!(meanings[3], &Meaning::Ignored(Ignored::Another));
    let second = Asked { temperature_column: Some(4), ..rome() };
    assert_eq!(air(&read(table.as_bytes(), &second).unwrap()), ["2 2026-03-01T09:00:00Z 14.6°C 78%"]);
    let none = Asked { temperature_column: Some(6), ..rome() };
    assert_eq!(refused(table, &none), Refused::NoSuchColumn { column: 6, columns: 5 });
}

#[test]
fn a_zone_before_the_heads_counts() {
    let table = "Time zone: UTC+3\nDate,Temp (C)\n2026-03-01 10:00,12.4\n";
    let asked = Asked::new(Tz::America__New_York, "2026-11-26T12:00:00Z".parse().unwrap());
    assert_eq!(air(&read(table.as_bytes(), &asked).unwrap()), ["3 2026-03-01T07:00:00Z 12.4°C -"]);
}
