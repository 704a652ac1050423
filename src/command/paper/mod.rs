//! What a batch says on paper: its record of a few pages, and its labels. The same record, asked for at the same moment,
//! gives the same paper; that of a batch that is over does not depend on when it is asked for.

mod course;
mod head;
mod label;
mod mixture;
mod rules;
mod working;

pub(in crate::command) use label::sheet;

use super::asking::{Asking, Services};
use super::charting::{self, ChartKind};
use super::describe;
use super::error::CommandError;
use super::formulation::again::{self, Ingredients};
use super::status::{self, Look, fermentation};
use crate::chart::Chart;
use crate::chart::svg::svg;
use crate::curing::drying::target::Green;
use crate::curing::fermentation::{Fermentation, Systems};
use crate::document::layout;
use crate::document::{About, Align, Block, Column, Document, Footer, Picture, Table};
use crate::quantity::{Fraction, Mass, format};
use crate::record::correction::effective;
use crate::record::state::Piece;
use crate::record::{BatchState, Event};
use crate::reply::{File, Language, Reply, calendar, say};
use chrono::{DateTime, Utc};
use rules::Cure;

/// Pages of a record, as long as what must be on it lets it.
const MOST_PAGES: usize = 3;
/// Letters of a batch's name in the name of a file.
const NAME_IN_FILE: usize = 40;

/// Everything that is known of a batch, as it is laid on paper.
struct Paper<'a> {
    state: &'a BatchState,
    asking: &'a Asking,
    events: Vec<Event>,
    recipe: Option<Ingredients>,
    cure: Option<Cure>,
    fermentation: Option<Fermentation>,
    /// What stands against it, as on its card.
    card: Reply,
    /// How much of it can be shown.
    space: Space,
}

/// What there is room for: where everything makes a record too long, the least of it is counted or named instead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Space {
    /// Everything.
    Ample,
    /// Of the rules only those that have a signal word.
    Narrow,
    /// Nor where each rule stands in its source, readings between others, and the chart of the air.
    Narrowest,
}

/// Who asks, at the moment that the paper speaks of: of a batch that is over its last entry.
pub(in crate::command) fn as_of(state: &BatchState, asking: &Asking) -> Asking {
    let now = if state.stage().0.is_over() { state.last_at } else { asking.now };
    Asking { now, ..asking.clone() }
}

/// The record of a batch. `asking` is what [`as_of`] gives.
pub(in crate::command) async fn record(
    state: &BatchState,
    with_notes: bool,
    services: &Services,
    asking: &Asking,
) -> Result<Document, CommandError> {
    let look = Look::at_record(services, asking);
    let mut paper = Paper::new(state, look).await?;
    for space in [Space::Ample, Space::Narrow] {
        paper.space = space;
        let document = laid_out(&paper, with_notes, look).await?;
        if layout::document(&document).pages.len() <= MOST_PAGES {
            return Ok(document);
        }
    }
    paper.space = Space::Narrowest;
    laid_out(&paper, with_notes, look).await
}

async fn laid_out(paper: &Paper<'_>, with_notes: bool, look: Look<'_>) -> Result<Document, CommandError> {
    let (state, Look { services, asking, .. }) = (paper.state, look);
    let mut blocks = head::blocks(paper, services);
    blocks.extend(mixture::blocks(paper));
    blocks.extend(rules::blocks(paper));
    blocks.extend(course::blocks(paper, services).await?);
    blocks.extend(working::cautions(paper));
    if with_notes {
        blocks.extend(working::notes(paper));
    }
    blocks.extend(working::blocks(paper));
    blocks.extend(charts(paper, look).await?);
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    let title = say("paper.title", &holes);
    let foot = [
        ("title", &*cut(&title)),
        ("when", &moment(asking.now, asking)),
        ("who_decides", &say("layout.who_decides", &[])),
    ];
    Ok(Document {
        about: about(title.clone(), say("paper.subject", &holes), asking),
        footer: Footer {
            text: say("paper.foot", &foot),
            page: say("paper.page", &[("page", "{page}"), ("pages", "{pages}")]),
        },
        blocks,
    })
}

async fn charts(paper: &Paper<'_>, look: Look<'_>) -> Result<Vec<Block>, CommandError> {
    let mut kinds = vec![ChartKind::Fermentation, ChartKind::Drying];
    if paper.space < Space::Narrowest {
        kinds.push(ChartKind::Chamber);
    }
    let charts = charting::those_of(&kinds, paper.state, look).await?;
    if charts.is_empty() {
        return Ok(Vec::new());
    }
    let mut blocks = vec![Block::Heading(say("paper.charts", &[]))];
    if paper.space == Space::Narrowest {
        blocks.push(Block::Small(say("paper.air_chart_left", &[("batch", &paper.state.id.to_string())])));
    }
    let picture = |chart: &Chart| Block::Picture(Picture { svg: svg(chart), alt: chart.alt.clone() });
    blocks.extend(charts.iter().map(picture));
    Ok(blocks)
}

impl<'a> Paper<'a> {
    async fn new(state: &'a BatchState, look: Look<'a>) -> Result<Self, CommandError> {
        let Look { services, asking, .. } = look;
        let events = effective(&services.store.events_of_batch(state.id).await?);
        let mut card = Reply::default();
        status::add_judgement(&mut card, state, look).await?;
        let fermentation = fermentation::of_batch(look, state, Systems::Strict).await?;
        if state.stage().0.is_over()
            && let Some(spell) = status::spell::of_batch(look, state, fermentation.as_ref()).await?
        {
            status::spell::add(&mut card, state, &spell, asking);
        }
        Ok(Self {
            state,
            asking,
            recipe: again::of_batch(state, services, asking).await?,
            cure: Cure::of(state, &events, asking),
            events,
            fermentation,
            card,
            space: Space::Ample,
        })
    }
}

/// The answer that hands a paper out.
pub(in crate::command) fn handed_out(
    command: &'static str,
    headline: String,
    state: &BatchState,
    what: &str,
    paper: (Vec<u8>, String),
) -> Reply {
    let (bytes, about) = paper;
    let mut reply = Reply::new(command, headline);
    status::carry_over(&mut reply, state);
    let name = file_name(state, what);
    reply.files.push(File { name, media_type: "application/pdf", bytes, about });
    reply.batch = Some(state.id);
    reply
}

/// Letters of a title at the foot of a page, so that there is room for the rest.
const TITLE_AT_FOOT: usize = 40;

fn cut(title: &str) -> String {
    if title.chars().count() <= TITLE_AT_FOOT {
        return title.to_owned();
    }
    let kept: String = title.chars().take(TITLE_AT_FOOT).collect();
    format!("{}…", kept.trim_end())
}

fn about(title: String, subject: String, asking: &Asking) -> About {
    About { title, subject, language: Language::in_force().tag().to_owned(), made: asking.now }
}

/// `B1-juniper-stick-record.pdf`: letters of ASCII, digits and hyphens.
fn file_name(state: &BatchState, what: &str) -> String {
    let mut name = String::new();
    for letter in state.plan.name.to_lowercase().chars() {
        if letter.is_ascii_alphanumeric() {
            name.push(letter);
        } else if !name.ends_with('-') {
            name.push('-');
        }
        if name.len() >= NAME_IN_FILE {
            break;
        }
    }
    let parts = [&*state.id.to_string(), name.trim_matches('-'), what];
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    format!("{}.pdf", parts.join("-"))
}

/// "Sat 7 Nov 2026".
fn day(at: DateTime<Utc>, asking: &Asking) -> String {
    calendar::day_of_year(at.with_timezone(&asking.zone()).naive_local())
}

/// "7 Nov 2026".
fn date(at: DateTime<Utc>, asking: &Asking) -> String {
    calendar::date_of_year(at.with_timezone(&asking.zone()).naive_local())
}

/// "Sat 7 Nov 2026 14:00".
fn moment(at: DateTime<Utc>, asking: &Asking) -> String {
    calendar::moment_of_year(at.with_timezone(&asking.zone()).naive_local())
}

/// A weight has at most this many letters; a longer exact one is rounded.
const LONGEST_WEIGHT: usize = 10;

/// A weight of cure or salt as it was typed, with the member's own unit beside one of the other system.
fn small_weight(mass: Mass, asking: &Asking) -> String {
    let unit = asking.member.settings.cure;
    let (typed, own) = (describe::mass_as_typed(mass), format::mass(mass, unit));
    let is_metric = |text: &str| text.ends_with('g');
    if typed.chars().count() > LONGEST_WEIGHT {
        own
    } else if is_metric(&typed) == is_metric(&own) {
        typed
    } else {
        format!("{typed} ({own})")
    }
}

/// What a piece lost by its last weighing; `None` before it was weighed, or where its kept weights are impossible.
fn lost(piece: &Piece) -> Option<Fraction> {
    let last = piece.since_hung().last()?;
    Green::from_scale(piece.hung.hung, piece.hung.tare).ok()?.loss_at(last.gross).ok()
}

fn table(columns: &[(&str, f64, Align)], rows: Vec<Vec<String>>) -> Block {
    let column = |(key, share, align): &(&str, f64, Align)| Column {
        heading: say(key, &[]),
        share: *share,
        align: *align,
    };
    Block::Table(Table { columns: columns.iter().map(column).collect(), rows })
}
