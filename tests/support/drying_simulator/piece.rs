//! A piece as shells of dry matter that pass water on and shrink.

use super::room::{Habit, Room, saturation_pa};
use super::sorption::Sorption;
use super::{about, around};
use rand::Rng;
use rand_chacha::ChaCha8Rng;

/// What it is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// A sausage.
    Cylinder,
    /// A whole muscle that dries over both faces.
    Slab,
}

/// How a piece is made.
#[derive(Debug, Clone)]
pub(crate) struct Make {
    /// Its shape.
    pub(crate) shape: Shape,
    /// Diameter or thickness when hung.
    pub(crate) size_mm: f64,
    /// Weight when hung.
    pub(crate) green_g: f64,
    /// Water of the green weight.
    pub(crate) water: f64,
    /// Salt of the green weight.
    pub(crate) salt: f64,
    /// Protein of the green weight.
    pub(crate) protein: f64,
    /// Diffusivity of the water at 13 °C as hung, m²/s.
    pub(crate) diffusivity: f64,
    /// How it falls as the water goes: (X / X₀) to this power.
    pub(crate) fall: f64,
    /// Days of fermentation in a damp, warm room.
    pub(crate) fermentation_days: f64,
}

impl Make {
    /// A sausage or a muscle as they come.
    pub(crate) fn draw(random: &mut ChaCha8Rng, shape: Shape) -> Self {
        let is_sausage = shape == Shape::Cylinder;
        let ferments = is_sausage && random.random_bool(0.7);
        Self {
            shape,
            size_mm: if is_sausage {
                random.random_range(28.0..100.0)
            } else {
                random.random_range(35.0..95.0)
            },
            green_g: random.random_range(250.0..1500.0),
            water: if is_sausage {
                about(random, 0.57, 0.035).clamp(0.48, 0.66)
            } else {
                about(random, 0.70, 0.02).clamp(0.63, 0.75)
            },
            salt: about(random, 0.027, 0.003).clamp(0.018, 0.036),
            protein: about(random, if is_sausage { 0.155 } else { 0.21 }, 0.012),
            diffusivity: around(random, if is_sausage { 7e-11 } else { 1e-10 }, 0.40),
            fall: random.random_range(0.4..1.6),
            fermentation_days: if ferments { random.random_range(1.0..3.0) } else { 0.0 },
        }
    }

    /// How it dries in a room.
    pub(crate) fn dry(&self, habit: Habit, room: &Room) -> Course {
        let mut shells = Shells::of(self);
        let mut losses = vec![0.0];
        for (celsius, humidity) in room.celsius.iter().zip(&room.humidity) {
            shells.hour(self, habit.exchange, *celsius, *humidity);
            losses.push(1.0 - shells.mass());
            if losses.last().is_some_and(|loss| *loss > FAR_ENOUGH) {
                break;
            }
        }
        Course { green_g: self.green_g, losses }
    }
}

/// The true loss of a piece, hour by hour.
#[derive(Debug, Clone)]
pub(crate) struct Course {
    /// Weight when hung.
    pub(crate) green_g: f64,
    losses: Vec<f64>,
}

impl Course {
    /// Days that were followed.
    pub(crate) fn days(&self) -> f64 {
        (self.losses.len() - 1) as f64 / 24.0
    }

    /// Loss at a day.
    pub(crate) fn loss(&self, day: f64) -> f64 {
        let hour = (day * 24.0).clamp(0.0, (self.losses.len() - 1) as f64);
        let (low, part) = (hour.floor() as usize, hour.fract());
        let high = (low + 1).min(self.losses.len() - 1);
        self.losses[low] * (1.0 - part) + self.losses[high] * part
    }

    /// Weight at a day.
    pub(crate) fn weight_g(&self, day: f64) -> f64 {
        self.green_g * (1.0 - self.loss(day))
    }

    /// The day it first has lost so much; `None`: it never does.
    pub(crate) fn day_of(&self, loss: f64) -> Option<f64> {
        let hour = self.losses.iter().position(|lost| *lost >= loss)?;
        let before = self.losses[hour.max(1) - 1];
        let part =
            if hour == 0 { 0.0 } else { 1.0 - (self.losses[hour] - loss) / (self.losses[hour] - before) };
        Some((hour as f64 - 1.0 + part).max(0.0) / 24.0)
    }
}

const SHELLS: usize = 24;
/// Nobody asks how it goes on from there.
const FAR_ENOUGH: f64 = 0.42;
const DRY_DENSITY: f64 = 1200.0;
const WATER_DENSITY: f64 = 1000.0;

/// Per metre of a cylinder, per square metre of half a slab.
struct Shells {
    /// Dry matter of each, kg.
    dry: f64,
    /// Water of each, kg per kg of dry matter; the innermost first.
    water: Vec<f64>,
    /// Water when hung.
    first: f64,
    /// Mass when hung.
    green: f64,
    sorption: Sorption,
}

impl Shells {
    fn of(make: &Make) -> Self {
        let half = make.size_mm / 2000.0;
        let volume = if make.shape == Shape::Cylinder { std::f64::consts::PI * half * half } else { half };
        let per_green = (1.0 - make.water) / DRY_DENSITY + make.water / WATER_DENSITY;
        let green = volume / per_green;
        let dry = green * (1.0 - make.water) / SHELLS as f64;
        let first = make.water / (1.0 - make.water);
        // Fat binds nothing; salt and protein stand per kg of all that is dry.
        let sorption = Sorption::of(make.salt / (1.0 - make.water), make.protein / (1.0 - make.water));
        Self { dry, water: vec![first; SHELLS], first, green, sorption }
    }

    fn mass(&self) -> f64 {
        self.water.iter().map(|water| self.dry * (1.0 + water)).sum::<f64>() / self.green
    }

    fn hour(&mut self, make: &Make, exchange: f64, celsius: f64, humidity: f64) {
        let warm = (-30_000.0 / 8.314 * (1.0 / (273.15 + celsius) - 1.0 / 286.15)).exp();
        let outside = humidity * saturation_pa(celsius);
        let (edges, mut left) = (self.edges(make.shape), 3600.0);
        let thinnest = edges.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
        let step = (0.3 * thinnest * thinnest / (make.diffusivity * warm)).min(900.0);
        while left > 0.0 {
            let seconds = step.min(left);
            self.step(make, &edges, warm * make.diffusivity, (exchange, celsius, outside), seconds);
            left -= seconds;
        }
    }

    /// Where each shell ends, from the middle outwards, m.
    fn edges(&self, shape: Shape) -> Vec<f64> {
        let mut edges = vec![0.0];
        let mut volume = 0.0;
        for water in &self.water {
            volume += self.dry * (1.0 / DRY_DENSITY + water / WATER_DENSITY);
            edges.push(if shape == Shape::Cylinder {
                (volume / std::f64::consts::PI).sqrt()
            } else {
                volume
            });
        }
        edges
    }

    fn step(&mut self, make: &Make, edges: &[f64], diffusivity: f64, air: (f64, f64, f64), seconds: f64) {
        let area =
            |at: f64| if make.shape == Shape::Cylinder { 2.0 * std::f64::consts::PI * at } else { 1.0 };
        let mut flows = [0.0; SHELLS + 1];
        for at in 1..SHELLS {
            let (inner, outer) = (self.water[at - 1], self.water[at]);
            let between = (edges[at + 1] - edges[at - 1]) / 2.0;
            let water = f64::midpoint(inner, outer);
            let part = (water / self.first).max(0.02).powf(make.fall);
            let volume = 1.0 / DRY_DENSITY + water / WATER_DENSITY;
            flows[at] = area(edges[at]) * diffusivity * part / volume * (inner - outer) / between;
        }
        let (exchange, celsius, outside) = air;
        let pressure = self.sorption.activity(self.water[SHELLS - 1]) * saturation_pa(celsius);
        flows[SHELLS] = area(edges[SHELLS]) * exchange * (pressure - outside);
        for (at, water) in self.water.iter_mut().enumerate() {
            *water = (*water + (flows[at] - flows[at + 1]) * seconds / self.dry).max(0.01);
        }
    }
}
