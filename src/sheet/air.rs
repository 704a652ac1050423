//! Temperature and humidity of every row.

use super::cell::{Cell, Unit, cell, number};
use super::faults::Faults;
use super::layout::{Layout, Taken};
use super::refused::{Place, Refused, What, harmless};
use super::rows::Draft;
use super::split::Record;
use super::timeline::Timed;
use super::understood::DecimalSign;
use super::{Air, Asked};
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale};

/// Relative humidity in percent, by definition; condensing sensors that show 100.3 % are faulty, and so are those that
/// show nothing.
fn is_humidity(percent: f64) -> bool {
    percent > 0.0 && percent <= 100.0
}

/// What reading values needs to know.
pub(super) struct Reader<'t> {
    pub(super) asked: &'t Asked,
    pub(super) sign: DecimalSign,
    /// The scale that a line before the heads says.
    pub(super) scale_before: Option<TemperatureScale>,
    /// The heads in force, and the scale that a cell under them wrote last.
    layout: usize,
    written: Option<TemperatureScale>,
    pub(super) gaps: u32,
    scales: [bool; 2],
    /// The highest humidity without a percent sign, and where it stands.
    bare_humidity: Option<(f64, Place)>,
}

/// Why a cell gives no value.
enum Not {
    Fault(What),
    Refused(Refused),
}

impl From<What> for Not {
    fn from(what: What) -> Self {
        Self::Fault(what)
    }
}

impl<'t> Reader<'t> {
    pub(super) fn new(asked: &'t Asked, sign: DecimalSign, scale_before: Option<TemperatureScale>) -> Self {
        let (scales, bare_humidity) = ([false; 2], None);
        Self { asked, sign, scale_before, layout: 0, written: None, gaps: 0, scales, bare_humidity }
    }

    /// The values of every row; rows without any are left out and their cells counted as gaps.
    pub(super) fn read<'r, 'a>(
        &mut self,
        timed: &'t [Timed<'r, 'a>],
        layouts: &[Layout],
        faults: &mut Faults,
    ) -> Result<Vec<Draft<'t, 'r, 'a, Air>>, Refused> {
        let mut drafts = Vec::with_capacity(timed.len());
        for row in timed {
            let Some(Layout { taken: Taken::Air { temperature, humidity }, .. }) = layouts.get(row.layout)
            else {
                continue;
            };
            if row.layout != self.layout {
                (self.layout, self.written) = (row.layout, None);
            }
            let record = row.record;
            let gaps_before = self.gaps;
            let degrees = temperature.map_or(Ok(None), |(index, scale)| {
                self.temperature(record, index, scale).map_err(|not| (index, not))
            });
            let percent =
                humidity.map_or(Ok(None), |index| self.humidity(record, index).map_err(|not| (index, not)));
            match (degrees, percent) {
                (Err((_, Not::Refused(refused))), _) | (_, Err((_, Not::Refused(refused)))) => {
                    return Err(refused);
                }
                (Err((index, Not::Fault(what))), _) | (_, Err((index, Not::Fault(what)))) => {
                    self.gaps = gaps_before;
                    faults.add(record.line, index, record.cell(index), what);
                }
                (Ok(None), Ok(None)) => {}
                (Ok(temperature), Ok(humidity)) => {
                    drafts.push(Draft { timed: row, values: Air { temperature, humidity } });
                }
            }
        }
        self.refuse_fractions(layouts)?;
        Ok(drafts)
    }

    /// The scale of every temperature; `None` where there are none, or both.
    pub(super) fn scale(&self) -> Option<TemperatureScale> {
        match self.scales {
            [true, false] => Some(TemperatureScale::Celsius),
            [false, true] => Some(TemperatureScale::Fahrenheit),
            _ => None,
        }
    }

    fn temperature(
        &mut self,
        record: &Record<'_>,
        index: usize,
        of_head: Option<TemperatureScale>,
    ) -> Result<Option<Temperature>, Not> {
        let Some((figures, unit)) = self.figures(record, index)? else { return Ok(None) };
        let degrees = number(figures, self.sign)?;
        let scale = match unit {
            Some(Unit::Scale(scale)) => {
                self.written = Some(scale);
                scale
            }
            Some(_) => return Err(What::OtherUnit.into()),
            None => match (of_head.or(self.scale_before), self.written) {
                (Some(scale), written) if written.is_none_or(|written| written == scale) => scale,
                (_, Some(_)) => return Err(What::MixedUnits.into()),
                (_, None) => self.asked.temperature.ok_or_else(|| {
                    Not::Refused(Refused::ScaleUnknown {
                        place: Place::new(record.line, index, record.cell(index)),
                        celsius: Temperature::celsius(degrees),
                        fahrenheit: Temperature::fahrenheit(degrees),
                    })
                })?,
            },
        };
        let temperature = Temperature::new(degrees, scale);
        if !self.asked.air_celsius.contains(&temperature.as_celsius()) {
            return Err(What::OutOfRange.into());
        }
        self.scales[usize::from(scale == TemperatureScale::Fahrenheit)] = true;
        Ok(Some(temperature))
    }

    fn humidity(&mut self, record: &Record<'_>, index: usize) -> Result<Option<RelativeHumidity>, Not> {
        let Some((figures, unit)) = self.figures(record, index)? else { return Ok(None) };
        let percent = number(figures, self.sign)?;
        if !matches!(unit, None | Some(Unit::Percent | Unit::PercentHumidity)) {
            return Err(What::OtherUnit.into());
        }
        if !is_humidity(percent) {
            return Err(What::OutOfRange.into());
        }
        if self.bare_humidity.as_ref().is_none_or(|(highest, _)| percent > *highest) {
            let shown = if unit.is_some() { f64::INFINITY } else { percent };
            self.bare_humidity = Some((shown, Place::new(record.line, index, record.cell(index))));
        }
        Ok(Some(RelativeHumidity::percent(percent)))
    }

    /// A humidity that never exceeds 1 is one of parts of one, or of a dry oven: nobody knows which.
    fn refuse_fractions(&mut self, layouts: &[Layout]) -> Result<(), Refused> {
        match self.bare_humidity.take() {
            Some((highest, place)) if highest > 0.0 && highest <= 1.0 => {
                let head = layouts.first().and_then(|layout| layout.columns.get(place.column as usize - 1));
                Err(Refused::UnitUnknown {
                    place,
                    head: head.map_or(String::new(), |column| harmless(&column.head)),
                })
            }
            _ => Ok(()),
        }
    }

    fn figures<'c>(
        &mut self,
        record: &'c Record<'_>,
        index: usize,
    ) -> Result<Option<(&'c str, Option<Unit>)>, What> {
        match cell(record.cell(index)) {
            Cell::Gap => {
                self.gaps += 1;
                Ok(None)
            }
            Cell::Formula => Err(What::Formula),
            Cell::Words => Err(What::NotANumber),
            Cell::Number { figures, unit } => Ok(Some((figures, unit))),
        }
    }
}
