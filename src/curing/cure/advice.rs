//! The wording keys this part hands out, with the holes each one fills.
//!
//! Holes are text: mg/kg and percent as plain numbers, weights in grams, limits as their source prints them.

use crate::curing::finding::Advice;
use crate::curing::rule::Limit;
use crate::quantity::format;

/// Declares the keys, so that the list a completeness test reads cannot miss one.
macro_rules! keys {
    ($($(#[$doc:meta])* $name:ident = $key:literal { $($hole:literal),* };)*) => {
        $($(#[$doc])* pub const $name: &str = $key;)*

        /// Every key with its holes; the wording file must know each, rows' notes included.
        pub const KEYS: &[(&str, &[&str])] = &[$(($key, &[$($hole),*])),*];
    };
}

keys! {
    /// A finished-product figure was looked at.
    FINISHED = "cure.advice.finished_not_judged" {};
    /// A residual figure was looked at.
    RESIDUAL = "cure.advice.residual_not_judged" {};
    /// A row that only informs.
    INFORMATION = "cure.advice.information" {};
    /// The row is on another weight than the figure.
    OTHER_BASIS = "cure.advice.other_basis" {};
    /// The salt content is not known.
    SALT_UNKNOWN = "cure.advice.salt_unknown" {};
    /// Too little salt for a published or customary rule.
    SALT_LOW = "cure.advice.salt_low" { "measured", "limit" };
    /// Over a maximum, mince that may still be mixable.
    OVER_MIXABLE = "cure.advice.over_mixable" { "measured", "limit" };
    /// Over a maximum, whole meat or brine.
    OVER_WHOLE = "cure.advice.over_whole" { "measured", "limit" };
    /// A 6.25 % cure at the dose of a weak curing salt.
    SWAP_STRONG = "cure.advice.swap_strong_at_weak_dose" { "dose", "percent" };
    /// A weak curing salt at the dose of a 6.25 % cure.
    SWAP_WEAK = "cure.advice.swap_weak_at_strong_dose" { "dose", "percent", "measured" };
    /// No nitrite and no nitrate.
    NO_NITRITE = "cure.advice.no_nitrite" {};
    /// Nitrate without nitrite.
    NITRATE_ONLY = "cure.advice.nitrate_only" {};
    /// Nitrate without nitrite, at the dose of a nitrite cure.
    NITRATE_FOR_NITRITE = "cure.advice.nitrate_for_nitrite" { "dose" };
    /// Nitrate where the rulebook has no figure for it.
    NITRATE_NOT_LISTED = "cure.advice.nitrate_not_listed" { "country" };
    /// So little nitrite that it hardly preserves.
    LITTLE_NITRITE = "cure.advice.little_nitrite" { "measured", "useful" };
    /// Under a minimum.
    BELOW_MINIMUM = "cure.advice.below_minimum" { "measured", "limit" };
    /// Outside the band of a required level.
    OUTSIDE_BAND = "cure.advice.outside_band" { "measured", "limit", "low", "high" };
    /// Between the usual target and a higher row.
    ABOVE_USUAL = "cure.advice.above_usual" { "measured", "usual", "limit" };
    /// Stricter national limits exist.
    STRICTER_NATIONAL = "cure.advice.stricter_national" {};
    /// Lawful, and still better left out of what is fried.
    NITRATE_IN_BACON = "cure.advice.nitrate_in_bacon" {};
    /// Not permitted in bacon.
    NITRATE_NOT_IN_BACON = "cure.advice.nitrate_not_in_bacon" {};
    /// GB: the EU's figure is lower.
    EU_IS_LOWER = "cure.advice.eu_is_lower" { "eu" };
    /// Note: a home packet's directions.
    HOME_PACKET = "cure.note.home_packet" {};
    /// Note: no minimum for what keeps without refrigeration.
    SHELF_STABLE = "cure.note.shelf_stable" {};
    /// Note: an option that needs an inspector's controls.
    NEEDS_CONTROLS = "cure.note.needs_controls" {};
    /// Note: ascorbate is required beside the nitrite.
    ASCORBATE = "cure.note.ascorbate" {};
    /// Note: traditional products by name, residual values only.
    TRADITIONAL = "cure.note.traditional" {};
    /// Note: organic rules are lower.
    ORGANIC = "cure.note.organic" {};
    /// Note: Denmark's figures are lower.
    DENMARK = "cure.note.denmark" {};
    /// Note: Codex has no number for raw dried sausage.
    CODEX_NO_NUMBER = "cure.note.codex" {};
    /// Note: Great Britain is likely to change.
    GB_MAY_CHANGE = "cure.note.gb" {};
    /// Note: Great Britain's sausages by name may have more nitrate when no nitrite is added.
    GB_NAMED = "cure.note.gb_named" {};
    /// Note: the basis of the Australian and New Zealand figure is in doubt.
    ANZ_IN_DOUBT = "cure.note.anz" {};
    /// Note: the pickle rule by the gallon, and when it is what it is called.
    PICKLE_BY_VOLUME = "cure.note.pickle_by_volume" { "called" };
    /// Note: a country ham without nitrite needs brine strength or water activity.
    HAM_WITHOUT_NITRITE = "cure.note.ham_without_nitrite" {};
    /// Dose: another row than nitrite's usual target caps the cure.
    LIMITED_BY = "cure.advice.limited_by" { "rule", "limit", "unit", "source", "target" };
    /// Dose: a finer scale is advised.
    FINER_SCALE = "cure.advice.finer_scale" { "step" };
    /// Dose: a bigger batch is a way out.
    BIGGER_BATCH = "cure.advice.bigger_batch" { "times" };
    /// Dose: a fresh 10 % solution is a way out for sausage.
    SOLUTION = "cure.advice.ten_percent_solution" { "solution" };
    /// Dose: the cure alone brings more salt than asked.
    SALT_EXCEEDED = "cure.advice.salt_exceeded" { "brings", "asked", "cure_for_salt", "nitrite_then" };
    /// Dose: all the salt as curing salt would be over the limit, so it is split.
    SALT_SPLIT = "cure.advice.salt_split" { "nitrite_then", "limit", "unit", "cure", "plain" };
    /// Dose: figures hold only if the meat stays until balance.
    UNTIL_BALANCE = "cure.advice.until_balance" {};
    /// Dose: a pick-up must be weighed.
    WEIGH_PICK_UP = "cure.advice.weigh_pick_up" {};
    /// Dose: the pickle holds more salt than water dissolves.
    PICKLE_SATURATED = "cure.advice.pickle_saturated" { "percent", "saturated" };
    /// Dose: pure nitrite is no household article.
    CONCENTRATE = "cure.advice.concentrate" { "percent" };
    /// Dose: the rulebook has no figure, so the usual dose is the most.
    NO_PUBLISHED_MAXIMUM = "cure.advice.no_published_maximum" {};
    /// Dose: the nitrate's cation is not known and taken as sodium.
    NITRATE_TAKEN_AS_SODIUM = "cure.advice.nitrate_taken_as_sodium" {};
    /// Time: keep it cold.
    TIME_COLD = "cure.advice.time_cold" { "low", "high" };
    /// Time: turn.
    TIME_TURN = "cure.advice.time_turn" { "days" };
    /// Time: rest as long again.
    TIME_REST = "cure.advice.time_rest" { "days" };
    /// Time: the jambon custom is salting only.
    TIME_JAMBON = "cure.advice.time_jambon_rest" { "days", "cold_rest" };
    /// Time: soaking after a cure in excess salt.
    TIME_SOAK = "cure.advice.time_soak" { "minutes" };
    /// Time: a thick piece needs more than a linear custom gives.
    TIME_THICK = "cure.advice.time_thick" { "thickness" };
    /// Time: customs by weight were left out for want of one.
    TIME_GIVE_WEIGHT = "cure.advice.time_give_weight" {};
}

/// A sentence with holes.
pub(super) fn with(key: &'static str, holes: Vec<(&'static str, String)>) -> Advice {
    Advice { key, holes }
}

/// A figure and the limit it is held against, as printed.
pub(super) fn against(key: &'static str, measured: f64, limit: &Limit) -> Advice {
    with(key, vec![("measured", format::trimmed(measured, 2)), ("limit", limit.printed.clone())])
}

/// A number rounded down to so many decimals, for a figure that must not be exceeded.
pub(super) fn number_down(value: f64, decimals: usize) -> String {
    let step = 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
    let (_, down) = format::floor_to_step(value, step);
    format::trimmed(down, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_that_must_not_be_exceeded_goes_down() {
        assert_eq!(number_down(119.98, 1), "119.9");
        assert_eq!(number_down(0.3, 1), "0.3");
    }

    #[test]
    fn keys_are_unique() {
        let mut keys: Vec<_> = KEYS.iter().map(|(key, _)| key).collect();
        keys.sort();
        keys.dedup();
        assert_eq!(keys.len(), KEYS.len());
    }
}
