//! Salt jars against published tables, and the correction that follows from them.

use crate::reference;
use chrono::DateTime;
use proptest::prelude::*;
use tallyhook::curing::hygrometer::{Correction, Salt};
use tallyhook::quantity::{RelativeHumidity, Temperature};
use tallyhook::record::meter::{HygrometerCheck, SaltPoint};

fn jars(file: &str, tolerance: f64) {
    reference::load(file).each(|row| {
        let salt = Salt::parse(row.text("salt")).map_err(|mistake| mistake.to_string())?;
        let at = salt.at(Temperature::celsius(row.number("temperature_c"))).map_err(|e| e.to_string())?;
        row.close("humidity_percent", at.as_percent(), tolerance)
    });
}

#[test]
fn jars_at_temperature() {
    jars("salt_jars.csv", 0.012);
    jars("salt_jars_conservation.csv", 0.06);
}

#[test]
fn no_jar_claims_to_be_better_than_its_table() {
    reference::load("salt_jars.csv").each(|row| {
        let salt = Salt::parse(row.text("salt")).map_err(|mistake| mistake.to_string())?;
        let published = row.number("uncertainty");
        if salt.uncertainty >= published {
            Ok(())
        } else {
            Err(format!("{} under {published}", salt.uncertainty))
        }
    });
}

fn jar(salt: &str, celsius: f64, shown: f64) -> SaltPoint {
    let temperature = Temperature::celsius(celsius);
    let reference = Salt::parse(salt).unwrap().at(temperature).unwrap();
    SaltPoint { salt: salt.into(), temperature, reference, shown: RelativeHumidity::percent(shown) }
}

fn correction(points: Vec<SaltPoint>) -> Correction {
    Correction::of(&HygrometerCheck { points }, DateTime::UNIX_EPOCH).unwrap()
}

fn apply(correction: &Correction, shown: f64) -> f64 {
    correction.apply(RelativeHumidity::percent(shown), DateTime::UNIX_EPOCH).corrected.as_percent()
}

#[test]
fn a_worked_correction() {
    // By hand at 20 °C: NaCl has 75.48, KCl 85.11. Shown 72 and 80: gain (85.11 − 75.48) / 8 = 1.204; shown 76 is
    // 75.48 + 4 × 1.204 = 80.30.
    let two = correction(vec![jar("NaCl", 20.0, 72.0), jar("KCl", 20.0, 80.0)]);
    assert!((two.gain().unwrap() - 1.204).abs() < 0.001);
    assert!((apply(&two, 76.0) - 80.30).abs() < 0.01);
    // One jar: 72 shown for 75.48, so 80 is 83.48.
    let one = correction(vec![jar("NaCl", 20.0, 72.0)]);
    assert!((apply(&one, 80.0) - 83.48).abs() < 0.01);
}

proptest! {
    /// Two jars: both come back, and between them the correction only rises.
    #[test]
    fn two_points_reproduce_both_jars(celsius in 0.0f64..=50.0, low_off in -6.0f64..6.0, high_off in -6.0f64..6.0) {
        let (low, high) = (jar("MgCl2", celsius, 0.0), jar("NaCl", celsius, 0.0));
        let (low_is, high_is) = (low.reference.as_percent(), high.reference.as_percent());
        let two = correction(vec![
            SaltPoint { shown: RelativeHumidity::percent(high_is + high_off), ..high },
            SaltPoint { shown: RelativeHumidity::percent(low_is + low_off), ..low },
        ]);
        prop_assert!((apply(&two, low_is + low_off) - low_is).abs() < 1e-9);
        prop_assert!((apply(&two, high_is + high_off) - high_is).abs() < 1e-9);
        let mut last = f64::MIN;
        for step in 0..=20 {
            let shown = low_is + low_off + f64::from(step) / 20.0 * (high_is + high_off - low_is - low_off);
            let corrected = apply(&two, shown);
            prop_assert!(corrected >= last - 1e-9);
            last = corrected;
        }
    }

    /// A hygrometer that reads its jars right is left as it is, inside its reach.
    #[test]
    fn a_right_hygrometer_is_left_alone(celsius in 0.0f64..=50.0, shown in 61.0f64..=99.0) {
        let right = |salt| {
            let jar = jar(salt, celsius, 0.0);
            SaltPoint { shown: jar.reference, ..jar }
        };
        prop_assert!((apply(&correction(vec![right("NaCl"), right("KCl")]), shown) - shown).abs() < 1e-9);
    }

    /// The same jar in °C and °F.
    #[test]
    fn the_same_jar_in_both_scales(tenths in 1u32..500) {
        let celsius = f64::from(tenths) / 10.0;
        for salt in Salt::all() {
            let one = salt.at(Temperature::celsius(celsius)).unwrap().as_percent();
            let other = salt.at(Temperature::fahrenheit(celsius * 1.8 + 32.0)).unwrap().as_percent();
            prop_assert!((one - other).abs() < 1e-9);
        }
    }
}
