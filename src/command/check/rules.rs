//! `/check rules`: which rulebook applies to a member, its rows, and what another country's rows change.

use super::additive::dates;
use super::country;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::Level;
use crate::curing::rule::{Country, Kind, Limit, Rulebook};
use crate::curing::rulebook;
use crate::quantity::{AmountBasis, Stage, WeightBasis};
use crate::reply::rows;
use crate::reply::{Reply, finding, say};
use chrono::NaiveDate;

const KINDS: &[&str] = &["fermented-sausage", "dried-sausage", "whole-muscle", "bacon", "ham"];

/// `/check rules`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "rules",
    aliases: &[],
    summary: "which rulebook applies here, row by row, and what another country changes",
    options: &[
        maybe("country", OptionKind::Text, "your own when not said"),
        maybe("kind", OptionKind::Choice(KINDS), "what the meat becomes; all when not said"),
    ],
    examples: ["check rules kind:fermented-sausage", "check rules country:IT kind:whole-muscle"],
    private: false,
};

/// However the cure goes into a sausage, a sausage is comminuted meat, and nothing else is.
const COMMINUTED: &str = "comminuted";

/// Whose rows are asked for.
#[derive(Debug, Clone)]
pub struct CheckRules {
    country: Option<Country>,
    kind: Option<&'static str>,
}

impl CheckRules {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let kind = args.choice("kind", |word| KINDS.iter().find(|known| **known == word).copied())?;
        Ok(Self { country: country(args)?, kind })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let Some(country) = &self.country else { return Ok(Done::reply(self.everywhere(asking.day()))) };
        let book = country.rulebook();
        let rows = self.rows(country, asking.day());
        let kind = self.kind.map(|kind| say("check.rules.of_kind", &[("kind", kind)])).unwrap_or_default();
        let holes = [
            ("country", country.code()),
            ("book", book.name()),
            ("count", &*rows.len().to_string()),
            ("kind", &kind),
        ];
        let mut reply = Reply::new("check rules", say("check.rules.headline", &holes));
        reply.figures.push(figures::word("rulebook", book.name()).folded());
        if let Some(own) = asking.country().filter(|own| own.rulebook() != book) {
            reply.lines.extend(self.changed(&own, country, asking.day()));
        }
        reply.lines.extend(rows.iter().map(|row| line(row)));
        reply.lines.push(say(freezing(book), &[]));
        reply.lines.push(say("check.rules.trade", &[]));
        reply.working = rows
            .iter()
            .map(|row| say("check.rules.where", &[("id", &row.id), ("where", &row.place)]))
            .collect();
        if rows.iter().any(|row| !row.standing.may_vouch()) {
            reply.note(Level::Notice, say("check.rules.from_memory", &[]));
        }
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    /// Without a country: how many rows each rulebook holds.
    fn everywhere(&self, day: NaiveDate) -> Reply {
        let mut reply = Reply::new("check rules", say("check.rules.no_country", &[]));
        for book in Rulebook::COUNTRIES {
            let rows: Vec<_> =
                rulebook::of(book, day).filter(|row| row.states.is_empty() && self.is_for(row)).collect();
            let count = rows.len().to_string();
            let limits = binding(&rows, "nitrite");
            let holes = [("book", book.name()), ("count", &*count), ("limits", &limits)];
            reply.lines.push(say("check.rules.book", &holes));
        }
        reply.next = Some(say("check.rules.next_country", &[]));
        reply.judges = true;
        reply
    }

    /// The rows in force for this country and kind.
    fn rows(&self, country: &Country, day: NaiveDate) -> Vec<&'static Limit> {
        let in_state = |row: &&'static Limit| {
            row.states.is_empty()
                || country.code() == "EU"
                || row.states.iter().any(|state| state == country.code())
        };
        rulebook::of(country.rulebook(), day).filter(in_state).filter(|row| self.is_for(row)).collect()
    }

    fn is_for(&self, row: &Limit) -> bool {
        let product = match self.kind {
            None => return true,
            Some("fermented-sausage" | "dried-sausage") => "sausage",
            Some("whole-muscle") => "muscle",
            Some(other) => other,
        };
        let of_method = match product {
            "sausage" => row.is_for_method(COMMINUTED),
            _ => row.methods.is_empty() || row.methods.iter().any(|method| method != COMMINUTED),
        };
        of_method && (row.products.is_empty() || row.products.iter().any(|known| known == product))
    }

    /// The maxima that differ between the member's own country and another.
    fn changed(&self, own: &Country, other: &Country, day: NaiveDate) -> Vec<String> {
        let (here, there) = (self.rows(own, day), self.rows(other, day));
        let mut figures: Vec<&str> = here.iter().chain(&there).map(|row| row.figure.as_str()).collect();
        figures.sort_unstable();
        figures.dedup();
        let mut lines = vec![say("check.rules.changes", &[("own", own.code()), ("other", other.code())])];
        for figure in figures {
            let (before, after) = (binding(&here, figure), binding(&there, figure));
            if before != after {
                let holes = [("figure", &*name(figure)), ("before", &*before), ("after", &after)];
                lines.push(say("check.rules.change", &holes));
            }
        }
        lines
    }
}

/// What binds whoever adds it, each once, with its basis.
fn binding(rows: &[&Limit], figure: &str) -> String {
    let mut shown: Vec<String> = Vec::new();
    let binds = |row: &&&Limit| {
        row.figure == figure
            && matches!(row.kind, Kind::Maximum | Kind::Required | Kind::Minimum | Kind::Prohibited)
    };
    for row in rows.iter().filter(binds) {
        let text = format!("{}{}", demand(row), basis(row));
        if !shown.contains(&text) {
            shown.push(text);
        }
    }
    if shown.is_empty() { say("check.rules.no_row", &[]) } else { shown.join(", ") }
}

/// Whether it is added or found, the row says itself.
fn name(figure: &str) -> String {
    say(&format!("figure_name.{figure}"), &[]).trim_start_matches("ingoing ").to_owned()
}

fn line(row: &Limit) -> String {
    let holes = [
        ("figure", &*name(&row.figure)),
        ("demand", &demand(row)),
        ("basis", &basis(row)),
        ("scope", &rows::scope(row)),
        ("source", &finding::source(row)),
        ("dates", &dates(row)),
    ];
    say("check.rules.row", &holes)
}

/// What a row demands, with its figure as printed.
fn demand(row: &Limit) -> String {
    let key = match row.kind {
        Kind::Maximum => "check.rules.at_most",
        Kind::Required => "check.rules.required",
        Kind::Minimum => "check.rules.at_least",
        Kind::Finished => "check.rules.finished",
        Kind::Residual => "check.rules.residual",
        Kind::Prohibited => return say("check.rules.prohibited", &[]),
        Kind::Guide | Kind::Information => "check.rules.information",
    };
    let limit = if row.value.is_some() { finding::printed(row) } else { rows::printed(row) };
    say(key, &[("limit", &limit)])
}

/// What a figure is counted as and on.
fn basis(row: &Limit) -> String {
    if row.kind == Kind::Prohibited {
        return String::new();
    }
    let counted = row.counted_as.map(|basis| match basis {
        AmountBasis::SodiumNitrite => "check.rules.as_sodium_nitrite",
        AmountBasis::PotassiumNitrite => "check.rules.as_potassium_nitrite",
        AmountBasis::NitriteIon => "check.rules.as_nitrite_ion",
        AmountBasis::SodiumNitrate => "check.rules.as_sodium_nitrate",
        AmountBasis::PotassiumNitrate => "check.rules.as_potassium_nitrate",
        AmountBasis::NitrateIon => "check.rules.as_nitrate_ion",
    });
    let stage = row.stage.filter(|stage| *stage == Stage::Ingoing).map(|_| "check.rules.added");
    let weight = row.weight.and_then(|weight| match weight {
        WeightBasis::GreenWeight => Some("check.rules.on_green"),
        WeightBasis::MeatAndPickle => Some("check.rules.on_meat_and_pickle"),
        // Said by what the row demands: in the finished product, found.
        WeightBasis::Finished => None,
    });
    let words = [stage, weight, counted].into_iter().flatten().map(|key| say(key, &[]));
    words.fold(String::new(), |basis, word| basis + " " + &word)
}

/// Which Trichinella tables a rulebook leads to.
const fn freezing(book: Rulebook) -> &'static str {
    match book {
        Rulebook::Us | Rulebook::Ca => "check.rules.freezing_us",
        Rulebook::Eu | Rulebook::Gb => "check.rules.freezing_eu",
        _ => "check.rules.freezing_both",
    }
}
