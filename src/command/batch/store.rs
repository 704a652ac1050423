//! `/batch store`: how a finished batch is kept, how much of it there is, and for how long.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::figures;
use crate::command::journal::{self, Journal};
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe, needed};
use crate::command::time;
use crate::curing::Level;
use crate::curing::shelf::{ACTIVITY_OFF, Measured, PH_OFF};
use crate::curing::storage::{self, Keeping, Place, is_airless_danger, keeping};
use crate::quantity::{Mass, Ph, WaterActivity, format, parse};
use crate::record::state::Piece;
use crate::record::{BatchStage, BatchState, Happening, Storage, StorageKind, Subject};
use crate::reply::finding::standing_shown;
use crate::reply::rows;
use crate::reply::{Reply, say};
use chrono::{DateTime, TimeDelta, Utc};

const HOWS: &[&str] = &["vacuum", "frozen", "sliced", "opened", "oil"];

/// `/batch store`
pub static SPEC: Spec = Spec {
    root: "batch",
    verb: "store",
    aliases: &[],
    summary: "how a finished batch is kept, how much there is, and for how long",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        needed("how", OptionKind::Choice(HOWS), "how it is kept"),
        maybe("temperature", OptionKind::Text, "where it lies, e.g. 3 C"),
        maybe("weight", OptionKind::Mass, "of all that is left; its last weights when not said"),
        maybe("portions", OptionKind::Text, "how many, e.g. 6"),
        maybe("ph", OptionKind::Text, "measured in the finished piece"),
        maybe("aw", OptionKind::Text, "water activity, measured, e.g. 0.88"),
        maybe("at", OptionKind::Time, "when, if not now"),
    ],
    examples: [
        "batch store batch:B1 how:vacuum temperature:3 C portions:6",
        "batch store how:vacuum temperature:16 C ph:5.2 aw:0.84 weight:1.2 kg",
    ],
    private: false,
};

/// Most portions of a batch.
const MOST_PORTIONS: i64 = 500;

/// How a batch is kept.
#[derive(Debug, Clone)]
pub struct BatchStore {
    batch: Option<String>,
    storage: Storage,
    at: DateTime<Utc>,
}

impl BatchStore {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let kind = args.choice("how", StorageKind::parse)?.ok_or_else(|| args.missing("how"))?;
        let portions = match args.text("portions") {
            None => None,
            Some(text) => Some(args.whole_number("portions", text)?),
        };
        if portions.is_some_and(|portions| portions > MOST_PORTIONS) {
            return Err(args.error(Code::OutOfRange, say("batch.store.portions", &[])));
        }
        let storage = Storage {
            kind,
            temperature: args.read("temperature", parse::temperature)?,
            weight: args.mass("weight")?,
            portions,
            ph: args.ph("ph")?,
            water_activity: args.read("aw", parse::water_activity)?,
        };
        Ok(Self { batch: args.text("batch").map(str::to_owned), storage, at: args.past("at")? })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let line = format!("batch store batch:{{batch}} how:{}", self.storage.kind.word());
        let state = match lookup::batch(services, asking, self.batch.as_deref(), Deed::Run, &line).await? {
            Found::Batch(state) => state,
            Found::Ask(question) => return Ok(Done::question(question)),
        };
        if state.stage().0 == BatchStage::Discarded {
            let sentence = say("batch.store.discarded", &[("batch", &state.id.to_string())]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "batch list").into());
        }
        let mut journal = Journal::new(services, asking);
        let what = Happening::Stored { storage: self.storage };
        let event = journal.event(Subject::Batch(state.id), self.at, what);
        let mut reply = self.reply(&state, asking);
        reply.stored.push(journal::stored(&event, ""));
        reply.batch = Some(state.id);
        journal.append(event).await?;
        Ok(Done::keeping(journal.finish().await?, reply))
    }

    fn reply(&self, state: &BatchState, asking: &Asking) -> Reply {
        let unit = asking.member.settings.mass;
        let left = self.storage.weight.or_else(|| weight_left(state));
        let holes = [
            ("batch", &*state.id.to_string()),
            ("name", &state.plan.name),
            ("how", &say(&format!("batch.store.how.{}", self.storage.kind.word()), &[])),
        ];
        let mut reply = Reply::new("batch store", say("batch.store.headline", &holes));
        if let Some(left) = left {
            reply.figures.push(figures::meat("weight_left", left, asking));
        }
        if let (Some(left), Some(portions)) = (left, self.storage.portions) {
            #[expect(clippy::cast_precision_loss, reason = "at most 500")]
            let each = Mass::grams(left.as_grams() / portions as f64);
            let holes = [("portions", &*portions.to_string()), ("each", &format::mass(each, unit))];
            reply.lines.push(say("batch.store.portions_of", &holes));
        }
        if let Some(row) = keeping(self.storage.kind.word()) {
            reply.lines.push(self.until(row, asking));
        }
        if self.storage.kind == StorageKind::Vacuum && state.stage().0 <= BatchStage::Equalising {
            reply.lines.push(say("batch.store.equalise", &[]));
        }
        self.place(&mut reply, state);
        reply.judges = true;
        reply
    }

    fn until(&self, row: &Keeping, asking: &Asking) -> String {
        let until = time::moment(self.at + TimeDelta::days(row.days), asking.now, asking.zone());
        let standing = standing_shown(row.standing);
        let holes = [
            ("text", &*rows::name("keeping", &row.how, &row.text)),
            ("until", until.rsplit_once(' ').map_or(&*until, |(day, _)| day)),
            ("at", &format::trimmed(row.at_c, 0)),
            ("standing", &standing),
        ];
        say("batch.store.until", &holes)
    }

    /// Whether the place will do: bound to what was measured.
    fn place(&self, reply: &mut Reply, state: &BatchState) {
        let at = self.storage.temperature;
        let measured = measured(&self.storage, state);
        match storage::place(at, measured.as_ref()) {
            Place::Cold => {}
            Place::RoomAllowed => reply.note(Level::Notice, say("batch.store.room_allowed", &[])),
            Place::RoomUnmeasured => reply.note(Level::Caution, say("batch.store.room_unmeasured", &[])),
            Place::RoomRefused => reply.note(Level::Warning, say("batch.store.room_refused", &[])),
        }
        let is_airless = matches!(self.storage.kind, StorageKind::Vacuum | StorageKind::Oil);
        if is_airless && is_airless_danger(at, measured.as_ref()) {
            reply.note(Level::Warning, say("batch.store.airless", &[]));
        }
        if is_airless && !state.observations.is_empty() {
            reply.note(Level::Notice, say("batch.store.brush", &[]));
        }
    }
}

/// The figures of the line, else those measured at an earlier storing; both are needed.
pub(in crate::command) fn measured(storage: &Storage, state: &BatchState) -> Option<Measured> {
    let earlier = state.stored.iter().rev();
    let ph: Option<Ph> = storage.ph.or_else(|| earlier.clone().find_map(|(storage, _)| storage.ph));
    let activity: Option<WaterActivity> =
        storage.water_activity.or_else(|| earlier.clone().find_map(|(storage, _)| storage.water_activity));
    Some(Measured { ph: ph?, activity: activity?, ph_off: PH_OFF, activity_off: ACTIVITY_OFF })
}

/// What the pieces that still hang weighed last, together; `None` where none hangs.
fn weight_left(state: &BatchState) -> Option<Mass> {
    let nets: Vec<Mass> = state.hanging().map(Piece::last_net).collect();
    (!nets.is_empty()).then(|| nets.into_iter().sum())
}
