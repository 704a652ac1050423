//! How much water a shell holds at a water activity, and back.

/// Molality of sodium chloride by water activity: the Robinson–Stokes course in short, from memory, within 0.02 mol/kg of
/// the printed table between 0.76 and 1 (0.9315 at 2 mol/kg, 0.8515 at 4, 0.7594 at 6).
fn molality(activity: f64) -> f64 {
    const COURSE: [(f64, f64); 9] = [
        (1.0, 0.0),
        (0.9669, 1.0),
        (0.9316, 2.0),
        (0.8927, 3.0),
        (0.8505, 4.0),
        (0.8058, 5.0),
        (0.7598, 6.0),
        (0.65, 8.6),
        (0.30, 20.0),
    ];
    let pair = COURSE.windows(2).find(|pair| activity <= pair[0].0 && activity >= pair[1].0);
    pair.map_or(20.0, |pair| {
        let part = (pair[0].0 - activity) / (pair[0].0 - pair[1].0);
        pair[0].1 + part * (pair[1].1 - pair[0].1)
    })
}

/// What binds the water, in kg per kg of dry matter.
#[derive(Debug, Clone)]
pub(crate) struct Sorption {
    /// Water by activity, on a grid from 0.30 to 0.998.
    water: Vec<f64>,
}

const LEAST: f64 = 0.30;
const MOST: f64 = 0.998;
const STEPS: usize = 350;

impl Sorption {
    /// From salt and protein in kg per kg of dry matter: each binds its own water (isopiestic mixing); the protein's after
    /// Oswin, 0.12 · (a / (1 − a))^0.55, constants from memory.
    pub(crate) fn of(salt: f64, protein: f64) -> Self {
        let water = (0..=STEPS)
            .map(|step| {
                let activity = LEAST + (MOST - LEAST) * step as f64 / STEPS as f64;
                let of_salt = salt / 0.058_443 / molality(activity).max(0.01);
                of_salt + protein * 0.12 * (activity / (1.0 - activity)).powf(0.55)
            })
            .collect();
        Self { water }
    }

    /// The activity at which a shell holds so much water.
    pub(crate) fn activity(&self, water: f64) -> f64 {
        let above = self.water.partition_point(|held| *held < water);
        if above == 0 {
            return LEAST;
        }
        let Some(high) = self.water.get(above) else { return MOST };
        let low = self.water[above - 1];
        let part = (water - low) / (high - low);
        LEAST + (MOST - LEAST) * (above as f64 - 1.0 + part) / STEPS as f64
    }
}
