//! `/check additive`: whether an additive is permitted in a country on a day, and how much of it.

use super::country;
use crate::command::Args;
use crate::command::asking::{Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::additive::{Additive, judge, register};
use crate::curing::finding::Outcome as Verdict;
use crate::curing::rule::{Country, Kind, Limit, Rulebook};
use crate::curing::{Finding, Level};
use crate::quantity::Fraction;
use crate::reply::rows;
use crate::reply::{Reply, finding, say, unit};
use chrono::NaiveDate;

/// `/check additive`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "additive",
    aliases: &[],
    summary: "whether an additive is permitted, by country and day",
    options: &[
        needed("name", OptionKind::Text, "its name or number, e.g. E 171"),
        maybe("amount", OptionKind::Mass, "how much of it goes in, e.g. 5 g"),
        maybe("meat", OptionKind::Mass, "into how much food, e.g. 2 kg"),
        maybe("country", OptionKind::Text, "your own when not said"),
        maybe("on", OptionKind::Text, "the day, e.g. 2026-11-02; today when not said"),
    ],
    examples: [
        "check additive name:E 171 amount:5 g meat:500 g country:US",
        "check additive name:E 171 country:EU on:2023-01-01",
    ],
    private: false,
};

/// An additive asked about.
#[derive(Debug, Clone)]
pub struct CheckAdditive {
    typed: String,
    additive: Option<&'static Additive>,
    share: Option<Fraction>,
    country: Option<Country>,
    day: NaiveDate,
}

/// What one rulebook says.
struct Said {
    book: Rulebook,
    rows: Vec<&'static Limit>,
    findings: Vec<Finding>,
}

impl CheckAdditive {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let typed = args.needed("name")?.to_owned();
        let share = match (args.mass("amount")?, args.mass("meat")?) {
            (Some(amount), Some(food)) => Some(Fraction::of_one(amount.as_grams() / food.as_grams())),
            (None, None) => None,
            (Some(_), None) => return Err(args.missing("meat")),
            (None, Some(_)) => return Err(args.missing("amount")),
        };
        if share.is_some_and(|share| share.as_one() > 1.0) {
            return Err(args.error(Code::OutOfRange, say("check.additive.more_than_food", &[])));
        }
        let day = match args.text("on") {
            Some(text) => text.parse().map_err(|_| no_day(args, text))?,
            None => args.asking.day(),
        };
        Ok(Self { additive: Additive::named(&typed), typed, share, country: country(args)?, day })
    }

    /// Carries it out.
    pub fn perform(&self) -> Outcome {
        if let Some(cure) = self.additive.filter(|additive| additive.is_cure) {
            let mut reply =
                Reply::new("check additive", say("check.additive.cure", &[("name", &name_of(cure))]));
            reply.next = Some(say("check.additive.cure_next", &[]));
            return Ok(Done::reply(reply));
        }
        let own = self.country.as_ref().map(Country::rulebook);
        let books = own.map_or_else(|| Rulebook::COUNTRIES.to_vec(), |book| vec![book]);
        let mut said: Vec<Said> = books.into_iter().map(|book| self.of(book)).collect();
        said.sort_by_key(|said| std::cmp::Reverse(said.rank()));
        let headline = said.first().map_or_else(String::new, |first| self.headline(first));
        let mut reply = Reply::new("check additive", headline);
        if let Some(share) = self.share {
            reply.figures.push(figures::with_unit("additive_share", share.as_percent(), 2, unit::PERCENT));
        }
        let lines: Vec<String> = said.iter().flat_map(|said| self.lines(said)).collect();
        reply.lines = lines;
        if said.first().is_some_and(Said::forbids) {
            reply.next = Some(say("check.additive.leave_out", &[]));
        }
        if own.is_none() {
            reply.note(Level::Notice, say("cure.no_country", &[]));
        }
        reply.findings = said.into_iter().flat_map(|said| said.findings).collect();
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    fn of(&self, book: Rulebook) -> Said {
        let rows = self.additive.map(|additive| additive.rows(book, self.day)).unwrap_or_default();
        let judged = |row: &&&'static Limit| row.kind != Kind::Information;
        let findings =
            self.share.map(|share| rows.iter().filter(judged).filter_map(|row| judge(row, share)).collect());
        Said { book, findings: findings.unwrap_or_default(), rows }
    }

    fn headline(&self, said: &Said) -> String {
        let name = self.name();
        let day = self.day.to_string();
        let holes = [("name", &*name), ("country", said.book.name()), ("day", &day)];
        let others = self.additive.map(|additive| additive.rows_of_other_days(said.book, self.day));
        if said.rows.is_empty() && others.is_some_and(|rows| !rows.is_empty()) {
            return say("check.additive.unknown_then", &holes);
        }
        say(said.key(), &holes)
    }

    /// What the rows say that no verdict says, and where to look further.
    fn lines(&self, said: &Said) -> Vec<String> {
        let mut lines: Vec<String> =
            said.rows.iter().filter(|_| said.findings.is_empty()).map(|row| row_line(row)).collect();
        let others = self.additive.map(|additive| additive.rows_of_other_days(said.book, self.day));
        for row in others.unwrap_or_default() {
            lines.push(say("check.additive.other_days", &[("row", &row_line(row))]));
        }
        let holes = [("country", said.book.name()), ("register", register(said.book))];
        let is_known = said.rows.iter().any(|row| row.standing.may_vouch());
        let key = match (is_known, said.rows.is_empty()) {
            (true, _) => "check.additive.register",
            (false, false) => "check.additive.look_in",
            (false, true) => "check.additive.not_known",
        };
        lines.push(say(key, &holes));
        lines
    }

    fn name(&self) -> String {
        self.additive.map_or_else(|| shown(&self.typed), name_of)
    }
}

impl Said {
    fn forbids(&self) -> bool {
        self.rows.iter().any(|row| row.kind == Kind::Prohibited)
    }

    /// The strictest leads; what is not known comes last.
    fn rank(&self) -> u8 {
        let worst = self.findings.iter().map(|finding| finding.outcome).max();
        match (worst, self.forbids(), self.rows.is_empty()) {
            (_, _, true) => 0,
            (Some(Verdict::Over), _, _) | (None, true, _) => 4,
            (Some(Verdict::AtLimit), _, _) => 3,
            (Some(_), _, _) => 2,
            (None, false, _) => 1,
        }
    }

    fn key(&self) -> &'static str {
        let worst = self.findings.iter().map(|finding| finding.outcome).max();
        match worst {
            _ if self.rows.is_empty() => "check.additive.unknown",
            _ if self.forbids() => "check.additive.prohibited",
            Some(Verdict::Over) => "check.additive.over",
            Some(Verdict::AtLimit) => "check.additive.at_limit",
            Some(Verdict::UnderUnverified) => "check.additive.under_unverified",
            Some(Verdict::Within) => "check.additive.within",
            _ => "check.additive.rows_only",
        }
    }
}

/// What an additive is called.
fn name_of(additive: &Additive) -> String {
    rows::name("additive", &additive.figure, &additive.name)
}

/// What a row permits, for whom, and since when.
pub(super) fn row_line(row: &Limit) -> String {
    let holes = [
        ("country", row.rulebook.name()),
        ("figure", &*say(&format!("figure_name.{}", row.figure), &[])),
        ("limit", &limit(row)),
        ("scope", &rows::scope(row)),
        ("source", &finding::source(row)),
        ("dates", &dates(row)),
    ];
    say("check.additive.row", &holes)
}

fn limit(row: &Limit) -> String {
    if row.kind == Kind::Prohibited || row.value.is_none() {
        rows::printed(row)
    } else {
        finding::printed(row)
    }
}

/// From when to when a row applies, where it says so.
pub(super) fn dates(row: &Limit) -> String {
    let from = row.valid_from.map(|day| day.to_string()).unwrap_or_default();
    let to = row.valid_to.map(|day| day.to_string()).unwrap_or_default();
    let key = match (row.valid_from, row.valid_to) {
        (None, None) => return String::new(),
        (Some(_), None) => "check.rules.from",
        (None, Some(_)) => "check.rules.until",
        (Some(_), Some(_)) => "check.rules.from_until",
    };
    say(key, &[("from", &from), ("to", &to)])
}

fn no_day(args: Args<'_>, typed: &str) -> UserError {
    let sentence = say("check.additive.no_day", &[("typed", &shown(typed))]);
    UserError::new(Code::TimeUnclear, sentence, args.line().with("on", "2026-11-02"))
}
