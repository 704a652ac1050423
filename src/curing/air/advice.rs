//! What humidity a textbook aims at, and whether this air dries nothing or too hard.
//!
//! The figures stand in `humidity.toml` with their sources. They are targets to aim at, not limits: nothing here is a
//! verdict on a piece.

use super::moist::MoistAir;
use crate::curing::rule::Standing;
use crate::quantity::{WaterActivity, compare};
use serde::Deserialize;
use std::sync::LazyLock;

/// Where a piece stands, as far as the room's humidity goes by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomStage {
    /// A sausage that ferments.
    Fermenting,
    /// The first week or two of drying.
    Early,
    /// Later drying.
    Late,
    /// Salted pieces resting in the cold.
    Rest,
    /// A room for whole hams.
    Ham,
}

impl RoomStage {
    /// Its word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fermenting => "fermenting",
            Self::Early => "early",
            Self::Late => "late",
            Self::Rest => "rest",
            Self::Ham => "ham",
        }
    }

    /// From its word.
    pub fn parse(word: &str) -> Option<Self> {
        [Self::Fermenting, Self::Early, Self::Late, Self::Rest, Self::Ham]
            .into_iter()
            .find(|stage| stage.name() == word)
    }

    const fn is_first_week(self) -> bool {
        matches!(self, Self::Fermenting | Self::Early)
    }
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct TargetSource {
    /// What the row is called.
    pub name: String,
    /// The source's short name.
    pub source: String,
    /// Where in it, or for what.
    #[serde(rename = "where")]
    pub place: String,
    /// How well it is known.
    pub standing: Standing,
}

#[derive(Debug, Deserialize)]
struct Span {
    low: f64,
    high: f64,
    #[serde(flatten)]
    source: TargetSource,
}

#[derive(Debug, Deserialize)]
struct Mark {
    points: Option<f64>,
    percent: Option<f64>,
    #[serde(flatten)]
    source: TargetSource,
}

#[derive(Debug, Default, Deserialize)]
struct File {
    stage: Vec<Span>,
    below_activity: Vec<Span>,
    mark: Vec<Mark>,
}

const TEXT: &str = include_str!("humidity.toml");

/// A file that does not parse yields no advice; a unit test reads it and names the mistake.
static FILE: LazyLock<File> = LazyLock::new(|| toml::from_str(TEXT).unwrap_or_default());

/// A humidity to aim at, in percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// From here.
    pub low_percent: f64,
    /// To here.
    pub high_percent: f64,
    /// Whether it follows from the piece's water activity, not from a stage alone.
    pub is_of_activity: bool,
    /// Who says so.
    pub source: &'static TargetSource,
}

/// Something worth saying of this air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remark {
    /// The air is so damp that the piece loses nothing and mould grows.
    NoDrying {
        /// Points under the water activity, below zero where it is damper.
        points: f64,
    },
    /// The air is far drier than the piece.
    DryRoom {
        /// Points under the water activity.
        points: f64,
    },
    /// The air is dry for the first week.
    DryFirstWeek {
        /// The least that is looked for, in percent.
        least_percent: f64,
    },
}

/// What to aim at, and what is worth saying.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Targets, the one from the water activity first.
    pub targets: Vec<Target>,
    /// Remarks.
    pub remarks: Vec<Remark>,
}

impl Advice {
    /// For this air, a piece of this water activity and this stage, where they are known.
    pub fn of(air: MoistAir, activity: Option<WaterActivity>, stage: Option<RoomStage>) -> Self {
        let by_activity = activity.and_then(|activity| under_activity(activity, stage));
        let by_stage = stage.and_then(of_stage);
        let gap = activity.map(|activity| points_under(activity, air));
        let remarks = [gap.and_then(of_gap), stage.and_then(|stage| of_first_week(stage, air))];
        Self {
            targets: by_activity.into_iter().chain(by_stage).collect(),
            remarks: remarks.into_iter().flatten().collect(),
        }
    }
}

/// How many points the air is under the piece's water activity times 100.
fn points_under(activity: WaterActivity, air: MoistAir) -> f64 {
    100.0 * activity.value() - air.humidity().as_percent()
}

fn under_activity(activity: WaterActivity, stage: Option<RoomStage>) -> Option<Target> {
    let name = if stage == Some(RoomStage::Late) { "late" } else { "drying" };
    let row = FILE.below_activity.iter().find(|row| row.source.name == name)?;
    let level = 100.0 * activity.value();
    Some(Target {
        low_percent: level - row.high,
        high_percent: level - row.low,
        is_of_activity: true,
        source: &row.source,
    })
}

fn of_stage(stage: RoomStage) -> Option<Target> {
    let row = FILE.stage.iter().find(|row| row.source.name == stage.name())?;
    Some(Target { low_percent: row.low, high_percent: row.high, is_of_activity: false, source: &row.source })
}

fn mark(name: &str) -> Option<&'static Mark> {
    FILE.mark.iter().find(|row| row.source.name == name)
}

fn of_gap(points: f64) -> Option<Remark> {
    let least = mark("no_drying")?.points?;
    let most = mark("dry_room")?.points?;
    if compare::with_tolerance(points, least).is_le() {
        Some(Remark::NoDrying { points })
    } else if compare::with_tolerance(points, most).is_gt() {
        Some(Remark::DryRoom { points })
    } else {
        None
    }
}

fn of_first_week(stage: RoomStage, air: MoistAir) -> Option<Remark> {
    let least_percent = mark("first_week")?.percent?;
    let is_dry = compare::with_tolerance(air.humidity().as_percent(), least_percent).is_lt();
    (stage.is_first_week() && is_dry).then_some(Remark::DryFirstWeek { least_percent })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{RelativeHumidity, Temperature};

    #[test]
    fn the_file_parses_and_every_stage_has_its_row() {
        let file: File = toml::from_str(TEXT).unwrap();
        assert!(file.stage.iter().chain(&file.below_activity).all(|row| row.low < row.high));
        for stage in
            [RoomStage::Fermenting, RoomStage::Early, RoomStage::Late, RoomStage::Rest, RoomStage::Ham]
        {
            assert!(of_stage(stage).is_some(), "{stage:?}");
            assert_eq!(RoomStage::parse(stage.name()), Some(stage));
        }
        assert!(mark("no_drying").is_some_and(|row| row.points.is_some()));
        assert!(mark("dry_room").is_some_and(|row| row.points.is_some()));
        assert!(mark("first_week").is_some_and(|row| row.percent.is_some()));
    }

    fn advice(percent: f64, activity: Option<f64>, stage: Option<RoomStage>) -> Advice {
        let air =
            MoistAir::new(Temperature::celsius(13.0), RelativeHumidity::percent(percent), None).unwrap();
        Advice::of(air, activity.map(WaterActivity::new), stage)
    }

    #[test]
    fn exactly_twenty_points_under_is_no_dry_room() {
        assert_eq!(advice(75.0, Some(0.95), None).remarks, []);
        assert!(matches!(advice(71.0, Some(0.95), None).remarks[..], [Remark::DryRoom { .. }]));
    }

    #[test]
    fn air_at_the_piece_s_own_activity_dries_nothing() {
        assert!(matches!(advice(95.0, Some(0.96), None).remarks[..], [Remark::NoDrying { .. }]));
        assert!(matches!(advice(97.0, Some(0.96), None).remarks[..], [Remark::NoDrying { .. }]));
        assert_eq!(advice(94.9, Some(0.96), None).remarks, []);
    }

    #[test]
    fn seventy_percent_is_enough_for_the_first_week() {
        assert_eq!(advice(70.0, None, Some(RoomStage::Early)).remarks, []);
        let dry = [Remark::DryFirstWeek { least_percent: 70.0 }];
        assert_eq!(advice(69.9, None, Some(RoomStage::Fermenting)).remarks, dry);
        assert_eq!(advice(69.9, None, Some(RoomStage::Late)).remarks, []);
    }
}
