//! The dialects, one file each.

use super::{air, file, new_york, rome};
use chrono::FixedOffset;
use chrono_tz::Tz;
use tallyhook::quantity::TemperatureScale;
use tallyhook::sheet::{
    DateOrder, DecidedBy, DecimalSign, Delimiter, Encoding, Ignored, LineEnds, Meaning, Sheet, ZoneFrom,
};

fn meanings(sheet: &Sheet) -> Vec<(&str, &Meaning)> {
    sheet.understood.columns.iter().map(|column| (column.head.as_str(), &column.meaning)).collect()
}

/// RFC 4180: comma, quotation marks, CR LF. ISO 8601 with T and Z.
#[test]
fn comma_quoted_utc() {
    let sheet = file("rfc4180_iso_utc.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-03-01T10:00:00Z 12.4°C 78.1%",
            "3 2026-03-01T10:10:00Z 12.5°C 77.9%",
            "4 2026-03-01T10:20:00Z 12.3°C 78.4%",
        ]
    );
    let understood = &sheet.understood;
    assert_eq!(understood.encoding, Encoding::Utf8);
    assert_eq!(
        (understood.delimiter, understood.line_ends, understood.quoted),
        (Delimiter::Comma, LineEnds::CrLf, true)
    );
    assert_eq!((understood.lines_before_header, understood.header_line), (0, Some(1)));
    assert_eq!(understood.decimal_sign, Some(DecimalSign::Point));
    assert_eq!((understood.date_order, understood.date_order_by), (DateOrder::YearFirst, DecidedBy::Form));
    assert_eq!(understood.zone, ZoneFrom::Rows);
    assert_eq!(understood.temperature_scale, Some(TemperatureScale::Celsius));
    assert_eq!((understood.gaps, understood.duplicates, understood.faulty_lines), (0, 0, 0));
    assert!(!understood.twelve_hours && !understood.days_only);
}

/// Common practice, no source: UTF-8 with a mark, lines about the device, semicolons, decimal commas, points in dates,
/// a dew point, dashes and nothing for no value. Europe/Rome is at UTC+1 in winter (IANA).
#[test]
fn semicolons_commas_and_lines_before_the_heads() {
    let sheet = file("semicolon_german_bom.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "6 2026-02-28T22:50:00Z 12.4°C 78.1%",
            "7 2026-02-28T23:00:00Z 12.5°C 77.9%",
            "8 2026-02-28T23:10:00Z - 78.4%",
            "9 2026-02-28T23:20:00Z 12.3°C -",
        ]
    );
    let understood = &sheet.understood;
    assert_eq!((understood.encoding, understood.delimiter), (Encoding::Utf8WithMark, Delimiter::Semicolon));
    assert_eq!((understood.lines_before_header, understood.header_line), (4, Some(5)));
    assert_eq!(understood.decimal_sign, Some(DecimalSign::Comma));
    assert_eq!(
        (understood.date_order, understood.date_order_by),
        (DateOrder::DayFirst, DecidedBy::DayOverTwelve)
    );
    assert_eq!(understood.zone, ZoneFrom::Member(Tz::Europe__Rome));
    assert_eq!(understood.gaps, 2);
    assert_eq!(
        meanings(&sheet),
        [
            ("Nr.", &Meaning::Ignored(Ignored::Counter)),
            ("Datum/Uhrzeit", &Meaning::Moment),
            ("Temperatur [°C]", &Meaning::Temperature(Some(TemperatureScale::Celsius))),
            ("rel. Luftfeuchte [%]", &Meaning::Humidity),
            ("Taupunkt [°C]", &Meaning::Ignored(Ignored::DewPoint)),
        ]
    );
}

/// Common practice in the United States, no source: month first, AM and PM, °F, date and time apart. `America/New_York` is
/// at UTC−4 after 8 March 2026 (IANA); 12 AM is midnight, 12 PM noon.
#[test]
fn month_first_twelve_hours_fahrenheit() {
    let sheet = file("us_twelve_hours_fahrenheit.csv", &new_york());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-03-14T03:45:00Z 54.3°F 78%",
            "3 2026-03-14T04:00:00Z 54.1°F 79%",
            "4 2026-03-14T04:15:00Z 54°F 79%",
            "5 2026-03-14T16:00:00Z 55.2°F 77%",
            "6 2026-03-14T17:00:00Z 55.4°F 76%",
        ]
    );
    let understood = &sheet.understood;
    assert_eq!(
        (understood.date_order, understood.date_order_by),
        (DateOrder::MonthFirst, DecidedBy::DayOverTwelve)
    );
    assert!(understood.twelve_hours);
    assert_eq!(understood.temperature_scale, Some(TemperatureScale::Fahrenheit));
    assert_eq!(understood.columns[0].meaning, Meaning::Date);
    assert_eq!(understood.columns[1].meaning, Meaning::TimeOfDay);
}

/// Common practice of spreadsheets, no source: UTF-16 with a mark and tabs. Day first, as in France.
#[test]
fn utf_16_with_tabs() {
    let sheet = file("utf16_tab_french.csv", &rome());
    assert_eq!(air(&sheet), ["2 2026-02-25T09:00:00Z 12.4°C 78.1%", "3 2026-02-25T09:30:00Z 12.6°C 77.5%"]);
    assert_eq!(sheet.understood.encoding, Encoding::Utf16LittleEndian);
    assert_eq!(sheet.understood.delimiter, Delimiter::Tab);
}

/// Common practice, no source: Windows-1252, time of day with a point, as in Italy.
#[test]
fn windows_1252_with_points_in_times() {
    let sheet = file("windows1252_italian.csv", &rome());
    assert_eq!(air(&sheet), ["2 2026-02-28T22:30:00Z 12.4°C 78%", "3 2026-02-28T23:00:00Z 12.2°C 79%"]);
    assert_eq!(sheet.understood.encoding, Encoding::Windows1252);
    assert_eq!(sheet.understood.columns[3].head, "Umidità (%)");
}

/// Common practice, no source: units in the cells, each read by its own. Month first these dates would go from December
/// back to January, so the order in time decides.
#[test]
fn units_in_cells_and_the_order_in_time() {
    let sheet = file("pipe_units_in_cells.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-02-11T21:00:00Z 12.4°C 78%",
            "3 2026-02-12T21:00:00Z 12.1°C 79%",
            "4 2026-03-01T21:00:00Z 53.6°F 80%",
        ]
    );
    let understood = &sheet.understood;
    assert_eq!(understood.delimiter, Delimiter::Pipe);
    assert_eq!(
        (understood.date_order, understood.date_order_by),
        (DateOrder::DayFirst, DecidedBy::OrderInTime)
    );
    assert_eq!(understood.temperature_scale, None, "both scales are there");
}

/// Seconds since 1970 (POSIX.1, "Seconds Since the Epoch"): 1772359200 is 2026-03-01 10:00:00 UTC, 20,513 days of 86,400 s
/// and 36,000 s.
#[test]
fn seconds_since_1970() {
    assert_eq!(20_513 * 86_400 + 36_000, 1_772_359_200);
    let sheet = file("epoch_seconds.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "2 2026-03-01T10:00:00Z 12.4°C 78.1%",
            "3 2026-03-01T10:10:00Z 12.5°C -",
            "4 2026-03-01T10:20:00Z 12.6°C 77%",
        ]
    );
    assert_eq!((sheet.understood.zone, sheet.understood.gaps), (ZoneFrom::Rows, 1));
}

/// ISO 8601 with fractions and an offset in every row, newest first (common practice, no source).
#[test]
fn newest_first_with_offsets() {
    let sheet = file("newest_first_offsets.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "4 2026-03-01T10:00:00Z 54.1°F 78%",
            "3 2026-03-01T10:10:00Z 54.3°F 77.5%",
            "2 2026-03-01T10:20:00Z 54.5°F 77%",
        ]
    );
    assert_eq!(sheet.understood.zone, ZoneFrom::Rows);
}

/// Common practice, no source: the offset stands in the head, years have two figures, a title before the heads.
#[test]
fn the_offset_in_the_head_and_short_years() {
    let sheet = file("gmt_head_short_years.csv", &rome());
    assert_eq!(air(&sheet), ["3 2026-03-14T04:30:00Z 54.3°F 78.1%", "4 2026-03-14T05:30:00Z 54.1°F 78.4%"]);
    let five_west = FixedOffset::west_opt(5 * 3600).unwrap();
    assert_eq!(sheet.understood.zone, ZoneFrom::Head(five_west));
    assert_eq!(sheet.understood.lines_before_header, 1);
}

/// Common practice, no source: a line of units under the heads, and heads anew after a restart, now in °F.
#[test]
fn heads_repeated_with_another_unit() {
    let sheet = file("repeated_heads.csv", &rome());
    assert_eq!(
        air(&sheet),
        [
            "3 2026-03-01T09:00:00Z 12.4°C 78%",
            "4 2026-03-01T09:10:00Z 12.5°C 78%",
            "7 2026-03-01T09:20:00Z 54.5°F 77%",
            "8 2026-03-01T09:30:00Z 54.7°F 77%",
        ]
    );
    assert_eq!(sheet.faults, []);
}

/// Common practice of spreadsheets, no source: a first line that names the delimiter; a month in letters.
#[test]
fn the_delimiter_is_told_and_the_month_in_letters() {
    let sheet = file("utf16be_sep_spanish.csv", &rome());
    assert_eq!(air(&sheet), ["3 2026-03-01T09:00:00Z 12.4°C 78%", "4 2026-03-01T09:10:00Z 12.5°C 77.5%"]);
    assert_eq!(sheet.understood.encoding, Encoding::Utf16BigEndian);
    assert_eq!(sheet.understood.date_order_by, DecidedBy::Form);
}

/// Common practice, no source: no heads, the units tell what is what.
#[test]
fn without_heads() {
    let sheet = file("no_heads.csv", &rome());
    assert_eq!(air(&sheet), ["1 2026-03-01T09:00:00Z 12.4°C 78%", "2 2026-03-01T09:10:00Z 12.5°C 77%"]);
    assert_eq!((sheet.understood.header_line, sheet.understood.lines_before_header), (None, 0));
}

/// Common practice, no source: lines that end in CR alone.
#[test]
fn carriage_returns() {
    let sheet = file("carriage_returns.csv", &rome());
    assert_eq!(air(&sheet), ["2 2026-03-01T09:00:00Z 12.4°C 78.1%", "3 2026-03-01T09:10:00Z 12.5°C 77.9%"]);
    assert_eq!(sheet.understood.line_ends, LineEnds::Cr);
}
