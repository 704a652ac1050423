//! The finish window of a batch: of each piece that hangs, from its weighings, the logged air of its room, and what
//! finished batches let expect.

mod words;

pub(in crate::command) use words::{dates, far_end, open, sentence, short_dates};

use super::Look;
use super::fermentation::climates;
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::command::experience;
use crate::curing::air::Air;
use crate::curing::drying::forecast::{
    AirAt, Class, Expectation, FinishedBatch, Knowledge, Maker, NoWindow, Piece, Weighed, Window, window,
};
use crate::quantity::Fraction;
use crate::record::climate::Climate;
use crate::record::state::Piece as Hung;
use crate::record::{BatchStage, BatchState, ChamberId, hours_between};
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};

/// Below this loss the weighings say less than what is expected of such a piece.
const TOO_EARLY: Fraction = Fraction::percent(2.0);
/// A thermometer's reading goes with a hygrometer's of at most so many days later.
const TEMPERATURE_HOLDS: TimeDelta = TimeDelta::days(4);
/// A card looks at the pieces that would end last if they went on as they did; the rest end earlier.
const LATEST: usize = 2;

/// The window of a piece, or why it has none.
pub(in crate::command) type Found<'a> = (&'a Hung, Result<Window, NoWindow>);

/// What is known beside the weighings of a batch.
pub(in crate::command) struct Known {
    expectation: Expectation,
    /// The air along its stays, by moment.
    air: Vec<(DateTime<Utc>, Air)>,
}

impl Known {
    /// Of a batch, as the member who asks may know it.
    pub(in crate::command) async fn of(look: Look<'_>, state: &BatchState) -> Result<Self, CommandError> {
        let expectation = expectation(look, Class::of(state.plan.kind), state.chamber()).await?;
        let hung_at = state.hanging().map(|hung| hung.hung_at).min();
        let Some(from) = hung_at else { return Ok(Self { expectation, air: Vec::new() }) };
        let climates = climates(look, state, from - TEMPERATURE_HOLDS, look.asking.now).await?;
        Ok(Self { expectation, air: airs(&Climate::along(&state.stays, &climates)) })
    }

    /// When a piece reaches a loss.
    pub(in crate::command) fn window(
        &self,
        state: &BatchState,
        hung: &Hung,
        target: Fraction,
    ) -> Result<Window, NoWindow> {
        let since = |at: DateTime<Utc>| hours_between(hung.hung_at, at) / 24.0;
        let air = self.air.iter().map(|(at, air)| AirAt { day: since(*at), air: *air }).collect();
        window(&piece_of(state, hung, target), &Knowledge { expectation: self.expectation, air })
    }
}

/// What the member's finished batches, and those that the group shows, let expect of a piece of a class in a chamber.
pub(in crate::command) async fn expectation(
    look: Look<'_>,
    class: Class,
    chamber: ChamberId,
) -> Result<Expectation, CommandError> {
    let dryings = experience::finished_dryings(look.services, look.asking).await?;
    Ok(Expectation::of(class, Maker { member: 0, chamber }, &FinishedBatch::all(&dryings)))
}

/// Each reading of the humidity with the temperature that held then. As shown, not corrected: only changes count.
fn airs(climate: &Climate) -> Vec<(DateTime<Utc>, Air)> {
    // By halves: a logger's season is a hundred thousand readings.
    let temperature = |at: DateTime<Utc>| {
        let (readings, settings) = (&climate.readings, &climate.settings);
        let read =
            readings.partition_point(|read| read.at <= at).checked_sub(1).and_then(|last| readings.get(last));
        let set =
            settings.partition_point(|set| set.at <= at).checked_sub(1).and_then(|last| settings.get(last));
        let read = read.filter(|read| at - read.at <= TEMPERATURE_HOLDS);
        read.map(|read| read.temperature).or(set.map(|set| set.temperature))
    };
    let air = |(at, humidity): &(DateTime<Utc>, _)| Some((*at, Air::new(temperature(*at)?, *humidity).ok()?));
    climate.humidity.iter().filter_map(air).collect()
}

/// The windows of all pieces that hang.
pub(in crate::command) fn windows<'a>(
    state: &'a BatchState,
    known: &Known,
    target: Fraction,
) -> Vec<Found<'a>> {
    state.hanging().map(|hung| of_piece(state, known, hung, target)).collect()
}

fn of_piece<'a>(state: &BatchState, known: &Known, hung: &'a Hung, target: Fraction) -> Found<'a> {
    (hung, known.window(state, hung, target))
}

/// The piece that takes longest.
pub(in crate::command) fn slowest<'a>(windows: &[Found<'a>]) -> Option<(&'a Hung, Window)> {
    let found = windows.iter().filter_map(|(hung, found)| found.ok().map(|window| (*hung, window)));
    found.max_by(|one, other| at_half(one).total_cmp(&at_half(other)))
}

/// When half of all such would be done, on one clock for pieces that were hung at different times.
fn at_half((hung, window): &(&Hung, Window)) -> f64 {
    let days = window.p50.map_or(f64::INFINITY, |days| days);
    days + hung.hung_at.timestamp() as f64 / 86_400.0
}

/// The middle piece of those that have a window.
pub(in crate::command) fn middle<'a>(windows: &[Found<'a>]) -> Option<(&'a Hung, Window)> {
    let found = windows.iter().filter_map(|(hung, found)| found.ok().map(|window| (*hung, window)));
    let mut found: Vec<_> = found.collect();
    found.sort_by(|one, other| at_half(one).total_cmp(&at_half(other)));
    found.get(found.len().checked_sub(1)? / 2).copied()
}

/// What the card says while a batch dries, once its weighings say anything.
pub(in crate::command) async fn line(
    look: Look<'_>,
    state: &BatchState,
) -> Result<Option<String>, CommandError> {
    let Some(target) = state.plan.target_loss.filter(|_| state.stage().0 == BatchStage::Drying) else {
        return Ok(None);
    };
    let mut latest: Vec<&Hung> =
        state.hanging().filter(|hung| lost(hung).as_one() < target.as_one()).collect();
    latest.sort_by(|one, other| straight(other, target).total_cmp(&straight(one, target)));
    latest.truncate(LATEST);
    if latest.iter().all(|hung| lost(hung).as_one() < TOO_EARLY.as_one()) {
        return Ok(None);
    }
    let known = Known::of(look, state).await?;
    let windows: Vec<Found<'_>> =
        latest.into_iter().map(|hung| of_piece(state, &known, hung, target)).collect();
    Ok(slowest(&windows).map(|(hung, window)| said(look.asking, hung, &window)))
}

fn said(asking: &Asking, hung: &Hung, window: &Window) -> String {
    let when = dates(window, hung.hung_at, asking);
    let key =
        if words::is_past(window, hung.hung_at, asking.now) { "status.finish_past" } else { "status.finish" };
    say(key, &[("when", &when)])
}

/// When a piece would end on the straight line from hanging through its last weighing, in seconds.
fn straight(hung: &Hung, target: Fraction) -> f64 {
    let last = hung.weighings.last().map_or(hung.hung_at, |weighing| weighing.at);
    let rate = lost(hung).as_one() / hours_between(hung.hung_at, last).max(1.0);
    hung.hung_at.timestamp() as f64 + 3600.0 * target.as_one() / rate.max(1e-9)
}

fn piece_of(state: &BatchState, hung: &Hung, target: Fraction) -> Piece {
    let weighed = hung.since_hung().iter().map(|weighing| Weighed {
        day: hours_between(hung.hung_at, weighing.at) / 24.0,
        net: weighing.gross - hung.hung.tare,
    });
    Piece {
        class: Class::of(state.plan.kind),
        diameter: state.plan.thickness,
        green: hung.green(),
        weighings: weighed.collect(),
        target,
    }
}

pub(in crate::command) fn lost(hung: &Hung) -> Fraction {
    Fraction::of_one(1.0 - hung.last_net().as_grams() / hung.green().as_grams())
}

/// With no weighing, or hardly any loss, the window is what is expected of any such piece.
pub(in crate::command) fn is_prior_alone(window: &Window, lost: Fraction) -> bool {
    window.weighings == 0 || lost < TOO_EARLY
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{RelativeHumidity, Temperature};
    use crate::record::climate::{RoomReading, RoomSetting};
    use std::hint::black_box;
    use std::time::Instant;

    fn minute(minutes: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_790_000_000, 0).unwrap() + TimeDelta::minutes(minutes)
    }

    /// A reading every minute: temperatures on the even ones, humidities on the odd ones.
    fn season(minutes: i64) -> Climate {
        let read =
            |at: i64| RoomReading { at: minute(at), temperature: Temperature::celsius(at as f64 / 1e5) };
        let damp = |at: i64| (minute(at), RelativeHumidity::percent(80.0));
        Climate {
            readings: (0..minutes).step_by(2).map(read).collect(),
            humidity: (0..minutes).skip(1).step_by(2).map(damp).collect(),
            ..Climate::default()
        }
    }

    #[test]
    fn a_humidity_goes_with_the_temperature_that_held() {
        let mut climate = season(10);
        climate.humidity.push((minute(8) + TEMPERATURE_HOLDS, RelativeHumidity::percent(70.0)));
        climate.humidity.push((minute(9) + TEMPERATURE_HOLDS, RelativeHumidity::percent(60.0)));
        let celsius = |climate: &Climate| -> Vec<f64> {
            airs(climate).iter().map(|(_, air)| (air.temperature().as_celsius() * 1e5).round()).collect()
        };
        assert_eq!(celsius(&climate), [0.0, 2.0, 4.0, 6.0, 8.0, 8.0], "an old reading says nothing");
        let (at, temperature) = (minute(3), Temperature::celsius(12.0));
        climate.settings = vec![RoomSetting { at, temperature, hysteresis_celsius: 1.0 }];
        assert_eq!(celsius(&climate)[5..], [8.0, 1_200_000.0], "then the setting holds");
    }

    /// As a ratio to one walk over the same readings: between 60 and 160 without optimisation.
    #[test]
    fn a_season_of_minutes_is_gone_through_once() {
        let climate = season(200_000);
        let start = Instant::now();
        black_box(
            black_box(&climate).humidity.iter().map(|(_, humidity)| humidity.as_percent()).sum::<f64>(),
        );
        let walk = start.elapsed().as_secs_f64();
        let start = Instant::now();
        assert_eq!(airs(black_box(&climate)).len(), 100_000);
        let ratio = start.elapsed().as_secs_f64() / walk;
        assert!(ratio < 2_000.0, "{ratio:.0} times as long as a walk");
    }
}
