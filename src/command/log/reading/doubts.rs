//! What is hard to believe is asked about; what cannot be is refused.

use super::echo;
use super::setting::Setting;
use super::whom::Whom;
use crate::command::asking::Asking;
use crate::command::chamber::set;
use crate::command::describe;
use crate::command::error::{Code, UserError};
use crate::command::intake::{self, Doubt, Item, Understood, What};
use crate::command::line::shown;
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
        return Err(UserError::new(Code::OutOfRange, sentence(doubt, asking), example(doubt, asking)));
    }
    rejected_meter(&understood.items)?;
    if asking.confirmed {
        return Ok(None);
    }
    let doubts: Vec<String> = doubts
        .iter()
        .map(|doubt| sentence(doubt, asking))
        .chain(understood.items.iter().filter_map(|item| unusual_setting(item, setting)))
        .chain(understood.items.iter().find_map(|item| hung_already(item, whom, asking)))
        .collect();
    let read = || echo::items(&understood.items, setting, asking);
    Ok(if !doubts.is_empty() {
        let text = say("log.reading.implausible", &[("doubts", &doubts.join("; "))]);
        Some(question("confirm_value", text))
    } else if understood.is_doubtful && understood.leftover.is_empty() {
        Some(question("confirm_reading", say("log.reading.as_read", &[("read", &read())])))
    } else if understood.is_doubtful {
        let leftover = shown(&understood.leftover.join(" "));
        let holes = [("read", &*read()), ("leftover", &leftover)];
        Some(question("confirm_leftover", say("log.reading.leftover", &holes)))
    } else {
        None
    })
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

/// A chamber is seldom set to this.
fn unusual_setting(item: &Item, setting: &Setting) -> Option<String> {
    match item.what {
        What::Setting { temperature, humidity, .. } => {
            set::unusual(&setting.chamber.name, temperature, humidity)
        }
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
fn sentence(doubt: &Doubt, asking: &Asking) -> String {
    match doubt {
        Doubt::PhSlipped { typed, meant } => {
            let (typed, meant) = (format::ph_exact(*typed), format::ph_exact(*meant));
            say("doubt.ph_slipped", &[("typed", &typed), ("meant", &meant)])
        }
        Doubt::PhImpossible { typed } => say("doubt.ph_impossible", &[("typed", &format::ph_exact(*typed))]),
        Doubt::PhUnlikely { typed } => say("doubt.ph_unlikely", &[("typed", &format::ph_exact(*typed))]),
        Doubt::Grew { piece, last, now } => weight("doubt.grew", *piece, *last, *now, asking),
        Doubt::Dropped { piece, last, now } => weight("doubt.dropped", *piece, *last, *now, asking),
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
fn example(doubt: &Doubt, asking: &Asking) -> String {
    match doubt {
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

fn weight(key: &str, piece: Option<PieceNumber>, last: Mass, now: Mass, asking: &Asking) -> String {
    let of = piece.map_or_else(|| say("doubt.whole_batch", &[]), |piece| piece.to_string());
    say(
        key,
        &[("of", &of), ("last", &describe::weight(last, asking)), ("now", &describe::weight(now, asking))],
    )
}
