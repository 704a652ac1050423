//! What is to be seen, before anybody has thought of how.

use super::dates::DateNames;
use super::palette::Style;
use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde::{Serialize, Serializer};

/// A chart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chart {
    /// A stable word for what it shows, e.g. `drying`.
    pub kind: &'static str,
    /// What stands above it.
    pub title: String,
    /// What the way across means.
    pub horizontal: Horizontal,
    /// From the top down; they share the way across.
    pub panels: Vec<Panel>,
    /// Things that happened, in the order of time.
    pub marks: Vec<Mark>,
    /// The numbers in words, for who does not see it.
    pub alt: String,
}

/// What the way across means. Every `x` of a chart is in days.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Horizontal {
    /// Days since something.
    Days {
        /// Since what, with its unit, e.g. "days since hung".
        label: String,
    },
    /// Days since a moment, shown as dates and times of a zone.
    Calendar {
        /// Where `x` is zero.
        origin: DateTime<Utc>,
        /// Whose dates are shown.
        #[serde(serialize_with = "zone_name")]
        zone: Tz,
        /// What days and months are called.
        #[serde(skip)]
        names: Box<DateNames>,
    },
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the shape that serde asks for")]
fn zone_name<S: Serializer>(zone: &Tz, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(zone.name())
}

/// One frame with one axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Panel {
    /// What the way up means.
    pub axis: Axis,
    /// Its part of the height, beside the parts of the others.
    #[serde(skip)]
    pub share: f64,
    /// Courses.
    pub series: Vec<Series>,
    /// Where values are wanted.
    pub bands: Vec<Band>,
    /// Levels that matter.
    pub targets: Vec<Target>,
    /// What is expected to come.
    pub fan: Option<Fan>,
}

/// What the way up means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Axis {
    /// Name and unit, e.g. "Lost, %".
    pub label: String,
    /// It begins here, where the data do not go below.
    #[serde(skip)]
    pub from: Option<f64>,
    /// It spans at least so much, so that a small wobble looks small.
    #[serde(skip)]
    pub least_span: f64,
}

/// One course.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Series {
    /// Its name; empty where the axis says it already.
    pub name: String,
    /// In the order of time.
    pub points: Vec<Point>,
    /// How it is told from the others.
    #[serde(skip)]
    pub style: Style,
    /// What lies between two values.
    pub between: Between,
}

/// What lies between two values of a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Between {
    /// The way from one to the other.
    Way,
    /// The one holds until the other, as a setting does.
    Step,
    /// Nothing that is known.
    Nothing,
}

/// One value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// Days.
    pub x: f64,
    /// In the unit of the axis.
    pub y: f64,
}

/// Where values are wanted, or where those of others lie.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Band {
    /// What it is.
    pub name: String,
    /// From where to where.
    pub extent: Extent,
}

/// From where to where a band goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Extent {
    /// All the time.
    Everywhere {
        /// Lower edge.
        low: f64,
        /// Upper edge.
        high: f64,
    },
    /// With time.
    Along(Vec<Edge>),
}

/// Both edges of a band at a time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Edge {
    /// Days.
    pub x: f64,
    /// Lower edge.
    pub low: f64,
    /// Upper edge.
    pub high: f64,
}

/// A level that matters.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Target {
    /// What it is, with its number.
    pub name: String,
    /// In the unit of the axis.
    pub value: f64,
}

/// What is expected to come: when each level will be reached.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fan {
    /// What it is, with its dates.
    pub name: String,
    /// From the last value to the target.
    pub reaches: Vec<Reach>,
}

/// When a level is reached: one in ten by `early`, half by `middle`, nine in ten by `late`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Reach {
    /// The level, in the unit of the axis.
    pub y: f64,
    /// Days.
    pub early: f64,
    /// Days; `None`: not in sight.
    pub middle: Option<f64>,
    /// Days; `None`: open.
    pub late: Option<f64>,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mark {
    /// Days.
    pub x: f64,
    /// What.
    pub name: String,
}
