//! A course from what was kept of the chambers: readings, settings and min/max thermometers.
//!
//! The time is cut wherever anything becomes known, and each stretch is then taken for itself from the best
//! evidence that covers it. Nothing is interpolated: the lower sum takes the colder neighbour, the upper sum the
//! warmer one.

use super::course::{Course, Stretch, colder, hours_between, warmer};
use super::evidence::{Grade, LOGGED_GAP, READ_GAP};
use crate::quantity::{Temperature, TemperatureScale};
use crate::record::climate::{Climate, RoomExtremes, RoomSetting};
use chrono::{DateTime, Utc};

/// A batch's stay in one chamber.
#[derive(Debug, Clone, Copy)]
pub struct Stay<'a> {
    /// What the chamber's air was, before, during and after the stay.
    pub climate: &'a Climate,
    /// Since when the batch was there.
    pub from: DateTime<Utc>,
    /// Until when; `None`: it is still there.
    pub to: Option<DateTime<Utc>>,
}

/// The time to be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// When the clock started.
    pub from: DateTime<Utc>,
    /// When it ended; `None`: it is open and counts until `now`.
    pub closed: Option<DateTime<Utc>>,
    /// The moment of asking: nothing later is known.
    pub now: DateTime<Utc>,
}

impl Window {
    fn end(&self) -> DateTime<Utc> {
        self.closed.map_or(self.now, |end| end.min(self.now))
    }
}

/// What the thermometer showed at one time; several readings of one time give a range.
#[derive(Debug, Clone, Copy)]
struct Point {
    at: DateTime<Utc>,
    low: Temperature,
    high: Temperature,
}

/// What is known of one stay, sorted by time.
struct Evidence {
    points: Vec<Point>,
    settings: Vec<RoomSetting>,
    extremes: Vec<RoomExtremes>,
    from: DateTime<Utc>,
    to: DateTime<Utc>,
    open: bool,
}

impl Course {
    /// The course of the chambers a batch stayed in, over a window of time.
    ///
    /// The stays are in order. Readings outside the window or the stay are neighbours of the first and the last
    /// stretch, but nothing after `now` is.
    pub fn of_history(stays: &[Stay<'_>], window: Window) -> Self {
        let mut course = Self::default();
        for stay in stays {
            let from = stay.from.max(window.from);
            let to = stay.to.map_or(window.end(), |left| left.min(window.end()));
            if from > to {
                continue;
            }
            let open = window.closed.is_none() && to == window.now;
            Evidence::of(stay.climate, from, to, open, window.now).add_to(&mut course);
        }
        course
    }
}

impl Evidence {
    fn of(climate: &Climate, from: DateTime<Utc>, to: DateTime<Utc>, open: bool, now: DateTime<Utc>) -> Self {
        let mut settings: Vec<_> = climate.settings.clone();
        settings.retain(|setting| setting.at <= now && setting.temperature.as_celsius().is_finite());
        settings.sort_by_key(|setting| setting.at);
        let mut extremes: Vec<_> = climate.extremes.clone();
        extremes.retain(|extreme| extreme.at <= now && extreme.max.as_celsius().is_finite());
        Self {
            points: points(climate, now),
            settings,
            extremes,
            from,
            to,
            open,
        }
    }

    fn add_to(&self, course: &mut Course) {
        let earlier = course.stretches.len();
        let breaks = self.breaks();
        for (from, to) in breaks.iter().zip(breaks.iter().skip(1)) {
            course.stretches.push(self.stretch(*from, *to));
        }
        for stretch in &course.stretches {
            course.highest_certain = warmer(course.highest_certain, stretch.low);
            course.highest_possible = warmer(course.highest_possible, stretch.high);
        }
        for point in self
            .points
            .iter()
            .filter(|p| self.from <= p.at && p.at <= self.to)
        {
            course.highest_certain = warmer(course.highest_certain, Some(point.high));
        }
        // A spike that only the min/max thermometer saw counts for the band, even between close readings.
        for extreme in self
            .extremes
            .iter()
            .filter(|e| e.since < self.to && e.at > self.from)
        {
            if self.from <= extreme.since && extreme.at <= self.to {
                course.highest_certain = warmer(course.highest_certain, Some(extreme.max));
            }
            course.highest_possible = warmer(course.highest_possible, Some(extreme.max));
        }
        course.highest_possible = warmer(course.highest_possible, course.highest_certain);
        course.current = self.current(course.stretches.iter().skip(earlier).last());
    }

    /// Every time at which something becomes known, with the two ends.
    fn breaks(&self) -> Vec<DateTime<Utc>> {
        let inside = |at: &DateTime<Utc>| self.from < *at && *at < self.to;
        let known = self.points.iter().map(|point| point.at);
        let set = self.settings.iter().map(|setting| setting.at);
        let remembered = self
            .extremes
            .iter()
            .flat_map(|extreme| [extreme.since, extreme.at]);
        let mut breaks: Vec<_> = known.chain(set).chain(remembered).filter(inside).collect();
        if self.from < self.to {
            breaks.extend([self.from, self.to]);
        }
        breaks.sort_unstable();
        breaks.dedup();
        breaks
    }

    fn stretch(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Stretch {
        let before = self.points.iter().rev().find(|point| point.at <= from).copied();
        let after = self.points.iter().find(|point| point.at >= to).copied();
        let (low, high, grade) = self
            .close_readings(before, after)
            .or_else(|| self.remembered(from, to, before, after))
            .or_else(|| self.night(from, before, after))
            .or_else(|| self.as_set(from, before, after))
            .or_else(|| self.as_last_read(before, after))
            .unwrap_or((None, None, Grade::Missing));
        Stretch {
            span: Some((from, to)),
            hours: hours_between(from, to),
            low,
            high,
            grade,
        }
    }

    /// Readings two hours apart or less. At either end of the stay one reading is enough when it is that close.
    fn close_readings(&self, before: Option<Point>, after: Option<Point>) -> Option<Known> {
        let apart = match (before, after) {
            (Some(before), Some(after)) => after.at - before.at,
            (Some(before), None) => self.to - before.at,
            (None, Some(after)) => after.at - self.from,
            (None, None) => return None,
        };
        (apart <= LOGGED_GAP).then(|| between(before, after, Grade::Logged))
    }

    /// A min/max thermometer that remembers the whole stretch. Of several, the tightest bounds hold.
    fn remembered(
        &self,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
        before: Option<Point>,
        after: Option<Point>,
    ) -> Option<Known> {
        let covering = self.extremes.iter().filter(|e| e.since <= from && to <= e.at);
        let mut bounds: Option<(Option<Temperature>, Temperature)> = None;
        for extreme in covering {
            let seen = |point: &Point| extreme.since <= point.at && point.at <= extreme.at;
            let neighbours = warmer(
                before.filter(seen).map(|point| point.high),
                after.filter(seen).map(|point| point.high),
            );
            let max = neighbours.map_or(extreme.max, |warm| warm.warmer(extreme.max));
            bounds = Some(match bounds {
                None => (extreme.min, max),
                Some((low, high)) => (warmer(low, extreme.min), high.colder(max)),
            });
        }
        let (low, high) = bounds?;
        let bracketed = before.zip(after).filter(|(b, a)| a.at - b.at <= READ_GAP);
        let low = low.or_else(|| bracketed.map(|(b, a)| b.low.colder(a.low)));
        Some((low.map(|low| low.colder(high)), Some(high), Grade::Logged))
    }

    /// Both neighbours known, up to fourteen hours apart: the controller may have let it drift between.
    fn night(&self, from: DateTime<Utc>, before: Option<Point>, after: Option<Point>) -> Option<Known> {
        let (earlier, later) = before.zip(after)?;
        if later.at - earlier.at > READ_GAP {
            return None;
        }
        let (low, high, grade) = between(before, after, Grade::Read);
        let drift = self.setting_at(from).map(drifted);
        Some((low, warmer(high, drift), grade))
    }

    /// A setting in force, which nobody checked for longer. Readings under the same setting widen it.
    fn as_set(&self, from: DateTime<Utc>, before: Option<Point>, after: Option<Point>) -> Option<Known> {
        let setting = self.setting_at(from)?;
        let changed = self.settings.iter().find(|next| next.at > setting.at);
        let under = |point: &Point| setting.at <= point.at && changed.is_none_or(|next| point.at < next.at);
        let (low, high, _) = between(before.filter(under), after.filter(under), Grade::Declared);
        Some((
            colder(low, Some(setting.temperature)),
            warmer(high, Some(drifted(setting))),
            Grade::Declared,
        ))
    }

    /// The open end of a running clock, up to fourteen hours after the last reading: the room is taken to have
    /// stayed at most as warm as it was, and nothing vouches for any warmth.
    fn as_last_read(&self, before: Option<Point>, after: Option<Point>) -> Option<Known> {
        let last = before?;
        let open = self.open && after.is_none() && self.to - last.at <= READ_GAP;
        open.then_some((None, Some(last.high), Grade::Declared))
    }

    fn setting_at(&self, at: DateTime<Utc>) -> Option<&RoomSetting> {
        self.settings.iter().rev().find(|setting| setting.at <= at)
    }

    /// The temperature now: a reading of this moment, or else the most that the last stretch may have had.
    fn current(&self, last: Option<&Stretch>) -> Option<Temperature> {
        if !self.open {
            return None;
        }
        let read = self.points.last();
        match (read.filter(|point| point.at == self.to), last) {
            (Some(now), _) => Some(now.high),
            (None, Some(stretch)) => stretch.high,
            (None, None) => {
                let recent = read.filter(|point| self.to - point.at <= READ_GAP);
                let set = self.setting_at(self.to).map(drifted);
                warmer(recent.map(|point| point.high), set)
            }
        }
    }
}

/// Lowest, highest, grade.
type Known = (Option<Temperature>, Option<Temperature>, Grade);

fn between(before: Option<Point>, after: Option<Point>, grade: Grade) -> Known {
    (
        colder(before.map(|p| p.low), after.map(|p| p.low)),
        warmer(before.map(|p| p.high), after.map(|p| p.high)),
        grade,
    )
}

/// The set point and how far above it the controller lets the room drift.
fn drifted(setting: &RoomSetting) -> Temperature {
    let set = setting.temperature;
    let scale = set.scale();
    let drift = match scale {
        TemperatureScale::Celsius => setting.hysteresis_celsius,
        TemperatureScale::Fahrenheit => setting.hysteresis_celsius * 9.0 / 5.0,
    };
    Temperature::new(set.in_scale(scale) + drift.max(0.0), scale)
}

fn points(climate: &Climate, now: DateTime<Utc>) -> Vec<Point> {
    let mut readings = climate.readings.clone();
    readings.retain(|reading| reading.at <= now && reading.temperature.as_celsius().is_finite());
    readings.sort_by_key(|reading| reading.at);
    let mut points: Vec<Point> = Vec::new();
    for reading in readings {
        let shown = reading.temperature;
        match points.last_mut() {
            Some(point) if point.at == reading.at => {
                point.low = point.low.colder(shown);
                point.high = point.high.warmer(shown);
            }
            _ => points.push(Point {
                at: reading.at,
                low: shown,
                high: shown,
            }),
        }
    }
    points
}
