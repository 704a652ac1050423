//! Air that wanders.

use super::{about, around};
use rand::Rng;
use rand_chacha::ChaCha8Rng;

/// How somebody runs a room: what all batches in it have in common.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Habit {
    /// °C around which it wanders.
    pub(crate) celsius: f64,
    /// Relative humidity around which it wanders.
    pub(crate) humidity: f64,
    /// Casing and air film, kg/(m² s Pa).
    pub(crate) exchange: f64,
}

impl Habit {
    /// Somebody's.
    pub(crate) fn draw(random: &mut ChaCha8Rng) -> Self {
        Self {
            celsius: about(random, 13.0, 1.3).clamp(9.0, 18.0),
            humidity: about(random, 0.76, 0.045).clamp(0.62, 0.87),
            exchange: around(random, 1.0e-8, 0.45),
        }
    }
}

/// A room over a batch's time: a value for each hour.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    /// °C.
    pub(crate) celsius: Vec<f64>,
    /// Relative humidity as one.
    pub(crate) humidity: Vec<f64>,
}

impl Room {
    /// A batch's months: some days of fermentation where there are any, then a slow wander with a step now and then.
    pub(crate) fn draw(random: &mut ChaCha8Rng, habit: Habit, fermentation_days: f64, days: usize) -> Self {
        let (mut celsius, mut humidity) = (Vec::new(), Vec::new());
        let (mut shift, mut wander, mut warm) = (about(random, 0.0, 0.015), 0.0, 0.0);
        for hour in 0..days * 24 {
            if hour as f64 <= fermentation_days * 24.0 {
                celsius.push(about(random, 23.0, 0.5));
                humidity.push(about(random, 0.91, 0.015).clamp(0.80, 0.97));
                continue;
            }
            // A step of the settings or the season about every 25 days.
            if random.random_bool(1.0 / (25.0 * 24.0)) {
                shift += about(random, 0.0, 0.035);
            }
            wander += -wander / 48.0 + about(random, 0.0, 0.004);
            warm += -warm / 72.0 + about(random, 0.0, 0.06);
            celsius.push(habit.celsius + warm);
            humidity.push((habit.humidity + shift + wander).clamp(0.55, 0.93));
        }
        Self { celsius, humidity }
    }
}

/// Saturation pressure over water in Pa (Magnus, WMO).
pub(crate) fn saturation_pa(celsius: f64) -> f64 {
    611.2 * (17.62 * celsius / (243.12 + celsius)).exp()
}
