//! A piece's own humidity: a hundred times its water activity, estimated.

use crate::curing::composition::{self, Found};
use crate::curing::moisture::{Balance, Recipe};
use crate::curing::rulebook;
use crate::curing::water_activity::{LACTIC_ACID, LOSS_PERCENT, Solutes, estimate, is_compared};
use crate::quantity::{Fraction, Mass, RelativeHumidity, WaterActivity};
use crate::record::{BatchKind, BatchPlan, BatchState};

/// The green batter, where the record says what is in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Batter {
    pub(super) balance: Balance,
    lactic_acid: Fraction,
}

impl Batter {
    /// Of a sausage whose meats all stand in the table of cuts and whose salt was told. What else is in it weighs little
    /// and is left out.
    pub(super) fn of(state: &BatchState) -> Option<Self> {
        let plan = &state.plan;
        if plan.kind == BatchKind::WholeMuscle {
            return None;
        }
        let recipe = Recipe { meats: meats(plan)?, salt: Some(salt(state)?), ..Recipe::default() };
        let is_sour = plan.kind == BatchKind::FermentedSausage;
        let lactic_acid = if is_sour { LACTIC_ACID } else { Fraction::of_one(0.0) };
        Some(Self { balance: recipe.balance().ok()?, lactic_acid })
    }

    fn activity(&self, loss: Fraction) -> Option<WaterActivity> {
        let green = &self.balance;
        let dried = green.after(loss).ok()?;
        let solutes = Solutes {
            salt: green.part(green.salt_g),
            lean: green.part(green.lean_g),
            sugar: green.part(green.sugar_g),
            lactic_acid: self.lactic_acid,
        };
        estimate(&solutes, green.part(dried.balance.water_g), loss).ok().map(|found| found.activity)
    }
}

fn meats(plan: &BatchPlan) -> Option<Vec<(Mass, composition::Parts)>> {
    let of = |meat: &crate::record::Meat| match composition::find(&meat.species) {
        Found::One(cut) => Some((meat.mass, cut.parts())),
        Found::Several(_) | Found::Nothing => None,
    };
    plan.meats.iter().map(of).collect()
}

/// Plain salt and what of the cure is salt; `None` where one of the two was never told.
fn salt(state: &BatchState) -> Option<Mass> {
    let of = |dose: &crate::record::Dose| {
        let of_cure = 1.0 - dose.nitrite.as_one() - dose.nitrate.as_one();
        let plain_g = dose.salt?.as_one() * dose.meat.as_grams();
        Some(plain_g + dose.cure.as_grams() * of_cure)
    };
    let doses: Option<Vec<f64>> = state.doses.iter().map(of).collect();
    doses.filter(|doses| !doses.is_empty()).map(|doses| Mass::grams(doses.iter().sum()))
}

/// What a piece's own humidity is taken to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Own(WaterActivity);

impl Own {
    /// Of a sausage that has lost less than the estimate was compared for, the published figure of fresh sausage;
    /// after that the estimate, where its recipe is known. Of whole muscle there is neither.
    pub(super) fn of<'a>(
        kind: BatchKind,
        loss: Fraction,
        batter: impl FnOnce() -> Option<&'a Batter>,
    ) -> Option<Self> {
        if kind == BatchKind::WholeMuscle {
            return None;
        }
        if is_compared(loss) {
            return batter()?.activity(loss).map(Self);
        }
        let fresh = rulebook::by_id("drying.aw.fresh")?.value.map(WaterActivity::new);
        fresh.filter(|_| loss.as_percent() < *LOSS_PERCENT.start()).map(Self)
    }

    /// How many points drier than the piece the air is.
    pub(super) fn points_above(self, room: RelativeHumidity) -> f64 {
        100.0 * self.0.value() - room.as_percent()
    }

    /// The humidity so many points below it.
    pub(super) fn less(self, points: f64) -> RelativeHumidity {
        RelativeHumidity::percent(100.0 * self.0.value() - points)
    }
}
