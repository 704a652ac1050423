//! The course of a whole muscle: salting, rest, drying; how warm each may be, and what must be measured before it may be
//! warmer.
//!
//! A boneless muscle with nitrite follows custom: once cure and rest are over it dries cool. A ham, and anything without
//! nitrite, stays cold until somebody has measured the water activity of its core.

use crate::curing::cure::{Product, advice, water_phase_salt};
use crate::curing::finding::{Advice, Finding, Level, Outcome};
use crate::curing::rule::{Comparator, Limit};
use crate::curing::rulebook;
use crate::quantity::{Fraction, Ph, Temperature, WaterActivity, compare};

/// Where in its course a piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CourseStage {
    /// In salt and cure.
    Salting,
    /// Out of the salt, evening out.
    Resting,
    /// Losing water.
    Drying,
}

impl CourseStage {
    /// The word a member types.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Salting => "salting",
            Self::Resting => "resting",
            Self::Drying => "drying",
        }
    }

    /// Reads the word, in any case.
    pub fn parse(text: &str) -> Option<Self> {
        let all = [Self::Salting, Self::Resting, Self::Drying];
        all.into_iter().find(|stage| stage.word().eq_ignore_ascii_case(text.trim()))
    }
}

/// A piece and what was measured of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Muscle {
    /// A ham or a shoulder, or a boneless muscle.
    pub product: Product,
    /// Whether its cure holds nitrite, or nitrate that becomes it.
    pub with_nitrite: bool,
    /// Where it is.
    pub stage: Option<CourseStage>,
    /// Of its core, or of the room.
    pub temperature: Option<Temperature>,
    /// Of its core.
    pub water_activity: Option<WaterActivity>,
    /// Salt in its core.
    pub salt: Option<Fraction>,
    /// Moisture of its core.
    pub moisture: Option<Fraction>,
    /// Of the raw meat.
    pub start_ph: Option<Ph>,
}

/// Whether a piece may leave the cold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Warmer {
    /// After cure and rest, by custom, as far as the drying room's temperature.
    ByCustom,
    /// The core is under the figure.
    Measured,
    /// The core is not under the figure.
    NotYet,
    /// Nobody measured it.
    Unmeasured,
}

/// What the rows say of a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Whether it may leave the cold.
    pub warmer: Warmer,
    /// The row its temperature is held against here.
    pub warmest: &'static Limit,
    /// Whether the raw meat's pH is too high to begin with.
    pub is_dark: bool,
    /// Every row that was looked at, the loudest first.
    pub findings: Vec<Finding>,
    /// Salt in the water of the core, where salt and moisture are known.
    pub water_phase_salt: Option<Fraction>,
    /// Of a finished piece without nitrite: whether one of the two figures is met; `None` where neither was measured
    /// or nitrite is in it.
    pub keeps_without_nitrite: Option<bool>,
}

impl Course {
    /// What was met of the two figures that a piece without nitrite needs one of.
    pub fn met_without_nitrite(&self) -> impl Iterator<Item = &Finding> {
        let of_rule = |finding: &&Finding| finding.limit.id.starts_with("salt.ham.no_nitrite");
        self.findings.iter().filter(of_rule).filter(|finding| is_met(finding))
    }
}

fn is_met(finding: &Finding) -> bool {
    matches!(finding.outcome, Outcome::Within | Outcome::AtLimit)
}

impl Muscle {
    /// Whether custom alone lets it leave the cold.
    const fn by_custom(&self) -> bool {
        self.with_nitrite && !matches!(self.product, Product::Ham)
    }

    fn warmer(&self) -> Warmer {
        if self.by_custom() {
            return Warmer::ByCustom;
        }
        let judged = self.water_activity.and_then(|aw| judged("raw_ham.aw", aw.value()));
        match judged.map(|finding| finding.outcome) {
            None => Warmer::Unmeasured,
            Some(Outcome::Within | Outcome::UnderUnverified) => Warmer::Measured,
            Some(_) => Warmer::NotYet,
        }
    }

    /// The row that says how warm it may be now. Before drying it is the cold, whatever was measured.
    fn warmest(&self, warmer: Warmer) -> Option<&'static Limit> {
        let id = match (self.stage, warmer) {
            (Some(CourseStage::Drying), Warmer::ByCustom) => "muscle.drying",
            (Some(CourseStage::Drying), Warmer::Measured) => "raw_ham.ripening",
            _ => "muscle.cold",
        };
        rulebook::by_id(id)
    }

    /// Holds what was measured against every row that looks at it. `None` only where the rulebook lacks its rows.
    pub fn course(&self) -> Option<Course> {
        let warmer = self.warmer();
        let warmest = self.warmest(warmer)?;
        let mut findings = Vec::new();
        findings.extend(self.temperature.map(|temperature| of_temperature(warmest, temperature)));
        findings.extend(self.of_core());
        let ph_row = if self.by_custom() { "muscle.ph" } else { "raw_ham.ph" };
        let of_ph = self.start_ph.and_then(|ph| judged(ph_row, ph.value()));
        let is_dark = of_ph.as_ref().is_some_and(|finding| finding.level >= Level::Warning);
        findings.extend(of_ph);
        let resting = matches!(self.stage, Some(CourseStage::Resting));
        if resting && matches!(self.product, Product::Ham) {
            findings.extend(told("t.va.equalise", None));
        }
        let in_water =
            self.salt.zip(self.moisture).and_then(|(salt, moisture)| water_phase_salt(salt, moisture));
        let without = if self.with_nitrite { Vec::new() } else { self.without_nitrite(in_water) };
        let keeps_without_nitrite = (!without.is_empty()).then(|| without.iter().any(is_met));
        // One of the two is enough: the other is then told quietly.
        let enough = keeps_without_nitrite == Some(true);
        findings.extend(
            without.into_iter().map(|finding| if enough { finding.at_level(Level::None) } else { finding }),
        );
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
        Some(Course { warmer, warmest, is_dark, findings, water_phase_salt: in_water, keeps_without_nitrite })
    }

    /// Salt in the core is told. So is the water activity where custom does not ask for it; else it decides.
    fn of_core(&self) -> impl Iterator<Item = Finding> {
        let by_custom = self.by_custom();
        let aw = self.water_activity.map(WaterActivity::value);
        let of_aw =
            aw.and_then(|aw| if by_custom { told("raw_ham.aw", Some(aw)) } else { judged("raw_ham.aw", aw) });
        let of_salt = self.salt.and_then(|salt| told("raw_ham.salt", Some(salt.as_percent())));
        of_aw.into_iter().chain(of_salt)
    }

    fn without_nitrite(&self, in_water: Option<Fraction>) -> Vec<Finding> {
        let aw = self.water_activity.and_then(|aw| judged("salt.ham.no_nitrite.aw", aw.value()));
        let brine = in_water.and_then(|salt| judged("salt.ham.no_nitrite.brine", salt.as_percent()));
        aw.into_iter().chain(brine).collect()
    }
}

/// A little over the cold, but not over the raw-ham rule's own figure, is less loud.
fn of_temperature(warmest: &'static Limit, temperature: Temperature) -> Finding {
    let celsius = temperature.as_celsius();
    let finding = Finding::judge(warmest, celsius);
    let of_ham = rulebook::by_id("raw_ham.cold").and_then(|row| row.value);
    let is_near = of_ham.is_some_and(|most| compare::with_tolerance(celsius, most).is_le());
    if finding.outcome == Outcome::Over && is_near { finding.at_level(Level::Caution) } else { finding }
}

/// Exactly at a "less than" is as much a warning as over it.
fn judged(id: &str, measured: f64) -> Option<Finding> {
    let row = rulebook::by_id(id)?;
    let finding = Finding::judge(row, measured);
    let is_reached = finding.outcome == Outcome::AtLimit && row.comparator == Comparator::LessThan;
    Some(if is_reached { finding.at_least(Level::Warning) } else { finding })
}

fn told(id: &str, measured: Option<f64>) -> Option<Finding> {
    let row = rulebook::by_id(id)?;
    let finding = Finding::not_judged(row, Advice::plain(advice::INFORMATION));
    Some(measured.map_or(finding.clone(), |measured| finding.beside(measured)))
}
