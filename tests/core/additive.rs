//! Additives by country and day, against the texts that permit or forbid them.

use crate::reference;
use chrono::NaiveDate;
use proptest::prelude::*;
use tallyhook::curing::additive::{Additive, judge};
use tallyhook::curing::{Country, Outcome};
use tallyhook::quantity::Fraction;
use tallyhook::reply::finding::outcome_word;

fn outcomes(name: &str, country: &str, on: NaiveDate, share: Fraction) -> Vec<Outcome> {
    let additive = Additive::named(name).unwrap();
    let book = Country::parse(country).unwrap().rulebook();
    additive
        .rows(book, on)
        .into_iter()
        .filter_map(|row| judge(row, share))
        .map(|found| found.outcome)
        .collect()
}

#[test]
fn permissions_by_country_and_day() {
    reference::load("additives.csv").each(|row| {
        let on = row.text("on").parse().map_err(|mistake| format!("{mistake}"))?;
        let share = Fraction::of_one(row.number("amount_g") / row.number("food_g"));
        let found = outcomes(row.text("name"), row.text("country"), on, share);
        let word = found.first().map_or("no_row", |outcome| outcome_word(*outcome));
        if word == row.text("expected") { Ok(()) } else { Err(word.to_owned()) }
    });
}

/// 7/8 oz and 3/4 oz to 100 lb, worked by hand: 546.875 and 468.75 mg/kg; both figures are held from memory.
#[test]
fn accelerators_from_memory_never_vouch() {
    let on = NaiveDate::from_ymd_opt(2026, 11, 2).unwrap();
    for (name, ounces) in [("sodium ascorbate", 0.875), ("ascorbic acid", 0.75)] {
        let at = |ounces: f64| outcomes(name, "US", on, Fraction::of_one(ounces / 1600.0));
        assert_eq!(at(ounces), [Outcome::AtLimit], "{name}");
        assert_eq!(at(ounces * 0.99), [Outcome::UnderUnverified], "{name}");
        assert_eq!(at(ounces * 1.01), [Outcome::Over], "{name}");
    }
}

proptest! {
    /// More of it never fares better.
    #[test]
    fn more_never_fares_better(part in 0.0..0.05f64, more in 0.0..0.05f64, day in 0i64..3000) {
        let on = NaiveDate::from_ymd_opt(2020, 1, 1).unwrap() + chrono::TimeDelta::days(day);
        for country in ["US", "EU", "GB"] {
            let less = outcomes("E 171", country, on, Fraction::of_one(part));
            let most = outcomes("E 171", country, on, Fraction::of_one(part + more));
            prop_assert!(less.iter().zip(&most).all(|(less, most)| less <= most));
        }
    }
}
