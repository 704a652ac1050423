//! What the instruments' last checks mean for a reading: a pH leans on the meter's, a humidity is corrected by the
//! hygrometer's.

use crate::command::asking::{Asking, Services};
use crate::command::chamber::air::{self, Air};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::{Understood, What};
use crate::command::{check, meters, time};
use crate::curing::Level;
use crate::curing::fermentation::trust::{Trust, judge_meter};
use crate::curing::hygrometer::HumidityDoubt;
use crate::curing::meter::leaned_on;
use crate::quantity::{RelativeHumidity, format};
use crate::record::{Calibration, Chamber, Instrument, Meter};
use crate::reply::{Reply, say};
use crate::store::fold;
use chrono::{DateTime, Utc};

/// Takes "with pen" or "meter pen" out of a line about a pH, where the member has a meter of that name.
pub(in crate::command::log) async fn take_meter(
    services: &Services,
    asking: &Asking,
    text: &str,
) -> Result<(String, Option<Meter>), CommandError> {
    if text.to_lowercase().contains("ph") {
        let known = services.store.meters_of(asking.member.id).await?;
        if let Some((rest, meter)) = without_meter(text, known) {
            return Ok((rest, Some(meter)));
        }
    }
    Ok((text.to_owned(), None))
}

fn without_meter(text: &str, mut known: Vec<Meter>) -> Option<(String, Meter)> {
    let lower = text.to_lowercase();
    // Places in the one are places in the other only where no letter changed its length.
    if lower.len() != text.len() {
        return None;
    }
    // "pen 2" is looked for before "pen".
    known.sort_by_key(|meter| std::cmp::Reverse(meter.name.len()));
    known.into_iter().find_map(|meter| {
        let (before, after) = around(text, &lower, &fold(&meter.name))?;
        let rest = format!("{} {}", before.trim_end().trim_end_matches(','), after.trim_start());
        Some((rest.trim().to_owned(), meter))
    })
}

/// What stands before and after the words that name a meter.
fn around<'t>(text: &'t str, lower: &str, name: &str) -> Option<(&'t str, &'t str)> {
    // A bare number after "with" may be anything: "calibrated with 2 buffers".
    let is_word = name.chars().any(char::is_alphabetic);
    let leads =
        ["with meter ", "with my ", "with ", "mit messgerät ", "mit meinem ", "mit ", "messgerät ", "meter "];
    leads.iter().filter(|lead| is_word || lead.contains("meter") || lead.contains("messgerät")).find_map(
        |lead| {
            let phrase = format!("{lead}{name}");
            let (start, end) = lower.find(&phrase).map(|start| (start, start + phrase.len()))?;
            let (before, after) = (text.get(..start)?, text.get(end..)?);
            let ends = |letter: Option<char>| letter.is_none_or(|letter| !letter.is_alphanumeric());
            (ends(before.chars().next_back()) && ends(after.chars().next())).then_some((before, after))
        },
    )
}

/// A pH by a meter of which nothing is said leans on the last check before it: of the meter that was named, else of the
/// member's only one. With several meters nobody knows which it was, and it leans on none.
pub(in crate::command::log) async fn lean(
    services: &Services,
    asking: &Asking,
    understood: &mut Understood,
    named: Option<Meter>,
    at: DateTime<Utc>,
) -> Result<(), CommandError> {
    let leans =
        |what: &What| matches!(what, What::Ph { instrument: Instrument::Meter, calibration: None, .. });
    if !understood.items.iter().any(|item| leans(&item.what)) {
        return Ok(());
    }
    let known = match named {
        Some(meter) => vec![meter],
        None => services.store.meters_of(asking.member.id).await?,
    };
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
    if !any {
        return Ok(());
    }
    if let [first, _, ..] = services.store.meters_of(asking.member.id).await?.as_slice() {
        reply.note(Level::Notice, say("log.reading.which_meter", &[("meter", &first.name)]));
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
    let air = Air::at(services, chamber.id, at).await?;
    let known = air.corrected.map(|before| before.doubts).unwrap_or_default();
    let Some(correction) = air.hygrometer else { return Ok(()) };
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
    // What the answer to the last humidity said already stands on the card; which jar is near is of each reading.
    let is_new = |doubt: &HumidityDoubt| *doubt == HumidityDoubt::OutOfReach || !known.contains(doubt);
    for doubt in corrected.doubts.into_iter().filter(is_new) {
        reply.note(Level::Notice, say(air::doubt_key(doubt), &[]));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{MemberId, MeterId};

    fn taken(text: &str) -> Option<(String, String)> {
        let meter =
            |id: i64, name: &str| Meter { id: MeterId(id), owner: MemberId(1), name: name.to_owned() };
        let known = vec![meter(1, "1"), meter(2, "Pen"), meter(3, "pen 2")];
        without_meter(text, known).map(|(rest, meter)| (rest, meter.name))
    }

    #[test]
    fn a_meter_is_named_with_a_reading() {
        for (text, rest, name) in [
            ("pH 5.2 at 21 C with pen", "pH 5.2 at 21 C", "Pen"),
            ("pH 5.2 with Pen at 21 C", "pH 5.2 at 21 C", "Pen"),
            ("pH 5.2 at 21 C, with my pen 2", "pH 5.2 at 21 C", "pen 2"),
            ("pH 5.2 meter 1 at 21 C", "pH 5.2 at 21 C", "1"),
        ] {
            assert_eq!(taken(text), Some((rest.to_owned(), name.to_owned())), "{text}");
        }
        for text in ["pH 5.2 with pencil", "pH 5.2 calibrated with 1 buffer", "pH 5.2 with pen3", "pH 5.2"] {
            assert_eq!(taken(text), None, "{text}");
        }
    }
}
