//! What the instruments' last checks mean for a reading: a pH leans on the meter's, a humidity is corrected by the
//! hygrometer's.

use crate::command::asking::{Asking, Services};
use crate::command::chamber::air::{self, Air};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{Understood, What};
use crate::command::{check, meters, time};
use crate::curing::Level;
use crate::curing::fermentation::trust::{Trust, judge_meter};
use crate::curing::meter::leaned_on;
use crate::quantity::{RelativeHumidity, format};
use crate::record::{Calibration, Chamber, Instrument, Meter};
use crate::reply::{Reply, say};
use chrono::{DateTime, Utc};

/// A pH by a meter of which nothing is said leans on the last check of the member's meter before it. With several
/// meters nobody knows which it was, and it leans on none.
pub(in crate::command::log) async fn lean(
    services: &Services,
    asking: &Asking,
    understood: &mut Understood,
    at: DateTime<Utc>,
) -> Result<(), CommandError> {
    let leans =
        |what: &What| matches!(what, What::Ph { instrument: Instrument::Meter, calibration: None, .. });
    if !understood.items.iter().any(|item| leans(&item.what)) {
        return Ok(());
    }
    let known = services.store.meters_of(asking.member.id).await?;
    let [meter] = known.as_slice() else { return Ok(()) };
    let found = leaned_on(&meters::checks(services, meter.id).await?, at);
    refuse_rejected(meter, found.as_ref())?;
    for item in understood.items.iter_mut().filter(|item| leans(&item.what)) {
        if let What::Ph { calibration, .. } = &mut item.what {
            *calibration = found;
        }
    }
    Ok(())
}

/// A meter whose last check cannot be believed gives no reading.
fn refuse_rejected(meter: &Meter, found: Option<&Calibration>) -> Result<(), UserError> {
    let Some((Trust::Rejected, doubts)) = found.map(judge_meter) else { return Ok(()) };
    let why = doubts.first().map_or_else(String::new, |worst| say(worst.advice(), &[]));
    let sentence = say("log.reading.meter_rejected", &[("meter", &meter.name), ("why", &why)]);
    Err(UserError::new(Code::OutOfRange, sentence, check::meter::SPEC.examples[0]))
}

/// A pH of a member with several meters, of which nothing was said: it leans on none, and that is said.
pub(super) async fn say_which_meter(
    reply: &mut Reply,
    services: &Services,
    asking: &Asking,
    understood: &Understood,
) -> Result<(), CommandError> {
    let bare =
        |what: &What| matches!(what, What::Ph { instrument: Instrument::Meter, calibration: None, .. });
    let any = understood.items.iter().any(|item| bare(&item.what));
    if any && services.store.meters_of(asking.member.id).await?.len() > 1 {
        reply.note(Level::Notice, say("log.reading.which_meter", &[]));
    }
    Ok(())
}

/// What a humidity means by the hygrometer's last check, raw beside corrected.
pub(super) async fn say_corrected(
    reply: &mut Reply,
    services: &Services,
    asking: &Asking,
    chamber: &Chamber,
    understood: &Understood,
) -> Result<(), CommandError> {
    let at = understood.at.as_ref().map_or(asking.now, |when| when.at);
    let mut read = understood.items.iter().filter_map(|item| match item.what {
        What::Room { humidity, .. } => humidity,
        _ => None,
    });
    let Some(raw) = read.next() else { return Ok(()) };
    let Some(correction) = Air::at(services, chamber.id, at).await?.hygrometer else { return Ok(()) };
    let corrected = correction.apply(raw, at);
    let percent = |humidity: RelativeHumidity| format::relative_humidity(humidity);
    let holes = [
        ("raw", &*percent(raw)),
        ("corrected", &percent(corrected.corrected)),
        ("when", &time::shown(correction.made(), asking.now, asking.zone())),
    ];
    if !corrected.is_out_of_reach() {
        reply.lines.push(say("log.reading.corrected", &holes));
    }
    for doubt in corrected.doubts {
        reply.note(Level::Notice, say(air::doubt_key(doubt), &[]));
    }
    Ok(())
}
