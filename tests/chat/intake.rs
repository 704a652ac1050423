//! A member's line: what holds for every text, and what was typed comes back whatever the spelling.

use chrono::{DateTime, TimeZone, Utc};
use chrono_tz::Tz;
use proptest::prelude::*;
use tallyhook::command::intake::{
    Context, Understood, What, course, implausible, meats, named, read, weights,
};
use tallyhook::command::time::{every, future, past, shown};
use tallyhook::quantity::{Mass, MassUnit, TemperatureScale};
use tallyhook::record::PieceNumber;

/// Lines that are read, each with one of every sort of thing in it; invented.
const EXAMPLES: [&str; 46] = [
    "pH 5.09",
    "pH 5,1 at 21C",
    "ph 5.2 strip",
    "812 g",
    "2 lb 3 oz",
    "#2 640g, #3 655g",
    "640 655 648",
    "hung 812 798 805 790 820 801 g",
    "tare 30 g each",
    "13C 80%",
    "chamber set to 24 C 88%",
    "max 26C min 22C since yesterday",
    "55F rh 78",
    "weighed 812g yesterday 8pm",
    "ph 5.2, 1012g, 12.5C 82% this morning",
    "B3 #1 812 g",
    "mould: white, a few green spots on #3",
    "power out 9h, chamber got to 24C",
    "#3 out, packed",
    "#3 out, discarded, mould inside",
    "pH 5.09 at 21C calibrated 3 h ago slope 98%",
    "ph 5.2 calibrated today",
    "ph sample 5.1",
    "packet ph 5.1",
    "ph 5.2 on #3",
    "ph 5.1, buffer ok, offset -12 mV",
    "smell: sour",
    "slime on #2",
    "hard rim on #1",
    "set to 24C ±1.5",
    "hysteresis 1.5 C",
    "batch \"Juniper\" 1.234 kg 12 nov 18:00",
    "#1 1½ lb 2026-11-02 08:00",
    "sample 21 C, pH 5.1; 79F max 70F min since 20:15",
    "pH 5,1 bei 21 °C",
    "pH 5,2 Streifen, 812 g",
    "gewogen 812 g gestern 20 Uhr",
    "aufgehängt 812 798 805 790 g",
    "Kammer auf 24 °C 88 %",
    "Stromausfall 9 Stunden, Kammer kam auf 24 °C",
    "Schimmel: weiß, ein paar grüne Flecken an #3",
    "#3 raus, verpackt",
    "max 26 °C min 22 °C seit gestern",
    "812 g vor 2 Stunden",
    "Charge 3 #1 812 g Montag 8:30",
    "pH 5,1, kalibriert vor 3 h, Steilheit 98 %",
];

fn now() -> DateTime<Utc> {
    Utc.with_ymd_and_hms(2026, 11, 10, 14, 0, 0).unwrap()
}

fn pieces() -> Vec<(PieceNumber, Mass)> {
    (1..=3).map(|number| (PieceNumber(number), Mass::grams(820.0))).collect()
}

fn with(pieces: &[(PieceNumber, Mass)]) -> Context<'_> {
    Context {
        now: now(),
        zone: Tz::Europe__Berlin,
        mass_unit: MassUnit::Gram,
        temperature_scale: TemperatureScale::Celsius,
        pieces,
        batch_total: None,
        meat: None,
    }
}

/// Everything that a line became, as text.
fn all_words(found: &Understood) -> String {
    let mut words: Vec<&str> = found.items.iter().map(|item| item.typed.as_str()).collect();
    words.extend(found.leftover.iter().map(String::as_str));
    format!("{} {}", words.join(" "), names(found))
}

/// What a line says of all that is in it.
fn names(found: &Understood) -> String {
    let time = found.at.as_ref().map(|when| when.typed.as_str());
    [found.batch.as_deref(), found.chamber.as_deref(), time]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")
}

/// The runs of digits in a text; zeros in front say nothing: B03 is B3.
fn digits(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_ascii_digit())
        .map(|run| run.trim_start_matches('0'))
        .filter(|run| !run.is_empty())
        .collect()
}

/// Reads a line in every way there is; nothing may panic, and no digit may vanish.
fn hold(line: &str) {
    let pieces = pieces();
    for hanging in [&pieces[..], &pieces[..1], &[]] {
        let context = with(hanging);
        match read(line, &context) {
            Ok(Some(found)) => {
                let words = all_words(&found);
                // Each run once for every time it was typed: the 2 of "#2 812 g 2" is not found again in "#2". Only a
                // batch, a chamber and a time may be said again.
                let mut kept = digits(&words);
                let names = names(&found);
                for run in digits(line) {
                    match kept.iter().position(|other| *other == run) {
                        Some(place) => {
                            kept.swap_remove(place);
                        }
                        None => {
                            assert!(digits(&names).contains(&run), "{run} of {line:?} vanished: {found:?}");
                        }
                    }
                }
                let unread_digit =
                    found.leftover.iter().any(|words| words.contains(|c: char| c.is_numeric()));
                assert!(found.is_doubtful || !unread_digit, "{line:?}: {found:?}");
                for item in &found.items {
                    let _ = implausible(item, &context);
                }
                assert!(!found.items.is_empty(), "{line:?}: {found:?}");
            }
            Ok(None) => {}
            Err(error) => {
                let sentence = error.to_string();
                assert!(
                    !sentence.is_empty() && !sentence.contains(char::is_control),
                    "{line:?}: {sentence:?}"
                );
                assert!(sentence.chars().count() < 300, "{line:?}: {sentence:?}");
                assert!(!error.example().is_empty(), "{line:?}");
            }
        }
    }
    let _ = named(line);
}

/// A number as it may be typed: digits, a decimal sign, digits.
fn decimal(whole: u32, part: Option<u32>, sign: char) -> (String, f64) {
    match part {
        None => (whole.to_string(), f64::from(whole)),
        Some(part) => {
            (format!("{whole}{sign}{part:02}"), format!("{whole}.{part:02}").parse().unwrap_or(f64::NAN))
        }
    }
}

#[test]
fn every_example_is_read_whole() {
    for line in EXAMPLES {
        let pieces = pieces();
        let hanging = if line.contains('#') || line.starts_with("640") { &pieces[..] } else { &pieces[..1] };
        let found = read(line, &with(hanging));
        let whole = matches!(&found, Ok(Some(found)) if found.leftover.is_empty() && !found.is_doubtful);
        assert!(whole, "{line}: {found:?}");
    }
}

#[test]
fn a_long_line_is_refused_and_the_longest_is_read_at_once() {
    assert!(read(&"812 g ".repeat(2000), &with(&[])).is_err());
    for unit in [
        "mould, ",
        "#1 ",
        "1 g, ",
        "in ",
        "( ",
        "5",
        "a",
        "1 h 1 h ",
        "set to ",
        "max 1 ",
        "batch x ",
        "\"",
        "power out ",
        "12 ",
    ] {
        let line: String = unit.chars().cycle().take(2000).collect();
        let started = std::time::Instant::now();
        hold(&line);
        assert!(started.elapsed().as_millis() < 1500, "{unit:?} took {:?}", started.elapsed());
    }
}

/// A day said twice in two ways, in whichever place: a digit of it must not vanish.
#[test]
fn a_day_said_twice_is_read_or_shown() {
    for days in [
        "2 nov 2026-11-02",
        "2026-11-02 2 nov",
        "2 nov 2026-11-02 8pm",
        "yesterday 2026-11-02",
        "2 nov 3 nov",
    ] {
        for line in
            [format!("812 g {days}"), format!("{days} 812 g"), format!("pH 5.3 {days}"), days.to_owned()]
        {
            hold(&line);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_at_all(line in ".{0,120}") {
        hold(&line);
    }

    #[test]
    fn any_text_of_our_own_signs(line in "[0-9a-hA-Hmtpx#%°±,.;:/'\"+ \n½-]{0,80}") {
        hold(&line);
    }

    #[test]
    fn any_order_of_our_own_words(words in prop::collection::vec(word(), 0..16)) {
        hold(&words.concat());
    }

    #[test]
    fn any_slip_in_an_example(which in 0..EXAMPLES.len(), slips in prop::collection::vec((any::<prop::sample::Index>(), slip()), 1..4)) {
        let mut characters: Vec<char> = EXAMPLES[which].chars().collect();
        for (place, slip) in slips {
            let at = place.index(characters.len() + 1);
            match slip {
                Slip::Delete if at < characters.len() => { characters.remove(at); }
                Slip::Insert(character) => characters.insert(at, character),
                Slip::Replace(character) if at < characters.len() => characters[at] = character,
                Slip::Swap if at + 1 < characters.len() => characters.swap(at, at + 1),
                _ => {}
            }
        }
        hold(&characters.into_iter().collect::<String>());
    }

    #[test]
    fn a_weight_comes_back_to_the_last_digit(whole in 400u32..=820, part in prop::option::of(0u32..100), comma in any::<bool>(), glued in any::<bool>(), upper in any::<bool>()) {
        let (number, value) = decimal(whole, part, if comma { ',' } else { '.' });
        let unit = if upper { "G" } else { "g" };
        let line = format!("{number}{}{unit}", if glued { "" } else { " " });
        let pieces = pieces();
        let found = read(&line, &with(&pieces[..1])).unwrap().unwrap();
        prop_assert_eq!(found.items.len(), 1);
        prop_assert_eq!(&found.items[0].what, &What::Weighed { gross: Mass::grams(value) });
        prop_assert!(!found.is_doubtful);
    }

    #[test]
    fn ph_air_and_weight_come_back_in_any_order(
        ph in (3u32..=7, 0u32..100), celsius in (0u32..=30, prop::option::of(0u32..100)), humidity in 1u32..=100,
        grams in 400u32..=820, comma in any::<bool>(), order in Just([0, 1, 2]).prop_shuffle(), separator in prop::sample::select(vec![", ", "; ", "\n", " and "]),
    ) {
        let sign = if comma { ',' } else { '.' };
        let (ph_text, ph_value) = decimal(ph.0, Some(ph.1), sign);
        let (celsius_text, celsius_value) = decimal(celsius.0, celsius.1, sign);
        let parts = [format!("pH {ph_text}"), format!("{celsius_text} C {humidity} %"), format!("{grams} g")];
        let line = order.map(|at| parts[at].clone()).join(separator);
        let pieces = pieces();
        let found = read(&line, &with(&pieces[..1])).unwrap().unwrap();
        prop_assert_eq!(&found.leftover, &Vec::<String>::new());
        prop_assert!(!found.is_doubtful);
        prop_assert_eq!(found.items.len(), 3);
        for item in &found.items {
            match &item.what {
                What::Ph { ph, .. } => prop_assert_eq!(ph.value().to_bits(), ph_value.to_bits()),
                What::Room { temperature: Some(temperature), humidity: Some(found) } => {
                    prop_assert_eq!(temperature.in_scale(TemperatureScale::Celsius).to_bits(), celsius_value.to_bits());
                    prop_assert_eq!(found.as_percent().to_bits(), f64::from(humidity).to_bits());
                }
                What::Weighed { gross } => prop_assert_eq!(gross.as_grams().to_bits(), f64::from(grams).to_bits()),
                other => prop_assert!(false, "{:?}", other),
            }
        }
    }

    #[test]
    fn weights_in_piece_order_come_back_and_another_count_is_refused(grams in prop::collection::vec(500u32..=820, 2..12), with_unit in any::<bool>(), comma in any::<bool>()) {
        let hanging: Vec<_> = (1..).zip(&grams).map(|(number, _)| (PieceNumber(number), Mass::grams(820.0))).collect();
        let numbers: Vec<String> = grams.iter().map(ToString::to_string).collect();
        let line = format!("{}{}", numbers.join(if comma { ", " } else { " " }), if with_unit { " g" } else { "" });
        let found = read(&line, &with(&hanging)).unwrap().unwrap();
        let weighed: Vec<f64> = found.items.iter().map(|item| match item.what {
            What::Weighed { gross } => gross.as_grams(),
            _ => f64::NAN,
        }).collect();
        prop_assert_eq!(weighed, grams.iter().copied().map(f64::from).collect::<Vec<_>>());
        prop_assert!(read(&line, &with(&hanging[1..])).is_err());
        let listed = weights(&line, MassUnit::Gram).unwrap();
        prop_assert_eq!(listed.len(), grams.len());
    }

    #[test]
    fn options_never_panic(text in ".{0,80}") {
        let _ = course(&text, TemperatureScale::Celsius);
        let _ = weights(&text, MassUnit::Pound);
        let _ = every(&text);
        if let Ok(found) = meats(&text) {
            prop_assert!(!found.is_empty());
            prop_assert!(found.iter().all(|meat| meat.mass.as_grams() > 0.0));
        }
    }

    #[test]
    fn a_time_is_never_on_the_wrong_side(text in prop_oneof![".{0,40}", time_words()], seconds in 1_500_000_000i64..2_000_000_000, zone in zone()) {
        let now = DateTime::from_timestamp(seconds, 0).unwrap();
        if let Ok(at) = past(&text, now, zone) {
            prop_assert!(at <= now + chrono::TimeDelta::minutes(5), "{}", text);
            let _ = shown(at, now, zone);
        }
        if let Ok(at) = future(&text, now, zone) {
            prop_assert!(at > now, "{}", text);
        }
    }

    #[test]
    fn a_written_time_comes_back(minutes in 0i64..5_000_000, zone in zone()) {
        let now = now();
        let at = now - chrono::TimeDelta::minutes(minutes);
        let local = at.with_timezone(&zone).naive_local();
        let text = local.format("%Y-%m-%d %H:%M").to_string();
        let found = past(&text, now, zone).unwrap();
        // A time that comes twice is read as the first.
        let first = zone.from_local_datetime(&local).earliest().unwrap().with_timezone(&Utc);
        prop_assert_eq!(found, first);
        prop_assert_eq!(past(&at.to_rfc3339(), now, zone).unwrap(), at);
    }
}

#[derive(Debug, Clone, Copy)]
enum Slip {
    Delete,
    Insert(char),
    Replace(char),
    Swap,
}

fn slip() -> impl Strategy<Value = Slip> {
    let character = prop_oneof![
        3 => prop::sample::select("0123456789 ,.;:#%CFgk°-±½\"/@é\u{301}\u{200b}٣\n".chars().collect::<Vec<_>>()),
        1 => any::<char>(),
    ];
    prop_oneof![
        Just(Slip::Delete),
        Just(Slip::Swap),
        character.clone().prop_map(Slip::Insert),
        character.prop_map(Slip::Replace)
    ]
}

fn word() -> impl Strategy<Value = String> {
    let words: Vec<&str> = EXAMPLES.iter().flat_map(|line| line.split(' ')).chain(EXTRA).collect();
    (prop::sample::select(words), prop::sample::select(vec![" ", " ", " ", "", ", ", "; "]))
        .prop_map(|(word, separator)| format!("{word}{separator}"))
}

const EXTRA: [&str; 38] = [
    "auf", "an", "am", "um", "vor", "morgen", "halb", "Uhr", "Abend", "nicht", "und", "Pfund", "Stück",
    "Probe", "in", "on", "at", "of", "and", "the", "not", "1", "1.234", "99", "g", "lb", "C", "%", "h",
    "ago", "pieces", "total", "before", "no", "out", "packed", "26-30", "?",
];

fn time_words() -> impl Strategy<Value = String> {
    let words = vec![
        "gestern",
        "heute",
        "morgen",
        "vor",
        "in",
        "Uhr",
        "abends",
        "nachts",
        "Montag",
        "am",
        "halb",
        "vorgestern",
        "übermorgen",
        "in",
        "at",
        "on",
        "last",
        "next",
        "this",
        "yesterday",
        "today",
        "tomorrow",
        "tonight",
        "morning",
        "night",
        "noon",
        "tuesday",
        "sun",
        "12",
        "nov",
        "feb",
        "29",
        "2026",
        "2026-11-02",
        "08:00",
        "23:59",
        "8pm",
        "12am",
        "3",
        "h",
        "days",
        "weeks",
        "months",
        "ago",
        "half",
        "an",
        "hour",
        "99999",
        "of",
        "the",
        "day",
        "before",
        "after",
        "now",
    ];
    prop::collection::vec(prop::sample::select(words), 1..6).prop_map(|words| words.join(" "))
}

fn zone() -> impl Strategy<Value = Tz> {
    prop::sample::select(vec![
        Tz::UTC,
        Tz::Europe__Berlin,
        Tz::America__New_York,
        Tz::Australia__Lord_Howe,
        Tz::Asia__Kathmandu,
        Tz::Pacific__Apia,
        Tz::America__St_Johns,
    ])
}
