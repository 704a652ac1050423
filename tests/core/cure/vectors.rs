//! Published worked examples, one test for each reference file.

use crate::reference::{self, Row};
use chrono::NaiveDate;
use std::collections::BTreeSet;
use tallyhook::curing::cure::{
    Application, Case, CureError, CureLabel, DoseRequest, GreenWeight, Ingoing, Liquid, Method, Piece,
    Product, Scope, Shape, Target, brine_salt_simple, cure_time, judge, plan, salometer_degrees,
    salt_for_strength, strength_at_degrees, water_phase_salt,
};
use tallyhook::curing::{Country, Finding};
use tallyhook::quantity::{
    AmountBasis, Concentration, Fraction, Length, LengthUnit, Mass, MassUnit, WeightBasis, format,
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
        let exact = salt_for_strength(meat + water, target).ok_or("no answer")?;
        row.close("exact_g", exact.as_grams(), 0.0005)
    });
}

#[test]
fn strength_of_a_brine() {
    reference::load("brine_strength.csv").each(|row| {
        let strength = strength_at_degrees(row.number("degrees"));
        let tolerance = row.number("percent_tolerance");
        row.close("percent", strength.as_percent(), tolerance)?;
        let printed = Fraction::percent(row.number("percent"));
        row.close("degrees", salometer_degrees(printed), tolerance / 0.263_95)?;
        let water = Mass::of(row.number("water_kg"), MassUnit::Kilogram);
        let salt = salt_for_strength(water, strength).ok_or("no answer")?;
        row.close("salt_g", salt.as_grams(), row.number("salt_tolerance"))
    });
    for impossible in [1.0, 1.5, -0.1, f64::NAN] {
        assert_eq!(
            salt_for_strength(Mass::grams(1000.0), Fraction::of_one(impossible)),
            None,
            "{impossible}"
        );
    }
}

#[test]
fn salt_in_the_water_of_a_piece() {
    let part = |salt, moisture| water_phase_salt(Fraction::percent(salt), Fraction::percent(moisture));
    reference::load("water_phase_salt.csv").each(|row| {
        let found = part(row.number("salt_percent"), row.number("moisture_percent")).ok_or("no answer")?;
        row.close("water_phase_percent", found.as_percent(), 0.001)
    });
    for (salt, moisture) in [(-1.0, 60.0), (3.0, 0.0), (60.0, 60.0), (f64::NAN, 60.0), (3.0, f64::NAN)] {
        assert_eq!(part(salt, moisture), None, "{salt} and {moisture}");
    }
}

#[test]
fn nitrite_for_a_pumped_pickle() {
    let label = CureLabel::new(Fraction::percent(100.0), Fraction::percent(0.0)).unwrap();
    reference::load("cure_pumped_pickle.csv").each(|row| {
        let pickle = Mass::of(row.number("pickle_lb"), MassUnit::Pound);
        let pumped = Application::Pumped { pickle, pump: Fraction::percent(row.number("pump_percent")) };
        let share = Fraction::of_one(row.number("mg_per_kg") / 1e6);
        let nitrite = pumped.cure_for(share, &label, None).map_err(|mistake| mistake.to_string())?;
        row.close("nitrite_lb", nitrite.in_unit(MassUnit::Pound), 1e-9)
    });
}

/// Impossible figures are errors, not numbers.
#[test]
fn impossible_figures() {
    let label = CureLabel::new(Fraction::percent(6.25), Fraction::percent(0.0)).unwrap();
    let pumped =
        |pickle, pump| Application::Pumped { pickle: Mass::grams(pickle), pump: Fraction::of_one(pump) };
    let rubbed = |meat| Application::Dry { meat: GreenWeight::of(Mass::grams(meat)) };
    reference::load("cure_impossible.csv").each(|row| {
        let value = row.number("value");
        let (application, cure) = match row.text("figure") {
            "meat" => (rubbed(value), 2.5),
            "cure" => (rubbed(1000.0), value),
            "pickle" => (pumped(value, 0.1), 2.5),
            "pump" => (pumped(1000.0, value), 2.5),
            other => return Err(format!("{other} is no figure")),
        };
        match application.ingoing(Mass::grams(cure), &label) {
            Err(_) => Ok(()),
            Ok(ingoing) => Err(format!("not refused: {ingoing:?}")),
        }
    });
    assert!(rubbed(1000.0).ingoing(Mass::grams(2.5), &label).is_ok() && pumped(1000.0, 0.1).check().is_ok());
}

#[test]
fn whole_steps_of_a_scale() {
    reference::load("scale_steps.csv").each(|row| {
        let (_, on_scale) = format::floor_to_step(row.number("dose_g"), row.number("step_g"));
        row.close("on_scale_g", on_scale, 1e-12)
    });
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

/// Every vector stands in a file. The words where a percentage belongs (29) are the commands' work.
#[test]
fn every_vector_is_exercised() {
    let files = [
        "cure_ingoing.csv",
        "cure_units.csv",
        "cure_verdicts.csv",
        "cure_doses.csv",
        "cure_times.csv",
        "cure_brine.csv",
        "brine_strength.csv",
        "water_phase_salt.csv",
        "cure_pumped_pickle.csv",
        "cure_impossible.csv",
        "scale_steps.csv",
    ];
    let found: BTreeSet<u32> = files
        .iter()
        .flat_map(|file| reference::load(file).rows)
        .filter_map(|row| {
            let id = row.text("id").strip_prefix('V')?;
            id.trim_end_matches(char::is_alphabetic).parse().ok()
        })
        .collect();
    let wanted: BTreeSet<u32> = (1..=36).filter(|number| *number != 29).collect();
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
