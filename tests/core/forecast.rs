//! The finish window against worked cases.

use crate::reference::{self, Row};
use proptest::prelude::*;
use tallyhook::curing::drying::forecast::{Class, NoWindow, Piece, Weighed, window};
use tallyhook::quantity::{Fraction, Length, Mass};

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
        let found = window(&piece(row, row.number("green_g"), row.text("weighings")))
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
        let found = window(&piece(row, 1000.0, "")).map_err(|e| format!("{e:?}"))?;
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

#[test]
fn where_there_is_nothing_to_forecast() {
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
        let at = |percent: f64| window(&plain(&[(day, grams)], percent)).unwrap();
        let (one, other) = (at(percent), at(percent + more));
        let open = |days: Option<f64>| days.unwrap_or(f64::INFINITY);
        prop_assert!(open(one.p50) <= open(other.p50) + 1e-9);
        prop_assert!(open(one.p10) <= open(one.p50) && open(one.p50) <= open(one.p90));
        prop_assert!(open(one.p10) >= day);
    }

    #[test]
    fn the_order_of_weighings_makes_no_difference(first in 900.0..980.0f64, second in 800.0..899.0f64) {
        let one = window(&plain(&[(3.0, first), (9.0, second)], 38.0));
        let other = window(&plain(&[(9.0, second), (3.0, first)], 38.0));
        prop_assert_eq!(one, other);
    }
}
