//! The limits of growth, figure by figure against the published tables.

use crate::reference;
use proptest::prelude::*;
use tallyhook::curing::Standing;
use tallyhook::curing::growth::{Bound, Facts, Growth, Limits, Organism, growth, rows};
use tallyhook::quantity::{Ph, Temperature, TemperatureScale, WaterActivity};

fn organism(word: &str) -> Organism {
    Organism::ALL.into_iter().find(|organism| organism.word() == word).unwrap()
}

#[test]
fn every_row_is_as_printed() {
    let reference = reference::load("growth_limits.csv");
    assert_eq!(reference.rows.len(), rows().len());
    reference.each(|printed| {
        let organism = organism(printed.text("organism"));
        let (start, scale) = match printed.text("table") {
            "ars" => ("USDA-ARS", "C"),
            "haccp" => ("a HACCP", "C"),
            _ => ("FDA", "F"),
        };
        let found = rows().iter().find(|row| row.organism == organism && row.source.starts_with(start));
        let row = found.ok_or("no such row")?;
        let figures = [
            ("activity_min", row.activity_min),
            ("ph_min", row.ph_min),
            ("ph_max", row.ph_max),
            ("temperature_min", row.temperature_min),
            ("temperature_max", row.temperature_max),
            ("salt_max_percent", row.salt_in_water_max_percent),
        ];
        for (name, figure) in figures {
            if printed.optional_number(name).map(f64::to_bits) != figure.map(f64::to_bits) {
                return Err(format!("{name}: {figure:?}"));
            }
        }
        let own_scale = if row.temperature_unit == TemperatureScale::Celsius { "C" } else { "F" };
        let own_standing = if row.standing == Standing::FromMemory { "from_memory" } else { "second_hand" };
        if (printed.text("scale"), printed.text("standing")) == (own_scale, own_standing)
            && own_scale == scale
        {
            return Ok(());
        }
        Err(format!("{own_scale}, {own_standing}"))
    });
}

/// At a limit an organism grows: the tables print the lowest figures at which it was seen to.
#[test]
fn at_a_limit_it_grows() {
    for organism in Organism::ALL {
        let limits = Limits::of(organism);
        let at_all = Facts {
            temperature: limits.temperature_min.map(Bound::temperature),
            ph: limits.ph_min.map(|bound| Ph::new(bound.value)),
            activity: limits.activity_min.map(|bound| WaterActivity::new(bound.value)),
        };
        assert_eq!(growth(organism, at_all), Growth::Grows, "{organism:?}");
        let drier =
            Facts { activity: at_all.activity.map(|at| WaterActivity::new(at.value() - 0.001)), ..at_all };
        assert!(matches!(growth(organism, drier), Growth::Stopped(_)), "{organism:?}");
    }
}

proptest! {
    /// What one table lets grow, the two together let grow as well.
    #[test]
    fn the_table_that_lets_more_grow_counts(
        celsius in -5.0..60.0f64, ph in 3.0..11.0f64, activity in 0.7..1.0f64, which in 0usize..18,
    ) {
        let row = &rows()[which];
        let facts = Facts {
            temperature: Some(Temperature::celsius(celsius)),
            ph: Some(Ph::new(ph)),
            activity: Some(WaterActivity::new(activity)),
        };
        let degrees = Temperature::celsius(celsius).in_scale(row.temperature_unit);
        let inside = row.activity_min.is_some_and(|limit| activity >= limit)
            && row.ph_min.is_some_and(|limit| ph >= limit)
            && row.ph_max.is_some_and(|limit| ph <= limit)
            && row.temperature_min.is_some_and(|limit| degrees >= limit)
            && row.temperature_max.is_some_and(|limit| degrees <= limit);
        if inside {
            prop_assert_eq!(growth(row.organism, facts), Growth::Grows);
        }
    }

    /// A further fact never makes an organism grow that was stopped.
    #[test]
    fn a_further_fact_never_lets_more_grow(celsius in -5.0..60.0f64, ph in 3.0..11.0f64, which in 0usize..9) {
        let organism = Organism::ALL[which];
        let cold = Facts { temperature: Some(Temperature::celsius(celsius)), ..Facts::default() };
        let also = Facts { ph: Some(Ph::new(ph)), ..cold };
        if matches!(growth(organism, cold), Growth::Stopped(_)) {
            prop_assert!(matches!(growth(organism, also), Growth::Stopped(_)));
        }
    }
}
