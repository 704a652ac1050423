//! How a finished batch is kept.

use crate::quantity::{Mass, Ph, Temperature, WaterActivity};
use serde::{Deserialize, Serialize};

/// A way of keeping.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StorageKind {
    /// Whole, without air.
    Vacuum,
    /// Frozen.
    Frozen,
    /// Sliced and packed.
    Sliced,
    /// Cut and wrapped.
    Opened,
    /// In oil.
    Oil,
}

impl StorageKind {
    /// Every way.
    pub const ALL: [Self; 5] = [Self::Vacuum, Self::Frozen, Self::Sliced, Self::Opened, Self::Oil];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Vacuum => "vacuum",
            Self::Frozen => "frozen",
            Self::Sliced => "sliced",
            Self::Opened => "opened",
            Self::Oil => "oil",
        }
    }

    /// Reads a word.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// How a batch is kept, and what was measured when it was put away.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Storage {
    /// The way.
    pub kind: StorageKind,
    /// Where it lies.
    pub temperature: Option<Temperature>,
    /// All that is left.
    pub weight: Option<Mass>,
    /// In so many portions.
    pub portions: Option<i64>,
    /// Measured in the finished piece.
    pub ph: Option<Ph>,
    /// Measured in the finished piece.
    pub water_activity: Option<WaterActivity>,
}
