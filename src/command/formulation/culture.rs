//! `/formulation culture`: a culture's dose from its packet's own words.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::curing::formulation::culture::{dose, water_to_wake};
use crate::quantity::{Mass, format};
use crate::reply::{Reply, say};

/// `/formulation culture`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "culture",
    aliases: &[],
    summary: "a culture's dose from its packet's own words",
    options: &[
        needed("meat", OptionKind::Mass, "that is there, e.g. 2.4 kg"),
        needed("packet", OptionKind::Mass, "its content, e.g. 25 g"),
        maybe("for", OptionKind::Mass, "the meat the packet is for, e.g. 100 kg"),
    ],
    examples: [
        "formulation culture meat:2.4 kg packet:25 g for:100 kg",
        "formulation culture meat:1 kg packet:0.25 g for:1 kg",
    ],
    private: false,
};

/// Meat below which the dose is too small for a kitchen scale: common practice, no source.
const SMALL_BATCH_G: f64 = 5000.0;

/// A packet and meat.
#[derive(Debug, Clone, Copy)]
pub struct FormulationCulture {
    meat: Mass,
    packet: Mass,
    for_meat: Mass,
}

impl FormulationCulture {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            meat: args.mass_needed("meat")?,
            packet: args.mass_needed("packet")?,
            for_meat: args.mass("for")?.ok_or_else(|| args.missing("for"))?,
        })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let dose = dose(self.packet, self.for_meat, self.meat);
        let (least, most) = water_to_wake(dose);
        let grams = |mass: Mass| format!("{} g", format::trimmed(mass.as_grams(), 2));
        let holes = [
            ("dose", &*grams(dose)),
            ("meat", &format::mass(self.meat, asking.member.settings.mass)),
            ("least", &grams(least)),
            ("most", &grams(most)),
            ("packet", &grams(self.packet)),
            ("for", &grams(self.for_meat)),
        ];
        let mut reply = Reply::new("formulation culture", say("formulation.culture.headline", &holes));
        reply.figures.push(figures::cure("culture_dose", dose, Mass::grams(0.01)).folded());
        reply.lines.push(say("formulation.culture.wake", &holes));
        if self.meat.as_grams() < SMALL_BATCH_G {
            reply.note(Level::Notice, say("formulation.culture.small", &[]));
        }
        reply.working.push(say("formulation.culture.formula", &holes));
        reply.next = Some(say("formulation.culture.next", &[]));
        Ok(Done::reply(reply))
    }
}
