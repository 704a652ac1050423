//! How long a piece stays in the cure, as lines of a reply.

use super::refusal;
use crate::command::asking::Asking;
use crate::command::error::UserError;
use crate::command::line::Line;
use crate::curing::cure::{CureTime, Method, Piece, Shape, advice, cure_time};
use crate::curing::finding::{Advice, Level};
use crate::quantity::{Length, Mass};
use crate::reply::finding::advised;
use crate::reply::{Figure, Reply, say, unit};

/// Works the customs out for a piece.
pub(in crate::command) fn of(
    thickness: Length,
    shape: Option<Shape>,
    method: Method,
    weight: Option<Mass>,
    line: &Line,
    asking: &Asking,
) -> Result<CureTime, UserError> {
    let piece = Piece { thickness, shape, method, weight };
    cure_time(&piece, asking.day()).map_err(|error| refusal::of(&error, line))
}

/// Adds the time in the cure to the answer of a dose: the two figures and what is to be said of them.
pub(in crate::command) fn add_line(
    reply: &mut Reply,
    thickness: Length,
    method: Method,
    weight: Option<Mass>,
    line: &Line,
    asking: &Asking,
) -> Result<(), UserError> {
    let time = of(thickness, None, method, weight, line, asking)?;
    reply.figures.extend(figures(&time));
    let about_the_dose = |said: &&Advice| [advice::TIME_COLD, advice::TIME_THICK].contains(&said.key);
    remarks(reply, time.advice.iter().filter(about_the_dose));
    Ok(())
}

/// Days in the cure and days of rest.
pub(super) fn figures(time: &CureTime) -> [Figure; 2] {
    let days = |id: &'static str, days: u32| {
        let shown = say("cure.time.days", &[("days", &days.to_string())]);
        Figure::number(id, say(&format!("label.{id}"), &[]), f64::from(days), unit::DAY, shown)
    };
    [days("cure_days", time.days), days("rest_days", time.rest_days)]
}

/// What is to be said of a cure time: with a signal word where it could go wrong, else as a line.
pub(super) fn remarks<'a>(reply: &mut Reply, advice: impl Iterator<Item = &'a Advice>) {
    for said in advice {
        match level(said) {
            Level::None => reply.lines.push(advised(said)),
            level => reply.note(level, advised(said)),
        }
    }
}

fn level(said: &Advice) -> Level {
    match said.key {
        advice::TIME_THICK => Level::Caution,
        advice::TIME_GIVE_WEIGHT => Level::Notice,
        _ => Level::None,
    }
}
