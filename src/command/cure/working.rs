//! How it was worked out: each formula with the numbers put in. The rules bring their full sources themselves.
#![expect(clippy::similar_names, reason = "nitrite and nitrate are the field's words")]

use crate::curing::cure::{Application, CureLabel, Dose, DoseRequest, Ingoing, Liquid};
use crate::quantity::{AmountBasis, Fraction, Mass, MassUnit, format};
use crate::reply::say;

/// Ingoing nitrite and nitrate of a weight of cure, as salt and as ion.
pub(in crate::command) fn ingoing(
    application: &Application,
    cure: Mass,
    label: &CureLabel,
    ingoing: &Ingoing,
    pickle: Option<Mass>,
) -> Vec<String> {
    let over = spread_over(application, pickle);
    let one = |key: &str, fraction: Fraction, value: f64| {
        let holes = [
            ("cure", &*grams(cure)),
            ("percent", &format::percent(fraction)),
            ("over", &over),
            ("value", &mg_per_kg(value)),
        ];
        say(key, &holes)
    };
    let nitrite = ingoing.nitrite_by_weight();
    let nitrate = ingoing.nitrate_by_weight();
    let mut lines = vec![one("cure.working.nitrite", label.nitrite(), nitrite)];
    if nitrate > 0.0 {
        lines.push(one("cure.working.nitrate", label.nitrate(), nitrate));
    }
    lines.push(ion("cure.working.nitrite_ion", label.nitrite_salt(), AmountBasis::NitriteIon, nitrite));
    if nitrate > 0.0 {
        lines.push(ion("cure.working.nitrate_ion", label.nitrate_salt(), AmountBasis::NitrateIon, nitrate));
    }
    lines
}

fn ion(key: &str, salt: AmountBasis, ion: AmountBasis, mg_per_kg_of_salt: f64) -> String {
    let as_ion = mg_per_kg_of_salt * ion.molar_mass() / salt.molar_mass();
    let holes = [
        ("salt", &*mg_per_kg(mg_per_kg_of_salt)),
        ("ion_mass", &format::trimmed(ion.molar_mass(), 4)),
        ("salt_mass", &format::trimmed(salt.molar_mass(), 4)),
        ("ion", &mg_per_kg(as_ion)),
    ];
    say(key, &holes)
}

/// What the cure is divided by, in words with numbers.
fn spread_over(application: &Application, pickle: Option<Mass>) -> String {
    let pickle = grams(pickle.unwrap_or(Mass::grams(0.0)));
    match *application {
        Application::Comminuted { meat } | Application::Dry { meat } => {
            let key = if meat.skin_on { "cure.working.over_skin" } else { "cure.working.over_meat" };
            say(key, &[("meat", &grams(meat.weight))])
        }
        Application::Equilibrium { meat, .. } => {
            say("cure.working.over_both", &[("meat", &grams(meat.counted())), ("pickle", &pickle)])
        }
        Application::PickUp { taken_up, .. } => {
            say("cure.working.over_pickle", &[("rate", &format::percent(taken_up)), ("pickle", &pickle)])
        }
        Application::Pumped { pump, .. } => {
            say("cure.working.over_pickle", &[("rate", &format::percent(pump)), ("pickle", &pickle)])
        }
    }
}

/// From target to dose: the exact dose and its rounding, the salt in it and beside it.
pub(super) fn dose(request: &DoseRequest, dose: &Dose) -> Vec<String> {
    let holes = [
        ("target", &*mg_per_kg(dose.asked.mg_per_kg())),
        ("exact", &grams(dose.cure_salt_exact)),
        ("step", &grams(request.scale_step)),
        ("cure", &grams(dose.cure_salt)),
    ];
    let mut lines = vec![say("cure.working.dose", &holes)];
    let holes = [
        ("cure", &*grams(dose.cure_salt)),
        ("percent", &format::percent(request.label.salt())),
        ("salt", &grams(dose.salt_in_cure)),
    ];
    lines.push(say("cure.working.salt_in_cure", &holes));
    if let Some(salt) = request.salt {
        let holes = [
            ("target", &*format::percent(salt)),
            ("of", &salt_basis(&request.application)),
            ("in_cure", &grams(dose.salt_in_cure)),
            ("plain", &grams(dose.plain_salt)),
        ];
        lines.push(say("cure.working.plain_salt", &holes));
    }
    lines.extend(ingoing(&request.application, dose.cure_salt, &request.label, &dose.ingoing, dose.pickle));
    lines
}

/// The weight a salt target is a part of.
fn salt_basis(application: &Application) -> String {
    let key = match application {
        Application::Comminuted { .. } | Application::Dry { .. } => "word.salt_of.meat",
        Application::Equilibrium { liquid: Liquid::Water(_) | Liquid::Pickle(_), .. } => {
            "word.salt_of.meat_and_water"
        }
        Application::PickUp { .. } | Application::Pumped { .. } => "word.salt_of.pumped",
    };
    say(key, &[])
}

fn grams(mass: Mass) -> String {
    match mass.in_unit(MassUnit::Gram) {
        small if small.abs() < 100.0 => format!("{} g", format::trimmed(small, 3)),
        large => format!("{} g", format::trimmed(large, 2)),
    }
}

fn mg_per_kg(value: f64) -> String {
    format::mg_per_kg(value)
}
