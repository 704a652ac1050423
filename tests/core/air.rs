//! Moist air against independent libraries and published targets.

use crate::reference::{self, Row};
use proptest::prelude::*;
use tallyhook::curing::air::{Advice, MoistAir, Remark, RoomStage, Surface, saturation};
use tallyhook::quantity::{Pressure, RelativeHumidity, Temperature, WaterActivity, parse};

fn air(celsius: f64, percent: f64) -> MoistAir {
    MoistAir::new(Temperature::celsius(celsius), RelativeHumidity::percent(percent), None).unwrap()
}

fn of_row(row: &Row) -> MoistAir {
    air(row.number("temperature_c"), row.number("humidity_percent"))
}

#[test]
fn saturation_over_water_and_ice() {
    reference::load("saturation_pressure.csv").each(|row| {
        let pressure = saturation::pressure(Temperature::celsius(row.number("temperature_c")));
        row.close("saturation_pa", pressure.ok_or("no pressure")?.as_pascals(), 0.000_05)
    });
}

#[test]
fn moist_air_by_the_handbook_of_fundamentals() {
    reference::load("moist_air.csv").each(|row| {
        let air = of_row(row);
        row.close("saturation_pa", air.saturation().as_pascals(), 0.005)?;
        row.close("vapour_pa", air.vapour().as_pascals(), 0.005)?;
        row.close("dew_point_c", air.dew_point().as_celsius(), 0.002)?;
        row.close("deficit_pa", air.deficit().as_pascals(), 0.005)?;
        row.close("humidity_ratio_g_kg", air.grams_per_kilogram_dry(), 0.000_05)
    });
}

#[test]
fn moist_air_as_a_real_gas() {
    reference::load("moist_air_real_gas.csv").each(|row| {
        let air = of_row(row);
        let part = |name: &str, computed: f64, of: f64| row.close(name, computed, of * row.number(name));
        part("saturation_pa", air.saturation().as_pascals(), 3e-4)?;
        row.close("dew_point_c", air.dew_point().as_celsius(), 0.012)?;
        part("humidity_ratio_g_kg", air.grams_per_kilogram_dry(), 6e-3)?;
        part("grams_per_m3", air.grams_per_cubic_metre(), 6e-3)
    });
}

#[test]
fn a_cold_piece_sweats_in_a_warm_room() {
    reference::load("sweating.csv").each(|row| {
        let surface = Surface::new(Temperature::celsius(row.number("piece_c"))).unwrap();
        row.close("dew_point_c", of_row(row).dew_point().as_celsius(), 0.05)?;
        let wets = if of_row(row).wets(surface) { "yes" } else { "no" };
        if wets == row.text("wets") { Ok(()) } else { Err(format!("wets: computed {wets}")) }
    });
}

#[test]
fn textbook_targets_and_remarks() {
    reference::load("room_humidity.csv").each(|row| {
        let activity = row.optional_number("activity").map(WaterActivity::new);
        let stage = row.optional("stage").and_then(RoomStage::parse);
        let advice = Advice::of(air(13.0, row.number("humidity_percent")), activity, stage);
        if row.optional("low_percent").is_some() {
            let target = advice.targets.first().ok_or("no target")?;
            row.close("low_percent", target.low_percent, 1e-9)?;
            row.close("high_percent", target.high_percent, 1e-9)?;
        }
        let remark = match advice.remarks.first() {
            None => "none",
            Some(Remark::NoDrying { .. }) => "no_drying",
            Some(Remark::DryRoom { .. }) => "dry_room",
            Some(Remark::DryFirstWeek { .. }) => "dry_first_week",
        };
        if remark == row.text("remark") { Ok(()) } else { Err(format!("remark: computed {remark}")) }
    });
}

#[test]
fn the_drive_is_the_difference_of_the_two_pressures() {
    // By hand from the saturation pressures of the reference: 0.95 × 1402.59 − 0.80 × 1497.81 = 134.21 Pa.
    let surface = Surface::new(Temperature::celsius(12.0)).unwrap();
    let drive = air(13.0, 80.0).drive(surface, WaterActivity::new(0.95)).unwrap().unwrap();
    assert!((drive.as_pascals() - 134.21).abs() < 0.02, "{drive:?}");
}

proptest! {
    /// Saturated at the dew point: what is in the air at one is what fills it at the other.
    #[test]
    fn the_dew_point_inverts_the_humidity(tenths in 0u32..=600, percent in 1u32..=100) {
        let air = air(f64::from(tenths) / 10.0, f64::from(percent));
        let at_dew_point = saturation::pressure(air.dew_point()).unwrap().as_pascals();
        prop_assert!((at_dew_point / air.vapour().as_pascals() - 1.0).abs() < 1e-9);
        prop_assert!(air.dew_point().as_celsius() <= air.temperature().as_celsius() + 1e-9);
    }

    /// Saturation pressure to temperature and back.
    #[test]
    fn saturation_there_and_back(celsius in -100.0f64..200.0) {
        let pressure = saturation::pressure(Temperature::celsius(celsius)).unwrap();
        let back = saturation::temperature(pressure).unwrap();
        prop_assert!((back.as_celsius() - celsius).abs() < 1e-9);
    }

    /// Damper air: a higher dew point, a smaller deficit, less drive.
    #[test]
    fn damper_air_takes_less(celsius in 0.0f64..60.0, percent in 1.0f64..99.0) {
        let (dry, damp) = (air(celsius, percent), air(celsius, percent + 1.0));
        prop_assert!(dry.dew_point().as_celsius() < damp.dew_point().as_celsius());
        prop_assert!(dry.deficit().as_pascals() > damp.deficit().as_pascals());
        let surface = Surface::new(Temperature::celsius(celsius)).unwrap();
        let drive = |air: MoistAir| air.drive(surface, WaterActivity::new(0.9)).unwrap().unwrap().as_pascals();
        prop_assert!(drive(dry) > drive(damp));
    }

    /// The same question in °C and °F, with point and comma, in hPa and kPa.
    #[test]
    fn the_same_air_in_every_unit(tenths in 0u32..=400, percent in 1u32..=100, hectopascals in 700u32..=1100) {
        let celsius = f64::from(tenths) / 10.0;
        let fahrenheit = format!("{:.2} F", celsius * 1.8 + 32.0);
        let of = |temperature: &str, humidity: &str, pressure: &str| {
            let temperature = parse::temperature(temperature).unwrap();
            let humidity = parse::relative_humidity(humidity).unwrap();
            MoistAir::new(temperature, humidity, Some(parse::pressure(pressure).unwrap())).unwrap()
        };
        let one = of(&format!("{celsius:.1} C"), &format!("{percent}.0 %"), &format!("{hectopascals} hPa"));
        let kilopascals = format!("{},{} kPa", hectopascals / 10, hectopascals % 10);
        let other = of(&fahrenheit.replace('.', ","), &format!("{percent},0%"), &kilopascals);
        prop_assert!((one.dew_point().as_celsius() - other.dew_point().as_celsius()).abs() < 1e-9);
        prop_assert!((one.grams_per_kilogram_dry() / other.grams_per_kilogram_dry() - 1.0).abs() < 1e-9);
        prop_assert!((one.vapour().as_pascals() / other.vapour().as_pascals() - 1.0).abs() < 1e-9);
    }
}

#[test]
fn thin_air_holds_more_water_for_each_kilogram() {
    let thin = Some(Pressure::pascals(84_000.0));
    let high = MoistAir::new(Temperature::celsius(13.0), RelativeHumidity::percent(80.0), thin).unwrap();
    // By hand: 1000 × 0.621945 × 1198.25 / (84000 − 1198.25) = 9.000 g/kg; vapour 0.80 × 1497.81 Pa.
    assert!((high.grams_per_kilogram_dry() - 9.000).abs() < 0.002);
    assert!((high.dew_point().as_celsius() - air(13.0, 80.0).dew_point().as_celsius()).abs() < 1e-12);
}
