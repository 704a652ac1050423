//! Composition, mass balance and water activity against a public table, worked figures and a library of solution
//! chemistry.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::composition::{self, Found, table};
use tallyhook::curing::moisture::{Balance, Recipe};
use tallyhook::curing::water_activity::{Solutes, estimate, of_salt};
use tallyhook::quantity::{Fraction, Mass};

#[test]
fn every_cut_is_as_printed() {
    let reference = reference::load("composition.csv");
    let listed = table().cut.len();
    reference.each(|row| {
        let Found::One(cut) = composition::find(row.text("ndb")) else { return Err("not found".to_owned()) };
        row.close("water", cut.water, 0.0)?;
        row.close("protein", cut.protein, 0.0)?;
        row.close("fat", cut.fat, 0.0)?;
        row.close("ash", cut.ash, 0.0)
    });
    assert_eq!(listed, reference.rows.len());
}

fn cut(number: &str, grams: f64) -> (Mass, composition::Parts) {
    let Found::One(cut) = composition::find(number) else { panic!("{number}") };
    (Mass::grams(grams), cut.parts())
}

fn worked_batter() -> Balance {
    let recipe = Recipe {
        meats: vec![cut("10080", 800.0), cut("10004", 200.0)],
        salt: Some(Mass::grams(28.0)),
        other_dry: Some(Mass::grams(12.0)),
        ..Recipe::default()
    };
    recipe.balance().unwrap()
}

#[test]
fn worked_balance() {
    reference::load("mass_balance.csv").each(|row| {
        let dried = worked_batter()
            .after(Fraction::percent(row.number("loss_percent")))
            .map_err(|e| e.to_string())?;
        let left = dried.balance;
        row.close("moisture_percent", left.part(left.water_g).as_percent(), 0.051)?;
        row.close("protein_percent", left.part(left.protein_g).as_percent(), 0.051)?;
        row.close("fat_percent", left.part(left.fat_g).as_percent(), 0.051)?;
        row.close("salt_percent", left.part(left.salt_g).as_percent(), 0.005_1)?;
        row.close("salt_in_water_percent", left.salt_in_water().unwrap().as_percent(), 0.005_1)?;
        row.close("ratio", left.moisture_to_protein().unwrap(), 0.005_1)
    });
    // From the same working: the loss that each ratio takes.
    for (ratio, loss) in [(3.1, 11.4), (2.3, 22.6), (2.03, 26.4), (1.9, 28.2), (1.6, 32.4)] {
        let needed = worked_batter().loss_for_ratio(ratio).unwrap().as_percent();
        approx::assert_abs_diff_eq!(needed, loss, epsilon = 0.051);
    }
}

#[test]
fn sodium_chloride() {
    reference::load("sodium_chloride_aquasol.csv").each(|row| {
        let found = of_salt(row.number("molality")).ok_or("not computed")?.value();
        row.close("clegg", found, 0.001_4)?;
        row.close("tang", found, 0.001_4)
    });
    assert!(of_salt(6.15).is_none() && of_salt(-0.1).is_none() && of_salt(f64::NAN).is_none());
    // Robinson and Stokes, as an instrument's manual cites them: 6 mol/kg has 0.760.
    approx::assert_abs_diff_eq!(of_salt(6.0).unwrap().value(), 0.760, epsilon = 0.001);
}

fn recipe() -> impl Strategy<Value = Recipe> {
    (100.0..3000.0f64, 0usize..30, 0.0..1500.0f64, 5.0..90.0f64, 0.0..30.0f64, 0.0..200.0f64, 0.0..40.0f64)
        .prop_map(|(lean, which, fat, salt, sugar, water, other)| Recipe {
            meats: vec![(Mass::grams(lean), table().cut[which].parts()), cut("10004", fat)],
            salt: Some(Mass::grams(salt)),
            sugar: Some(Mass::grams(sugar)),
            added_water: Some(Mass::grams(water)),
            other_dry: Some(Mass::grams(other)),
        })
}

proptest! {
    /// What was lost is water, and everything else stays.
    #[test]
    fn the_balance_closes(recipe in recipe(), part in 0.0..1.0f64) {
        let green = recipe.balance().unwrap();
        let loss = Fraction::of_one(part * green.water_g / green.total_g);
        let left = green.after(loss).unwrap().balance;
        let lost = green.total_g - left.total_g;
        prop_assert!((lost - (green.water_g - left.water_g)).abs() < 1e-9);
        prop_assert!((lost - loss.as_one() * green.total_g).abs() < 1e-9);
        prop_assert!(left.water_g >= -1e-9);
        let kept = [(green.protein_g, left.protein_g), (green.fat_g, left.fat_g), (green.salt_g, left.salt_g)];
        prop_assert!(kept.iter().all(|(before, after)| before.to_bits() == after.to_bits()));
    }

    #[test]
    fn more_drying_never_raises_the_ratio_or_the_water_activity(recipe in recipe(), one in 0.15..0.42f64, more in 0.0..0.1f64) {
        let green = recipe.balance().unwrap();
        let at = |loss: f64| {
            let left = green.after(Fraction::of_one(loss)).ok()?.balance;
            let solutes = Solutes {
                salt: green.part(green.salt_g),
                lean: green.part(green.lean_g),
                sugar: green.part(green.sugar_g),
                lactic_acid: Fraction::percent(0.7),
            };
            let activity = estimate(&solutes, green.part(left.water_g), Fraction::of_one(loss)).ok();
            Some((left.moisture_to_protein()?, activity.map(|estimate| estimate.activity)))
        };
        if let (Some(before), Some(after)) = (at(one), at(one + more)) {
            prop_assert!(after.0 <= before.0);
            if let (Some(before), Some(after)) = (before.1, after.1) {
                prop_assert!(after <= before);
            }
        }
    }

    #[test]
    fn twice_of_everything_is_the_same_batter(recipe in recipe()) {
        let double = |mass: Mass| Mass::grams(mass.as_grams() * 2.0);
        let doubled = Recipe {
            meats: recipe.meats.iter().map(|(mass, parts)| (double(*mass), *parts)).collect(),
            salt: recipe.salt.map(double),
            sugar: recipe.sugar.map(double),
            added_water: recipe.added_water.map(double),
            other_dry: recipe.other_dry.map(double),
        };
        let (one, two) = (recipe.balance().unwrap(), doubled.balance().unwrap());
        prop_assert!((two.total_g - 2.0 * one.total_g).abs() < 1e-6);
        prop_assert!((two.moisture_to_protein().unwrap() - one.moisture_to_protein().unwrap()).abs() < 1e-9);
    }
}
