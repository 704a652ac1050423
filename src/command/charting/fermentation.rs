//! How a batch sours: its pH, its room, and the degree-hours that this used of what they may be.

use super::{Calendar, Charted, sentences, title};
use crate::chart::palette::Style;
use crate::chart::{Axis, Band, Between, Chart, Extent, Panel, Point, Series, Target};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::command::status::{Look, fermentation};
use crate::curing::fermentation::degree_hours::SystemSum;
use crate::curing::fermentation::style::styles_of;
use crate::curing::fermentation::system::Rules;
use crate::curing::fermentation::{ClockState, Fermentation, System, Systems};
use crate::quantity::format;
use crate::record::climate::Climate;
use crate::record::reading::PhReading;
use crate::record::{BatchStage, BatchState};
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};

/// A pH is still of the fermentation for so long after it, and so long before.
const AROUND: TimeDelta = TimeDelta::hours(48);
/// The ways up span at least so much.
const LEAST_PH: f64 = 0.6;
const LEAST_DEGREES: f64 = 4.0;

pub(super) async fn chart(state: &BatchState, look: Look<'_>) -> Result<Charted, CommandError> {
    let Some(found) = fermentation::of_batch(look, state, Systems::Strict).await? else {
        return Ok(Err(title("charting.fermentation.none", state)));
    };
    let until = ended(state, &found).unwrap_or(look.asking.now);
    let readings: Vec<&PhReading> = state
        .ph
        .iter()
        .filter(|reading| found.started - AROUND <= reading.at && reading.at <= until + AROUND)
        .collect();
    let climates = fermentation::climates(look, state, found.started, until).await?;
    let mut air = Climate::along(&state.stays, &climates);
    air.readings.retain(|read| found.started - AROUND <= read.at && read.at <= until);
    air.extremes.retain(|read| found.started <= read.at && read.at <= until);
    if readings.is_empty() && air.readings.is_empty() {
        return Ok(Err(title("charting.fermentation.nothing_read", state)));
    }
    let firsts = readings.iter().map(|reading| reading.at).chain(air.readings.iter().map(|read| read.at));
    let origin = firsts.chain([found.started]).min().unwrap_or(found.started);
    let view =
        View { state, found: &found, calendar: Calendar::new(origin, look), until, asking: look.asking };
    let mut panels = Vec::new();
    if !readings.is_empty() {
        panels.push(view.acidity(&readings));
    }
    panels.extend(view.room(&air));
    panels.extend(view.degree_hours());
    Ok(Ok(Chart {
        kind: "fermentation",
        title: title("charting.fermentation.title", state),
        horizontal: view.calendar.horizontal(),
        panels,
        marks: Vec::new(),
        alt: view.alt(&readings, &air),
    }))
}

/// When souring was over: when the batch left for a later stage, else when the clock stopped.
fn ended(state: &BatchState, found: &Fermentation) -> Option<DateTime<Utc>> {
    let later =
        state.stages.iter().filter(|(stage, at)| *stage > BatchStage::Fermenting && *at >= found.started);
    let left = later.map(|(_, at)| *at).next();
    left.or(match found.degree_hours.state {
        ClockState::NeverReached { at } => Some(at),
        // An ending pH is followed by others while the batch still sours.
        ClockState::Ended { .. } | ClockState::Running | ClockState::Stated => None,
    })
}

struct View<'a> {
    state: &'a BatchState,
    found: &'a Fermentation,
    calendar: Calendar,
    until: DateTime<Utc>,
    asking: &'a Asking,
}

impl View<'_> {
    fn acidity(&self, readings: &[&PhReading]) -> Panel {
        let points = readings.iter().map(|reading| self.calendar.point(reading.at, reading.ph.value()));
        let mut targets = Vec::new();
        if let Some(limit) = self.found.end_point.as_ref().and_then(|finding| finding.limit.value) {
            let name = say("charting.fermentation.end_point", &[("ph", &format::trimmed(limit, 2))]);
            targets.push(Target { name, value: limit });
        }
        let mut bands = Vec::new();
        if let Some(aim) = self.state.plan.target_ph {
            let name = say("charting.fermentation.aim", &[("ph", &format::ph(aim))]);
            targets.push(Target { name, value: aim.value() });
            let windows: Vec<_> = styles_of(aim).filter_map(|row| row.band_low.zip(row.band_high)).collect();
            let low = windows.iter().map(|window| window.0).reduce(f64::min);
            let high = windows.iter().map(|window| window.1).reduce(f64::max);
            bands.extend(low.zip(high).map(|(low, high)| Band {
                name: say(
                    "charting.fermentation.window",
                    &[("low", &format::trimmed(low, 2)), ("high", &format::trimmed(high, 2))],
                ),
                extent: Extent::Everywhere { low, high },
            }));
        }
        Panel {
            axis: Axis { label: say("charting.fermentation.ph", &[]), from: None, least_span: LEAST_PH },
            share: 2.0,
            series: vec![Series {
                name: String::new(),
                points: points.collect(),
                style: Style::nth(0),
                between: Between::Way,
            }],
            bands,
            targets,
            fan: None,
        }
    }

    fn room(&self, air: &Climate) -> Option<Panel> {
        let scale = self.asking.member.settings.temperature;
        let label = say("charting.fermentation.room", &[("unit", scale.symbol())]);
        let series =
            super::chamber::temperatures(air, self.calendar, (self.found.started, self.until), scale);
        (!series.is_empty()).then(|| Panel {
            axis: Axis { label, from: None, least_span: LEAST_DEGREES },
            share: 1.0,
            series,
            bands: Vec::new(),
            targets: Vec::new(),
            fan: None,
        })
    }

    /// The sum that is nearest to its limit.
    fn leading(&self) -> Option<&SystemSum> {
        let used = |sum: &SystemSum| sum.upper_of_known / sum.limit_upper;
        self.found.degree_hours.sums.iter().max_by(|one, other| used(one).total_cmp(&used(other)))
    }

    fn degree_hours(&self) -> Option<Panel> {
        let sum = self.leading()?;
        let rules = Rules::of(sum.system)?;
        let mut used = 0.0;
        let mut points: Vec<Point> = Vec::new();
        for stretch in &self.found.degree_hours.course.stretches {
            let (from, to) = stretch.span?;
            if points.is_empty() {
                points.push(self.calendar.point(from, 0.0));
            }
            used += stretch.high.map_or(0.0, |high| rules.above_base(high) * stretch.hours);
            points.push(self.calendar.point(to, used));
        }
        let limit = format::number(sum.limit_upper, 0);
        (points.len() > 1).then(|| Panel {
            axis: Axis {
                label: say(unit_key(sum.system), &[]),
                from: Some(0.0),
                least_span: sum.limit_upper,
            },
            share: 1.0,
            series: vec![Series { name: String::new(), points, style: plain_line(), between: Between::Way }],
            bands: Vec::new(),
            targets: vec![Target {
                name: say("charting.fermentation.limit", &[("limit", &limit)]),
                value: sum.limit_upper,
            }],
            fan: None,
        })
    }

    fn alt(&self, readings: &[&PhReading], air: &Climate) -> String {
        let title = format!("{}.", title("charting.fermentation.title", self.state));
        let when = |at| self.calendar.moment(at);
        let course = match readings {
            [] => String::new(),
            [only] => say(
                "charting.fermentation.alt_one",
                &[("ph", &format::ph(only.ph)), ("when", &when(only.at))],
            ),
            [first, .., last] => say(
                "charting.fermentation.alt_ph",
                &[
                    ("count", &readings.len().to_string()),
                    ("first", &format::ph(first.ph)),
                    ("began", &when(first.at)),
                    ("last", &format::ph(last.ph)),
                    ("when", &when(last.at)),
                ],
            ),
        };
        let reached = match self.found.degree_hours.state {
            ClockState::Ended { at, ph, .. } => {
                say("charting.fermentation.alt_reached", &[("ph", &format::ph(ph)), ("when", &when(at))])
            }
            _ => say("charting.fermentation.alt_not_reached", &[]),
        };
        let aim = self.state.plan.target_ph.map_or_else(String::new, |aim| {
            say("charting.fermentation.alt_aim", &[("ph", &format::ph(aim))])
        });
        let room = super::chamber::alt_of_temperatures(air, self.asking);
        let hours = self.leading().map_or_else(String::new, |sum| {
            say(
                "charting.fermentation.alt_hours",
                &[
                    ("used", &format::beside(sum.upper_of_known, sum.limit_upper, 0)),
                    ("limit", &format::number(sum.limit_upper, 0)),
                    ("unit", &say(unit_key(sum.system), &[])),
                ],
            )
        });
        sentences(&[&title, &course, &reached, &aim, &room, &hours])
    }
}

/// A sum is worked out, not read: it has no marks of its own.
fn plain_line() -> Style {
    Style { marker: crate::chart::palette::Marker::Dot, ..Style::nth(0) }
}

const fn unit_key(system: System) -> &'static str {
    match system {
        System::Us => "charting.fermentation.fahrenheit_hours",
        System::Canada => "charting.fermentation.celsius_hours",
    }
}
