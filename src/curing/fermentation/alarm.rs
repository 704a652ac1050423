//! What a fermenting batch is spoken of on its own account for: most of its degree-hours spent, a room out of its band, a
//! pH reading that is overdue, instruments whose check is too old. From when on stands in the rulebook; nothing here is a
//! limit, and nothing is said twice until something changes ([`news`]).

use super::clock::Fermentation;
use super::degree_hours::{ClockState, SystemSum, Verdict};
use super::point::drifted;
use super::system::HoursLeft;
use super::trust::{Doubt, Trust};
use crate::curing::finding::Finding;
use crate::curing::hygrometer::{Correction, HumidityDoubt};
use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::{Hours, Temperature, compare};
use crate::record::climate::{Climate, RoomSetting};
use crate::record::hours_between;
use chrono::{DateTime, Utc};

/// The marks of the degree-hours, the highest first.
const MARKS: [(Mark, &str); 3] = [
    (Mark::Nearly, "alarm.degree_hours.nearly"),
    (Mark::FourFifths, "alarm.degree_hours.four_fifths"),
    (Mark::Half, "alarm.degree_hours.half"),
];
/// A thermometer's word on the room that is older than this, in hours, says nothing of it now: a night's sleep. This
/// project's choice, no source.
const ROOM_KNOWN_HOURS: f64 = 14.0;

/// What stands against a fermenting batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alarm {
    /// Degree-hours are spent up to a mark.
    Spent(Spent),
    /// The room was last read out of the band it was set to.
    Room(OutOfBand),
    /// A pH reading was planned, and nobody made it.
    Overdue {
        /// For when it was planned.
        due: DateTime<Utc>,
    },
    /// The meter's check was too old at the last pH reading.
    Meter {
        /// How old; `None`: nobody said.
        age: Option<Hours>,
    },
    /// The hygrometer's check is too old, or found it far off.
    Hygrometer(HumidityDoubt),
}

/// A part of the degree-hours that is worth a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Half of them.
    Half,
    /// Four fifths.
    FourFifths,
    /// Nearly all.
    Nearly,
}

/// Degree-hours that are spent up to a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spent {
    /// Which.
    pub mark: Mark,
    /// The mark's row.
    pub row: &'static Limit,
    /// How much is spent, in percent.
    pub percent: f64,
    /// How long the rest lasts if the room stays as it is; `None`: not known, or no time runs.
    pub left: Option<HoursLeft>,
}

/// A room beside the band it was set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfBand {
    /// What was read.
    pub room: Temperature,
    /// What it was set to.
    pub set: Temperature,
    /// The end of the band it is beyond: the setting and its drift.
    pub edge: Temperature,
    /// By how much it is warmer than the edge, in °C; below zero, colder.
    pub beyond_celsius: f64,
}

/// What is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// The fermentation as it stood then.
    pub fermentation: &'a Fermentation,
    /// The air of the chamber the batch is in.
    pub climate: &'a Climate,
    /// For when the next pH reading is planned.
    pub planned: Option<DateTime<Utc>>,
    /// The moment.
    pub now: DateTime<Utc>,
}

/// Everything that stands against a batch that ferments.
pub fn alarms(scene: &Scene<'_>) -> Vec<Alarm> {
    let report = &scene.fermentation.degree_hours;
    let mut found = Vec::new();
    // Past the limit there is one thing to do, and it is said with the limit.
    if report.verdict() >= Verdict::MayBeExceeded {
        return found;
    }
    if report.state == ClockState::Running {
        found.extend(spent(scene.fermentation).map(Alarm::Spent));
        found.extend(out_of_band(scene.climate, scene.now).map(Alarm::Room));
        found.extend(meter(scene.fermentation));
    }
    found.extend(overdue(scene));
    found.extend(hygrometer(scene.climate, scene.now).map(Alarm::Hygrometer));
    found
}

/// What stands now and did not stand before, or stands worse.
pub fn news(before: &[Alarm], after: Vec<Alarm>) -> Vec<Alarm> {
    after.into_iter().filter(|alarm| !before.iter().any(|known| known.covers(alarm))).collect()
}

impl Spent {
    /// What is spent beside the mark.
    pub fn finding(&self) -> Finding {
        Finding::judge(self.row, self.percent)
    }
}

impl Alarm {
    /// Whether a later alarm says no more than this one did.
    fn covers(&self, later: &Self) -> bool {
        match (self, later) {
            (Self::Spent(one), Self::Spent(other)) => one.mark == other.mark,
            (Self::Room(one), Self::Room(other)) => other.is_no_worse_than(one),
            (Self::Meter { .. }, Self::Meter { .. }) => true,
            (one, other) => one == other,
        }
    }
}

/// The highest mark that is reached, by the system that is nearest to its limit.
fn spent(fermentation: &Fermentation) -> Option<Spent> {
    let report = &fermentation.degree_hours;
    let percent = |sum: &SystemSum| 100.0 * sum.upper_of_known / sum.limit_upper;
    let spent = report.sums.iter().map(percent).reduce(f64::max)?;
    let is_reached =
        |row: &&Limit| row.value.is_some_and(|mark| compare::with_tolerance(spent, mark).is_ge());
    let (mark, row) =
        MARKS.iter().find_map(|(mark, id)| Some((*mark, rulebook::by_id(id).filter(is_reached)?)))?;
    Some(Spent { mark, row, percent: spent, left: report.hours_left() })
}

/// The part of the degree-hours at a mark, of one. A rulebook that cannot be read gives NaN, which is never reached.
pub fn part(id: &str) -> f64 {
    rulebook::by_id(id).and_then(|row| row.value).map_or(f64::NAN, |percent| percent / 100.0)
}

/// A room beside the band of a setting; `None`: within it, and the ends belong to it.
pub fn beside(setting: &RoomSetting, room: Temperature) -> Option<OutOfBand> {
    let beyond = |edge: Temperature| room.as_celsius() - edge.as_celsius();
    let (lowest, highest) = (fallen(setting), drifted(setting));
    let edge = if compare::with_tolerance(beyond(highest), 0.0).is_gt() {
        highest
    } else if compare::with_tolerance(beyond(lowest), 0.0).is_lt() {
        lowest
    } else {
        return None;
    };
    Some(OutOfBand { room, set: setting.temperature, edge, beyond_celsius: beyond(edge) })
}

/// The last that was read of the room, beside the band it was set to by then.
fn out_of_band(climate: &Climate, now: DateTime<Utc>) -> Option<OutOfBand> {
    let is_recent = |at: DateTime<Utc>| at <= now && hours_between(at, now) <= ROOM_KNOWN_HOURS;
    let read = climate.readings.iter().map(|reading| (reading.at, reading.temperature));
    let remembered = climate.extremes.iter().map(|extreme| (extreme.at, extreme.max));
    let (at, room) = remembered.chain(read).filter(|(at, _)| is_recent(*at)).max_by_key(|(at, _)| *at)?;
    let setting = climate.settings.iter().rfind(|setting| setting.at <= at)?;
    beside(setting, room)
}

impl OutOfBand {
    /// Whether it is out on the side on which another room was, and no further.
    pub fn is_no_worse_than(&self, other: &Self) -> bool {
        let is_same_side = (self.beyond_celsius > 0.0) == (other.beyond_celsius > 0.0);
        let further = self.beyond_celsius.abs() - other.beyond_celsius.abs();
        is_same_side && compare::with_tolerance(further, 0.0).is_le()
    }
}

/// As far below the set point as the controller lets it drift above.
fn fallen(setting: &RoomSetting) -> Temperature {
    let drift = setting.hysteresis_celsius.max(0.0);
    Temperature::celsius(setting.temperature.as_celsius() - drift)
}

fn overdue(scene: &Scene<'_>) -> Option<Alarm> {
    let due = scene.planned?;
    let grace = rulebook::by_id("alarm.ph_overdue")?.value?;
    compare::with_tolerance(hours_between(due, scene.now), grace).is_gt().then_some(Alarm::Overdue { due })
}

/// The last reading, where the age of the meter's check, or not knowing it, keeps it from ending the clock.
fn meter(fermentation: &Fermentation) -> Option<Alarm> {
    let last = fermentation.acidity.readings.last()?;
    let is_age = |doubt: &Doubt| matches!(doubt, Doubt::CheckedTooLongAgo | Doubt::NeverChecked);
    let is_too_old = last.trust == Trust::Doubtful && last.doubts.iter().any(is_age);
    let age = last.reading.calibration.and_then(|calibration| calibration.age);
    is_too_old.then_some(Alarm::Meter { age })
}

/// What takes trust from the last humidity that was read, by the age and the finding of the check behind it.
fn hygrometer(climate: &Climate, now: DateTime<Utc>) -> Option<HumidityDoubt> {
    let (at, shown) = climate.humidity.iter().filter(|(at, _)| *at <= now).max_by_key(|(at, _)| *at)?;
    let correction = Correction::in_force(&climate.hygrometer, *at)?;
    let doubts = correction.apply(*shown, now).doubts;
    doubts.into_iter().find(|doubt| matches!(doubt, HumidityDoubt::Old | HumidityDoubt::FarOff))
}

#[cfg(test)]
mod tests;
