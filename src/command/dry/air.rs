//! `/dry air`: what an air holds, when it sweats, and how it pulls on a piece.

use super::of_chamber::Read;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::why::Why;
use crate::curing::air::{self, Air, AirError, Condition, STANDARD_PRESSURE_PA};
use crate::curing::rulebook;
use crate::curing::{Level, Limit};
use crate::quantity::{Pressure, Temperature, WaterActivity, format, parse};
use crate::reply::finding::source;
use crate::reply::rows;
use crate::reply::{Figure, Reply, say, unit};

/// `/dry air`
pub static SPEC: Spec = Spec {
    root: "dry",
    verb: "air",
    aliases: &[],
    summary: "what an air holds, its dew point, and how it pulls on a piece",
    options: &[
        maybe("temperature", OptionKind::Text, "of the room, e.g. 13 C"),
        maybe("humidity", OptionKind::Percent, "of the room, e.g. 80%"),
        maybe("chamber", OptionKind::Text, "in their place: the last readings of this chamber"),
        maybe("aw", OptionKind::Text, "water activity of the piece, e.g. 0.95"),
        maybe("piece", OptionKind::Text, "temperature of the piece, e.g. 4 C; the room's when not said"),
        maybe("pressure", OptionKind::Text, "of the air, e.g. 950 hPa; 1013.25 hPa when not said"),
    ],
    examples: [
        "dry air temperature:13 C humidity:80%",
        "dry air temperature:13 C humidity:80% aw:0.95 piece:4 C",
    ],
    private: false,
};

/// Where the air is from.
#[derive(Debug, Clone)]
enum From {
    Said(Air),
    Chamber(String),
}

/// An air to look at, and a piece in it.
#[derive(Debug, Clone)]
pub struct DryAir {
    from: From,
    activity: Option<WaterActivity>,
    piece: Option<Temperature>,
    pressure: Pressure,
}

/// An air that is known, and a piece in it.
#[derive(Debug, Clone, Copy)]
struct Room {
    air: Air,
    activity: Option<WaterActivity>,
    piece: Option<Temperature>,
    pressure: Pressure,
    humidity_ratio_g_per_kg: f64,
}

impl DryAir {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let temperature = args.read("temperature", parse::temperature)?;
        let humidity = args.read("humidity", parse::relative_humidity)?;
        let pressure =
            args.read("pressure", parse::pressure)?.unwrap_or(Pressure::pascals(STANDARD_PRESSURE_PA));
        let piece = args.read("piece", parse::temperature)?;
        let activity = args.read("aw", parse::water_activity)?;
        let from = match (args.text("chamber"), temperature, humidity) {
            (Some(chamber), None, None) => From::Chamber(chamber.to_owned()),
            (Some(_), ..) => return Err(args.error(Code::UnknownOption, say("dry.air.chamber_or_said", &[]))),
            (None, None, _) => return Err(args.missing("temperature")),
            (None, _, None) => return Err(args.missing("humidity")),
            (None, Some(temperature), Some(humidity)) => {
                From::Said(Air::new(temperature, humidity).map_err(|error| refused(error, args.example()))?)
            }
        };
        let read = Self { from, activity, piece, pressure };
        if let From::Said(air) = &read.from {
            read.room(*air).map_err(|error| refused(error, args.example()))?;
        }
        Ok(read)
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let known = |air| self.room(air).map_err(|error| refused(error, SPEC.examples[0]));
        let reply = match &self.from {
            From::Said(air) => known(*air)?.reply(asking),
            From::Chamber(name) => {
                let read = Read::of(services, asking, name).await?;
                let mut reply = known(read.air)?.reply(asking);
                read.tell(&mut reply);
                reply
            }
        };
        Ok(Done::reply(reply))
    }

    fn room(&self, air: Air) -> Result<Room, AirError> {
        // The same formulas hold at the surface of a piece.
        if let Some(piece) = self.piece {
            Air::new(piece, air.humidity())?;
        }
        let humidity_ratio_g_per_kg = air.humidity_ratio_g_per_kg(self.pressure)?;
        let Self { activity, piece, pressure, .. } = *self;
        Ok(Room { air, activity, piece, pressure, humidity_ratio_g_per_kg })
    }
}

fn refused(error: AirError, example: &str) -> UserError {
    UserError::new(Code::OutOfRange, say("dry.air.refused", &[("why", &error.why())]), example)
}

impl Room {
    fn reply(&self, asking: &Asking) -> Reply {
        let scale = asking.member.settings.temperature;
        let dew_point = self.air.dew_point();
        let holes = [
            ("temperature", &*format::temperature(self.air.temperature(), scale)),
            ("humidity", &format::relative_humidity(self.air.humidity())),
            ("dew", &format::temperature(dew_point, scale)),
            ("drive", &self.activity.map_or_else(String::new, |activity| pascals(self.drive(activity)))),
        ];
        let key = match self.activity.map(|activity| self.drive(activity).as_pascals()) {
            None => "dry.air.headline",
            Some(drive) if drive > 0.0 => "dry.air.headline_dries",
            Some(_) => "dry.air.headline_wets",
        };
        let mut reply = Reply::new("dry air", say(key, &holes));
        reply.figures = self.figures(asking);
        self.conditions(&mut reply, asking);
        reply.lines = self.advice();
        reply.working = self.working();
        reply.judges = !reply.notes.is_empty();
        reply
    }

    fn figures(&self, asking: &Asking) -> Vec<Figure> {
        let frost = self.air.dew_point().as_celsius() <= 0.0;
        let mut dew_point = figures::temperature("dew_point", self.air.dew_point(), asking);
        if frost {
            dew_point.shown = say("dry.air.frost", &[("dew", &dew_point.shown)]);
        }
        let mut found = vec![
            dew_point,
            figures::pressure("vapour_pressure_deficit", self.air.deficit()),
            figures::pressure("vapour_pressure", self.air.vapour_pressure()).folded(),
            figures::pressure("saturation_pressure", self.air.saturation()).folded(),
            figures::with_unit(
                "absolute_humidity",
                self.air.absolute_humidity_g_per_m3(),
                2,
                unit::GRAM_PER_CUBIC_METRE,
            ),
            figures::with_unit("humidity_ratio", self.humidity_ratio_g_per_kg, 2, unit::GRAM_PER_KG).folded(),
        ];
        if let Some(activity) = self.activity {
            found.insert(0, figures::pressure("drying_drive", self.drive(activity)));
        }
        found
    }

    fn drive(&self, activity: WaterActivity) -> Pressure {
        self.air.drive(self.piece.unwrap_or(self.air.temperature()), activity)
    }

    fn conditions(&self, reply: &mut Reply, asking: &Asking) {
        let scale = asking.member.settings.temperature;
        for condition in air::conditions(self.air, self.piece, self.activity) {
            match condition {
                Condition::Sweats { dew_point } => {
                    let piece = self.piece.unwrap_or(self.air.temperature());
                    let holes = [
                        ("piece", &*format::temperature(piece, scale)),
                        ("dew", &format::temperature(dew_point, scale)),
                    ];
                    reply.note(Level::Caution, say("dry.air.sweats", &holes));
                }
                Condition::NoDrying => reply.note(Level::Warning, say("dry.air.no_drying", &[])),
                Condition::Dry { points } => {
                    let holes = [("points", &*format::trimmed(points, 1))];
                    reply.note(Level::Notice, say("dry.air.far_drier", &holes));
                }
            }
        }
    }

    /// What textbooks set, said as such: for the piece where its water activity is known, else by stage.
    fn advice(&self) -> Vec<String> {
        if let Some(target) = self.activity.and_then(air::textbook_target) {
            let holes = [
                ("low", &*format::number(target.low.as_percent(), 0)),
                ("high", &format::number(target.high.as_percent(), 0)),
                ("points", &target.row.printed),
                ("source", &source(target.row)),
            ];
            return vec![say("dry.air.textbook", &holes)];
        }
        ["air.fermenting", "air.drying"].into_iter().filter_map(rulebook::by_id).map(by_stage).collect()
    }

    fn working(&self) -> Vec<String> {
        let celsius =
            |temperature: Temperature| format!("{} °C", format::trimmed(temperature.as_celsius(), 2));
        let holes = [
            ("temperature", &*celsius(self.air.temperature())),
            ("saturation", &format::number(self.air.saturation().as_pascals(), 1)),
            ("humidity", &format::trimmed(self.air.humidity().as_percent(), 2)),
            ("vapour", &format::number(self.air.vapour_pressure().as_pascals(), 1)),
            ("dew", &celsius(self.air.dew_point())),
            ("pressure", &format::trimmed(self.pressure.as_pascals() / 100.0, 2)),
            ("ratio", &format::number(self.humidity_ratio_g_per_kg, 3)),
            ("absolute", &format::number(self.air.absolute_humidity_g_per_m3(), 3)),
        ];
        let mut lines = vec![
            say("dry.air.formula_saturation", &holes),
            say("dry.air.formula_vapour", &holes),
            say("dry.air.formula_ratio", &holes),
        ];
        if let Some(activity) = self.activity {
            let piece = self.piece.unwrap_or(self.air.temperature());
            let holes = [
                ("activity", &*format::water_activity(activity)),
                ("piece", &celsius(piece)),
                ("surface", &format::number(air::saturation_pressure(piece).as_pascals(), 1)),
                ("vapour", &format::number(self.air.vapour_pressure().as_pascals(), 1)),
                ("drive", &format::number(self.drive(activity).as_pascals(), 1)),
            ];
            lines.push(say("dry.air.formula_drive", &holes));
        }
        lines
    }
}

fn by_stage(row: &Limit) -> String {
    let holes = [("printed", &*rows::printed(row)), ("scope", &rows::scope(row)), ("source", &source(row))];
    say("dry.air.by_stage", &holes)
}

fn pascals(pressure: Pressure) -> String {
    format!("{} Pa", format::number(pressure.as_pascals(), 0))
}
