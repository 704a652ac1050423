//! Why air, a mass balance, two weights or a water activity give nothing.

use super::Why;
use crate::curing::air::AirError;
use crate::curing::moisture::BalanceError;
use crate::curing::water_activity::NotEstimated;
use crate::curing::whole_muscle::SaltingError;
use crate::quantity::format::{number, trimmed};
use crate::reply::say;

impl Why for AirError {
    fn why(&self) -> String {
        match self {
            Self::Temperature(celsius) => say("why.air.temperature", &[("celsius", &number(*celsius, 1))]),
            Self::Humidity(percent) => say("why.air.humidity", &[("percent", &percent.to_string())]),
            Self::Pressure => say("why.air.pressure", &[]),
        }
    }
}

impl Why for BalanceError {
    fn why(&self) -> String {
        match self {
            Self::NoMeat => say("why.balance.no_meat", &[]),
            Self::MoreThanWater { lost, water } => {
                let holes = [("lost", &*number(*lost, 1)), ("water", &number(*water, 1))];
                say("why.balance.more_than_water", &holes)
            }
        }
    }
}

impl Why for NotEstimated {
    fn why(&self) -> String {
        match self {
            Self::Loss(percent) => say("why.water_activity.loss", &[("percent", &number(*percent, 1))]),
            Self::TooDry => say("why.water_activity.too_dry", &[]),
        }
    }
}

impl Why for SaltingError {
    fn why(&self) -> String {
        let grams = |grams: &f64| trimmed(*grams, 1);
        match self {
            Self::Weight { grams: given } => say("why.salting.weight", &[("grams", &grams(given))]),
            Self::TooMuchSalt { grams: given } => {
                say("why.salting.too_much_salt", &[("grams", &grams(given))])
            }
            Self::MoreThanWentIn { after_grams, most_grams } => {
                let holes = [("after", &*grams(after_grams)), ("most", &grams(most_grams))];
                say("why.salting.more_than_went_in", &holes)
            }
            Self::NothingTakenUp { before_grams, after_grams } => {
                let holes = [("before", &*grams(before_grams)), ("after", &grams(after_grams))];
                say("why.salting.nothing_taken_up", &holes)
            }
        }
    }
}
