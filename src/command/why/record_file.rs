//! Why a record file cannot be taken back.

use super::Why;
use crate::command::line::shown;
use crate::record_file::{Fault, Misfit, Thing, VERSION};
use crate::reply::say;

impl Why for Fault {
    fn why(&self) -> String {
        let known = VERSION.to_string();
        match self {
            Self::Broken { line, column, why } => {
                let holes = [("line", &*line.to_string()), ("column", &column.to_string()), ("why", why)];
                say("restore.broken", &holes)
            }
            Self::AnotherFormat => say("restore.another_format", &[]),
            Self::AnotherVersion { version } => {
                say("restore.another_version", &[("version", &shown(version)), ("known", &known)])
            }
            Self::UnknownKind { word, place } => {
                let holes = [("word", &*shown(word)), ("place", place), ("known", &known)];
                say("restore.unknown_kind", &holes)
            }
            Self::Misfit { place, misfit } => {
                say("restore.misfit", &[("place", place), ("why", &misfit.why())])
            }
        }
    }
}

impl Why for Misfit {
    fn why(&self) -> String {
        let numbered = |key: &str, number: i64| say(key, &[("number", &number.to_string())]);
        match self {
            Self::NoNumber(number) => numbered("restore.why.no_number", *number),
            Self::Twice(number) => numbered("restore.why.twice", *number),
            Self::NotThere(thing, number) => numbered(not_there(*thing), *number),
            Self::CorrectsLater(number) => numbered("restore.why.corrects_later", *number),
            Self::ChangesToCorrection => say("restore.why.changes_to_correction", &[]),
            Self::StartsNoBatch => say("restore.why.starts_no_batch", &[]),
            Self::NoZone(name) => say("restore.why.no_zone", &[("name", &shown(name))]),
            Self::NoChatNumber(text) => say("restore.why.no_chat_number", &[("text", &shown(text))]),
            Self::NoHour(hour) => numbered("restore.why.no_hour", i64::from(*hour)),
            Self::NoName => say("restore.why.no_name", &[]),
            Self::BringsNoFile(entry) => numbered("restore.why.brings_no_file", *entry),
            Self::NothingMeasured => say("restore.why.nothing_measured", &[]),
            Self::SameMoment(entry) => numbered("restore.why.same_moment", *entry),
            Self::OtherCount(rows) => numbered("restore.why.other_count", i64::from(*rows)),
        }
    }
}

const fn not_there(thing: Thing) -> &'static str {
    match thing {
        Thing::Batch => "restore.why.no_batch",
        Thing::Chamber => "restore.why.no_chamber",
        Thing::Meter => "restore.why.no_meter",
        Thing::Entry => "restore.why.no_entry",
        Thing::Group => "restore.why.no_group",
    }
}
