//! `/ferment culture`: at which temperatures a starter is comfortable, beside a room's temperature.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::chamber::air::Air;
use crate::command::error::{CommandError, UserError};
use crate::command::figures;
use crate::command::lookup::{self, FoundChamber};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::curing::Level;
use crate::curing::fermentation::culture::{Culture, Room, named};
use crate::quantity::{Temperature, format, parse};
use crate::record::Chamber;
use crate::reply::finding::standing_shown;
use crate::reply::{Reply, say};

/// The cultures of which a range is held.
pub const NAMES: &[&str] = &["sakei", "curvatus", "plantarum", "pentosaceus", "acidilactici"];

/// `/ferment culture`
pub static SPEC: Spec = Spec {
    root: "ferment",
    verb: "culture",
    aliases: &["starter"],
    summary: "where a starter is comfortable, and whether your room is one of those",
    options: &[
        needed("culture", OptionKind::Choice(NAMES), "the acid maker that the packet names"),
        maybe("temperature", OptionKind::Text, "the room's, e.g. 24 C"),
        maybe(
            "chamber",
            OptionKind::Text,
            "the chamber whose set temperature counts; your only one when not said",
        ),
    ],
    examples: [
        "ferment culture culture:sakei temperature:24 C",
        "ferment culture culture:pentosaceus chamber:home",
    ],
    private: false,
};

/// A culture and a room.
#[derive(Debug, Clone)]
pub struct FermentCulture {
    culture: &'static Culture,
    temperature: Option<Temperature>,
    chamber: Option<String>,
}

impl FermentCulture {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let scale = args.asking.member.settings.temperature;
        Ok(Self {
            culture: args.choice("culture", named)?.ok_or_else(|| args.missing("culture"))?,
            temperature: args.read("temperature", |text| parse::temperature_with_default(text, scale))?,
            chamber: args.text("chamber").map(str::to_owned),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let mut chamber = None;
        let mut room = self.temperature;
        if room.is_none() {
            let line = format!("ferment culture culture:{} chamber:{{chamber}}", self.culture.id);
            match lookup::which_chamber(services, asking, self.chamber.as_deref(), &line).await? {
                FoundChamber::Chamber(found) => {
                    room = set_or_read(services, asking, &found).await?;
                    chamber = Some(found);
                }
                FoundChamber::Ask(question) => return Ok(Done::question(question)),
            }
        }
        Ok(Done::reply(self.reply(room, chamber.as_ref(), asking)))
    }

    fn reply(&self, room: Option<Temperature>, chamber: Option<&Chamber>, asking: &Asking) -> Reply {
        let range = range_line(self.culture, asking);
        let headline = match room {
            None => say("ferment.culture.range_only", &[("range", &range)]),
            Some(room) => {
                let fits = self.culture.in_room(room) == Room::Comfortable;
                let key = if fits { "ferment.culture.fits" } else { "ferment.culture.outside" };
                let room = format::temperature(room, asking.member.settings.temperature);
                let of = chamber.map_or_else(
                    || room.clone(),
                    |chamber| say("ferment.culture.chamber", &[("chamber", &chamber.name), ("room", &room)]),
                );
                say(key, &[("room", &of), ("range", &range)])
            }
        };
        let mut reply = Reply::new("ferment culture", headline);
        let (low, high) = self.culture.range();
        reply.figures.push(figures::temperature("culture_low", low, asking).folded());
        reply.figures.push(figures::temperature("culture_high", high, asking).folded());
        reply
            .figures
            .extend(room.map(|room| figures::temperature("step_temperature", room, asking).folded()));
        if let Some((level, text)) = room.and_then(|room| advice(self.culture, room, asking)) {
            reply.note(level, text);
        }
        reply.lines.push(say("ferment.culture.packet_first", &[]));
        if room.is_none() {
            reply.next = Some(say("ferment.culture.next_temperature", &[("culture", &self.culture.id)]));
        }
        reply.working.push(say("ferment.schedule.where", &[("where", &self.culture.place)]));
        reply
    }
}

/// What a chamber is set to; where nothing was set, what was last read in it.
async fn set_or_read(
    services: &Services,
    asking: &Asking,
    chamber: &Chamber,
) -> Result<Option<Temperature>, CommandError> {
    let air = Air::at(services, chamber.id, asking.now).await?;
    Ok(air.setting.map(|setting| setting.temperature).or(air.temperature.map(|(read, _)| read)))
}

/// What to say of a room in which a culture is not comfortable.
pub(super) fn advice(culture: &Culture, room: Temperature, asking: &Asking) -> Option<(Level, String)> {
    let key = match culture.in_room(room) {
        Room::Comfortable => return None,
        Room::HardlyWorks => "ferment.culture.hardly_works",
        Room::TooCold => "ferment.culture.too_cold",
        Room::TooWarm => "ferment.culture.too_warm",
    };
    let room = format::temperature(room, asking.member.settings.temperature);
    let holes = [("room", room), ("range", range_line(culture, asking))];
    let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
    Some((Level::Warning, say(key, &holes)))
}

/// "Lactobacillus sakei: 20 to 30 °C (held from memory)".
pub(super) fn range_line(culture: &Culture, asking: &Asking) -> String {
    let scale = asking.member.settings.temperature;
    let (low, high) = culture.range();
    let holes = [
        ("name", &*culture.name),
        ("low", &format::temperature(low, scale)),
        ("high", &format::temperature(high, scale)),
        ("standing", &standing_shown(culture.standing)),
    ];
    say("ferment.culture.range", &holes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curing::fermentation::culture::cultures;

    #[test]
    fn every_culture_can_be_chosen() {
        let held: Vec<&str> = cultures().iter().map(|culture| culture.id.as_str()).collect();
        assert_eq!(held, NAMES);
    }
}
