//! Degree-hours against published tables and worked examples, and what must hold for every course.
#![expect(clippy::unwrap_used, reason = "a reference row that cannot be read fails its test")]

mod properties;

use crate::reference::{self, Row};
use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::curing::fermentation::acidity::Acidity;
use tallyhook::curing::fermentation::advice;
use tallyhook::curing::fermentation::course::Course;
use tallyhook::curing::fermentation::culture::{self, Room};
use tallyhook::curing::fermentation::degree_hours::{ClockState, DegreeHourReport, Verdict, assess_course};
use tallyhook::curing::fermentation::history::{Stay, Window};
use tallyhook::curing::fermentation::published;
use tallyhook::curing::fermentation::schedule::{MustEnd, PlannedStep, Schedule, planning_table};
use tallyhook::curing::fermentation::system::{Rules, System, Systems, longest_at};
use tallyhook::curing::fermentation::warm_spell::{PieceFacts, SpellPiece, SpellVerdict, assess_spell};
use tallyhook::quantity::{Hours, Ph, Temperature};
use tallyhook::record::batch::{BatchKind, BatchStage};
use tallyhook::record::climate::{Climate, RoomExtremes, RoomReading, RoomSetting};
use tallyhook::record::ids::EventId;
use tallyhook::record::reading::{Calibration, Instrument, PhReading};
use tallyhook::reply::Language;
use tallyhook::reply::finding::standing_word;
use tallyhook::reply::wording::templates;

/// Half of the last digit given is less; the sources give one decimal.
const DIGIT: f64 = 0.1;

fn start() -> DateTime<Utc> {
    DateTime::UNIX_EPOCH
}

fn after(hours: f64) -> DateTime<Utc> {
    start() + TimeDelta::seconds((hours * 3600.0).round() as i64)
}

/// `55h@80F` or `12h@15C`.
fn step(text: &str) -> (Hours, Temperature) {
    let (hours, degrees) = text.split_once("h@").unwrap();
    let hours = Hours::new(hours.parse().unwrap());
    let number = degrees[..degrees.len() - 1].parse().unwrap();
    let temperature = match degrees.chars().last().unwrap() {
        'F' => Temperature::fahrenheit(number),
        'C' => Temperature::celsius(number),
        other => panic!("{other} is no scale"),
    };
    (hours, temperature)
}

fn steps(text: &str) -> Vec<(Hours, Temperature)> {
    text.split(';').map(step).collect()
}

fn system(word: &str) -> (System, Systems) {
    match word {
        "us" => (System::Us, Systems::Us),
        "canada" => (System::Canada, Systems::Canada),
        other => panic!("{other} is no system"),
    }
}

const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::NotRunning => "not_running",
        Verdict::Within => "within",
        Verdict::CannotBeAssessed => "cannot_be_assessed",
        Verdict::MayBeExceeded => "may_be_exceeded",
        Verdict::Exceeded => "exceeded",
    }
}

fn same(what: &str, computed: &str, printed: &str) -> Result<(), String> {
    if computed == printed {
        return Ok(());
    }
    Err(format!("{what}: computed {computed}, printed {printed}"))
}

#[test]
fn stated_courses_by_either_system() {
    reference::load("degree_hours_steps.csv").each(|row| {
        let (system, systems) = system(row.text("system"));
        let report = assess_course(&steps(row.text("steps")), systems).unwrap();
        let sum = report.in_system(system).unwrap();
        row.close("degree_hours", sum.lower, DIGIT)?;
        row.close("degree_hours", sum.upper.unwrap(), DIGIT)?;
        row.close("highest", sum.highest.unwrap(), 1e-9)?;
        row.close("limit", sum.limit_upper, 0.0)?;
        same("verdict", word(report.verdict()), row.text("verdict"))
    });
}

#[test]
fn strict_runs_both_and_reports_the_worse() {
    reference::load("degree_hours_strict.csv").each(|row| {
        let report = assess_course(&steps(row.text("steps")), Systems::Strict).unwrap();
        for (name, system) in [("canada", System::Canada), ("us", System::Us)] {
            let sum = report.in_system(system).unwrap();
            row.close(&format!("{name}_degree_hours"), sum.lower, DIGIT)?;
            row.close(&format!("{name}_limit"), sum.limit_lower, 0.0)?;
            same(name, word(sum.verdict), row.text(name))?;
        }
        same("strict", word(report.verdict()), row.text("strict"))
    });
}

#[test]
fn worked_examples_of_the_canadian_manual() {
    reference::load("degree_hours_canada_examples.csv").each(|row| {
        let report = assess_course(&steps(row.text("steps")), Systems::Canada).unwrap();
        let sum = report.in_system(System::Canada).unwrap();
        row.close("degree_hours", sum.lower, DIGIT)?;
        row.close("limit", sum.limit_lower, 0.0)?;
        same("verdict", word(report.verdict()), row.text("verdict"))
    });
}

#[test]
fn stated_courses_are_graded_declared() {
    reference::load("degree_hours_declared.csv").each(|row| {
        let report = assess_course(&steps(row.text("steps")), system(row.text("system")).1).unwrap();
        holds(row, &report)
    });
}

#[test]
fn room_readings_give_a_lower_and_an_upper_sum() {
    reference::load("degree_hours_evidence.csv").each(|row| {
        let (climate, end) = climate(row);
        let stay = Stay { climate: &climate, from: start(), to: None };
        let window = Window { from: start(), closed: Some(end), now: end };
        let state = ClockState::Ended { at: end, ph: Ph::new(5.1), provisional: false };
        let course = Course::of_history(&[stay], window);
        holds(row, &DegreeHourReport::of(course, state, system(row.text("system")).1))
    });
}

fn holds(row: &Row, report: &DegreeHourReport) -> Result<(), String> {
    let sum = report.in_system(system(row.text("system")).0).unwrap();
    row.close("lower", sum.lower, DIGIT)?;
    row.close("limit_lower", sum.limit_lower, 0.0)?;
    match (sum.upper, row.optional("upper")) {
        (Some(upper), Some(_)) => {
            row.close("upper", upper, DIGIT)?;
            row.close("limit_upper", sum.limit_upper, 0.0)?;
        }
        (None, None) => {}
        (upper, printed) => return Err(format!("upper: computed {upper:?}, printed {printed:?}")),
    }
    same("grade", report.grade.word(), row.text("grade"))?;
    same("verdict", word(report.verdict()), row.text("verdict"))
}

/// The readings, the setting (`32.5 + 1`: set point and hysteresis) and the extremes (`0h 16h 22 26`: since, at,
/// lowest, highest) of a row, in °C; and the time of the last reading.
fn climate(row: &Row) -> (Climate, DateTime<Utc>) {
    let number = |text: &str| -> f64 { text.trim_end_matches('h').parse().unwrap() };
    let mut climate = Climate::default();
    for reading in row.text("readings").split(';') {
        let (hour, degrees) = reading.split_once(' ').unwrap();
        climate.readings.push(RoomReading {
            at: after(number(hour)),
            temperature: Temperature::celsius(number(degrees)),
        });
    }
    if let Some((set, drift)) = row.optional("setting").map(|text| text.split_once(" + ").unwrap()) {
        climate.settings.push(RoomSetting {
            at: start(),
            temperature: Temperature::celsius(number(set)),
            hysteresis_celsius: number(drift),
        });
    }
    if let Some(text) = row.optional("extremes") {
        let numbers: Vec<f64> = text.split(' ').map(number).collect();
        climate.extremes.push(RoomExtremes {
            since: after(numbers[0]),
            at: after(numbers[1]),
            max: Temperature::celsius(numbers[3]),
            min: Some(Temperature::celsius(numbers[2])),
        });
    }
    let end = climate.readings.last().unwrap().at;
    (climate, end)
}

#[test]
fn constant_temperatures_of_the_extension_log() {
    reference::load("degree_hours_constant_fahrenheit.csv").each(|row| {
        let chamber = Temperature::fahrenheit(row.number("chamber_f"));
        let rules = Rules::of(System::Us).unwrap();
        let longest = rules.longest_at(chamber).unwrap();
        row.close("limit", rules.band(Some(chamber)).unwrap().value.unwrap(), 0.0)?;
        row.close("form_prints_h", longest.exact().floor(), 0.0)?;
        row.close("less_than_h", longest.less_than(), 1e-9)?;
        row.close("largest_whole_hour", f64::from(longest.whole_hours()), 0.0)?;
        let whole = Hours::new(f64::from(longest.whole_hours()));
        let report = assess_course(&[(whole, chamber)], Systems::Us).unwrap();
        row.close("degree_hours_at_that_hour", report.in_system(System::Us).unwrap().lower, DIGIT)?;
        same("verdict at that hour", word(report.verdict()), "within")
    });
}

#[test]
fn constant_temperatures_for_planning() {
    reference::load("degree_hours_planning_celsius.csv").each(|row| {
        let room = Temperature::celsius(row.number("room_c"));
        for (name, system) in [("canada", System::Canada), ("us", System::Us)] {
            let rules = Rules::of(system).unwrap();
            row.close(&format!("{name}_limit"), rules.band(Some(room)).unwrap().value.unwrap(), 0.0)?;
            row.close(&format!("{name}_exact_h"), rules.longest_at(room).unwrap().exact(), 0.005)?;
        }
        let longest = longest_at(Systems::Strict, room).unwrap();
        row.close("less_than_h", longest.less_than(), 1e-9)?;
        row.close("largest_whole_hour", f64::from(longest.whole_hours()), 0.0)?;
        // A plan of one open step says the same, and so does its table.
        let plan = Schedule::of(&[PlannedStep { temperature: room, hours: None }], Systems::Strict).unwrap();
        let MustEnd::InStep(1, end) = plan.must_end() else { return Err(format!("{:?}", plan.must_end())) };
        row.close("less_than_h", end.less_than(), 1e-9)?;
        let table = planning_table(&[room], Systems::Strict);
        row.close("largest_whole_hour", f64::from(table[0].1.whole_hours()), 0.0)
    });
}

/// Every stated course of the tables, taken for a plan: allowed exactly where the table says pass.
#[test]
fn stated_courses_taken_for_plans() {
    let plan = |row: &Row, systems: Systems| {
        let steps = steps(row.text("steps")).into_iter();
        let steps = steps.map(|(hours, temperature)| PlannedStep { temperature, hours: Some(hours) });
        Schedule::of(&steps.collect::<Vec<_>>(), systems).unwrap().is_allowed()
    };
    let word = |allowed: bool| if allowed { "within" } else { "exceeded" };
    reference::load("degree_hours_steps.csv")
        .each(|row| same("plan", word(plan(row, system(row.text("system")).1)), row.text("verdict")));
    reference::load("degree_hours_strict.csv").each(|row| {
        for (name, systems) in [("canada", Systems::Canada), ("us", Systems::Us), ("strict", Systems::Strict)]
        {
            same(name, word(plan(row, systems)), row.text(name))?;
        }
        Ok(())
    });
}

#[test]
fn published_courses_and_where_cultures_are_comfortable() {
    reference::load("fermentation_styles.csv").each(|row| {
        let style = published::named(row.text("name")).ok_or("no such course")?;
        let (low, high) = style.temperatures();
        row.close("low_c", low.as_celsius(), 0.0)?;
        row.close("high_c", high.as_celsius(), 0.0)?;
        let (shortest, longest) = style.hours();
        for (column, held) in [("shortest_h", shortest), ("longest_h", longest)] {
            same(column, &format!("{held:?}"), &format!("{:?}", row.optional_number(column)))?;
        }
        same("end_ph", style.end_ph.as_deref().unwrap_or(""), row.optional("end_ph").unwrap_or(""))?;
        same("humidity", style.humidity.as_deref().unwrap_or(""), row.optional("humidity").unwrap_or(""))?;
        same("standing", standing_word(style.standing), row.text("standing"))
    });
    reference::load("starter_ranges.csv").each(|row| {
        let culture = culture::named(row.text("id")).ok_or("no such culture")?;
        let (low, high) = culture.range();
        row.close("low_c", low.as_celsius(), 0.0)?;
        row.close("high_c", high.as_celsius(), 0.0)?;
        for (at, room) in [("low_c", Room::Comfortable), ("high_c", Room::Comfortable)] {
            let held = culture.in_room(Temperature::celsius(row.number(at)));
            same(at, &format!("{held:?}"), &format!("{room:?}"))?;
        }
        Ok(())
    });
}

/// Every sentence that fermentation hands out is in the wording file, and asks for no hole it does not fill.
#[test]
fn every_sentence_is_worded() {
    let hole = regex::Regex::new(r"\{([a-z_]+)(?:\|[^|{}]+\|[^|{}]+)?\}").unwrap();
    for (key, holes) in advice::KEYS {
        let sentence =
            templates(Language::English).get(*key).unwrap_or_else(|| panic!("{key} is not worded"));
        for found in hole.captures_iter(sentence) {
            assert!(holes.contains(&&found[1]), "{key} asks for {}", &found[1]);
        }
    }
}

#[test]
fn warm_spells() {
    reference::load("degree_hours_warm_spell.csv").each(|row| {
        let readings: Vec<PhReading> = [("ph_at_end", 1), ("ph_now", 20)]
            .into_iter()
            .filter_map(|(column, day)| row.optional_number(column).map(|ph| checked_reading(ph, day)))
            .collect();
        let acidity = Acidity::of(&readings, None);
        let piece = SpellPiece::of(PieceFacts {
            kind: BatchKind::parse(row.text("kind")).unwrap(),
            stage: BatchStage::parse(row.text("stage")).unwrap(),
            acidity: Some(&acidity),
            at: after(20.0 * 24.0 + 1.0),
        });
        same("piece", piece_word(piece), row.text("piece"))?;
        let spell = Course::declared(&steps(row.text("spell"))).unwrap();
        let spell = assess_spell(piece, spell, Systems::Strict);
        for (name, system) in [("canada", System::Canada), ("us", System::Us)] {
            let column = format!("{name}_degree_hours");
            match (&spell.degree_hours, row.optional(&column)) {
                (Some(report), Some(_)) => {
                    row.close(&column, report.in_system(system).unwrap().lower, DIGIT)?;
                }
                (None, None) => {}
                (computed, printed) => return Err(format!("{column}: {computed:?}, printed {printed:?}")),
            }
        }
        same("verdict", spell_word(spell.verdict), row.text("verdict"))
    });
}

fn checked_reading(ph: f64, day: i64) -> PhReading {
    PhReading {
        event: EventId(day),
        at: start() + TimeDelta::days(day),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(Calibration {
            age: Some(Hours::new(3.0)),
            slope_percent: Some(98.0),
            offset_mv: Some(5.0),
            one_buffer_passed: false,
            buffer_missed: false,
        }),
        from_sample: false,
    }
}

const fn piece_word(piece: SpellPiece) -> &'static str {
    match piece {
        SpellPiece::OnTheClock => "on_the_clock",
        SpellPiece::Soured => "soured",
        SpellPiece::Unprotected => "unprotected",
        SpellPiece::InCure => "in_cure",
    }
}

const fn spell_word(verdict: SpellVerdict) -> &'static str {
    match verdict {
        SpellVerdict::OnTheClock => "on_the_clock",
        SpellVerdict::Notice => "notice",
        SpellVerdict::Warning => "warning",
        SpellVerdict::TreatAsDiscard => "treat_as_discard",
        SpellVerdict::Discard => "discard",
    }
}
