//! What a study found of salt, pH and days: the second way of `/check drying`.

use super::treatment;
use crate::command::Args;
use crate::command::error::UserError;
use crate::command::figures;
use crate::curing::Level;
use crate::curing::parasites::{NoAnswer, Ripened, Room, SaltPh, salt_ph, tables};
use crate::quantity::{format, parse};
use crate::reply::{Reply, say};

/// A sausage that fermented and dries.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ripening(Ripened);

impl Ripening {
    pub(super) fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self(Ripened {
            ph: args.ph("ph")?.ok_or_else(|| args.missing("ph"))?,
            salt: args.percent("salt")?.ok_or_else(|| args.missing("salt"))?,
            since_stuffing: treatment::time(args, "days", 24.0)?.ok_or_else(|| args.missing("days"))?,
            room: args.read("room", parse::temperature)?,
        }))
    }

    pub(super) fn reply(&self) -> Reply {
        let found = salt_ph(self.0);
        let (word, key) = match found {
            Err(NoAnswer::Ph) => ("no_answer", "check.salt_ph.no_answer_ph"),
            Err(NoAnswer::Salt) => ("no_answer", "check.salt_ph.no_answer_salt"),
            Ok(SaltPh { room: Room::Other, .. }) => ("information", "check.salt_ph.other_room"),
            Ok(SaltPh { room: Room::Unknown, .. }) => ("information", "check.salt_ph.no_room"),
            Ok(SaltPh { is_reached: true, .. }) => ("meets", "check.salt_ph.met"),
            Ok(_) => ("not_met", "check.salt_ph.not_met"),
        };
        let holes = [
            ("ph", &*format::ph(self.0.ph)),
            ("salt", &format::percent(self.0.salt)),
            ("days", &format::trimmed(self.0.since_stuffing.value() / 24.0, 1)),
            ("asked", &found.map(|found| format::trimmed(found.row.days, 0)).unwrap_or_default()),
        ];
        let mut reply = Reply::new("check drying", say(key, &holes));
        reply
            .figures
            .extend(found.ok().map(|found| figures::hours("required_hours", found.row.days * 24.0).folded()));
        reply.lines.extend(tables().source_of("study.salt_ph").map(treatment::source));
        treatment::verdict(&mut reply, word);
        reply.note(Level::Notice, say("check.salt_ph.information", &[]));
        reply
    }
}
