//! The tables for a spreadsheet: what is read back is what was kept, and nothing in them is a formula. All invented.

use crate::record_file::{after, desk, exported, reply};
use crate::store_world::{ANNA, BOX, event, minute, world};
use chrono::{DateTime, Utc};
use naughty_strings::BLNS;
use proptest::prelude::*;
use std::collections::BTreeMap;
use tallyhook::desk::Desk;
use tallyhook::quantity::{RelativeHumidity, Temperature};
use tallyhook::record::{AirRow, EventId, Happening, LoggedAir, Subject};
use tallyhook::reply::File;
use tallyhook::store::Change;

type Row = BTreeMap<String, String>;

/// The rows of a table by the names of their columns.
fn read(file: &File) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(&file.bytes[..]);
    let header = reader.headers().unwrap().clone();
    let named = |record: csv::StringRecord| {
        header.iter().zip(record.iter()).map(|(name, cell)| (name.to_owned(), cell.to_owned())).collect()
    };
    reader.records().map(|record| named(record.unwrap())).collect()
}

async fn tables(desk: &Desk, member: &str, at: DateTime<Utc>) -> [File; 2] {
    let files = exported(desk, member, at).await;
    let table = |name: &str| files.iter().find(|file| file.name == name).unwrap().clone();
    [table("tallyhook-readings.csv"), table("tallyhook-entries.csv")]
}

fn cells<'a>(row: &'a Row, names: &[&str]) -> Vec<&'a str> {
    names.iter().map(|name| row.get(*name).unwrap_or_else(|| panic!("no {name}")).as_str()).collect()
}

// By hand: 505 g less 5 g of tare is 500 g net, 1.1023 lb (453.59237 g each); 71.6 °F is 22 °C; Rome is two hours ahead
// of UTC until the last Sunday of October, 25 October 2026, and one hour after it.
#[tokio::test]
async fn readings_have_their_units_and_both_times() {
    let story = "\
@at 2026-10-24T08:00:00Z
mara> me set country:IT timezone:Europe/Rome mass:lb cure:g temperature:F scale:0.1 g
mara> batch start name:Juniper kind:fermented-sausage meat:2 kg pork casing:45 mm loss:38% ph:5.1
mara> batch piece batch:B1 weights:505 498 g tare:5 g
@at 2026-10-25T08:00:00Z
mara> batch stage batch:B1 to:fermenting
mara> ph 5.4 at 20 C, 71.6 F 88%
mara> #1 490 g
@at 2026-10-25T09:00:00Z
mara! chamber set temperature:-2.5 C
";
    let (desk, now) = after(story).await;
    let [readings, entries] = tables(&desk, "mara", now).await;
    let rows = read(&readings);
    let weights = ["kind", "batch", "batch_name", "piece", "gross_weight_g", "tare_g", "net_weight_g"];
    assert_eq!(cells(&rows[0], &weights), ["pieces_hung", "B1", "Juniper", "1", "505", "5", "500"]);
    assert_eq!(cells(&rows[1], &weights), ["pieces_hung", "B1", "Juniper", "2", "498", "5", "493"]);
    assert_eq!(cells(&rows[0], &["net_weight_lb"]), ["1.1023"]);
    let times = ["time_utc", "time_local", "zone"];
    assert_eq!(cells(&rows[0], &times), ["2026-10-24T08:00:00Z", "2026-10-24T10:00:00+02:00", "Europe/Rome"]);
    assert_eq!(cells(&rows[2], &times), ["2026-10-25T08:00:00Z", "2026-10-25T09:00:00+01:00", "Europe/Rome"]);
    let ph = ["kind", "ph", "ph_instrument", "sample_temperature_c", "sample_temperature_f"];
    assert_eq!(cells(&rows[2], &ph), ["ph", "5.4", "meter", "20", "68"]);
    let air = ["kind", "chamber_or_meter", "temperature_c", "temperature_f", "humidity_percent"];
    assert_eq!(cells(&rows[3], &air), ["room_reading", "home", "22", "71.6", "88"]);
    assert_eq!(cells(&rows[4], &weights)[..6], ["weight", "B1", "Juniper", "1", "490", "5"]);
    // A number below zero is a number.
    assert_eq!(cells(&rows[5], &air)[..4], ["room_setting", "home", "-2.5", "27.5"]);
    let rows = read(&entries);
    assert_eq!(
        cells(&rows[0], &["entry", "kind", "by", "status"]),
        ["1", "batch_started", "owner", "counts"]
    );
    assert!(rows[0]["typed"].starts_with("batch start name:Juniper"), "{:?}", rows[0]);
    assert_eq!(rows.last().unwrap()["typed"], "chamber set temperature:-2.5 C");
}

/// Grams and degrees Celsius alone for who thinks in them; CRLF, and a byte order mark in front (RFC 4180, section 2.1).
#[tokio::test]
async fn a_table_is_as_rfc_4180_says() {
    let (desk, now) = after("@at 2026-10-24T08:00:00Z\nmara> chamber add name:\"Cool, \"\n").await;
    for table in tables(&desk, "mara", now).await {
        let text = String::from_utf8(table.bytes).unwrap();
        let text = text.strip_prefix('\u{FEFF}').unwrap();
        assert!(text.ends_with("\r\n") && text.starts_with("entry,status,corrected_by,"), "{text}");
        assert!(!text.contains("_lb") && !text.contains("_f,"), "{text}");
        assert_eq!(table.media_type, "text/csv");
    }
}

#[tokio::test]
async fn what_was_put_right_is_marked_and_not_hidden() {
    let story = "\
@at 2026-11-02T08:00:00Z
mara> batch start name:Juniper kind:dried-sausage meat:1 kg pork loss:38%
mara> batch piece batch:B1 weights:505 g
mara> B1 #1 490 g
mara> log change id:4 text:#1 480 g
mara> B1 #1 470 g
mara> log undo id:6
";
    let (desk, now) = after(story).await;
    let [readings, entries] = tables(&desk, "mara", now).await;
    let columns = ["entry", "kind", "gross_weight_g", "status", "corrected_by", "corrects"];
    let rows = read(&readings);
    let told: Vec<Vec<&str>> = rows.iter().map(|row| cells(row, &columns)).collect();
    assert_eq!(
        told,
        [
            ["2", "pieces_hung", "505", "counts", "", ""],
            ["4", "weight", "490", "changed", "5", ""],
            ["5", "weight", "480", "counts", "", "4"],
            ["6", "weight", "470", "undone", "7", ""],
        ]
    );
    let rows = read(&entries);
    let last = rows.last().unwrap();
    assert_eq!(cells(last, &["entry", "kind", "corrects", "status"]), ["7", "undone", "6", "counts"]);
}

/// A logger's file has a table of its own, with the same marks.
#[tokio::test]
async fn what_a_logger_measured_is_a_table_of_its_own() {
    let store = world().await;
    let row = |at, temperature, humidity: Option<f64>| AirRow {
        at: minute(at),
        temperature,
        humidity: humidity.map(RelativeHumidity::percent),
    };
    let rows = vec![
        row(0, Some(Temperature::celsius(-1.5)), Some(80.5)),
        row(10, Some(Temperature::fahrenheit(50.0)), None),
    ];
    let file = Happening::AirLogged { file: "=box.csv".to_owned(), first: minute(0), rows: 2 };
    let undone = Happening::Undone { of: EventId(2) };
    let change = Change {
        events: vec![
            event(2, Subject::Chamber(BOX), minute(10), ANNA, file),
            event(3, Subject::Chamber(BOX), minute(11), ANNA, undone),
        ],
        logged: vec![LoggedAir { entry: EventId(2), rows }],
        ..Change::default()
    };
    store.commit(change).await.unwrap();
    let files = exported(&Desk::new(store), "Anna", minute(20)).await;
    let file = files.iter().find(|file| file.name == "tallyhook-logged-air.csv").unwrap();
    let columns =
        ["entry", "status", "chamber", "time_utc", "time_local", "temperature_c", "humidity_percent"];
    let table = read(file);
    let told: Vec<Vec<&str>> = table.iter().map(|row| cells(row, &columns)).collect();
    // By definition 50 °F is 10 °C; Rome is an hour ahead of UTC in winter.
    let first = ["2", "undone", "Box", "2026-01-01T00:00:00Z", "2026-01-01T01:00:00+01:00", "-1.5", "80.5"];
    let second = ["2", "undone", "Box", "2026-01-01T00:10:00Z", "2026-01-01T01:10:00+01:00", "10", ""];
    assert_eq!(told, [first, second]);
    assert_harmless(file);
}

/// What a helper logs is the batch's; who they are and what they typed is theirs, and so is everything else of others.
#[tokio::test]
async fn nothing_of_others_is_in_any_file() {
    let desk = desk().await;
    let at = |minutes: i64| DateTime::from_timestamp(1_790_000_000 + 60 * minutes, 0).unwrap();
    for (member, line, minute) in [
        ("mara", "batch start name:Juniper kind:dried-sausage meat:1 kg pork loss:38%", 0),
        ("mara", "batch piece batch:B1 weights:505 g", 1),
        ("zebedee", "batch start name:Quagga kind:dried-sausage meat:1 kg pork loss:38%", 2),
        ("zebedee", "chamber add name:Okapi", 3),
        ("zebedee", "formulation save name:Tapir item:2.5% salt", 4),
        ("zebedee", "me set country:IT timezone:Asia/Tokyo", 5),
        ("mara", "batch helper batch:B1 member:zebedee", 6),
        ("zebedee", "batch helper batch:B1 accept:yes", 7),
        ("zebedee", "B1 #1 487.25 g", 8),
    ] {
        reply(&desk, member, line, at(minute)).await;
    }
    let files = exported(&desk, "mara", at(20)).await;
    assert_eq!(files.len(), 3);
    for file in files {
        let text = String::from_utf8(file.bytes).unwrap();
        assert!(text.contains("487.25"), "{}", file.name);
        for theirs in ["zebedee", "Quagga", "Okapi", "Tapir", "#1 487.25 g"] {
            assert!(!text.contains(theirs), "{theirs} is in {}: {text}", file.name);
        }
    }
    // And in the helper's own file stands what they wrote, but not the batch.
    let files = exported(&desk, "zebedee", at(20)).await;
    let text = String::from_utf8(files.into_iter().next().unwrap().bytes).unwrap();
    assert!(text.contains("#1 487.25 g") && !text.contains("Juniper"), "{text}");
}

/// Whether a spreadsheet would work a cell out. A number may begin with a sign; nothing else may.
fn is_formula(cell: &str) -> bool {
    let begins = cell.trim_start_matches(|letter: char| letter.is_whitespace() || letter == '"');
    let is_active = begins.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    is_active && cell.parse::<f64>().is_err()
}

/// The cells that a spreadsheet finds that takes another sign between cells, as it does where the comma is the decimal
/// sign: quotation marks count only where a cell begins (as RFC 4180 has it, and as the common programs do).
fn cells_between(separator: u8, bytes: &[u8]) -> Vec<String> {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(bytes);
    let records = reader.records().map(Result::unwrap);
    records.flat_map(|record| record.iter().map(str::to_owned).collect::<Vec<_>>()).collect()
}

fn assert_harmless(file: &File) {
    for separator in [b',', b';', b'\t'] {
        for cell in cells_between(separator, &file.bytes) {
            assert!(!is_formula(&cell), "{cell:?} in {}", file.name);
            // What a program drops in front of a cell would let the rest begin it.
            let is_bare = cell.starts_with(['\t', '\r', '\n']);
            assert!(separator != b',' || !is_bare, "{cell:?} in {}", file.name);
        }
    }
}

fn at() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

/// A batch whose notes are these texts, as far as they are taken.
async fn with_notes(texts: &[String]) -> (Desk, Vec<String>) {
    let desk = desk().await;
    let start = "batch start name:=1+1 kind:dried-sausage meat:1 kg pork loss:38%";
    reply(&desk, "mara", start, at()).await;
    let mut kept = Vec::new();
    for text in texts {
        let said = tallyhook::desk::Said::Options {
            root: "batch".to_owned(),
            verb: "note".to_owned(),
            options: vec![("batch".to_owned(), "B1".to_owned()), ("text".to_owned(), text.clone())],
        };
        let incoming =
            tallyhook::desk::Incoming { said, ..tallyhook::desk::Incoming::line("home", "mara", "", at()) };
        if let tallyhook::desk::Answered::Reply(_) = desk.answer(&incoming).await {
            kept.push(text.clone());
        }
    }
    (desk, kept)
}

#[tokio::test]
async fn no_text_becomes_a_formula() {
    let mut texts: Vec<String> = BLNS.iter().map(|text| (*text).to_owned()).collect();
    let formulas = [
        "=cmd|' /C calc'!A0",
        "+SUM(1+1)*cmd|' /C calc'!A0",
        "-2+3+cmd|' /C calc'!A0",
        "@SUM(1+9)*cmd|' /C calc'!A0",
        "good;=HYPERLINK(\"http://example.invalid\")",
        "good\n=1+1",
        "\"=1+1\"",
        "x\";=1+1;\"y",
    ];
    texts.extend(formulas.map(str::to_owned));
    let (desk, kept) = with_notes(&texts).await;
    assert!(kept.len() > 400, "{}", kept.len());
    for file in tables(&desk, "mara", at()).await {
        assert_harmless(&file);
        let name = &read(&file).first().map(|row| row["batch_name"].clone());
        assert!(name.as_ref().is_none_or(|name| name == "'=1+1"), "{name:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_invented_text_becomes_a_formula(texts in prop::collection::vec("[-=+@;, \"'\t\na1＝]{1,12}", 1..8)) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let (desk, _) = with_notes(&texts).await;
            for file in tables(&desk, "mara", at()).await {
                assert_harmless(&file);
            }
        });
    }

    #[test]
    fn numbers_come_back_as_they_were_kept(grams in 100.0_f64..900.0, celsius in -20.0_f64..30.0) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let desk = desk().await;
            for line in [
                "batch start name:Stick kind:dried-sausage meat:1 kg pork loss:38%".to_owned(),
                format!("batch piece batch:B1 weights:{grams} g"),
                format!("chamber set temperature:{celsius} C"),
            ] {
                reply(&desk, "mara", &line, at()).await;
            }
            let [readings, _] = tables(&desk, "mara", at()).await;
            let rows = read(&readings);
            let number = |row: &Row, name: &str| row[name].parse::<f64>().unwrap().to_bits();
            assert_eq!(number(&rows[0], "gross_weight_g"), grams.to_bits());
            assert_eq!(number(&rows[1], "temperature_c"), celsius.to_bits());
        });
    }
}
