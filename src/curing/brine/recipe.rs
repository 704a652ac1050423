//! The US pickle rule in its own measure, for old recipes that speak of gallons.

use crate::curing::cure::{CureLabel, advice};
use crate::curing::finding::{Advice, Finding};
use crate::curing::rulebook;
use crate::quantity::{Mass, MassUnit, Volume, VolumeUnit};

/// Pounds of nitrite to 100 US gal of pickle, beside the 2 lb that 9 CFR 424.21(c) prints for 10 % pump. Told and not
/// judged: what it brings goes by the pickle's weight.
pub fn by_the_gallon(cure: Mass, label: &CureLabel, pickle: Volume) -> Option<Finding> {
    let pounds = cure.in_unit(MassUnit::Pound) * label.nitrite().as_one();
    let row = rulebook::by_id("us.pickle.volume")?;
    let per_hundred = pounds / pickle.in_unit(VolumeUnit::UsGallon) * 100.0;
    Some(Finding::not_judged(row, Advice::plain(advice::PICKLE_BY_VOLUME)).beside(per_hundred))
}
