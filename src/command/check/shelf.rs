//! `/check shelf`: what the systems of several countries say of keeping a piece without refrigeration.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::fermentation::trust::{self, Trust};
use crate::curing::shelf::{ACTIVITY_OFF, Measured, PH_OFF, Said, System, Way, said, systems};
use crate::curing::{Level, Standing};
use crate::quantity::{Ph, WaterActivity, format, parse};
use crate::record::{BatchState, PhReading};
use crate::reply::finding::standing_shown;
use crate::reply::rows;
use crate::reply::{Figure, Reply, say};
use chrono::NaiveDate;

/// `/check shelf`
pub static SPEC: Spec = Spec {
    root: "check",
    verb: "shelf",
    aliases: &[],
    summary: "whether it keeps without refrigeration, by measured pH and water activity",
    options: &[
        maybe("ph", OptionKind::Text, "measured, e.g. 5.3"),
        maybe("aw", OptionKind::Text, "water activity, measured, e.g. 0.88"),
        maybe("batch", OptionKind::Batch, "takes the batch's last pH where ph: is not said"),
        maybe("ph-off", OptionKind::Text, "what the pH meter may be off; 0.05 when not said"),
        maybe("aw-off", OptionKind::Text, "what the water activity meter may be off; 0.02 when not said"),
        maybe("heated", OptionKind::Choice(&["yes", "no"]), "whether it was heat-treated and then packaged"),
    ],
    examples: ["check shelf ph:5.3 aw:0.88", "check shelf batch:B1 aw:0.86"],
    private: false,
};

/// The day from which what supports Listeria must be free of it through its shelf life (Reg. (EU) 2024/2895).
const LISTERIA_CHANGE: (i32, u32, u32) = (2026, 7, 1);

/// What the best meters may be off: no meter is better, whatever is said of it. Common practice, no source.
const BEST_PH: f64 = 0.01;
const BEST_ACTIVITY: f64 = 0.003;

/// What was measured.
#[derive(Debug, Clone)]
pub struct CheckShelf {
    ph: Option<Ph>,
    activity: Option<WaterActivity>,
    batch: Option<String>,
    ph_off: f64,
    activity_off: f64,
    heated: bool,
}

impl CheckShelf {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let activity = args.read("aw", parse::water_activity)?;
        let has_batch = args.text("batch").is_some() || args.asking.place.is_some();
        if activity.is_none() && !has_batch {
            return Err(args.missing("aw"));
        }
        if activity.is_some_and(|activity| activity.value() <= 0.0) {
            return Err(args.error(Code::OutOfRange, say("check.shelf.no_activity", &[])));
        }
        let (ph, batch) = (args.ph("ph")?, args.text("batch").map(str::to_owned));
        if ph.is_none() && batch.is_none() && args.asking.place.is_none() {
            return Err(args.missing("ph"));
        }
        let yes = |word: &str| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        };
        Ok(Self {
            ph,
            activity,
            batch,
            ph_off: off(args, "ph-off", args.read("ph-off", parse::ph)?.map(Ph::value), BEST_PH, PH_OFF)?,
            activity_off: off(
                args,
                "aw-off",
                args.read("aw-off", parse::water_activity)?.map(WaterActivity::value),
                BEST_ACTIVITY,
                ACTIVITY_OFF,
            )?,
            heated: args.choice("heated", yes)?.unwrap_or(false),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        if let (Some(ph), Some(activity)) = (self.ph, self.activity) {
            return Ok(Done::reply(self.reply(ph, activity, asking)));
        }
        let activity = self
            .activity
            .map_or_else(String::new, |activity| format!(" aw:{}", format::water_activity_exact(activity)));
        let line = format!("check shelf batch:{{batch}}{activity}");
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::LookAt, &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        Ok(Done::reply(self.of_batch(&state, asking)?))
    }

    /// What is not said is taken from the batch: its last pH, the water activity measured when it was put away.
    fn of_batch(&self, state: &BatchState, asking: &Asking) -> Result<Reply, UserError> {
        let earlier = || state.stored.iter().rev().find_map(|(storage, _)| storage.water_activity);
        let missing = || UserError::new(Code::MissingOption, say("check.shelf.no_aw", &[]), SPEC.examples[1]);
        let activity = self.activity.or_else(earlier).ok_or_else(missing)?;
        if let Some(ph) = self.ph {
            return Ok(self.reply(ph, activity, asking));
        }
        let reading = last_ph(state)?;
        let mut reply = self.reply(reading.ph, activity, asking);
        let (trust, doubts) = trust::judge(reading);
        if let Some(worst) = doubts.first().filter(|_| trust >= Trust::Doubtful) {
            let why = say(worst.advice(), &[]);
            reply.note(Level::Caution, say("check.shelf.ph_in_doubt", &[("why", &why)]));
        }
        Ok(reply)
    }

    fn reply(&self, ph: Ph, activity: WaterActivity, asking: &Asking) -> Reply {
        let measured = Measured { ph, activity, ph_off: self.ph_off, activity_off: self.activity_off };
        let mut found: Vec<Said> = systems()
            .iter()
            .filter(|system| !system.heated_and_packaged || self.heated)
            .map(|system| said(system, &measured))
            .collect();
        // Those that ask for refrigeration lead.
        found.sort_by_key(|said| said.way.is_some());
        let against: Vec<String> =
            found.iter().filter(|said| said.way.is_none()).map(|said| name_of(said.system)).collect();
        let holes = [
            ("ph", &*format::ph(ph)),
            ("activity", &format::water_activity(activity)),
            ("against", &against.join("; ")),
        ];
        let key = if against.is_empty() { "check.shelf.all" } else { "check.shelf.not_all" };
        let mut reply = Reply::new("check shelf", say(key, &holes));
        reply.figures = found.iter().map(figure).collect();
        reply.lines = found.iter().map(line).collect();
        let off = [
            ("ph_off", &*format::trimmed(self.ph_off, 3)),
            ("activity_off", &format::trimmed(self.activity_off, 3)),
        ];
        reply.lines.push(say("check.shelf.off", &off));
        if !against.is_empty() {
            reply.note(Level::Caution, say("check.shelf.refrigerate", &[]));
        }
        let supports = found.iter().any(|said| said.system.id == "eu.2073" && said.way.is_none());
        if supports && after_the_change(asking.day()) {
            reply.note(Level::Notice, say("check.shelf.listeria_2026", &[]));
        }
        reply.note(Level::Notice, say("check.shelf.meaning", &[]));
        reply.working = found.iter().map(source).collect();
        reply.judges = true;
        reply
    }
}

/// The batch's last pH.
fn last_ph(state: &BatchState) -> Result<&PhReading, UserError> {
    let last = state.ph.iter().filter(|reading| !reading.from_sample).max_by_key(|reading| reading.at);
    let missing = || UserError::new(Code::MissingOption, say("check.shelf.no_ph", &[]), SPEC.examples[0]);
    last.ok_or_else(missing)
}

/// What a meter may be off, where it is said.
fn off(
    args: Args<'_>,
    option: &'static str,
    said: Option<f64>,
    best: f64,
    usual: f64,
) -> Result<f64, UserError> {
    let Some(said) = said else { return Ok(usual) };
    if said >= best {
        return Ok(said);
    }
    let holes = [("option", option), ("best", &*format::trimmed(best, 3))];
    Err(args.error(Code::OutOfRange, say("check.shelf.too_good", &holes)))
}

fn after_the_change(day: NaiveDate) -> bool {
    let (year, month, first) = LISTERIA_CHANGE;
    NaiveDate::from_ymd_opt(year, month, first).is_some_and(|change| day >= change)
}

fn figure(said: &Said) -> Figure {
    figures::word("shelf", said.word()).of(said.system.id.clone()).folded()
}

fn line(said: &Said) -> String {
    let key = if said.only_without_doubt { "check.shelf.in_doubt" } else { "check.shelf.line" };
    let word = say(&format!("check.shelf.word.{}", said.word()), &[]);
    let why = said.way.map(why).unwrap_or_default();
    let memory = match said.system.standing {
        Standing::Read => String::new(),
        Standing::FromMemory => say("check.shelf.from_memory", &[("source", &said.system.source)]),
        other => format!(", {}", standing_shown(other)),
    };
    let word = match (&said.system.rest, said.way) {
        (Some(rest), Some(_)) => say(
            "check.shelf.word_and_rest",
            &[("word", &word), ("rest", &rows::name("shelf_rest", &said.system.id, rest))],
        ),
        _ => word,
    };
    let holes = [("system", &*name_of(said.system)), ("word", &word), ("why", &why), ("memory", &memory)];
    say(key, &holes)
}

/// What a way of telling is called.
fn name_of(system: &System) -> String {
    rows::name("shelf", &system.id, &system.name)
}

/// The way that is met, as its text puts it.
fn why(way: &Way) -> String {
    let limit = |value: Option<f64>, sign: &str, of: &str| {
        value.map(|value| format!("{of} {sign} {}", format::trimmed(value, 3)))
    };
    let parts = [
        limit(way.ph_to, "≤", "pH"),
        limit(way.ph_below, "<", "pH"),
        limit(way.activity_to, "≤", "aw"),
        limit(way.activity_below, "<", "aw"),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    say("check.shelf.by", &[("way", &parts.join(", "))])
}

fn source(said: &Said) -> String {
    let system = said.system;
    let standing = standing_shown(system.standing);
    let holes = [
        ("system", &*name_of(system)),
        ("source", &system.source),
        ("where", &system.place),
        ("standing", &standing),
    ];
    say("check.shelf.source", &holes)
}
