//! The way from letters to rows.

use super::air::Reader;
use super::decimals::decimal_sign;
use super::faults::Faults;
use super::find::{Start, scale_before, start, take_unit_line, zone_before};
use super::layout::{Layout, Taken, layout};
use super::refused::Refused;
use super::rows::merged;
use super::split::{Record, Records};
use super::text::Letters;
use super::timeline::{Timeline, timeline};
use super::understood::{DecimalSign, Understood};
use super::{Asked, Row, Rows, SAMPLED, Sheet, weights};
use crate::quantity::TemperatureScale;
use chrono::{DateTime, Utc};

/// Reads letters as a sheet.
pub(super) fn sheet(letters: &Letters<'_>, asked: &Asked) -> Result<Sheet, Refused> {
    let start = start(&letters.text, asked)?;
    let mut split = Records::new(&letters.text, start.delimiter.byte());
    let records = split.all()?;
    let body = body(&records, &start, asked)?;
    let mut layouts = vec![body.layout];
    let mut faults = Faults::default();
    let times = timeline(body.rows, &mut layouts, zone_before(body.before), asked, &mut faults)?;
    let values = values(&times, &layouts, scale_before(body.before), asked, &mut faults)?;
    let header_line = start.header.map(|_| body.header_line);
    let Some((first, last)) = ends(&values.rows) else { return Err(faults.refusal(header_line)) };
    let understood = Understood {
        encoding: letters.encoding,
        delimiter: start.delimiter,
        line_ends: letters.line_ends,
        quoted: split.quoted,
        lines_before_header: body.header_line.saturating_sub(1),
        header_line,
        columns: layouts.into_iter().next().map_or(Vec::new(), |layout| layout.columns),
        decimal_sign: values.decimal_sign,
        date_order: times.date_order,
        date_order_by: times.date_order_by,
        twelve_hours: times.twelve_hours,
        days_only: times.days_only,
        zone: times.zone,
        doubled_hour: times.doubled_hour,
        temperature_scale: values.scale,
        gaps: values.gaps,
        duplicates: values.duplicates,
        faulty_lines: faults.count,
        first,
        last,
    };
    Ok(Sheet { understood, rows: values.rows, faults: faults.into_lines() })
}

/// A file taken apart: what stands before the heads, what they mean, and the rows.
struct Body<'r, 'a> {
    before: &'r [Record<'a>],
    layout: Layout,
    rows: &'r [Record<'a>],
    /// The line of the heads, or of the first row where there are none.
    header_line: u32,
}

fn body<'r, 'a>(records: &'r [Record<'a>], start: &Start, asked: &Asked) -> Result<Body<'r, 'a>, Refused> {
    let mut heads = start.heads.clone();
    let mut rows = records.get(start.first_row..).unwrap_or_default();
    let headless = Record { line: rows.first().map_or(1, |row| row.line), cells: Vec::new() };
    let header = start.header.and_then(|index| records.get(index)).unwrap_or(&headless);
    if let (Some(_), Some((first, below))) = (start.header, rows.split_first())
        && take_unit_line(&mut heads, first, start.time)
    {
        rows = below;
    }
    let sample = rows.get(..SAMPLED.min(rows.len())).unwrap_or_default();
    let layout = layout(header, &heads, start.time, sample, asked)?;
    let before = records.get(..start.header.unwrap_or(start.first_row)).unwrap_or_default();
    Ok(Body { before, header_line: layout.line, layout, rows })
}

/// The rows, and what was understood of their values.
struct Valued {
    rows: Rows,
    decimal_sign: Option<DecimalSign>,
    scale: Option<TemperatureScale>,
    gaps: u32,
    duplicates: u32,
}

fn values(
    times: &Timeline<'_, '_>,
    layouts: &[Layout],
    scale_before: Option<TemperatureScale>,
    asked: &Asked,
    faults: &mut Faults,
) -> Result<Valued, Refused> {
    let decimal_sign = decimal_sign(&times.rows, layouts, asked.decimal_sign)?;
    let sign = decimal_sign.unwrap_or(DecimalSign::Point);
    let is_air = layouts.first().is_some_and(|layout| matches!(layout.taken, Taken::Air { .. }));
    if is_air {
        let mut reader = Reader::new(asked, sign, scale_before);
        let drafts = reader.read(&times.rows, layouts, faults)?;
        let (rows, duplicates) = merged(drafts, layouts, faults);
        let (scale, gaps) = (reader.scale(), reader.gaps);
        return Ok(Valued { rows: Rows::Air(rows), decimal_sign, scale, gaps, duplicates });
    }
    let (drafts, gaps) = weights::read(&times.rows, layouts, sign, faults);
    let (rows, duplicates) = merged(drafts, layouts, faults);
    Ok(Valued { rows: Rows::Weights(rows), decimal_sign, scale: None, gaps, duplicates })
}

fn ends(rows: &Rows) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
    fn of<V>(rows: &[Row<V>]) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
        rows.first().zip(rows.last()).map(|(first, last)| (first.at, last.at))
    }
    match rows {
        Rows::Air(rows) => of(rows),
        Rows::Weights(rows) => of(rows),
    }
}
