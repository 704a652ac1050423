//! Quantities against the definitions of their units, and what must hold for every text and every number.

use proptest::prelude::*;
use tallyhook::quantity::format;
use tallyhook::quantity::parse;
use tallyhook::quantity::{
    Fraction, Hours, Length, LengthUnit, Mass, MassReading, MassUnit, NumberReading, Ph, QuantityError,
    RelativeHumidity, Temperature, TemperatureScale, Volume, VolumeUnit, WaterActivity,
};

const MASS_UNITS: [MassUnit; 4] = [MassUnit::Gram, MassUnit::Kilogram, MassUnit::Ounce, MassUnit::Pound];
const LENGTH_UNITS: [LengthUnit; 3] = [LengthUnit::Millimetre, LengthUnit::Centimetre, LengthUnit::Inch];
const VOLUME_UNITS: [VolumeUnit; 4] =
    [VolumeUnit::Millilitre, VolumeUnit::Litre, VolumeUnit::UsGallon, VolumeUnit::ImperialGallon];

/// Every parser, by name, as far as "a number or a refusal" goes.
type Reader = fn(&str) -> Result<f64, QuantityError>;
const READERS: [(&str, Reader); 15] = [
    ("number", |text| {
        parse::number(text).map(|reading| match reading {
            NumberReading::Certain(value) | NumberReading::Either { decimal: value, .. } => value,
        })
    }),
    ("mass", |text| parse::mass(text).map(Mass::as_grams)),
    ("positive_mass", |text| parse::positive_mass(text).map(Mass::as_grams)),
    ("mass_with_default", |text| parse::mass_with_default(text, MassUnit::Pound).map(Mass::as_grams)),
    ("mass_candidates", |text| {
        parse::mass_candidates(text).map(|reading| match reading {
            MassReading::Certain(mass) | MassReading::Either { decimal: mass, .. } => mass.as_grams(),
        })
    }),
    ("temperature", |text| parse::temperature(text).map(Temperature::as_celsius)),
    ("temperature_with_default", |text| {
        parse::temperature_with_default(text, TemperatureScale::Fahrenheit).map(Temperature::as_celsius)
    }),
    ("length", |text| parse::length(text).map(Length::as_millimetres)),
    ("volume", |text| parse::volume(text).map(Volume::as_litres)),
    ("percent", |text| parse::percent(text).map(Fraction::as_one)),
    ("relative_humidity", |text| parse::relative_humidity(text).map(RelativeHumidity::as_percent)),
    ("water_activity", |text| parse::water_activity(text).map(WaterActivity::value)),
    ("mg_per_kg", parse::mg_per_kg),
    ("ph", |text| parse::ph(text).map(Ph::value)),
    ("duration", |text| parse::duration(text).map(Hours::value)),
];

/// A reader, a unit to type behind the number, the largest number worth typing in it.
const TYPED: [(Reader, &str, u32); 15] = [
    (|text| parse::mass(text).map(Mass::as_grams), " g", 9_999),
    (|text| parse::mass(text).map(Mass::as_grams), "kg", 9_999),
    (|text| parse::mass(text).map(Mass::as_grams), " oz", 9_999),
    (|text| parse::mass(text).map(Mass::as_grams), " lb", 9_999),
    (|text| parse::temperature(text).map(Temperature::as_celsius), " °C", 249),
    (|text| parse::temperature(text).map(Temperature::as_fahrenheit), "F", 481),
    (|text| parse::length(text).map(Length::as_millimetres), " mm", 9_999),
    (|text| parse::length(text).map(Length::as_millimetres), " in", 300),
    (|text| parse::volume(text).map(Volume::as_litres), " l", 9_999),
    (|text| parse::volume(text).map(Volume::as_litres), " US gal", 2_000),
    (|text| parse::percent(text).map(Fraction::as_one), " %", 99),
    (|text| parse::relative_humidity(text).map(RelativeHumidity::as_percent), "%", 99),
    (parse::mg_per_kg, " mg/kg", 9_999),
    (|text| parse::ph(text).map(Ph::value), "", 13),
    (|text| parse::duration(text).map(Hours::value), " h", 9_999),
];

/// Each factor from the definition that fixes it, every digit. None could be read here: all from memory.
///
/// - pound, inch (hence ounce, a sixteenth of the pound): international yard and pound agreement, 1959, as
///   carried in NIST Handbook 44, Appendix C: 1 lb = 0.453 592 37 kg, 1 in = 25.4 mm exactly.
/// - US gallon: 231 cubic inches, NIST Handbook 44, Appendix C.
/// - imperial gallon: 4.546 09 l, UK Weights and Measures Act 1985, Schedule 1.
#[test]
fn one_of_each_unit_is_its_definition() {
    for (text, grams) in
        [("1 kg", 1000.0), ("1 lb", 453.592_37), ("1 oz", 28.349_523_125), ("16 oz", 453.592_37)]
    {
        assert_eq!(parse::mass(text), Ok(Mass::grams(grams)), "{text}");
    }
    assert_eq!(parse::length("1 in"), Ok(Length::millimetres(25.4)));
    assert_eq!(parse::length("1 cm"), Ok(Length::millimetres(10.0)));
    assert_eq!(parse::volume("1 US gal"), Ok(Volume::litres(3.785_411_784)));
    assert_eq!(parse::volume("1 imperial gal"), Ok(Volume::litres(4.546_09)));
    assert_eq!(parse::volume("1 ml"), Ok(Volume::litres(0.001)));
    let cubic_inches: f64 = 231.0 * 2.54 * 2.54 * 2.54 / 1000.0;
    approx::assert_relative_eq!(cubic_inches, VolumeUnit::UsGallon.in_litres(), max_relative = 1e-15);
}

/// The printed ratio of the two gallons, NIST Handbook 44, Appendix C (from memory): 1 US gallon = 0.832 674
/// British imperial gallon, to six digits. Taking one for the other is wrong by a fifth.
#[test]
fn the_two_gallons_are_a_fifth_apart() {
    let us = parse::volume("1 US gal").unwrap();
    approx::assert_abs_diff_eq!(us.in_unit(VolumeUnit::ImperialGallon), 0.832_674, epsilon = 5e-7);
    let imperial = parse::volume("1 imperial gal").unwrap();
    assert!(imperial.in_unit(VolumeUnit::UsGallon) > 1.2);
}

/// `N.NN` and `N,NN` as typed.
fn typed_number(largest: u32) -> impl Strategy<Value = String> {
    (0..=largest, prop_oneof!["[0-9]{1,2}", "[0-9]{4,6}"])
        .prop_map(|(whole, fraction)| format!("{whole}.{fraction}"))
}

fn typed() -> impl Strategy<Value = (Reader, &'static str, String)> {
    proptest::sample::select(TYPED.to_vec())
        .prop_flat_map(|(reader, unit, largest)| (Just(reader), Just(unit), typed_number(largest)))
}

/// Text that looks like a quantity often enough to get past the first check.
fn quantity_soup() -> impl Strategy<Value = String> {
    prop_oneof![
        ".*",
        "[-−+]?[0-9]{0,5}[.,' \u{a0}’]?[0-9]{0,4}[.,]?[0-9]{0,3} ?(g|kg|oz|lb|C|°F|mm|in|\"|l|gal|%|h|d|min|ppm)?",
        "[0-9.,'’/⁄½¼ eE+\\-−\u{a0}\u{2009}]{0,12}(lb|kg|d|h|wk|°)?[0-9.,/½ ]{0,8}(oz|g|h|min|C)?",
        "[0-9]{30,60}( g| kg| %| h)?",
        "\\PC{0,50}",
        "[\\x00-\\x1f]{0,3}[0-9]{1,3}[\\x00-\\x1f]{0,3}g",
    ]
}

proptest! {
    #[test]
    fn no_text_makes_a_parser_panic_or_print_what_cannot_be_seen(text in quantity_soup()) {
        for (name, reader) in READERS {
            match reader(&text) {
                Ok(value) => prop_assert!(value.is_finite(), "{name} read {value}"),
                Err(error) => {
                    let sentence = error.to_string();
                    prop_assert!(!sentence.chars().any(char::is_control), "{name}: {sentence:?}");
                    // The words of the longest sentence, and twice the 40 characters that are echoed.
                    prop_assert!(sentence.chars().count() <= 250, "{name}: {sentence}");
                    prop_assert!(error.example().is_none_or(|example| example.chars().count() <= 60));
                }
            }
        }
    }

    #[test]
    fn only_temperatures_go_below_zero(text in quantity_soup()) {
        for (name, reader) in READERS {
            if name.starts_with("temperature") {
                continue;
            }
            if let Ok(value) = reader(&text) {
                prop_assert!(value >= 0.0 && value.is_sign_positive(), "{name} read {value}");
            }
        }
    }

    #[test]
    fn a_comma_is_a_point((reader, unit, number) in typed()) {
        let point = reader(&format!("{number}{unit}"));
        let comma = reader(&format!("{}{unit}", number.replace('.', ",")));
        prop_assert!(point.is_ok(), "{number}{unit}: {point:?}");
        prop_assert_eq!(point, comma);
    }

    #[test]
    fn no_digit_is_dropped(whole in 0_u32..100_000, fraction in "[0-9]{2}", sign in "[.,]") {
        let literal: f64 = format!("{whole}.{fraction}").parse().unwrap();
        let text = format!("{whole}{sign}{fraction} g");
        prop_assert_eq!(parse::mass(&text), Ok(Mass::grams(literal)));
        prop_assert_eq!(parse::mg_per_kg(&format!("{whole}{sign}{fraction}")), Ok(literal));
    }

    #[test]
    fn every_digit_reaches_the_canonical_unit(thousandths in 0_u64..10_000_000) {
        // The reference is whole-number arithmetic: a thousandth of a kilogram is a gram, of an ounce …
        let text = format!("{}.{:03}0 ", thousandths / 1000, thousandths % 1000);
        let grams = parse::mass(&format!("{text}kg")).unwrap();
        prop_assert_eq!(grams, Mass::grams(thousandths as f64));
        let ounces = parse::mass(&format!("{text}oz")).unwrap();
        let digits = u128::from(thousandths) * 28_349_523_125;
        let expected: f64 = format!("{digits}e-12").parse().unwrap();
        prop_assert_eq!(ounces, Mass::grams(expected));
    }

    #[test]
    fn groups_of_thousands_change_nothing(
        number in 1_000_u32..10_000_000,
        hundredths in 0_u32..100,
        (group, point) in proptest::sample::select(vec![
            (",", "."), (".", ","), (" ", "."), (" ", ","), ("\u{a0}", ","), ("\u{2009}", "."),
            ("\u{202f}", ","), ("'", "."), ("’", ","),
        ]),
    ) {
        let digits = number.to_string();
        let grouped: String = digits
            .char_indices()
            .map(|(at, digit)| match (digits.len() - at) % 3 {
                0 if at > 0 => format!("{group}{digit}"),
                _ => digit.to_string(),
            })
            .collect();
        let literal: f64 = format!("{number}.{hundredths:02}").parse().unwrap();
        let text = format!("{grouped}{point}{hundredths:02}");
        prop_assert_eq!(parse::number(&text), Ok(NumberReading::Certain(literal)), "{}", text);
    }

    #[test]
    fn three_digits_after_one_sign_keep_both_readings(whole in 1_u32..1000, rest in 0_u32..1000, sign in "[.,]") {
        let text = format!("{whole}{sign}{rest:03}");
        let decimal: f64 = format!("{whole}.{rest:03}").parse().unwrap();
        let thousands = f64::from(whole * 1000 + rest);
        prop_assert_eq!(parse::number(&text), Ok(NumberReading::Either { decimal, thousands }));
        // What is offered as a choice is itself read in one way.
        if let Err(QuantityError::NumberAmbiguous { low, high, .. }) = parse::mass(&format!("{text} g")) {
            prop_assert_eq!(parse::mass(&low), Ok(Mass::grams(decimal)));
            prop_assert_eq!(parse::mass(&high), Ok(Mass::grams(thousands)));
        }
    }

    #[test]
    fn pounds_and_ounces_are_ounces(pounds in 0_u32..1000, quarters in 0_u32..64) {
        let ounces = f64::from(quarters) / 4.0;
        let parts = parse::mass(&format!("{pounds} lb {ounces} oz")).unwrap();
        let total = parse::mass(&format!("{} oz", f64::from(pounds * 16) + ounces)).unwrap();
        prop_assert_eq!(parts, total);
    }

    #[test]
    fn a_typed_mass_prints_and_reads_back(number in typed_number(9_999)) {
        for unit in MASS_UNITS {
            let typed = parse::mass(&format!("{number} {}", unit.symbol())).unwrap();
            let text = format::mass_exact(typed, unit);
            prop_assert!(text.ends_with(unit.symbol()), "{number} became {text}");
            prop_assert_eq!(parse::mass(&text), Ok(typed), "{}", text);
            // In any other unit too, or in grams.
            for other in MASS_UNITS {
                let text = format::mass_exact(typed, other);
                prop_assert_eq!(parse::mass(&text), Ok(typed), "{}", text);
            }
        }
    }

    #[test]
    fn a_computed_mass_prints_and_reads_back(grams in 0.0_f64..1e7) {
        for unit in MASS_UNITS {
            let text = format::mass_exact(Mass::grams(grams), unit);
            prop_assert_eq!(parse::mass(&text), Ok(Mass::grams(grams)), "{}", text);
        }
    }

    #[test]
    fn lengths_and_volumes_print_and_read_back(number in typed_number(300), computed in 0.0_f64..1e4) {
        for unit in LENGTH_UNITS {
            let typed = parse::length(&format!("{number} {}", unit.symbol())).unwrap();
            for length in [typed, Length::millimetres(computed)] {
                prop_assert_eq!(parse::length(&format::length_exact(length, unit)), Ok(length));
            }
        }
        for unit in VOLUME_UNITS {
            let typed = parse::volume(&format!("{number} {}", unit.symbol())).unwrap();
            for volume in [typed, Volume::litres(computed)] {
                prop_assert_eq!(parse::volume(&format::volume_exact(volume, unit)), Ok(volume));
            }
        }
    }

    #[test]
    fn the_other_quantities_print_and_read_back(
        part in 0.0_f64..=1.0,
        celsius in -60.0_f64..=250.0,
        fahrenheit in -75.0_f64..=481.0,
        hours in 0.0_f64..=87_600.0,
        minutes in 0_u32..5_000_000,
        mg_per_kg in 0.0_f64..=1e6,
        ph in 0.0_f64..=14.0,
    ) {
        let fraction = Fraction::of_one(part);
        prop_assert_eq!(parse::percent(&format::percent_exact(fraction)), Ok(fraction));
        for temperature in [Temperature::celsius(celsius), Temperature::fahrenheit(fahrenheit)] {
            let text = format::temperature_exact(temperature);
            prop_assert_eq!(parse::temperature(&text), Ok(temperature), "{}", text);
        }
        for hours in [Hours::new(hours), Hours::new(f64::from(minutes) / 60.0)] {
            let text = format::hours_exact(hours);
            prop_assert_eq!(parse::duration(&text), Ok(hours), "{}", text);
        }
        prop_assert_eq!(parse::mg_per_kg(&format::mg_per_kg_exact(mg_per_kg)), Ok(mg_per_kg));
        prop_assert_eq!(parse::ph(&format::ph_exact(Ph::new(ph))), Ok(Ph::new(ph)));
        let humidity = RelativeHumidity::percent(part * 100.0);
        let text = format::relative_humidity_exact(humidity);
        prop_assert_eq!(parse::relative_humidity(&text), Ok(humidity));
        let activity = WaterActivity::new(part);
        prop_assert_eq!(parse::water_activity(&format::water_activity_exact(activity)), Ok(activity));
    }

    #[test]
    fn what_is_printed_for_reading_can_be_typed_again(grams in 0.0_f64..1e6, celsius in -60.0_f64..250.0) {
        for unit in MASS_UNITS {
            let text = format::mass(Mass::grams(grams), unit);
            let read = parse::mass(&text);
            prop_assert!(read.is_ok(), "{text}: {read:?}");
            // Half of the coarsest last digit: 1 g, 0.001 kg, 0.1 oz.
            prop_assert!((read.unwrap().as_grams() - grams).abs() <= 0.05 * 28.349_523_125 + 1e-6, "{}", text);
        }
        for scale in [TemperatureScale::Celsius, TemperatureScale::Fahrenheit] {
            let text = format::temperature(Temperature::celsius(celsius), scale);
            let read = parse::temperature(&text).unwrap().as_celsius();
            prop_assert!((read - celsius).abs() <= 0.051, "{text}");
        }
    }

    #[test]
    fn a_printed_length_of_time_can_be_typed_again(hours in prop_oneof![0.0_f64..60.0, 0.0_f64..87_000.0]) {
        let text = format::hours(Hours::new(hours));
        let read = parse::duration(&text).map(Hours::value);
        prop_assert!(read.is_ok(), "{text}: {read:?}");
        // To the minute under two days, to the hour from then on.
        let half = if hours < 48.0 { 0.5 / 60.0 } else { 0.5 };
        prop_assert!((read.unwrap() - hours).abs() <= half + 1e-9, "{text} for {hours}");
        let left = format::hours_rounded_down_tenth(Hours::new(hours));
        let read = left.trim_end_matches(" h").parse::<f64>().unwrap();
        prop_assert!(read <= hours + 1e-9 && hours < read + 0.1, "{left} for {hours}");
    }

    #[test]
    fn rounding_agrees_with_whole_number_arithmetic(digits in 0_u64..1_000_000_000, places in 0_u32..6, kept in 0_u32..6) {
        let value: f64 = format!("{digits}e-{places}").parse().unwrap();
        let rounded = if kept >= places {
            digits * 10_u64.pow(kept - places)
        } else {
            let unit = 10_u64.pow(places - kept);
            digits / unit + u64::from(digits % unit * 2 >= unit)
        };
        let shown = format::number(value, kept as usize);
        prop_assert_eq!(shown.replace('.', "").parse::<u64>().unwrap(), rounded, "{} to {}", value, kept);
        prop_assert_eq!(shown.split_once('.').map_or(0, |(_, after)| after.len()), kept as usize);
    }

    #[test]
    fn a_dose_is_never_rounded_up(
        grams in 0.0_f64..5_000.0,
        step in proptest::sample::select(vec![0.001, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0]),
    ) {
        let (steps, down) = format::floor_to_step(grams, step);
        prop_assert!(down <= grams + step * 1e-9 && grams < down + step, "{down} for {grams} on {step}");
        let (steps_up, up) = format::ceil_to_step(grams, step);
        prop_assert!(up >= grams - step * 1e-9 && up < grams + step, "{up} for {grams} on {step}");
        prop_assert!((0..=1).contains(&(steps_up - steps)));
        // Stable: a dose on a step stays on it.
        prop_assert_eq!(format::floor_to_step(down, step), (steps, down));
        // What is printed is that weight, as far as three decimals can be told from thousands.
        let text = format::dose_mass(Mass::grams(grams), Mass::grams(step));
        match parse::mass_candidates(&text).unwrap() {
            MassReading::Certain(mass) | MassReading::Either { decimal: mass, .. } => {
                prop_assert_eq!(mass, Mass::grams(down), "{}", text);
            }
        }
    }
}
