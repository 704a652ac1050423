//! `/formulation culture`: the dose of a culture or of a mould suspension, from the packet's own words.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::curing::formulation::culture::{STEP_G, dose, water_to_wake};
use crate::quantity::{Mass, Volume, VolumeUnit, format, parse};
use crate::reply::{Reply, say};

/// `/formulation culture`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "culture",
    aliases: &[],
    summary: "a culture's dose, or a mould suspension's, from the packet's own words",
    options: &[
        maybe("meat", OptionKind::Mass, "that is there, e.g. 2.4 kg"),
        maybe("suspension", OptionKind::Text, "of mould to make instead, e.g. 1 l"),
        needed("packet", OptionKind::Mass, "its content, e.g. 25 g"),
        maybe("for", OptionKind::Text, "the meat or the water the packet is for, e.g. 100 kg"),
    ],
    examples: [
        "formulation culture meat:2.4 kg packet:25 g for:100 kg",
        "formulation culture suspension:1 l packet:25 g for:50 l",
    ],
    private: false,
};

/// Meat below which the dose is too small for a kitchen scale: common practice, no source.
const SMALL_BATCH_G: f64 = 5000.0;

/// A packet, and what is there.
#[derive(Debug, Clone, Copy)]
pub struct FormulationCulture {
    packet: Mass,
    there: There,
}

#[derive(Debug, Clone, Copy)]
enum There {
    /// Meat, and the meat the packet is for.
    Meat(Mass, Mass),
    /// Water to suspend a mould in, and the water the packet is for.
    Water(Volume, Volume),
}

impl FormulationCulture {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let packet = args.mass_needed("packet")?;
        let there = match (args.mass("meat")?, args.read("suspension", parse::volume)?) {
            (Some(_), Some(_)) => {
                return Err(args.error(Code::OutOfRange, say("formulation.culture.both", &[])));
            }
            (None, None) => return Err(args.missing("meat")),
            (Some(meat), None) => There::Meat(meat, args.mass("for")?.ok_or_else(|| args.missing("for"))?),
            (None, Some(water)) => {
                let of = args.read("for", parse::volume)?.ok_or_else(|| args.missing("for"))?;
                if water.as_litres() <= 0.0 || of.as_litres() <= 0.0 {
                    return Err(args.error(Code::OutOfRange, say("formulation.culture.no_water", &[])));
                }
                There::Water(water, of)
            }
        };
        Ok(Self { packet, there })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let reply = match self.there {
            There::Meat(meat, of) => self.of_meat(meat, of, asking),
            There::Water(water, of) => self.of_water(water, of),
        };
        Ok(Done::reply(reply))
    }

    fn of_meat(&self, meat: Mass, of: Mass, asking: &Asking) -> Reply {
        let dose = dose(self.packet, of.as_grams(), meat.as_grams());
        let (least, most) = water_to_wake(dose);
        let holes = [
            ("dose", &*grams(dose)),
            ("meat", &format::mass(meat, asking.member.settings.mass)),
            ("least", &grams(least)),
            ("most", &grams(most)),
            ("packet", &grams(self.packet)),
            ("for", &grams(of)),
        ];
        let mut reply = Reply::new("formulation culture", say("formulation.culture.headline", &holes));
        reply.figures.push(figures::cure("culture_dose", dose, Mass::grams(STEP_G)).folded());
        reply.lines.push(say("formulation.culture.wake", &holes));
        if meat.as_grams() < SMALL_BATCH_G {
            reply.note(Level::Notice, say("formulation.culture.small", &[]));
        }
        reply.working.push(say("formulation.culture.formula", &holes));
        reply.next = Some(say("formulation.culture.next", &[]));
        reply
    }

    fn of_water(&self, water: Volume, of: Volume) -> Reply {
        let dose = dose(self.packet, of.as_litres(), water.as_litres());
        let litres = |volume: Volume| format::volume(volume, VolumeUnit::Litre);
        let holes = [
            ("dose", &*grams(dose)),
            ("meat", &litres(water)),
            ("packet", &grams(self.packet)),
            ("for", &litres(of)),
        ];
        let mut reply = Reply::new("formulation culture", say("formulation.culture.headline_mould", &holes));
        reply.figures.push(figures::cure("culture_dose", dose, Mass::grams(STEP_G)).folded());
        reply.lines.push(say("formulation.culture.mould", &[]));
        reply.working.push(say("formulation.culture.formula", &holes));
        reply
    }
}

fn grams(mass: Mass) -> String {
    format!("{} g", format::trimmed(mass.as_grams(), 2))
}
