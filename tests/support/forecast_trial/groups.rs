//! Forecasts by members of simulated groups, who have finished batches to learn from.

use super::Trial;
use super::simulated::{Dried, QUARTERS, class, dry};
use crate::drying_simulator::{Habit, Shape, about, around};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use tallyhook::curing::drying::forecast::{Expectation, FinishedBatch, Maker};
use tallyhook::quantity::{Fraction, Length};
use tallyhook::record::ChamberId;

const MEMBERS: i64 = 5;
/// Batches each member finishes before the first forecast that counts.
const BEFORE: usize = 3;
/// Batches each member makes in all.
const BATCHES: usize = 6;
const TARGET: f64 = 0.35;

/// Forecasts before any weighing and at each quarter of the way: what the group and the member had finished by then is
/// known to it.
pub(crate) fn trials(random_start: u64, shape: Shape, groups: i64) -> Vec<Trial> {
    let mut random = ChaCha8Rng::seed_from_u64(random_start);
    let mut trials = Vec::new();
    for _ in 0..groups {
        let habits = habits(&mut random);
        let mut finished: Vec<FinishedBatch> = Vec::new();
        for round in 0..BATCHES {
            for (maker, habit) in &habits {
                let dried = dry(&mut random, shape, *habit);
                if round >= BEFORE {
                    let newest_first: Vec<FinishedBatch> = finished.iter().rev().copied().collect();
                    let expectation = Expectation::of(class(shape), *maker, &newest_first);
                    trials.extend(of_piece(&dried, expectation));
                }
                finished.extend(batch(&dried, *maker));
            }
        }
    }
    trials
}

/// A group's climate and custom, and what each member makes of it.
fn habits(random: &mut ChaCha8Rng) -> Vec<(Maker, Habit)> {
    let (damper, casing) = (about(random, 0.0, 0.02), around(random, 1.0, 0.2));
    let habit = |(member, chamber): (usize, i64), random: &mut ChaCha8Rng| {
        let own = Habit::draw(random);
        let humidity = (own.humidity + damper).clamp(0.62, 0.87);
        (
            Maker { member, chamber: ChamberId(chamber) },
            Habit { humidity, exchange: own.exchange * casing, ..own },
        )
    };
    (1_usize..).zip(1..=MEMBERS).map(|member| habit(member, random)).collect()
}

fn of_piece(dried: &Dried, expectation: Expectation) -> Vec<Trial> {
    let mut trials: Vec<Trial> =
        QUARTERS.into_iter().filter_map(|part| dried.trial(TARGET, part, expectation)).collect();
    // Before any weighing: the first forecast, less what was weighed.
    if let Some(first) = trials.first().cloned() {
        let none = Trial { weighings: Vec::new(), progress: 0.0, ..first };
        trials.insert(0, none);
    }
    trials
}

fn batch(dried: &Dried, maker: Maker) -> Option<FinishedBatch> {
    Some(FinishedBatch {
        class: class(dried.make.shape),
        diameter: dried.size_told.then_some(Length::millimetres(dried.make.size_mm)),
        lost: Fraction::of_one(TARGET),
        days_to_half: dried.course.day_of(TARGET / 2.0),
        days: dried.course.day_of(TARGET)?,
        maker,
    })
}
