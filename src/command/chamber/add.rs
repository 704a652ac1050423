//! `/chamber add`: names a place where batches hang.

use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::lookup::typable;
use crate::command::spec::{OptionKind, Spec, needed};
use crate::quantity::TemperatureScale;
use crate::record::Chamber;
use crate::reply::{Reply, say};
use crate::store::{Change, fold};

/// `/chamber add`
pub static SPEC: Spec = Spec {
    root: "chamber",
    verb: "add",
    aliases: &["new"],
    summary: "name a place with a climate: a refrigerator, a fermenting box, a drying room",
    options: &[needed("name", OptionKind::Text, "what you call it, e.g. drying room")],
    examples: ["chamber add name:drying room", "chamber add name:fermenting box"],
    private: false,
};

/// The longest name of a chamber.
const LONGEST_NAME: usize = 40;
/// Most chambers of one member. Our choice.
const MOST_CHAMBERS: usize = 50;

/// A chamber to be named.
#[derive(Debug, Clone)]
pub struct ChamberAdd {
    name: String,
}

impl ChamberAdd {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let name = args.needed("name")?.split_whitespace().collect::<Vec<_>>().join(" ");
        if name.chars().count() > LONGEST_NAME {
            let most = LONGEST_NAME.to_string();
            return Err(args.error(Code::OutOfRange, say("chamber.add.name_too_long", &[("most", &most)])));
        }
        Ok(Self { name })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let known = services.store.chambers_of(asking.member.id).await?;
        if let Some(same) = known.iter().find(|chamber| fold(&chamber.name) == fold(&self.name)) {
            let sentence = say("chamber.add.known", &[("name", &same.name)]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "chamber list").into());
        }
        if known.len() >= MOST_CHAMBERS {
            let sentence = say("chamber.add.too_many", &[("most", &MOST_CHAMBERS.to_string())]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "chamber list").into());
        }
        let chamber = Chamber {
            id: services.store.next_chamber_id(),
            owner: asking.member.id,
            name: self.name.clone(),
        };
        let mut reply = Reply::new("chamber add", say("chamber.add.done", &[("name", &self.name)]));
        reply.next = Some(say(next_key(asking), &[("name", &typable(&self.name))]));
        Ok(Done::keeping(Change { chambers: vec![chamber], ..Change::default() }, reply))
    }
}

const fn next_key(asking: &Asking) -> &'static str {
    match asking.member.settings.temperature {
        TemperatureScale::Celsius => "chamber.add.next_celsius",
        TemperatureScale::Fahrenheit => "chamber.add.next_fahrenheit",
    }
}
