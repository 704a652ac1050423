//! Strength, density and volume of a brine against published tables, and what must hold for every brine.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::brine::{
    BrineError, Correction, SCALE_TEMPERATURE, for_water, kilograms_per_litre, of_brine, true_degrees,
    weight_of_pickle, what_it_shows,
};
use tallyhook::curing::cure::{
    Application, CureLabel, GreenWeight, Liquid, salometer_degrees, salt_after_injection, strength_at_degrees,
};
use tallyhook::quantity::{Fraction, Mass, MassUnit, Temperature, Volume, VolumeUnit};

#[test]
fn density_of_a_brine() {
    reference::load("brine_density.csv").each(|row| {
        let strength = Fraction::percent(row.number("percent"));
        let temperature = Temperature::celsius(row.number("celsius"));
        let found = kilograms_per_litre(strength, temperature).map_err(|mistake| mistake.to_string())?;
        row.close("density", found, row.number("tolerance"))
    });
}

#[test]
fn a_salometer_in_warm_and_in_cold_brine() {
    reference::load("salometer_temperature.csv").each(|row| {
        let temperature = Temperature::fahrenheit(row.number("fahrenheit"));
        let (degrees, _) =
            true_degrees(row.number("reading"), temperature).map_err(|mistake| mistake.to_string())?;
        row.close("degrees", degrees, row.number("tolerance"))
    });
}

#[test]
fn salt_for_a_volume_of_water() {
    reference::load("brine_volume.csv").each(|row| {
        let unit = match row.text("unit") {
            "US gal" => VolumeUnit::UsGallon,
            "imperial gal" => VolumeUnit::ImperialGallon,
            _ => VolumeUnit::Litre,
        };
        let volume = Volume::of(row.number("volume"), unit);
        let strength = strength_at_degrees(row.number("degrees"));
        let mixture =
            for_water(volume, strength, SCALE_TEMPERATURE).map_err(|mistake| mistake.to_string())?;
        row.close("salt_lb", mixture.salt.in_unit(MassUnit::Pound), row.number("tolerance"))
    });
}

/// The regulation's "10 lb to a gallon" is a brine near saturation; plain water makes 239.7 of its 200.
#[test]
fn a_gallon_of_pickle_weighs_what_its_salt_makes_it() {
    let gallon = Volume::of(1.0, VolumeUnit::UsGallon);
    let pounds = |salt: f64| {
        let weight = weight_of_pickle(gallon, Mass::of(salt, MassUnit::Pound), SCALE_TEMPERATURE);
        weight.unwrap().in_unit(MassUnit::Pound)
    };
    assert!((pounds(0.0) - 8.337).abs() < 0.002);
    // 15.837 % at 1.1170 kg/l (Poradnik fizykochemiczny, 1974, read between 14 and 16 %, 15 and 20 °C) is 9.322 lb.
    assert!((pounds(0.158_37 * 9.322) - 9.322).abs() < 0.006);
    let full = weight_of_pickle(gallon, Mass::of(2.6, MassUnit::Pound), SCALE_TEMPERATURE);
    assert_eq!(full, Err(BrineError::TooMuchSalt));
}

#[test]
fn what_is_no_brine_is_refused() {
    let litre = Volume::litres(1.0);
    for percent in [0.0, -1.0, 26.4, 50.0, 100.0, f64::NAN, f64::INFINITY] {
        let strength = Fraction::percent(percent);
        assert!(for_water(litre, strength, SCALE_TEMPERATURE).is_err(), "{percent}");
        assert!(of_brine(litre, strength, SCALE_TEMPERATURE).is_err(), "{percent}");
        assert!(what_it_shows(strength, SCALE_TEMPERATURE).is_err(), "{percent}");
    }
    for degrees in [0.0, -1.0, 100.1, f64::NAN] {
        assert!(true_degrees(degrees, SCALE_TEMPERATURE).is_err(), "{degrees}");
    }
    for litres in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let volume = Volume::litres(litres);
        let strength = Fraction::percent(10.0);
        assert_eq!(for_water(volume, strength, SCALE_TEMPERATURE), Err(BrineError::Volume), "{litres}");
        assert_eq!(of_brine(volume, strength, SCALE_TEMPERATURE), Err(BrineError::Volume), "{litres}");
    }
    // Water that is full can still be measured out; the finished brine is beyond the densities.
    let full = Fraction::percent(26.395);
    assert!(for_water(litre, full, SCALE_TEMPERATURE).is_ok());
    assert_eq!(of_brine(litre, full, SCALE_TEMPERATURE), Err(BrineError::BeyondDensities));
    // 99.5 degrees read at 80 °F would be more than full.
    assert!(true_degrees(99.5, Temperature::fahrenheit(80.0)).is_err());
}

#[test]
fn the_scale_needs_no_correction_at_its_own_temperature() {
    assert_eq!(true_degrees(60.0, Temperature::fahrenheit(60.0)), Ok((60.0, Correction::None)));
    let (_, warm) = true_degrees(60.0, Temperature::celsius(20.0)).unwrap();
    let (_, cold) = true_degrees(60.0, Temperature::celsius(4.0)).unwrap();
    assert_eq!((warm, cold), (Correction::Published, Correction::ByDensity));
}

proptest! {
    /// Degrees and percent are one figure in two words.
    #[test]
    fn a_salometer_inverts(degrees in 0.01..100.0_f64) {
        let back = salometer_degrees(strength_at_degrees(degrees));
        prop_assert!((back - degrees).abs() < 1e-9);
    }

    /// What it shows, corrected, is what there is.
    #[test]
    fn a_reading_and_its_correction_undo_each_other(degrees in 8.0..75.0_f64, celsius in 0.0..40.0_f64) {
        let temperature = Temperature::celsius(celsius);
        let (shown, _) = what_it_shows(strength_at_degrees(degrees), temperature).unwrap();
        let (back, _) = true_degrees(shown, temperature).unwrap();
        prop_assert!((back - degrees).abs() < 1e-6, "{degrees} became {back}");
    }

    /// Warm brine sinks the stem, cold brine lifts it.
    #[test]
    fn the_correction_points_the_right_way(degrees in 8.0..75.0_f64, celsius in 0.0..40.0_f64) {
        let (corrected, _) = true_degrees(degrees, Temperature::celsius(celsius)).unwrap();
        let warmer = celsius - SCALE_TEMPERATURE.as_celsius();
        prop_assert!((corrected - degrees) * warmer >= -1e-6);
    }

    /// The same volume in litres and in both gallons asks for the same salt.
    #[test]
    fn litres_and_gallons_agree(litres in 0.1..500.0_f64, percent in 0.5..22.0_f64) {
        let strength = Fraction::percent(percent);
        let by = |unit: VolumeUnit| {
            let volume = Volume::of(Volume::litres(litres).in_unit(unit), unit);
            let water = for_water(volume, strength, SCALE_TEMPERATURE).unwrap().salt.as_grams();
            (water, of_brine(volume, strength, SCALE_TEMPERATURE).unwrap().salt.as_grams())
        };
        let (water, brine) = by(VolumeUnit::Litre);
        for unit in [VolumeUnit::Millilitre, VolumeUnit::UsGallon, VolumeUnit::ImperialGallon] {
            let (same_water, same_brine) = by(unit);
            prop_assert!((same_water - water).abs() < 1e-9 * water && (same_brine - brine).abs() < 1e-9 * brine);
        }
    }

    /// Both ways of making it come to the same strength; and salt makes more than the water it went into.
    #[test]
    fn a_mixture_has_the_strength_that_was_asked_for(litres in 0.1..500.0_f64, percent in 0.5..22.0_f64) {
        let strength = Fraction::percent(percent);
        let volume = Volume::litres(litres);
        let to_water = for_water(volume, strength, SCALE_TEMPERATURE).unwrap();
        let finished = of_brine(volume, strength, SCALE_TEMPERATURE).unwrap();
        for mixture in [to_water, finished] {
            let found = mixture.salt.as_grams() / mixture.brine().as_grams();
            prop_assert!((found - strength.as_one()).abs() < 1e-9);
        }
        prop_assert!(to_water.salt > finished.salt && to_water.water > finished.water);
        let weight = weight_of_pickle(volume, finished.salt, SCALE_TEMPERATURE).unwrap();
        prop_assert!((weight.as_grams() / finished.brine().as_grams() - 1.0).abs() < 1e-9);
    }
}

/// Old recipes from the books: the pickle's weight from its gallons, then the nitrite it brings.
#[test]
fn old_recipes_by_the_gallon() {
    reference::load("old_recipes.csv").each(|row| {
        let pounds = |name: &str| Mass::of(row.optional_number(name).unwrap_or(0.0), MassUnit::Pound);
        let nitrite = Fraction::percent(row.number("nitrite_percent"));
        let label = CureLabel::new(nitrite, Fraction::percent(0.0)).map_err(|mistake| mistake.to_string())?;
        let cure = pounds("cure_lb");
        let pickle = match row.optional_number("water_gal") {
            Some(gallons) => {
                let water = Volume::of(gallons, VolumeUnit::UsGallon);
                let water = weight_of_pickle(water, Mass::grams(0.0), SCALE_TEMPERATURE);
                let solutes = pounds("salt_lb") + pounds("sugar_lb") + cure;
                water.map_err(|mistake| mistake.to_string())? + solutes
            }
            None => pounds("pickle_lb"),
        };
        let application = if let Some(pump) = row.optional_number("pump_percent") {
            Application::Pumped { pickle, pump: Fraction::percent(pump) }
        } else {
            let meat = GreenWeight::of(pounds("meat_lb"));
            Application::Equilibrium { meat, liquid: Liquid::Pickle(pickle) }
        };
        let ingoing = application.ingoing(cure, &label).map_err(|mistake| mistake.to_string())?;
        row.close("mg_per_kg", ingoing.nitrite_as_sodium_nitrite().mg_per_kg(), row.number("tolerance"))
    });
}

proptest! {
    /// In balance meat and brine hold the same: never more than the brine had, and more meat never makes it more.
    #[test]
    fn balance_is_never_above_the_brine(
        meat in 100.0..50_000.0_f64, pickle in 100.0..50_000.0_f64, part in 0.0001..0.2_f64, more in 0.0..5_000.0_f64,
    ) {
        let label = CureLabel::new(Fraction::percent(6.25), Fraction::percent(0.0)).unwrap();
        let cure = Mass::grams(pickle * part);
        let at = |meat: f64| {
            let meat = GreenWeight::of(Mass::grams(meat));
            let liquid = Liquid::Pickle(Mass::grams(pickle));
            let ingoing = Application::Equilibrium { meat, liquid }.ingoing(cure, &label).unwrap();
            ingoing.nitrite_as_sodium_nitrite().mg_per_kg()
        };
        let in_brine = part * 0.0625 * 1e6;
        prop_assert!(at(meat) < in_brine && at(meat + more) <= at(meat) * (1.0 + 1e-12));
    }
}

#[test]
fn salt_in_pumped_meat() {
    reference::load("pumped_salt.csv").each(|row| {
        let part = |name| Fraction::percent(row.number(name));
        let found = salt_after_injection(part("pump_percent"), part("brine_percent"));
        row.close("meat_percent", found.as_percent(), 0.000_051)
    });
}
