//! A cure that was applied: what went in, read from the options that `cure check` and `batch cure` share.

use super::label;
use super::options;
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::line::Line;
use crate::command::spec::{OptionKind, OptionSpec, maybe, needed};
use crate::command::why::Why;
use crate::curing::Country;
use crate::curing::cure::{
    Application, CureLabel, GreenWeight, Liquid, Method, Product, salt_after_injection,
};
use crate::curing::whole_muscle::Weighed;
use crate::quantity::{Fraction, Mass, parse};
use crate::reply::say;

const METHODS: &[&str] = &["comminuted", "dry", "immersion", "immersion-pickup", "inject"];

pub(in crate::command) const METHOD: OptionKind = OptionKind::Choice(METHODS);
pub(in crate::command) const CURE: OptionSpec =
    needed("cure", OptionKind::Mass, "weight of the cure mix, e.g. 2.5 g; 0 g when it was forgotten");
pub(in crate::command) const SALT: OptionSpec =
    maybe("salt", OptionKind::Text, "plain salt beside the cure, e.g. 22 g or 2.2% of the meat");
pub(in crate::command) const PICKLE: OptionSpec =
    maybe("pickle", OptionKind::Mass, "weight of the whole pickle (immersion, inject)");
pub(in crate::command) const PUMP: OptionSpec =
    maybe("pump", OptionKind::Percent, "pickle pumped, as a part of the meat (inject)");
pub(in crate::command) const PICKUP: OptionSpec =
    maybe("pickup", OptionKind::Percent, "gain in weight in the brine (immersion-pickup)");
pub(in crate::command) const AFTER: OptionSpec =
    maybe("after", OptionKind::Mass, "weight after the brine, wiped, in place of pickup: (immersion-pickup)");
pub(in crate::command) const SKIN: OptionSpec = maybe(
    "skin",
    OptionKind::Choice(&["yes", "no"]),
    "yes for a belly with its skin on: a tenth of it does not count",
);

/// Plain salt beside the cure, as the member says it.
#[derive(Debug, Clone, Copy, PartialEq)]
enum PlainSalt {
    /// Weighed.
    Weight(Mass),
    /// As a part of the raw meat.
    OfMeat(Fraction),
}

/// How the cure was brought in, with the weights that method needs.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Way {
    Comminuted,
    Dry,
    Immersion(Mass),
    PickUp(Mass, Fraction),
    Pumped(Mass, Fraction),
}

/// What is done with a pickle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PickleUse {
    /// This much meat lies in it until they are in balance.
    Covers(Mass),
    /// The meat takes up this part of its own weight.
    TakenUp(Fraction),
    /// This part of the meat's weight is pumped in.
    Pumped(Fraction),
}

/// A cure that was applied; the meat may be said or known from a batch.
#[derive(Debug, Clone)]
pub(in crate::command) struct Applied {
    way: Way,
    /// Raw meat, where it was said.
    pub(in crate::command) meat: Option<Mass>,
    skin_on: bool,
    /// Weight of the cure mix.
    pub(in crate::command) cure: Mass,
    /// Its label.
    pub(in crate::command) label: CureLabel,
    salt: Option<PlainSalt>,
    /// What the meat becomes, where it was said.
    pub(in crate::command) product: Option<Product>,
    /// Whose rules.
    pub(in crate::command) country: Option<Country>,
    /// The line, for a corrected one.
    pub(in crate::command) line: Line,
}

impl Applied {
    /// Reads the options of a method.
    pub(in crate::command) fn read(args: Args<'_>, method: Method) -> Result<Self, UserError> {
        only_what_belongs(args, method)?;
        Ok(Self {
            way: way(args, method)?,
            meat: options::meat(args)?,
            skin_on: skin(args)?,
            cure: options::cure_weight(args)?,
            label: label::read(args)?,
            salt: salt(args)?,
            product: options::product(args)?,
            country: options::country(args)?,
            line: args.line().clone(),
        })
    }

    /// A cure dissolved in a pickle whose weight was worked out elsewhere, with its plain salt: an old recipe. The meat is
    /// what lies in it, or as much as the pickle is enough for.
    pub(super) fn of_recipe(
        args: Args<'_>,
        use_of: PickleUse,
        pickle: Mass,
        plain: Option<Mass>,
    ) -> Result<(Self, Mass), UserError> {
        let served = |rate: Fraction| Mass::grams(pickle.as_grams() / rate.as_one());
        let (way, meat) = match use_of {
            PickleUse::Covers(meat) => (Way::Immersion(pickle), meat),
            PickleUse::TakenUp(rate) => (Way::PickUp(pickle, rate), served(rate)),
            PickleUse::Pumped(rate) => (Way::Pumped(pickle, rate), served(rate)),
        };
        let applied = Self {
            way,
            meat: Some(meat),
            skin_on: false,
            cure: options::cure_weight(args)?,
            label: label::read(args)?,
            salt: plain.map(PlainSalt::Weight),
            product: options::product(args)?,
            country: options::country(args)?,
            line: args.line().clone(),
        };
        Ok((applied, meat))
    }

    /// The same weights, rubbed on whole meat: for a line that did not say the method.
    pub(in crate::command) const fn rubbed(mut self) -> Self {
        self.way = Way::Dry;
        self
    }

    /// The application on a weight of raw meat.
    pub(in crate::command) fn application(&self, meat: Mass) -> Application {
        let meat = GreenWeight { weight: meat, skin_on: self.skin_on };
        match self.way {
            Way::Comminuted => Application::Comminuted { meat },
            Way::Dry => Application::Dry { meat },
            Way::Immersion(pickle) => Application::Equilibrium { meat, liquid: Liquid::Pickle(pickle) },
            Way::PickUp(pickle, taken_up) => Application::PickUp { liquid: Liquid::Pickle(pickle), taken_up },
            Way::Pumped(pickle, pump) => Application::Pumped { pickle, pump },
        }
    }

    /// All of the pickle, where there is one.
    pub(in crate::command) const fn pickle(&self) -> Option<Mass> {
        match self.way {
            Way::Comminuted | Way::Dry => None,
            Way::Immersion(pickle) | Way::PickUp(pickle, _) | Way::Pumped(pickle, _) => Some(pickle),
        }
    }

    /// Pick-up, where the meat took some of the brine up.
    pub(in crate::command) const fn pick_up(&self) -> Option<Fraction> {
        match self.way {
            Way::PickUp(_, rate) => Some(rate),
            _ => None,
        }
    }

    /// Salt in the meat, the cure's included, where the plain salt is known. On the meat for mince and rub; on meat
    /// and water for a brine in balance; on the weight after for pumping and pick-up.
    pub(in crate::command) fn salt_in_meat(&self, meat: Mass) -> Option<Fraction> {
        let plain = self.plain_salt(meat)?.as_grams();
        let salt = self.cure.as_grams() * self.label.salt().as_one() + plain;
        let in_meat = |whole: f64| Fraction::of_one(salt / whole);
        Some(match self.way {
            Way::Comminuted | Way::Dry => in_meat(meat.as_grams()),
            Way::Immersion(pickle) => {
                in_meat(meat.as_grams() + pickle.as_grams() - self.cure.as_grams() - plain)
            }
            Way::PickUp(pickle, rate) | Way::Pumped(pickle, rate) => {
                salt_after_injection(rate, in_meat(pickle.as_grams()))
            }
        })
    }

    /// Plain salt beside the cure, where it was said.
    pub(in crate::command) fn plain_salt(&self, meat: Mass) -> Option<Mass> {
        Some(match self.salt? {
            PlainSalt::Weight(plain) => plain,
            PlainSalt::OfMeat(part) => Mass::grams(part.as_one() * meat.as_grams()),
        })
    }
}

fn way(args: Args<'_>, method: Method) -> Result<Way, UserError> {
    let pickle = || options::mass_needed(args, "pickle");
    Ok(match method {
        Method::Comminuted => Way::Comminuted,
        Method::Dry => Way::Dry,
        Method::Immersion => Way::Immersion(pickle()?),
        Method::ImmersionPickup => Way::PickUp(pickle()?, pick_up(args)?),
        Method::Inject => Way::Pumped(pickle()?, args.read_needed("pump", parse::percent)?),
    })
}

/// The pick-up as it was said, or by weighing: what the meat weighed before and after.
fn pick_up(args: Args<'_>) -> Result<Fraction, UserError> {
    let Some(after) = options::mass(args, "after")? else {
        return args.read_needed("pickup", parse::percent);
    };
    if args.text("pickup").is_some() {
        let sentence = say("cure.check.pickup_or_after", &[]);
        return Err(UserError::new(Code::DoesNotFit, sentence, args.line().without("pickup")));
    }
    let before = options::meat_needed(args)?;
    let gain = Weighed::new(before, after).and_then(Weighed::pick_up);
    gain.map_err(|error| {
        let sentence = say("cure.check.weighed", &[("why", &error.why())]);
        UserError::new(Code::OutOfRange, sentence, args.line().without("after"))
    })
}

/// Refuses an option of another method: what is typed is never ignored.
fn only_what_belongs(args: Args<'_>, method: Method) -> Result<(), UserError> {
    use Method::{Comminuted, Dry, Immersion, ImmersionPickup, Inject};
    let belongs: [(&str, &[Method]); 5] = [
        ("pickle", &[Immersion, ImmersionPickup, Inject]),
        ("pump", &[Inject]),
        ("pickup", &[ImmersionPickup]),
        ("after", &[ImmersionPickup]),
        ("skin", &[Comminuted, Dry, Immersion]),
    ];
    for (option, methods) in belongs {
        if args.text(option).is_some() && !methods.contains(&method) {
            let words: Vec<&str> = methods.iter().map(|method| method.word()).collect();
            let holes = [("option", option), ("methods", &*words.join(", ")), ("method", method.word())];
            let sentence = say("cure.check.does_not_belong", &holes);
            return Err(UserError::new(Code::DoesNotFit, sentence, args.line().without(option)));
        }
    }
    Ok(())
}

fn skin(args: Args<'_>) -> Result<bool, UserError> {
    let word = args.choice("skin", |word| match word {
        "yes" | "on" => Some(true),
        "no" | "off" => Some(false),
        _ => None,
    })?;
    Ok(word.unwrap_or(false))
}

fn salt(args: Args<'_>) -> Result<Option<PlainSalt>, UserError> {
    options::no_spoon(args, "salt")?;
    let Some(text) = args.text("salt") else {
        return Ok(None);
    };
    if text.contains('%') {
        return args.percent("salt").map(|salt| salt.map(PlainSalt::OfMeat));
    }
    args.read("salt", parse::mass).map(|salt| salt.map(PlainSalt::Weight))
}
