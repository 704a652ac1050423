//! A sausage that sours, as a system of differential equations: independent of the forecast that is tried on it.
//!
//! Cells wake up after a lag (a store of readiness that has to be filled first), grow to a ceiling, and make acid while
//! they grow and while they rest; acid slows them down, sugar runs out, and the meat buffers the more the sourer it gets.
//! The room wanders around its set point. All parameters are drawn from ranges set by judgement (no source), wide
//! enough to hold quick warm batches with much sugar and slow cool ones with little; their middle is set so that most
//! batches move by 0.2 within a day, as the custom for sausage with a culture has it, and never by what was forecast.

/// A small generator of random numbers with a fixed random start value.
pub(crate) struct Random(u64);

impl Random {
    pub(crate) const fn starting_at(value: u64) -> Self {
        Self(value)
    }

    /// Even between 0 and 1 (splitmix64).
    pub(crate) fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
        (mixed >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// Normal, middle 0 and width 1 (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.even().max(1e-12).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}

/// One step.
const STEP_HOURS: f64 = 0.1;
/// How long it is followed.
const HOURS: f64 = 240.0;

/// A simulated batch: its true pH and its room at every step.
pub(crate) struct Batch {
    ph: Vec<f64>,
    celsius: Vec<f64>,
}

struct Culture {
    growth: f64,
    acid_growing: f64,
    acid_resting: f64,
    ceiling: f64,
    tolerance: f64,
    half_sugar: f64,
}

impl Batch {
    /// One batch with parameters of its own.
    pub(crate) fn draw(random: &mut Random) -> Self {
        let set = random.between(18.0, 27.0);
        let culture = Culture {
            growth: 0.30 * (0.30 * random.normal()).exp(),
            acid_growing: random.between(6.0, 14.0),
            acid_resting: 1.7 * (0.35 * random.normal()).exp(),
            ceiling: 1.0,
            tolerance: random.between(4.2, 4.7),
            half_sugar: random.between(2.0, 8.0),
        };
        let start = random.between(5.6, 6.1);
        let (mut cells, mut awake) =
            (0.05 * (0.7 * random.normal()).exp(), (-random.between(0.3, 2.5)).exp());
        let mut sugar = random.between(25.0, 90.0);
        let (low, steep) = (random.between(28.0, 42.0), random.between(5.0, 18.0));
        let (mut ph, mut drift) = (start, 0.0);
        let mut batch = Self { ph: Vec::new(), celsius: Vec::new() };
        let steps = (HOURS / STEP_HOURS) as usize;
        for step in 0..=steps {
            drift += STEP_HOURS * (-drift / 12.0) + 0.25 * STEP_HOURS.sqrt() * random.normal();
            let celsius = set + drift + 0.5 * (step as f64 * STEP_HOURS / 24.0 * std::f64::consts::TAU).sin();
            batch.ph.push(ph);
            batch.celsius.push(celsius);
            let (grown, acid) = culture.rates(cells, awake, sugar, ph, celsius);
            cells += STEP_HOURS * grown;
            awake = (awake * (1.0 + STEP_HOURS * culture.growth * warm(celsius))).min(1e6);
            sugar = (sugar - STEP_HOURS * acid).max(0.0);
            // mmol acid a kilogram and pH: meat binds more where it is sourer, as lactate and protein come in reach.
            let buffer = low + steep * (start - ph).max(0.0);
            ph -= STEP_HOURS * acid / buffer;
        }
        batch
    }

    /// The true pH at an hour.
    pub(crate) fn ph(&self, hour: f64) -> f64 {
        at(&self.ph, hour)
    }

    /// The room at an hour, in °C.
    pub(crate) fn celsius(&self, hour: f64) -> f64 {
        at(&self.celsius, hour)
    }

    /// When it first reaches a pH.
    pub(crate) fn reaches(&self, target: f64) -> Option<f64> {
        self.ph.iter().position(|ph| *ph <= target).map(|step| step as f64 * STEP_HOURS)
    }
}

impl Culture {
    /// Cells and acid made an hour.
    fn rates(&self, cells: f64, awake: f64, sugar: f64, ph: f64, celsius: f64) -> (f64, f64) {
        let ready = awake / (1.0 + awake);
        let fed = sugar / (self.half_sugar + sugar);
        let unhurt = ((ph - self.tolerance) / (6.0 - self.tolerance)).clamp(0.0, 1.0).sqrt();
        let pace = warm(celsius) * fed * unhurt;
        let grown = self.growth * pace * ready * cells * (1.0 - cells / self.ceiling).max(0.0);
        (grown, self.acid_growing * grown + self.acid_resting * pace * ready * cells)
    }
}

/// How fast at a temperature, 1 at 24 °C: cardinal temperatures 4, 33 and 42 °C, not the forecast's square root.
fn warm(celsius: f64) -> f64 {
    let (least, best, most) = (4.0, 33.0, 42.0);
    let cardinal = |t: f64| {
        if t <= least || t >= most {
            return 0.0;
        }
        let above = (t - most) * (t - least).powi(2);
        let below = (best - least) * ((best - least) * (t - best) - (best - most) * (best + least - 2.0 * t));
        above / below
    };
    cardinal(celsius) / cardinal(24.0)
}

fn at(values: &[f64], hour: f64) -> f64 {
    let place = (hour / STEP_HOURS).clamp(0.0, (values.len() - 1) as f64);
    let before = place.floor() as usize;
    let after = (before + 1).min(values.len() - 1);
    values[before] + (values[after] - values[before]) * (place - before as f64)
}
