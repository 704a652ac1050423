//! What makes Trichinella in the meat of domestic pigs harmless: freezing, heat, the curing methods of dry sausage, and
//! a study's rule of salt, pH and days. The tables are for *Trichinella spiralis* in domestic pork alone; the worms of
//! game may stand all of it but heat.
//!
//! A row is met whole or not at all: nothing is worked out between two rows.

mod drying;
mod freezing;
mod heat;
mod salt_ph;
mod species;
mod table;

pub use drying::{
    ByDiameterDays, Dried, DryingError, DryingVerdict, HamVerdict, Requirement, SaltBasis, Smoke,
    by_diameter, drying, ham, methods,
};
pub use freezing::{Frozen, Region, freezing};
pub use heat::{coolest, heat};
pub use salt_ph::{NoAnswer, Ripened, Room, SaltPh, salt_ph};
pub use species::Host;
pub use table::{
    ByDiameter, ByHold, BySalt, Freezing, Ham, HamCure, Heat, Measured, Method, SaltPhRoom, SaltPhRow,
    Source, Tables, tables,
};

use crate::curing::Standing;

/// What a table says of a treatment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// A row is met.
    Met,
    /// A row is met that is held from memory.
    MetUnverified,
    /// No row is met.
    NotMet,
}

impl Verdict {
    /// A met row vouches only if it was read, here or by others.
    const fn met(standing: Standing) -> Self {
        if standing.may_vouch() { Self::Met } else { Self::MetUnverified }
    }

    /// Its stable word in the door for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Met => "meets",
            Self::MetUnverified => "meets_unverified",
            Self::NotMet => "not_met",
        }
    }
}
