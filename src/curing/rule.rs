//! What a limit carries: figure, basis, scope, source and standing.

use crate::quantity::{AmountBasis, Stage, WeightBasis};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::ops::Deref;

/// How well a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Read in the text of the named source.
    Read,
    /// Read where somebody else quotes the source.
    SecondHand,
    /// Arithmetic from figures that were read, here or second-hand.
    Derived,
    /// From memory, not checked.
    FromMemory,
    /// Common practice, no source.
    Practice,
}

impl Standing {
    /// Whether a figure of this standing may carry the outcome "within the published limit".
    pub const fn may_vouch(self) -> bool {
        matches!(self, Self::Read | Self::SecondHand | Self::Derived)
    }
}

/// The body of rules a country belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rulebook {
    /// United States.
    Us,
    /// European Union, the parent of its member states.
    Eu,
    /// Great Britain.
    Gb,
    /// Canada.
    Ca,
    /// Australia and New Zealand.
    AuNz,
    /// Codex Alimentarius.
    Codex,
    /// The trade's process tables, which no country owns (degree-hours, customs).
    Trade,
}

impl Rulebook {
    /// The rulebooks of countries, in the order in which a reply lists them.
    pub const COUNTRIES: [Self; 6] = [Self::Us, Self::Eu, Self::Gb, Self::Ca, Self::AuNz, Self::Codex];

    /// The name printed beside every verdict.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Eu => "EU",
            Self::Gb => "GB",
            Self::Ca => "CA",
            Self::AuNz => "AU/NZ",
            Self::Codex => "Codex",
            Self::Trade => "trade",
        }
    }
}

/// A country as a member names it; a member state keeps its own letters beside the EU's rulebook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Country {
    code: String,
    rulebook: Rulebook,
}

/// ISO 3166 letters of the EU's member states, as of 2026.
const MEMBER_STATES: [&str; 27] = [
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT",
    "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
];

impl Country {
    /// Reads `US`, `EU`, a member state's two letters, `GB`, `CA`, `AU`, `NZ` or `Codex`, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        let code = text.trim().to_ascii_uppercase();
        let rulebook = match code.as_str() {
            "US" => Rulebook::Us,
            "EU" => Rulebook::Eu,
            "GB" => Rulebook::Gb,
            "CA" => Rulebook::Ca,
            "AU" | "NZ" => Rulebook::AuNz,
            "CODEX" => {
                return Some(Self { code: "Codex".into(), rulebook: Rulebook::Codex });
            }
            state if MEMBER_STATES.contains(&state) => Rulebook::Eu,
            _ => return None,
        };
        Some(Self { code, rulebook })
    }

    /// Every code that can be said.
    pub fn codes() -> Vec<String> {
        let own = ["US", "EU", "GB", "CA", "AU", "NZ", "Codex"];
        own.iter().chain(&MEMBER_STATES).map(|code| (*code).to_owned()).collect()
    }

    /// The letters as shown.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// The rulebook that applies.
    pub const fn rulebook(&self) -> Rulebook {
        self.rulebook
    }
}

impl From<Country> for String {
    fn from(country: Country) -> Self {
        country.code
    }
}

impl TryFrom<String> for Country {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or(format!("unknown country {text}"))
    }
}

/// How a figure is held against a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Comparator {
    /// At the limit is within it.
    #[serde(rename = "<=")]
    AtMost,
    /// At the limit is over it.
    #[serde(rename = "<")]
    LessThan,
    /// At the limit is enough.
    #[serde(rename = ">=")]
    AtLeast,
}

/// What a row demands. Rows of different kinds are never held against one figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Not more than this.
    Maximum,
    /// This much shall be used, inside a band.
    Required,
    /// Not less than this.
    Minimum,
    /// A figure of the finished product: named, never judged from what was added.
    Finished,
    /// A figure a laboratory finds: named, never judged from what was added.
    Residual,
    /// Not permitted at all.
    Prohibited,
    /// Worth acting on beyond it, by its comparator; no limit, and nothing is permitted or forbidden by it.
    Guide,
    /// Worth saying, not a limit.
    Information,
}

/// One row of a rulebook, as it was loaded: to be read, never made or changed. Only the loader in
/// [`super::rulebook`] turns a [`Row`] into one, so what a verdict leans on always stands in a file.
///
/// ```compile_fail,E0594
/// let mut looser = tallyhook::curing::rulebook::by_id("us.comminuted").unwrap().clone();
/// looser.value = Some(1000.0);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Limit(Row);

impl Deref for Limit {
    type Target = Row;
    fn deref(&self) -> &Row {
        &self.0
    }
}

/// What a row of a rulebook file says. It judges nothing by itself: that takes a [`Limit`].
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Stable name, e.g. `us.comminuted`.
    pub id: String,
    /// The figure it speaks of: `nitrite`, `nitrate`, `nitrite_and_nitrate`, `salt`, `cure_time`,
    /// `degree_hours_us`, `ph`, …
    pub figure: String,
    /// What it demands.
    pub kind: Kind,
    /// The exact figure in `unit`; absent where the row prints none.
    pub value: Option<f64>,
    /// The lower end of a required level's band.
    pub band_low: Option<f64>,
    /// The upper end of a required level's band.
    pub band_high: Option<f64>,
    /// The figure as the source prints it.
    pub printed: String,
    /// The unit as the source prints it, e.g. `mg/kg`, `degF_h`.
    pub unit: String,
    /// How a figure is held against it.
    pub comparator: Comparator,
    /// Added or found.
    pub stage: Option<Stage>,
    /// Which weight counts.
    pub weight: Option<WeightBasis>,
    /// Which salt or ion the figure counts; absent where it counts the weight of whichever salt was added.
    pub counted_as: Option<AmountBasis>,
    /// Products the row is for (`sausage`, `muscle`, `bacon`, `ham`); empty: all.
    #[serde(default)]
    pub products: Vec<String>,
    /// Methods the row is for (`comminuted`, `dry`, `immersion`, `immersion-pickup`, `inject`); empty: all.
    #[serde(default)]
    pub methods: Vec<String>,
    /// Shapes of a piece the row is for (`slab`, `cylinder`); empty: all.
    #[serde(default)]
    pub shapes: Vec<String>,
    /// Member states the row is for; empty: the whole rulebook.
    #[serde(default)]
    pub states: Vec<String>,
    /// For rows that come in bands: the lower end of this band. By temperature: the lowest
    /// highest-temperature, in the unit of the rule's scale. By weight (cure times): pounds of raw meat.
    pub above: Option<f64>,
    /// Whether `above` itself belongs to this band.
    #[serde(default)]
    pub above_inclusive: bool,
    /// Who and what the row is written for, in a few words.
    pub scope: String,
    /// The source's short name, as printed beside a verdict.
    pub source: String,
    /// Where in the source, or which text to check.
    #[serde(rename = "where")]
    pub place: String,
    /// The wording key of what a reply should say beside this row, where the figure alone would mislead.
    pub note: Option<String>,
    /// How well the figure is known.
    pub standing: Standing,
    /// First day the row applies.
    pub valid_from: Option<NaiveDate>,
    /// Last day the row applies.
    pub valid_to: Option<NaiveDate>,
    /// When somebody last looked, e.g. `2026-11`.
    pub checked_on: String,
    /// The rulebook it stands in; filled in by the loader from the file.
    #[serde(skip, default = "trade")]
    pub rulebook: Rulebook,
}

const fn trade() -> Rulebook {
    Rulebook::Trade
}

impl Limit {
    /// A row of a file that is built into the program.
    pub(super) fn loaded(rulebook: Rulebook, row: Row) -> Self {
        Self(Row { rulebook, ..row })
    }

    /// Whether the row is in force on a day.
    pub fn applies_on(&self, day: NaiveDate) -> bool {
        self.valid_from.is_none_or(|from| from <= day) && self.valid_to.is_none_or(|to| day <= to)
    }

    /// Whether the row is for this product and method.
    pub fn is_for(&self, product: &str, method: &str) -> bool {
        names(&self.products, product) && self.is_for_method(method)
    }

    /// Whether the row is for this method, whatever the product.
    pub fn is_for_method(&self, method: &str) -> bool {
        names(&self.methods, method)
    }

    /// Whether the row is for a piece of this shape.
    pub fn is_for_shape(&self, shape: &str) -> bool {
        names(&self.shapes, shape)
    }
}

/// Whether a list of names has this one; an empty list has all.
fn names(list: &[String], wanted: &str) -> bool {
    list.is_empty() || list.iter().any(|item| item == wanted)
}
