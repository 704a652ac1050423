//! `/chamber set`: what a chamber's controller is set to. A setting holds until the next one.

use super::air::{self, Air, HYSTERESIS_CELSIUS, Setting};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::intake::AIR_CELSIUS;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, FoundChamber};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::time;
use crate::quantity::{QuantityError, RelativeHumidity, Temperature, TemperatureScale, format, parse};
use crate::record::{Chamber, Event, Happening, Subject};
use crate::reply::{Question, Reply, say};
use chrono::{DateTime, Utc};
use std::ops::RangeInclusive;

/// `/chamber set`
pub static SPEC: Spec = Spec {
    root: "chamber",
    verb: "set",
    aliases: &[],
    summary: "say what a chamber is set to; it holds until you say otherwise",
    options: &[
        maybe("chamber", OptionKind::Text, "its name; your only one when not said"),
        maybe("temperature", OptionKind::Text, "set temperature, e.g. 13 C or 55 F"),
        maybe("humidity", OptionKind::Percent, "set relative humidity, e.g. 80%"),
        maybe(
            "hysteresis",
            OptionKind::Text,
            "how far above it the controller lets it drift; 1 C when not said",
        ),
        maybe("at", OptionKind::Time, "since when, if not now"),
    ],
    examples: [
        "chamber set chamber:home temperature:13 C humidity:80%",
        "chamber set chamber:home temperature:75 F hysteresis:2 F at:yesterday 18:00",
    ],
    private: false,
};

/// A wider band is no controller.
const HYSTERESIS_RANGE_CELSIUS: RangeInclusive<f64> = 0.0..=10.0;

/// Meat is cured, fermented and dried inside this; anything else is asked about. Common practice, no source.
const USUAL_CELSIUS: RangeInclusive<f64> = -2.0..=45.0;

/// Set humidities in %, from a dry refrigerator to a fermenting box; 0.8 % is a slip for 80 %. Common practice, no
/// source.
const USUAL_HUMIDITY_PERCENT: RangeInclusive<f64> = 30.0..=100.0;

/// A setting to be kept.
#[derive(Debug, Clone)]
pub struct ChamberSet {
    chamber: Option<String>,
    temperature: Option<Temperature>,
    humidity: Option<RelativeHumidity>,
    hysteresis_celsius: Option<f64>,
    at: DateTime<Utc>,
    /// The options as typed, for the example of a question.
    typed: String,
}

/// Where the drift that is counted comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Drift {
    Said,
    AsBefore,
    Assumed,
}

impl ChamberSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let read = Self {
            chamber: args.text("chamber").map(str::to_owned),
            temperature: set_temperature(args)?,
            humidity: args.read("humidity", parse::relative_humidity)?,
            hysteresis_celsius: hysteresis(args)?,
            at: args.past("at")?,
            typed: options_typed(args),
        };
        if read.typed.is_empty() {
            return Err(args.error(Code::MissingOption, say("chamber.set.nothing", &[])));
        }
        Ok(read)
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("chamber set chamber:{{chamber}} {}", self.typed);
        let found = lookup::which_chamber(services, asking, self.chamber.as_deref(), &line).await?;
        let chamber = match found {
            FoundChamber::Chamber(chamber) => chamber,
            FoundChamber::Ask(question) => return Ok(Done::question(question)),
        };
        let doubt = unusual(&chamber.name, self.temperature, self.humidity);
        if let Some(doubt) = doubt.filter(|_| !asking.confirmed) {
            return Ok(Done::question(confirm(&doubt)));
        }
        let before = Air::at(services, chamber.id, self.at).await?;
        let temperature = self.temperature_with(before.setting)?;
        let (hysteresis_celsius, drift) = self.drift(before.setting);
        let mut journal = Journal::new(services, asking);
        let what = Happening::RoomSet { temperature, humidity: self.humidity, hysteresis_celsius };
        let event = journal.event(Subject::Chamber(chamber.id), self.at, what);
        let mut reply = self.reply(&chamber, &before, asking);
        let until = self.until(services, &chamber, asking.now).await?;
        reply.lines.push(from_until(&event, until, asking));
        if temperature.is_some() {
            reply.lines.push(drift_shown(hysteresis_celsius, drift, asking));
        }
        reply.lines.extend(counts_for(&chamber, services, asking).await?);
        let words = describe(&event.what, asking);
        reply.stored.push(journal::stored_as(&event, &chamber.name, words));
        journal.append(event).await?;
        let change = journal.finish().await?;
        reply.due = journal::dues(&change);
        Ok(Done::keeping(change, reply))
    }

    /// A drift alone belongs to the temperature that is set already.
    fn temperature_with(&self, before: Option<Setting>) -> Result<Option<Temperature>, CommandError> {
        if self.temperature.is_some() || self.hysteresis_celsius.is_none() {
            return Ok(self.temperature);
        }
        before.map(|setting| Some(setting.temperature)).ok_or_else(|| {
            let sentence = say("chamber.set.hysteresis_alone", &[]);
            UserError::new(Code::MissingOption, sentence, SPEC.examples[1]).into()
        })
    }

    fn drift(&self, before: Option<Setting>) -> (f64, Drift) {
        match (self.hysteresis_celsius, before) {
            (Some(said), _) => (said, Drift::Said),
            (None, Some(setting)) => (setting.hysteresis_celsius, Drift::AsBefore),
            (None, None) => (HYSTERESIS_CELSIUS, Drift::Assumed),
        }
    }

    /// When what was set just now was set again, where it is set for a time that is past.
    async fn until(
        &self,
        services: &Services,
        chamber: &Chamber,
        now: DateTime<Utc>,
    ) -> Result<Option<DateTime<Utc>>, CommandError> {
        let of_temperature = self.temperature.is_some() || self.hysteresis_celsius.is_some();
        let sets_same = |event: &Event| match &event.what {
            Happening::RoomSet { temperature, humidity, .. } => {
                (of_temperature && temperature.is_some()) || (self.humidity.is_some() && humidity.is_some())
            }
            _ => false,
        };
        let later = services.store.chamber_events(chamber.id, self.at, now).await?;
        Ok(later.iter().find(|event| event.at > self.at && sets_same(event)).map(|event| event.at))
    }

    /// Says the whole setting that holds now: what was not set just now holds on.
    fn reply(&self, chamber: &Chamber, before: &Air, asking: &Asking) -> Reply {
        let temperature = self.temperature.or_else(|| before.setting.map(|setting| setting.temperature));
        let humidity = self.humidity.or(before.set_humidity);
        let shown = air::shown(temperature.map(format::both_scales), humidity).unwrap_or_default();
        let headline = say("chamber.set.done", &[("name", &chamber.name), ("air", &shown)]);
        let mut reply = Reply::new("chamber set", headline);
        reply.next = Some(match asking.member.settings.temperature {
            TemperatureScale::Celsius => say("chamber.set.next_celsius", &[]),
            TemperatureScale::Fahrenheit => say("chamber.set.next_fahrenheit", &[]),
        });
        reply
    }
}

/// What is far from what meat is cured, fermented or dried at, in words.
pub(in crate::command) fn unusual(
    chamber: &str,
    temperature: Option<Temperature>,
    humidity: Option<RelativeHumidity>,
) -> Option<String> {
    let temperature =
        temperature.filter(|set| !USUAL_CELSIUS.contains(&set.as_celsius())).map(format::both_scales);
    let humidity = humidity
        .filter(|set| !USUAL_HUMIDITY_PERCENT.contains(&set.as_percent()))
        .map(format::relative_humidity_exact);
    let value = temperature.or(humidity)?;
    Some(say("chamber.set.unusual", &[("name", chamber), ("value", &value)]))
}

/// From when to when a setting holds, and how to take it back.
fn from_until(event: &Event, until: Option<DateTime<Utc>>, asking: &Asking) -> String {
    let shown = |at| time::shown(at, asking.now, asking.zone());
    let (when, id) = (shown(event.at), event.id.to_string());
    match until {
        None => say("chamber.set.from", &[("when", &when), ("id", &id)]),
        Some(until) => {
            let until = shown(until);
            say("chamber.set.from_until", &[("when", &when), ("until", &until), ("id", &id)])
        }
    }
}

fn confirm(doubt: &str) -> Question {
    Question {
        code: "confirm_setting",
        text: say("chamber.set.confirm", &[("doubt", doubt)]),
        example: "yes".to_owned(),
        choices: Vec::new(),
        answers: Vec::new(),
        line: String::new(),
    }
}

/// A set temperature that a chamber's air can have at all.
fn set_temperature(args: Args<'_>) -> Result<Option<Temperature>, UserError> {
    let read = args.read("temperature", |text| temperature(text, args.asking))?;
    match read.filter(|set| !AIR_CELSIUS.contains(&set.as_celsius())) {
        None => Ok(read),
        Some(typed) => {
            let holes = [("typed", &*format::temperature_exact(typed))];
            Err(args.error(Code::OutOfRange, say("doubt.air", &holes)))
        }
    }
}

/// A temperature; the error for one without its scale offers the member's own first.
fn temperature(text: &str, asking: &Asking) -> Result<Temperature, QuantityError> {
    parse::temperature(text).map_err(|error| match (error, asking.member.settings.temperature) {
        (QuantityError::UnitMissing { text, .. }, TemperatureScale::Fahrenheit) => {
            QuantityError::UnitMissing { text, accepted: "°F or °C" }
        }
        (error, _) => error,
    })
}

fn hysteresis(args: Args<'_>) -> Result<Option<f64>, UserError> {
    let read = args.read("hysteresis", |text| temperature(text, args.asking))?.map(air::difference_celsius);
    match read {
        Some(celsius) if !HYSTERESIS_RANGE_CELSIUS.contains(&celsius) => {
            let sentence = say("chamber.set.hysteresis_range", &[]);
            Err(UserError::new(Code::OutOfRange, sentence, SPEC.examples[1]))
        }
        read => Ok(read),
    }
}

/// The options that set something, as typed.
fn options_typed(args: Args<'_>) -> String {
    let typed = |name: &'static str| args.text(name).map(|text| format!("{name}:{text}"));
    ["temperature", "humidity", "hysteresis"].into_iter().filter_map(typed).collect::<Vec<_>>().join(" ")
}

fn drift_shown(celsius: f64, drift: Drift, asking: &Asking) -> String {
    let shown = air::difference_shown(celsius, asking.member.settings.temperature);
    let key = match drift {
        Drift::Said => "chamber.set.drift_said",
        Drift::AsBefore => "chamber.set.drift_before",
        Drift::Assumed => "chamber.set.drift_assumed",
    };
    say(key, &[("drift", &shown)])
}

/// The member's batches that hang there now.
async fn counts_for(
    chamber: &Chamber,
    services: &Services,
    asking: &Asking,
) -> Result<Option<String>, CommandError> {
    let batches = services.store.open_batches_in(chamber.id).await?;
    let own = batches.iter().filter(|batch| batch.owner == asking.member.id);
    let names: Vec<String> = own.map(|batch| format!("{} {}", batch.id, batch.name)).collect();
    Ok((!names.is_empty()).then(|| say("chamber.set.counts_for", &[("batches", &names.join(", "))])))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_drift_is_what_was_said_last() {
        let set = |hysteresis_celsius| ChamberSet {
            chamber: None,
            temperature: None,
            humidity: None,
            hysteresis_celsius,
            at: "2026-11-02T08:00:00Z".parse().unwrap(),
            typed: String::new(),
        };
        let before = Setting { temperature: Temperature::celsius(13.0), hysteresis_celsius: 2.0 };
        assert_eq!(set(Some(0.5)).drift(Some(before)), (0.5, Drift::Said));
        assert_eq!(set(None).drift(Some(before)), (2.0, Drift::AsBefore));
        assert_eq!(set(None).drift(None), (1.0, Drift::Assumed));
        // A drift alone sets the temperature that holds again; without one it means nothing.
        let kept = set(Some(0.5)).temperature_with(Some(before)).ok();
        assert_eq!(kept, Some(Some(before.temperature)));
        assert!(set(Some(0.5)).temperature_with(None).is_err());
        assert_eq!(set(None).temperature_with(Some(before)).ok(), Some(None));
    }
}
