//! What was understood of a file, as a preview can say it.

use crate::quantity::{MassUnit, TemperatureScale};
use chrono::{DateTime, FixedOffset, Utc};

/// How the bytes were read as letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8 without a mark at its beginning.
    Utf8,
    /// UTF-8 with a byte order mark.
    Utf8WithMark,
    /// UTF-16, low byte first, by its mark.
    Utf16LittleEndian,
    /// UTF-16, high byte first, by its mark.
    Utf16BigEndian,
    /// Not UTF-8, so read as the code page of Western Europe: a fallback, not something the file says.
    Windows1252,
}

/// What stands between two cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
    /// `|`
    Pipe,
}

impl Delimiter {
    pub(super) const ALL: [Self; 4] = [Self::Semicolon, Self::Tab, Self::Pipe, Self::Comma];

    pub(super) const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
            Self::Pipe => b'|',
        }
    }
}

/// What ends a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineEnds {
    /// LF.
    Lf,
    /// CR LF, as RFC 4180 has it.
    CrLf,
    /// CR alone.
    Cr,
    /// More than one of them.
    Mixed,
}

/// What stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalSign {
    /// `23.4`
    Point,
    /// `23,4`
    Comma,
}

impl DecimalSign {
    pub(super) const fn byte(self) -> u8 {
        match self {
            Self::Point => b'.',
            Self::Comma => b',',
        }
    }
}

/// In which order a date's numbers stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// `2026-03-01`
    YearFirst,
    /// `01.03.2026`, `01/03/2026` for 1 March.
    DayFirst,
    /// `03/01/2026` for 1 March.
    MonthFirst,
}

/// How the order of a date's numbers was decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecidedBy {
    /// The form leaves one reading: year first, a month in letters, seconds since 1970.
    Form,
    /// A number over 12 can only be a day.
    DayOverTwelve,
    /// Day and month are the same number in every date.
    SameEitherWay,
    /// The head spells it out: `dd/mm/yyyy`.
    Head,
    /// Only so do the rows stand in the order of time.
    OrderInTime,
    /// Dates with points have the day first (national custom).
    Points,
    /// Read otherwise, some rows would lie in the future.
    NotInFuture,
    /// The member said so.
    Asked,
}

/// Where the time zone comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZoneFrom {
    /// Every row says its offset, or counts seconds since 1970.
    Rows,
    /// A head, or a line before it, says `UTC`, `GMT+2`.
    Head(FixedOffset),
    /// The file says nothing: the member's zone.
    Member(chrono_tz::Tz),
    /// Some rows say their offset, the others were read in the member's zone.
    RowsAndMember(chrono_tz::Tz),
}

/// Why a column is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ignored {
    /// A dew point.
    DewPoint,
    /// A wet bulb.
    WetBulb,
    /// A set point or the limit of an alarm.
    SetPoint,
    /// The lowest, highest or mean of something.
    Extreme,
    /// The number of the record.
    Counter,
    /// A count since the start, beside a real time.
    Elapsed,
    /// A second temperature, humidity or time.
    Another,
    /// Nothing that is read here: battery, signal, notes.
    Other,
}

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Meaning {
    /// Date and time in one cell, or a date alone.
    Moment,
    /// The date, beside a column of times.
    Date,
    /// The time of day, beside a column of dates.
    TimeOfDay,
    /// Air temperature; the scale where head or unit line says it.
    Temperature(Option<TemperatureScale>),
    /// Relative humidity.
    Humidity,
    /// Weights of a batch or of one of its pieces.
    Weight {
        /// The head without unit and piece number: a batch's number or name, or nothing.
        batch: String,
        /// The piece's number: `B1 #2` and `#2` have one.
        piece: Option<u32>,
        /// The unit where the head, the unit line or the member says it.
        unit: Option<MassUnit>,
    },
    /// Not taken.
    Ignored(Ignored),
}

/// A column of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its place, the first is 1.
    pub column: u32,
    /// Its head as a sentence may repeat it; empty where the file has none.
    pub head: String,
    /// What it holds.
    pub meaning: Meaning,
}

/// Rows in the hour that the clocks show twice in autumn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct DoubledHour {
    /// Rows read as the first pass, summer time.
    pub first_pass: u32,
    /// Rows read as the second pass, because the clock had stepped back before them.
    pub second_pass: u32,
}

/// What was understood of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// How bytes became letters.
    pub encoding: Encoding,
    /// What stands between cells.
    pub delimiter: Delimiter,
    /// What ends lines.
    pub line_ends: LineEnds,
    /// Whether any cell stands in quotation marks.
    pub quoted: bool,
    /// Lines before the head: what a logger says about itself.
    pub lines_before_header: u32,
    /// The line of the heads; `None` where the file begins with its rows.
    pub header_line: Option<u32>,
    /// Every column, those not taken as well.
    pub columns: Vec<Column>,
    /// The decimal sign; `None` where no number has decimals.
    pub decimal_sign: Option<DecimalSign>,
    /// The order of a date's numbers.
    pub date_order: DateOrder,
    /// How that was decided.
    pub date_order_by: DecidedBy,
    /// Whether times have AM and PM.
    pub twelve_hours: bool,
    /// Whether rows say only a day; their time of day is then the one in [`super::Asked::time_of_day`].
    pub days_only: bool,
    /// Where the time zone comes from.
    pub zone: ZoneFrom,
    /// Rows in the doubled hour of autumn.
    pub doubled_hour: DoubledHour,
    /// The scale of the temperatures taken; `None` where there are none, or where they are in both.
    pub temperature_scale: Option<TemperatureScale>,
    /// Cells without a value where one belongs.
    pub gaps: u32,
    /// Lines that were dropped because an earlier one says the same.
    pub duplicates: u32,
    /// Lines that could not be read, also those beyond the [`super::MOST_FAULTS`] that are kept.
    pub faulty_lines: u32,
    /// The earliest row.
    pub first: DateTime<Utc>,
    /// The latest row.
    pub last: DateTime<Utc>,
}
