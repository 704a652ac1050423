//! pH meters in their buffers against published tables and a laboratory's slope sheet.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::fermentation::trust::{Trust, judge_meter};
use tallyhook::curing::meter::{Buffer, Electrode, Judged, electrode, leaned_on};
use tallyhook::quantity::{Ph, Temperature, Voltage, parse};
use tallyhook::record::EventId;
use tallyhook::record::meter::{BufferPoint, Kept, MeterCheck, Shown};

fn buffers(file: &str, family: &str, nominals: &[&str]) {
    reference::load(file).each(|row| {
        let temperature = Temperature::celsius(row.number("temperature_c"));
        for nominal in nominals {
            let buffer = Buffer::parse(&format!("{nominal} {family}"), None).map_err(|e| e.to_string())?;
            row.close(nominal, buffer.at(temperature).map_err(|e| e.to_string())?.value(), 1e-9)?;
        }
        Ok(())
    });
}

#[test]
fn buffers_at_temperature() {
    buffers("buffers_standard.csv", "standard", &["4.00", "6.86", "9.18", "1.68"]);
    buffers("buffers_technical.csv", "technical", &["4.00", "7.00", "10.01"]);
}

#[test]
fn the_phthalate_buffer_follows_its_published_formula() {
    // Hetzer et al. (1977), J. Res. NBS 81A, abstract: the formula for 0 to 60 °C; the table lies 0.001 to 0.005 under
    // it, "on the average by 0.003".
    let buffer = Buffer::parse("4.00 standard", None).unwrap();
    for celsius in 0..=50 {
        let kelvin = f64::from(celsius) + 273.15;
        let formula = 2073.44 / kelvin - 13.3270 + 0.045_199 * kelvin - 3.4846e-5 * kelvin * kelvin;
        let tabled = buffer.at(Temperature::celsius(f64::from(celsius))).unwrap().value();
        assert!((0.0..=0.006).contains(&(formula - tabled)), "{celsius} °C: {formula} {tabled}");
    }
}

#[test]
fn the_ideal_electrode() {
    reference::load("electrode_slope.csv").each(|row| {
        let temperature = Temperature::celsius(row.number("temperature_c"));
        row.close("millivolts_per_ph", electrode::nernst_millivolts(temperature), 0.005)
    });
}

fn point(ph: f64, millivolts: f64) -> BufferPoint {
    BufferPoint { buffer: Ph::new(ph), shown: Shown::Millivolts(Voltage::millivolts(millivolts)) }
}

#[test]
fn slopes_offsets_and_trust() {
    reference::load("electrode_checks.csv").each(|row| {
        let check = MeterCheck {
            temperature: Temperature::celsius(row.number("temperature_c")),
            points: vec![
                point(row.number("upper_ph"), row.number("upper_mv")),
                point(row.number("lower_ph"), row.number("lower_mv")),
            ],
            said_slope_percent: None,
        };
        let judged = Judged::of(&check).map_err(|mistake| mistake.to_string())?;
        let found = judged.electrode().ok_or("no electrode")?;
        row.close("mv_per_ph", found.millivolts_per_ph, 0.005)?;
        let tolerance = if row.text("id") == "L1" { 0.05 } else { 0.005 };
        row.close("slope_percent", found.slope_percent, tolerance)?;
        row.close("offset_mv", found.offset.as_millivolts(), 0.005)?;
        let at = chrono::DateTime::UNIX_EPOCH;
        let calibration =
            leaned_on(&[Kept { event: EventId(1), at, check }], at).ok_or("nothing leaned on")?;
        let trust = match judge_meter(&calibration).0 {
            Trust::Full => "full",
            Trust::Usable => "usable",
            Trust::Doubtful => "doubtful",
            Trust::Strip => "strip",
            Trust::Rejected => "rejected",
        };
        if trust == row.text("trust") { Ok(()) } else { Err(format!("trust: computed {trust}")) }
    });
}

proptest! {
    /// An electrode of slope 100 % and no offset gives the ideal reading in every buffer.
    #[test]
    fn a_full_slope_gives_the_ideal_reading(celsius in 0.0f64..=50.0, ph in 1.0f64..=13.0) {
        let temperature = Temperature::celsius(celsius);
        let ideal = |ph: f64| -electrode::nernst_millivolts(temperature) * (ph - 7.0);
        let of = |ph: f64| (Ph::new(ph), Voltage::millivolts(ideal(ph)));
        let found = Electrode::of(of(4.0), of(7.02), temperature);
        prop_assert!((found.slope_percent - 100.0).abs() < 1e-9);
        prop_assert!(found.offset.as_millivolts().abs() < 1e-9);
        prop_assert!((found.at(Ph::new(ph)).as_millivolts() - ideal(ph)).abs() < 1e-9);
    }

    /// The line goes through both buffers, whichever is named first.
    #[test]
    fn the_line_goes_through_both_buffers(offset in -40.0f64..40.0, slope in 40.0f64..70.0, celsius in 0.0f64..50.0) {
        let at = |ph: f64| (Ph::new(ph), Voltage::millivolts(offset - slope * (ph - 7.0)));
        let temperature = Temperature::celsius(celsius);
        let one = Electrode::of(at(4.0), at(7.0), temperature);
        let other = Electrode::of(at(7.0), at(4.0), temperature);
        prop_assert!((one.slope_percent - other.slope_percent).abs() < 1e-9);
        for ph in [4.0, 7.0] {
            prop_assert!((one.at(Ph::new(ph)).as_millivolts() - at(ph).1.as_millivolts()).abs() < 1e-9);
        }
    }

    /// The same electrode in mV and V, with point and comma.
    #[test]
    fn the_same_voltage_in_every_unit(tenths in -20_000i32..=20_000) {
        let millivolts = f64::from(tenths) / 10.0;
        let shown = format!("{millivolts:.1} mV");
        let volts = format!("{:.4} V", millivolts / 1000.0);
        for text in [shown.clone(), shown.replace('.', ","), volts.clone(), volts.replace('.', ",")] {
            let read = parse::voltage(&text).unwrap().as_millivolts();
            prop_assert!((read - millivolts).abs() < 1e-9, "{text}: {read}");
        }
    }

    /// The same buffer in °C and °F; between two rows it lies between them.
    #[test]
    fn the_same_buffer_in_both_scales(tenths in 0u32..=500) {
        let celsius = f64::from(tenths) / 10.0;
        let buffer = Buffer::parse("6.86", None).unwrap();
        let one = buffer.at(Temperature::celsius(celsius)).unwrap().value();
        let degrees = (celsius * 1.8 + 32.0).clamp(32.0, 122.0);
        let other = buffer.at(Temperature::fahrenheit(degrees)).unwrap().value();
        prop_assert!((one - other).abs() < 1e-9);
        prop_assert!((6.833..=6.981).contains(&one));
    }
}
