//! `/check mould`: what agencies and textbooks say of a mould by its colour and look. It proves nothing, and says so.

use crate::command::Args;
use crate::command::asking::{Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::observation::{advice, capitalised, fact_line, source_line};
use crate::curing::Level;
use crate::curing::observation::{Sign, facts, is_named, sign};
use crate::record::event::ObservationKind;
use crate::reply::{Reply, say};

/// `/check mould`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "mould",
    aliases: &["mold"],
    summary: "what is said of a mould by its colour and look; no look proves anything",
    options: &[
        maybe("colour", OptionKind::Text, "e.g. white, green, black; several if there are"),
        maybe("look", OptionKind::Text, "e.g. powdery, fuzzy, slimy, a few spots, inside"),
        maybe("product", OptionKind::Choice(&["sausage", "muscle"]), "what it grows on"),
    ],
    examples: ["check mould colour:green look:a few small spots", "check mould colour:white product:muscle"],
    private: false,
};

/// A mould as it looks.
#[derive(Debug, Clone)]
pub struct CheckMould {
    look: String,
    sign: &'static Sign,
    on_muscle: bool,
}

impl CheckMould {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let (colour, look) = (args.text("colour"), args.text("look"));
        if colour.is_none() && look.is_none() {
            return Err(args.missing("colour"));
        }
        if let Some(typed) = colour.filter(|colour| !is_named(ObservationKind::Mould, colour)) {
            let sentence = say("check.mould.unknown_colour", &[("typed", &shown(typed))]);
            return Err(args.error(Code::UnknownChoice, sentence));
        }
        let on_muscle = args.choice("product", |word| match word {
            "sausage" => Some(false),
            "muscle" => Some(true),
            _ => None,
        })?;
        let look = [colour, look].into_iter().flatten().collect::<Vec<_>>().join(", ");
        let sign = sign(ObservationKind::Mould, &look).ok_or_else(|| args.missing("colour"))?;
        Ok(Self { look, sign, on_muscle: on_muscle.unwrap_or(false) })
    }

    /// Carries it out.
    pub fn perform(&self) -> Outcome {
        let look = capitalised(&self.look);
        let headline = say(&format!("check.mould.{}", self.sign.id), &[("look", &look)]);
        let mut reply = Reply::new("check mould", headline);
        reply.figures.push(figures::word("sign", &self.sign.id).folded());
        reply.note(self.sign.level, advice(self.sign));
        reply.note(Level::Notice, say("check.mould.no_proof", &[]));
        reply.lines = self.sign.facts().map(fact_line).collect();
        if self.on_muscle {
            let on_ham = facts().iter().filter(|fact| fact.id == "ham_more");
            reply.lines.splice(0..0, on_ham.map(fact_line));
        }
        reply.working.push(source_line(self.sign));
        let places = self
            .sign
            .facts()
            .map(|fact| say("check.mould.where", &[("source", &fact.source), ("where", &fact.place)]));
        reply.working.extend(places);
        reply.next = Some(say("check.mould.next_log", &[("look", &self.look)]));
        reply.judges = true;
        Ok(Done::reply(reply))
    }
}
