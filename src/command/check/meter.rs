//! `/check meter`: a pH meter in its buffers; what it found is kept with the meter, and later readings lean on it.

use super::pairs;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::figures;
use crate::command::journal::{self, Journal};
use crate::command::line;
use crate::command::lookup::typable;
use crate::command::meters;
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::time;
use crate::command::why::Why;
use crate::curing::Level;
use crate::curing::fermentation::trust::{Doubt, Trust, judge_meter};
use crate::curing::meter::{Buffer, Electrode, Judged, electrode, leaned_on};
use crate::quantity::{NumberReading, Ph, Voltage, format, parse};
use crate::record::meter::{BufferPoint, Kept, MeterCheck, Shown};
use crate::record::{Happening, Meter, Subject};
use crate::reply::finding::standing_shown;
use crate::reply::{Figure, Question, Reply, say, unit};
use crate::store::fold;
use chrono::{DateTime, Utc};

/// `/check meter`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "meter",
    aliases: &["ph-meter"],
    summary: "a pH meter in its buffers: slope, offset, and how far its readings are believed",
    options: &[
        needed("temperature", OptionKind::Text, "of the buffers, e.g. 20 C"),
        needed(
            "buffer",
            OptionKind::Text,
            "e.g. 7.00, 6.86 standard, or 7.02 own for the bottle's own value",
        )
        .several(),
        needed("shown", OptionKind::Text, "what the meter shows in it, e.g. -5 mV or 4.02").several(),
        maybe("slope", OptionKind::Percent, "what the meter itself says, where it shows pH only"),
        maybe("name", OptionKind::Text, "which meter, if you have several"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: [
        "check meter temperature:20 C buffer:7.00 shown:-5 mV buffer:4.00 shown:171 mV",
        "check meter temperature:20 C buffer:4.00 shown:4.02",
    ],
    private: false,
};

/// Slopes a meter may say; anything else is a slip.
const SLOPES_PERCENT: std::ops::RangeInclusive<f64> = 50.0..=120.0;

/// Who never names a meter has this one.
const ONLY_METER: &str = "1";

/// A check to be kept.
#[derive(Debug, Clone)]
pub struct CheckMeter {
    check: MeterCheck,
    judged: Judged,
    buffers: Vec<(String, Buffer, Ph)>,
    name: Option<String>,
    at: DateTime<Utc>,
    typed: String,
}

/// The meter a check is of, or the question which.
enum Which {
    Known(Meter),
    New(Meter),
    Ask(Question),
}

impl CheckMeter {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let temperature = args.read_needed("temperature", parse::temperature)?;
        let pairs = pairs::pairs(args, "buffer", "shown")?;
        let beside = pairs.iter().find_map(|(buffer, _)| Buffer::family_named(buffer));
        let (mut points, mut buffers) = (Vec::new(), Vec::new());
        for (text, value) in pairs {
            let buffer = Buffer::parse(text, beside).map_err(|error| refused(args, "buffer", &error))?;
            let ph = buffer.at(temperature).map_err(|error| refused(args, "buffer", &error))?;
            points.push(BufferPoint { buffer: ph, shown: shown(args, value)? });
            buffers.push((text.to_owned(), buffer, ph));
        }
        let said_slope_percent = said_slope(args)?;
        let check = MeterCheck { temperature, points, said_slope_percent };
        let judged = Judged::of(&check).map_err(|error| refused(args, "shown", &error))?;
        let (name, at) = (pairs::name(args)?, args.past("at")?);
        Ok(Self { check, judged, buffers, name, at, typed: args.line().typed() })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let (meter, is_new) = match self.which(services, asking).await? {
            Which::Known(meter) => (meter, false),
            Which::New(meter) => (meter, true),
            Which::Ask(question) => return Ok(Done::question(question)),
        };
        let mut journal = Journal::new(services, asking);
        let what = Happening::MeterChecked { check: self.check.clone() };
        let event = journal.event(Subject::Meter(meter.id), self.at, what);
        let mut checks = meters::checks(services, meter.id).await?;
        checks.push(Kept { event: event.id, at: self.at, check: self.check.clone() });
        checks.sort_by_key(|kept| (kept.at, kept.event));
        let mut reply = self.reply(&meter, &checks, asking);
        reply.stored.push(journal::stored(&event, &meter.name));
        reply.undo = Some(say("check.undo", &[("id", &event.id.to_string())]));
        journal.append(event).await?;
        let mut change = journal.finish().await?;
        change.meters.extend(Some(meter).filter(|_| is_new));
        Ok(Done::keeping(change, reply))
    }

    /// The meter of the name, which is new where it was never named; without a name the only one.
    async fn which(&self, services: &Services, asking: &Asking) -> Result<Which, CommandError> {
        let known = services.store.meters_of(asking.member.id).await?;
        if self.name.is_none() && known.len() > 1 {
            return Ok(Which::Ask(self.ask(&known)));
        }
        let is_it = |meter: &&Meter| self.name.as_deref().is_none_or(|name| fold(name) == fold(&meter.name));
        if let Some(meter) = known.iter().find(is_it) {
            return Ok(Which::Known(meter.clone()));
        }
        let name = self.name.clone().unwrap_or_else(|| ONLY_METER.to_owned());
        Ok(Which::New(Meter { id: services.store.next_meter_id(), owner: asking.member.id, name }))
    }

    fn ask(&self, known: &[Meter]) -> Question {
        let line = |meter: &Meter| format!("{} name:{}", self.typed, typable(&meter.name));
        let some = known.iter().take(5);
        Question {
            code: "which_meter",
            text: say("question.which_meter", &[]),
            example: known.first().map(line).unwrap_or_default(),
            choices: some.clone().map(|meter| meter.name.clone()).collect(),
            answers: some.map(line).collect(),
            line: String::new(),
        }
    }

    fn reply(&self, meter: &Meter, checks: &[Kept<MeterCheck>], asking: &Asking) -> Reply {
        // What a reading made now would lean on: this check, and what was known of the meter before.
        let calibration = leaned_on(checks, asking.now).unwrap_or_default();
        let (trust, doubts) = judge_meter(&calibration);
        let holes = [("found", &*self.found()), ("trust", &say(trust_key(trust), &[]))];
        let mut reply = Reply::new("check meter", say("check.meter.headline", &holes));
        self.figures(&mut reply);
        reply.figures.push(figures::word("meter_trust", trust_word(trust)).folded());
        reply.lines = self.buffers.iter().map(|(_, buffer, ph)| self.buffer(*buffer, *ph, asking)).collect();
        let when = time::shown(self.at, asking.now, asking.zone());
        let key = if self.at == asking.now { "check.meter.kept" } else { "check.meter.kept_at" };
        reply.lines.push(say(key, &[("meter", &meter.name), ("when", &when)]));
        for doubt in &doubts {
            reply.note(level(*doubt), say(doubt_key(*doubt), &[]));
        }
        if self.judged.electrode().is_some() && trust < Trust::Doubtful {
            reply.note(Level::Notice, say("check.meter.set_too", &[]));
        }
        let counts = self.judged.brackets_meat() || self.judged.is_near_four();
        if !counts && !doubts.contains(&Doubt::NeverChecked) {
            reply.note(Level::Notice, say("check.meter.one_side", &[]));
        }
        reply.working = self.working(asking);
        reply
    }

    /// "Slope 98.6 %, offset -14.4 mV", or how far off each buffer was read.
    fn found(&self) -> String {
        if let Some(electrode) = self.judged.electrode() {
            let slope = slope(electrode);
            return say(
                "check.meter.electrode",
                &[("slope", &slope), ("offset", &millivolts(electrode.offset, 1))],
            );
        }
        let errors = self.judged.errors().map(|(buffer, error)| {
            let off = format::trimmed(error.abs(), 3);
            let key = match off.as_str() {
                "0" => "check.meter.right",
                _ if error > 0.0 => "check.meter.high",
                _ => "check.meter.low",
            };
            say(key, &[("off", &off), ("buffer", &buffer_ph(buffer))])
        });
        errors.collect::<Vec<_>>().join(", ")
    }

    fn figures(&self, reply: &mut Reply) {
        if let Some(electrode) = self.judged.electrode() {
            let number = |id: &'static str, value, unit, shown| {
                Figure::number(id, say(&format!("label.{id}"), &[]), value, unit, shown)
            };
            let per_ph = format!("{} mV/pH", format::number(electrode.millivolts_per_ph, 2));
            let offset = electrode.offset.as_millivolts();
            reply.figures.extend([
                number("electrode_slope", electrode.slope_percent, unit::PERCENT, slope(electrode)),
                number("electrode_offset", offset, unit::MILLIVOLT, millivolts(electrode.offset, 1)),
                number("electrode_sensitivity", electrode.millivolts_per_ph, unit::MILLIVOLT_PER_PH, per_ph),
            ]);
        }
        for (buffer, error) in self.judged.errors() {
            let of = format!("pH {}", buffer_ph(buffer));
            reply.figures.push(figures::number("buffer_error", error, 2).of(of).folded());
        }
        for (typed, _, ph) in &self.buffers {
            reply.figures.push(figures::number("buffer_ph", ph.value(), 3).of(typed.clone()).folded());
        }
    }

    fn buffer(&self, buffer: Buffer, ph: Ph, asking: &Asking) -> String {
        let scale = asking.member.settings.temperature;
        let temperature = format::temperature(self.check.temperature, scale);
        let ph = buffer_ph(ph);
        match buffer.family() {
            None => say("check.meter.buffer_own", &[("buffer", &ph)]),
            Some(family) => {
                let standing = standing_shown(family.standing);
                let holes = [
                    ("buffer", buffer.nominal().unwrap_or_default()),
                    ("family", &*family.name),
                    ("ph", &ph),
                    ("temperature", &temperature),
                    ("source", &family.source),
                    ("standing", &standing),
                ];
                say("check.meter.buffer", &holes)
            }
        }
    }

    fn working(&self, asking: &Asking) -> Vec<String> {
        let Some(found) = self.judged.electrode() else { return Vec::new() };
        let temperature = format::temperature(self.check.temperature, asking.member.settings.temperature);
        let ideal = format::number(electrode::nernst_millivolts(self.check.temperature), 2);
        let per_ph = format::number(found.millivolts_per_ph, 2);
        let holes = [
            ("temperature", &*temperature),
            ("ideal", &ideal),
            ("per_ph", &per_ph),
            ("slope", &slope(found)),
        ];
        let points = self.judged.points().iter().map(|point| {
            let given = millivolts(found.at(point.buffer), 1);
            say("check.meter.formula_line", &[("ph", &buffer_ph(point.buffer)), ("given", &given)])
        });
        [say("check.meter.formula_ideal", &holes), say("check.meter.formula_slope", &holes)]
            .into_iter()
            .chain(points)
            .collect()
    }
}

fn refused(args: Args<'_>, option: &str, error: &dyn Why) -> UserError {
    let sentence = say("error.option_value", &[("option", option), ("why", &error.why())]);
    args.error(Code::OutOfRange, sentence)
}

/// A pH as a bare number, or a voltage with its unit.
fn shown(args: Args<'_>, text: &str) -> Result<Shown, UserError> {
    let bare = text.trim_start_matches("pH").trim_start_matches("ph").trim();
    if bare.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',')) {
        return parse::ph(bare).map(Shown::Ph).map_err(|error| refused(args, "shown", &error));
    }
    parse::voltage(text).map(Shown::Millivolts).map_err(|error| refused(args, "shown", &error))
}

/// A slope with its percent sign; unlike a part of a whole it may be over 100 %.
fn said_slope(args: Args<'_>) -> Result<Option<f64>, UserError> {
    let Some(text) = args.text("slope") else { return Ok(None) };
    let refuse =
        || args.error(Code::OutOfRange, say("check.meter.slope_unread", &[("typed", &line::shown(text))]));
    let number = text.strip_suffix('%').map(|number| parse::number(number.trim()));
    let Some(Ok(NumberReading::Certain(percent) | NumberReading::Either { decimal: percent, .. })) = number
    else {
        return Err(refuse());
    };
    if SLOPES_PERCENT.contains(&percent) { Ok(Some(percent)) } else { Err(refuse()) }
}

/// A buffer's pH as its table or bottle prints it: two decimals, a third where there is one.
fn buffer_ph(ph: Ph) -> String {
    let (short, long) = (format::number(ph.value(), 2), format::trimmed(ph.value(), 3));
    if long.len() > short.len() { long } else { short }
}

fn slope(electrode: Electrode) -> String {
    format!("{} %", format::number(electrode.slope_percent, 1))
}

fn millivolts(voltage: Voltage, decimals: usize) -> String {
    format!("{} mV", format::trimmed(voltage.as_millivolts(), decimals))
}

const fn trust_key(trust: Trust) -> &'static str {
    match trust {
        Trust::Full => "check.meter.full",
        Trust::Usable => "check.meter.usable",
        Trust::Doubtful | Trust::Strip => "check.meter.doubtful",
        Trust::Rejected => "check.meter.rejected",
    }
}

const fn trust_word(trust: Trust) -> &'static str {
    match trust {
        Trust::Full => "full",
        Trust::Usable => "usable",
        Trust::Doubtful | Trust::Strip => "doubtful",
        Trust::Rejected => "rejected",
    }
}

fn level(doubt: Doubt) -> Level {
    if doubt.leaves() >= Trust::Doubtful { Level::Caution } else { Level::Notice }
}

const fn doubt_key(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::CheckedThisWeek => "check.meter.day_old",
        Doubt::CheckedTooLongAgo => "check.meter.week_old",
        Doubt::SlopeWorn => "check.meter.slope_worn",
        Doubt::SlopeUnknown => "check.meter.slope_unknown",
        Doubt::NeverChecked => "check.meter.not_in_two",
        Doubt::BufferMissed => "check.meter.missed",
        Doubt::SlopeLow => "check.meter.slope_low",
        Doubt::SlopeOutside => "check.meter.slope_outside",
        Doubt::OffsetOutside => "check.meter.offset_outside",
        Doubt::SampleTemperatureUnknown | Doubt::PaperStrip => "check.meter.doubtful",
    }
}
