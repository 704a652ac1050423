//! What the rules say of a batch: of its cure as the country counts it, of its fermentation, of what happened to it.

use super::{Paper, Space, table};
use crate::command::asking::Asking;
use crate::command::cure::{judging, kept};
use crate::curing::cure::{Case, CureLabel, Ingoing, Product, Scope, judge};
use crate::curing::fermentation::Fermentation;
use crate::curing::{Country, Finding, Level, Outcome};
use crate::document::{Align, Block};
use crate::quantity::format;
use crate::record::{BatchState, Event, Happening};
use crate::reply::finding::{
    figure_shown, limit_shown, measured_shown, outcome_shown, source, standing_shown,
};
use crate::reply::{rows, say};

/// Rows of the table; what is further from its limit is left out, and said so.
const MOST: usize = 16;

const COLUMNS: [(&str, f64, Align); 6] = [
    ("paper.column.rule", 29.0, Align::Left),
    ("paper.column.scope", 34.0, Align::Left),
    ("paper.column.measured", 20.0, Align::Right),
    ("paper.column.limit", 20.0, Align::Right),
    ("paper.column.outcome", 17.0, Align::Left),
    ("paper.column.source", 30.0, Align::Left),
];

/// The cures of a batch together, judged on the day of the last by the country it was judged for.
pub(super) struct Cure {
    ingoing: Ingoing,
    scope: Scope,
    pub(super) findings: Vec<Finding>,
}

impl Cure {
    /// `None` where no cure is kept.
    pub(super) fn of(state: &BatchState, events: &[Event], asking: &Asking) -> Option<Self> {
        let last = state.doses.last()?;
        let (ingoing, methods) = kept::total(state)?;
        let cured = events.iter().rev().find(|event| matches!(event.what, Happening::Cured { .. }));
        let at = cured.map_or(asking.now, |event| event.at);
        let scope = Scope {
            product: Product::parse(&last.product)?,
            methods,
            country: Country::parse(&last.country),
            day: at.with_timezone(&asking.zone()).date_naive(),
        };
        let label = CureLabel::new(last.nitrite, last.nitrate).ok().filter(|_| state.doses.len() == 1);
        let case = Case { scope: scope.clone(), ingoing, label, salt_in_meat: None };
        Some(Self { findings: judge(&case), ingoing, scope })
    }

    /// Of all cures together, as sodium nitrite.
    pub(super) fn nitrite(&self) -> String {
        format::mg_per_kg(self.ingoing.nitrite_as_sodium_nitrite().mg_per_kg())
    }

    /// As sodium nitrate, where any went in.
    pub(super) fn nitrate(&self) -> Option<String> {
        let nitrate = self.ingoing.nitrate_as_sodium_nitrate().mg_per_kg();
        (nitrate > 0.0).then(|| format::mg_per_kg(nitrate))
    }

    pub(super) fn amounts(&self) -> String {
        amounts(
            self.ingoing.nitrite_as_sodium_nitrite().mg_per_kg(),
            self.ingoing.nitrate_as_sodium_nitrate().mg_per_kg(),
        )
    }

    fn verdict(&self) -> String {
        let verdict = judging::in_words(&self.findings, &self.ingoing, &self.scope);
        say("paper.verdict", &[("amounts", &self.amounts()), ("verdict", &verdict)])
    }
}

/// Nitrite and, where there is any, nitrate.
pub(super) fn amounts(nitrite: f64, nitrate: f64) -> String {
    let shown = format::mg_per_kg(nitrite);
    if nitrate > 0.0 {
        say("cure.amounts_both", &[("nitrite", &shown), ("nitrate", &format::mg_per_kg(nitrate))])
    } else {
        say("cure.amounts", &[("nitrite", &shown)])
    }
}

/// Everything that was judged, loudest first; each row once.
pub(super) fn findings<'a>(paper: &'a Paper<'_>) -> Vec<&'a Finding> {
    let of_cure = paper.cure.iter().flat_map(|cure| &cure.findings);
    let of_fermentation = paper.fermentation.iter().flat_map(Fermentation::findings);
    let mut all: Vec<&Finding> = of_cure.chain(of_fermentation).chain(&paper.card.findings).collect();
    let mut seen: Vec<&str> = Vec::new();
    all.retain(|finding| {
        let is_new = !seen.contains(&finding.limit.id.as_str());
        seen.push(&finding.limit.id);
        is_new
    });
    all.sort_by_key(|finding| std::cmp::Reverse((finding.level, finding.outcome)));
    all
}

/// What is shown, and how many rows are not.
pub(super) fn shown<'a>(paper: &'a Paper<'_>) -> (Vec<&'a Finding>, usize) {
    let all = findings(paper);
    let count = all.len();
    let of_nothing = |finding: &Finding| {
        finding.limit.figure == "nitrate" && finding.measured.is_none_or(|measured| measured <= 0.0)
    };
    let mut shown: Vec<&Finding> = all
        .into_iter()
        .filter(|finding| finding.outcome != Outcome::NotJudged || finding.measured.is_some())
        .filter(|finding| !of_nothing(finding))
        .collect();
    if paper.space > Space::Ample {
        shown.retain(|finding| finding.level > Level::None);
    }
    shown.truncate(MOST);
    let left = count - shown.len();
    (shown, left)
}

pub(super) fn blocks(paper: &Paper<'_>) -> Vec<Block> {
    let (shown, left) = shown(paper);
    if paper.cure.is_none() && shown.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading(say("paper.rules", &[]))];
    blocks.extend(paper.cure.iter().map(|cure| Block::Paragraph(cure.verdict())));
    if paper.cure.as_ref().is_some_and(|cure| cure.scope.country.is_none()) {
        blocks.push(Block::Small(say("paper.all_rulebooks", &[])));
    }
    let row = |finding: &&Finding| {
        let limit = &finding.limit;
        vec![
            figure_shown(limit),
            rows::scope(limit),
            measured_shown(finding),
            limit_shown(limit),
            outcome_shown(finding),
            source(limit),
        ]
    };
    blocks.push(table(&COLUMNS, shown.iter().map(row).collect()));
    if left > 0 {
        blocks.push(Block::Small(say("paper.rules_left", &[("count", &left.to_string())])));
    }
    if shown.iter().any(|finding| !finding.limit.standing.may_vouch()) {
        let memory = standing_shown(crate::curing::Standing::FromMemory);
        blocks.push(Block::Small(say("paper.from_memory", &[("standing", &memory)])));
    }
    blocks.push(Block::Paragraph(say("layout.who_decides", &[])));
    blocks
}
