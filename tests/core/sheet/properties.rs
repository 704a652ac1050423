//! What holds for every file.

use super::{now, rome};
use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use proptest::prelude::*;
use std::fmt::Write;
use tallyhook::quantity::{Temperature, TemperatureScale};
use tallyhook::sheet::{Asked, DecidedBy, Rows, read};

/// How a writer of files differs from another.
#[expect(clippy::struct_excessive_bools, reason = "each is a habit of its own")]
#[derive(Debug, Clone)]
struct Dialect {
    delimiter: char,
    decimal_comma: bool,
    date: &'static str,
    line_end: &'static str,
    quoted: bool,
    two_columns: bool,
    utf16: bool,
    lines_before: usize,
    scale: TemperatureScale,
    newest_first: bool,
}

fn dialects() -> impl Strategy<Value = Dialect> {
    let form = (
        prop_oneof![Just(','), Just(';'), Just('\t'), Just('|')],
        any::<bool>(),
        prop_oneof![Just("%Y-%m-%d"), Just("%d.%m.%Y"), Just("%d/%m/%Y"), Just("%m/%d/%Y"), Just("%d-%b-%Y")],
        prop_oneof![Just("\n"), Just("\r\n"), Just("\r")],
        any::<bool>(),
    );
    let rest = (
        any::<bool>(),
        any::<bool>(),
        0..4_usize,
        prop_oneof![Just(TemperatureScale::Celsius), Just(TemperatureScale::Fahrenheit)],
        any::<bool>(),
    );
    (form, rest).prop_map(
        |(
            (delimiter, decimal_comma, date, line_end, quoted),
            (two_columns, utf16, lines_before, scale, newest_first),
        )| {
            // Without quotation marks a decimal comma between commas would be two cells.
            let quoted = quoted || (decimal_comma && delimiter == ',');
            Dialect {
                delimiter,
                decimal_comma,
                date,
                line_end,
                quoted,
                two_columns,
                utf16,
                lines_before,
                scale,
                newest_first,
            }
        },
    )
}

/// Invented rows: tenths of a degree and of a percent, each or neither there.
type Value = (Option<i32>, Option<u32>);

fn values() -> impl Strategy<Value = Vec<Value>> {
    let value =
        (proptest::option::weighted(0.9, -200..400_i32), proptest::option::weighted(0.9, 11..1000_u32));
    proptest::collection::vec(value, 1..60)
}

fn tenths(value: Option<i64>, comma: bool) -> String {
    let Some(value) = value else { return String::new() };
    let sign = if value < 0 { "-" } else { "" };
    let mark = if comma { ',' } else { '.' };
    format!("{sign}{}{mark}{}", value.abs() / 10, value.abs() % 10)
}

fn written(dialect: &Dialect, rows: &[(DateTime<Utc>, Value)]) -> Vec<u8> {
    let cell = |text: String| if dialect.quoted { format!("\"{text}\"") } else { text };
    let join = |cells: Vec<String>| {
        cells.into_iter().map(cell).collect::<Vec<_>>().join(&dialect.delimiter.to_string())
            + dialect.line_end
    };
    let mut text = String::new();
    for line in 0..dialect.lines_before {
        write!(text, "Invented device line {line}{}", dialect.line_end).unwrap();
    }
    let time = if dialect.two_columns { vec!["Date", "Time"] } else { vec!["Date/Time"] };
    let head = format!("Temperature ({})", dialect.scale.symbol());
    let heads = time.into_iter().chain([head.as_str(), "Humidity (%)"]).map(str::to_owned);
    text.push_str(&join(heads.collect()));
    let line = |(at, (temperature, humidity)): &(DateTime<Utc>, Value)| {
        let date = at.format(dialect.date).to_string();
        let time = at.format("%H:%M:%S").to_string();
        let mut cells = if dialect.two_columns { vec![date, time] } else { vec![format!("{date} {time}")] };
        cells.push(tenths(temperature.map(i64::from), dialect.decimal_comma));
        cells.push(tenths(humidity.map(i64::from), dialect.decimal_comma));
        join(cells)
    };
    let mut lines: Vec<String> = rows.iter().map(line).collect();
    if dialect.newest_first {
        lines.reverse();
    }
    text.push_str(&lines.concat());
    if !dialect.utf16 {
        return text.into_bytes();
    }
    [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the dialect, what was written is what is read; the day is over 12 in some row, so nothing is asked.
    #[test]
    fn rows_come_back_from_every_dialect(dialect in dialects(), values in values(), minutes in 1..600_i64) {
        let start: DateTime<Utc> = "2025-08-20T00:00:00Z".parse().unwrap();
        let at = |row: usize| start + TimeDelta::minutes(minutes * i64::try_from(row).unwrap());
        let mut rows: Vec<(DateTime<Utc>, Value)> = values.into_iter().enumerate().map(|(row, value)| (at(row), value)).collect();
        rows[0].1.0 = rows[0].1.0.or(Some(123));
        let asked = Asked::new(Tz::UTC, now());
        let sheet = read(&written(&dialect, &rows), &asked).unwrap();
        prop_assert_eq!(&sheet.faults, &[]);
        let Rows::Air(read) = &sheet.rows else { panic!("weights") };
        let kept: Vec<_> = rows.iter().filter(|(_, (temperature, humidity))| temperature.is_some() || humidity.is_some()).collect();
        prop_assert_eq!(read.len(), kept.len());
        for (found, (at, (temperature, humidity))) in read.iter().zip(kept) {
            prop_assert_eq!(found.at, *at);
            let degrees = temperature.map(|tenths| Temperature::new(f64::from(tenths) / 10.0, dialect.scale));
            prop_assert_eq!(found.values.temperature, degrees);
            prop_assert_eq!(found.values.humidity.map(|read| (read.as_percent() * 10.0).round()), humidity.map(f64::from));
        }
        let gaps = rows.iter().map(|(_, (temperature, humidity))| u32::from(temperature.is_none()) + u32::from(humidity.is_none())).sum::<u32>();
        prop_assert_eq!(sheet.understood.gaps, gaps);
        let by = sheet.understood.date_order_by;
        prop_assert!(matches!(by, DecidedBy::Form | DecidedBy::DayOverTwelve), "{:?}", by);
    }

    /// Any bytes: an answer, no panic.
    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let _ = read(&bytes, &rome());
    }

    /// Anything made of the pieces that files are made of: an answer, and whatever is said is short and harmless.
    #[test]
    fn any_pieces(pieces in proptest::collection::vec(pieces(), 0..80)) {
        let text = pieces.concat();
        match read(text.as_bytes(), &rome()) {
            Ok(sheet) => {
                let count = match &sheet.rows { Rows::Air(rows) => rows.len(), Rows::Weights(rows) => rows.len() };
                prop_assert!(count > 0);
                let lines = u32::try_from(text.matches(['\n', '\r']).count() + 1).unwrap();
                for fault in &sheet.faults {
                    prop_assert!((1..=lines).contains(&fault.place.line));
                    prop_assert!(fault.place.text.chars().count() <= 41);
                    prop_assert!(!fault.place.text.starts_with(['=', '@']));
                }
            }
            Err(refused) => {
                let said = format!("{refused:?}");
                prop_assert!(said.len() < 100_000);
            }
        }
    }

    /// No figure is dropped: what is read of a cell is the number that Rust reads, or a fault.
    #[test]
    fn no_figure_is_dropped(whole in "[0-9]{1,6}", mark in "[.,' ]?", decimals in "[0-9]{0,6}") {
        let text = format!("{whole}{mark}{decimals}");
        let table = format!("Date;B1 (g);B2 (g)\n2026-03-01 10:00;{text};0.5\n2026-03-01 11:00;;0.25\n");
        let sheet = read(table.as_bytes(), &rome()).unwrap();
        let Rows::Weights(rows) = &sheet.rows else { panic!("air") };
        let found = rows.iter().flat_map(|row| &row.values).find(|weighed| weighed.column == 2);
        if let Some(weighed) = found {
            let plain: f64 = text.trim().parse().unwrap();
            prop_assert_eq!(weighed.mass.as_grams().to_bits(), plain.to_bits(), "{}", text);
        } else {
            prop_assert_eq!(sheet.faults.len(), 1, "{}", text);
        }
    }
}

fn pieces() -> impl Strategy<Value = String> {
    let fixed = [
        "Date",
        "Time",
        "Datum/Uhrzeit",
        "Temperature (°C)",
        "Temp",
        "RH %",
        "B1 (g)",
        "#2",
        ",",
        ";",
        "\t",
        "|",
        "\n",
        "\r\n",
        "\r",
        "\"",
        "\"\"",
        "2026-03-01",
        "01/02/2026",
        "13.02.26",
        "10:00",
        "12:30 AM",
        "24:00",
        "T",
        "Z",
        "+02:00",
        "23.4",
        "-5",
        "1,234",
        "78 %",
        "°F",
        "kg",
        "---",
        "NaN",
        "HI",
        "=1+1",
        "@x",
        "1772359200",
        "\u{feff}",
        "\u{202e}",
        "\u{0}",
        "é",
        " ",
        "sep=;",
        "UTC+1",
        "9999999999999999999999999",
    ];
    prop_oneof![9 => proptest::sample::select(fixed.to_vec()).prop_map(str::to_owned), 1 => any::<String>()]
}
