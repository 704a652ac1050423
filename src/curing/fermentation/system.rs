//! The two published systems: base, bands and unit of each, from the rulebook.

use crate::curing::rule::Limit;
use crate::curing::rulebook;
use crate::quantity::compare;
use crate::quantity::{Temperature, TemperatureScale};
use std::cmp::Ordering;

/// One degree-hour system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum System {
    /// The US makers' good practices, in °F above 60 °F.
    Us,
    /// The Canadian manual, in °C above 15.6 °C.
    Canada,
}

impl System {
    /// The rule's id.
    pub const fn rule_id(self) -> &'static str {
        match self {
            Self::Us => "degree_hours.us",
            Self::Canada => "degree_hours.canada",
        }
    }

    /// The scale it counts in.
    pub const fn scale(self) -> TemperatureScale {
        match self {
            Self::Us => TemperatureScale::Fahrenheit,
            Self::Canada => TemperatureScale::Celsius,
        }
    }

    /// The name in a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Canada => "Canadian",
        }
    }

    const fn base_id(self) -> &'static str {
        match self {
            Self::Us => "degree_hours.us.base",
            Self::Canada => "degree_hours.canada.base",
        }
    }
}

/// Which systems a member asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Systems {
    /// The US one.
    Us,
    /// The Canadian one.
    Canada,
    /// Both, each with its own base and edges; the worse is reported.
    #[default]
    Strict,
}

impl Systems {
    /// Reads `us`, `canada` or `strict`, in any case.
    pub fn parse(word: &str) -> Option<Self> {
        match word.trim().to_ascii_lowercase().as_str() {
            "us" => Some(Self::Us),
            "canada" => Some(Self::Canada),
            "strict" => Some(Self::Strict),
            _ => None,
        }
    }

    /// The systems it runs.
    pub const fn members(self) -> &'static [System] {
        match self {
            Self::Us => &[System::Us],
            Self::Canada => &[System::Canada],
            Self::Strict => &[System::Us, System::Canada],
        }
    }
}

/// A system with its rows.
#[derive(Debug, Clone)]
pub struct Rules {
    /// Which system.
    pub system: System,
    /// Degrees at or below this count nothing; in the system's own scale.
    pub base: f64,
    bands: Vec<&'static Limit>,
}

impl Rules {
    /// The rows of a system; `None` only when the rulebook file cannot be read, which its test forbids.
    pub fn of(system: System) -> Option<Self> {
        let bands: Vec<_> = rulebook::bands(system.rule_id()).collect();
        let base = rulebook::by_id(system.base_id())?.value?;
        (!bands.is_empty()).then_some(Self { system, base, bands })
    }

    /// The row for a course whose highest temperature is this: one warm hour moves the whole course into the
    /// stricter band. Without any temperature it is the mildest row.
    pub fn band(&self, highest: Option<Temperature>) -> Option<&'static Limit> {
        let highest = highest.map(|warmest| warmest.in_scale(self.system.scale()));
        let reached = self.bands.iter().filter(|row| {
            let Some(edge) = row.above else { return true };
            let order = highest.map(|highest| compare::with_tolerance(highest, edge));
            match order {
                Some(Ordering::Greater) => true,
                Some(Ordering::Equal) => row.above_inclusive,
                Some(Ordering::Less) | None => false,
            }
        });
        reached.copied().max_by(|one, other| {
            let edge = |row: &Limit| row.above.unwrap_or(f64::NEG_INFINITY);
            edge(one).total_cmp(&edge(other))
        })
    }

    /// Degrees above the base in the system's own scale; never negative, and nothing at the base itself.
    pub fn above_base(&self, temperature: Temperature) -> f64 {
        let degrees = temperature.in_scale(self.system.scale());
        match compare::with_tolerance(degrees, self.base) {
            Ordering::Greater => degrees - self.base,
            Ordering::Equal | Ordering::Less => 0.0,
        }
    }

    /// How long a room may be kept at one temperature until the limit; `None` at or below the base, where the
    /// clock does not run.
    pub fn longest_at(&self, temperature: Temperature) -> Option<HoursLeft> {
        let limit = self.band(Some(temperature))?.value?;
        HoursLeft::at_rate(limit, self.above_base(temperature))
    }
}

/// How long a room may be kept at one temperature by every system asked for: the shortest.
pub fn longest_at(systems: Systems, temperature: Temperature) -> Option<HoursLeft> {
    let rules = systems.members().iter().filter_map(|system| Rules::of(*system));
    rules.filter_map(|rules| rules.longest_at(temperature)).reduce(HoursLeft::shorter)
}

/// Hours until a limit. The rule says "less than", so the limit hour itself is too late.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct HoursLeft(f64);

impl HoursLeft {
    /// `remaining` degree-hours at `rate` degrees above the base; `None` where no time runs (`rate` is 0 or
    /// less) or nothing remains.
    pub fn at_rate(remaining: f64, rate: f64) -> Option<Self> {
        (rate > 0.0 && remaining > 0.0).then(|| Self(remaining / rate))
    }

    /// The exact number of hours.
    pub const fn exact(self) -> f64 {
        self.0
    }

    /// For "less than N h": cut, not rounded, to one decimal.
    pub fn less_than(self) -> f64 {
        cut(self.0 * 10.0) / 10.0
    }

    /// The largest whole hour strictly below the printed number.
    pub fn whole_hours(self) -> u32 {
        let printed = self.less_than();
        let cut = cut(printed);
        let whole = match compare::with_tolerance(printed, cut) {
            Ordering::Greater => cut,
            Ordering::Equal | Ordering::Less => cut - 1.0,
        };
        whole.max(0.0) as u32
    }

    /// The same, counted from so many hours earlier.
    #[must_use]
    pub fn after(self, hours: f64) -> Self {
        Self(self.0 + hours)
    }

    /// The shorter of two.
    #[must_use]
    pub fn shorter(self, other: Self) -> Self {
        if other.0 < self.0 { other } else { self }
    }
}

/// Rounds down, but takes a number that is a hair below a whole one for that whole one.
fn cut(number: f64) -> f64 {
    let nearest = number.round();
    match compare::with_tolerance(number, nearest) {
        Ordering::Equal => nearest,
        Ordering::Less | Ordering::Greater => number.floor(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit_at(system: System, temperature: Temperature) -> f64 {
        Rules::of(system).unwrap().band(Some(temperature)).unwrap().value.unwrap()
    }

    #[test]
    #[expect(clippy::float_cmp, reason = "the rows' own figures, untouched")]
    fn edges_belong_to_the_bands_of_the_published_tables() {
        let us = |degrees| limit_at(System::Us, Temperature::fahrenheit(degrees));
        let bands = [89.9, 90.0, 100.0, 100.1].map(us);
        assert_eq!(bands, [1200.0, 1000.0, 1000.0, 900.0]);
        let canada = |degrees| limit_at(System::Canada, Temperature::celsius(degrees));
        let bands = [32.9, 33.0, 37.0, 37.1].map(canada);
        assert_eq!(bands, [665.0, 555.0, 555.0, 500.0]);
    }

    #[test]
    #[expect(clippy::float_cmp, reason = "the rows' own figures, untouched")]
    fn an_edge_typed_in_the_other_scale_is_still_the_edge() {
        // 91.4 °F is 33 °C and 98.6 °F is 37 °C; 32.222… °C is 90 °F.
        assert_eq!(limit_at(System::Canada, Temperature::fahrenheit(91.4)), 555.0);
        assert_eq!(limit_at(System::Canada, Temperature::fahrenheit(98.6)), 555.0);
        assert_eq!(limit_at(System::Us, Temperature::celsius(290.0 / 9.0)), 1000.0);
    }

    #[test]
    fn no_time_runs_at_the_base_or_below() {
        let canada = Rules::of(System::Canada).unwrap();
        for cold in [Temperature::celsius(15.6), Temperature::fahrenheit(60.08), Temperature::celsius(-3.0)] {
            assert!(canada.above_base(cold) <= 0.0, "{cold:?}");
            assert_eq!(canada.longest_at(cold), None, "{cold:?}");
        }
        assert!(canada.above_base(Temperature::celsius(15.7)) > 0.0);
    }

    #[test]
    fn hours_are_cut_and_the_whole_hour_lies_below_them() {
        let shown = |remaining, rate| {
            let left = HoursLeft::at_rate(remaining, rate).unwrap();
            (format!("{:.1}", left.less_than()), left.whole_hours())
        };
        assert_eq!(shown(1200.0, 15.0), ("80.0".into(), 79));
        assert_eq!(shown(1000.0, 30.0), ("33.3".into(), 33));
        assert_eq!(shown(46.09, 1.0), ("46.0".into(), 45));
        assert_eq!(shown(0.46, 0.01), ("46.0".into(), 45));
        // In binary 4.6 ÷ 0.1 is a hair below 46.
        assert_eq!(shown(4.6, 0.1), ("46.0".into(), 45));
        assert_eq!(shown(0.3, 1.0), ("0.3".into(), 0));
        assert_eq!(shown(0.04, 1.0), ("0.0".into(), 0));
    }

    #[test]
    fn nothing_is_divided_by_a_rate_of_nothing() {
        assert_eq!(HoursLeft::at_rate(100.0, 0.0), None);
        assert_eq!(HoursLeft::at_rate(100.0, -1.0), None);
        assert_eq!(HoursLeft::at_rate(0.0, 5.0), None);
        assert_eq!(HoursLeft::at_rate(f64::NAN, 5.0), None);
    }

    #[test]
    fn a_system_is_named_in_any_case() {
        assert_eq!(Systems::parse(" STRICT "), Some(Systems::Strict));
        assert_eq!(Systems::parse("us"), Some(Systems::Us));
        assert_eq!(Systems::parse("Canada"), Some(Systems::Canada));
        assert_eq!(Systems::parse("metric"), None);
    }
}
