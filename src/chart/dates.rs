//! Names of days and months under a chart. A chart has no words of its own: whoever makes it gives them.

use chrono::{Datelike, NaiveDateTime};

/// Names and patterns of dates in one language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateNames {
    /// Abbreviations of weekdays, from Monday.
    pub weekdays: [String; 7],
    /// Abbreviations of months, from January.
    pub months: [String; 12],
    /// A day of a few, e.g. `{weekday} {day}`.
    pub weekday: String,
    /// A day of a year, e.g. `{day} {month}`.
    pub day: String,
    /// A month, e.g. `{month} {year}`.
    pub month: String,
}

impl DateNames {
    /// "Tue 10".
    pub(super) fn weekday_of(&self, local: NaiveDateTime) -> String {
        self.filled(&self.weekday, local)
    }

    /// "10 Nov".
    pub(super) fn day_of(&self, local: NaiveDateTime) -> String {
        self.filled(&self.day, local)
    }

    /// "Nov 2026".
    pub(super) fn month_of(&self, local: NaiveDateTime) -> String {
        self.filled(&self.month, local)
    }

    fn filled(&self, pattern: &str, local: NaiveDateTime) -> String {
        let weekday = &self.weekdays[local.weekday().num_days_from_monday() as usize % 7];
        let month = &self.months[local.month0() as usize % 12];
        pattern
            .replace("{weekday}", weekday)
            .replace("{day}", &local.day().to_string())
            .replace("{month}", month)
            .replace("{year}", &local.year().to_string())
    }
}

impl Default for DateNames {
    /// English.
    fn default() -> Self {
        Self {
            weekdays: ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"].map(str::to_owned),
            months: ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
                .map(str::to_owned),
            weekday: "{weekday} {day}".to_owned(),
            day: "{day} {month}".to_owned(),
            month: "{month} {year}".to_owned(),
        }
    }
}
