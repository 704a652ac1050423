//! Published worked examples, one test for each reference file.

use crate::reference::{self, Row};
use chrono::NaiveDate;
use std::collections::BTreeSet;
use tallyhook::curing::cure::{
    Application, Case, CureError, CureLabel, DoseRequest, GreenWeight, Ingoing, Liquid, Method, Piece,
    Product, Scope, Shape, Target, brine_salt_exact, brine_salt_simple, cure_time, judge, pick_up, plan,
    round_down,
};
use tallyhook::curing::{Country, Finding};
use tallyhook::quantity::{
    AmountBasis, Concentration, Fraction, Length, LengthUnit, Mass, MassUnit, WeightBasis,
};

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn mass(row: &Row, name: &str) -> Option<Mass> {
    let amount = row.optional_number(name)?;
    Some(match row.text(&format!("{name}_unit")) {
        "g" => Mass::grams(amount),
        "kg" => Mass::of(amount, MassUnit::Kilogram),
        "oz" => Mass::of(amount, MassUnit::Ounce),
        "lb" => Mass::of(amount, MassUnit::Pound),
        other => panic!("{other}"),
    })
}

fn label(row: &Row) -> CureLabel {
    CureLabel::new(
        Fraction::percent(row.number("nitrite_percent")),
        Fraction::percent(row.number("nitrate_percent")),
    )
    .unwrap()
}

fn application(row: &Row, skin_on: bool) -> Application {
    let meat = || GreenWeight { weight: mass(row, "meat").unwrap(), skin_on };
    let rate = || Fraction::percent(row.number("rate_percent"));
    match Method::parse(row.text("method")).unwrap() {
        Method::Comminuted => Application::Comminuted { meat: meat() },
        Method::Dry => Application::Dry { meat: meat() },
        Method::Immersion => {
            Application::Equilibrium { meat: meat(), liquid: Liquid::Pickle(mass(row, "pickle").unwrap()) }
        }
        Method::ImmersionPickup => {
            Application::PickUp { liquid: Liquid::Pickle(mass(row, "pickle").unwrap()), taken_up: rate() }
        }
        Method::Inject => Application::Pumped { pickle: mass(row, "pickle").unwrap(), pump: rate() },
    }
}

#[test]
fn ingoing_nitrite_and_nitrate() {
    reference::load("cure_ingoing.csv").each(|row| {
        let application = application(row, row.optional("skin") == Some("yes"));
        let ingoing = application
            .ingoing(mass(row, "cure").unwrap(), &label(row))
            .map_err(|mistake| mistake.to_string())?;
        let tolerance = row.number("tolerance");
        row.close("nitrite", ingoing.nitrite_as_sodium_nitrite().mg_per_kg(), tolerance)?;
        row.close("nitrate", ingoing.nitrate_as_sodium_nitrate().mg_per_kg(), tolerance)
    });
}

#[test]
fn salt_and_ion() {
    let basis = |text: &str| match text {
        "sodium_nitrite" => AmountBasis::SodiumNitrite,
        "potassium_nitrite" => AmountBasis::PotassiumNitrite,
        "nitrite_ion" => AmountBasis::NitriteIon,
        "sodium_nitrate" => AmountBasis::SodiumNitrate,
        "potassium_nitrate" => AmountBasis::PotassiumNitrate,
        "nitrate_ion" => AmountBasis::NitrateIon,
        other => panic!("{other}"),
    };
    reference::load("cure_units.csv").each(|row| {
        let from = Concentration::ingoing(
            row.number("mg_per_kg"),
            basis(row.text("from")),
            WeightBasis::GreenWeight,
        );
        let to = from.counted_as(basis(row.text("to"))).ok_or("no conversion")?;
        row.close("expected", to.mg_per_kg(), row.number("tolerance"))
    });
}

fn scope(row: &Row) -> Scope {
    Scope::new(
        Product::parse(row.text("product")).unwrap(),
        Method::parse(row.text("method")).unwrap(),
        Some(Country::parse(row.text("country")).unwrap()),
        today(),
    )
}

#[test]
fn verdicts() {
    reference::load("cure_verdicts.csv").each(|row| {
        let label = label(row);
        let ingoing = application(row, false)
            .ingoing(mass(row, "cure").unwrap(), &label)
            .map_err(|mistake| mistake.to_string())?;
        let findings = judge(&Case { scope: scope(row), ingoing, label: Some(label), salt_in_meat: None });
        let finding = find(&findings, row.text("rule"))?;
        // Half of the last digit of the two-decimal figures, and of the one-decimal ones.
        if row.optional("measured").is_some() {
            row.close("measured", finding.measured.ok_or("not measured")?, 0.051)?;
        } else if finding.measured.is_some() {
            return Err("measured, and should not be".into());
        }
        let said = (word(&finding.outcome), word(&finding.level));
        let printed = (row.text("outcome").to_string(), row.text("level").to_string());
        if said == printed { Ok(()) } else { Err(format!("{said:?}, printed {printed:?}")) }
    });
}

fn find<'a>(findings: &'a [Finding], id: &str) -> Result<&'a Finding, String> {
    let seen = || findings.iter().map(|it| it.limit.id.clone()).collect::<Vec<_>>();
    findings
        .iter()
        .find(|finding| finding.limit.id == id)
        .ok_or_else(|| format!("{id} is not among {:?}", seen()))
}

/// The serialised word of an outcome or a level.
fn word(value: &impl serde::Serialize) -> String {
    serde_json::to_value(value).unwrap().as_str().unwrap().to_string()
}

#[test]
fn doses() {
    reference::load("cure_doses.csv").each(|row| {
        let request = DoseRequest {
            application: Application::Dry { meat: GreenWeight::of(Mass::grams(row.number("meat_g"))) },
            label: label(row),
            scope: scope(row),
            target: match row.text("target") {
                "max" => Target::Maximum,
                target => Target::MgPerKg(target.parse().unwrap()),
            },
            salt: row.optional_number("salt_percent").map(Fraction::percent),
            scale_step: Mass::grams(row.number("step_g")),
        };
        let planned = plan(&request);
        if row.optional("refused").is_some() {
            return match planned {
                Err(CureError::ScaleTooCoarse { ways_out, .. }) if !ways_out.is_empty() => Ok(()),
                other => Err(format!("not refused for its scale: {other:?}")),
            };
        }
        let dose = planned.map_err(|mistake| mistake.to_string())?;
        row.close("cure_g", dose.cure_salt.as_grams(), 1e-9)?;
        row.close("nitrite", dose.ingoing.nitrite_as_sodium_nitrite().mg_per_kg(), 1e-9)?;
        if row.optional("plain_g").is_some() {
            row.close("plain_g", dose.plain_salt.as_grams(), 1e-9)?;
        }
        let at_limit = dose.cure_salt_at_limit.ok_or("no limit")?;
        row.close("at_limit_g", at_limit.as_grams(), row.number("tolerance"))
    });
}

#[test]
fn times_by_custom() {
    reference::load("cure_times.csv").each(|row| {
        let unit = match row.text("thickness_unit") {
            "mm" => LengthUnit::Millimetre,
            _ => LengthUnit::Inch,
        };
        let piece = Piece {
            thickness: Length::of(row.number("thickness"), unit),
            shape: Shape::parse(row.text("shape")),
            method: Method::parse(row.text("method")).unwrap(),
            weight: mass(row, "weight"),
        };
        let time = cure_time(&piece, today()).map_err(|mistake| mistake.to_string())?;
        let custom = time
            .customs
            .iter()
            .find(|custom| custom.row.id == row.text("custom"))
            .ok_or("the custom is not among them")?;
        row.close("days", f64::from(custom.days), 0.0)?;
        if row.optional("soak_minutes").is_some() {
            row.close("soak_minutes", f64::from(time.soak_minutes.unwrap_or(0)), 0.0)?;
        }
        Ok(())
    });
}

#[test]
fn salt_of_an_equilibrium_brine() {
    reference::load("cure_brine.csv").each(|row| {
        let meat = Mass::grams(row.number("meat_g"));
        let water = Mass::grams(row.number("water_g"));
        let target = Fraction::percent(row.number("salt_percent"));
        row.close("simple_g", brine_salt_simple(meat, water, target).as_grams(), 0.0005)?;
        let exact = brine_salt_exact(meat, water, target).ok_or("no answer")?;
        row.close("exact_g", exact.as_grams(), 0.0005)
    });
}

/// 120 mg/kg at 20 % pump from 100 lb of brine: 0.06 lb of nitrite (published example of the pumping formula).
#[test]
fn vector_8_nitrite_for_a_pumped_pickle() {
    let label = CureLabel::new(Fraction::percent(100.0), Fraction::percent(0.0)).unwrap();
    let pumped =
        Application::Pumped { pickle: Mass::of(100.0, MassUnit::Pound), pump: Fraction::percent(20.0) };
    let share = Fraction::of_one(120.0 / 1e6);
    let nitrite = pumped.cure_for(share, &label, None).unwrap();
    assert!((nitrite.in_unit(MassUnit::Pound) - 0.06).abs() < 1e-9);
}

/// 40 days in cure: 80 minutes of soaking at 2 minutes a day (USDA Farmers' Bulletin 2265, 1978, rev. 1981).
#[test]
fn vector_24_soaking() {
    let piece = Piece {
        thickness: Length::of(40.0 / 7.0, LengthUnit::Inch),
        shape: Some(Shape::Slab),
        method: Method::Dry,
        weight: None,
    };
    let time = cure_time(&piece, today()).unwrap();
    assert_eq!((time.days, time.soak_minutes), (40, Some(80)));
}

/// 76.2 mm are 3 inches and 21 days, though binary makes 21.000000000000004 of it; a hair more is 22.
#[test]
fn whole_inches_are_whole_days() {
    let days = |millimetres| {
        let piece = Piece {
            thickness: Length::millimetres(millimetres),
            shape: Some(Shape::Slab),
            method: Method::Dry,
            weight: None,
        };
        cure_time(&piece, today()).unwrap().days
    };
    assert_eq!((days(76.2), days(76.3)), (21, 22));
}

/// Impossible figures are errors, not numbers.
#[test]
fn vector_30_impossible_figures() {
    let label = CureLabel::new(Fraction::percent(6.25), Fraction::percent(0.0)).unwrap();
    let cure = Mass::grams(2.5);
    for grams in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
        let meat = Application::Dry { meat: GreenWeight::of(Mass::grams(grams)) };
        assert!(meat.ingoing(cure, &label).is_err(), "meat {grams}");
        let pumped = Application::Pumped { pickle: Mass::grams(grams), pump: Fraction::percent(10.0) };
        assert!(pumped.ingoing(cure, &label).is_err(), "pickle {grams}");
    }
    // A pump of 10 is not 10 %: it would be a hundred times too much.
    for pump in [10.0, 0.0, -0.1, f64::NAN] {
        let pumped = Application::Pumped { pickle: Mass::grams(1000.0), pump: Fraction::of_one(pump) };
        assert!(pumped.ingoing(cure, &label).is_err(), "pump {pump}");
    }
    let meat = Application::Dry { meat: GreenWeight::of(Mass::grams(1000.0)) };
    for cure in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(meat.ingoing(Mass::grams(cure), &label).is_err(), "cure {cure}");
    }
    assert!(pick_up(Mass::grams(0.0), Mass::grams(10.0)).is_err());
    assert!(pick_up(Mass::grams(1000.0), Mass::grams(990.0)).is_err());
    let gained = pick_up(Mass::grams(1000.0), Mass::grams(1040.0)).unwrap();
    assert!((gained.as_percent() - 4.0).abs() < 1e-9);
}

/// 0.3 g on a 0.1 g scale is three steps, not two (0.3 / 0.1 is 2.9999999999999996).
#[test]
fn vector_36_whole_steps() {
    let rounded = round_down(Mass::grams(0.3), Mass::grams(0.1)).as_grams();
    assert!((rounded - 0.3).abs() < 1e-12, "{rounded}");
}

/// Every vector this part answers for stands in a file or has a test of its own. The brine-strength and
/// water-phase-salt examples (19 to 21) and the words where a percentage belongs (29) are other parts' work.
#[test]
fn every_vector_is_exercised() {
    let files = [
        "cure_ingoing.csv",
        "cure_units.csv",
        "cure_verdicts.csv",
        "cure_doses.csv",
        "cure_times.csv",
        "cure_brine.csv",
    ];
    let own_test = [8, 24, 30, 36];
    let found: BTreeSet<u32> = files
        .iter()
        .flat_map(|file| reference::load(file).rows)
        .filter_map(|row| {
            let id = row.text("id").strip_prefix('V')?;
            id.trim_end_matches(char::is_alphabetic).parse().ok()
        })
        .chain(own_test)
        .collect();
    let elsewhere = [19, 20, 21, 29];
    let wanted: BTreeSet<u32> = (1..=36).filter(|number| !elsewhere.contains(number)).collect();
    assert_eq!(found, wanted);
}

/// The dilution of the published example, backwards: how much meat brings 156 down to 117.
#[test]
fn vector_11_meat_that_dilutes_a_brine() {
    let label = CureLabel::new(Fraction::percent(100.0), Fraction::percent(0.0)).unwrap();
    let pounds = |amount| Mass::of(amount, MassUnit::Pound);
    let brine =
        Application::Equilibrium { meat: GreenWeight::of(pounds(5.0)), liquid: Liquid::Pickle(pounds(10.0)) };
    let cure = pounds(0.00234);
    let share = Fraction::of_one(117.0 / 1e6);
    let meat = brine.meat_for(cure, share, &label).unwrap();
    assert!((meat.in_unit(MassUnit::Pound) - 10.0).abs() < 1e-9);
}

/// Two methods on one piece add up: pumped to 100 and rubbed to 56.25 is 156.25 (project rule).
#[test]
fn two_methods_add_up() {
    let label = CureLabel::new(Fraction::percent(6.25), Fraction::percent(0.0)).unwrap();
    let share = |mg_per_kg: f64| Fraction::of_one(mg_per_kg / 1e6 / 0.0625);
    let one = Ingoing::of_share(&label, share(100.0), WeightBasis::GreenWeight);
    let other = Ingoing::of_share(&label, share(56.25), WeightBasis::GreenWeight);
    let sum = one.plus(other);
    assert!((sum.nitrite_as_sodium_nitrite().mg_per_kg() - 156.25).abs() < 1e-9);
    let scope = Scope {
        methods: vec![Method::Inject, Method::Dry],
        ..Scope::new(Product::Muscle, Method::Inject, Country::parse("US"), today())
    };
    let findings = judge(&Case { scope, ingoing: sum, label: Some(label), salt_in_meat: None });
    // The strictest row of the two methods leads.
    let judged: Vec<_> = findings
        .iter()
        .filter(|finding| finding.measured.is_some())
        .map(|finding| finding.limit.id.as_str())
        .collect();
    assert_eq!(judged[..2], ["us.pickle", "us.dry"]);
}
