//! `/dry balance`: what a batter is made of after a loss of weight: moisture, protein, fat, salt in its water, the ratio,
//! and an estimate of its water activity.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::cut::{self, NamedCut};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::why::Why;
use crate::curing::Level;
use crate::curing::composition;
use crate::curing::moisture::{Balance, Dried, RATIO_HALF_WIDTH, Recipe};
use crate::curing::rulebook;
use crate::curing::water_activity::{LACTIC_ACID, Solutes, estimate};
use crate::quantity::{Fraction, Mass, WaterActivity, format, parse};
use crate::reply::finding::source;
use crate::reply::rows;
use crate::reply::{Figure, Reply, say, unit};

/// `/dry balance`
pub static SPEC: Spec = Spec {
    root: "dry",
    verb: "balance",
    aliases: &[],
    summary: "what a mix is made of after a loss, its ratio, and an estimate of its water activity",
    options: &[
        needed("cut", OptionKind::Text, "weight and cut, e.g. 800 g pork shoulder blade").several(),
        needed("salt", OptionKind::Mass, "the cure's own counted in, e.g. 28 g"),
        maybe("sugar", OptionKind::Mass, "e.g. 3 g"),
        maybe("water", OptionKind::Mass, "water or ice added, and 87 % of wine"),
        maybe("other", OptionKind::Mass, "everything else, dry"),
        needed("loss", OptionKind::Percent, "of the green weight, e.g. 35%"),
        maybe("aw", OptionKind::Text, "measured: it stands before any estimate"),
        maybe("fermented", OptionKind::Choice(&["yes", "no"]), "yes when not said"),
    ],
    examples: [
        "dry balance cut:800 g shoulder blade cut:200 g back fat salt:28 g other:12 g loss:35%",
        "dry balance cut:1 kg beef eye of round salt:30 g loss:38% fermented:no",
    ],
    private: false,
};

/// The ratios of labelling standards that are shown beside.
const RATIOS: [&str; 2] = ["ratio.dry_sausage", "ratio.semi_dry_sausage"];
/// A mix and its loss.
#[derive(Debug, Clone)]
pub struct DryBalance {
    cuts: Vec<NamedCut>,
    green: Balance,
    dried: Dried,
    measured: Option<WaterActivity>,
    fermented: bool,
}

impl DryBalance {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let cuts = cut::read_all(args, "cut")?;
        let weighed = |cut: &NamedCut| {
            let missing =
                || args.error(Code::MissingOption, say("dry.balance.no_weight", &[("cut", &cut.shown())]));
            cut.mass.map(|mass| (mass, cut.parts)).ok_or_else(missing)
        };
        let recipe = Recipe {
            meats: cuts.iter().map(weighed).collect::<Result<Vec<(Mass, _)>, _>>()?,
            salt: Some(args.read_needed("salt", parse::mass)?),
            sugar: args.read("sugar", parse::mass)?,
            added_water: args.read("water", parse::mass)?,
            other_dry: args.read("other", parse::mass)?,
        };
        let refused = |error: crate::curing::moisture::BalanceError| {
            args.error(Code::OutOfRange, say("dry.balance.refused", &[("why", &error.why())]))
        };
        let green = recipe.balance().map_err(refused)?;
        let loss = args.percent("loss")?.ok_or_else(|| args.missing("loss"))?;
        let dried = green.after(loss).map_err(refused)?;
        let yes = |word: &str| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        };
        Ok(Self {
            cuts,
            green,
            dried,
            measured: args.read("aw", parse::water_activity)?,
            fermented: args.choice("fermented", yes)?.unwrap_or(true),
        })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let left = &self.dried.balance;
        let moisture = left.part(left.water_g);
        let holes = [
            ("loss", &*format::percent(self.dried.loss)),
            ("left", &format::mass(Mass::grams(left.total_g), asking.member.settings.mass)),
            ("moisture", &format::percent_with(moisture, 1)),
        ];
        let mut reply = Reply::new("dry balance", say("dry.balance.headline", &holes));
        reply.figures.push(figures::percent("moisture", moisture));
        reply.figures.push(figures::percent("protein", left.part(left.protein_g)));
        reply.figures.push(figures::percent("fat", left.part(left.fat_g)));
        reply.figures.push(figures::percent("salt", left.part(left.salt_g)));
        reply.figures.extend(left.salt_in_water().map(|part| figures::percent("water_phase_salt", part)));
        self.ratio(&mut reply);
        self.activity(&mut reply);
        let estimated = self.cuts.iter().any(|cut| cut.cut.is_none());
        let key = if estimated { "formulation.blend.source_estimated" } else { "formulation.blend.source" };
        reply.lines.push(say(key, &[("source", &composition::table().source)]));
        reply.note(Level::Notice, say("dry.balance.meaning", &[]));
        reply.working = self.working();
        Ok(Done::reply(reply))
    }

    fn ratio(&self, reply: &mut Reply) {
        let left = &self.dried.balance;
        let Some(ratio) = left.moisture_to_protein() else { return };
        let shown = say("dry.balance.estimate", &[("value", &format::number(ratio, 1))]);
        let figure = Figure { shown, ..figures::number("moisture_to_protein", ratio, 2) };
        reply.figures.push(figure.between(ratio - RATIO_HALF_WIDTH, ratio + RATIO_HALF_WIDTH));
        for row in RATIOS.into_iter().filter_map(rulebook::by_id) {
            if let Some(loss) = row.value.and_then(|ratio| self.green.loss_for_ratio(ratio)) {
                let holes = [
                    ("ratio", &*row.printed),
                    ("loss", &format::percent_with(loss, 1)),
                    ("scope", &rows::scope(row)),
                    ("source", &source(row)),
                ];
                reply.lines.push(say("dry.balance.loss_for_ratio", &holes));
            }
        }
    }

    /// A measured value stands before an estimate; without either it says why.
    fn activity(&self, reply: &mut Reply) {
        if let Some(measured) = self.measured {
            let figure = figures::number("water_activity", measured.value(), 3);
            let shown = say("dry.balance.measured", &[("value", &format::water_activity(measured))]);
            reply.figures.push(Figure { shown, ..figure });
            return;
        }
        let lactic_acid = if self.fermented { LACTIC_ACID } else { Fraction::of_one(0.0) };
        let solutes = Solutes {
            salt: self.green.part(self.green.salt_g),
            lean: self.green.part(self.green.lean_g),
            sugar: self.green.part(self.green.sugar_g),
            lactic_acid,
        };
        match estimate(&solutes, self.green.part(self.dried.balance.water_g), self.dried.loss) {
            Ok(found) => {
                let two = |activity: WaterActivity| format::number(activity.value(), 2);
                let holes =
                    [("value", &*two(found.activity)), ("low", &two(found.low)), ("high", &two(found.high))];
                let figure = Figure {
                    shown: say("dry.balance.activity", &holes),
                    ..Figure::number(
                        "water_activity_estimated",
                        say("label.water_activity_estimated", &[]),
                        found.activity.value(),
                        unit::ONE,
                        String::new(),
                    )
                };
                reply.figures.push(figure.between(found.low.value(), found.high.value()));
                reply.lines.push(say("dry.balance.never_a_rule", &[]));
            }
            Err(error) => {
                reply.lines.push(say("dry.balance.no_activity", &[("why", &error.why())]));
            }
        }
    }

    fn working(&self) -> Vec<String> {
        let grams = |grams: f64| format::trimmed(grams, 1);
        let (green, left) = (&self.green, &self.dried.balance);
        let holes = [
            ("total", &*grams(green.total_g)),
            ("water", &grams(green.water_g)),
            ("protein", &grams(green.protein_g)),
            ("fat", &grams(green.fat_g)),
            ("loss", &format::percent(self.dried.loss)),
            ("left", &grams(left.water_g)),
            ("total_left", &grams(left.total_g)),
        ];
        vec![say("dry.balance.formula_green", &holes), say("dry.balance.formula_left", &holes)]
    }
}
