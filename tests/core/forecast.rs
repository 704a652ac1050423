//! The finish window against worked cases.

use crate::reference::{self, Row};
use proptest::prelude::*;
use tallyhook::curing::drying::forecast::{
    Class, Knowledge, NoWindow, Piece, Weighed, Window, base_window, window,
};
use tallyhook::quantity::{Fraction, Length, Mass, MassUnit};

fn class(row: &Row) -> Class {
    if row.text("class") == "muscle" { Class::WholeMuscle } else { Class::Sausage }
}

fn piece(row: &Row, green_g: f64, weighings: &str) -> Piece {
    let weighed = |text: &str| {
        let (day, grams) = text.split_once(':').unwrap();
        Weighed { day: day.parse().unwrap(), net: Mass::grams(grams.parse().unwrap()) }
    };
    Piece {
        class: class(row),
        diameter: row.optional_number("diameter_mm").map(Length::millimetres),
        green: Mass::grams(green_g),
        weighings: weighings.split_whitespace().map(weighed).collect(),
        target: Fraction::percent(row.number("target_percent")),
    }
}

#[test]
fn worked_cases() {
    reference::load("drying_forecast.csv").each(|row| {
        let found = base_window(&piece(row, row.number("green_g"), row.text("weighings")))
            .map_err(|e| format!("{e:?}"))?;
        row.close("p10", found.p10.unwrap(), 0.1)?;
        row.close("p50", found.p50.unwrap(), 0.1)?;
        row.close("p90", found.p90.unwrap(), 0.1)?;
        row.close("never", found.chance_never, 0.000_51)
    });
}

#[test]
fn before_any_weighing() {
    reference::load("drying_prior.csv").each(|row| {
        let found = base_window(&piece(row, 1000.0, "")).map_err(|e| format!("{e:?}"))?;
        row.close("p10", found.p10.unwrap(), 1.0)?;
        row.close("p50", found.p50.unwrap(), 1.0)?;
        match (row.optional_number("p90"), found.p90) {
            (Some(_), Some(p90)) => row.close("p90", p90, 1.0),
            // Printed as "400+".
            (None, p90) if p90.is_none_or(|p90| p90 >= 399.0) => Ok(()),
            (_, p90) => Err(format!("p90: {p90:?}")),
        }
    });
}

fn plain(weighings: &[(f64, f64)], percent: f64) -> Piece {
    Piece {
        class: Class::Sausage,
        diameter: Some(Length::millimetres(50.0)),
        green: Mass::grams(1000.0),
        weighings: weighings
            .iter()
            .map(|(day, grams)| Weighed { day: *day, net: Mass::grams(*grams) })
            .collect(),
        target: Fraction::percent(percent),
    }
}

fn seen(piece: &Piece) -> Result<Window, NoWindow> {
    window(piece, &Knowledge::default())
}

#[test]
fn where_there_is_nothing_to_forecast() {
    for forecast in [base_window, seen] {
        refuses(forecast);
    }
}

fn refuses(window: fn(&Piece) -> Result<Window, NoWindow>) {
    assert_eq!(window(&plain(&[(3.0, 1006.0)], 35.0)), Err(NoWindow::Gain));
    assert_eq!(window(&plain(&[(30.0, 650.0)], 35.0)), Err(NoWindow::Reached));
    assert_eq!(window(&plain(&[(-1.0, 950.0)], 35.0)), Err(NoWindow::Impossible));
    assert_eq!(window(&plain(&[(f64::NAN, 950.0)], 35.0)), Err(NoWindow::Impossible));
    assert_eq!(window(&plain(&[(3.0, f64::NAN)], 35.0)), Err(NoWindow::Impossible));
    assert_eq!(window(&plain(&[], 0.0)), Err(NoWindow::Impossible));
}

proptest! {
    #[test]
    fn a_higher_target_is_never_earlier(day in 1.0..30.0f64, grams in 700.0..990.0f64, percent in 31.0..45.0f64, more in 0.0..5.0f64) {
        let at = |percent: f64| seen(&plain(&[(day, grams)], percent)).unwrap();
        let (one, other) = (at(percent), at(percent + more));
        let open = |days: Option<f64>| days.unwrap_or(f64::INFINITY);
        prop_assert!(open(one.p50) <= open(other.p50) + 1e-9);
        prop_assert!(open(one.p10) <= open(one.p50) && open(one.p50) <= open(one.p90));
        prop_assert!(open(one.p10) >= day);
    }

    #[test]
    fn the_order_of_weighings_makes_no_difference(first in 900.0..980.0f64, second in 800.0..899.0f64) {
        let one = seen(&plain(&[(3.0, first), (9.0, second)], 38.0));
        let other = seen(&plain(&[(9.0, second), (3.0, first)], 38.0));
        prop_assert_eq!(one, other);
    }
}

#[test]
fn published_end_points_lie_in_the_window_before_any_weighing() {
    reference::load("drying_endpoints.csv").each(|row| {
        let piece = Piece {
            diameter: Some(Length::millimetres(row.number("diameter_mm"))),
            ..plain(&[], row.number("loss_pct"))
        };
        let found = seen(&piece).map_err(|e| format!("{e:?}"))?;
        let (from, to, days) = (found.p10.unwrap(), found.p90.unwrap(), row.number("days"));
        if (from..=to).contains(&days) { Ok(()) } else { Err(format!("{days} is not in {from} to {to}")) }
    });
}

#[test]
fn of_very_many_weighings_some_are_enough() {
    let course = |day: f64| (1000.0 * (1.0 - 0.66 * day / (45.0 + day)) * 10.0).round() / 10.0;
    let weighings: Vec<(f64, f64)> =
        (1..=500).map(|hour| f64::from(hour) / 24.0).map(|day| (day, course(day))).collect();
    let (all, some) =
        (base_window(&plain(&weighings, 35.0)).unwrap(), seen(&plain(&weighings, 35.0)).unwrap());
    assert_eq!(some.weighings, 500);
    assert!((all.p50.unwrap() / some.p50.unwrap() - 1.0).abs() < 0.12, "{all:?} {some:?}");
}

#[test]
fn two_hundred_weighings_are_as_good_as_ten() {
    let course = |day: f64| 1000.0 * (1.0 - 0.66 * day / (45.0 + day));
    let at = |count: u32| {
        let days = (1..=count).map(|number| 20.0 * f64::from(number) / f64::from(count));
        let weighings: Vec<(f64, f64)> = days.map(|day| (day, course(day))).collect();
        base_window(&plain(&weighings, 35.0)).unwrap()
    };
    let (ten, many) = (at(10), at(200));
    assert!((ten.p50.unwrap() - many.p50.unwrap()).abs() < 3.0, "{ten:?} {many:?}");
    assert!(many.p90.unwrap() - many.p10.unwrap() < ten.p90.unwrap() - ten.p10.unwrap());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// A weighing that says what was expected anyway makes nothing less certain.
    #[test]
    fn a_weighing_on_the_middle_does_not_widen_the_window(first in 900.0..970.0f64, second in 820.0..890.0f64, later in 1.0..6.0f64) {
        let weighings = [(4.0, first), (10.0, second)];
        let before = base_window(&plain(&weighings, 36.0)).unwrap();
        let (from, to) = (before.p10.unwrap(), before.p90.unwrap());
        // The loss that half of all have reached by that day.
        let reached = |percent: f64| base_window(&plain(&weighings, percent)).unwrap().p50.unwrap();
        let (mut low, mut high) = (100.0 - second / 10.0 + 0.01, 36.0);
        for _ in 0..30 {
            let middle = f64::midpoint(low, high);
            if reached(middle) > 10.0 + later { high = middle } else { low = middle }
        }
        let more = [weighings[0], weighings[1], (10.0 + later, 10.0 * (100.0 - low))];
        let after = base_window(&plain(&more, 36.0)).unwrap();
        prop_assert!(after.p90.unwrap() - after.p10.unwrap() <= (to - from) * 1.01, "{before:?} {after:?}");
    }
}

proptest! {
    #[test]
    fn grams_kilograms_ounces_and_pounds_give_the_same(first in 900.0..980.0f64, second in 800.0..899.0f64) {
        let in_grams = plain(&[(3.0, first), (9.0, second)], 38.0);
        let one = seen(&in_grams).unwrap();
        let of = |grams: f64, unit: MassUnit| Mass::of(Mass::grams(grams).in_unit(unit), unit);
        for unit in [MassUnit::Kilogram, MassUnit::Ounce, MassUnit::Pound] {
            let weighed = |day: f64, grams: f64| Weighed { day, net: of(grams, unit) };
            let other = Piece {
                green: of(1000.0, unit),
                weighings: vec![weighed(3.0, first), weighed(9.0, second)],
                ..in_grams.clone()
            };
            let other = seen(&other).unwrap();
            prop_assert!((one.p50.unwrap() - other.p50.unwrap()).abs() < 1e-3);
            prop_assert!((one.p90.unwrap() - other.p90.unwrap()).abs() < 1e-3);
        }
    }
}
