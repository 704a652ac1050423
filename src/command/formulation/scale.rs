//! `/formulation scale`: a recipe's parts scaled to the meat that is there, with the salt, sugar and water in them.

use super::item::{self, ITEM, Item, PRODUCT};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::UserError;
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::curing::finding::Finding;
use crate::curing::formulation::advice;
use crate::curing::formulation::allergen;
use crate::curing::formulation::ingredient::{Brought, brought_by, is_brine_of_unknown_strength, is_cure};
use crate::curing::{Level, rulebook};
use crate::quantity::{Fraction, Mass, format};
use crate::reply::finding::standing_shown;
use crate::reply::{Reply, say};

/// `/formulation scale`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "scale",
    aliases: &[],
    summary: "a recipe's parts in grams for the meat that is there",
    options: &[needed("meat", OptionKind::Mass, "that is there, e.g. 2.35 kg"), ITEM, PRODUCT],
    examples: [
        "formulation scale meat:2.35 kg item:2.5% salt item:3 g/kg pepper item:0.3% dextrose",
        "formulation scale meat:5 lb item:0.4 oz/lb salt item:2% red wine",
    ],
    private: false,
};

/// More salt than this tastes of nothing else, in percent of the meat: common practice, no source.
const SALTY_PERCENT: f64 = 4.0;
/// A recipe and meat.
#[derive(Debug, Clone)]
pub struct FormulationScale {
    pub(super) meat: Mass,
    pub(super) items: Vec<Item>,
    pub(super) product: &'static str,
    /// Allergens known beside those that the names give away.
    pub(super) allergens: Vec<String>,
}

impl FormulationScale {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let meat = args.mass_needed("meat")?;
        let items = item::read(args)?.into_iter().map(|(_, item)| item).collect();
        Ok(Self { meat, items, product: item::product(args)?, allergens: Vec::new() })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let holes = [("meat", &*format::mass(self.meat, asking.member.settings.mass))];
        let reply = Reply::new("formulation scale", say("formulation.scale.headline", &holes));
        Ok(Done::reply(self.fill(reply, asking)))
    }

    /// What goes in, what hides in it, and what is to be said of it.
    pub(super) fn fill(&self, mut reply: Reply, asking: &Asking) -> Reply {
        let settings = &asking.member.settings;
        for item in &self.items {
            let mass = item.amount.of(self.meat);
            let figure = figures::cure("ingredient_mass", mass, settings.scale_step).of(item.name.clone());
            let holes = [("mass", &*figure.shown), ("name", &item.name), ("part", &item.part_shown())];
            reply.lines.push(say("formulation.scale.line", &holes));
            reply.figures.push(figure.folded());
            let holes = [
                ("name", &*item.name),
                ("part", &item.part_shown()),
                ("meat", &format::trimmed(self.meat.as_grams(), 1)),
                ("mass", &format::trimmed(mass.as_grams(), 3)),
            ];
            reply.working.push(say("formulation.scale.formula", &holes));
        }
        self.hidden(&mut reply);
        self.remarks(&mut reply);
        reply
    }

    /// What the ingredients bring of one thing, as a part of the meat.
    fn brought(&self, part: fn(&Brought) -> f64) -> Fraction {
        let grams: f64 = self
            .items
            .iter()
            .map(|item| item.amount.of(self.meat).as_grams() * part(&brought_by(&item.name)) / 100.0)
            .sum();
        Fraction::of_one(grams / self.meat.as_grams())
    }

    fn hidden(&self, reply: &mut Reply) {
        let salt = self.brought(|brought| brought.salt);
        let (sugar, water) = (self.brought(|brought| brought.sugar), self.brought(|brought| brought.water));
        reply.figures.push(figures::percent("salt_in_meat", salt));
        for (id, part) in [("sugar_in_meat", sugar), ("water_added", water)] {
            if part.as_one() > 0.0 {
                reply.figures.push(figures::percent(id, part));
            }
        }
        let row = rulebook::by_id(if self.product == "sausage" {
            "trade.salt.sausage"
        } else {
            "trade.salt.muscle"
        });
        if let Some(row) = row.filter(|_| salt.as_one() > 0.0) {
            reply.findings.push(Finding::judge(row, salt.as_percent()));
            reply.judges = true;
        }
        if salt.as_percent() > SALTY_PERCENT {
            reply.note(Level::Notice, say("formulation.scale.salty", &[]));
        }
    }

    fn remarks(&self, reply: &mut Reply) {
        let names = self.items.iter().map(|item| item.name.as_str());
        let found = allergen::with_known(names, &self.allergens);
        let key = match (found.is_empty(), self.allergens.is_empty()) {
            (true, _) => "formulation.scale.no_allergens",
            (false, true) => "formulation.scale.allergens",
            (false, false) => "formulation.scale.allergens_recorded",
        };
        reply.lines.push(say(key, &[("allergens", &found.join(", "))]));
        if self.items.iter().any(|item| is_brine_of_unknown_strength(&item.name)) {
            reply.note(Level::Caution, say("formulation.scale.brine", &[]));
        }
        if self.items.iter().any(|item| is_cure(&item.name)) {
            reply.note(Level::Caution, say("formulation.scale.cure", &[]));
        }
        for advice in advice::advice(self.items.iter().map(|item| item.name.as_str())) {
            let text = say(&format!("formulation.advice.{}", advice.id), &[]);
            let standing = standing_shown(advice.standing);
            let said = say("formulation.advice.said", &[("text", &text), ("standing", &standing)]);
            reply.note(advice.level, said);
        }
    }
}
