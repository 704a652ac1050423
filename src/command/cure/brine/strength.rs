//! How strong a brine is: percent, salometer degrees, density; and the salt for a volume of it.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::cure::{amounts, refusal};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::line::shown;
use crate::command::why::Why;
use crate::curing::brine::{
    BrineError, Correction, Mixture, SCALE_TEMPERATURE, for_water, kilograms_per_litre, of_brine,
    true_degrees, what_it_shows,
};
use crate::curing::cure::{salometer_degrees, salt_for_strength, strength_at_degrees};
use crate::curing::finding::Level;
use crate::quantity::{Fraction, Mass, NumberReading, Temperature, Volume, format, parse};
use crate::reply::{Figure, Reply, say, unit};

/// A brine without meat.
#[derive(Debug, Clone)]
pub struct BrineStrength {
    strength: Fraction,
    read: Option<f64>,
    shows: f64,
    correction: Correction,
    temperature: Temperature,
    volume: Option<(Volume, String)>,
}

impl BrineStrength {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let temperature = args.read("temperature", parse::temperature)?.unwrap_or(SCALE_TEMPERATURE);
        let typed = shown(args.text("volume").unwrap_or_default());
        let volume = args.read("volume", parse::volume)?.map(|volume| (volume, typed));
        let refused = |error: BrineError| refused(args, error);
        let (strength, read, shows, correction) = match (args.percent("strength")?, salometer(args)?) {
            (Some(_), Some(_)) => {
                let sentence = say("cure.brine.strength_or_salometer", &[]);
                return Err(UserError::new(Code::DoesNotFit, sentence, args.line().without("strength")));
            }
            (Some(strength), None) => {
                let (shows, correction) = what_it_shows(strength, temperature).map_err(refused)?;
                (strength, None, shows, correction)
            }
            (None, read) => {
                let read = read.ok_or_else(|| args.missing("salometer"))?;
                let (degrees, correction) = true_degrees(read, temperature).map_err(refused)?;
                (strength_at_degrees(degrees), Some(read), read, correction)
            }
        };
        let brine = Self { strength, read, shows, correction, temperature, volume };
        brine.mixtures().map_err(refused)?;
        Ok(brine)
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let mixtures = self.mixtures().map_err(|error| {
            UserError::new(Code::OutOfRange, sentence(error), "cure brine salometer:60 volume:4 l")
        })?;
        let mut reply = Reply::new("cure brine", self.headline(mixtures, asking));
        reply.figures = self.figures(mixtures, asking);
        self.remarks(&mut reply, mixtures, asking);
        reply.working = self.working(mixtures);
        reply.next = Some(say("cure.brine.next_strength", &[]));
        Ok(Done::reply(reply))
    }

    /// Salt and water for the volume: added to that much water; and for that much finished brine, where a density is
    /// held.
    fn mixtures(&self) -> Result<Option<(Mixture, Option<Mixture>)>, BrineError> {
        let Some((volume, _)) = &self.volume else {
            return Ok(None);
        };
        let to_water = for_water(*volume, self.strength, self.temperature)?;
        match of_brine(*volume, self.strength, self.temperature) {
            Ok(finished) => Ok(Some((to_water, Some(finished)))),
            Err(BrineError::BeyondDensities) => Ok(Some((to_water, None))),
            Err(error) => Err(error),
        }
    }

    fn headline(&self, mixtures: Option<(Mixture, Option<Mixture>)>, asking: &Asking) -> String {
        let strength = self.is_strength(asking);
        let Some(((to_water, finished), (_, volume))) = mixtures.zip(self.volume.as_ref()) else {
            return format!("{strength}.");
        };
        let of = |mass| amounts::meat(mass, asking);
        let salt = of(to_water.salt);
        let first = say(
            "cure.brine.headline_to_water",
            &[("strength", &strength), ("salt", &salt), ("volume", volume)],
        );
        match finished {
            Some(made) => {
                let (salt, water) = (of(made.salt), of(made.water));
                let holes = [("salt", &*salt), ("water", &water), ("volume", volume)];
                format!("{first}{}.", say("cure.brine.headline_finished", &holes))
            }
            None => format!("{first}."),
        }
    }

    /// "60 salometer degrees are 15.84 % salt", with the temperature where it counts.
    fn is_strength(&self, asking: &Asking) -> String {
        let percent = format::percent(self.strength);
        let degrees = degrees(salometer_degrees(self.strength));
        let shows = self::degrees(self.shows);
        let temperature = format::temperature(self.temperature, asking.member.settings.temperature);
        let holes =
            [("percent", &*percent), ("degrees", &degrees), ("shows", &shows), ("temperature", &temperature)];
        let key = match (self.read.is_some(), self.correction) {
            (true, Correction::None) => "cure.brine.is_read",
            (true, _) => "cure.brine.is_read_at",
            (false, Correction::None) => "cure.brine.is_strength",
            (false, _) => "cure.brine.is_strength_at",
        };
        say(key, &holes)
    }

    fn figures(&self, mixtures: Option<(Mixture, Option<Mixture>)>, asking: &Asking) -> Vec<Figure> {
        let strength = Figure::number(
            "brine_strength",
            say("label.brine_strength", &[]),
            self.strength.as_percent(),
            unit::PERCENT,
            format::percent(self.strength),
        );
        let mut figures = vec![strength, on_scale("salometer_degrees", salometer_degrees(self.strength))];
        if self.correction != Correction::None {
            figures.push(on_scale("salometer_shown", self.shows));
        }
        if let Ok(density) = kilograms_per_litre(self.strength, self.temperature) {
            let shown = format!("{} kg/l", format::number(density, 3));
            let label = say("label.brine_density", &[]);
            figures.push(Figure::number("brine_density", label, density, unit::KILOGRAM_PER_LITRE, shown));
        }
        if let Some(salt) = salt_for_strength(Mass::grams(1000.0), self.strength) {
            figures.push(figures::meat("salt_to_kilogram_of_water", salt, asking));
        }
        if let Some((to_water, finished)) = mixtures {
            figures.push(figures::meat("salt_to_water", to_water.salt, asking));
            if let Some(made) = finished {
                figures.push(figures::meat("salt_in_brine", made.salt, asking));
                figures.push(figures::meat("water_in_brine", made.water, asking));
            }
        }
        figures
    }

    fn remarks(&self, reply: &mut Reply, mixtures: Option<(Mixture, Option<Mixture>)>, asking: &Asking) {
        if self.correction == Correction::ByDensity {
            let scale = asking.member.settings.temperature;
            let holes = [
                ("scale", &*format::temperature(SCALE_TEMPERATURE, scale)),
                ("source", &amounts::density_source()),
            ];
            reply.lines.push(say("cure.brine.by_density", &holes));
        }
        if mixtures.is_some_and(|(_, finished)| finished.is_none()) {
            reply.lines.push(sentence(BrineError::BeyondDensities));
        }
        if self.read.is_some() {
            reply.note(Level::Notice, say("cure.brine.look_at_the_stem", &[]));
        }
    }

    fn working(&self, mixtures: Option<(Mixture, Option<Mixture>)>) -> Vec<String> {
        let number = |value: f64, decimals| format::trimmed(value, decimals);
        let degrees = number(salometer_degrees(self.strength), 3);
        let percent = number(self.strength.as_percent(), 4);
        let mut lines = Vec::new();
        let (reading, fahrenheit) = (number(self.shows, 3), number(self.temperature.as_fahrenheit(), 1));
        let holes = [("reading", &*reading), ("fahrenheit", &fahrenheit), ("degrees", &degrees)];
        match self.correction {
            Correction::None => {}
            Correction::Published => lines.push(say("cure.brine.formula_warm", &holes)),
            Correction::ByDensity => lines.push(say("cure.brine.formula_cold", &holes)),
        }
        lines.push(say("cure.brine.formula_scale", &[("degrees", &degrees), ("percent", &percent)]));
        if let Some((to_water, finished)) = mixtures {
            let grams = |mass: Mass| format!("{} g", number(mass.as_grams(), 1));
            let holes = [
                ("percent", &*percent),
                ("water", &grams(to_water.water)),
                ("salt", &grams(to_water.salt)),
                ("source", &amounts::density_source()),
            ];
            lines.push(say("cure.brine.formula_water", &holes));
            if let Some(made) = finished {
                let holes = [
                    ("percent", &*percent),
                    ("brine", &grams(made.brine())),
                    ("salt", &grams(made.salt)),
                    ("source", &amounts::density_source()),
                ];
                lines.push(say("cure.brine.formula_finished", &holes));
            }
        }
        lines
    }
}

/// A reading of the scale: a number, with or without its word.
fn salometer(args: Args<'_>) -> Result<Option<f64>, UserError> {
    const WORDS: [&str; 6] = ["degrees", "degree", "deg", "°", "sal", "s"];
    let Some(text) = args.text("salometer") else {
        return Ok(None);
    };
    let mut bare = text.trim().to_lowercase();
    for word in WORDS {
        bare = bare.strip_suffix(word).unwrap_or(&bare).trim_end().to_owned();
    }
    if let Ok(NumberReading::Certain(degrees)) = parse::number(&bare) {
        return Ok(Some(degrees));
    }
    let sentence = say("cure.brine.no_reading", &[("typed", &shown(text))]);
    Err(UserError::new(Code::OutOfRange, sentence, args.line().with("salometer", "60")))
}

fn degrees(value: f64) -> String {
    format::trimmed(value, 1)
}

fn on_scale(id: &'static str, value: f64) -> Figure {
    let shown = say("cure.brine.degrees", &[("degrees", &degrees(value))]);
    Figure::number(id, say(&format!("label.{id}"), &[]), value, unit::SALOMETER_DEGREE, shown)
}

fn refused(args: Args<'_>, error: BrineError) -> UserError {
    let line = args.line();
    let example = match error {
        BrineError::Strength { .. } | BrineError::Degrees { .. } if args.text("salometer").is_some() => {
            line.with("salometer", "60")
        }
        BrineError::Strength { .. } | BrineError::Degrees { .. } => line.with("strength", "15.8%"),
        BrineError::Temperature { .. } => line.with("temperature", "4 C"),
        BrineError::BeyondDensities => line.without("temperature"),
        BrineError::Volume | BrineError::TooMuchSalt => line.with("volume", "4 l"),
    };
    UserError::new(Code::OutOfRange, sentence(error), example)
}

pub(in crate::command::cure) fn sentence(error: BrineError) -> String {
    say("cure.brine.refused", &[("why", &refusal::capital(&error.why()))])
}
