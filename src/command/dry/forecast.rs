//! `/dry forecast`: when pieces will have lost what they are to lose, as a window of dates or days.

use super::shown::{days, explain, figures_of, key_of};
use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::line;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::Look;
use crate::command::status::finish::{self, Known, dates, lost};
use crate::command::time;
use crate::curing::drying::forecast::{
    Class, Expectation, Knowledge, NoWindow, Piece, Weighed, Window, window,
};
use crate::quantity::{Fraction, Mass, format, parse};
use crate::record::state::Piece as Hung;
use crate::record::{BatchState, ChamberId};
use crate::reply::{Figure, Reply, say};
use chrono::{DateTime, Utc};

const KINDS: &[&str] = &["sausage", "muscle"];

/// `/dry forecast`
pub static SPEC: Spec = Spec {
    root: "dry",
    verb: "forecast",
    aliases: &[],
    summary: "when it will have lost what it is to lose, as a window",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("green", OptionKind::Mass, "instead of a batch: net weight when hung"),
        maybe("kind", OptionKind::Choice(KINDS), "what it is"),
        maybe("diameter", OptionKind::Length, "or thickness, e.g. 50 mm"),
        maybe("loss", OptionKind::Percent, "to reach; the batch's own when not said"),
        maybe("weights", OptionKind::Text, "days since hanging and weights, e.g. 3 d 958 g, 7 d 905 g"),
        maybe(
            "hung",
            OptionKind::Time,
            "what if it was hung, or will be, on that day: dates instead of days",
        ),
    ],
    examples: [
        "dry forecast batch:B1",
        "dry forecast green:1000 g kind:sausage diameter:60 mm loss:35% weights:3 d 958 g, 7 d 905 g, 12 d 853 g",
    ],
    private: false,
};

/// Most weighings of a line.
const MOST_WEIGHINGS: usize = 200;

/// A batch, or a piece as it was said.
#[derive(Debug, Clone)]
pub struct DryForecast {
    what: What,
    loss: Option<Fraction>,
    hung: Option<DateTime<Utc>>,
}

#[derive(Debug, Clone)]
enum What {
    Batch(Option<String>),
    Said(Piece),
}

impl DryForecast {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let loss = args.percent("loss")?;
        let hung = hung(args)?;
        let Some(green) = args.mass("green")? else {
            return Ok(Self { what: What::Batch(args.text("batch").map(str::to_owned)), loss, hung });
        };
        if args.text("batch").is_some() {
            return Err(args.error(Code::OutOfRange, say("dry.forecast.both", &[])));
        }
        let class = args.choice("kind", |word| match word {
            "sausage" => Some(Class::Sausage),
            "muscle" => Some(Class::WholeMuscle),
            _ => None,
        })?;
        let piece = Piece {
            class: class.ok_or_else(|| args.missing("kind"))?,
            diameter: args.length("diameter")?,
            green,
            weighings: weighings(args)?,
            target: loss.ok_or_else(|| args.missing("loss"))?,
        };
        Ok(Self { what: What::Said(piece), loss, hung })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let look = Look::at_record(services, asking);
        let named = match &self.what {
            What::Said(piece) => {
                // In no chamber of the record: what the member's others let expect.
                let expectation = finish::expectation(look, piece.class, ChamberId(0)).await?;
                return Ok(Done::reply(of_piece(piece, expectation, self.hung, asking)?));
            }
            What::Batch(named) => named,
        };
        let state = match lookup::batch(
            services,
            asking,
            named.as_deref(),
            Deed::LookAt,
            "dry forecast batch:{batch}",
        )
        .await?
        {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        Ok(Done::reply(self.of_batch(look, &state).await?))
    }

    async fn of_batch(&self, look: Look<'_>, state: &BatchState) -> Result<Reply, CommandError> {
        let target = self.loss.or(state.plan.target_loss).ok_or_else(|| {
            refused(state, "dry.forecast.no_loss", &format!("dry forecast batch:{} loss:35%", state.id))
        })?;
        if state.pieces.is_empty() {
            return not_hung(look, state, target, self.hung.unwrap_or(look.asking.now)).await;
        }
        let known = Known::of(look, state).await?;
        let found = finish::windows(state, &known, target);
        if found.is_empty() {
            return Err(refused(state, "dry.forecast.nothing_hangs", SPEC.examples[1]).into());
        }
        let when = |found: Option<(&Hung, Window)>| {
            found.map_or_else(String::new, |(hung, window)| {
                dates(&window, self.hung.unwrap_or(hung.hung_at), look.asking)
            })
        };
        let slowest = finish::slowest(&found);
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("loss", &format::percent(target)),
            ("when", &when(slowest)),
        ];
        let key = if slowest.is_some() { "dry.forecast.batch" } else { "dry.forecast.none_left" };
        let mut reply = Reply::new("dry forecast", say(key, &holes));
        reply.batch = Some(state.id);
        if let Some((_, window)) = slowest {
            reply.figures.extend(figures_of(&window).map(Figure::folded));
        }
        for (hung, found) in &found {
            let number = format!("piece {}", hung.hung.number);
            let figures = found.iter().flat_map(figures_of);
            reply.figures.extend(figures.map(|figure| figure.of(number.clone()).folded()));
        }
        let said = |hung: &Hung, found: &Result<Window, NoWindow>| match found {
            Ok(window) => when(Some((hung, *window))),
            Err(error) => say(key_of(*error), &[]),
        };
        reply.lines = lines(&found, said);
        if reply.lines.len() > 1 && slowest.is_some() {
            let half = say("dry.forecast.half", &[("when", &when(finish::middle(&found)))]);
            reply.lines.insert(0, half);
        } else if slowest.is_some() {
            // All the same: the headline says it.
            reply.lines.clear();
        }
        if let Some((hung, window)) = slowest {
            explain(&mut reply, &window, lost(hung));
        }
        Ok(reply)
    }
}

/// What is said of each piece, those of which the same is said together.
fn lines(
    found: &[finish::Found<'_>],
    said: impl Fn(&Hung, &Result<Window, NoWindow>) -> String,
) -> Vec<String> {
    let mut groups: Vec<(String, String)> = Vec::new();
    for (hung, found) in found {
        let (number, text) = (hung.hung.number.to_string(), said(hung, found));
        match groups.iter_mut().find(|(_, same)| *same == text) {
            Some((numbers, _)) => *numbers = format!("{numbers}, {number}"),
            None => groups.push((number, text)),
        }
    }
    let line =
        |(pieces, when): &(String, String)| say("dry.forecast.piece", &[("piece", pieces), ("when", when)]);
    groups.iter().map(line).collect()
}

/// A day that was or will be.
fn hung(args: Args<'_>) -> Result<Option<DateTime<Utc>>, UserError> {
    let Some(text) = args.text("hung") else { return Ok(None) };
    let (now, zone) = (args.asking.now, args.asking.zone());
    let read = time::past(text, now, zone).or_else(|_| time::future(text, now, zone));
    read.map(Some).map_err(|error| args.time_error("hung", &error))
}

fn refused(state: &BatchState, key: &str, example: &str) -> UserError {
    let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
    UserError::new(Code::DoesNotFit, say(key, &holes), example)
}

/// A batch of which nothing was hung: what would be if it were.
async fn not_hung(
    look: Look<'_>,
    state: &BatchState,
    target: Fraction,
    hung: DateTime<Utc>,
) -> Result<Reply, CommandError> {
    let class = Class::of(state.plan.kind);
    let expectation = finish::expectation(look, class, state.chamber()).await?;
    // Before any weighing the green weight makes no difference.
    let green = Mass::grams(1000.0);
    let piece = Piece { class, diameter: state.plan.thickness, green, weighings: Vec::new(), target };
    let found = window(&piece, &Knowledge { expectation, air: Vec::new() })
        .map_err(|error| UserError::new(Code::DoesNotFit, say(key_of(error), &[]), SPEC.examples[1]))?;
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &state.plan.name),
        ("loss", &format::percent(target)),
        ("hung", &time::moment(hung, look.asking.now, look.asking.zone())),
        ("when", &dates(&found, hung, look.asking)),
    ];
    let mut reply = Reply::new("dry forecast", say("dry.forecast.not_hung", &holes));
    reply.batch = Some(state.id);
    reply.figures = figures_of(&found).map(Figure::folded).into();
    explain(&mut reply, &found, Fraction::of_one(0.0));
    Ok(reply)
}

fn of_piece(
    piece: &Piece,
    expectation: Expectation,
    hung: Option<DateTime<Utc>>,
    asking: &Asking,
) -> Result<Reply, UserError> {
    let found = window(piece, &Knowledge { expectation, air: Vec::new() })
        .map_err(|error| UserError::new(Code::DoesNotFit, say(key_of(error), &[]), SPEC.examples[1]))?;
    let when = hung.map_or_else(|| days(&found), |hung| dates(&found, hung, asking));
    let holes = [("loss", &*format::percent(piece.target)), ("when", &when)];
    let mut reply = Reply::new("dry forecast", say("dry.forecast.said", &holes));
    reply.figures = figures_of(&found).into();
    let net = piece.weighings.iter().max_by(|one, other| one.day.total_cmp(&other.day));
    let lost = net.map_or(0.0, |weighed| 1.0 - weighed.net.as_grams() / piece.green.as_grams());
    explain(&mut reply, &found, Fraction::of_one(lost));
    Ok(reply)
}

/// "0 d 1000 g, 3 d 958 g": parted by a comma with a blank behind it, or by a semicolon.
fn weighings(args: Args<'_>) -> Result<Vec<Weighed>, UserError> {
    let text = args.text("weights").unwrap_or_default().replace(';', ", ");
    let parts: Vec<&str> = text.split(", ").map(str::trim).filter(|part| !part.is_empty()).collect();
    if parts.len() > MOST_WEIGHINGS {
        return Err(args.error(Code::OutOfRange, say("dry.forecast.too_many", &[])));
    }
    parts.into_iter().map(|part| weighed(args, part.trim_end_matches(','))).collect()
}

fn weighed(args: Args<'_>, text: &str) -> Result<Weighed, UserError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let splits = (1..words.len()).map(|at| (words[..at].join(" "), words[at..].join(" ")));
    let read = |(time, mass): (String, String)| {
        let hours = parse::duration(&time).ok()?;
        let net: Mass = parse::positive_mass(&mass).ok()?;
        Some(Weighed { day: hours.value() / 24.0, net })
    };
    let refused =
        || args.error(Code::OutOfRange, say("dry.forecast.weights", &[("typed", &line::shown(text))]));
    splits.rev().find_map(read).ok_or_else(refused)
}
