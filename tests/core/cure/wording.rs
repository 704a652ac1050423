//! Every sentence the cure can ask for is on the list of keys, with the holes it fills; and none is on it in vain.

use chrono::NaiveDate;
use std::collections::BTreeSet;
use tallyhook::curing::brine::by_the_gallon;
use tallyhook::curing::cure::{
    Application, Case, CureLabel, DoseRequest, GreenWeight, Liquid, Method, PRESETS, Piece, Product, Scope,
    Shape, Target, advice, cure_time, judge, plan,
};
use tallyhook::curing::finding::Advice;
use tallyhook::curing::{Country, rulebook};
use tallyhook::quantity::{Cation, Fraction, Length, Mass, MassUnit, Volume, VolumeUnit};

const COUNTRIES: [&str; 9] = ["US", "EU", "DE", "DK", "GB", "CA", "AU", "Codex", ""];

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn labels() -> Vec<CureLabel> {
    let label =
        |nitrite, nitrate| CureLabel::new(Fraction::percent(nitrite), Fraction::percent(nitrate)).unwrap();
    let mut labels = PRESETS.to_vec();
    labels.extend([label(100.0, 0.0), label(0.0, 100.0), PRESETS[2].with_nitrate_of(Cation::Potassium)]);
    labels
}

fn applications() -> Vec<Application> {
    let meat = GreenWeight::of(Mass::grams(1000.0));
    let water = Liquid::Water(Mass::grams(1000.0));
    let rate = Fraction::percent(10.0);
    vec![
        Application::Comminuted { meat },
        Application::Dry { meat },
        Application::Equilibrium { meat, liquid: water },
        Application::PickUp { liquid: water, taken_up: rate },
        Application::Pumped { pickle: Mass::grams(1000.0), pump: rate },
    ]
}

fn of_verdicts() -> Vec<Advice> {
    let mut said = Vec::new();
    for country in COUNTRIES {
        for product in Product::ALL {
            for application in applications() {
                for label in labels() {
                    for cure in [0.0, 0.5, 1.0, 1.6, 2.4, 4.0, 10.0, 25.0, 40.0] {
                        let scope =
                            Scope::new(product, application.method(), Country::parse(country), today());
                        let ingoing = application.ingoing(Mass::grams(cure), &label).unwrap();
                        let salt_in_meat = (cure > 1.0).then(|| Fraction::percent(2.0));
                        let case = Case { scope, ingoing, label: Some(label), salt_in_meat };
                        said.extend(judge(&case).into_iter().filter_map(|finding| finding.advice));
                    }
                }
            }
        }
    }
    said
}

fn of_doses() -> Vec<Advice> {
    let mut said = Vec::new();
    for country in COUNTRIES {
        for application in applications() {
            for label in labels() {
                for (target, scale, salt) in
                    [(Target::Usual, 0.1, 2.5), (Target::Maximum, 0.1, 2.5), (Target::Maximum, 1.0, 5.0)]
                {
                    let product = application.method().usual_product();
                    let planned = plan(&DoseRequest {
                        application,
                        label,
                        scope: Scope::new(product, application.method(), Country::parse(country), today()),
                        target,
                        salt: Some(Fraction::percent(salt)),
                        scale_step: Mass::grams(scale),
                    });
                    match planned {
                        Ok(dose) => said.extend(dose.advice),
                        Err(mistake) => said.extend(mistake.ways_out()),
                    }
                }
            }
        }
    }
    said
}

fn of_times() -> Vec<Advice> {
    let piece = |shape, weight: Option<f64>| Piece {
        thickness: Length::millimetres(90.0),
        shape,
        method: Method::Dry,
        weight: weight.map(Mass::grams),
    };
    [piece(Some(Shape::Cylinder), Some(5000.0)), piece(None, None)]
        .iter()
        .flat_map(|piece| cure_time(piece, today()).unwrap().advice)
        .collect()
}

fn of_recipes() -> Vec<Advice> {
    let two_pounds = Mass::of(2.0, MassUnit::Pound);
    let hundred = Volume::of(100.0, VolumeUnit::UsGallon);
    let pure = CureLabel::new(Fraction::percent(100.0), Fraction::percent(0.0)).unwrap();
    let told = by_the_gallon(two_pounds, &pure, hundred);
    let measured: Vec<_> = told.iter().map(|finding| finding.measured).collect();
    assert_eq!(measured, [Some(2.0)], "2 lb of pure nitrite in 100 gal, as the regulation prints it");
    told.into_iter().filter_map(|finding| finding.advice).collect()
}

#[test]
fn every_sentence_is_listed_with_its_holes_and_every_listed_one_is_used() {
    let said = [of_verdicts(), of_doses(), of_times(), of_recipes()].concat();
    let mut used = BTreeSet::new();
    for advice in said {
        let (key, holes) = advice::KEYS
            .iter()
            .find(|(key, _)| *key == advice.key)
            .unwrap_or_else(|| panic!("{} is not listed", advice.key));
        let filled: BTreeSet<&str> = advice.holes.iter().map(|(hole, _)| *hole).collect();
        assert_eq!(filled, holes.iter().copied().collect(), "{key}");
        assert!(advice.holes.iter().all(|(_, text)| !text.is_empty()), "{advice:?}");
        used.insert(*key);
    }
    // For a row that informs without a note of its own; today every one has a note.
    used.insert(advice::INFORMATION);
    let unused: Vec<_> = advice::KEYS.iter().filter(|(key, _)| !used.contains(key)).collect();
    assert!(unused.is_empty(), "{unused:?}");
}

/// A note is a wording key; one that is not listed could never be worded.
#[test]
fn every_note_of_a_cure_row_is_listed() {
    let cure = ["nitrite", "nitrate", "nitrite_and_nitrate", "ascorbate", "salt", "cure_time"];
    for row in rulebook::all().iter().filter(|row| cure.contains(&row.figure.as_str())) {
        if let Some(note) = &row.note {
            assert!(advice::KEYS.iter().any(|(key, _)| key == note), "{}: {note}", row.id);
        }
    }
}
