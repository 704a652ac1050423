//! `/formulation blend`: cuts mixed to a fat target, using up first what is there.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::cut::{self, NamedCut};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::curing::Level;
use crate::curing::composition;
use crate::curing::formulation::blend::{Blend, BlendError, Offer, blend};
use crate::quantity::{Fraction, format};
use crate::reply::{Reply, say};

/// `/formulation blend`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "blend",
    aliases: &[],
    summary: "cuts mixed to a fat target, using up first what is there",
    options: &[
        needed(
            "cut",
            OptionKind::Text,
            "weight and cut, e.g. 1.2 kg pork shoulder; without weight: to be bought",
        )
        .several(),
        needed("fat", OptionKind::Percent, "of the mix, e.g. 25%"),
    ],
    examples: [
        "formulation blend cut:1.2 kg pork shoulder cut:0.5 kg back fat fat:25%",
        "formulation blend cut:2 kg trim 80/20 cut:back fat fat:28%",
    ],
    private: false,
};

/// Cuts and a target.
#[derive(Debug, Clone)]
pub struct FormulationBlend {
    cuts: Vec<NamedCut>,
    fat: Fraction,
}

impl FormulationBlend {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let cuts = cut::read_all(args, "cut")?;
        let fat = args.percent("fat")?.ok_or_else(|| args.missing("fat"))?;
        Ok(Self { cuts, fat })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let offers: Vec<Offer> =
            self.cuts.iter().map(|cut| Offer { parts: cut.parts, there: cut.mass }).collect();
        let blend = blend(&offers, self.fat).map_err(|error| self.refused(error))?;
        let unit = asking.member.settings.mass;
        let holes = [
            ("total", &*format::mass(blend.total, unit)),
            ("fat", &format::percent_with(blend.parts.fat, 1)),
        ];
        let mut reply = Reply::new("formulation blend", say("formulation.blend.headline", &holes));
        for (cut, share) in self.cuts.iter().zip(&blend.shares) {
            reply.figures.push(figures::meat("cut_mass", share.used, asking).of(cut.name.clone()).folded());
            let key = match (cut.mass, share.left_over.as_grams() > 0.0) {
                (None, _) if share.used.as_grams() > 0.0 => "formulation.blend.buy",
                (None, _) => "formulation.blend.buy_none",
                (Some(_), true) => "formulation.blend.left",
                (Some(_), false) => "formulation.blend.all",
            };
            let holes = [
                ("cut", &*cut.shown()),
                ("used", &format::mass(share.used, unit)),
                ("left", &format::mass(share.left_over, unit)),
                ("fat", &format::percent_with(cut.parts.fat, 1)),
            ];
            reply.lines.push(say(key, &holes));
        }
        self.whole(&mut reply, &blend, asking);
        Ok(Done::reply(reply))
    }

    fn whole(&self, reply: &mut Reply, blend: &Blend, asking: &Asking) {
        reply.figures.push(figures::meat("blend_total", blend.total, asking).folded());
        reply.figures.push(figures::percent("blend_fat", blend.parts.fat).folded());
        reply.figures.push(figures::percent("blend_water", blend.parts.water));
        reply.figures.push(figures::percent("blend_protein", blend.parts.protein));
        let estimated = self.cuts.iter().any(|cut| cut.cut.is_none());
        let key = if estimated { "formulation.blend.source_estimated" } else { "formulation.blend.source" };
        reply.lines.push(say(key, &[("source", &composition::table().source)]));
        for (cut, share) in self.cuts.iter().zip(&blend.shares) {
            let holes = [
                ("cut", &*cut.shown()),
                ("ndb", cut.cut.map_or("—", |cut| cut.ndb.as_str())),
                ("grams", &format::trimmed(share.used.as_grams(), 1)),
                ("fat", &format::trimmed(cut.parts.fat.as_percent(), 2)),
            ];
            reply.working.push(say("formulation.blend.formula", &holes));
        }
        let percent = blend.parts.fat.as_percent();
        if !(USUAL_LOW..=USUAL_HIGH).contains(&percent) {
            reply.note(Level::Notice, say("formulation.blend.unusual", &[]));
        }
    }

    fn refused(&self, error: BlendError) -> UserError {
        let fat = format::percent(self.fat);
        let sentence = match error {
            BlendError::Nothing => say("formulation.blend.nothing", &[]),
            BlendError::AllFatter { leanest } => {
                say("formulation.blend.all_fatter", &[("fat", &fat), ("least", &format::percent(leanest))])
            }
            BlendError::AllLeaner { fattest } => {
                say("formulation.blend.all_leaner", &[("fat", &fat), ("most", &format::percent(fattest))])
            }
        };
        UserError::new(Code::DoesNotFit, sentence, SPEC.examples[0])
    }
}

/// Fat of sausages that dry well, in percent: common practice, no source.
const USUAL_LOW: f64 = 20.0;
const USUAL_HIGH: f64 = 35.0;
