//! The US pickle rule in its own measure, for old recipes that speak of gallons.

use crate::curing::cure::{CureLabel, advice};
use crate::curing::finding::{Advice, Finding};
use crate::curing::rulebook;
use crate::quantity::{Fraction, Mass, MassUnit, Volume, VolumeUnit};

/// Pounds of nitrite, and of nitrate where there is any, to 100 US gal of pickle, beside the 2 and the 7 lb that
/// 9 CFR 424.21(c) prints for 10 % pump. Told and not judged: what they bring goes by the pickle's weight.
pub fn by_the_gallon(cure: Mass, label: &CureLabel, pickle: Volume) -> Vec<Finding> {
    let rows = [
        (label.nitrite(), "us.pickle.volume", "us.pickle"),
        (label.nitrate(), "us.pickle.nitrate.volume", "us.pickle.nitrate"),
    ];
    let told = |(part, by_volume, by_weight): (Fraction, &str, &str)| {
        let row = rulebook::by_id(by_volume)?;
        let called = rulebook::by_id(by_weight)?.printed.clone();
        let pounds = cure.in_unit(MassUnit::Pound) * part.as_one();
        let per_hundred = pounds / pickle.in_unit(VolumeUnit::UsGallon) * 100.0;
        let said = Advice { key: advice::PICKLE_BY_VOLUME, holes: vec![("called", called)] };
        Some(Finding::not_judged(row, said).beside(per_hundred))
    };
    rows.into_iter().filter(|(part, ..)| part.as_one() > 0.0).filter_map(told).collect()
}
