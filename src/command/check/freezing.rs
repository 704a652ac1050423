//! `/check freezing`: whether a freezing meets a Trichinella table.

use super::treatment;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::parasites::{Freezing, Frozen, Host, Measured, Region, Verdict, freezing, tables};
use crate::curing::rule::Rulebook;
use crate::curing::{Country, Level};
use crate::quantity::{Hours, Length, Temperature, TemperatureScale, format, parse};
use crate::reply::{Reply, say};

/// `/check freezing`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "freezing",
    aliases: &[],
    summary: "whether a freezing meets a Trichinella table",
    options: &[
        needed("species", OptionKind::Text, "whose meat, e.g. pork"),
        maybe("thickness", OptionKind::Length, "of the thickest piece or layer, e.g. 12 cm"),
        maybe("temperature", OptionKind::Text, "warmest reading in the freezer, e.g. -18 C"),
        maybe("days", OptionKind::Text, "since it was frozen through, e.g. 20"),
        maybe("core", OptionKind::Text, "warmest reading of a probe in the middle, e.g. -21 C"),
        maybe("hours", OptionKind::Text, "since the middle had it, e.g. 82"),
    ],
    examples: [
        "check freezing species:pork thickness:12 cm temperature:-18 C days:20",
        "check freezing species:pork core:-21 C hours:82",
    ],
    private: false,
};

/// Home freezers: days by the dial alone.
const HOME: &str = "us.freezing.home";
const HOME_DAYS: f64 = 30.0;

/// A freezing.
#[derive(Debug, Clone)]
pub struct CheckFreezing {
    host: Host,
    species: String,
    /// Missing only where no table may be used.
    done: Option<Cold>,
}

#[derive(Debug, Clone, Copy)]
struct Cold {
    measured: Measured,
    thickness: Option<Length>,
    warmest: Temperature,
    time: Hours,
}

impl CheckFreezing {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let (host, species) = treatment::host(args)?.ok_or_else(|| args.missing("species"))?;
        let done = if host == Host::DomesticPork { Some(cold(args)?) } else { None };
        Ok(Self { host, species: species.to_owned(), done })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let Some(done) = self.done else {
            let reply = treatment::no_table(SPEC_NAME, self.host, &self.species);
            return Ok(Done::reply(reply.unwrap_or_default()));
        };
        let mut found: Vec<(Region, Frozen)> = regions(asking.country().as_ref())
            .iter()
            .map(|region| {
                (*region, freezing(*region, done.measured, done.thickness, done.warmest, done.time))
            })
            .collect();
        // The stricter one leads.
        found.sort_by_key(|(_, frozen)| match frozen.verdict {
            Verdict::NotMet => 0,
            Verdict::MetUnverified => 1,
            Verdict::Met => 2,
        });
        let mut said = found.iter().map(|(region, frozen)| sentence(*region, frozen, done, asking));
        let mut reply = Reply::new(SPEC_NAME, said.next().unwrap_or_default());
        reply.lines.extend(said);
        reply.lines.extend(found.iter().filter_map(|(_, frozen)| frozen.source).map(treatment::source));
        for (region, frozen) in &found {
            let required = frozen.row.map(|row| figures::hours("required_hours", row.hours));
            reply.figures.extend(required.map(|figure| figure.of(name(*region).to_owned()).folded()));
        }
        let verdict = found.first().map_or(Verdict::NotMet, |(_, frozen)| frozen.verdict);
        treatment::verdict(&mut reply, verdict.word());
        evidence(&mut reply, done, verdict);
        if verdict == Verdict::NotMet {
            reply.note(Level::Warning, say("check.freezing.not_met_means", &[]));
        }
        treatment::only_trichinella(&mut reply);
        Ok(Done::reply(reply))
    }
}

const SPEC_NAME: &str = "check freezing";

fn cold(args: Args<'_>) -> Result<Cold, UserError> {
    let core = args.read("core", parse::temperature)?;
    let room = args.read("temperature", parse::temperature)?;
    match (core, room) {
        (Some(_), Some(_)) => Err(args.error(Code::OutOfRange, say("check.freezing.both", &[]))),
        (Some(warmest), None) => {
            let time = treatment::time(args, "hours", 1.0)?.ok_or_else(|| args.missing("hours"))?;
            Ok(Cold { measured: Measured::Core, thickness: None, warmest, time })
        }
        (None, room) => {
            let warmest = room.ok_or_else(|| args.missing("temperature"))?;
            let thickness = args.length("thickness")?.ok_or_else(|| args.missing("thickness"))?;
            if thickness.as_millimetres() <= 0.0 {
                return Err(args.error(Code::OutOfRange, say("check.freezing.no_thickness", &[])));
            }
            let time = treatment::time(args, "days", 24.0)?.ok_or_else(|| args.missing("days"))?;
            Ok(Cold { measured: Measured::Room, thickness: Some(thickness), warmest, time })
        }
    }
}

/// Whose tables count for a member; without a country both are shown.
fn regions(country: Option<&Country>) -> &'static [Region] {
    match country.map(Country::rulebook) {
        Some(Rulebook::Us | Rulebook::Ca) => &[Region::Us],
        Some(Rulebook::Eu | Rulebook::Gb) => &[Region::Eu],
        _ => &[Region::Us, Region::Eu],
    }
}

const fn name(region: Region) -> &'static str {
    match region {
        Region::Us => "US",
        Region::Eu => "EU",
    }
}

fn sentence(region: Region, frozen: &Frozen, done: Cold, asking: &Asking) -> String {
    let own = format::temperature(done.warmest, asking.member.settings.temperature);
    let time = treatment::shown_time(done.time.value());
    let row = frozen.row.or(frozen.warmest);
    let holes = [
        ("region", name(region)),
        ("read", &*own),
        ("time", &time),
        ("asked", &row.map(|row| row.printed.clone()).unwrap_or_default()),
        ("row", &row.map(printed_temperature).unwrap_or_default()),
        ("up_to", &row.map(up_to).unwrap_or_default()),
    ];
    let key = match (frozen.row, frozen.warmest) {
        (_, None) => "too_thick",
        (None, Some(_)) => "too_warm",
        (Some(_), Some(_)) => treatment::key_of(frozen.verdict),
    };
    say(&format!("check.freezing.{key}"), &holes)
}

/// As the table prints it, in both scales where it prints both.
fn printed_temperature(row: &Freezing) -> String {
    let celsius = format!("{} °C", format::trimmed(row.at_c, 1));
    match row.at_f {
        Some(at_f) => {
            let fahrenheit =
                format!("{} {}", format::trimmed(at_f, 1), TemperatureScale::Fahrenheit.symbol());
            format!("{celsius} ({fahrenheit})")
        }
        None => celsius,
    }
}

fn up_to(row: &Freezing) -> String {
    match (row.up_to_in, row.up_to_cm, row.measured) {
        (Some(inches), _, _) => {
            say("check.freezing.up_to", &[("limit", &format!("{} in", format::trimmed(inches, 2)))])
        }
        (_, Some(centimetres), _) => {
            say("check.freezing.up_to", &[("limit", &format!("{} cm", format::trimmed(centimetres, 2)))])
        }
        (None, None, _) => say("check.freezing.in_the_middle", &[]),
    }
}

/// What the reading must have been for the table to count.
fn evidence(reply: &mut Reply, done: Cold, verdict: Verdict) {
    let key = match done.measured {
        Measured::Room => "check.freezing.evidence_room",
        Measured::Core => "check.freezing.evidence_core",
    };
    reply.note(Level::Caution, say(key, &[]));
    let is_short = done.measured == Measured::Room && done.time.value() < HOME_DAYS * 24.0;
    if let Some(home) = tables().source_of(HOME).filter(|_| is_short && verdict != Verdict::NotMet) {
        reply.note(
            Level::Notice,
            say(
                "check.freezing.by_the_dial",
                &[("source", &home.name), ("standing", &treatment::standing(home))],
            ),
        );
    }
}
