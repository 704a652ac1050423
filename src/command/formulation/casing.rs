//! `/formulation casing`: metres and pieces of casing for a mix, and back.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::curing::formulation::casing::{
    ALLOWANCE, DENSITY_KG_PER_L, Kind, grams_per_metre, kind, mass_in, metres_for, pieces,
};
use crate::quantity::{Fraction, Length, LengthUnit, Mass, NumberReading, QuantityError, format, parse};
use crate::reply::{Reply, say, unit};

/// `/formulation casing`
pub static SPEC: Spec = Spec {
    root: "formulation",
    verb: "casing",
    aliases: &[],
    summary: "metres and pieces of casing for a mix, or the mix for a casing",
    options: &[
        maybe("mass", OptionKind::Mass, "of the mix, e.g. 2.4 kg"),
        maybe("length", OptionKind::Length, "of the casing, to have the mix it holds, e.g. 3 m"),
        needed("diameter", OptionKind::Length, "as stuffed, e.g. 50 mm"),
        maybe("piece", OptionKind::Length, "length of a piece, e.g. 35 cm"),
        maybe("kind", OptionKind::Choice(KINDS), "of casing, for its diameters and its soaking"),
        maybe("density", OptionKind::Text, "of the mix in kg/L; 1.05 when not said"),
        maybe("allowance", OptionKind::Percent, "for ends and bursts; 15 % when not said"),
    ],
    examples: [
        "formulation casing mass:2.4 kg diameter:50 mm piece:35 cm",
        "formulation casing length:3 m diameter:50 mm",
    ],
    private: false,
};

const KINDS: &[&str] = &[
    "sheep",
    "hog",
    "hog-middle",
    "beef-round",
    "beef-middle",
    "hog-bung",
    "beef-bung",
    "collagen",
    "fibrous-lined",
    "fibrous-plain",
    "cellulose",
    "plastic",
];

/// Densities a mix of meat can have, in kg/L.
const DENSITIES: std::ops::RangeInclusive<f64> = 0.8..=1.3;
/// Diameters of casings, in millimetres.
const DIAMETERS: std::ops::RangeInclusive<f64> = 10.0..=200.0;

/// A mix or a casing.
#[derive(Debug, Clone, Copy)]
pub struct FormulationCasing {
    what: What,
    diameter: Length,
    piece: Option<Length>,
    density_kg_per_l: f64,
    allowance: Fraction,
    kind: Option<&'static Kind>,
}

#[derive(Debug, Clone, Copy)]
enum What {
    Mix(Mass),
    Casing(Length),
}

impl FormulationCasing {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let what = match (args.mass("mass")?, args.read("length", long_length)?) {
            (Some(mass), None) => What::Mix(mass),
            (None, Some(length)) if length.as_millimetres() > 0.0 => What::Casing(length),
            (None, Some(_)) => {
                return Err(args.error(Code::OutOfRange, say("formulation.casing.no_length", &[])));
            }
            (None, None) => return Err(args.missing("mass")),
            (Some(_), Some(_)) => {
                return Err(args.error(Code::OutOfRange, say("formulation.casing.both", &[])));
            }
        };
        let diameter = args.length("diameter")?.ok_or_else(|| args.missing("diameter"))?;
        if !DIAMETERS.contains(&diameter.as_millimetres()) {
            return Err(args.error(Code::OutOfRange, say("formulation.casing.diameter", &[])));
        }
        let piece = args.length("piece")?;
        if piece.is_some_and(|piece| piece.as_millimetres() <= 0.0) {
            return Err(args.error(Code::OutOfRange, say("formulation.casing.no_length", &[])));
        }
        Ok(Self {
            what,
            diameter,
            piece,
            density_kg_per_l: density(args)?,
            allowance: args.percent("allowance")?.unwrap_or(ALLOWANCE),
            kind: args.choice("kind", kind)?,
        })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let each = grams_per_metre(self.diameter, self.density_kg_per_l);
        let mut reply = match self.what {
            What::Mix(mix) => {
                let metres = metres_for(mix, self.diameter, self.density_kg_per_l, self.allowance);
                let (_, shown) = format::ceil_to_step(metres, 0.1);
                let holes = [
                    ("metres", &*format::number(shown, 1)),
                    ("diameter", &format::length(self.diameter, LengthUnit::Millimetre)),
                    ("mass", &format::mass(mix, asking.member.settings.mass)),
                ];
                let mut reply = Reply::new("formulation casing", say("formulation.casing.headline", &holes));
                reply.figures.push(figures::with_unit("casing_length", metres, 2, unit::METRE).folded());
                reply
            }
            What::Casing(length) => {
                let mix = mass_in(length, self.diameter, self.density_kg_per_l, self.allowance);
                let holes = [
                    ("length", &*format::length(length, LengthUnit::Centimetre)),
                    ("diameter", &format::length(self.diameter, LengthUnit::Millimetre)),
                    ("mass", &format::mass_rounded_down(mix, asking.member.settings.mass)),
                ];
                let mut reply =
                    Reply::new("formulation casing", say("formulation.casing.headline_mass", &holes));
                reply.figures.push(figures::target("casing_holds", mix, asking).folded());
                reply
            }
        };
        reply.figures.push(figures::with_unit("mass_per_metre", each, 0, unit::GRAM));
        self.pieces(&mut reply, asking);
        let holes = [
            ("allowance", &*format::percent(self.allowance)),
            ("density", &format::trimmed(self.density_kg_per_l, 3)),
        ];
        reply.lines.push(say("formulation.casing.assumed", &holes));
        self.remarks(&mut reply);
        reply.working.push(self.formula(each));
        Ok(Done::reply(reply))
    }

    fn pieces(&self, reply: &mut Reply, asking: &Asking) {
        let (Some(piece), What::Mix(mix)) = (self.piece, self.what) else { return };
        let (count, left) = pieces(mix, piece, self.diameter, self.density_kg_per_l);
        let each = piece.as_millimetres() / 1000.0 * grams_per_metre(self.diameter, self.density_kg_per_l);
        let mass_unit = asking.member.settings.mass;
        let holes = [
            ("count", &*count.to_string()),
            ("piece", &format::length(piece, LengthUnit::Centimetre)),
            ("each", &format::mass(Mass::grams(each), mass_unit)),
            ("left", &format::mass(left, mass_unit)),
        ];
        reply.lines.push(say("formulation.casing.pieces", &holes));
        #[expect(clippy::cast_precision_loss, reason = "a count of sausages")]
        reply.figures.push(figures::number("pieces", count as f64, 0).folded());
    }

    /// What is known of the kind: from memory, and said as such.
    fn remarks(&self, reply: &mut Reply) {
        let Some(kind) = self.kind else { return };
        let millimetres = |value: f64| format::trimmed(value, 0);
        let holes = [
            ("kind", &*kind.name),
            ("low", &millimetres(kind.low_mm)),
            ("high", &millimetres(kind.high_mm)),
            ("soak", &say(&format!("formulation.casing.soak.{}", kind.soak), &[])),
        ];
        reply.lines.push(say("formulation.casing.kind", &holes));
        if kind.not_for_drying {
            reply.note(Level::Caution, say("formulation.casing.not_for_drying", &holes));
        } else if !(kind.low_mm..=kind.high_mm).contains(&self.diameter.as_millimetres()) {
            reply.note(Level::Notice, say("formulation.casing.other_diameter", &holes));
        }
    }

    fn formula(&self, each: f64) -> String {
        let holes = [
            ("diameter", &*format::trimmed(self.diameter.as_millimetres(), 2)),
            ("density", &format::trimmed(self.density_kg_per_l, 3)),
            ("each", &format::trimmed(each, 1)),
        ];
        say("formulation.casing.formula", &holes)
    }
}

/// A length of casing: metres too, in which nothing else here is measured.
fn long_length(text: &str) -> Result<Length, QuantityError> {
    let lower = text.trim().to_ascii_lowercase();
    let metres = ["metres", "meters", "metre", "meter", "m"].iter().find_map(|unit| lower.strip_suffix(unit));
    let Some(Ok(number)) = metres.map(parse::number) else { return parse::length(text) };
    let (NumberReading::Certain(number) | NumberReading::Either { decimal: number, .. }) = number;
    let length = Length::millimetres(number * 1000.0);
    if LONGEST_METRES.contains(&number) { Ok(length) } else { parse::length("9999 cm") }
}

/// Lengths of casing, in metres.
const LONGEST_METRES: std::ops::RangeInclusive<f64> = 0.0..=1000.0;

fn density(args: Args<'_>) -> Result<f64, UserError> {
    let Some(text) = args.text("density") else { return Ok(DENSITY_KG_PER_L) };
    let bare = text.trim_end_matches("kg/L").trim_end_matches("kg/l").trim();
    let refused = || args.error(Code::OutOfRange, say("formulation.casing.density", &[]));
    match parse::number(bare) {
        Ok(NumberReading::Certain(number) | NumberReading::Either { decimal: number, .. })
            if DENSITIES.contains(&number) =>
        {
            Ok(number)
        }
        _ => Err(refused()),
    }
}
