//! `/cure recipe`: an old recipe for a pickle, by the gallon or the pound, judged by today's rows.

use super::amounts;
use super::applied::{Applied, PickleUse};
use super::brine::brine_sentence;
use super::judged::judged;
use super::options::{self, COUNTRY, NITRATE, NITRITE, PRODUCT};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::brine::{SCALE_TEMPERATURE, by_the_gallon, weight_of_pickle};
use crate::curing::cure::advice;
use crate::curing::finding::{Advice, Finding, Level};
use crate::curing::rule::Rulebook;
use crate::quantity::{Mass, MassUnit, QuantityError, Volume, format, parse};
use crate::reply::finding::advised;
use crate::reply::{Reply, finding, say};

/// `/cure recipe`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "recipe",
    aliases: &[],
    summary: "an old recipe for a pickle, judged by today's rules",
    options: &[
        needed("cure", OptionKind::Mass, "cure, nitrite or saltpetre in it, e.g. 2 lb"),
        NITRITE,
        NITRATE,
        maybe("water", OptionKind::Text, "its water, e.g. 4.5 US gal or 20 kg; or give pickle:"),
        maybe("pickle", OptionKind::Text, "or the finished pickle, e.g. 100 US gal"),
        maybe("salt", OptionKind::Mass, "plain salt in it, e.g. 8 lb"),
        maybe("sugar", OptionKind::Mass, "sugar in it, e.g. 3 lb"),
        maybe("pump", OptionKind::Percent, "pickle pumped, as a part of the meat, e.g. 10%"),
        maybe("pickup", OptionKind::Percent, "or gain in weight in the brine, e.g. 4%"),
        maybe("meat", OptionKind::Mass, "or the meat that lies in it until they are in balance"),
        PRODUCT,
        COUNTRY,
    ],
    examples: [
        "cure recipe cure:2 lb nitrite:100% pickle:100 US gal pump:10% country:US",
        "cure recipe cure:3 oz nitrite:6.25% water:1 US gal salt:1 lb meat:10 lb country:US",
    ],
    private: false,
};

/// How much liquid a recipe names: weighed, or by volume.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Amount {
    Weighed(Mass),
    Measured(Volume),
}

/// A recipe, read.
#[derive(Debug, Clone)]
pub struct CureRecipe {
    applied: Applied,
    meat: Mass,
    use_of: PickleUse,
    pickle: Mass,
    /// What the pickle's weight is made of, in words.
    parts: Vec<(&'static str, Mass)>,
    /// The finished pickle's volume and how it was typed, where that is what the recipe names.
    volume: Option<(Volume, String)>,
    /// Whether a volume is weighed without knowing its salt.
    salt_unknown: bool,
}

impl CureRecipe {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let none = Mass::grams(0.0);
        let cure = options::cure_weight(args)?;
        let label = super::label::read(args)?;
        let salt = options::mass(args, "salt")?;
        let (plain, sugar) = (salt.unwrap_or(none), options::mass(args, "sugar")?.unwrap_or(none));
        let (mut parts, mut volume) = (Vec::new(), None);
        match (amount(args, "water")?, amount(args, "pickle")?) {
            (Some(water), None) => {
                let solutes = [
                    ("cure.recipe.part_salt", plain),
                    ("cure.recipe.part_sugar", sugar),
                    ("cure.recipe.part_cure", cure),
                ];
                parts.push(("cure.recipe.part_water", weight(args, water, none)?));
                parts.extend(solutes.into_iter().filter(|(_, mass)| *mass > none));
            }
            (None, Some(Amount::Weighed(pickle))) => parts.push(("cure.recipe.part_pickle", pickle)),
            (None, Some(Amount::Measured(measured))) => {
                let held = plain + Mass::grams(cure.as_grams() * label.salt().as_one());
                parts.push(("cure.recipe.part_pickle", weight(args, Amount::Measured(measured), held)?));
                volume = Some((measured, shown(args.text("pickle").unwrap_or_default())));
            }
            (None, None) => return Err(args.missing("water")),
            (Some(_), Some(_)) => {
                let sentence = say("cure.recipe.water_or_pickle", &[]);
                return Err(UserError::new(Code::DoesNotFit, sentence, args.line().without("pickle")));
            }
        }
        if args.text("sugar").is_some() && args.text("pickle").is_some() {
            let sentence = say("cure.recipe.sugar_by_volume", &[]);
            return Err(UserError::new(Code::DoesNotFit, sentence, args.line().without("sugar")));
        }
        let pickle = parts.iter().map(|(_, mass)| *mass).sum();
        let use_of = use_of(args)?;
        let (applied, meat) = Applied::of_recipe(args, use_of, pickle, salt)?;
        let salt_unknown = salt.is_none() && args.text("pickle").is_none_or(|_| volume.is_some());
        Ok(Self { applied, meat, use_of, pickle, parts, volume, salt_unknown })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let judged = judged(&self.applied, self.meat, None, &[], asking.day())?;
        let holes = [
            ("cure", &*amounts::typed_cure(self.applied.cure, asking)),
            ("pickle", &large(self.pickle, asking)),
            ("used", &self.used(asking)),
            ("amounts", &judged.amounts()),
            ("verdict", &judged.verdict()),
        ];
        let mut reply = Reply::new("cure recipe", say("cure.recipe.headline", &holes));
        judged.fill(&mut reply, &self.applied, asking);
        self.remarks(&mut reply, asking);
        let line = self.new_dose();
        let key = if judged.is_over() { "cure.recipe.next_over" } else { "cure.recipe.next" };
        reply.next = Some(say(key, &[("line", &line)]));
        let parts = self.parts(|mass| format!("{} g", format::trimmed(mass.as_grams(), 1)));
        let pickle = format!("{} g", format::trimmed(self.pickle.as_grams(), 1));
        let holes = [("parts", &*parts), ("pickle", &pickle), ("source", &amounts::density_source())];
        reply.working.insert(0, say("cure.recipe.formula", &holes));
        Ok(Done::reply(reply))
    }

    fn used(&self, asking: &Asking) -> String {
        match self.use_of {
            PickleUse::Covers(meat) => say("cure.recipe.covers", &[("meat", &large(meat, asking))]),
            PickleUse::TakenUp(rate) => say("cure.recipe.taken_up", &[("rate", &format::percent(rate))]),
            PickleUse::Pumped(rate) => say("cure.recipe.pumped", &[("rate", &format::percent(rate))]),
        }
    }

    fn parts(&self, shown: impl Fn(Mass) -> String) -> String {
        let parts = self.parts.iter().map(|(key, mass)| say(key, &[("mass", &shown(*mass))]));
        parts.collect::<Vec<_>>().join(" + ")
    }

    /// The US rule in its own measure, where the recipe speaks of gallons of pickle and is pumped or taken up.
    fn by_volume(&self) -> Vec<Finding> {
        let in_us = self.applied.country.as_ref().is_none_or(|country| country.rulebook() == Rulebook::Us);
        let partly = !matches!(self.use_of, PickleUse::Covers(_));
        match &self.volume {
            Some((volume, _)) if in_us && partly => {
                by_the_gallon(self.applied.cure, &self.applied.label, *volume)
            }
            _ => Vec::new(),
        }
    }

    fn remarks(&self, reply: &mut Reply, asking: &Asking) {
        let pickle = large(self.pickle, asking);
        if self.parts.len() > 1 {
            let parts = self.parts(|mass| large(mass, asking));
            reply.lines.push(say("cure.recipe.weight", &[("pickle", &pickle), ("parts", &parts)]));
        }
        if let Some((_, typed)) = &self.volume {
            reply.lines.push(say("cure.recipe.weight_by_volume", &[("pickle", &pickle), ("volume", typed)]));
        }
        for told in self.by_volume() {
            reply.lines.push(finding::sentence(&told));
            reply.findings.push(told);
        }
        if self.applied.label.is_concentrate() {
            let percent = format::trimmed(self.applied.label.nitrite().as_percent(), 2);
            let said = Advice { key: advice::CONCENTRATE, holes: vec![("percent", percent)] };
            reply.note(Level::Warning, advised(&said));
        }
        if self.salt_unknown {
            reply.note(Level::Notice, say("cure.recipe.not_counted", &[]));
        }
        reply.note(Level::Notice, say("cure.recipe.history", &[]));
    }

    /// A line that works a dose out the same way, for a cure with 6.25 %.
    fn new_dose(&self) -> String {
        let kilograms = |mass: Mass| {
            let (_, rounded) = format::ceil_to_step(mass.in_unit(MassUnit::Kilogram), 0.1);
            format::mass_exact(Mass::of(rounded, MassUnit::Kilogram), MassUnit::Kilogram)
        };
        match self.use_of {
            PickleUse::Covers(meat) => {
                let (meat, pickle) = (kilograms(meat), kilograms(self.pickle));
                say("cure.recipe.line_covers", &[("meat", &meat), ("pickle", &pickle)])
            }
            PickleUse::TakenUp(rate) => {
                say("cure.recipe.line_taken_up", &[("rate", &format::percent_exact(rate))])
            }
            PickleUse::Pumped(rate) => {
                say("cure.recipe.line_pumped", &[("rate", &format::percent_exact(rate))])
            }
        }
    }
}

/// Ten kilograms and more in kilograms for whoever weighs in grams: a recipe by the gallon is a plant's.
fn large(mass: Mass, asking: &Asking) -> String {
    const FROM_KILOGRAMS: f64 = 10.0;
    let is_large = mass.in_unit(MassUnit::Kilogram) >= FROM_KILOGRAMS;
    match asking.member.settings.mass {
        MassUnit::Gram if is_large => {
            format!("{} kg", format::trimmed(mass.in_unit(MassUnit::Kilogram), 1))
        }
        unit => format::mass(mass, unit),
    }
}

/// A weight or a volume of liquid.
fn amount(args: Args<'_>, name: &'static str) -> Result<Option<Amount>, UserError> {
    options::no_spoon(args, name)?;
    let Some(text) = args.text(name) else {
        return Ok(None);
    };
    match (parse::positive_mass(text), parse::volume(text)) {
        (Ok(mass), _) => Ok(Some(Amount::Weighed(mass))),
        (_, Ok(volume)) => Ok(Some(Amount::Measured(volume))),
        (Err(error @ QuantityError::OutOfRange { .. }), Err(QuantityError::UnitUnknown { .. })) => {
            Err(args.quantity_error(name, &error))
        }
        (_, Err(error)) => Err(args.quantity_error(name, &error)),
    }
}

/// What an amount weighs with this much salt in it, at the temperature of the salometer scale.
fn weight(args: Args<'_>, amount: Amount, salt: Mass) -> Result<Mass, UserError> {
    match amount {
        Amount::Weighed(mass) => Ok(mass),
        Amount::Measured(volume) => weight_of_pickle(volume, salt, SCALE_TEMPERATURE)
            .map_err(|error| args.error(Code::OutOfRange, brine_sentence(error))),
    }
}

fn use_of(args: Args<'_>) -> Result<PickleUse, UserError> {
    let (pump, pickup, meat) = (args.percent("pump")?, args.percent("pickup")?, options::meat(args)?);
    match (pump, pickup, meat) {
        (Some(rate), None, None) => Ok(PickleUse::Pumped(rate)),
        (None, Some(rate), None) => Ok(PickleUse::TakenUp(rate)),
        (None, None, Some(meat)) => Ok(PickleUse::Covers(meat)),
        (None, None, None) => {
            let example = args.line().with("pump", "10%");
            Err(UserError::new(Code::MissingOption, say("cure.recipe.no_use", &[]), example))
        }
        _ => {
            let kept = if pump.is_some() { ["pickup", "meat"] } else { ["meat", "pump"] };
            let mut line = args.line().clone();
            line.values.retain(|name, _| !kept.contains(name));
            Err(UserError::new(Code::DoesNotFit, say("cure.recipe.one_use", &[]), line.typed()))
        }
    }
}
