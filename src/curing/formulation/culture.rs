//! A culture's dose from its packet. Too much of a culture does no harm and too little does, so this dose rounds up.

use crate::quantity::{Mass, format};

/// The step a small dose is weighed to: common practice, no source.
pub const STEP_G: f64 = 0.01;

/// What a packet's own words give: the packet for so much, its part for what is there (both grams of meat, or both litres
/// of water), rounded up to 0.01 g.
pub fn dose(packet: Mass, packet_is_for: f64, there: f64) -> Mass {
    let exact = packet.as_grams() * there / packet_is_for;
    let (_, rounded) = format::ceil_to_step(exact, STEP_G);
    Mass::grams(rounded)
}

/// Water to wake a culture in, least and most: 10 to 20 times its weight (from memory, common practice).
pub fn water_to_wake(dose: Mass) -> (Mass, Mass) {
    (Mass::grams(dose.as_grams() * 10.0), Mass::grams(dose.as_grams() * 20.0))
}
