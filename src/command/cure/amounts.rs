//! Weights of cure, salt and meat as the member weighs them, and the figures made of them.
#![expect(clippy::similar_names, reason = "nitrite and nitrate are the field's words")]

use crate::command::asking::Asking;
use crate::curing::Standing;
use crate::curing::brine::DENSITY_SOURCE;
use crate::curing::cure::verdict::USUAL_TARGET_EXACT;
use crate::curing::cure::{Bound, CureLabel, Ingoing};
use crate::quantity::{Fraction, Mass, MassUnit, compare, format};
use crate::reply::finding::standing_shown;
use crate::reply::{Figure, say, unit};

/// Decimals up to which a scale's step is a step of that unit: 0.1 g is none of an ounce.
const MOST_STEP_DECIMALS: usize = 4;

/// A weight of cure on the member's scale: rounded down to its step, in the member's unit for cure. Where the step
/// is no round number of that unit, grams are what the scale shows, with the unit in brackets.
pub(super) fn cure(mass: Mass, step: Mass, asking: &Asking) -> String {
    let wanted = asking.member.settings.cure;
    if is_step_of(step, wanted) {
        return format::dose_mass_in(mass, step, wanted);
    }
    format!("{} ({})", format::dose_mass(mass, step), format::mass(mass, wanted))
}

/// A weight of plain salt on the member's scale: rounded up, so that a salt target is reached and never just missed.
pub(super) fn salt(mass: Mass, step: Mass, asking: &Asking) -> String {
    cure(salt_up(mass, step), step, asking)
}

/// Plain salt in whole steps of the scale, rounded up.
pub(super) fn salt_up(mass: Mass, step: Mass) -> Mass {
    let (_, grams) = format::ceil_to_step(mass.as_grams(), step.as_grams());
    Mass::grams(grams)
}

/// A weight of cure as it was typed, in the member's unit for cure.
pub(super) fn typed_cure(mass: Mass, asking: &Asking) -> String {
    match asking.member.settings.cure {
        MassUnit::Gram => format!("{} g", format::trimmed(mass.as_grams(), 2)),
        unit => format::mass(mass, unit),
    }
}

fn is_step_of(step: Mass, unit: MassUnit) -> bool {
    let amount = format::trimmed(step.in_unit(unit), 12);
    unit == MassUnit::Gram
        || amount.split_once('.').is_none_or(|(_, decimals)| decimals.len() <= MOST_STEP_DECIMALS)
}

/// A weight of meat, water or pickle in the member's unit.
pub(super) fn meat(mass: Mass, asking: &Asking) -> String {
    format::mass(mass, asking.member.settings.mass)
}

/// A weight that must be reached: rounded up.
pub(super) fn at_least(mass: Mass, asking: &Asking) -> String {
    let unit = asking.member.settings.mass;
    let step = match unit {
        MassUnit::Gram | MassUnit::Kilogram => Mass::grams(1.0),
        MassUnit::Ounce | MassUnit::Pound => Mass::of(0.1, MassUnit::Ounce),
    };
    let (_, rounded) = format::ceil_to_step(mass.as_grams(), step.as_grams());
    format::mass(Mass::grams(rounded), unit)
}

/// Nitrite, and nitrate where there is any: "156.25 mg/kg nitrite and 100 mg/kg nitrate".
pub(in crate::command) fn ingoing(ingoing: &Ingoing) -> String {
    let nitrite = format::mg_per_kg(ingoing.nitrite_as_sodium_nitrite().mg_per_kg());
    let nitrate = ingoing.nitrate_as_sodium_nitrate().mg_per_kg();
    if nitrate > 0.0 {
        say("cure.amounts_both", &[("nitrite", &nitrite), ("nitrate", &format::mg_per_kg(nitrate))])
    } else {
        say("cure.amounts", &[("nitrite", &nitrite)])
    }
}

/// A weight as a figure, with what a person sees.
pub(super) fn mass_figure(id: &'static str, mass: Mass, shown: String) -> Figure {
    Figure::number(id, label(id), mass.as_grams(), unit::GRAM, shown)
}

/// Salt in the meat.
pub(super) fn salt_figure(salt: Fraction) -> Figure {
    let id = "salt_in_meat";
    Figure::number(id, label(id), salt.as_percent(), unit::PERCENT, format::percent(salt))
}

/// The gain in weight in a brine.
pub(super) fn pick_up_figure(gain: Fraction) -> Figure {
    let id = "pick_up";
    Figure::number(id, label(id), gain.as_percent(), unit::PERCENT, format::percent(gain))
}

/// Ingoing nitrite, and nitrate where there is any, each as sodium salt and as ion.
pub(super) fn ingoing_figures(ingoing: &Ingoing) -> Vec<Figure> {
    let nitrite = [
        ("ingoing_nitrite_as_sodium_nitrite", ingoing.nitrite_as_sodium_nitrite().mg_per_kg()),
        ("ingoing_nitrite_as_ion", ingoing.nitrite_as_ion().mg_per_kg()),
    ];
    let nitrate = [
        ("ingoing_nitrate_as_sodium_nitrate", ingoing.nitrate_as_sodium_nitrate().mg_per_kg()),
        ("ingoing_nitrate_as_ion", ingoing.nitrate_as_ion().mg_per_kg()),
    ];
    let nitrate = nitrate.into_iter().filter(|(_, value)| *value > 0.0);
    nitrite.into_iter().chain(nitrate).map(|(id, value)| mg_per_kg(id, value)).collect()
}

/// The weight of cure at the lowest maximum. Where that is above the usual target it is a plant's limit and nothing
/// to aim at: it is there for scripts and not shown.
pub(super) fn at_limit_figure(
    most: Mass,
    bound: &Bound,
    label: &CureLabel,
    step: Mass,
    asking: &Asking,
) -> Figure {
    let brings = bound.share.as_one() * label.nitrite().as_one() * 1e6;
    let figure = mass_figure("cure_salt_at_limit", most, cure(most, step, asking));
    if compare::with_tolerance(brings, USUAL_TARGET_EXACT).is_gt() { figure.folded() } else { figure }
}

/// Pure nitrite in a weight of cure. For scripts, and not shown: nobody weighs it pure at home.
pub(super) fn pure_nitrite(cure: Mass, label: &CureLabel) -> Figure {
    let grams = cure.as_grams() * label.nitrite().as_one();
    mass_figure("nitrite_needed", Mass::grams(grams), format!("{} g", format::trimmed(grams, 3))).folded()
}

fn mg_per_kg(id: &'static str, value: f64) -> Figure {
    Figure::number(id, label(id), value, unit::MG_PER_KG, format::mg_per_kg(value))
}

fn label(id: &str) -> String {
    say(&format!("label.{id}"), &[])
}

/// Where densities of brine are from, and how well they are known.
pub(super) fn density_source() -> String {
    format!("{DENSITY_SOURCE}, {}", standing_shown(Standing::SecondHand))
}
