//! Weights of every row: a batch or a piece per column.

use super::Weighed;
use super::cell::{Cell, Unit, cell, plain};
use super::faults::Faults;
use super::layout::{Layout, Taken, WeightCells};
use super::refused::{What, column};
use super::rows::Draft;
use super::timeline::Timed;
use super::understood::DecimalSign;
use crate::quantity::{Mass, MassUnit, parse};

/// The heaviest weight that is read, in grams: the same as of a typed one.
const HEAVIEST_G: f64 = 10_000_000.0;

/// The weights of every row that has any, and how many cells are empty.
pub(super) fn read<'t, 'r, 'a>(
    timed: &'t [Timed<'r, 'a>],
    layouts: &[Layout],
    sign: DecimalSign,
    faults: &mut Faults,
) -> (Vec<Draft<'t, 'r, 'a, Vec<Weighed>>>, u32) {
    let mut drafts = Vec::with_capacity(timed.len());
    let mut gaps = 0;
    for row in timed {
        let Some(Layout { taken: Taken::Weights(columns), .. }) = layouts.get(row.layout) else { continue };
        let mut values = Vec::with_capacity(columns.len());
        let mut wrong = None;
        for cells in columns {
            match mass(row.record.cell(cells.index), *cells, sign) {
                Ok(Some(mass)) => values.push(Weighed { column: column(cells.index), mass }),
                Ok(None) => {}
                Err(what) => wrong = wrong.or(Some((cells.index, what))),
            }
        }
        if let Some((index, what)) = wrong {
            faults.add(row.record.line, index, row.record.cell(index), what);
            continue;
        }
        gaps += u32::try_from(columns.len() - values.len()).unwrap_or(u32::MAX);
        if !values.is_empty() {
            drafts.push(Draft { timed: row, values });
        }
    }
    (drafts, gaps)
}

fn mass(text: &str, cells: WeightCells, sign: DecimalSign) -> Result<Option<Mass>, What> {
    let (figures, unit) = match cell(text) {
        Cell::Gap => return Ok(None),
        Cell::Formula => return Err(What::Formula),
        Cell::Words => return Err(What::NotANumber),
        Cell::Number { figures, unit } => (figures, unit),
    };
    let mass = match unit {
        Some(Unit::Mass(unit)) => amount(figures, unit, sign)?,
        // "1 lb 12 oz" is one weight with two units.
        Some(_) => parse::mass(text).map_err(|_| What::OtherUnit)?,
        None => amount(figures, cells.unit.ok_or(What::MixedUnits)?, sign)?,
    };
    let is_weight = mass.as_grams() > 0.0 && mass.as_grams() <= HEAVIEST_G;
    if is_weight { Ok(Some(mass)) } else { Err(What::OutOfRange) }
}

/// An amount of a unit. Kilograms are moved by their exponent: 1.001 kg are 1001 g, not 1000.9999999999999 g.
fn amount(figures: &str, unit: MassUnit, sign: DecimalSign) -> Result<Mass, What> {
    let plain = plain(figures, sign)?;
    let number = |text: &str| text.parse::<f64>().map_err(|_| What::NotANumber);
    match unit {
        MassUnit::Kilogram => number(&format!("{}e3", plain.as_str())).map(Mass::grams),
        unit => number(plain.as_str()).map(|amount| Mass::of(amount, unit)),
    }
}
