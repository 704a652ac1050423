//! `/check hygrometer`: a chamber's hygrometer over salt jars; kept with the chamber, and later readings are corrected.

use super::pairs;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::chamber::air::{self, Air};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, FoundChamber};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::why::Why;
use crate::curing::Level;
use crate::curing::hygrometer::{Correction, Salt};
use crate::quantity::{Temperature, format, parse};
use crate::record::meter::{HygrometerCheck, SaltPoint};
use crate::record::{Chamber, Happening, Subject};
use crate::reply::finding::standing_shown;
use crate::reply::{Figure, Reply, say, unit};
use chrono::{DateTime, Utc};

/// `/check hygrometer`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "hygrometer",
    aliases: &["humidity"],
    summary: "a chamber's hygrometer over salt jars: how far off it is, and what its readings mean",
    options: &[
        needed("salt", OptionKind::Text, "wet salt in a closed jar: NaCl, KCl, MgCl2, Mg(NO3)2 or K2SO4")
            .several(),
        needed("temperature", OptionKind::Text, "of the jar, e.g. 20 C; once for all jars, or for each")
            .several(),
        needed("shown", OptionKind::Text, "what it shows in the jar after 8 to 24 h, e.g. 72%").several(),
        maybe("chamber", OptionKind::Text, "whose hygrometer it is; your only chamber when not said"),
        maybe("name", OptionKind::Text, "what you call it"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: [
        "check hygrometer salt:NaCl temperature:20 C shown:72%",
        "check hygrometer salt:NaCl shown:72% salt:KCl shown:80% temperature:20 C chamber:home",
    ],
    private: false,
};

/// A check to be kept.
#[derive(Debug, Clone)]
pub struct CheckHygrometer {
    check: HygrometerCheck,
    correction: Correction,
    chamber: Option<String>,
    name: Option<String>,
    at: DateTime<Utc>,
    typed: String,
}

impl CheckHygrometer {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let pairs = pairs::pairs(args, "salt", "shown")?;
        let temperatures = temperatures(args, pairs.len())?;
        let mut points = Vec::new();
        for ((salt, value), temperature) in pairs.into_iter().zip(temperatures) {
            let salt = Salt::parse(salt).map_err(|error| refused(args, "salt", &error))?;
            let reference = salt.at(temperature).map_err(|error| refused(args, "temperature", &error))?;
            let shown =
                parse::relative_humidity(value).map_err(|error| args.quantity_error("shown", &error))?;
            points.push(SaltPoint { salt: salt.formula.clone(), temperature, reference, shown });
        }
        let at = args.past("at")?;
        let check = HygrometerCheck { points };
        let correction = Correction::of(&check, at).map_err(|error| refused(args, "shown", &error))?;
        let chamber = args.text("chamber").map(str::to_owned);
        Ok(Self { check, correction, chamber, name: pairs::name(args)?, at, typed: args.line().typed() })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("{} chamber:{{chamber}}", self.typed);
        let chamber = match lookup::which_chamber(services, asking, self.chamber.as_deref(), &line).await? {
            FoundChamber::Chamber(chamber) => chamber,
            FoundChamber::Ask(question) => return Ok(Done::question(question)),
        };
        let mut journal = Journal::new(services, asking);
        let what = Happening::HygrometerChecked { name: self.name.clone(), check: self.check.clone() };
        let event = journal.event(Subject::Chamber(chamber.id), self.at, what);
        let before = Air::at(services, chamber.id, asking.now).await?;
        let mut reply = self.reply(&chamber, &before, asking);
        reply.stored.push(journal::stored(&event, &chamber.name));
        reply.undo = Some(say("check.undo", &[("id", &event.id.to_string())]));
        journal.append(event).await?;
        let change = journal.finish().await?;
        reply.due = journal::dues(&change);
        Ok(Done::keeping(change, reply))
    }

    fn reply(&self, chamber: &Chamber, before: &Air, asking: &Asking) -> Reply {
        let jars: Vec<String> = self.check.points.iter().map(off_in_words).collect();
        let headline = capitalised(&say("check.hygrometer.headline", &[("jars", &jars.join(", "))]));
        let mut reply = Reply::new("check hygrometer", headline);
        for point in &self.check.points {
            let offset = point.reference.as_percent() - point.shown.as_percent();
            reply
                .figures
                .push(figure("salt_humidity", point.reference.as_percent()).of(point.salt.clone()).folded());
            reply.figures.push(figure("hygrometer_offset", offset).of(point.salt.clone()).folded());
            reply.lines.push(jar(point, asking));
        }
        if let Some(gain) = self.correction.gain() {
            reply.figures.push(figures::number("hygrometer_gain", gain, 2).folded());
        }
        let name = self.name.as_deref().unwrap_or_default();
        let key = if name.is_empty() { "check.hygrometer.kept" } else { "check.hygrometer.kept_named" };
        reply.lines.push(say(key, &[("chamber", &chamber.name), ("name", name)]));
        if let Some((raw, at)) = before.humidity.filter(|(_, at)| *at > self.at) {
            let corrected = self.correction.apply(raw, at);
            let shown = format::relative_humidity;
            let holes = [("raw", &*shown(raw)), ("corrected", &shown(corrected.corrected))];
            reply.lines.push(say("check.hygrometer.example", &holes));
            for doubt in corrected.doubts {
                reply.note(Level::Notice, say(air::doubt_key(doubt), &[]));
            }
        } else if self.correction.is_far_off() {
            reply.note(Level::Notice, say("check.hygrometer.far_off", &[]));
        }
        if self.correction.jars() == 1 {
            reply.note(Level::Notice, say("check.hygrometer.one_jar", &[]));
        }
        reply.working = self.working();
        reply
    }

    fn working(&self) -> Vec<String> {
        let trimmed = |value: f64| format::trimmed(value, 3);
        let mut points: Vec<&SaltPoint> = self.check.points.iter().collect();
        points.sort_by(|one, other| one.reference.as_percent().total_cmp(&other.reference.as_percent()));
        match points.as_slice() {
            [only] => {
                let offset = trimmed(only.reference.as_percent() - only.shown.as_percent());
                vec![say("check.hygrometer.formula_one", &[("offset", &offset)])]
            }
            several => several.windows(2).filter_map(between).collect(),
        }
    }
}

/// The line between two neighbouring jars.
fn between(pair: &[&SaltPoint]) -> Option<String> {
    let [low, high] = pair else { return None };
    let rise = high.reference.as_percent() - low.reference.as_percent();
    let gain = rise / (high.shown.as_percent() - low.shown.as_percent());
    let holes = [
        ("low", &*format::trimmed(low.reference.as_percent(), 2)),
        ("gain", &format::trimmed(gain, 3)),
        ("low_shown", &format::trimmed(low.shown.as_percent(), 2)),
    ];
    Some(say("check.hygrometer.formula_between", &holes))
}

/// One temperature for every jar, or one for each.
fn temperatures(args: Args<'_>, jars: usize) -> Result<Vec<Temperature>, UserError> {
    let texts = args.several("temperature");
    if texts.is_empty() {
        return Err(args.missing("temperature"));
    }
    if texts.len() != 1 && texts.len() != jars {
        let (count, other) = (jars.to_string(), texts.len().to_string());
        let holes = [("first", "salt"), ("second", "temperature"), ("count", &*count), ("other", &other)];
        return Err(args.error(Code::MissingOption, say("check.pairs", &holes)));
    }
    let read = texts.iter().map(|text| parse::temperature(text));
    let read: Vec<Temperature> =
        read.collect::<Result<_, _>>().map_err(|error| args.quantity_error("temperature", &error))?;
    Ok(read.iter().copied().cycle().take(jars).collect())
}

fn refused(args: Args<'_>, option: &str, error: &dyn Why) -> UserError {
    let sentence = say("error.option_value", &[("option", option), ("why", &error.why())]);
    args.error(Code::OutOfRange, sentence)
}

/// "3.5 points too low over `NaCl`".
fn off_in_words(point: &SaltPoint) -> String {
    let offset = point.reference.as_percent() - point.shown.as_percent();
    let off = format::trimmed(offset.abs(), 1);
    let key = match off.as_str() {
        "0" => "check.hygrometer.right",
        _ if offset > 0.0 => "check.hygrometer.low",
        _ => "check.hygrometer.high",
    };
    say(key, &[("off", &off), ("salt", &point.salt)])
}

fn jar(point: &SaltPoint, asking: &Asking) -> String {
    let uncertainty = Salt::parse(&point.salt).map(|salt| salt.uncertainty).unwrap_or_default();
    let source = Salt::source();
    let standing = source.map_or_else(String::new, |source| standing_shown(source.standing));
    let holes = [
        ("salt", &*point.salt),
        ("reference", &format::relative_humidity(point.reference)),
        ("temperature", &format::temperature(point.temperature, asking.member.settings.temperature)),
        ("uncertainty", &format::trimmed(uncertainty, 1)),
        ("source", source.map_or("", |source| &source.source)),
        ("standing", &standing),
    ];
    say("check.hygrometer.jar", &holes)
}

fn figure(id: &'static str, percent: f64) -> Figure {
    let shown = format!("{} %", format::trimmed(percent, 2));
    Figure::number(id, say(&format!("label.{id}"), &[]), percent, unit::PERCENT, shown)
}

fn capitalised(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}
