//! `/check heat`: whether a heating meets the Trichinella table.

use super::treatment;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::curing::parasites::{Heat, Host, Verdict, coolest, heat, tables};
use crate::quantity::{Hours, Temperature, format, parse};
use crate::reply::{Reply, say};

/// `/check heat`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "heat",
    aliases: &[],
    summary: "whether a heating meets the Trichinella table",
    options: &[
        needed("temperature", OptionKind::Text, "lowest at the centre, e.g. 58.9 C"),
        needed("minutes", OptionKind::Text, "held for, e.g. 2"),
        maybe("species", OptionKind::Text, "whose meat; pork when not said"),
    ],
    examples: [
        "check heat temperature:58.9 C minutes:2",
        "check heat species:wild boar temperature:71 C minutes:1",
    ],
    private: false,
};

/// A heating.
#[derive(Debug, Clone)]
pub struct CheckHeat {
    host: Host,
    species: String,
    centre: Temperature,
    time: Hours,
}

impl CheckHeat {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let (host, species) = treatment::host(args)?.unwrap_or((Host::DomesticPork, "pork"));
        let centre = args.read_needed("temperature", parse::temperature)?;
        let time = treatment::time(args, "minutes", 1.0 / 60.0)?.ok_or_else(|| args.missing("minutes"))?;
        Ok(Self { host, species: species.to_owned(), centre, time })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        if let Some(reply) =
            treatment::no_table("check heat", self.host, &self.species).filter(|_| self.host == Host::Other)
        {
            return Ok(Done::reply(reply));
        }
        let (verdict, row) = heat(self.host, self.centre, self.time.value() * 60.0);
        let holes = [
            ("read", &*format::temperature(self.centre, asking.member.settings.temperature)),
            ("time", &treatment::shown_time(self.time.value())),
            ("asked", &row.map(|row| treatment::shown_time(row.minutes / 60.0)).unwrap_or_default()),
            ("row", &row.or_else(|| coolest(self.host)).map(printed).unwrap_or_default()),
        ];
        let key = match row {
            None => "too_cold",
            Some(row) if row.minutes > 0.0 => treatment::key_of(verdict),
            Some(_) => "met_at_once",
        };
        let mut reply = Reply::new("check heat", say(&format!("check.heat.{key}"), &holes));
        let row = row.or_else(|| coolest(self.host));
        reply.lines.extend(row.and_then(|row| tables().source_of(&row.source)).map(treatment::source));
        reply.figures.extend(row.map(|row| figures::hours("required_hours", row.minutes / 60.0).folded()));
        treatment::verdict(&mut reply, verdict.word());
        if verdict == Verdict::NotMet {
            reply.note(Level::Warning, say("check.heat.not_met_means", &[]));
        }
        if self.host == Host::DomesticPork {
            reply.note(Level::Caution, say("check.heat.for_pork", &[]));
            reply.note(Level::Notice, say("check.heat.only_trichinella", &[]));
        }
        reply.judges = true;
        Ok(Done::reply(reply))
    }
}

fn printed(row: &Heat) -> String {
    format!("{} °C ({} °F)", format::trimmed(row.at_c, 1), format::trimmed(row.at_f, 1))
}
