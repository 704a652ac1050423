//! The air a batch hangs in: what was read and what was set.

use super::{Calendar, Charted, sentences};
use crate::chart::palette::Style;
use crate::chart::{Axis, Band, Between, Chart, Edge, Extent, Panel, Point, Series};
use crate::command::asking::Asking;
use crate::command::chamber::air::Air;
use crate::command::error::CommandError;
use crate::command::lookup;
use crate::command::status::Look;
use crate::curing::hygrometer::Correction;
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale, format};
use crate::record::climate::Climate;
use crate::record::{BatchState, Event, Happening};
use crate::reply::say;
use chrono::{DateTime, Utc};

/// The ways up span at least so much.
const LEAST_DEGREES: f64 = 4.0;
const LEAST_HUMIDITY: f64 = 10.0;

pub(super) async fn chart(state: &BatchState, look: Look<'_>) -> Result<Charted, CommandError> {
    let chamber = state.chamber();
    let name = lookup::chamber_name(look.services, chamber).await?;
    let since = state.stays.last().map_or(state.last_at, |(_, since)| *since);
    let until = if state.stage().0.is_over() { state.last_at.max(since) } else { look.asking.now };
    let events = look.services.store.chamber_events(chamber, since, until).await?;
    let mut air = Climate::of(&events);
    air.readings.retain(|read| read.at >= since);
    air.extremes.retain(|read| read.at >= since);
    let humidities = humidities(&events, since);
    if air.readings.is_empty() && air.extremes.is_empty() && humidities.is_empty() {
        let holes = [("batch", &*state.id.to_string()), ("chamber", &name)];
        return Ok(Err(say("charting.chamber.nothing_read", &holes)));
    }
    let calendar = Calendar::new(since, look);
    let scale = look.asking.member.settings.temperature;
    let mut panels = Vec::new();
    let temperatures = temperatures(&air, calendar, (since, until), scale);
    if !temperatures.is_empty() {
        panels.push(Panel {
            axis: Axis {
                label: say("charting.chamber.temperature", &[("unit", scale.symbol())]),
                from: None,
                least_span: LEAST_DEGREES,
            },
            share: 1.0,
            series: temperatures,
            bands: allowed(&air, calendar, (since, until), scale).into_iter().collect(),
            targets: Vec::new(),
            fan: None,
        });
    }
    panels.extend(humidity(&events, &humidities, calendar, (since, until)));
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name), ("chamber", &name)];
    let heading = say("charting.chamber.title", &holes);
    let alt = sentences(&[
        &format!("{heading}."),
        &alt_of_temperatures(&air, look.asking),
        &alt_of_humidities(&humidities, &events, look.asking),
    ]);
    Ok(Ok(Chart {
        kind: "chamber",
        title: heading,
        horizontal: calendar.horizontal(),
        panels,
        marks: Vec::new(),
        alt,
    }))
}

/// What thermometers showed, and what was set, between two moments.
pub(super) fn temperatures(
    air: &Climate,
    calendar: Calendar,
    (since, until): (DateTime<Utc>, DateTime<Utc>),
    scale: TemperatureScale,
) -> Vec<Series> {
    let degrees = |at, read: Temperature| calendar.point(at, read.in_scale(scale));
    let read: Vec<_> = air.readings.iter().map(|read| degrees(read.at, read.temperature)).collect();
    let warmest: Vec<_> = air.extremes.iter().map(|read| degrees(read.at, read.max)).collect();
    let coldest: Vec<_> = air.extremes.iter().filter_map(|read| Some(degrees(read.at, read.min?))).collect();
    let set: Vec<_> = air
        .settings
        .iter()
        .filter(|set| set.at <= until)
        .map(|set| degrees(set.at.max(since), set.temperature))
        .collect();
    let series = [
        ("charting.chamber.set", set, Style::nth(4), Between::Step),
        ("charting.chamber.read", read, Style::nth(0), Between::Way),
        ("charting.chamber.warmest", warmest, Style::nth(1), Between::Nothing),
        ("charting.chamber.coldest", coldest, Style::nth(2), Between::Nothing),
    ];
    named(series.into())
}

/// The courses that hold anything. Where it is one alone, the axis has named it.
fn named(series: Vec<(&str, Vec<Point>, Style, Between)>) -> Vec<Series> {
    let shown = series.into_iter().filter(|(_, points, _, _)| !points.is_empty());
    let named = |(key, points, style, between)| Series { name: say(key, &[]), points, style, between };
    let mut shown: Vec<Series> = shown.map(named).collect();
    if let [only] = shown.as_mut_slice()
        && only.between == Between::Way
    {
        only.name.clear();
    }
    shown
}

/// From the set temperature to what the controller lets it drift to.
fn allowed(
    air: &Climate,
    calendar: Calendar,
    (since, until): (DateTime<Utc>, DateTime<Utc>),
    scale: TemperatureScale,
) -> Option<Band> {
    let mut edges: Vec<Edge> = Vec::new();
    for set in air.settings.iter().filter(|set| set.at <= until) {
        let x = calendar.day(set.at.max(since));
        // What held until now ends here.
        edges.extend(edges.last().copied().map(|before| Edge { x, ..before }));
        let high = Temperature::celsius(set.temperature.as_celsius() + set.hysteresis_celsius);
        edges.push(Edge { x, low: set.temperature.in_scale(scale), high: high.in_scale(scale) });
    }
    edges.extend(edges.last().copied().map(|last| Edge { x: calendar.day(until), ..last }));
    (!edges.is_empty())
        .then(|| Band { name: say("charting.chamber.drift", &[]), extent: Extent::Along(edges) })
}

/// What the hygrometer showed since a moment, corrected by the check that held then.
fn humidities(events: &[Event], since: DateTime<Utc>) -> Vec<(DateTime<Utc>, RelativeHumidity)> {
    let mut check: Option<Correction> = None;
    let mut read = Vec::new();
    for event in events {
        match &event.what {
            Happening::HygrometerChecked { check: made, .. } => check = Correction::of(made, event.at).ok(),
            Happening::RoomRead { humidity: Some(raw), .. } if event.at >= since => {
                let corrected = check.as_ref().map_or(*raw, |check| check.apply(*raw, event.at).corrected);
                read.push((event.at, corrected));
            }
            _ => {}
        }
    }
    read
}

fn humidity(
    events: &[Event],
    read: &[(DateTime<Utc>, RelativeHumidity)],
    calendar: Calendar,
    (since, until): (DateTime<Utc>, DateTime<Utc>),
) -> Option<Panel> {
    let set: Vec<_> = events
        .iter()
        .filter(|event| event.at <= until)
        .filter_map(|event| match &event.what {
            Happening::RoomSet { humidity: Some(set), .. } => {
                Some(calendar.point(event.at.max(since), set.as_percent()))
            }
            _ => None,
        })
        .collect();
    let points: Vec<_> = read.iter().map(|(at, read)| calendar.point(*at, read.as_percent())).collect();
    let series = [
        ("charting.chamber.set", set, Style::nth(4), Between::Step),
        ("charting.chamber.read", points, Style::nth(0), Between::Way),
    ];
    let shown = named(series.into());
    (!shown.is_empty()).then(|| Panel {
        axis: Axis { label: say("charting.chamber.humidity", &[]), from: None, least_span: LEAST_HUMIDITY },
        share: 1.0,
        series: shown,
        bands: Vec::new(),
        targets: Vec::new(),
        fan: None,
    })
}

/// First, last and both ends of what thermometers showed.
pub(super) fn alt_of_temperatures(air: &Climate, asking: &Asking) -> String {
    let scale = asking.member.settings.temperature;
    let shown = |read: Temperature| format::temperature(read, scale);
    let all = || air.readings.iter().map(|read| read.temperature);
    let ends = air.readings.first().zip(air.readings.last());
    let (Some((first, last)), Some(coldest), Some(warmest)) =
        (ends, all().reduce(Temperature::colder), all().reduce(Temperature::warmer))
    else {
        return String::new();
    };
    let set = air
        .settings
        .last()
        .map_or_else(String::new, |set| say("charting.chamber.alt_set", &[("set", &shown(set.temperature))]));
    let said = say(
        "charting.chamber.alt_temperature",
        &[
            ("count", &air.readings.len().to_string()),
            ("first", &shown(first.temperature)),
            ("last", &shown(last.temperature)),
            ("coldest", &shown(coldest)),
            ("warmest", &shown(warmest)),
        ],
    );
    sentences(&[&said, &set])
}

fn alt_of_humidities(
    read: &[(DateTime<Utc>, RelativeHumidity)],
    events: &[Event],
    asking: &Asking,
) -> String {
    let shown = format::relative_humidity;
    let by_value =
        |one: &RelativeHumidity, other: &RelativeHumidity| one.as_percent().total_cmp(&other.as_percent());
    let all = || read.iter().map(|(_, read)| *read);
    let (Some((_, first)), Some((_, last)), Some(driest), Some(dampest)) =
        (read.first(), read.last(), all().min_by(by_value), all().max_by(by_value))
    else {
        return String::new();
    };
    let holds = events.iter().filter(|event| event.at <= asking.now).cloned().collect::<Vec<_>>();
    let set = Air::of(&holds)
        .set_humidity
        .map_or_else(String::new, |set| say("charting.chamber.alt_set", &[("set", &shown(set))]));
    let said = say(
        "charting.chamber.alt_humidity",
        &[
            ("count", &read.len().to_string()),
            ("first", &shown(*first)),
            ("last", &shown(*last)),
            ("driest", &shown(driest)),
            ("dampest", &shown(dampest)),
        ],
    );
    sentences(&[&said, &set])
}
