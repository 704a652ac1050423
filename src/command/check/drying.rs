//! `/check drying`: whether a drying meets a curing method of the Trichinella tables, or what a study found.

use super::{salt_ph, treatment};
use crate::command::Args;
use crate::command::asking::{Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::Level;
use crate::curing::parasites::{
    ByDiameterDays, Dried, DryingError, DryingVerdict, Host, Requirement, SaltBasis, Smoke, Verdict,
    by_diameter, drying, ham, methods, tables,
};
use crate::quantity::{Fraction, Length, format, parse};
use crate::reply::rows;
use crate::reply::{Reply, say};

/// Hams go by a table of their own.
const HAM: &str = "ham";
/// Method 6 goes by tables of its own.
const BY_DIAMETER: &str = "6";

const BASES: &[&str] = &["mix", "meat", "mix-less-dry"];

/// `/check drying`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "drying",
    aliases: &[],
    summary: "whether a drying meets a curing method against Trichinella; or by salt, pH and days",
    options: &[
        maybe("method", OptionKind::Text, "1, 1-pepperoni, 2, 3, 4, 5, 6, 7, coppa, capocollo, loin or ham"),
        maybe("salt", OptionKind::Percent, "the cure's own counted in, e.g. 3.33%"),
        maybe(
            "basis",
            OptionKind::Choice(BASES),
            "what the salt is a part of; what the method counts on when not said",
        ),
        maybe("dry", OptionKind::Percent, "other dry ingredients, of the meat; needed with basis:meat"),
        maybe("diameter", OptionKind::Length, "as stuffed, e.g. 60 mm"),
        maybe("particle", OptionKind::Length, "coarsest cut, e.g. 8 mm"),
        maybe("drying", OptionKind::Text, "days in the drying room, e.g. 20"),
        maybe("at", OptionKind::Text, "its lowest temperature, e.g. 13 C"),
        maybe("total", OptionKind::Text, "days since the cure went in, e.g. 25"),
        maybe("smoke", OptionKind::Text, "hours of smoke, or of the hold of method 6"),
        maybe("smoke-at", OptionKind::Text, "its lowest temperature"),
        maybe("ph", OptionKind::Text, "instead of a method: what it fermented to"),
        maybe("days", OptionKind::Text, "with ph: days since stuffing"),
        maybe("room", OptionKind::Text, "with ph: the drying room, e.g. 15.5 C"),
        maybe("species", OptionKind::Text, "whose meat; pork when not said"),
    ],
    examples: [
        "check drying method:1 salt:3.33% diameter:60 mm particle:8 mm drying:20 at:13 C total:25",
        "check drying ph:5.0 salt:2.8% days:10 room:15.5 C",
    ],
    private: false,
};

/// A drying, or a ripening.
#[derive(Debug, Clone)]
pub struct CheckDrying {
    host: Host,
    species: String,
    what: Option<What>,
}

#[derive(Debug, Clone)]
enum What {
    Method(String, Dried),
    ByDiameter(Dried, Length),
    Ham(Dried),
    SaltPh(salt_ph::Ripening),
}

impl CheckDrying {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let (host, species) = treatment::host(args)?.unwrap_or((Host::DomesticPork, "pork"));
        let what = match host {
            Host::DomesticPork => Some(what(args)?),
            Host::Barred | Host::Other => None,
        };
        Ok(Self { host, species: species.to_owned(), what })
    }

    /// Carries it out.
    pub fn perform(&self) -> Outcome {
        let mut reply = match &self.what {
            None => {
                let reply = treatment::no_table("check drying", self.host, &self.species);
                return Ok(Done::reply(reply.unwrap_or_default()));
            }
            Some(What::SaltPh(ripening)) => ripening.reply(),
            Some(What::ByDiameter(dried, diameter)) => method_six(dried, *diameter),
            Some(What::Ham(dried)) => of_ham(dried),
            Some(What::Method(name, dried)) => {
                let found = drying(name, dried).map_err(|error| missing(error, name))?;
                of_method(name, dried, &found)
            }
        };
        reply.note(Level::Caution, say("check.drying.for_pork", &[]));
        treatment::only_trichinella(&mut reply);
        Ok(Done::reply(reply))
    }
}

fn what(args: Args<'_>) -> Result<What, UserError> {
    let Some(name) = args.text("method") else {
        if args.text("ph").is_none() {
            return Err(args.missing("method"));
        }
        return salt_ph::Ripening::read(args).map(What::SaltPh);
    };
    let name = name.to_lowercase();
    let dried = dried(args)?;
    if name == BY_DIAMETER {
        let diameter = dried.diameter.ok_or_else(|| args.missing("diameter"))?;
        return Ok(What::ByDiameter(dried, diameter));
    }
    if name == HAM {
        return Ok(What::Ham(dried));
    }
    if !methods().contains(&name.as_str()) {
        return Err(args.error(Code::UnknownChoice, say("check.drying.which_method", &[])));
    }
    drying(&name, &dried).map_err(|error| match error {
        DryingError::DiameterNeeded => args.missing("diameter"),
        DryingError::SmokeNeeded => args.missing("smoke"),
        DryingError::OtherDryNeeded => args.missing("dry"),
        other => missing(other, &name),
    })?;
    Ok(What::Method(name, dried))
}

fn missing(error: DryingError, name: &str) -> UserError {
    let key = match error {
        DryingError::BasisTooNarrow => "check.drying.basis_too_narrow",
        DryingError::UnknownMethod => "check.drying.which_method",
        DryingError::DiameterNeeded | DryingError::SmokeNeeded | DryingError::OtherDryNeeded => {
            "check.drying.more_needed"
        }
    };
    UserError::new(Code::MissingOption, say(key, &[("method", name)]), SPEC.examples[0])
}

fn dried(args: Args<'_>) -> Result<Dried, UserError> {
    let days = |name: &'static str| treatment::time(args, name, 24.0)?.ok_or_else(|| args.missing(name));
    let smoke = match (treatment::time(args, "smoke", 1.0)?, args.read("smoke-at", parse::temperature)?) {
        (Some(time), Some(at)) => Some(Smoke { time, at }),
        (Some(_), None) => return Err(args.missing("smoke-at")),
        (None, Some(_)) => return Err(args.missing("smoke")),
        (None, None) => None,
    };
    let basis = |word: &str| match word {
        "mix" | "batter" => Some(SaltBasis::Batter),
        "meat" => Some(SaltBasis::Meat),
        "mix-less-dry" => Some(SaltBasis::BatterMinusDry),
        _ => None,
    };
    let dried = Dried {
        salt: args.percent("salt")?.ok_or_else(|| args.missing("salt"))?,
        basis: args.choice("basis", basis)?,
        other_dry: args.percent("dry")?,
        diameter: args.length("diameter")?,
        particle: args.length("particle")?,
        drying: days("drying")?,
        at: args.read_needed("at", parse::temperature)?,
        total: days("total")?,
        smoke,
    };
    if dried.total.value() < dried.drying.value() {
        return Err(args.error(Code::OutOfRange, say("check.drying.longer_than_all", &[])));
    }
    Ok(dried)
}

fn of_method(name: &str, dried: &Dried, found: &DryingVerdict) -> Reply {
    let unmet: Vec<String> = found.unmet.iter().map(|requirement| of_requirement(*requirement)).collect();
    let holes = [("method", name), ("unmet", &*unmet.join("; "))];
    let key = treatment::key_of(found.verdict);
    let mut reply = Reply::new("check drying", say(&format!("check.drying.{key}"), &holes));
    reply.figures.push(figures::percent("salt_in_mix", Fraction::percent(found.salt_percent)).folded());
    reply.lines.extend(if_fine(found, dried));
    reply.lines.extend(found.row.note.as_ref().map(|note| {
        let note = rows::name("drying", &found.row.id(), note);
        say("check.drying.also", &[("note", &note)])
    }));
    reply.lines.push(treatment::source(found.source));
    treatment::verdict(&mut reply, found.verdict.word());
    if found.verdict == Verdict::NotMet {
        reply.note(Level::Warning, say("check.drying.not_met_means", &[]));
    }
    reply
}

/// The fineness that a verdict rests on where it was not said.
fn if_fine(found: &DryingVerdict, dried: &Dried) -> Option<String> {
    let is_open = dried.particle.is_none() && found.verdict != Verdict::NotMet;
    let limit = found.row.particle_up_to_in.filter(|_| is_open)?;
    Some(say("check.drying.if_fine", &[("limit", &format::trimmed(limit, 2))]))
}

fn of_requirement(requirement: Requirement) -> String {
    let (key, asked, given) = match requirement {
        Requirement::Salt(asked, given) => ("salt", asked, given),
        Requirement::Particle(asked, given) => ("particle", asked, given),
        Requirement::Diameter(asked, given) => ("diameter", asked, given),
        Requirement::SmokeHours(asked, given) => ("smoke", asked, given),
        Requirement::SmokeTemperature(asked, given) => ("smoke_at", asked, given),
        Requirement::DryingDays(asked, given) => ("days", asked, given),
        Requirement::DryingTemperature(asked, given) => ("at", asked, given),
        Requirement::TotalDays(asked, given) => ("total", asked, given),
    };
    let holes = [("asked", &*format::trimmed(asked, 3)), ("given", &format::beside(given, asked, 2))];
    say(&format!("check.drying.unmet_{key}"), &holes)
}

/// A ham: held from memory, so a met row is one to be checked.
fn of_ham(dried: &Dried) -> Reply {
    let found = ham(dried);
    let unmet: Vec<String> = found.unmet.iter().map(|requirement| of_requirement(*requirement)).collect();
    let holes = [("method", HAM), ("unmet", &*unmet.join("; "))];
    let key = treatment::key_of(found.verdict);
    let mut reply = Reply::new("check drying", say(&format!("check.drying.{key}"), &holes));
    let required = found.drying_days.map(|days| figures::hours("required_hours", days * 24.0));
    reply.figures.extend(required.map(crate::reply::Figure::folded));
    reply.lines.push(say("check.drying.ham", &[]));
    reply.lines.extend(tables().source_of("us.drying.memory").map(treatment::source));
    treatment::verdict(&mut reply, found.verdict.word());
    if found.verdict == Verdict::NotMet {
        reply.note(Level::Warning, say("check.drying.ham_not_met", &[]));
    }
    reply
}

/// Method 6: how many days its tables ask for. They are held from memory, so they inform and do not judge.
fn method_six(dried: &Dried, diameter: Length) -> Reply {
    let found = by_diameter(diameter, dried.salt, dried.smoke);
    let mut reply = match found {
        None => Reply::new("check drying", say("check.drying.six_none", &[])),
        Some(found) => six(&found, dried),
    };
    let source = tables().source_of("us.drying.memory");
    reply.lines.extend(source.map(treatment::source));
    treatment::verdict(&mut reply, if found.is_some() { "information" } else { "no_answer" });
    reply
}

fn six(found: &ByDiameterDays, dried: &Dried) -> Reply {
    let percent = |value: f64| format::trimmed(value, 0);
    let holes = [
        ("days", &*percent(found.days)),
        ("row", &percent(found.row.days)),
        ("up_to", &format::trimmed(found.row.up_to_in, 2)),
        ("more", &percent(found.more_percent)),
        ("less", &percent(found.less_percent)),
        ("given", &format::trimmed(dried.drying.value() / 24.0, 1)),
    ];
    let mut reply = Reply::new("check drying", say("check.drying.six", &holes));
    reply.lines.push(say("check.drying.six_made_of", &holes));
    reply.figures.push(figures::hours("required_hours", found.days * 24.0).folded());
    reply
}
