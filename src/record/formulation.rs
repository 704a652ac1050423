//! A recipe that a member keeps.

use super::ids::{GroupId, MemberId};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What is in a recipe, as its owner typed it: it is read anew whenever it is scaled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recipe {
    /// Part and name of each ingredient, e.g. `2.5% salt`.
    pub items: Vec<String>,
    /// What the meat becomes: `sausage` or `muscle`.
    pub product: String,
    /// Allergens its owner knows of, beside those that the names give away.
    #[serde(default)]
    pub allergens: Vec<String>,
    /// Its owner wants no name beside it where it is shown to others.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unnamed: bool,
    /// The shared recipe it was copied from, also after it was altered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<CopiedFrom>,
}

/// The recipe that another was copied from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CopiedFrom {
    /// What it was called.
    pub name: String,
    /// Whose it was; `None` where they wanted no name beside it.
    pub owner: Option<MemberId>,
}

/// A recipe under its name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Formulation {
    /// Whose it is.
    pub owner: MemberId,
    /// What its owner calls it; no two of an owner have the same.
    pub name: String,
    /// The group in which it was saved, and which sees it once it is shared.
    pub group: GroupId,
    /// What is in it.
    pub recipe: Recipe,
    /// When it was saved last.
    pub saved_at: DateTime<Utc>,
    /// Since when the group sees it; `None`: only its owner does.
    pub shared_at: Option<DateTime<Utc>>,
}
