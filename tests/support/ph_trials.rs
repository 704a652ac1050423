//! What the forecast of a pH is tried on: simulated batches and published series, beside the line through the last two
//! readings. Shared by the tests and by `examples/ph_forecast_eval.rs`.

#[path = "acid_simulator.rs"]
pub(crate) mod acid_simulator;

use acid_simulator::{Batch, Random};
use chrono::{DateTime, TimeDelta, Utc};
use tallyhook::curing::fermentation::history::{Stay, Window};
use tallyhook::curing::fermentation::ph_forecast::{PhForecast, forecast};
use tallyhook::curing::fermentation::{Acidity, Course};
use tallyhook::quantity::{Hours, Ph, Temperature};
use tallyhook::record::climate::{Climate, RoomReading};
use tallyhook::record::{Calibration, EventId, Instrument, PhReading};

/// What a meter is off by, one standard deviation, in pH.
const METER_NOISE: f64 = 0.04;
/// A line that does not fall is this far off, in hours.
const NEVER_HOURS: f64 = 400.0;

/// A batch's readings as hours and pH, its thermometer as hours and °C.
#[derive(Debug, Clone, Default)]
pub(crate) struct Told {
    pub(crate) ph: Vec<(f64, f64)>,
    pub(crate) room: Vec<(f64, f64)>,
}

pub(crate) fn moment(hour: f64) -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::seconds((hour * 3600.0).round() as i64)
}

/// A reading by a meter checked three hours before, slope 98 %.
pub(crate) fn by_meter(id: i64, hour: f64, ph: f64) -> PhReading {
    PhReading {
        event: EventId(id),
        at: moment(hour),
        ph: Ph::new(ph),
        instrument: Instrument::Meter,
        sample_temperature: Some(Temperature::celsius(21.0)),
        calibration: Some(Calibration {
            age: Some(Hours::new(3.0)),
            slope_percent: Some(98.0),
            ..Calibration::default()
        }),
        from_sample: false,
    }
}

/// The rooms from hour 0 to an hour.
pub(crate) fn course(room: &[(f64, f64)], now: f64) -> Course {
    let read = |(hour, celsius): &(f64, f64)| RoomReading {
        at: moment(*hour),
        temperature: Temperature::celsius(*celsius),
    };
    let climate = Climate { readings: room.iter().map(read).collect(), ..Climate::default() };
    let stay = Stay { climate: &climate, from: moment(0.0), to: None };
    Course::of_history(&[stay], Window { from: moment(0.0), closed: None, now: moment(now) })
}

impl Told {
    /// The forecast at the last reading.
    pub(crate) fn forecast(&self, target: f64) -> PhForecast {
        let readings: Vec<PhReading> =
            self.ph.iter().zip(1..).map(|((hour, ph), id)| by_meter(id, *hour, *ph)).collect();
        let now = self.ph.iter().map(|(hour, _)| *hour).fold(0.0, f64::max);
        let course = course(&self.room, now);
        forecast(&Acidity::of(&readings, None), &course, Ph::new(target), moment(now))
    }

    /// Hours more by the line through the last two readings.
    pub(crate) fn line(&self, target: f64) -> f64 {
        let [.., (from, before), (to, last)] = self.ph.as_slice() else { return NEVER_HOURS };
        let slope = (before - last) / (to - from);
        if slope > 0.0 { ((last - target) / slope).clamp(0.0, NEVER_HOURS) } else { NEVER_HOURS }
    }

    /// When the readings first are at a pH, on a straight line between two of them.
    pub(crate) fn reaches(&self, target: f64) -> Option<f64> {
        let (below, at) = self.ph.iter().enumerate().find(|(_, (_, ph))| *ph <= target)?;
        let (to, under) = *at;
        let (from, over) = *self.ph.get(below.checked_sub(1)?)?;
        Some(from + (to - from) * (over - target) / (over - under))
    }

    /// The readings so far.
    pub(crate) fn until(&self, count: usize) -> Self {
        let ph: Vec<_> = self.ph.iter().take(count).copied().collect();
        let now = ph.last().map_or(0.0, |(hour, _)| *hour);
        Self { ph, room: self.room.iter().filter(|(hour, _)| *hour <= now).copied().collect() }
    }
}

/// The published series. Where no room is printed, one at 24 °C: the hours then are those of a room that stays as it is.
pub(crate) fn published() -> Vec<(String, Told)> {
    let files = [
        include_str!("../references/ph_series_salami.csv"),
        include_str!("../references/ph_series_daily.csv"),
        include_str!("../references/ph_series_weekly.csv"),
    ];
    let mut series: Vec<(String, Told)> = Vec::new();
    for line in files.iter().flat_map(|file| file.lines()) {
        let fields: Vec<&str> = line.split(',').collect();
        let [name, hour, ph, celsius] = fields.as_slice() else { continue };
        let (Ok(hour), Ok(ph)) = (hour.parse::<f64>(), ph.parse::<f64>()) else { continue };
        if series.last().is_none_or(|(last, _)| last != name) {
            series.push(((*name).to_owned(), Told::default()));
        }
        if let Some((_, told)) = series.last_mut() {
            told.ph.push((hour, ph));
            told.room.push((hour, celsius.parse().unwrap_or(24.0)));
        }
    }
    for (_, told) in &mut series {
        told.room = filled(&told.room);
    }
    series
}

/// What was printed of a room, and between it the room as it was printed last, from the beginning.
fn filled(printed: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let Some((last, _)) = printed.last().copied() else { return Vec::new() };
    let at = |hour: f64| {
        let known = printed.iter().rev().find(|(printed, _)| *printed <= hour).or_else(|| printed.first());
        known.map_or(24.0, |(_, celsius)| *celsius)
    };
    let mut room: Vec<(f64, f64)> = (0..(last / 10.0).ceil() as usize)
        .map(|time| time as f64 * 10.0)
        .map(|hour| (hour, at(hour)))
        .collect();
    room.extend_from_slice(printed);
    room.sort_by(|one, other| one.0.total_cmp(&other.0));
    room
}

/// One forecast beside the truth, in hours that remain.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Trial {
    pub(crate) found: PhForecast,
    pub(crate) line: f64,
    pub(crate) truth: f64,
}

/// So many simulated batches, each told by `count` readings up to a part of its time to the target.
pub(crate) fn simulated(batches: usize, count: usize, part: f64, start: u64) -> Vec<Trial> {
    let mut random = Random::starting_at(start);
    let mut trials = Vec::with_capacity(batches);
    while trials.len() < batches {
        let batch = Batch::draw(&mut random);
        let target = if random.even() < 0.5 { 5.3 } else { 5.0 };
        let told = |random: &mut Random, end: f64| tell(&batch, random, count, end);
        let Some(reached) = batch.reaches(target).filter(|hours| *hours > 8.0) else { continue };
        let told = told(&mut random, reached * part);
        if told.ph.iter().any(|(_, ph)| *ph <= target) {
            continue;
        }
        let truth = reached * (1.0 - part);
        trials.push(Trial { found: told.forecast(target), line: told.line(target), truth });
    }
    trials
}

/// What a member would have kept: the first reading at the start, the last at the end, a thermometer twice a day and with
/// every pH.
fn tell(batch: &Batch, random: &mut Random, count: usize, end: f64) -> Told {
    let mut told = Told::default();
    for index in 0..count {
        let even = end * index as f64 / (count - 1) as f64;
        let is_inner = index > 0 && index + 1 < count;
        let moved = if is_inner { random.between(-0.3, 0.3) * end / count as f64 } else { 0.0 };
        let hour = even + moved;
        let shown = batch.ph(hour) + METER_NOISE * random.normal();
        told.ph.push((hour, (shown * 100.0).round() / 100.0));
        told.room.push((hour, batch.celsius(hour)));
    }
    let often = (end / 10.0).ceil() as usize;
    told.room.extend((0..often).map(|time| time as f64 * 10.0).map(|hour| (hour, batch.celsius(hour))));
    told.room.sort_by(|one, other| one.0.total_cmp(&other.0));
    told
}

/// What came of many trials.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Score {
    pub(crate) windows: usize,
    pub(crate) slowing: usize,
    pub(crate) stalled: usize,
    pub(crate) median: f64,
    pub(crate) p90: f64,
    pub(crate) mean: f64,
    pub(crate) line_median: f64,
    pub(crate) line_p90: f64,
    pub(crate) line_mean: f64,
    pub(crate) covered: f64,
    pub(crate) width: f64,
    pub(crate) truth: f64,
}

pub(crate) fn score(trials: &[Trial]) -> Score {
    let (mut errors, mut lines, mut widths, mut truths) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let (mut slowing, mut stalled, mut covered) = (0, 0, 0.0);
    for trial in trials {
        match trial.found {
            PhForecast::Window(window) => {
                let open = |hours: Option<f64>| hours.unwrap_or(NEVER_HOURS);
                errors.push((open(window.p50) - trial.truth).abs());
                lines.push((trial.line - trial.truth).abs());
                widths.push(open(window.p90) - open(window.p10));
                truths.push(trial.truth);
                let holds = open(window.p10) <= trial.truth && trial.truth <= open(window.p90);
                covered += f64::from(u8::from(holds));
            }
            PhForecast::Slowing(_) => slowing += 1,
            PhForecast::Stalled(_) => stalled += 1,
            PhForecast::Reached | PhForecast::TooFewReadings | PhForecast::TemperatureUnknown => {}
        }
    }
    let windows = errors.len();
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    Score {
        windows,
        slowing,
        stalled,
        mean: mean(&errors),
        line_mean: mean(&lines),
        median: quantile(&mut errors, 0.5),
        p90: quantile(&mut errors, 0.9),
        line_median: quantile(&mut lines, 0.5),
        line_p90: quantile(&mut lines, 0.9),
        covered: covered / windows as f64,
        width: quantile(&mut widths, 0.5),
        truth: quantile(&mut truths, 0.5),
    }
}

fn quantile(values: &mut [f64], part: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = (part * (values.len().max(1) - 1) as f64).round() as usize;
    values.get(place).copied().unwrap_or(f64::NAN)
}
