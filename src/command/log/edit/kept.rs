//! What was kept of a message that was edited: its readings, as they count by now.

use crate::command::asking::{Asking, Services};
use crate::command::describe::describe;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::log::change::is_reading;
use crate::command::log::reading::setting::Setting;
use crate::command::log::{entries_shown, ids_shown, own};
use crate::record::correction::effective;
use crate::record::{BatchState, Event, EventId, Happening};
use crate::reply::say;

/// What was kept of the message.
pub(super) struct Kept {
    /// Its readings, as they count by now.
    pub(super) readings: Vec<Event>,
    /// Every entry beside them, corrections among them.
    pub(super) beside: Vec<Event>,
}

/// What was kept of a message, as it counts. Whatever is no reading, or does not count any more, is not put right by an
/// edit. That pieces which were hung are cased follows from them and stays.
pub(super) async fn kept(services: &Services, asking: &Asking, all: &[Event]) -> Result<Kept, CommandError> {
    let hangs = all.iter().any(|event| matches!(event.what, Happening::PiecesHung { .. }));
    let (mut readings, mut beside) = (Vec::new(), Vec::<Event>::new());
    for event in all {
        let event = own::entry(services, asking, event.id).await?;
        if hangs && matches!(event.what, Happening::StageReached { .. }) {
            continue;
        }
        if !is_reading(&event.what) {
            let (id, was) = (event.id.to_string(), describe(&event.what, asking));
            let sentence = say("log.change.other_sort", &[("id", &id), ("was", &was)]);
            return Err(UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{id}")).into());
        }
        if beside.iter().all(|known| known.id != event.id) {
            beside.extend(own::beside(services, &event).await?);
        }
        readings.push(event);
    }
    let counting = effective(&beside);
    let undone = own::undone_by(&beside);
    for reading in &mut readings {
        if let Some(by) = undone.get(&reading.id) {
            let holes = [("id", &*reading.id.to_string()), ("by", &by.to_string())];
            let sentence = say("log.change.undone", &holes);
            return Err(UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{by}")).into());
        }
        if let Some(counts) = counting.iter().find(|event| event.id == reading.id) {
            *reading = counts.clone();
        }
    }
    Ok(Kept { readings, beside })
}

/// Whether the entries were put right at the moment of the edit or later: it arrives twice, or too late.
pub(super) fn is_overtaken(kept: &Kept, asking: &Asking) -> bool {
    kept.beside.iter().any(|event| {
        matches!(event.what, Happening::Changed { of, .. } if kept.is_of(of))
            && event.recorded_at >= asking.now
    })
}

impl Kept {
    fn is_of(&self, id: EventId) -> bool {
        self.readings.iter().any(|reading| reading.id == id)
    }

    /// "entries 4-5"
    pub(super) fn shown(&self) -> String {
        entries_shown(&self.ids())
    }

    fn ids(&self) -> Vec<i64> {
        self.readings.iter().map(|reading| reading.id.0).collect()
    }

    /// The batch as it was without the readings, at their time; `None` for the air of a chamber.
    pub(super) fn batch_without(&self) -> Option<BatchState> {
        let first = self.readings.iter().find(|reading| reading.subject.batch().is_some())?;
        let mut others = effective(&self.beside);
        others.retain(|event| !self.is_of(event.id) && event.subject.batch() == first.subject.batch());
        BatchState::rebuild_as_of(&others, first.at)
    }

    /// Since when a min/max thermometer remembers was worked out when it was read; the reading itself is no earlier one.
    pub(super) fn remember_extremes(&self, setting: &mut Setting) {
        for reading in &self.readings {
            if let Happening::RoomExtremes { since, .. } = reading.what {
                setting.unsaid.extremes_since = since;
            }
        }
    }

    pub(super) fn error(&self, sentence: String) -> UserError {
        UserError::new(Code::DoesNotFit, sentence, format!("log undo id:{}", ids_shown(&self.ids())))
    }
}
