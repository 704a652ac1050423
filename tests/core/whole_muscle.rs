//! Diffusion, and weights before and after salting, against series summed elsewhere and balances by hand.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::whole_muscle::{Spread, Weighed, days_until, fourier_at, in_the_centre, lean_to};
use tallyhook::quantity::{Length, Mass};

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
