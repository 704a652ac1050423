//! What the pieces of a batch lost, with the target and the finish window of the slowest.

use super::{Calendar, Charted, sentences, title};
use crate::chart::palette::{MOST, Style};
use crate::chart::{Axis, Between, Chart, Fan, Mark, Panel, Reach, Series, Target};
use crate::command::asking::Asking;
use crate::command::error::CommandError;
use crate::command::lookup;
use crate::command::status::Look;
use crate::command::status::finish::{self, Known};
use crate::curing::drying::forecast::{NoWindow, Window};
use crate::curing::drying::target::Green;
use crate::quantity::{Fraction, Mass, format};
use crate::record::event::ObservationKind;
use crate::record::state::Piece;
use crate::record::{BatchStage, BatchState, PieceFate};
use crate::reply::{say, words};
use chrono::{DateTime, TimeDelta, Utc};

/// Levels at which the window is worked out between the last loss and the target.
const LEVELS: u32 = 6;
/// The way up spans at least so much, in percent.
const LEAST_SPAN: f64 = 10.0;
/// What happens within this time of the hanging belongs to it.
const AT_HANGING: TimeDelta = TimeDelta::hours(6);

/// One piece as it lost weight.
struct Course<'a> {
    piece: &'a Piece,
    /// When, what was lost in percent, what it then weighed.
    weighed: Vec<(DateTime<Utc>, f64, Mass)>,
}

impl Course<'_> {
    fn lost(&self) -> f64 {
        self.weighed.last().map_or(0.0, |(_, lost, _)| *lost)
    }

    fn name(&self) -> String {
        self.piece.hung.number.to_string()
    }
}

pub(super) async fn chart(state: &BatchState, look: Look<'_>) -> Result<Charted, CommandError> {
    let courses: Vec<Course<'_>> = state.pieces.iter().filter_map(course).collect();
    let Some(origin) = courses.iter().map(|course| course.piece.hung_at).min() else {
        return Ok(Err(title("charting.drying.nothing_hung", state)));
    };
    if courses.iter().all(|course| course.weighed.len() < 2) {
        return Ok(Err(title("charting.drying.not_weighed", state)));
    }
    let calendar = Calendar::new(origin, look);
    let target = state.plan.target_loss;
    let found = forecast(state, &courses, calendar, look).await?;
    let panel = Panel {
        axis: Axis { label: say("charting.drying.axis", &[]), from: Some(0.0), least_span: LEAST_SPAN },
        share: 1.0,
        series: series(&courses, calendar),
        bands: Vec::new(),
        targets: target
            .map(|target| Target {
                name: say("charting.drying.target", &[("loss", &format::percent(target))]),
                value: target.as_percent(),
            })
            .into_iter()
            .collect(),
        fan: found.as_ref().and_then(|(fan, _)| fan.clone()),
    };
    Ok(Ok(Chart {
        kind: "drying",
        title: title("charting.drying.title", state),
        horizontal: calendar.horizontal(),
        panels: vec![panel],
        marks: marks(state, calendar, look).await?,
        alt: alt(state, &courses, calendar, found.map(|(_, said)| said), look.asking),
    }))
}

/// `None` for a piece whose kept weights are impossible.
fn course(piece: &Piece) -> Option<Course<'_>> {
    let green = Green::from_scale(piece.hung.hung, piece.hung.tare).ok()?;
    let mut weighed = vec![(piece.hung_at, 0.0, green.net())];
    for weighing in piece.since_hung() {
        let (Ok(loss), Ok(net)) = (green.loss_at(weighing.gross), green.net_at(weighing.gross)) else {
            continue;
        };
        weighed.push((weighing.at, loss.as_percent(), net));
    }
    Some(Course { piece, weighed })
}

/// Each piece where they can be told apart; else the one that lost most, the one that lost least, and the others faint.
fn series(courses: &[Course<'_>], calendar: Calendar) -> Vec<Series> {
    let of = |course: &Course<'_>, name: String, style: Style| Series {
        name,
        points: course.weighed.iter().map(|(at, lost, _)| calendar.point(*at, *lost)).collect(),
        style,
        between: Between::Way,
    };
    if courses.len() <= MOST {
        let all = courses.iter().enumerate();
        return all.map(|(number, course)| of(course, course.name(), Style::nth(number))).collect();
    }
    let mut ranked: Vec<&Course<'_>> = courses.iter().collect();
    ranked.sort_by(|one, other| other.lost().total_cmp(&one.lost()));
    let last = ranked.len() - 1;
    let between = say("charting.drying.between", &[("count", &(last - 1).to_string())]);
    let named = |(number, course): (usize, &&Course<'_>)| match number {
        0 => of(course, say("charting.drying.most", &[("piece", &course.name())]), Style::nth(0)),
        1 => of(course, between.clone(), Style::faint()),
        number if number == last => {
            of(course, say("charting.drying.least", &[("piece", &course.name())]), Style::nth(1))
        }
        _ => of(course, String::new(), Style::faint()),
    };
    ranked.iter().enumerate().map(named).collect()
}

/// The fan of the slowest piece that still hangs, and what is said of its end; only while the batch dries.
async fn forecast(
    state: &BatchState,
    courses: &[Course<'_>],
    calendar: Calendar,
    look: Look<'_>,
) -> Result<Option<(Option<Fan>, String)>, CommandError> {
    if state.stage().0 != BatchStage::Drying {
        return Ok(None);
    }
    let known = Known::of(look, state).await?;
    Ok(forecast_of(state, courses, calendar, &known, look.asking))
}

fn forecast_of(
    state: &BatchState,
    courses: &[Course<'_>],
    calendar: Calendar,
    known: &Known,
    asking: &Asking,
) -> Option<(Option<Fan>, String)> {
    let target = state.plan.target_loss?;
    let windows = finish::windows(state, known, target);
    let (hung, window) = finish::slowest(&windows)?;
    let name = hung.hung.number.to_string();
    let said = say(
        "charting.drying.forecast",
        &[("piece", &name), ("when", &finish::dates(&window, hung.hung_at, asking))],
    );
    let course = courses.iter().find(|course| course.piece.hung.number == hung.hung.number)?;
    let ahead =
        |lost: Fraction| if lost == target { Ok(window) } else { known.window(state, course.piece, lost) };
    let fan = fan(course, (target, window), ahead, calendar, asking);
    Some((fan, said))
}

fn fan(
    course: &Course<'_>,
    (target, end): (Fraction, Window),
    ahead: impl Fn(Fraction) -> Result<Window, NoWindow>,
    calendar: Calendar,
    asking: &Asking,
) -> Option<Fan> {
    let (last_at, last_lost, _) = course.weighed.last().copied()?;
    let hung_at = course.piece.hung_at;
    let days = |days: f64| calendar.day(hung_at) + days;
    let mut reaches = vec![Reach {
        y: last_lost,
        early: calendar.day(last_at),
        middle: Some(calendar.day(last_at)),
        late: Some(calendar.day(last_at)),
    }];
    for level in 1..=LEVELS {
        let wanted = last_lost + (target.as_percent() - last_lost) * f64::from(level) / f64::from(LEVELS);
        let wanted_loss = if level == LEVELS { target } else { Fraction::percent(wanted) };
        let Ok(found) = ahead(wanted_loss) else { continue };
        let before = *reaches.last()?;
        // Each level is reached no earlier than the one before.
        let later = |one: Option<f64>, other: Option<f64>| Some(one?.max(other?));
        reaches.push(Reach {
            y: wanted,
            early: days(found.p10?).max(before.early),
            middle: later(before.middle, found.p50.map(days)),
            late: later(before.late, finish::far_end(&found).map(days)),
        });
    }
    let name = course.name();
    let short = finish::short_dates(&end, hung_at, asking);
    Some(Fan { name: say("charting.drying.fan", &[("piece", &name), ("when", &short)]), reaches })
}

/// What happened since it was hung.
async fn marks(state: &BatchState, calendar: Calendar, look: Look<'_>) -> Result<Vec<Mark>, CommandError> {
    let since = calendar.origin + AT_HANGING;
    let mut marks: Vec<(DateTime<Utc>, String)> = Vec::new();
    let stages = state.stages.iter().filter(|(_, at)| *at >= since);
    marks.extend(stages.map(|(stage, at)| (*at, words::stage(*stage))));
    for (chamber, at) in state.stays.iter().skip(1).filter(|(_, at)| *at >= since) {
        let name = lookup::chamber_name(look.services, *chamber).await?;
        marks.push((*at, say("charting.drying.moved", &[("chamber", &name)])));
    }
    for seen in state.observations.iter().filter(|seen| seen.at >= since) {
        marks.push((seen.at, say(seen_key(seen.kind), &[])));
    }
    for piece in &state.pieces {
        if let Some((fate, at)) = piece.left {
            let name = piece.hung.number.to_string();
            marks.push((at, say(left_key(fate), &[("piece", &name)])));
        }
    }
    marks.sort_by_key(|(at, _)| *at);
    marks.dedup();
    Ok(marks.into_iter().map(|(at, name)| Mark { x: calendar.day(at), name }).collect())
}

const fn left_key(fate: PieceFate) -> &'static str {
    match fate {
        PieceFate::Eaten => "charting.drying.eaten",
        PieceFate::Packed => "charting.drying.packed",
        PieceFate::Discarded => "charting.drying.discarded",
    }
}

const fn seen_key(kind: ObservationKind) -> &'static str {
    match kind {
        ObservationKind::Mould => "charting.seen.mould",
        ObservationKind::Smell => "charting.seen.smell",
        ObservationKind::Slime => "charting.seen.slime",
        ObservationKind::HardRim => "charting.seen.hard_rim",
    }
}

/// First, last, target and forecast, in numbers.
fn alt(
    state: &BatchState,
    courses: &[Course<'_>],
    calendar: Calendar,
    forecast: Option<String>,
    asking: &Asking,
) -> String {
    let unit = asking.member.settings.mass;
    let course_said = |course: &Course<'_>| {
        let ((first_at, _, first), (last_at, lost, last)) =
            (course.weighed.first().copied()?, course.weighed.last().copied()?);
        Some(say(
            "charting.drying.alt_piece",
            &[
                ("piece", &course.name()),
                ("first", &format::mass(first, unit)),
                ("hung", &calendar.moment(first_at)),
                ("last", &format::mass(last, unit)),
                ("when", &calendar.moment(last_at)),
                ("lost", &format::percent_with(Fraction::percent(lost), 1)),
            ],
        ))
    };
    let mut shown: Vec<&Course<'_>> = courses.iter().collect();
    if shown.len() > MOST {
        shown.sort_by(|one, other| other.lost().total_cmp(&one.lost()));
        shown.drain(1..courses.len() - 1);
    }
    let said: Vec<String> = shown.into_iter().filter_map(course_said).collect();
    let count = say("charting.drying.alt_count", &[("count", &courses.len().to_string())]);
    let target = state.plan.target_loss.map_or_else(String::new, |target| {
        say("charting.drying.alt_target", &[("loss", &format::percent(target))])
    });
    let title = format!("{}.", title("charting.drying.title", state));
    sentences(&[&title, &count, &said.join(" "), &target, &forecast.unwrap_or_default()])
}
