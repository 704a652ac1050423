//! Keeping without refrigeration, against every cell of the published tables.

use crate::reference::{self, Row};
use proptest::prelude::*;
use tallyhook::curing::shelf::{Measured, System, said, systems};
use tallyhook::quantity::{Ph, WaterActivity};

fn exact(ph: f64, activity: f64) -> Measured {
    Measured { ph: Ph::new(ph), activity: WaterActivity::new(activity), ph_off: 0.0, activity_off: 0.0 }
}

fn of(row: &Row) -> Measured {
    exact(row.number("ph"), row.number("activity"))
}

fn system(id: &str) -> &'static System {
    systems().iter().find(|system| system.id == id).unwrap()
}

fn says(row: &Row, column: &str, found: &str) -> Result<(), String> {
    if row.text(column) == found { Ok(()) } else { Err(format!("{column}: {found}")) }
}

#[test]
fn every_cell_of_the_food_code() {
    reference::load("food_code_tables.csv")
        .each(|row| says(row, "word", said(system(row.text("system")), &of(row)).word()));
}

#[test]
fn worked_measurements() {
    reference::load("shelf_vectors.csv").each(|row| {
        let measured = of(row);
        let columns = ["us.food_code_b", "eu.2073", "trade.hurdles"];
        columns.into_iter().try_for_each(|id| says(row, id, said(system(id), &measured).word()))
    });
}

/// The comparators belong to the system: worked by hand from the texts.
#[test]
fn at_the_limits() {
    let word = |id: &str, ph: f64, activity: f64| said(system(id), &exact(ph, activity)).word();
    assert_eq!(word("trade.hurdles", 5.2, 0.95), "perishable", "less than 0.95");
    assert_eq!(word("fr.1991", 5.2, 0.95), "stable", "at most 0.95");
    assert_eq!(word("fr.1991", 5.3, 0.91), "stable");
    assert_eq!(word("trade.hurdles", 5.3, 0.91), "perishable");
    assert_eq!(word("fr.1991", 4.5, 0.96), "not_stable");
    assert_eq!(word("eu.2073", 4.4, 0.99), "cannot_grow");
    assert_eq!(word("ca.fermented", 5.3, 0.90), "stable");
    assert_eq!(word("ca.fermented", 5.31, 0.90), "refrigerate");
    assert_eq!(word("ca.fermented", 6.0, 0.85), "stable");
}

#[test]
fn what_an_instrument_may_be_off_counts_against_it() {
    let measured = Measured { activity_off: 0.02, ph_off: 0.05, ..exact(5.3, 0.87) };
    let found = said(system("us.food_code_b"), &measured);
    assert_eq!((found.word(), found.only_without_doubt), ("pa", true), "0.87 may be 0.89");
}

proptest! {
    /// Drier, sourer or a better instrument never makes a verdict worse.
    #[test]
    fn a_stricter_measurement_is_never_judged_milder(
        ph in 3.5..7.0f64, activity in 0.7..1.0f64, sourer in 0.0..0.5f64, drier in 0.0..0.1f64, off in 0.0..0.05f64,
    ) {
        for system in systems() {
            let worse = said(system, &Measured { activity_off: off, ph_off: off, ..exact(ph, activity) });
            let better = said(system, &exact(ph - sourer, activity - drier));
            prop_assert!(worse.way.is_none() || better.way.is_some(), "{}", system.id);
        }
    }
}
