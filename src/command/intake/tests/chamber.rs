//! The air, settings, extremes, power cuts.

use super::*;

#[test]
fn the_air_of_a_room() {
    for line in [
        "13C 80%",
        "13 C 80 %",
        "13c80%",
        "13°C, 80%",
        "13 °C / 80 % rh",
        "80% 13C",
        "13 C and 80% humidity",
        "13C rh 80",
        "room 13C 80%",
        "chamber 13C 80%",
        "temp 13 C, rh 80%",
        "humidity 80, 13 C",
        "13 deg C 80 percent",
        "13° 80%",
        "13℃ 80％",
    ] {
        assert_eq!(said(line, &[]), [room(Some(13.0), Some(80.0))], "{line}");
    }
    let fahrenheit = (
        Whose::Chamber,
        What::Room {
            temperature: Some(Temperature::fahrenheit(55.0)),
            humidity: Some(RelativeHumidity::percent(78.0)),
        },
    );
    assert_eq!(said("55F rh 78", &[]), [fahrenheit]);
    assert_eq!(said("-2 C", &[]), [room(Some(-2.0), None)]);
    assert_eq!(said("12,5C", &[]), [room(Some(12.5), None)]);
    assert_eq!(said("82%", &[]), [room(None, Some(82.0))]);
    assert_eq!(said("900 C", &[]), [room(Some(900.0), None)]);
    let found = understood("chamber cellar 13C 80%", &[]);
    assert_eq!(found.chamber.as_deref(), Some("cellar"));
    let found = understood("chamber \"Drying room\" set to 13C", &[]);
    assert_eq!(found.chamber.as_deref(), Some("Drying room"));
}

#[test]
fn settings_and_hysteresis() {
    for line in [
        "chamber set to 24 C 88%",
        "set to 24C 88%",
        "set 24 c, 88 %",
        "set point 24C rh 88",
        "fridge set to 24C 88%",
    ] {
        assert_eq!(said(line, &[]), [set(Some(24.0), Some(88.0), None)], "{line}");
    }
    for line in [
        "set to 24C ±1.5",
        "set to 24 C +/- 1.5 C",
        "set to 24 ± 1.5 C",
        "set to 24 C, hysteresis 1.5 C",
        "set to 24C +-1,5",
    ] {
        assert_eq!(said(line, &[]), [set(Some(24.0), None, Some(1.5))], "{line}");
    }
    assert_eq!(said("hysteresis 1.5 C", &[]), [set(None, None, Some(1.5))]);
    assert_eq!(said("set to 24C 88% ±1.5 C", &[]), [set(Some(24.0), Some(88.0), Some(1.5))]);
    assert_eq!(said("set to -2 C", &[]), [set(Some(-2.0), None, None)]);
    let fahrenheit = (
        Whose::Chamber,
        What::Setting {
            temperature: Some(Temperature::fahrenheit(75.0)),
            humidity: None,
            hysteresis_celsius: Some(1.0),
        },
    );
    assert_eq!(said("set to 75F ±1.8", &[]), [fahrenheit]);
    assert!(matches!(error("set to 24", &[]), IntakeError::Quantity(QuantityError::UnitMissing { .. })));
    assert!(matches!(error("set to 24 C ±30", &[]), IntakeError::Quantity(QuantityError::OutOfRange { .. })));
}

#[test]
fn extremes() {
    let extremes = |since: Option<&str>, max: f64, min: Option<f64>| {
        (
            Whose::Chamber,
            What::Extremes {
                since: since.map(at),
                max: Temperature::celsius(max),
                min: min.map(Temperature::celsius),
            },
        )
    };
    let since = Some("2026-11-09T14:00:00Z");
    for line in [
        "max 26C min 22C since yesterday",
        "max 26 min 22C since yesterday",
        "max. 26 C, min. 22 C, since yesterday",
        "26C max 22C min since yesterday",
        "high 26C low 22C since yesterday",
        "min 22 max 26 C since yesterday",
        "max: 26 C / min: 22 C since 24 h ago",
    ] {
        assert_eq!(said(line, &[]), [extremes(since, 26.0, Some(22.0))], "{line}");
    }
    assert_eq!(said("max 26 C", &[]), [extremes(None, 26.0, None)]);
    assert_eq!(said("max 26C since monday 8am", &[]), [extremes(Some("2026-11-09T07:00:00Z"), 26.0, None)]);
    assert_eq!(
        said("24 C max 26 C min 22 C", &[]),
        [room(Some(24.0), None), extremes(None, 26.0, Some(22.0))]
    );
    assert_eq!(error("min 22 C", &[]), IntakeError::MaxMissing);
    assert_eq!(error("max 22C min 26C", &[]), IntakeError::MinAboveMax);
    assert!(matches!(error("max 26 min 22", &[]), IntakeError::Quantity(QuantityError::UnitMissing { .. })));
    assert!(matches!(
        error("max 26C since yesterday 8pm, yesterday 7pm", &[]),
        IntakeError::SinceAfterReading { .. }
    ));
}

#[test]
fn power_cuts() {
    let out = |since: &str, reached: Option<f64>| {
        (Whose::Chamber, What::PowerOut { since: at(since), reached: reached.map(Temperature::celsius) })
    };
    for line in [
        "power out 9h, chamber got to 24C",
        "power was out for 9 hours, it reached 24 C",
        "no power for 9 h, max 24C",
        "power out 9 h, got up to 24 °C",
        "power cut 9h. fridge went to 24C",
    ] {
        assert_eq!(said(line, &[]), [out("2026-11-10T05:00:00Z", Some(24.0))], "{line}");
    }
    assert_eq!(said("power out since 2am", &[]), [out("2026-11-10T01:00:00Z", None)]);
    assert_eq!(said("power out 1h30", &[]), [out("2026-11-10T12:30:00Z", None)]);
    assert_eq!(said("power out 9h, yesterday 8pm", &[]), [out("2026-11-09T10:00:00Z", None)]);
    assert_eq!(error("power out", &[]), IntakeError::PowerHowLong);
}

#[test]
fn where_the_power_was_out_is_left_to_be_asked_about() {
    for (line, place) in [
        ("power out in the attic 9h", "attic"),
        ("power was out in my cold room for 9 hours", "cold room"),
        ("no power in the attic for 9 h, it got to 24 C", "attic"),
    ] {
        let understood = understood(line, &[]);
        assert_eq!(understood.leftover, [place], "{line}");
        let since = at("2026-11-10T05:00:00Z");
        assert!(
            matches!(understood.items[0].what, What::PowerOut { since: found, .. } if found == since),
            "{line}"
        );
    }
    // When it was is no place.
    assert_eq!(error("power out yesterday evening 9h", &[]), IntakeError::PowerHowLong);
    // How long is still asked for where nothing says it.
    assert_eq!(error("power out in the attic", &[]), IntakeError::PowerHowLong);
}
