//! A figure of a reply: an id that never changes its meaning, an unrounded value, and what a person sees.

use serde::Serialize;

/// The fixed units of figures in the door for scripts.
pub mod unit {
    /// Grams.
    pub const GRAM: &str = "g";
    /// Milligrams per kilogram.
    pub const MG_PER_KG: &str = "mg/kg";
    /// Percent.
    pub const PERCENT: &str = "%";
    /// Degrees Celsius.
    pub const CELSIUS: &str = "°C";
    /// Hours.
    pub const HOUR: &str = "h";
    /// Days.
    pub const DAY: &str = "d";
    /// Metres.
    pub const METRE: &str = "m";
    /// Millimetres.
    pub const MILLIMETRE: &str = "mm";
    /// Kilograms in a litre.
    pub const KILOGRAM_PER_LITRE: &str = "kg/l";
    /// Degrees of the salometer scale: 100 is water full of salt at 60 °F.
    pub const SALOMETER_DEGREE: &str = "degSal";
    /// Pascals.
    pub const PASCAL: &str = "Pa";
    /// Grams in a cubic metre.
    pub const GRAM_PER_CUBIC_METRE: &str = "g/m3";
    /// Grams in a kilogram.
    pub const GRAM_PER_KG: &str = "g/kg";
    /// Millivolts.
    pub const MILLIVOLT: &str = "mV";
    /// Millivolts for one unit of pH.
    pub const MILLIVOLT_PER_PH: &str = "mV/pH";
    /// A number without unit: pH, water activity.
    pub const ONE: &str = "1";
    /// Degree-hours above 60 °F.
    pub const FAHRENHEIT_HOUR: &str = "degF_h";
    /// Degree-hours above 15.6 °C.
    pub const CELSIUS_HOUR: &str = "degC_h";
}

/// The value of a figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum FigureValue {
    /// A number, not rounded.
    Number(f64),
    /// A word, such as a stage.
    Word(String),
    /// Not known.
    Unknown,
}

/// One figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// Stable id.
    pub id: &'static str,
    /// What it is of, where a reply has several of one id: `piece 2`, `chamber home`.
    pub of: Option<String>,
    /// Label as shown.
    pub label: String,
    /// Value in `unit`.
    pub value: FigureValue,
    /// The id's one fixed unit.
    pub unit: &'static str,
    /// Lower end, where it is a range.
    pub low: Option<f64>,
    /// Upper end, where it is a range.
    pub high: Option<f64>,
    /// What a person sees.
    pub shown: String,
    /// Left out of the plain text, because another figure's `shown` says it too; scripts still get it.
    #[serde(skip)]
    pub folded: bool,
}

impl Figure {
    /// A figure with a number.
    pub fn number(id: &'static str, label: String, value: f64, unit: &'static str, shown: String) -> Self {
        let value = if value.is_finite() { FigureValue::Number(value) } else { FigureValue::Unknown };
        Self { id, of: None, label, value, unit, low: None, high: None, shown, folded: false }
    }

    /// A figure with a word.
    pub fn word(id: &'static str, label: String, word: String) -> Self {
        let shown = word.clone();
        Self {
            id,
            of: None,
            label,
            value: FigureValue::Word(word),
            unit: unit::ONE,
            low: None,
            high: None,
            shown,
            folded: false,
        }
    }

    /// The same figure, of one thing among several.
    #[must_use]
    pub fn of(mut self, of: String) -> Self {
        self.of = Some(of);
        self
    }

    /// The same figure, left out of the plain text.
    #[must_use]
    pub const fn folded(mut self) -> Self {
        self.folded = true;
        self
    }

    /// The same figure with its range.
    #[must_use]
    pub fn between(mut self, low: f64, high: f64) -> Self {
        (self.low, self.high) = (Some(low), Some(high));
        self
    }
}
