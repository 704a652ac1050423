//! `help start`: what a newcomer says once, and a first batch, each with the line that says it; what is there already is
//! shown as it is.

use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::forms;
use crate::command::me::values;
use crate::reply::{Reply, say};

/// Words by which a member asks how to begin.
pub(super) const WORDS: &[&str] = &["start", "begin", "beginning"];

/// A batch as one could begin.
const FIRST_BATCH: &str =
    "batch start name:Juniper stick kind:fermented-sausage meat:2.4 kg pork casing:50 mm loss:38%";

/// Where a newcomer stands, and what comes next.
pub(super) async fn answer(services: &Services, asking: &Asking) -> Outcome {
    let batches = services.store.batches_of(asking.member.id).await?;
    let country = asking.country();
    let has_zone = asking.member.settings.timezone.is_some() || asking.group.settings.timezone.is_some();
    let is_set = country.is_some() && has_zone;
    let mut reply = Reply::new("help", say("help.start.headline", &[]));
    reply.lines.push(match &country {
        Some(country) => say("help.start.country", &[("country", country.code())]),
        None => say("help.start.no_country", &[]),
    });
    let zone = asking.zone();
    let clock = values::clock(asking.now, zone);
    let holes = [("timezone", zone.name()), ("clock", clock.as_str())];
    let key = if has_zone { "help.start.timezone" } else { "help.start.no_timezone" };
    reply.lines.push(say(key, &holes));
    let settings = &asking.member.settings;
    let units = [
        ("mass", settings.mass.symbol()),
        ("cure", settings.cure.symbol()),
        ("temperature", settings.temperature.symbol()),
    ];
    reply.lines.push(say("help.start.units", &units));
    reply.lines.push(match batches.first() {
        Some(batch) => say("help.start.batch", &[("batch", &batch.id.to_string()), ("name", &batch.name)]),
        None => say("help.start.no_batch", &[("example", FIRST_BATCH)]),
    });
    reply.looks_at = Some(Vec::new());
    if !is_set {
        reply.forms.push(forms::settings(asking));
    }
    if batches.is_empty() {
        reply.forms.push(forms::start());
    }
    reply.next = Some(match (is_set, batches.first()) {
        (false, _) => say("help.start.next_settings", &[]),
        (true, None) => say("help.start.next_batch", &[]),
        (true, Some(batch)) => say("help.start.next_reading", &[("batch", &batch.id.to_string())]),
    });
    Ok(Done::reply(reply))
}
