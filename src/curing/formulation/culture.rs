//! A culture's dose from its packet. Too much of a culture does no harm and too little does, so this dose rounds up.

use crate::quantity::{Mass, format};

/// The step a small dose is weighed to: common practice, no source.
pub const STEP_G: f64 = 0.01;

/// What a packet's own words give for a weight of meat: the packet for so much, its part for what is there, rounded up
/// to 0.01 g.
pub fn dose(packet: Mass, for_meat: Mass, meat: Mass) -> Mass {
    let exact = packet.as_grams() * meat.as_grams() / for_meat.as_grams();
    let (_, rounded) = format::ceil_to_step(exact, STEP_G);
    Mass::grams(rounded)
}

/// Water to wake a culture in, least and most: 10 to 20 times its weight (from memory, common practice).
pub fn water_to_wake(dose: Mass) -> (Mass, Mass) {
    (Mass::grams(dose.as_grams() * 10.0), Mass::grams(dose.as_grams() * 20.0))
}
