//! Mixes, casings and doses against worked figures, and what must hold for all of them.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::composition::{self, Found, Parts, table};
use tallyhook::curing::formulation::blend::{BlendError, Offer, blend};
use tallyhook::curing::formulation::casing::{
    DENSITY_KG_PER_L, grams_per_metre, mass_in, metres_for, pieces,
};
use tallyhook::curing::formulation::culture::dose;
use tallyhook::curing::formulation::ingredient::{Amount, brought_by};
use tallyhook::quantity::{Fraction, Length, Mass, parse};

fn parts(number: &str) -> Parts {
    let Found::One(cut) = composition::find(number) else { panic!("{number}") };
    cut.parts()
}

fn there(number: &str, grams: f64) -> Offer {
    Offer { parts: parts(number), there: Some(Mass::grams(grams)) }
}

#[test]
fn grams_in_a_metre() {
    reference::load("casing_table.csv").each(|row| {
        let found =
            grams_per_metre(Length::millimetres(row.number("diameter_mm")), DENSITY_KG_PER_L) / 1000.0;
        row.close("kg_per_metre", found, 0.005_1)
    });
}

#[test]
fn worked_mixes() {
    reference::load("blend_worked.csv").each(|row| {
        let offers = [
            there(row.text("lean"), row.number("lean_g")),
            there(row.text("fat"), row.number("fat_there_g")),
        ];
        let found =
            blend(&offers, Fraction::percent(row.number("target_percent"))).map_err(|e| format!("{e:?}"))?;
        row.close("lean_used_g", found.shares[0].used.as_grams(), 0.051)?;
        row.close("fat_used_g", found.shares[1].used.as_grams(), 0.051)
    });
}

#[test]
fn what_cannot_be_reached_is_said() {
    let lean = [there("10072", 1000.0), there("17164", 500.0)];
    assert!(
        matches!(blend(&lean, Fraction::percent(20.0)), Err(BlendError::AllLeaner { fattest }) if (fattest.as_percent() - 7.14).abs() < 1e-9)
    );
    let fat = [there("10004", 1000.0)];
    assert!(matches!(blend(&fat, Fraction::percent(20.0)), Err(BlendError::AllFatter { .. })));
    assert_eq!(
        blend(&[Offer { parts: parts("10004"), there: None }], Fraction::percent(20.0)),
        Err(BlendError::Nothing)
    );
    assert_eq!(blend(&[], Fraction::percent(20.0)), Err(BlendError::Nothing));
}

/// Worked by hand: 25 g for 100 kg is 0.6 g for 2.4 kg; 0.25 g/kg is 0.585 g for 2.34 kg, weighed as 0.59.
#[test]
fn a_culture_rounds_up() {
    let of = |packet: f64, for_kg: f64, kg: f64| {
        dose(Mass::grams(packet), for_kg * 1000.0, kg * 1000.0).as_grams()
    };
    approx::assert_abs_diff_eq!(of(25.0, 100.0, 2.4), 0.6, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(of(0.25, 1.0, 2.34), 0.59, epsilon = 1e-9);
}

#[test]
fn two_cuts_mix_by_the_square() {
    reference::load("blend_pearson_square.csv").each(|row| {
        let offers = [
            there(row.text("lean"), row.number("lean_there_g")),
            there(row.text("fat"), row.number("fat_there_g")),
        ];
        let target = Fraction::percent(row.number("target_percent"));
        let mix = blend(&offers, target).map_err(|error| format!("{error:?}"))?;
        row.close("lean_used_g", mix.shares[0].used.as_grams(), 0.051)?;
        row.close("fat_used_g", mix.shares[1].used.as_grams(), 0.051)?;
        row.close("target_percent", mix.parts.fat.as_percent(), 1e-9)?;
        row.close("water_percent", mix.parts.water.as_percent(), 0.00501)?;
        row.close("protein_percent", mix.parts.protein.as_percent(), 0.00501)
    });
}

#[test]
fn ingredients_bring_what_their_labels_say() {
    reference::load("ingredients_brought.csv").each(|row| {
        let (brought, within) = (brought_by(row.text("name")), row.number("within"));
        row.close("salt", brought.salt, within)?;
        row.close("sugar", brought.sugar, within)?;
        row.close("water", brought.water, within)
    });
}

#[test]
fn a_question_in_other_units_has_the_same_answer() {
    let scaled = |amount: &str, of: &str, meat: &str| {
        let [amount, of, meat] = [amount, of, meat].map(|text| parse::positive_mass(text).unwrap());
        Amount::For(amount, of).of(meat).as_grams()
    };
    let grams = scaled("3 g", "1 kg", "2.5 kg");
    approx::assert_relative_eq!(grams, 7.5, max_relative = 1e-12);
    approx::assert_relative_eq!(grams, scaled("3 g", "1 kg", "2,5 kg"), max_relative = 1e-12);
    // 0.048 oz in a pound is 3 g in a kilogram.
    approx::assert_relative_eq!(grams, scaled("0.048 oz", "1 lb", "2500 g"), max_relative = 1e-12);
    assert_eq!(parse::percent("2,5%"), parse::percent("2.5 %"));
}

fn offers() -> impl Strategy<Value = Vec<Offer>> {
    let offer = (0usize..34, prop::option::weighted(0.8, 50.0..3000.0f64));
    prop::collection::vec(offer, 1..6).prop_map(|list| {
        let offer = |(which, grams): (usize, Option<f64>)| Offer {
            parts: table().cut[which].parts(),
            there: grams.map(Mass::grams),
        };
        list.into_iter().map(offer).collect()
    })
}

proptest! {
    /// The fat of a mix is the mean of its cuts', and is the target; nothing is used that is not there.
    #[test]
    fn a_mix_hits_its_target(offers in offers(), percent in 3.0..80.0f64) {
        if let Ok(mix) = blend(&offers, Fraction::percent(percent)) {
            prop_assert!((mix.parts.fat.as_percent() - percent).abs() < 1e-6, "{}", mix.parts.fat.as_percent());
            let sum: f64 = mix.shares.iter().map(|share| share.used.as_grams()).sum();
            prop_assert!((sum - mix.total.as_grams()).abs() < 1e-6);
            for (offer, share) in offers.iter().zip(&mix.shares) {
                prop_assert!(share.used.as_grams() >= -1e-9);
                if let Some(there) = offer.there {
                    let kept = share.used.as_grams() + share.left_over.as_grams();
                    prop_assert!((kept - there.as_grams()).abs() < 1e-6);
                }
            }
        }
    }

    #[test]
    fn scaling_scales_every_figure(offers in offers(), percent in 3.0..80.0f64, by in 0.1..10.0f64) {
        let scaled: Vec<Offer> = offers
            .iter()
            .map(|offer| Offer { there: offer.there.map(|mass| Mass::grams(mass.as_grams() * by)), ..*offer })
            .collect();
        let (one, many) = (blend(&offers, Fraction::percent(percent)), blend(&scaled, Fraction::percent(percent)));
        prop_assert_eq!(one.is_ok(), many.is_ok());
        if let (Ok(one), Ok(many)) = (one, many) {
            prop_assert!((one.total.as_grams() * by - many.total.as_grams()).abs() < 1e-6 * many.total.as_grams());
        }
    }

    #[test]
    fn a_recipe_scales(part in 0.0..0.2f64, grams in 1.0..50.0f64, meat in 100.0..9000.0f64, by in 0.1..10.0f64) {
        for amount in [Amount::Part(Fraction::of_one(part)), Amount::For(Mass::grams(grams), Mass::grams(1000.0))] {
            let (one, many) = (amount.of(Mass::grams(meat)), amount.of(Mass::grams(meat * by)));
            prop_assert!((one.as_grams() * by - many.as_grams()).abs() < 1e-9 * (1.0 + many.as_grams()));
        }
    }

    #[test]
    fn a_casing_and_its_mix_invert(grams in 100.0..20_000.0f64, diameter in 15.0..120.0f64, allowance in 0.0..0.3f64) {
        let (diameter, allowance) = (Length::millimetres(diameter), Fraction::of_one(allowance));
        let metres = metres_for(Mass::grams(grams), diameter, DENSITY_KG_PER_L, allowance);
        let back = mass_in(Length::millimetres(metres * 1000.0), diameter, DENSITY_KG_PER_L, allowance);
        prop_assert!((back.as_grams() - grams).abs() < 1e-6 * grams);
        let piece = Length::millimetres(300.0);
        let (count, left) = pieces(Mass::grams(grams), piece, diameter, DENSITY_KG_PER_L);
        let each = 0.3 * grams_per_metre(diameter, DENSITY_KG_PER_L);
        prop_assert!((count as f64 * each + left.as_grams() - grams).abs() < 1e-6 * grams);
        prop_assert!(left.as_grams() < each * (1.0 + 1e-9));
    }

    /// The fat of a mix is the weighted mean of its cuts and the target itself, no more goes in than is there, and a
    /// target between the leanest and the fattest is always reached.
    #[test]
    fn a_target_between_leanest_and_fattest_is_reached(
        cuts in prop::collection::vec((1.0..90.0_f64, 50.0..5000.0_f64), 2..6),
        aim in 0.01..0.99_f64,
    ) {
        let offers: Vec<Offer> = cuts.iter().map(|(fat, grams)| Offer {
            parts: Parts { fat: Fraction::percent(*fat), ..parts("10072") },
            there: Some(Mass::grams(*grams)),
        }).collect();
        let leanest = cuts.iter().map(|cut| cut.0).fold(f64::INFINITY, f64::min);
        let fattest = cuts.iter().map(|cut| cut.0).fold(0.0, f64::max);
        let target = leanest + aim * (fattest - leanest);
        prop_assume!(target > leanest + 0.01 && target < fattest - 0.01);
        let mix = blend(&offers, Fraction::percent(target)).unwrap();
        let fat: f64 = mix.shares.iter().zip(&cuts).map(|(share, cut)| share.used.as_grams() * cut.0).sum();
        prop_assert!((fat / mix.total.as_grams() - target).abs() < 1e-6);
        prop_assert!((mix.parts.fat.as_percent() - target).abs() < 1e-6);
        for (share, (_, grams)) in mix.shares.iter().zip(&cuts) {
            prop_assert!(share.used.as_grams() >= 0.0 && share.used.as_grams() <= grams * (1.0 + 1e-12));
            prop_assert!((share.used.as_grams() + share.left_over.as_grams() - grams).abs() < 1e-6);
        }
    }

    /// Too little of a culture does harm and too much does none: its dose alone goes up, by less than a hundredth.
    #[test]
    fn a_culture_is_never_underdosed(packet in 0.1..100.0_f64, of in 500.0..500_000.0_f64, meat in 100.0..50_000.0_f64) {
        let exact = packet * meat / of;
        let given = dose(Mass::grams(packet), of, meat).as_grams();
        prop_assert!(given >= exact - 1e-9 && given < exact + 0.01 + 1e-9);
    }
}
