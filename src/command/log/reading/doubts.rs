//! What is hard to believe is asked about; what cannot be is refused.

use super::echo;
use super::setting::Setting;
use super::whom::{Whom, about_air};
use crate::command::asking::Asking;
use crate::command::chamber::set;
use crate::command::describe;
use crate::command::error::{Code, UserError};
use crate::command::intake::{self, Doubt, Item, Understood, What};
use crate::command::time;
use crate::curing::fermentation::Trust;
use crate::curing::fermentation::trust;
use crate::quantity::{Mass, TemperatureScale, format};
use crate::record::{EventId, PhReading, PieceNumber};
use crate::reply::{Question, say};
use chrono::DateTime;

/// What must be answered before anything is kept: values that are hard to believe, words that were not understood.
/// What no "yes" can make true is an error.
pub(in crate::command::log) fn check(
    understood: &Understood,
    whom: &Whom,
    setting: &Setting,
    asking: &Asking,
) -> Result<Option<Question>, UserError> {
    let context = whom.context(asking);
    let doubts: Vec<Doubt> =
        understood.items.iter().filter_map(|item| intake::implausible(item, &context)).collect();
    if let Some(doubt) = doubts.iter().find(|doubt| !doubt.may_be_confirmed()) {
        let line = example(doubt, &understood.items, asking);
        return Err(UserError::new(Code::OutOfRange, sentence(doubt, asking), line));
    }
    rejected_meter(&understood.items)?;
    if asking.confirmed {
        return Ok(None);
    }
    let doubts: Vec<String> = doubts
        .iter()
        .map(|doubt| sentence(doubt, asking))
        .chain(understood.items.iter().filter_map(|item| unusual_air(item, setting)))
        .chain(understood.items.iter().find_map(|item| hung_already(item, whom, asking)))
        .collect();
    Ok(if !doubts.is_empty() {
        Some(question("confirm_value", about_values(&doubts, understood, setting, asking)))
    } else if understood.is_doubtful && understood.leftover.iter().all(|run| run == "?") {
        let read = as_read(understood, setting, asking);
        Some(question("confirm_reading", say("log.reading.as_read", &[("read", &read)])))
    } else if understood.is_doubtful {
        let holes = [
            ("read", &*as_read(understood, setting, asking)),
            ("leftover", &echo::leftover(&understood.leftover)),
        ];
        Some(question("confirm_leftover", say("log.reading.leftover", &holes)))
    } else {
        None
    })
}

/// Values that are hard to believe. A yes keeps the whole line: what else is in doubt, and what was not read, is said
/// before it.
fn about_values(doubts: &[String], understood: &Understood, setting: &Setting, asking: &Asking) -> String {
    let question = say("log.reading.implausible", &[("doubts", &doubts.join("; "))]);
    if !understood.is_doubtful && understood.leftover.is_empty() {
        return question;
    }
    let read = as_read(understood, setting, asking);
    if understood.leftover.is_empty() {
        return say("log.reading.read_first", &[("read", &read), ("question", &question)]);
    }
    let leftover = echo::leftover(&understood.leftover);
    let holes = [("read", &*read), ("leftover", &leftover), ("question", &question)];
    say("log.reading.read_but_first", &holes)
}

/// What would be kept, with the chamber where it is all about its air, and the time that was said.
fn as_read(understood: &Understood, setting: &Setting, asking: &Asking) -> String {
    let mut read = echo::items(&understood.items, setting, asking);
    if about_air(&understood.items) {
        let of = say("subject.chamber", &[("name", &setting.chamber.name)]);
        read = say("log.reading.in_chamber", &[("chamber", &of), ("text", &read)]);
    }
    match &understood.at {
        None => read,
        Some(when) => {
            let when = time::shown(when.at, asking.now, asking.zone());
            say("log.reading.at_time", &[("read", &read), ("when", &when)])
        }
    }
}

fn question(code: &'static str, text: String) -> Question {
    Question {
        code,
        text,
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}

/// A chamber seldom has this air, or is seldom set to it.
fn unusual_air(item: &Item, setting: &Setting) -> Option<String> {
    let unusual = |temperature, humidity| set::unusual(&setting.chamber.name, temperature, humidity);
    match item.what {
        What::Setting { temperature, humidity, .. } | What::Room { temperature, humidity } => {
            unusual(temperature, humidity)
        }
        What::Extremes { max, min, .. } => unusual(Some(max), None).or_else(|| unusual(min, None)),
        What::PowerOut { reached, .. } => unusual(reached, None),
        _ => None,
    }
}

/// Hanging a piece anew moves what its loss is counted from.
fn hung_already(item: &Item, whom: &Whom, asking: &Asking) -> Option<String> {
    let What::Hung { pieces, .. } = &item.what else {
        return None;
    };
    let context = whom.context(asking);
    pieces.iter().find_map(|(number, now)| {
        let last = context.last_weight(*number)?;
        Some(weight("doubt.hung_already", Some(*number), last, *now, asking))
    })
}

/// Why a value is asked about or refused.
pub(in crate::command::log) fn sentence(doubt: &Doubt, asking: &Asking) -> String {
    match doubt {
        Doubt::PhSlipped { typed, meant } => {
            let (typed, meant) = (format::ph_exact(*typed), format::ph_exact(*meant));
            say("doubt.ph_slipped", &[("typed", &typed), ("meant", &meant)])
        }
        Doubt::PhImpossible { typed } => say("doubt.ph_impossible", &[("typed", &format::ph_exact(*typed))]),
        Doubt::PhUnlikely { typed } => say("doubt.ph_unlikely", &[("typed", &format::ph_exact(*typed))]),
        Doubt::Grew { piece, last, now } => weight("doubt.grew", *piece, *last, *now, asking),
        Doubt::Dropped { piece, last, now } => weight("doubt.dropped", *piece, *last, *now, asking),
        Doubt::NotOfMeat { now, meat } => of_meat("doubt.not_of_meat", *now, *meat, asking),
        Doubt::HungHeavy { sum, meat } => of_meat("doubt.hung_heavy", *sum, *meat, asking),
        Doubt::HungFar { piece, now, median } => {
            let (now, median) = (describe::weight(*now, asking), describe::weight(*median, asking));
            say("doubt.hung_far", &[("piece", &piece.to_string()), ("now", &now), ("median", &median)])
        }
        Doubt::HungGap { piece, missing } => {
            say("doubt.hung_gap", &[("piece", &piece.to_string()), ("missing", &missing.to_string())])
        }
        Doubt::TareHeavy { tare, lightest } => of_tare("doubt.tare_heavy", *tare, *lightest, asking),
        Doubt::TareTooHeavy { tare, lightest } => of_tare("doubt.tare_too_heavy", *tare, *lightest, asking),
        Doubt::HumidityFraction { typed, meant } => {
            let exact = format::relative_humidity_exact;
            say("doubt.humidity_fraction", &[("typed", &exact(*typed)), ("meant", &exact(*meant))])
        }
        Doubt::AirTemperature { typed } => {
            say("doubt.air", &[("typed", &describe::temperature(*typed, asking))])
        }
        Doubt::SampleTemperature { typed } => {
            say("doubt.sample", &[("typed", &describe::temperature(*typed, asking))])
        }
        Doubt::Humidity { typed } => say("doubt.humidity", &[("typed", &format::relative_humidity(*typed))]),
        Doubt::Slope { percent } => say("doubt.slope", &[("percent", &format::trimmed(*percent, 1))]),
        Doubt::LongPowerCut { days } => say("doubt.power_cut", &[("days", &days.to_string())]),
    }
}

/// A line that would be kept instead.
fn example(doubt: &Doubt, items: &[Item], asking: &Asking) -> String {
    match doubt {
        Doubt::HumidityFraction { meant, .. } => {
            let meant = format::relative_humidity_exact(*meant);
            let sets = items.iter().any(|item| matches!(item.what, What::Setting { .. }));
            if sets { format!("chamber set to {meant}") } else { format!("rh {meant}") }
        }
        Doubt::TareTooHeavy { .. } => "tare 30 g each".to_owned(),
        Doubt::PhSlipped { meant, .. } => format!("pH {}", format::ph_exact(*meant)),
        Doubt::AirTemperature { .. } | Doubt::Humidity { .. } => match asking.member.settings.temperature {
            TemperatureScale::Celsius => "13 C 80%".to_owned(),
            TemperatureScale::Fahrenheit => "55 F 80%".to_owned(),
        },
        Doubt::Grew { last, .. } | Doubt::Dropped { last, .. } => {
            format::mass_exact(*last, crate::quantity::MassUnit::Gram)
        }
        _ => TRUSTED.to_owned(),
    }
}

/// A meter that cannot be right gives no reading: it is refused, not kept with a doubt.
fn rejected_meter(items: &[Item]) -> Result<(), UserError> {
    for item in items {
        let What::Ph { ph, instrument, sample_temperature, calibration } = item.what else { continue };
        let reading = PhReading {
            event: EventId(0),
            at: DateTime::UNIX_EPOCH,
            ph,
            instrument,
            sample_temperature,
            calibration,
            from_sample: false,
        };
        let (trust, doubts) = trust::judge(&reading);
        if let Some(worst) = doubts.first().filter(|_| trust == Trust::Rejected) {
            return Err(UserError::new(Code::OutOfRange, say(worst.advice(), &[]), TRUSTED));
        }
    }
    Ok(())
}

/// A pH reading that can end the clock.
const TRUSTED: &str = "pH 5.12 at 21 C, calibrated 3 h ago, slope 98%";

fn of_meat(key: &str, now: Mass, meat: Mass, asking: &Asking) -> String {
    say(key, &[("now", &describe::weight(now, asking)), ("meat", &describe::weight(meat, asking))])
}

fn of_tare(key: &str, tare: Mass, lightest: Mass, asking: &Asking) -> String {
    say(key, &[("tare", &describe::weight(tare, asking)), ("lightest", &describe::weight(lightest, asking))])
}

fn weight(key: &str, piece: Option<PieceNumber>, last: Mass, now: Mass, asking: &Asking) -> String {
    let of = piece.map_or_else(|| say("doubt.whole_batch", &[]), |piece| piece.to_string());
    say(
        key,
        &[("of", &of), ("last", &describe::weight(last, asking)), ("now", &describe::weight(now, asking))],
    )
}
