//! From a time in words to a moment.

use crate::command::time::day::{Day, Part};
use crate::command::time::error::{TimeError, echo};
use crate::command::time::phrase::{Direction, Phrase, TimeOfDay};
use crate::command::time::span::Span;
use crate::wall;
use chrono::{DateTime, Datelike, Days, Duration, Months, NaiveDate, NaiveTime, Utc};
use chrono_tz::Tz;

/// How far ahead of our clock a reading may be: two clocks never agree.
const TOLERANCE: Duration = Duration::minutes(5);
/// Farthest a time may be from now, in days: ten years.
const FARTHEST: Duration = Duration::days(3653);
/// Years looked through for 29 February: eight, because 1900 and 2100 have none.
const YEARS_TO_LEAP: i32 = 8;

impl Part {
    /// When it begins, for "this morning" said in the morning; and the time it stands for. Common practice, no
    /// source: this project's choice.
    const fn hours(self) -> (u32, u32) {
        match self {
            Self::Morning => (4, 8),
            Self::Afternoon => (12, 15),
            Self::Evening => (16, 19),
            Self::Night => (18, 21),
        }
    }
}

impl Direction {
    /// +1 for what is to come, −1 for what was.
    const fn sign(self) -> i64 {
        match self {
            Self::Past => -1,
            Self::Future => 1,
        }
    }
}

/// One resolution: what is asked, and the calendar it is asked on.
struct Asked<'a> {
    text: &'a str,
    now: DateTime<Utc>,
    zone: Tz,
    direction: Direction,
}

/// When a reading was made.
pub(in crate::command) fn resolve_past(
    phrase: &Phrase,
    text: &str,
    now: DateTime<Utc>,
    zone: Tz,
) -> Result<DateTime<Utc>, TimeError> {
    let asked = Asked { text, now, zone, direction: Direction::Past };
    let at = asked.resolve(phrase)?;
    if at > now + TOLERANCE {
        return Err(TimeError::InFuture { text: echo(text) });
    }
    if now - at > FARTHEST {
        return Err(asked.too_far());
    }
    Ok(at)
}

/// When a reminder is due.
pub(super) fn resolve_future(
    phrase: &Phrase,
    text: &str,
    now: DateTime<Utc>,
    zone: Tz,
) -> Result<DateTime<Utc>, TimeError> {
    let asked = Asked { text, now, zone, direction: Direction::Future };
    let at = asked.resolve(phrase)?;
    if at <= now {
        return Err(TimeError::InPast { text: echo(text) });
    }
    if at - now > FARTHEST {
        return Err(asked.too_far());
    }
    Ok(at)
}

/// The beginning of the day a phrase speaks of, where it names a day and no time of day. A check "today" may have
/// been made first thing in the morning; its age is rounded up.
pub(in crate::command) fn start_of_past_day(
    phrase: &Phrase,
    now: DateTime<Utc>,
    zone: Tz,
) -> Option<DateTime<Utc>> {
    let Phrase::Day(day, None) = phrase else {
        return None;
    };
    let asked = Asked { text: "", now, zone, direction: Direction::Past };
    asked.on_day(*day, NaiveTime::MIN).ok()
}

/// Since when something holds. A day without a time of day is the same time on that day: a min/max thermometer that
/// is read "since yesterday" was reset about a day ago.
pub(in crate::command) fn resolve_since(
    phrase: &Phrase,
    text: &str,
    now: DateTime<Utc>,
    zone: Tz,
) -> Result<DateTime<Utc>, TimeError> {
    let Phrase::Day(day, None) = phrase else {
        return resolve_past(phrase, text, now, zone);
    };
    let same_time = TimeOfDay::Clock(now.with_timezone(&zone).time());
    resolve_past(&Phrase::Day(*day, Some(same_time)), text, now, zone)
}

impl Asked<'_> {
    fn today(&self) -> NaiveDate {
        self.now.with_timezone(&self.zone).date_naive()
    }

    fn too_far(&self) -> TimeError {
        TimeError::TooFar { text: echo(self.text) }
    }

    fn no_such_time(&self) -> TimeError {
        TimeError::NoSuchTime { text: echo(self.text) }
    }

    /// Whether a moment lies in the direction asked for.
    fn fits(&self, at: DateTime<Utc>) -> bool {
        match self.direction {
            Direction::Past => at <= self.now + TOLERANCE,
            Direction::Future => at > self.now,
        }
    }

    fn moment(&self, day: NaiveDate, time: NaiveTime) -> Result<DateTime<Utc>, TimeError> {
        wall::instant(self.zone, day, time).ok_or_else(|| self.too_far())
    }

    fn resolve(&self, phrase: &Phrase) -> Result<DateTime<Utc>, TimeError> {
        match phrase {
            Phrase::Now => Ok(self.now),
            Phrase::Instant(at) => Ok(*at),
            Phrase::Away(span) => self.away(*span),
            Phrase::Time(time) => {
                let today = self.moment(self.today(), *time)?;
                if self.fits(today) {
                    return Ok(today);
                }
                let other = day_after(self.today(), self.direction.sign()).ok_or_else(|| self.too_far())?;
                self.moment(other, *time)
            }
            Phrase::Day(day, Some(TimeOfDay::Clock(time))) => self.on_day(*day, *time),
            Phrase::Day(day, Some(TimeOfDay::Part(part))) => self.part_of_day(*day, *part),
            Phrase::Day(Day::FromToday(0), None) if self.direction == Direction::Past => Ok(self.now),
            Phrase::Day(day, None) => {
                let hour = if self.direction == Direction::Past { 12 } else { 9 };
                self.on_day(*day, at_hour(hour))
            }
        }
    }

    /// Months and days on the calendar, then seconds as time that passes.
    fn away(&self, span: Span) -> Result<DateTime<Utc>, TimeError> {
        let far = || self.too_far();
        let mut at = self.now;
        if span.months != 0 || span.days != 0 {
            let local = at.with_timezone(&self.zone).naive_local();
            let months = Months::new(span.months);
            let day = match self.direction {
                Direction::Past => local.date().checked_sub_months(months),
                Direction::Future => local.date().checked_add_months(months),
            };
            let days = span.days.checked_mul(self.direction.sign()).ok_or_else(far)?;
            let day = day.and_then(|day| day_after(day, days)).ok_or_else(far)?;
            at = self.moment(day, local.time())?;
        }
        let seconds = span.seconds.checked_mul(self.direction.sign()).ok_or_else(far)?;
        Duration::try_seconds(seconds).and_then(|length| at.checked_add_signed(length)).ok_or_else(far)
    }

    fn on_day(&self, day: Day, time: NaiveTime) -> Result<DateTime<Utc>, TimeError> {
        match day {
            Day::FromToday(days) => {
                let day = day_after(self.today(), days).ok_or_else(|| self.too_far())?;
                self.moment(day, time)
            }
            Day::Weekday { weekday, said } => {
                let sign = said.unwrap_or(self.direction).sign();
                let first = i64::from(said.is_some());
                let found = (first..=7).find_map(|away| {
                    let day = day_after(self.today(), away * sign)?;
                    let at = wall::instant(self.zone, day, time)?;
                    (day.weekday() == weekday && (said.is_some() || self.fits(at))).then_some(at)
                });
                found.ok_or_else(|| self.too_far())
            }
            Day::Date { year: Some(year), month, day } => {
                let day = NaiveDate::from_ymd_opt(year, month, day).ok_or_else(|| self.no_such_time())?;
                self.moment(day, time)
            }
            Day::Date { year: None, month, day } => self.nearest_date(month, day, time),
        }
    }

    /// The nearest such day in the direction asked for.
    fn nearest_date(&self, month: u32, day: u32, time: NaiveTime) -> Result<DateTime<Utc>, TimeError> {
        let this_year = self.today().year();
        (0..=YEARS_TO_LEAP)
            .find_map(|away| {
                let day =
                    NaiveDate::from_ymd_opt(this_year + away * self.direction.sign() as i32, month, day)?;
                wall::instant(self.zone, day, time).filter(|at| self.fits(*at))
            })
            .ok_or_else(|| self.no_such_time())
    }

    /// "this morning" said in the morning before the hour it stands for is now.
    fn part_of_day(&self, day: Day, part: Part) -> Result<DateTime<Utc>, TimeError> {
        let (begins, stands_for) = part.hours();
        let at = self.on_day(day, at_hour(stands_for))?;
        let is_today = matches!(day, Day::FromToday(0));
        if self.direction == Direction::Past
            && is_today
            && at > self.now
            && self.moment(self.today(), at_hour(begins))? <= self.now
        {
            return Ok(self.now);
        }
        Ok(at)
    }
}

/// The day some days later or earlier.
fn day_after(day: NaiveDate, days: i64) -> Option<NaiveDate> {
    let count = Days::new(days.unsigned_abs());
    if days < 0 { day.checked_sub_days(count) } else { day.checked_add_days(count) }
}

/// A full hour; midnight for one that the clock does not have.
fn at_hour(hour: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default()
}
