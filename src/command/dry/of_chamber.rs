//! The air of a chamber by its last reading, corrected by the hygrometer's last check.

use crate::command::asking::{Asking, Services};
use crate::command::chamber::air as chamber_air;
use crate::command::error::{Code, CommandError, UserError};
use crate::command::lookup;
use crate::command::why::Why;
use crate::curing::Level;
use crate::curing::air::Air;
use crate::reply::{Reply, say};

/// A chamber's air, and what is to be said of the reading behind it.
pub(super) struct Read {
    /// The air, its humidity corrected where it can be.
    pub(super) air: Air,
    line: String,
    notes: Vec<&'static str>,
}

impl Read {
    /// The last readings of a chamber.
    pub(super) async fn of(services: &Services, asking: &Asking, name: &str) -> Result<Self, CommandError> {
        let chamber = lookup::chamber(services, asking, Some(name)).await?;
        let known = chamber_air::Air::at(services, chamber.id, asking.now).await?;
        let (Some((temperature, _)), Some((raw, _))) = (known.temperature, known.humidity) else {
            let sentence = say("dry.air.not_read", &[("chamber", &chamber.name)]);
            return Err(UserError::new(Code::DoesNotFit, sentence, "13 C 80%").into());
        };
        let humidity = known.corrected.as_ref().map_or(raw, |corrected| corrected.corrected);
        let air = Air::new(temperature, humidity).map_err(|error| {
            let sentence = say("dry.air.refused", &[("why", &error.why())]);
            UserError::new(Code::OutOfRange, sentence, "13 C 80%")
        })?;
        let notes = match &known.corrected {
            None => vec!["dry.air.unchecked"],
            Some(corrected) => corrected.doubts.iter().copied().map(chamber_air::doubt_key).collect(),
        };
        let shown = known.read_shown(asking).unwrap_or_default();
        let line = say("dry.air.of_chamber", &[("chamber", &chamber.name), ("read", &shown)]);
        Ok(Self { air, line, notes })
    }

    /// Says what was read, and what takes trust from it.
    pub(super) fn tell(&self, reply: &mut Reply) {
        reply.lines.insert(0, self.line.clone());
        for key in &self.notes {
            reply.note(Level::Notice, say(key, &[]));
        }
    }
}
