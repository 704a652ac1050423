//! The wording keys that fermentation and warm spells hand out, with the holes each one fills.
//!
//! Holes are text: hours as whole numbers, a temperature with its degree sign in the scale it was given in.

/// The lower sum is over the limit.
pub const EXCEEDED: &str = "degree_hours.exceeded";
/// The lower sum is exactly at the limit, which "less than" does not include.
pub const AT_LIMIT: &str = "degree_hours.at_limit";
/// The upper sum is at or over the limit.
pub const MAY_BE_EXCEEDED: &str = "degree_hours.may_be_exceeded";
/// Under the limit if the room was what was stated or set.
pub const DECLARED: &str = "degree_hours.declared";
/// The room is at or below the base.
pub const NOT_RUNNING: &str = "degree_hours.not_running";
/// Nothing is known of the room.
pub const NO_READING: &str = "degree_hours.no_reading";
/// Nothing is known of a part of the course.
pub const GAP: &str = "degree_hours.gap";

/// No pH was read yet.
pub const PH_NO_READING: &str = "ph.no_reading";
/// The last reading is above the end point.
pub const PH_NOT_YET: &str = "ph.not_yet";
/// A usable meter must read 5.20.
pub const PH_GUARD_BAND: &str = "ph.guard_band";
/// A packet beside a thick piece must read 5.20 or be confirmed on the piece.
pub const PH_PACKET_LEADS: &str = "ph.packet_leads";
/// Readings of one time differ; the highest counts.
pub const PH_READINGS_DIFFER: &str = "ph.readings_differ";
/// Ended between 5.25 and 5.30: a second reading is asked for.
pub const PH_SECOND_READING: &str = "ph.second_reading";
/// Ended by a meter that is usable only.
pub const PH_ENDED_USABLE: &str = "ph.ended_usable";
/// Fermentation is over without an ending pH.
pub const PH_NEVER_REACHED: &str = "ph.never_reached";

/// The meter was checked this week, not today.
pub const PH_CHECKED_THIS_WEEK: &str = "ph.doubt.checked_this_week";
/// The slope is worn.
pub const PH_SLOPE_WORN: &str = "ph.doubt.slope_worn";
/// The slope was not noted.
pub const PH_SLOPE_UNKNOWN: &str = "ph.doubt.slope_unknown";
/// The meter was checked more than a week ago.
pub const PH_CHECKED_TOO_LONG_AGO: &str = "ph.doubt.checked_too_long_ago";
/// Nobody said when the meter was checked.
pub const PH_NEVER_CHECKED: &str = "ph.doubt.never_checked";
/// The last check found the meter off in a buffer.
pub const PH_BUFFER_MISSED: &str = "ph.doubt.buffer_missed";
/// The slope is too low to trust.
pub const PH_SLOPE_LOW: &str = "ph.doubt.slope_low";
/// The sample's temperature was not noted.
pub const PH_SAMPLE_TEMPERATURE: &str = "ph.doubt.sample_temperature";
/// A paper strip.
pub const PH_STRIP: &str = "ph.doubt.strip";
/// The slope is impossible: the reading is refused.
pub const PH_SLOPE_OUTSIDE: &str = "ph.doubt.slope_outside";
/// The offset is too far off: the reading is refused.
pub const PH_OFFSET_OUTSIDE: &str = "ph.doubt.offset_outside";

/// The fermentation clock counts it.
pub const SPELL_ON_THE_CLOCK: &str = "warm_spell.on_the_clock";
/// Move it back, look for mould and drip.
pub const SPELL_MOVE_BACK: &str = "warm_spell.move_back";
/// Warm enough to warn of, or not known well enough.
pub const SPELL_WARNING: &str = "warm_spell.warning";
/// It may have been too warm for too long.
pub const SPELL_TREAT_AS_DISCARD: &str = "warm_spell.treat_as_discard";
/// Too warm for too long.
pub const SPELL_DISCARD: &str = "warm_spell.discard";

/// Every key with its holes; the wording file must know each.
pub const KEYS: &[(&str, &[&str])] = &[
    (EXCEEDED, &[]),
    (AT_LIMIT, &[]),
    (MAY_BE_EXCEEDED, &[]),
    (DECLARED, &["warmest"]),
    (NOT_RUNNING, &[]),
    (NO_READING, &[]),
    (GAP, &["hours"]),
    (PH_NO_READING, &[]),
    (PH_NOT_YET, &[]),
    (PH_GUARD_BAND, &[]),
    (PH_PACKET_LEADS, &[]),
    (PH_READINGS_DIFFER, &[]),
    (PH_SECOND_READING, &[]),
    (PH_ENDED_USABLE, &[]),
    (PH_NEVER_REACHED, &[]),
    (PH_CHECKED_THIS_WEEK, &[]),
    (PH_SLOPE_WORN, &[]),
    (PH_SLOPE_UNKNOWN, &[]),
    (PH_CHECKED_TOO_LONG_AGO, &[]),
    (PH_NEVER_CHECKED, &[]),
    (PH_BUFFER_MISSED, &[]),
    (PH_SLOPE_LOW, &[]),
    (PH_SAMPLE_TEMPERATURE, &[]),
    (PH_STRIP, &[]),
    (PH_SLOPE_OUTSIDE, &[]),
    (PH_OFFSET_OUTSIDE, &[]),
    (SPELL_ON_THE_CLOCK, &[]),
    (SPELL_MOVE_BACK, &[]),
    (SPELL_WARNING, &[]),
    (SPELL_TREAT_AS_DISCARD, &[]),
    (SPELL_DISCARD, &[]),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A key that is declared and not listed would reach a member as a bare key.
    #[test]
    fn every_declared_key_is_listed_once() {
        let source = include_str!("advice.rs");
        let declared = source.lines().filter_map(|line| {
            let rest = line.strip_prefix("pub const ")?.split_once(": &str = \"")?.1;
            rest.strip_suffix("\";")
        });
        let listed = KEYS.iter().map(|(key, _)| *key);
        assert_eq!(declared.collect::<Vec<_>>(), listed.collect::<Vec<_>>());
    }
}
