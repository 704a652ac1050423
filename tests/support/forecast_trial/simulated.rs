//! Forecasts of simulated pieces at a quarter, half and three quarters of the way.

use super::Trial;
use crate::drying_simulator::{Course, Habit, Make, Room, Shape, about, weighings};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use tallyhook::curing::air::Air;
use tallyhook::curing::drying::forecast::{AirAt, Class, Expectation, Knowledge};
use tallyhook::quantity::{RelativeHumidity, Temperature};

/// How long a piece is followed.
pub(crate) const DAYS: usize = 260;
/// When forecasts are made, as part of the target.
pub(crate) const QUARTERS: [f64; 3] = [0.25, 0.5, 0.75];

/// A piece with all that happened to it.
pub(crate) struct Dried {
    /// How it was made.
    pub(crate) make: Make,
    /// What it truly lost.
    pub(crate) course: Course,
    /// What the scale showed.
    pub(crate) weighings: Vec<(f64, f64)>,
    /// What the hygrometer showed.
    pub(crate) air: Vec<AirAt>,
    /// Whether the forecast is told its size.
    pub(crate) size_told: bool,
}

/// A piece in somebody's room.
pub(crate) fn dry(random: &mut ChaCha8Rng, shape: Shape, habit: Habit) -> Dried {
    let make = Make::draw(random, shape);
    let room = Room::draw(random, habit, make.fermentation_days, DAYS);
    let course = make.dry(habit, &room);
    let weighings = weighings(random, &course);
    let air = logged(random, &room, course.days());
    Dried { make, course, weighings, air, size_told: random.random_bool(0.7) }
}

/// Readings every day or three; the hygrometer is some points off all the time, and a little each time.
fn logged(random: &mut ChaCha8Rng, room: &Room, days: f64) -> Vec<AirAt> {
    let off = about(random, 0.0, 0.025);
    let mut readings = Vec::new();
    let mut day = random.random_range(0.0..0.5);
    while day < days {
        let hour = (day * 24.0) as usize;
        let humidity = (room.humidity[hour] + off + about(random, 0.0, 0.015)).clamp(0.05, 0.99);
        let celsius = room.celsius[hour] + about(random, 0.0, 0.3);
        let air = Air::new(Temperature::celsius(celsius), RelativeHumidity::percent(100.0 * humidity));
        readings.push(AirAt { day, air: air.expect("air of a room") });
        day += random.random_range(0.5..3.0);
    }
    readings
}

impl Dried {
    /// The forecast at a part of the way to a target; `None` where it never gets there, or is there already.
    pub(crate) fn trial(&self, target: f64, progress: f64, expectation: Expectation) -> Option<Trial> {
        let truth = self.course.day_of(target)?;
        let loss = |grams: f64| 1.0 - grams / self.make.green_g;
        let last = self.weighings.iter().position(|(_, grams)| loss(*grams) >= progress * target)?;
        let (day, grams) = self.weighings[last];
        if day >= truth || loss(grams) >= target {
            return None;
        }
        let air = self.air.iter().filter(|reading| reading.day <= day).copied().collect();
        Some(Trial {
            class: class(self.make.shape),
            size_mm: self.size_told.then_some(self.make.size_mm),
            green_g: self.make.green_g,
            weighings: self.weighings[..=last].to_vec(),
            target,
            truth,
            progress,
            knowledge: Knowledge { expectation, air },
        })
    }
}

/// What a shape is to the forecast.
pub(crate) fn class(shape: Shape) -> Class {
    match shape {
        Shape::Cylinder => Class::Sausage,
        Shape::Slab => Class::WholeMuscle,
    }
}

/// So many pieces, each in a room of its own, forecast to each target.
pub(crate) fn trials(random_start: u64, shape: Shape, pieces: usize, targets: &[f64]) -> Vec<Trial> {
    let mut random = ChaCha8Rng::seed_from_u64(random_start);
    let mut trials = Vec::new();
    for _ in 0..pieces {
        let habit = Habit::draw(&mut random);
        let dried = dry(&mut random, shape, habit);
        for target in targets {
            let at = |part: f64| dried.trial(*target, part, Expectation::default());
            trials.extend(QUARTERS.into_iter().filter_map(at));
        }
    }
    trials
}
