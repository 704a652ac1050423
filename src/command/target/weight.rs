//! `/target weight`: from the green weight, the tare and the loss to the target and what the scale will show; and
//! back, from what the scale shows to the loss.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::why::Why;
use crate::curing::Level;
use crate::curing::drying::target::{Green, Target, TargetError};
use crate::quantity::{Fraction, Mass, format, parse};
use crate::reply::{Figure, Reply, say, unit};

/// `/target weight`
pub static SPEC: Spec = Spec {
    root: "target",
    verb: "weight",
    aliases: &[],
    summary: "the weight to dry to and what the scale will show; or the loss at a weight",
    options: &[
        needed("green", OptionKind::Mass, "net weight when it was hung, e.g. 1012 g"),
        maybe("loss", OptionKind::Percent, "loss to dry to, e.g. 38%"),
        maybe("weight", OptionKind::Mass, "what the scale shows, to have the loss"),
        maybe("tare", OptionKind::Mass, "casing, string, net and hook, e.g. 30 g"),
        maybe("now", OptionKind::Mass, "what the scale shows today, to see what is left"),
    ],
    examples: [
        "target weight green:1012 g loss:38% tare:30 g",
        "target weight green:1012 g weight:694 g tare:30 g",
    ],
    private: false,
};

/// What is asked of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Wanted {
    /// The target, and with a weight how far it is.
    Target(Fraction, Option<Mass>),
    /// The loss at a weight on the scale.
    Loss(Mass),
}

/// A piece and what is asked of it.
#[derive(Debug, Clone, Copy)]
pub struct TargetWeight {
    green: Green,
    wanted: Wanted,
}

impl TargetWeight {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let tare = args.read("tare", parse::mass)?.unwrap_or(Mass::grams(0.0));
        let green =
            Green::from_net(args.mass_needed("green")?, tare).map_err(|error| refused(args, &error))?;
        let wanted = match (args.percent("loss")?, args.mass("weight")?, args.mass("now")?) {
            (Some(loss), None, now) => Wanted::Target(loss, now),
            (None, Some(weight), None) | (None, None, Some(weight)) => Wanted::Loss(weight),
            (None, None, None) => return Err(args.missing("loss")),
            _ => return Err(args.error(Code::OutOfRange, say("target.weight.both", &[]))),
        };
        Ok(Self { green, wanted }).and_then(|request: Self| {
            request.answer(args.asking).map_err(|error| refused(args, &error))?;
            Ok(request)
        })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let reply = self
            .answer(asking)
            .map_err(|error| UserError::new(Code::OutOfRange, sentence(&error), SPEC.examples[0]))?;
        Ok(Done::reply(reply))
    }

    fn answer(&self, asking: &Asking) -> Result<Reply, TargetError> {
        let mut reply = match self.wanted {
            Wanted::Target(loss, now) => self.target(self.green.target(loss)?, now, asking)?,
            Wanted::Loss(on_scale) => self.loss(on_scale, asking)?,
        };
        if self.green.is_small() {
            reply.note(Level::Notice, say("target.weight.small", &[]));
        }
        Ok(reply)
    }

    fn target(&self, target: Target, now: Option<Mass>, asking: &Asking) -> Result<Reply, TargetError> {
        let (net, on_scale) = (target.net(), target.on_scale());
        let aim = format::percent(target.loss());
        let holes =
            [("target", &*to_dry_to(net, asking)), ("scale", &to_dry_to(on_scale, asking)), ("loss", &aim)];
        let tare = self.green.tare();
        let has_tare = tare > Mass::grams(0.0);
        let key = if has_tare { "target.weight.headline_tare" } else { "target.weight.headline" };
        let mut reply = Reply::new("target weight", say(key, &holes));
        reply.figures.push(figures::target("target_weight", net, asking));
        reply.figures.push(figures::target("target_on_scale", on_scale, asking));
        let holes = [("green", &*grams(self.green.net())), ("loss", &aim), ("target", &grams(net))];
        reply.working.push(say("target.weight.formula", &holes));
        let holes = [("target", &*grams(net)), ("tare", &grams(tare)), ("scale", &grams(on_scale))];
        reply.working.push(say("target.weight.formula_scale", &holes));
        if let Some(now) = now {
            self.progress(&mut reply, target, now, asking)?;
        }
        Ok(reply)
    }

    /// How far the piece is, said before the target itself.
    fn progress(
        &self,
        reply: &mut Reply,
        target: Target,
        now: Mass,
        asking: &Asking,
    ) -> Result<(), TargetError> {
        let lost = self.green.loss_back(now)?;
        let left = target.left_to_lose(now)?;
        reply.figures.push(loss_figure(lost));
        reply.figures.push(figures::meat("left_to_lose", left, asking));
        reply.working.push(self.loss_formula(now, lost));
        let aim = format::percent(target.loss());
        let holes = [("lost", &*format::percent(lost)), ("left", &shown(left, asking)), ("loss", &aim)];
        let key = if target.is_reached_at(lost) { "target.weight.reached" } else { "target.weight.left" };
        reply.headline = format!("{} {}", say(key, &holes), reply.headline);
        Ok(())
    }

    fn loss(&self, on_scale: Mass, asking: &Asking) -> Result<Reply, TargetError> {
        let lost = self.green.loss_back(on_scale)?;
        let net = self.green.net_at(on_scale)?;
        let holes = [
            ("lost", &*format::percent(lost)),
            ("net", &shown(net, asking)),
            ("green", &shown(self.green.net(), asking)),
        ];
        let mut reply = Reply::new("target weight", say("target.weight.headline_loss", &holes));
        reply.figures.push(loss_figure(lost));
        reply.working.push(self.loss_formula(on_scale, lost));
        Ok(reply)
    }

    fn loss_formula(&self, on_scale: Mass, lost: Fraction) -> String {
        let holes = [
            ("scale", &*grams(on_scale)),
            ("tare", &grams(self.green.tare())),
            ("green", &grams(self.green.net())),
            ("lost", &format::percent(lost)),
        ];
        say("target.weight.formula_loss", &holes)
    }
}

fn refused(args: Args<'_>, error: &TargetError) -> UserError {
    args.error(Code::OutOfRange, sentence(error))
}

fn sentence(error: &TargetError) -> String {
    say("target.weight.refused", &[("why", &error.why())])
}

fn shown(mass: Mass, asking: &Asking) -> String {
    format::mass(mass, asking.member.settings.mass)
}

fn to_dry_to(mass: Mass, asking: &Asking) -> String {
    format::mass_rounded_down(mass, asking.member.settings.mass)
}

fn grams(mass: Mass) -> String {
    format!("{} g", format::trimmed(mass.as_grams(), 2))
}

/// The part lost so far.
fn loss_figure(lost: Fraction) -> Figure {
    let id = "loss";
    let label = say(&format!("label.{id}"), &[]);
    Figure::number(id, label, lost.as_percent(), unit::PERCENT, format::percent(lost))
}
