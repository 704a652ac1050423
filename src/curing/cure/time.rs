//! How long a piece stays in the cure, by published customs. Every rate comes from a row; none is validated here.

use super::error::positive;
use super::{CureError, Method, advice};
use crate::curing::finding::Advice;
use crate::curing::rule::{Limit, Rulebook};
use crate::curing::rulebook;
use crate::quantity::compare::{self, RELATIVE_TOLERANCE};
use crate::quantity::{Length, Mass, MassUnit, Temperature, format};
use crate::record::BatchState;
use chrono::NaiveDate;

/// The form of a piece: which customs fit it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Flat, like a belly.
    Slab,
    /// Round, like a loin, a ham or a shoulder.
    Cylinder,
}

impl Shape {
    /// The word a member types and a row carries.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Slab => "slab",
            Self::Cylinder => "cylinder",
        }
    }

    /// Reads the word, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        [Self::Slab, Self::Cylinder].into_iter().find(|shape| shape.word().eq_ignore_ascii_case(text.trim()))
    }
}

/// A piece that goes into the cure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its thickness, or its diameter where it is round.
    pub thickness: Length,
    /// Its form; `None` takes every form's customs, and so the longest.
    pub shape: Option<Shape>,
    /// Dry, or in a brine.
    pub method: Method,
    /// Its raw weight, where known: many customs go by weight.
    pub weight: Option<Mass>,
}

/// One custom, worked out for the piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Custom {
    /// The row.
    pub row: &'static Limit,
    /// Days before rounding.
    pub exact_days: f64,
    /// Whole days, rounded up.
    pub days: u32,
}

/// The time in the cure.
#[derive(Debug, Clone, PartialEq)]
pub struct CureTime {
    /// Every custom that fits, the longest first.
    pub customs: Vec<Custom>,
    /// Days in the cure: the longest custom.
    pub days: u32,
    /// Days of rest after it.
    pub rest_days: u32,
    /// Turn every so many days.
    pub turn_every_days: u32,
    /// Minutes in water after a dry cure in excess salt; `None` for a brine. A weighed dose needs no soak.
    pub soak_minutes: Option<u32>,
    /// The range to cure at, coldest and warmest.
    pub temperature: Option<(Temperature, Temperature)>,
    /// What to say beside the figures.
    pub advice: Vec<Advice>,
}

impl Custom {
    /// The same rate in the other system's unit, to be shown beside the printed one: 3 d/lb is 6.6 d/kg.
    pub fn in_other_unit(&self) -> Option<(f64, &'static str)> {
        let rate = self.row.value?;
        match self.row.unit.as_str() {
            "d/lb" => Some((rate * 1000.0 / MassUnit::Pound.in_grams(), "d/kg")),
            "d/kg" => Some((rate * MassUnit::Pound.in_grams() / 1000.0, "d/lb")),
            "d/inch" => Some((rate * Length::millimetres(10.0).as_inches(), "d/cm")),
            _ => None,
        }
    }
}

/// Works out the time in the cure. The longest custom that fits is recommended: leaning long does no harm to a
/// weighed dose in the cold, leaning short does.
///
/// Errors: an impossible size; mince, which needs no time; pumping, for which no custom is held; a round piece
/// in a brine without its weight.
pub fn cure_time(piece: &Piece, day: NaiveDate) -> Result<CureTime, CureError> {
    check(piece)?;
    let mut customs: Vec<Custom> = rows(day, "cure_time")
        .filter(|row| fits(row, piece))
        .filter_map(|row| worked_out(row, piece))
        .collect();
    customs.sort_by(|a, b| b.exact_days.total_cmp(&a.exact_days));
    if wants_weight(piece, day, &customs) {
        return Err(CureError::WeightNeeded);
    }
    let longest = customs.first().copied().ok_or(CureError::NoCustom("its form and its method together"))?;
    let rest_days = rest(day, longest.days, &customs);
    let soak_minutes = rows(day, "cure_soak")
        .find(|row| row.is_for_method(piece.method.word()))
        .and_then(|row| row.value)
        .map(|minutes| whole_days(minutes * f64::from(longest.days)));
    let mut time = CureTime {
        days: longest.days,
        rest_days,
        turn_every_days: turn(day),
        soak_minutes,
        temperature: temperature(day),
        customs,
        advice: Vec::new(),
    };
    time.advice = remarks(piece, day, &time);
    Ok(time)
}

/// The time in the cure of a batch, whose pieces have one thickness and no noted form: by the heaviest raw piece.
/// `None` where the thickness is not known. Where no custom is held for the method, as for pumping, or no method
/// is known, it is the one for a dry cure, which is not shorter.
pub fn time_of_batch(state: &BatchState, method: Option<Method>, day: NaiveDate) -> Option<CureTime> {
    let thickness = state.plan.thickness?;
    let weight = Some(state.heaviest_raw_piece()).filter(|weight| *weight > Mass::grams(0.0));
    let by = |method| cure_time(&Piece { thickness, shape: None, method, weight }, day).ok();
    method.and_then(by).or_else(|| by(Method::Dry))
}

fn check(piece: &Piece) -> Result<(), CureError> {
    let thickness = piece.thickness.as_millimetres();
    if !(thickness.is_finite() && thickness > 0.0) {
        return Err(CureError::OutOfRange {
            what: "thickness",
            range: "above 0 mm",
            example: "thickness:45 mm",
        });
    }
    if let Some(weight) = piece.weight {
        positive(weight, "meat", "meat:2 kg")?;
    }
    match piece.method {
        Method::Comminuted => Err(CureError::NoCustom("cure mixed into mince is everywhere at once")),
        Method::Inject => Err(CureError::NoCustom(
            "pumping shortens the time by an amount I have no figure for; take the time without pumping",
        )),
        _ => Ok(()),
    }
}

fn rows(day: NaiveDate, figure: &str) -> impl Iterator<Item = &'static Limit> {
    rulebook::of(Rulebook::Trade, day).filter(move |row| row.figure == figure)
}

fn fits(row: &Limit, piece: &Piece) -> bool {
    let shape = piece.shape.is_none_or(|shape| row.is_for_shape(shape.word()));
    // Bands go by pounds; a piece of unknown weight may be in any of them.
    let band = match (row.above, piece.weight) {
        (Some(above), Some(weight)) => {
            compare::with_tolerance(weight.in_unit(MassUnit::Pound), above).is_gt()
        }
        _ => true,
    };
    shape && band && row.is_for_method(piece.method.word())
}

/// Whether a custom by weight was left out for want of one, and none that is left grows with the piece: a fixed
/// number of days would then be too short for a big one.
fn wants_weight(piece: &Piece, day: NaiveDate, customs: &[Custom]) -> bool {
    let left_out = rows(day, "cure_time").any(|row| fits(row, piece) && worked_out(row, piece).is_none());
    left_out && customs.iter().all(|custom| custom.row.unit == "d")
}

/// `None` where the row goes by weight and the piece has none.
fn worked_out(row: &'static Limit, piece: &Piece) -> Option<Custom> {
    let rate = row.value?;
    let days = match row.unit.as_str() {
        "d/lb" => rate * piece.weight?.in_unit(MassUnit::Pound),
        "d/kg" => rate * piece.weight?.in_unit(MassUnit::Kilogram),
        "d/inch" => rate * piece.thickness.as_inches(),
        "d" => rate,
        _ => return None,
    };
    let to_begin_with = rulebook::by_id(&format!("{}.start", row.id)).and_then(|start| start.value);
    let exact_days = days + to_begin_with.unwrap_or(0.0);
    Some(Custom { row, exact_days, days: whole_days(exact_days) })
}

/// Up to whole days, with a hair of slack for a whole number that lands above itself in binary.
fn whole_days(days: f64) -> u32 {
    (days * (1.0 - RELATIVE_TOLERANCE)).ceil().max(1.0) as u32
}

/// As long again; never less than the jambon rule where that custom is among them.
fn rest(day: NaiveDate, cure_days: u32, customs: &[Custom]) -> u32 {
    let of_id = |id: &str| rows(day, "cure_rest").find(|row| row.id == id).and_then(|row| row.value);
    let as_long = of_id("t.rest.practice").map_or(0, |times| whole_days(times * f64::from(cure_days)));
    let jambon =
        jambon(customs).and_then(|custom| of_id(&format!("{}.rest", custom.row.id))).map_or(0, whole_days);
    as_long.max(jambon)
}

fn turn(day: NaiveDate) -> u32 {
    rows(day, "cure_turn").find_map(|row| row.value).map_or(1, |days| days.max(1.0) as u32)
}

fn temperature(day: NaiveDate) -> Option<(Temperature, Temperature)> {
    let row = rows(day, "cure_temperature").next()?;
    Some((Temperature::fahrenheit(row.band_low?), Temperature::fahrenheit(row.band_high?)))
}

/// The custom that speaks of salting only.
fn jambon(customs: &[Custom]) -> Option<&Custom> {
    customs.iter().find(|custom| custom.row.note.as_deref() == Some(advice::TIME_JAMBON))
}

fn remarks(piece: &Piece, day: NaiveDate, time: &CureTime) -> Vec<Advice> {
    let cold = time.temperature.map(|(low, high)| {
        let celsius = |temperature: Temperature| format::trimmed(temperature.as_celsius(), 0);
        advice::with(advice::TIME_COLD, vec![("low", celsius(low)), ("high", celsius(high))])
    });
    let days = |key, days: u32| advice::with(key, vec![("days", days.to_string())]);
    let jambon = jambon(&time.customs).and_then(|custom| {
        let of = |end: &str| rulebook::by_id(&format!("{}.{end}", custom.row.id));
        let rest = whole_days(of("rest")?.value?).to_string();
        // What it prints has words, which are said in the member's language.
        let cold_rest = Advice::printed_by(of("cold_rest")?);
        Some(advice::with(advice::TIME_JAMBON, vec![("days", rest), ("cold_rest", cold_rest)]))
    });
    let thick = rows(day, "cure_thickness")
        .find_map(|row| row.value)
        .filter(|most| compare::with_tolerance(piece.thickness.as_millimetres(), *most).is_gt())
        .map(|most| advice::with(advice::TIME_THICK, vec![("thickness", format::trimmed(most, 0))]));
    let soak = time
        .soak_minutes
        .map(|minutes| advice::with(advice::TIME_SOAK, vec![("minutes", minutes.to_string())]));
    let no_weight = piece.weight.is_none() && piece.shape != Some(Shape::Slab);
    [
        cold,
        jambon,
        thick,
        no_weight.then(|| Advice::plain(advice::TIME_GIVE_WEIGHT)),
        Some(days(advice::TIME_TURN, time.turn_every_days)),
        Some(days(advice::TIME_REST, time.rest_days)),
        soak,
    ]
    .into_iter()
    .flatten()
    .collect()
}
