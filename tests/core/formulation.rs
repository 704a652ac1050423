//! Mixes, ingredients and casings against worked figures; and what must hold for every mix.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::composition::{self, Found, Parts};
use tallyhook::curing::formulation::blend::{BlendError, Offer, blend};
use tallyhook::curing::formulation::casing::{
    DENSITY_KG_PER_L, grams_per_metre, mass_in, metres_for, pieces,
};
use tallyhook::curing::formulation::culture::dose;
use tallyhook::curing::formulation::ingredient::{Amount, brought_by};
use tallyhook::quantity::{Fraction, Length, Mass, parse};

fn parts(ndb: &str) -> Parts {
    match composition::find(ndb) {
        Found::One(cut) => cut.parts(),
        other => panic!("{ndb}: {other:?}"),
    }
}

fn there(ndb: &str, grams: f64) -> Offer {
    Offer { parts: parts(ndb), there: Some(Mass::grams(grams)) }
}

#[test]
fn a_metre_of_casing_holds_what_the_table_says() {
    reference::load("casing_mass_per_metre.csv").each(|row| {
        let diameter = Length::millimetres(row.number("diameter_mm"));
        row.close("kg_per_metre", grams_per_metre(diameter, DENSITY_KG_PER_L) / 1000.0, 0.005)
    });
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
fn what_cannot_be_reached_names_what_can() {
    let lean = [there("17164", 1000.0), there("10072", 500.0)];
    let fattest = Fraction::percent(7.14);
    assert_eq!(blend(&lean, Fraction::percent(25.0)), Err(BlendError::AllLeaner { fattest }));
    let fat = [there("10004", 1000.0), there("10005", 500.0)];
    let leanest = Fraction::percent(53.01);
    assert_eq!(blend(&fat, Fraction::percent(25.0)), Err(BlendError::AllFatter { leanest }));
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

proptest! {
    #[test]
    fn scaling_a_recipe_scales_every_figure(part in 0.01..20.0_f64, meat in 10.0..50_000.0_f64, by in 0.01..100.0_f64) {
        for amount in [Amount::Part(Fraction::percent(part)), Amount::For(Mass::grams(part), Mass::grams(1000.0))] {
            let one = amount.of(Mass::grams(meat)).as_grams();
            let other = amount.of(Mass::grams(meat * by)).as_grams();
            prop_assert!((other - one * by).abs() <= 1e-9 * other);
        }
    }

    /// The fat of a mix is the weighted mean of its cuts and the target itself, no more goes in than is there, and a
    /// target between the leanest and the fattest is always reached.
    #[test]
    fn a_mix_hits_its_target(
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

    #[test]
    fn a_mix_of_twice_as_much_uses_twice_as_much(lean in 100.0..5000.0_f64, fat in 100.0..5000.0_f64, target in 10.0..80.0_f64) {
        let mix = |by: f64| blend(&[there("10072", lean * by), there("10004", fat * by)], Fraction::percent(target)).unwrap();
        let (one, two) = (mix(1.0), mix(2.0));
        prop_assert!((two.total.as_grams() - 2.0 * one.total.as_grams()).abs() < 1e-6);
    }

    #[test]
    fn length_and_mass_of_a_casing_invert(
        grams in 50.0..50_000.0_f64, diameter in 10.0..200.0_f64, density in 0.8..1.3_f64, allowance in 0.0..50.0_f64,
    ) {
        let (diameter, allowance) = (Length::millimetres(diameter), Fraction::percent(allowance));
        let metres = metres_for(Mass::grams(grams), diameter, density, allowance);
        let back = mass_in(Length::millimetres(metres * 1000.0), diameter, density, allowance);
        prop_assert!((back.as_grams() - grams).abs() <= 1e-9 * grams);
    }

    #[test]
    fn pieces_and_the_rest_are_the_mix(grams in 50.0..50_000.0_f64, diameter in 10.0..200.0_f64, piece in 50.0..1000.0_f64) {
        let (diameter, piece) = (Length::millimetres(diameter), Length::millimetres(piece));
        let (count, left) = pieces(Mass::grams(grams), piece, diameter, DENSITY_KG_PER_L);
        let each = piece.as_millimetres() / 1000.0 * grams_per_metre(diameter, DENSITY_KG_PER_L);
        #[expect(clippy::cast_precision_loss, reason = "a count of sausages")]
        let whole = count as f64 * each;
        prop_assert!((whole + left.as_grams() - grams).abs() < 1e-6 && left.as_grams() < each * (1.0 + 1e-9));
    }

    /// Too little of a culture does harm and too much does none: its dose alone goes up, by less than a hundredth.
    #[test]
    fn a_culture_is_never_underdosed(packet in 0.1..100.0_f64, of in 500.0..500_000.0_f64, meat in 100.0..50_000.0_f64) {
        let exact = packet * meat / of;
        let given = dose(Mass::grams(packet), Mass::grams(of), Mass::grams(meat)).as_grams();
        prop_assert!(given >= exact - 1e-9 && given < exact + 0.01 + 1e-9);
    }
}
