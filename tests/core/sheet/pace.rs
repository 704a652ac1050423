//! How long a large file takes, as a ratio within one run: wall seconds would only measure the machine.

use super::{air, rome};
use std::fmt::Write;
use std::hint::black_box;
use std::time::Instant;
use tallyhook::sheet::read;

const ROWS: u32 = 100_000;
/// How many times as long as walking over the letters of the file one by one. Without optimisation, as tests are built,
/// 25 were measured beside other builds.
const MOST_TIMES_THE_LETTERS: f64 = 100.0;

/// A row every ten minutes, 100,000 of them: nearly two years of invented air.
fn large() -> String {
    let mut text = String::from("Datum;Uhrzeit;Temperatur (°C);Luftfeuchte (%)\r\n");
    for row in 0..ROWS {
        let (day, minute) = (row / 144, row % 144 * 10);
        let date = chrono::NaiveDate::from_ymd_opt(2024, 10, 1).unwrap() + chrono::Days::new(u64::from(day));
        let (tenths, percent) = (100 + row % 50, 70 + row % 20);
        writeln!(
            text,
            "{};{:02}:{:02};{},{};{percent}\r",
            date.format("%d.%m.%Y"),
            minute / 60,
            minute % 60,
            tenths / 10,
            tenths % 10
        )
        .unwrap();
    }
    text
}

#[test]
fn a_large_file_takes_a_few_times_its_letters() {
    let text = large();
    let best = |work: &dyn Fn()| {
        let times = (0..3).map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64()
        });
        times.fold(f64::INFINITY, f64::min)
    };
    let walking = best(&|| {
        let sum = black_box(&text).chars().fold(0_u32, |sum, letter| sum.rotate_left(5) ^ u32::from(letter));
        black_box(sum);
    });
    let reading = best(&|| {
        black_box(read(text.as_bytes(), &rome()).unwrap());
    });
    let ratio = reading / walking;
    println!("100,000 rows: {:.0} ms, {ratio:.1} times the walk ({:.1} ms)", reading * 1e3, walking * 1e3);
    assert!(ratio < MOST_TIMES_THE_LETTERS, "{ratio:.1} times as long as a walk over the letters");
}

/// Bad lines are no slower: every line is looked at for a formula, a word, another line of heads.
#[test]
fn a_large_file_of_bad_lines_is_counted_to_its_end() {
    let mut text = String::from("Date,Temp (C)\n2026-03-01 10:00,12\n");
    for _ in 0..ROWS {
        text.push_str("Date?,=HYPERLINK()\n");
    }
    let sheet = read(text.as_bytes(), &rome()).unwrap();
    assert_eq!((air(&sheet).len(), sheet.understood.faulty_lines, sheet.faults.len()), (1, ROWS, 1000));
}
