//! How well a stretch of time is known, and what it is taken to have been.
//!
//! The time is cut wherever anything becomes known, and each stretch is then taken for itself from the best
//! evidence that covers it. Nothing is interpolated: the lower sum takes the colder neighbour, the upper sum the
//! warmer one.

use super::course::{Course, Stretch, colder, warmer};
use super::point::{Point, drifted};
use crate::quantity::Temperature;
use crate::record::climate::{Climate, RoomExtremes, RoomSetting};
use crate::record::hours_between;
use chrono::{DateTime, TimeDelta, Utc};

/// Readings this close together are as good as a logger. This project's choice, no source.
const LOGGED_GAP: TimeDelta = TimeDelta::hours(2);

/// Readings this close together, a night's sleep, still bracket what happened between. This project's choice,
/// no source.
const READ_GAP: TimeDelta = TimeDelta::hours(14);

/// The grade of a stretch; of a whole course, the worst of its stretches. Best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Readings at most two hours apart, or a min/max thermometer that remembers the stretch.
    Logged,
    /// Readings at most fourteen hours apart, both known.
    Read,
    /// Only stated: a course somebody named, or a setting nobody checked.
    Declared,
    /// Nothing is known of it.
    Missing,
}

impl Grade {
    /// The word printed with a verdict.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Logged => "logged",
            Self::Read => "read",
            Self::Declared => "declared",
            Self::Missing => "none",
        }
    }
}

/// What is known of one stay, sorted by time.
pub(super) struct Evidence {
    points: Vec<Point>,
    settings: Vec<RoomSetting>,
    extremes: Vec<RoomExtremes>,
    from: DateTime<Utc>,
    to: DateTime<Utc>,
    open: bool,
}

impl Evidence {
    /// What a chamber's record knows of a stay; `open`: the clock runs at its end, which is now.
    pub(super) fn of(
        climate: &Climate,
        (from, to): (DateTime<Utc>, DateTime<Utc>),
        open: bool,
        now: DateTime<Utc>,
    ) -> Self {
        let near = |at: DateTime<Utc>| at <= now && from - at <= READ_GAP && at - to <= READ_GAP;
        let settings = climate.settings.iter().copied();
        let known = |setting: &RoomSetting| setting.temperature.as_celsius().is_finite();
        let mut settings: Vec<_> = settings.filter(known).collect();
        settings.sort_by_key(|setting| setting.at);
        let extremes = climate.extremes.iter().map(|extreme| RoomExtremes {
            min: extreme.min.filter(|min| min.as_celsius().is_finite()),
            ..*extreme
        });
        let known = |extreme: &RoomExtremes| extreme.at <= now && extreme.max.as_celsius().is_finite();
        Self {
            points: Point::all(climate.readings.iter().filter(|reading| near(reading.at))),
            settings,
            extremes: extremes.filter(known).collect(),
            from,
            to,
            open,
        }
    }

    pub(super) fn add_to(&self, course: &mut Course) {
        let earlier = course.stretches.len();
        let breaks = self.breaks();
        for (from, to) in breaks.iter().zip(breaks.iter().skip(1)) {
            course.stretches.push(self.stretch(*from, *to));
        }
        self.raise_highest(course);
        course.current = self.current(course.stretches.iter().skip(earlier).last());
    }

    /// The highest reading, and the highest temperature that any sum uses. A spike that only the min/max
    /// thermometer saw counts too, even between close readings.
    fn raise_highest(&self, course: &mut Course) {
        for stretch in &course.stretches {
            course.highest_certain = warmer(course.highest_certain, stretch.low);
            course.highest_possible = warmer(course.highest_possible, stretch.high);
        }
        let within = |at: DateTime<Utc>| self.from <= at && at <= self.to;
        for point in self.points.iter().filter(|point| within(point.at)) {
            course.highest_certain = warmer(course.highest_certain, Some(point.high));
        }
        for extreme in &self.extremes {
            if within(extreme.since) && within(extreme.at) {
                course.highest_certain = warmer(course.highest_certain, Some(extreme.max));
            }
            if extreme.since < self.to && extreme.at > self.from {
                course.highest_possible = warmer(course.highest_possible, Some(extreme.max));
            }
        }
        course.highest_possible = warmer(course.highest_possible, course.highest_certain);
    }

    /// Every time at which something becomes known, with the two ends.
    fn breaks(&self) -> Vec<DateTime<Utc>> {
        let inside = |at: &DateTime<Utc>| self.from < *at && *at < self.to;
        let known = self.points.iter().map(|point| point.at);
        let set = self.settings.iter().map(|setting| setting.at);
        let remembered = self.extremes.iter().flat_map(|extreme| [extreme.since, extreme.at]);
        let mut breaks: Vec<_> = known.chain(set).chain(remembered).filter(inside).collect();
        if self.from < self.to {
            breaks.extend([self.from, self.to]);
        }
        breaks.sort_unstable();
        breaks.dedup();
        breaks
    }

    fn stretch(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Stretch {
        let earlier = self.points.partition_point(|point| point.at <= from);
        let before = earlier.checked_sub(1).and_then(|last| self.points.get(last)).copied();
        let before = self.as_remembered(from, before);
        let later = self.points.partition_point(|point| point.at < to);
        let after = self.points.get(later).copied();
        let (low, high, grade) = close_readings(before, after)
            .or_else(|| self.remembered(from, to, before, after))
            .or_else(|| self.night(from, before, after))
            .or_else(|| self.close_end(from, before, after))
            .or_else(|| self.as_set(from, before, after))
            .or_else(|| self.as_last_read(before, after))
            .unwrap_or((None, None, Grade::Missing));
        Stretch { span: Some((from, to)), hours: hours_between(from, to), low, high, grade }
    }

    /// What was last known at a time: a reading, or the min/max thermometer that was read since. The room may still
    /// have been as warm then as the warmest it remembers.
    fn as_remembered(&self, at: DateTime<Utc>, read: Option<Point>) -> Option<Point> {
        let is_newer = |extreme: &&RoomExtremes| match read {
            Some(point) => point.at < extreme.at,
            None => self.from - extreme.at <= READ_GAP,
        };
        let earlier = self.extremes.iter().filter(|extreme| extreme.at <= at);
        let last = earlier.filter(is_newer).max_by_key(|extreme| extreme.at);
        last.map(|extreme| Point { at: extreme.at, low: extreme.min, high: extreme.max }).or(read)
    }

    /// At either end of the stay, one reading that close to the end is enough. A setting that is newer than the last
    /// reading may have moved the room already.
    fn close_end(&self, from: DateTime<Utc>, before: Option<Point>, after: Option<Point>) -> Option<Known> {
        let ends = before.filter(|_| after.is_none_or(|after| after.at > self.to));
        let begins = after.filter(|_| before.is_none_or(|before| before.at < self.from));
        let last = ends.filter(|last| self.to - last.at <= LOGGED_GAP);
        let first = begins.filter(|first| first.at - self.from <= LOGGED_GAP);
        if last.is_none() && first.is_none() {
            return None;
        }
        let (low, high, grade) = between(last, first, Grade::Logged);
        Some(match last.and_then(|last| self.set_since(last.at, from)) {
            Some(set) => (
                low.map(|low| low.colder(set.temperature)),
                warmer(high, Some(drifted(set))),
                Grade::Declared,
            ),
            None => (low, high, grade),
        })
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
        let low = low.or_else(|| bracketed.and_then(|(b, a)| Some(b.low?.colder(a.low?))));
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
        Some((colder(low, Some(setting.temperature)), warmer(high, Some(drifted(setting))), Grade::Declared))
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

    /// The setting in force, when it was made at a reading or after it.
    fn set_since(&self, read: DateTime<Utc>, at: DateTime<Utc>) -> Option<&RoomSetting> {
        self.setting_at(at).filter(|setting| setting.at >= read)
    }

    /// The temperature now: a reading of this moment, or else the most that the last stretch may have had.
    fn current(&self, last: Option<&Stretch>) -> Option<Temperature> {
        if !self.open {
            return None;
        }
        let read = self.points.last();
        match (read.filter(|point| point.at == self.to), last) {
            (Some(now), _) => warmer(Some(now.high), self.set_since(now.at, now.at).map(drifted)),
            (None, Some(stretch)) => stretch.high,
            (None, None) => {
                let recent = read.filter(|point| self.to - point.at <= READ_GAP);
                let set = self.setting_at(self.to).map(drifted);
                warmer(recent.map(|point| point.high), set)
            }
        }
    }
}

/// Readings two hours apart or less.
fn close_readings(before: Option<Point>, after: Option<Point>) -> Option<Known> {
    let (earlier, later) = before.zip(after)?;
    (later.at - earlier.at <= LOGGED_GAP).then(|| between(before, after, Grade::Logged))
}

/// Lowest, highest, grade.
type Known = (Option<Temperature>, Option<Temperature>, Grade);

fn between(before: Option<Point>, after: Option<Point>, grade: Grade) -> Known {
    let low = match (before, after) {
        (Some(before), Some(after)) => before.low.zip(after.low).map(|(one, other)| one.colder(other)),
        (known, None) | (None, known) => known.and_then(|point| point.low),
    };
    (low, warmer(before.map(|p| p.high), after.map(|p| p.high)), grade)
}
