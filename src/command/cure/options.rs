//! Options that several cure commands share, read into quantities.

use super::label;
use super::words::is_spoon;
use crate::command::Args;
use crate::command::error::{Code, UserError};
use crate::command::intake::meats;
use crate::command::line::{Line, shown};
use crate::command::spec::{OptionKind, OptionSpec, maybe, needed};
use crate::curing::Country;
use crate::curing::cure::{CureLabel, Product, Target};
use crate::quantity::{Fraction, Mass, parse};
use crate::reply::say;

/// Words of `product:`.
pub(in crate::command) const PRODUCTS: &[&str] = &["sausage", "muscle", "bacon", "ham"];

pub(in crate::command) const NITRITE: OptionSpec = needed(
    "nitrite",
    OptionKind::Percent,
    "nitrite on the cure's label, e.g. 6.25%",
);
pub(in crate::command) const NITRATE: OptionSpec = maybe(
    "nitrate",
    OptionKind::Percent,
    "nitrate on the cure's label, e.g. 4%",
);
pub(super) const SALT: OptionSpec = maybe(
    "salt",
    OptionKind::Percent,
    "salt in the meat, the cure's included, e.g. 2.5%",
);
pub(super) const TARGET: OptionSpec = maybe(
    "target",
    OptionKind::Text,
    "mg/kg nitrite as sodium nitrite, or max; the usual when not said",
);
pub(super) const SCALE: OptionSpec = maybe(
    "scale",
    OptionKind::Mass,
    "smallest step of your scale, e.g. 0.1 g",
);
pub(in crate::command) const PRODUCT: OptionSpec = maybe(
    "product",
    OptionKind::Choice(PRODUCTS),
    "what it becomes; bacon is what will be fried",
);
pub(in crate::command) const COUNTRY: OptionSpec = maybe(
    "country",
    OptionKind::Text,
    "US, EU or a member state, GB, CA, AU, NZ or Codex; yours when not said",
);

/// A weight above zero; an amount by volume has its own refusal.
pub(super) fn mass(args: Args<'_>, name: &'static str) -> Result<Option<Mass>, UserError> {
    no_spoon(args, name)?;
    args.mass(name)
}

/// A weight above zero that is needed.
pub(super) fn mass_needed(args: Args<'_>, name: &'static str) -> Result<Mass, UserError> {
    mass(args, name)?.ok_or_else(|| args.missing(name))
}

/// The weight of the cure; zero is a valid answer of who forgot it.
pub(super) fn cure_weight(args: Args<'_>) -> Result<Mass, UserError> {
    no_spoon(args, "cure")?;
    args.read_needed("cure", parse::mass)
}

/// Refuses a spoon where a weight belongs.
pub(super) fn no_spoon(args: Args<'_>, name: &'static str) -> Result<(), UserError> {
    match args.text(name).filter(|text| is_spoon(text)) {
        Some(text) => Err(label::spoon(args, name, text)),
        None => Ok(()),
    }
}

/// Raw meat, all species together.
pub(super) fn meat(args: Args<'_>) -> Result<Option<Mass>, UserError> {
    no_spoon(args, "meat")?;
    let Some(text) = args.text("meat") else {
        return Ok(None);
    };
    let list = meats(text).map_err(|error| args.intake_error("meat", &error))?;
    Ok(Some(list.iter().map(|meat| meat.mass).sum()))
}

/// Raw meat that is needed.
pub(super) fn meat_needed(args: Args<'_>) -> Result<Mass, UserError> {
    meat(args)?.ok_or_else(|| args.missing("meat"))
}

/// The country of the line, else the member's or the group's; `None`: every rulebook is looked at.
pub(super) fn country(args: Args<'_>) -> Result<Option<Country>, UserError> {
    let Some(text) = args.text("country") else {
        return Ok(args.asking.country());
    };
    Country::parse(text).map(Some).ok_or_else(|| {
        let sentence = say("cure.unknown_country", &[("typed", &shown(text))]);
        UserError::new(Code::UnknownChoice, sentence, args.line().with("country", "GB"))
    })
}

/// What the meat becomes.
pub(super) fn product(args: Args<'_>) -> Result<Option<Product>, UserError> {
    args.choice("product", Product::parse)
}

fn target(args: Args<'_>) -> Result<Target, UserError> {
    match args.text("target") {
        None => Ok(Target::Usual),
        Some(text) if ["max", "maximum"].contains(&text.to_lowercase().as_str()) => Ok(Target::Maximum),
        Some(text) => parse::mg_per_kg(text)
            .map(Target::MgPerKg)
            .map_err(|error| args.quantity_error("target", &error)),
    }
}

/// What every command takes that works a dose out.
#[derive(Debug, Clone)]
pub(super) struct DoseOptions {
    /// The cure's label.
    pub(super) label: CureLabel,
    /// Salt to reach in the meat, the cure's included.
    pub(super) salt: Option<Fraction>,
    /// Nitrite to reach.
    pub(super) target: Target,
    /// Step of the scale.
    pub(super) scale_step: Mass,
    /// What the meat becomes, where it was said.
    pub(super) product: Option<Product>,
    /// Whose rules.
    pub(super) country: Option<Country>,
    /// The line, for a corrected one.
    pub(super) line: Line,
}

impl DoseOptions {
    /// Reads them.
    pub(super) fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            label: label::read(args)?,
            salt: args.percent("salt")?,
            target: target(args)?,
            scale_step: mass(args, "scale")?.unwrap_or(args.asking.member.settings.scale_step),
            product: product(args)?,
            country: country(args)?,
            line: args.line().clone(),
        })
    }
}
