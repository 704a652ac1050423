//! What was said, before it is known of which piece and when.

use crate::command::intake::item::What;
use crate::quantity::parse::MassReading;
use crate::quantity::{Hours, Temperature};
use crate::record::PieceNumber;
use chrono::{DateTime, Utc};

/// What a token turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    /// Part of something understood.
    Read,
    /// A filler word or a separator.
    Silent,
    /// Not understood.
    Unread,
}

/// A weight whose `1.234 g` may still wait for the piece that decides.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Weight {
    /// What it can mean.
    pub(super) reading: MassReading,
    /// With its unit.
    pub(super) text: String,
}

/// Since when the power was out.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Began {
    /// So long before the reading.
    Before(Hours),
    /// At a moment.
    At(DateTime<Utc>),
}

/// What was said, before it is known of which piece and when.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Said {
    /// Complete but for the subject.
    Known(What),
    /// A weight.
    Weight(Weight),
    /// Weights of pieces being hung, with their numbers where typed.
    Hung(Vec<(Option<PieceNumber>, Weight)>),
    /// A power cut.
    PowerOut {
        /// Since when.
        began: Began,
        /// The warmest it got.
        reached: Option<Temperature>,
    },
}

/// One thing that was said.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draft {
    /// What.
    pub(super) said: Said,
    /// Of which pieces; empty when none was named.
    pub(super) pieces: Vec<PieceNumber>,
    /// The words.
    pub(super) typed: String,
    /// In which clause.
    pub(super) clause: usize,
}

/// When a meter was calibrated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Calibrated {
    /// At a moment.
    At(DateTime<Utc>),
    /// So long before the reading.
    Before(Hours),
}

/// What was said of a meter's check.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Check {
    /// When.
    pub(super) calibrated: Option<Calibrated>,
    /// Slope in percent.
    pub(super) slope_percent: Option<f64>,
    /// Offset in mV.
    pub(super) offset_mv: Option<f64>,
    /// A single buffer was read and passed.
    pub(super) one_buffer_passed: bool,
}

impl Said {
    /// Whether a piece's number behind it can belong to it.
    pub(super) const fn is_of_a_piece(&self) -> bool {
        matches!(
            self,
            Self::Weight(_) | Self::Known(What::Ph { .. } | What::Observed { .. } | What::Left { .. })
        )
    }
}
