//! `/dry forecast`: when pieces will have lost what they are to lose, as a window of dates or days.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::finish::{self, dates, far_end, is_prior_alone, lost, open, sentence};
use crate::curing::Level;
use crate::curing::drying::forecast::{Class, NoWindow, Piece, Weighed, Window, window};
use crate::quantity::{Fraction, Mass, format, parse};
use crate::record::BatchState;
use crate::reply::{Figure, Reply, say, unit};

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
        let Some(green) = args.mass("green")? else {
            return Ok(Self { what: What::Batch(args.text("batch").map(str::to_owned)), loss });
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
        Ok(Self { what: What::Said(piece), loss })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let named = match &self.what {
            What::Said(piece) => return Ok(Done::reply(of_piece(piece)?)),
            What::Batch(named) => named,
        };
        let state =
            match lookup::batch(services, asking, named.as_deref(), "dry forecast batch:{batch}").await? {
                Found::Batch(state) => state,
                Found::Ask(question) => return Ok(Done::question(question)),
            };
        Ok(Done::reply(self.of_batch(&state, asking)?))
    }

    fn of_batch(&self, state: &BatchState, asking: &Asking) -> Result<Reply, UserError> {
        let refused = |key: &str| {
            let holes = [("batch", &*state.id.to_string()), ("name", &state.plan.name)];
            UserError::new(Code::DoesNotFit, say(key, &holes), SPEC.examples[1])
        };
        let target = self.loss.or(state.plan.target_loss).ok_or_else(|| refused("dry.forecast.no_loss"))?;
        let found = finish::windows(state, target);
        if found.is_empty() {
            return Err(refused("dry.forecast.nothing_hangs"));
        }
        let slowest = finish::slowest(&found);
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("loss", &format::percent(target)),
            (
                "when",
                &slowest.map_or_else(String::new, |(hung, window)| dates(&window, hung.hung_at, asking)),
            ),
        ];
        let key = if slowest.is_some() { "dry.forecast.batch" } else { "dry.forecast.none_left" };
        let mut reply = Reply::new("dry forecast", say(key, &holes));
        reply.batch = Some(state.id);
        for (hung, found) in &found {
            let number = format!("piece {}", hung.hung.number);
            let said = match found {
                Ok(window) => {
                    reply.figures.extend(
                        figures_of(window).into_iter().map(|figure| figure.of(number.clone()).folded()),
                    );
                    dates(window, hung.hung_at, asking)
                }
                Err(error) => say(key_of(*error), &[]),
            };
            reply.lines.push(say(
                "dry.forecast.piece",
                &[("piece", &hung.hung.number.to_string()), ("when", &said)],
            ));
        }
        if slowest.is_some_and(|(hung, window)| is_prior_alone(&window, lost(hung))) {
            reply.note(Level::Notice, say("dry.forecast.prior", &[]));
        }
        reply.lines.push(say("dry.forecast.meaning", &[]));
        Ok(reply)
    }
}

fn of_piece(piece: &Piece) -> Result<Reply, UserError> {
    let found = window(piece)
        .map_err(|error| UserError::new(Code::DoesNotFit, say(key_of(error), &[]), SPEC.examples[1]))?;
    let holes = [("loss", &*format::percent(piece.target)), ("when", &days(&found))];
    let mut reply = Reply::new("dry forecast", say("dry.forecast.said", &holes));
    reply.figures = figures_of(&found).into();
    let net = piece.weighings.iter().max_by(|one, other| one.day.total_cmp(&other.day));
    let lost = net.map_or(0.0, |weighed| 1.0 - weighed.net.as_grams() / piece.green.as_grams());
    if is_prior_alone(&found, Fraction::of_one(lost)) {
        reply.note(Level::Notice, say("dry.forecast.prior", &[]));
    }
    reply.lines.push(say("dry.forecast.meaning", &[]));
    Ok(reply)
}

const fn key_of(error: NoWindow) -> &'static str {
    match error {
        NoWindow::Impossible => "dry.forecast.impossible",
        NoWindow::Gain => "dry.forecast.gain",
        NoWindow::Reached => "dry.forecast.reached",
    }
}

fn days(window: &Window) -> String {
    let day =
        |days: Option<f64>| days.map(|days| say("dry.forecast.day", &[("day", &format::number(days, 0))]));
    sentence(window, day(window.p10), day(window.p50), day(far_end(window)))
}

fn figures_of(window: &Window) -> [Figure; 4] {
    let label = |id: &str| say(&format!("label.{id}"), &[]);
    let day = |id: &'static str, days: Option<f64>| {
        let shown = days.map_or_else(|| "—".to_owned(), |days| format!("{} d", format::number(days, 1)));
        Figure::number(id, label(id), open(days), unit::DAY, shown)
    };
    let never = window.chance_never * 100.0;
    [
        day("finish_p10", window.p10),
        day("finish_p50", window.p50),
        day("finish_p90", window.p90),
        Figure::number(
            "chance_never",
            label("chance_never"),
            never,
            unit::PERCENT,
            format!("{} %", format::number(never, 0)),
        ),
    ]
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
    let refused = || args.error(Code::OutOfRange, say("dry.forecast.weights", &[("typed", &shown(text))]));
    splits.rev().find_map(read).ok_or_else(refused)
}
