//! The readings that a forecast is made from.

use crate::curing::fermentation::acidity::{Acidity, JudgedReading};
use crate::curing::fermentation::trust::Trust;
use chrono::{DateTime, Utc};

/// What a meter's reading may be off, one standard deviation, in pH.
const METER_WIDTH: f64 = 0.045;
/// The same of a paper strip.
const STRIP_WIDTH: f64 = 0.2;
/// No reading is sharper than this.
const SHARPEST: f64 = 0.001;
/// Equivalent hours of ninety days at 35 °C: nobody ferments for longer.
const LONGEST_HOURS: f64 = 5100.0;

/// A pH on equivalent hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SourReading {
    /// Equivalent hours since the fermentation began.
    pub hours: f64,
    /// The same by the clock, for saying how far apart two readings were.
    pub clock_hours: f64,
    /// The pH.
    pub ph: f64,
    /// What it may be off, one standard deviation.
    pub width: f64,
}

impl SourReading {
    /// By a meter that is believed, in a room at 24 °C.
    pub const fn by_meter(hours: f64, ph: f64) -> Self {
        Self { hours, clock_hours: hours, ph, width: METER_WIDTH }
    }

    pub(super) fn of(judged: &JudgedReading, hours: f64, clock_hours: f64) -> Self {
        let width = if judged.trust == Trust::Strip { STRIP_WIDTH } else { METER_WIDTH };
        Self { hours, clock_hours, ph: judged.reading.ph.value(), width }
    }

    /// Whether it is a pH that a meter can show, at a time that a fermentation has.
    pub(super) fn is_possible(&self) -> bool {
        (0.0..=LONGEST_HOURS).contains(&self.hours)
            && self.clock_hours.is_finite()
            && (0.0..=14.0).contains(&self.ph)
            && (SHARPEST..=1.0).contains(&self.width)
    }

    /// Whether it is sharper than a strip.
    pub(super) fn is_sharp(&self) -> bool {
        self.width < STRIP_WIDTH
    }
}

/// Readings by a meter that is believed and strips, up to a moment, and those alone that were made as the last one was:
/// a packet beside the pieces and a piece are two courses.
pub(super) fn usable(acidity: &Acidity, now: DateTime<Utc>) -> Vec<&JudgedReading> {
    let is_usable = |judged: &&JudgedReading| {
        (judged.is_believed() || judged.trust == Trust::Strip) && judged.reading.at <= now
    };
    let usable: Vec<&JudgedReading> = acidity.readings.iter().filter(is_usable).collect();
    let Some(from_sample) = usable.last().map(|last| last.reading.from_sample) else {
        return usable;
    };
    usable.into_iter().filter(|judged| judged.reading.from_sample == from_sample).collect()
}
