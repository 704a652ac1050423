//! Which pH readings end the degree-hours, and how far a meter is believed.

use crate::reference::{self, Row};
use chrono::{DateTime, TimeDelta};
use tallyhook::curing::fermentation::acidity::{Acidity, Phase};
use tallyhook::curing::fermentation::trust::{self, Trust};
use tallyhook::curing::finding::Outcome;
use tallyhook::quantity::{Hours, Ph, Temperature};
use tallyhook::record::ids::EventId;
use tallyhook::record::reading::{Calibration, Instrument, PhReading};

const fn word(trust: Trust) -> &'static str {
    match trust {
        Trust::Full => "full",
        Trust::Usable => "usable",
        Trust::Doubtful => "doubtful",
        Trust::Strip => "strip",
        Trust::Rejected => "rejected",
    }
}

fn same(what: &str, computed: &str, printed: &str) -> Result<(), String> {
    if computed == printed {
        return Ok(());
    }
    Err(format!("{what}: computed {computed}, printed {printed}"))
}

fn reading(ph: f64, calibration: Calibration) -> PhReading {
    PhReading {
        event: EventId(1),
        at: DateTime::UNIX_EPOCH + TimeDelta::hours(30),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(calibration),
        from_sample: false,
    }
}

#[test]
fn the_windows_of_trust() {
    reference::load("ph_trust.csv").each(|row| {
        let calibration = Calibration {
            age: row.optional_number("age_h").map(Hours::new),
            slope_percent: row.optional_number("slope_percent"),
            offset_mv: row.optional_number("offset_mv"),
            one_buffer_passed: row.text("one_buffer") == "yes",
            buffer_missed: false,
        };
        let reading = PhReading {
            sample_temperature: row.optional_number("sample_c").map(Temperature::celsius),
            ..reading(5.2, calibration)
        };
        same("trust", word(trust::judge(&reading).0), row.text("trust"))
    });
}

/// The readings of a row: one, or two at one time.
fn readings(row: &Row) -> Vec<PhReading> {
    let calibration = Calibration {
        age: row.optional_number("age_h").map(Hours::new),
        slope_percent: row.optional_number("slope_percent"),
        offset_mv: Some(5.0),
        one_buffer_passed: false,
        buffer_missed: false,
    };
    let first = PhReading {
        instrument: match row.text("instrument") {
            "meter" => Instrument::Meter,
            "strip" => Instrument::Strip,
            other => panic!("{other} is no instrument"),
        },
        ..reading(row.number("ph"), calibration)
    };
    let second = row.optional_number("second_ph_at_one_time").map(|ph| PhReading {
        event: EventId(2),
        ph: Ph::new(ph),
        ..first
    });
    [Some(first), second].into_iter().flatten().collect()
}

#[test]
fn which_reading_ends_the_clock() {
    reference::load("ph_clock_end.csv").each(|row| {
        let acidity = Acidity::of(&readings(row), None);
        let first = acidity.readings.first().ok_or("no reading was judged")?;
        same("trust", word(first.trust), row.text("trust"))?;
        let outcome = match acidity.end {
            Some(end) if end.provisional => "ends_provisionally",
            Some(_) => "ends",
            None => "runs_on",
        };
        same("outcome", outcome, row.text("outcome"))?;
        let finding = acidity.finding(Phase::Running).ok_or("no finding")?;
        same("rule", &finding.limit.id, "ph.end_point")?;
        match (acidity.end, finding.outcome) {
            (Some(_), Outcome::Within) | (None, Outcome::NotJudged) => Ok(()),
            (end, outcome) => Err(format!("{end:?} reads {outcome:?}")),
        }
    });
}
