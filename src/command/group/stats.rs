//! `/group stats`: how long what the group shows took to dry, how it lost weight, and how shared formulations went. No
//! figure tells whose it is.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{CommandError, UserError};
use crate::command::experience;
use crate::command::naming;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::drying::finished::DriedBatch;
use crate::curing::statistics::dryings::{self, CURVE_DAYS};
use crate::curing::statistics::enough::{BATCHES, MEMBERS};
use crate::curing::statistics::{Band, Cell, Missing, OnDay, Outcomes, Quartiles};
use crate::quantity::{Length, format};
use crate::record::BatchKind;
use crate::reply::{Figure, Reply, say, unit, words};
use crate::store::fold;
use std::collections::BTreeMap;

const KINDS: &[&str] = &["fermented-sausage", "dried-sausage", "whole-muscle"];

/// `/group stats`
pub static SPEC: Spec = Spec {
    root: "group",
    verb: "stats",
    aliases: &[],
    summary: "how the group's shared batches dried, without names",
    options: &[
        maybe("kind", OptionKind::Choice(KINDS), "only of this kind"),
        maybe("diameter", OptionKind::Length, "or thickness: only of its band, e.g. 50 mm"),
    ],
    examples: ["group stats", "group stats kind:fermented-sausage diameter:50 mm"],
    private: false,
};

/// Formulations of one answer.
const MOST_FORMULATIONS: usize = 10;

/// A look at what the group's batches tell together.
#[derive(Debug, Clone)]
pub struct GroupStats {
    kind: Option<BatchKind>,
    thickness: Option<Length>,
}

impl GroupStats {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self { kind: args.choice("kind", BatchKind::parse)?, thickness: args.length("diameter")? })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let shown = experience::shown_in_group(services, asking).await?;
        let kinds = self.kind.map_or(BatchKind::ALL.to_vec(), |kind| vec![kind]);
        let batches = dryings::chosen(&shown, &kinds, self.thickness);
        let mut reply = match self.only_cell(&batches) {
            Some(cell) => one_cell(&cell, &batches),
            None => every_cell(&batches),
        };
        reply.lines.extend(formulations(&batches, services, asking).await?);
        if !batches.is_empty() {
            reply.lines.push(say("group.stats.meaning", &[]));
        }
        reply.working.extend(["counts", "derived", "quartiles"].map(|what| say(&working(what), &[])));
        Ok(Done::reply(reply))
    }

    /// The one cell there is to speak of: the one asked for, or the only one that has a batch.
    fn only_cell(&self, batches: &[&DriedBatch]) -> Option<Cell> {
        let mut cells = dryings::cells(batches);
        if cells.len() == 1 {
            return cells.pop();
        }
        let (kind, thickness) = self.kind.zip(self.thickness)?;
        let band = Some(Band::of(thickness));
        Some(Cell { kind, band, days: dryings::days_to_target(batches) })
    }
}

fn working(what: &str) -> String {
    format!("group.stats.working_{what}")
}

fn every_cell(batches: &[&DriedBatch]) -> Reply {
    let cells = dryings::cells(batches);
    let holes = [("count", &*batches.len().to_string())];
    let key = if cells.is_empty() { "group.stats.none" } else { "group.stats.headline" };
    let mut reply = Reply::new("group stats", say(key, &holes));
    for cell in &cells {
        reply.figures.extend(cell_figures(cell));
        reply.lines.push(said(cell));
    }
    reply.next = Some(match cells.iter().find(|cell| cell.days.is_ok()) {
        Some(Cell { kind, band: Some(band), .. }) => {
            let diameter = inside(*band);
            say("group.stats.next_cell", &[("kind", kind.word()), ("diameter", &diameter)])
        }
        _ => say("group.stats.next_share", &[]),
    });
    reply
}

fn one_cell(cell: &Cell, batches: &[&DriedBatch]) -> Reply {
    let mut reply = Reply::new("group stats", said(cell));
    reply.figures = cell_figures(cell);
    let days: Vec<f64> = CURVE_DAYS.into_iter().map(f64::from).collect();
    for on in dryings::curve(batches, &days) {
        let (figure, line) = on_day(&on);
        reply.figures.push(figure);
        reply.lines.push(line);
    }
    if cell.days.is_err() {
        reply.next = Some(say("group.stats.next_share", &[]));
    }
    reply
}

/// "Whole muscle, 55-70 mm".
pub(in crate::command) fn cell_name(kind: BatchKind, band: Option<Band>) -> String {
    let band = band.map_or_else(|| say("group.stats.no_band", &[]), |band| band.to_string());
    format!("{}, {band}", words::kind(kind))
}

/// What there is where it is not enough: "3 of 5 batches, from 2 of 3 members".
pub(in crate::command) fn missing(missing: &Missing) -> String {
    let holes = [
        ("batches", &*missing.batches.to_string()),
        ("of_batches", &BATCHES.to_string()),
        ("members", &missing.members.to_string()),
        ("of_members", &MEMBERS.to_string()),
    ];
    let key = match (missing.batches >= BATCHES, missing.members >= MEMBERS) {
        (true, _) => "group.stats.missing_members",
        (false, true) => "group.stats.missing_batches",
        (false, false) => "group.stats.missing",
    };
    say(key, &holes)
}

fn said(cell: &Cell) -> String {
    let name = cell_name(cell.kind, cell.band);
    match &cell.days {
        Ok(days) => {
            let days = Whole::of(days, 1.0);
            let holes = [
                ("cell", &*name),
                ("middle", &days.middle),
                ("low", &days.low),
                ("high", &days.high),
                ("count", &days.count),
            ];
            say("group.stats.days", &holes)
        }
        Err(too_few) => say("group.stats.too_few", &[("cell", &name), ("missing", &missing(too_few))]),
    }
}

fn cell_figures(cell: &Cell) -> Vec<Figure> {
    let Ok(days) = &cell.days else { return Vec::new() };
    let of = cell_name(cell.kind, cell.band);
    let label = |id: &str| say(&format!("label.{id}"), &[]);
    let shown = format!("{} d", format::number(days.middle, 1));
    let middle = Figure::number("days_to_target", label("days_to_target"), days.middle, unit::DAY, shown)
        .between(days.low, days.high);
    vec![middle.of(of.clone()).folded(), counted(days).of(of)]
}

/// How many batches a figure rests on.
pub(in crate::command) fn counted(quartiles: &Quartiles) -> Figure {
    let (label, count) = (say("label.batches_counted", &[]), quartiles.count);
    #[expect(clippy::cast_precision_loss, reason = "a count of batches")]
    Figure::number("batches_counted", label, count as f64, unit::ONE, count.to_string()).folded()
}

fn on_day(on: &OnDay) -> (Figure, String) {
    let day = format::number(on.day, 0);
    let loss = Whole::of(&on.loss, 100.0);
    let holes = [
        ("day", &*day),
        ("middle", &loss.middle),
        ("low", &loss.low),
        ("high", &loss.high),
        ("count", &loss.count),
    ];
    (typical_loss(&on.loss).of(format!("day {day}")), say("group.stats.on_day", &holes))
}

/// What the group's batches had lost, with its middle half.
pub(in crate::command) fn typical_loss(loss: &Quartiles) -> Figure {
    let percent = |part: f64| part * 100.0;
    let shown = format!("{} %", format::number(percent(loss.middle), 1));
    Figure::number("typical_loss", say("label.typical_loss", &[]), percent(loss.middle), unit::PERCENT, shown)
        .between(percent(loss.low), percent(loss.high))
        .folded()
}

/// Quartiles as they are said: to whole days or percent.
pub(in crate::command) struct Whole {
    pub(in crate::command) low: String,
    pub(in crate::command) middle: String,
    pub(in crate::command) high: String,
    pub(in crate::command) count: String,
}

impl Whole {
    pub(in crate::command) fn of(quartiles: &Quartiles, times: f64) -> Self {
        // 28.5 % is held as 28.499… and still rounds up.
        let shown = |value: f64| format::number((value * times * 1e9).round() / 1e9, 0);
        Self {
            low: shown(quartiles.low),
            middle: shown(quartiles.middle),
            high: shown(quartiles.high),
            count: quartiles.count.to_string(),
        }
    }
}

/// A thickness inside a band, as it can be typed.
fn inside(band: Band) -> String {
    let millimetres = match band.edges_mm() {
        (Some(from), _) => from,
        (None, to) => to.unwrap_or_default().saturating_sub(1),
    };
    format!("{millimetres} mm")
}

/// The formulations that the group shares, with how the shared batches of the same name went; the one used most first.
async fn formulations(
    batches: &[&DriedBatch],
    services: &Services,
    asking: &Asking,
) -> Result<Vec<String>, CommandError> {
    let mut of_name: BTreeMap<String, Vec<&DriedBatch>> = BTreeMap::new();
    for batch in batches {
        of_name.entry(naming::base(&batch.name)).or_default().push(batch);
    }
    let mut used: BTreeMap<String, (String, Vec<&DriedBatch>)> = BTreeMap::new();
    for shared in services.store.formulations_shared(asking.group.id).await? {
        if let Some(batches) = of_name.remove(&fold(&shared.name)) {
            used.insert(fold(&shared.name), (shared.name, batches));
        }
    }
    let mut used: Vec<(String, Vec<&DriedBatch>)> = used.into_values().collect();
    used.sort_by_key(|(_, batches)| std::cmp::Reverse(batches.len()));
    let lines = used.iter().take(MOST_FORMULATIONS).map(|(name, batches)| formulation(name, batches));
    let head = (!used.is_empty()).then(|| say("group.stats.formulations", &[]));
    Ok(head.into_iter().chain(lines).collect())
}

fn formulation(name: &str, batches: &[&DriedBatch]) -> String {
    let outcomes: Outcomes = match dryings::outcomes(batches) {
        Ok(outcomes) => outcomes,
        Err(too_few) => {
            return say("group.stats.too_few", &[("cell", name), ("missing", &missing(&too_few))]);
        }
    };
    let finished = (outcomes.batches - outcomes.discarded).to_string();
    let (count, discarded) = (outcomes.batches.to_string(), outcomes.discarded.to_string());
    let days = outcomes.days.map_or_else(String::new, |days| {
        say("group.stats.formulation_days", &[("days", &format::number(days.middle, 0))])
    });
    let holes = [
        ("name", name),
        ("count", &*count),
        ("finished", &*finished),
        ("discarded", &*discarded),
        ("days", &*days),
    ];
    say("group.stats.formulation", &holes)
}
