//! What is to be said of a batch that dries before anybody asks: too fast, too dry, too moist, stalled, grown, at its
//! target, not weighed. Pure: the same record gives the same alarms, whatever the order it was read in.
//!
//! Where the guide table leaves two readings (an age between two columns, a diameter at an edge), the higher rate counts:
//! it is to warn only above it, because real sausages have passed it and come out well. Nothing is read between two
//! columns and nothing beyond the table.
//!
//! - `room`: the humidity a batch hung in, corrected, and what it means for its pieces.
//! - `series`: the weighings of a piece as steps of at least most of a day.
//! - `fast`, `stall`, `weight`: what the steps say; `ends_at`: where a piece ends in a room; `own`: its own humidity.

mod ends_at;
mod expected;
mod fast;
mod own;
mod room;
mod series;
mod stall;
mod view;
mod weight;

pub use room::{RoomHumidity, humidities};

use crate::curing::finding::Level;
use crate::curing::rule::Limit;
use crate::quantity::{Mass, RelativeHumidity};
use crate::record::ids::PieceNumber;
use crate::record::{BatchStage, BatchState};
use chrono::{DateTime, Utc};
use view::View;

/// What alarms are worked out from.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// The batch as it stands.
    pub state: &'a BatchState,
    /// The humidity it hung in, by time.
    pub room: &'a [RoomHumidity],
    /// The moment that is looked at.
    pub now: DateTime<Utc>,
    /// Days between weighings as they are asked for; `None` where none are.
    pub weigh_every_days: Option<u32>,
    /// The humidity as it was known before the last entry, which may have brought a file; `None`: all but the last
    /// reading.
    pub room_before: Option<&'a [RoomHumidity]>,
}

/// Something to be said of a piece, or of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// Which piece; `None`: all of them, or the room.
    pub piece: Option<PieceNumber>,
    /// What it is.
    pub what: What,
    /// The row it leans on, with the figure that was held against it in the row's unit.
    pub mark: Option<(&'static Limit, f64)>,
    /// Whether an earlier entry of the record said it already, for what is said once.
    pub is_old: bool,
}

/// What is to be said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// It loses weight fast in air far drier than itself: the rim dries before the middle.
    RimRisk {
        /// Points of humidity between the piece and the room.
        points: f64,
        /// The room's humidity from which on that is no more so.
        at_least: RelativeHumidity,
    },
    /// It loses weight fast, and nobody knows how dry the room is.
    FastInUnknownRoom,
    /// It loses weight fast, and what is in it is not known well enough to say how dry the room may be.
    FastOfUnknownRecipe,
    /// A whole muscle that loses weight fast in its first week.
    FastMuscle,
    /// A dry room in the first days.
    DryRoom,
    /// A room far drier than the piece.
    DryForPiece {
        /// The room's.
        room: RelativeHumidity,
    },
    /// A room as moist as the piece.
    NoDrying {
        /// The room's.
        room: RelativeHumidity,
    },
    /// A loss aimed at that such a piece hardly reaches in this air.
    OutOfReach {
        /// The driest air of the last week.
        driest: RelativeHumidity,
        /// The column of the table.
        column: RelativeHumidity,
        /// Where the piece ends there, in percent.
        ends_at_percent: f64,
    },
    /// It hardly loses weight any more.
    Stalled {
        /// The likely reason.
        reason: StallReason,
        /// What it lost since.
        change: Mass,
        /// Over how many days.
        days: f64,
    },
    /// It weighs more than before.
    Gained {
        /// By how much.
        gain: Mass,
        /// Since this weighing.
        since: DateTime<Utc>,
    },
    /// It is at its target and hangs on.
    AtTarget {
        /// Since this weighing.
        since: DateTime<Utc>,
    },
    /// It was not weighed for longer than was planned.
    Overdue {
        /// Days since it was.
        days: f64,
        /// Days that were planned.
        planned_days: u32,
    },
}

/// Why a piece may have stalled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StallReason {
    /// It is about where such a piece ends in this air.
    RoomLimit {
        /// Where that is, in percent.
        ends_at_percent: f64,
    },
    /// It dried too fast before: a rim may hold the water back.
    Rim,
    /// Not known: the room, its crowding, the scale.
    Unknown,
}

impl What {
    /// Its stable word.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::RimRisk { .. } => "rim_risk",
            Self::FastInUnknownRoom => "fast_in_unknown_room",
            Self::FastOfUnknownRecipe => "fast_of_unknown_recipe",
            Self::FastMuscle => "fast_muscle",
            Self::DryRoom => "dry_room",
            Self::DryForPiece { .. } => "dry_for_piece",
            Self::NoDrying { .. } => "no_drying",
            Self::OutOfReach { .. } => "out_of_reach",
            Self::Stalled { reason: StallReason::RoomLimit { .. }, .. } => "stalled_by_room",
            Self::Stalled { reason: StallReason::Rim, .. } => "stalled_by_rim",
            Self::Stalled { reason: StallReason::Unknown, .. } => "stalled",
            Self::Gained { .. } => "gained",
            Self::AtTarget { .. } => "at_target",
            Self::Overdue { .. } => "overdue",
        }
    }

    /// How loud it is.
    pub const fn level(&self) -> Level {
        match self {
            Self::NoDrying { .. } => Level::Warning,
            Self::RimRisk { .. } => Level::Caution,
            _ => Level::Notice,
        }
    }

    /// Whether it leans on what the hygrometer showed.
    pub const fn leans_on_humidity(&self) -> bool {
        match self {
            Self::RimRisk { .. }
            | Self::DryRoom
            | Self::DryForPiece { .. }
            | Self::NoDrying { .. }
            | Self::OutOfReach { .. } => true,
            Self::Stalled { reason, .. } => matches!(reason, StallReason::RoomLimit { .. }),
            _ => false,
        }
    }
}

impl Alarm {
    const fn of(piece: Option<PieceNumber>, what: What) -> Self {
        Self { piece, what, mark: None, is_old: false }
    }

    const fn marked(self, row: &'static Limit, measured: f64) -> Self {
        Self { mark: Some((row, measured)), ..self }
    }

    /// What makes it the same alarm as before: its kind and piece, and a gain by its whole percents.
    fn key(&self) -> (&'static str, Option<PieceNumber>, u64) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small number of percents"
        )]
        let grade = match (&self.what, self.mark) {
            (What::Gained { .. }, Some((_, percent))) => percent.max(0.0) as u64,
            _ => 0,
        };
        (self.what.word(), self.piece, grade)
    }
}

/// Everything that stands now, loudest first.
pub fn alarms(scene: &Scene<'_>) -> Vec<Alarm> {
    if scene.state.stage().0 != BatchStage::Drying {
        return Vec::new();
    }
    let view = View::of(scene);
    let mut found = room::alarms(&view);
    found.extend(fast::alarms(&view));
    found.extend(stall::alarms(&view));
    found.extend(weight::alarms(&view));
    found.sort_by_key(|alarm| std::cmp::Reverse(alarm.what.level()));
    found
}

/// What stands after an entry and did not stand before it.
pub fn news<'a>(before: &[Alarm], after: &'a [Alarm]) -> Vec<&'a Alarm> {
    let known = |alarm: &Alarm| before.iter().any(|earlier| earlier.key() == alarm.key());
    after.iter().filter(|alarm| !alarm.is_old && !known(alarm)).collect()
}
