//! Why the check of an instrument cannot be worked out.

use super::Why;
use crate::curing::hygrometer::{CorrectionError, SaltError};
use crate::curing::meter::{BufferError, CheckError};
use crate::reply::say;

impl Why for SaltError {
    fn why(&self) -> String {
        match self {
            Self::Unknown { typed, known } => {
                say("why.hygrometer.unknown_salt", &[("typed", typed), ("known", known)])
            }
            Self::OutsideTable { formula, from_celsius, to_celsius } => {
                let (from, to) = (from_celsius.to_string(), to_celsius.to_string());
                say("why.hygrometer.outside_table", &[("formula", formula), ("from", &from), ("to", &to)])
            }
        }
    }
}

impl Why for CorrectionError {
    fn why(&self) -> String {
        match self {
            Self::JarCount => say("why.hygrometer.jar_count", &[]),
            Self::TooClose => say("why.hygrometer.too_close", &[]),
            Self::Swapped { drier, damper } => {
                say("why.hygrometer.swapped", &[("drier", drier), ("damper", damper)])
            }
            Self::Impossible { salt, reference, shown } => {
                let holes = [("salt", &**salt), ("reference", reference), ("shown", shown)];
                say("why.hygrometer.impossible", &holes)
            }
        }
    }
}

impl Why for BufferError {
    fn why(&self) -> String {
        match self {
            Self::Number(error) => error.why(),
            Self::FamilyUnknown { word } => say("why.meter.family_unknown", &[("word", word)]),
            Self::NotInFamily { typed, family, known } => {
                let holes = [("typed", &**typed), ("family", family), ("known", known)];
                say("why.meter.not_in_family", &holes)
            }
            Self::NoBuffer { typed } => say("why.meter.no_buffer", &[("typed", typed)]),
            Self::OutsideTable { family } => say("why.meter.outside_table", &[("family", family)]),
        }
    }
}

impl Why for CheckError {
    fn why(&self) -> String {
        let (key, lower, upper) = match self {
            Self::BufferCount => return say("why.meter.buffer_count", &[]),
            Self::Mixed => return say("why.meter.mixed", &[]),
            Self::OneInMillivolts => return say("why.meter.one_in_millivolts", &[]),
            Self::TooClose { lower, upper } => ("why.meter.too_close", lower, upper),
            Self::Swapped { lower, upper } => ("why.meter.swapped", lower, upper),
        };
        say(key, &[("lower", &lower.to_string()), ("upper", &upper.to_string())])
    }
}
