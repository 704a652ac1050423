//! What is hard to believe, in words.

use crate::command::asking::Asking;
use crate::command::describe;
use crate::command::error::{Code, UserError};
use crate::command::intake::{Doubt, Item, What};
use crate::curing::fermentation::Trust;
use crate::curing::fermentation::trust;
use crate::quantity::{Mass, format};
use crate::record::{EventId, PhReading, PieceNumber};
use crate::reply::say;
use chrono::DateTime;

/// Why a value is asked about or refused.
pub(super) fn sentence(doubt: &Doubt, asking: &Asking) -> String {
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
pub(super) fn example(doubt: &Doubt) -> String {
    match doubt {
        Doubt::PhSlipped { meant, .. } => format!("pH {}", format::ph_exact(*meant)),
        Doubt::AirTemperature { .. } | Doubt::Humidity { .. } => "13 C 80%".to_owned(),
        Doubt::Grew { last, .. } | Doubt::Dropped { last, .. } => {
            format::mass_exact(*last, crate::quantity::MassUnit::Gram)
        }
        _ => TRUSTED.to_owned(),
    }
}

/// A meter that cannot be right gives no reading: it is refused, not kept with a doubt.
pub(super) fn rejected_meter(items: &[Item]) -> Result<(), UserError> {
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
    say(key, &[("of", &of), ("last", &describe::mass(last, asking)), ("now", &describe::mass(now, asking))])
}
