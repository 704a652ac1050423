//! Diffusion, and weights before and after salting, against series summed elsewhere and balances by hand.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::Level;
use tallyhook::curing::cure::{Method, Piece, Product, Shape, cure_time};
use tallyhook::curing::whole_muscle::{
    CourseStage, Muscle, Spread, Warmer, Weighed, days_until, fourier_at, in_the_centre, lean_to,
};
use tallyhook::quantity::{Fraction, Length, LengthUnit, Mass, MassUnit, Ph, Temperature, WaterActivity};

fn spread(word: &str) -> Spread {
    match word {
        "slab" => Spread::Slab,
        "cylinder" => Spread::Cylinder,
        _ => Spread::SlabHeld,
    }
}

#[test]
fn salt_in_the_middle_by_the_series() {
    reference::load("diffusion_centre.csv").each(|row| {
        let found = in_the_centre(spread(row.text("system")), row.number("fourier"));
        row.close("centre", found, 1e-9)
    });
}

#[test]
fn when_the_middle_has_its_salt() {
    for (file, tolerance) in [("diffusion_fourier.csv", 1e-8), ("diffusion_printed.csv", 0.000_051)] {
        reference::load(file).each(|row| {
            let part = row.number("percent") / 100.0;
            row.close("fourier", fourier_at(spread(row.text("system")), part), tolerance)
        });
    }
}

#[test]
fn days_by_diffusion_and_by_custom() {
    reference::load("cure_diffusion.csv").each(|row| {
        let thickness = Length::millimetres(row.number("thickness_mm"));
        for (name, system) in [("slab", Spread::Slab), ("cylinder", Spread::Cylinder)] {
            for (column, diffusivity) in [("2", 2e-10), ("3", 3e-10), ("5", 5e-10)] {
                let days = days_until(0.9, system, thickness, diffusivity);
                row.close(&format!("{name}_{column}"), days, 0.0501)?;
            }
        }
        row.close("slab_80", days_until(0.8, Spread::Slab, thickness, 3e-10), 0.0501)?;
        let custom = (7.0 * thickness.as_inches()).ceil();
        row.close("custom", custom, 0.0)?;
        row.close("lean", f64::from(lean_to(thickness, custom as u32)), 0.0)
    });
}

#[test]
fn what_two_weights_say() {
    reference::load("salting_weights.csv").each(|row| {
        let grams = |name| Mass::grams(row.number(name));
        let weighed = Weighed::new(grams("before"), grams("after")).map_err(|mistake| mistake.to_string())?;
        row.close("change", weighed.change().as_percent(), 0.005)?;
        let Some(salt) = row.optional_number("salt") else {
            let gain = weighed.pick_up().map_err(|mistake| mistake.to_string())?;
            return row.close("change", gain.as_percent(), 0.005);
        };
        let salting = weighed.with_salt(Mass::grams(salt)).map_err(|mistake| mistake.to_string())?;
        row.close("water_lost", salting.water_lost().as_grams(), 0.005)?;
        row.close("salt_now", salting.salt_now().as_percent(), 0.005)
    });
}

#[test]
fn impossible_weights_are_refused() {
    let of = |before, after| Weighed::new(Mass::grams(before), Mass::grams(after));
    for grams in [0.0, -1.0, f64::NAN, f64::INFINITY, 1_000_001.0] {
        assert!(of(grams, 1000.0).is_err() && of(1000.0, grams).is_err(), "{grams}");
    }
    assert!(of(1000.0, 1000.0).unwrap().pick_up().is_err());
    assert!(of(1000.0, 990.0).unwrap().pick_up().is_err());
    let lighter = of(1000.0, 990.0).unwrap();
    for grams in [-1.0, 301.0, f64::NAN] {
        assert!(lighter.with_salt(Mass::grams(grams)).is_err(), "{grams}");
    }
    assert!(of(1000.0, 1031.0).unwrap().with_salt(Mass::grams(30.0)).is_err());
}

#[test]
fn what_cannot_be_diffused_is_nothing() {
    for fourier in [-1.0, 0.0, f64::NAN] {
        assert!(in_the_centre(Spread::Slab, fourier).abs() < f64::EPSILON, "{fourier}");
    }
}

proptest! {
    /// More time never means less salt in the middle, and never more than there will be.
    #[test]
    fn the_middle_only_gains(system in 0..3_u8, first in 0.0..3.0_f64, more in 0.0..1.0_f64) {
        let spread = [Spread::Slab, Spread::Cylinder, Spread::SlabHeld][usize::from(system)];
        let (early, late) = (in_the_centre(spread, first), in_the_centre(spread, first + more));
        prop_assert!((0.0..=1.0).contains(&early) && late >= early - 1e-12);
    }

    /// A thicker piece never takes a shorter time, by diffusion or leaned to; the lean is never under the custom and
    /// never over twice of it.
    #[test]
    fn thicker_never_takes_shorter(thin in 5.0..300.0_f64, more in 0.0..100.0_f64, custom in 1..200_u32) {
        let (thin, thick) = (Length::millimetres(thin), Length::millimetres(thin + more));
        prop_assert!(days_until(0.9, Spread::Slab, thick, 2e-10) >= days_until(0.9, Spread::Slab, thin, 2e-10));
        prop_assert!(lean_to(thick, custom) >= lean_to(thin, custom));
        prop_assert!((custom..=2 * custom).contains(&lean_to(thin, custom)));
        prop_assert!(days_until(0.9, Spread::Cylinder, thin, 2e-10) < days_until(0.9, Spread::Slab, thin, 2e-10));
    }

    /// Meat and salt that went in are what is there and the water that is not.
    #[test]
    fn a_balance_closes(before in 50.0..20_000.0_f64, kept in 0.6..1.0_f64, dose in 0.0..0.3_f64) {
        let (meat, after) = (Mass::grams(before), Mass::grams(before * kept));
        let salt = Mass::grams(before * dose);
        let salting = Weighed::new(meat, after).unwrap().with_salt(salt).unwrap();
        let there = after.as_grams() + salting.water_lost().as_grams();
        prop_assert!((there - before - salt.as_grams()).abs() < 1e-6);
        prop_assert!(salting.salt_now().as_one() >= salting.salt_of_raw().as_one() - 1e-12);
    }
}

fn muscle(product: &str, nitrite: &str) -> Muscle {
    Muscle {
        product: Product::parse(product).unwrap(),
        with_nitrite: nitrite == "yes",
        stage: None,
        temperature: None,
        water_activity: None,
        salt: None,
        moisture: None,
        start_ph: None,
    }
}

#[test]
fn when_a_muscle_may_go_warmer() {
    reference::load("raw_ham.csv").each(|row| {
        let part = |name| row.optional_number(name).map(Fraction::percent);
        let piece = Muscle {
            water_activity: row.optional_number("aw").map(WaterActivity::new),
            salt: part("salt"),
            moisture: part("moisture"),
            start_ph: row.optional_number("ph").map(Ph::new),
            ..muscle(row.text("product"), row.text("nitrite"))
        };
        let course = piece.course().ok_or("a row is gone")?;
        let warmer = match course.warmer {
            Warmer::ByCustom => "custom",
            Warmer::Measured => "measured",
            Warmer::NotYet => "not_yet",
            Warmer::Unmeasured => "unmeasured",
        };
        let keeps = course.keeps_without_nitrite.map(|keeps| if keeps { "yes" } else { "no" });
        let dark = if course.is_dark { "yes" } else { "no" };
        let found = (warmer, keeps, dark);
        let printed = (row.text("warmer"), row.optional("keeps"), row.text("dark"));
        if found == printed { Ok(()) } else { Err(format!("computed {found:?}, printed {printed:?}")) }
    });
}

/// What a stage may have, in °C: salting and rest always the cold, drying only what was earned.
#[test]
fn how_warm_each_stage_may_be() {
    let most = |product, nitrite, stage, aw: Option<f64>| {
        let water_activity = aw.map(WaterActivity::new);
        let piece = Muscle { stage: Some(stage), water_activity, ..muscle(product, nitrite) };
        piece.course().unwrap().warmest.value
    };
    for stage in [CourseStage::Salting, CourseStage::Resting] {
        for (product, nitrite) in [("muscle", "yes"), ("ham", "yes"), ("muscle", "no"), ("ham", "no")] {
            assert_eq!(most(product, nitrite, stage, Some(0.90)), Some(4.0), "{product} {nitrite}");
        }
    }
    assert_eq!(most("muscle", "yes", CourseStage::Drying, None), Some(15.0));
    assert_eq!(most("ham", "yes", CourseStage::Drying, None), Some(4.0));
    assert_eq!(most("muscle", "no", CourseStage::Drying, Some(0.97)), Some(4.0));
    assert_eq!(most("ham", "yes", CourseStage::Drying, Some(0.95)), Some(25.0));
}

#[test]
fn a_temperature_is_as_loud_as_it_is_warm() {
    let level = |temperature| {
        let stage = Some(CourseStage::Resting);
        let piece = Muscle { stage, temperature: Some(temperature), ..muscle("ham", "yes") };
        piece.course().unwrap().findings.first().unwrap().level
    };
    assert_eq!(level(Temperature::celsius(4.0)), Level::None);
    assert_eq!(level(Temperature::celsius(5.0)), Level::Caution);
    assert_eq!(level(Temperature::fahrenheit(41.0)), Level::Caution);
    assert_eq!(level(Temperature::celsius(5.1)), Level::Warning);
}

proptest! {
    /// A drier core is never kept colder, and a warmer room is never quieter.
    #[test]
    fn drier_is_never_held_back(aw in 0.7..1.0_f64, less in 0.0..0.2_f64, celsius in -5.0..40.0_f64, more in 0.0..20.0_f64) {
        let of = |aw: f64, celsius: f64| {
            let piece = Muscle {
                stage: Some(CourseStage::Drying),
                water_activity: Some(WaterActivity::new(aw)),
                temperature: Some(Temperature::celsius(celsius)),
                ..muscle("ham", "yes")
            };
            let course = piece.course().unwrap();
            let most = course.warmest.value.unwrap();
            let id = course.warmest.id.clone();
            (most, course.findings.into_iter().find(|finding| finding.limit.id == id).unwrap().level)
        };
        prop_assert!(of(aw - less, celsius).0 >= of(aw, celsius).0);
        prop_assert!(of(aw, celsius + more).1 >= of(aw, celsius).1);
    }
}

proptest! {
    /// A thicker or heavier piece never takes a shorter time by custom, in whichever unit it was measured.
    #[test]
    fn a_bigger_piece_never_cures_shorter(
        thickness in 5.0..300.0_f64, thicker in 0.0..100.0_f64, grams in 100.0..15_000.0_f64, heavier in 0.0..5_000.0_f64,
        slab: bool, immersion: bool,
    ) {
        let shape = Some(if slab { Shape::Slab } else { Shape::Cylinder });
        let method = if immersion { Method::Immersion } else { Method::Dry };
        let day = chrono::NaiveDate::from_ymd_opt(2026, 11, 26).unwrap();
        let days = |thickness: Length, weight: Mass| {
            let piece = Piece { thickness, shape, method, weight: Some(weight) };
            cure_time(&piece, day).map(|time| time.days)
        };
        let of = |millimetres: f64, grams: f64| days(Length::millimetres(millimetres), Mass::grams(grams));
        if let (Ok(small), Ok(big)) = (of(thickness, grams), of(thickness + thicker, grams + heavier)) {
            prop_assert!(big >= small);
            let in_inches = Length::of(Length::millimetres(thickness).as_inches(), LengthUnit::Inch);
            let in_pounds = Mass::of(Mass::grams(grams).in_unit(MassUnit::Pound), MassUnit::Pound);
            prop_assert_eq!(days(in_inches, in_pounds), Ok(small));
        }
    }
}
