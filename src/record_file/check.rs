//! Whether the parts of a file hang together: numbers are given once, and what is referred to is there.

use super::document::RecordFile;
use super::entry::{About, Entry, What};
use super::logged;
use super::read::Fault;
use crate::record::ReminderKind;
use chrono_tz::Tz;
use std::collections::BTreeSet;

/// The largest whole number that every program reads from JSON as it was written (RFC 8259, section 6).
const LARGEST: i64 = 9_007_199_254_740_991;

/// What a number of the file stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    /// A batch.
    Batch,
    /// A chamber.
    Chamber,
    /// A meter.
    Meter,
    /// An entry.
    Entry,
    /// A group.
    Group,
}

/// What does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Misfit {
    /// A number that is none: not from 1 up.
    NoNumber(i64),
    /// A number that was given before.
    Twice(i64),
    /// It refers to what is not in the file.
    NotThere(Thing, i64),
    /// A correction of what was not written before it.
    CorrectsLater(i64),
    /// A change to what is itself a correction.
    ChangesToCorrection,
    /// The first entry of a batch, about something else than a batch.
    StartsNoBatch,
    /// No time zone.
    NoZone(String),
    /// No number of a chat platform.
    NoChatNumber(String),
    /// No hour of a day.
    NoHour(u32),
    /// A name of nothing.
    NoName,
    /// A row of an entry that brought no file.
    BringsNoFile(i64),
    /// A row in which nothing was measured.
    NothingMeasured,
    /// Two rows of one entry and one moment.
    SameMoment(i64),
    /// An entry with another count of rows than there are.
    OtherCount(u32),
}

/// Whether everything hangs together; else the first place where it does not.
pub(super) fn check(file: &RecordFile) -> Result<(), Fault> {
    let known = Known {
        groups: numbers("groups", file.groups.iter().map(|group| group.id))?,
        chambers: numbers("chambers", file.chambers.iter().map(|chamber| chamber.id))?,
        meters: numbers("meters", file.meters.iter().map(|meter| meter.id))?,
        entries: numbers("entries", file.entries.iter().map(|entry| entry.id))?,
        batches: started(&file.entries)?,
    };
    numbers("reminders", file.reminders.iter().map(|reminder| reminder.id))?;
    settings(file)?;
    for (position, entry) in file.entries.iter().enumerate() {
        let place = format!("/entries/{position}");
        known.about(entry.about).map_err(at(format!("{place}/about")))?;
        zone(&entry.zone).map_err(at(format!("{place}/zone")))?;
        known.what(entry, &entry.what).map_err(at(format!("{place}/what")))?;
    }
    rest(file, &known)?;
    logged::check(file)
}

/// Settings, groups and names.
fn settings(file: &RecordFile) -> Result<(), Fault> {
    if let Some(number) = &file.owner.chat_account {
        chat(number).map_err(at("/owner/chat_account".to_owned()))?;
    }
    if let Some(name) = &file.owner.settings.timezone {
        zone(name).map_err(at("/owner/settings/timezone".to_owned()))?;
    }
    for (position, group) in file.groups.iter().enumerate() {
        let place = format!("/groups/{position}");
        if let Some(number) = &group.chat_group {
            chat(number).map_err(at(format!("{place}/chat_group")))?;
        }
        if let Some(name) = &group.timezone {
            zone(name).map_err(at(format!("{place}/timezone")))?;
        }
        hour(group.quiet_from_hour).map_err(at(format!("{place}/quiet_from_hour")))?;
        hour(group.quiet_until_hour).map_err(at(format!("{place}/quiet_until_hour")))?;
        named(&group.name).map_err(at(format!("{place}/name")))?;
    }
    for (list, things) in [("chambers", &file.chambers), ("meters", &file.meters)] {
        for (position, thing) in things.iter().enumerate() {
            named(&thing.name).map_err(at(format!("/{list}/{position}/name")))?;
        }
    }
    Ok(())
}

/// Reminders, shares and recipes.
fn rest(file: &RecordFile, known: &Known) -> Result<(), Fault> {
    let mut planned = BTreeSet::new();
    for (position, reminder) in file.reminders.iter().enumerate() {
        let place = format!("/reminders/{position}");
        let Some(batch) = reminder.batch else { continue };
        known.batch(batch).map_err(at(format!("{place}/batch")))?;
        let of_plan = reminder.kind != ReminderKind::Own;
        if of_plan && !planned.insert((batch, reminder.kind, reminder.occurrence)) {
            return Err(at(format!("{place}/occurrence"))(Misfit::Twice(reminder.occurrence.into())));
        }
    }
    let mut shown = BTreeSet::new();
    for (position, share) in file.shares.iter().enumerate() {
        let place = format!("/shares/{position}");
        known.batch(share.batch).map_err(at(format!("{place}/batch")))?;
        known.group(share.group).map_err(at(format!("{place}/group")))?;
        if !shown.insert(share.batch) {
            return Err(at(format!("{place}/batch"))(Misfit::Twice(share.batch)));
        }
    }
    for (position, kept) in file.formulations.iter().enumerate() {
        let place = format!("/formulations/{position}");
        known.group(kept.group).map_err(at(format!("{place}/group")))?;
        named(&kept.name).map_err(at(format!("{place}/name")))?;
    }
    Ok(())
}

/// The numbers of what is there.
struct Known {
    groups: BTreeSet<i64>,
    chambers: BTreeSet<i64>,
    meters: BTreeSet<i64>,
    entries: BTreeSet<i64>,
    batches: BTreeSet<i64>,
}

impl Known {
    fn batch(&self, number: i64) -> Result<(), Misfit> {
        there(&self.batches, Thing::Batch, number)
    }

    fn group(&self, number: Option<i64>) -> Result<(), Misfit> {
        number.map_or(Ok(()), |number| there(&self.groups, Thing::Group, number))
    }

    fn about(&self, about: About) -> Result<(), Misfit> {
        match about {
            About::Batch(batch) | About::Piece { batch, .. } | About::Sample(batch) => self.batch(batch),
            About::Chamber(chamber) => there(&self.chambers, Thing::Chamber, chamber),
            About::Meter(meter) => there(&self.meters, Thing::Meter, meter),
        }
    }

    fn what(&self, entry: &Entry, what: &What) -> Result<(), Misfit> {
        match what {
            What::BatchStarted(plan) => {
                there(&self.chambers, Thing::Chamber, plan.chamber)?;
                self.group(plan.group)?;
                named(&plan.name)
            }
            What::Moved { chamber } => there(&self.chambers, Thing::Chamber, *chamber),
            What::Undone { of } => self.corrects(entry, *of),
            What::Changed { of, to } => {
                self.corrects(entry, *of)?;
                if matches!(**to, What::Undone { .. } | What::Changed { .. }) {
                    return Err(Misfit::ChangesToCorrection);
                }
                self.what(entry, to)
            }
            _ => Ok(()),
        }
    }

    /// Only what was written before can be corrected: else two could correct each other.
    fn corrects(&self, entry: &Entry, of: i64) -> Result<(), Misfit> {
        there(&self.entries, Thing::Entry, of)?;
        if of < entry.id { Ok(()) } else { Err(Misfit::CorrectsLater(of)) }
    }
}

pub(super) fn at(place: String) -> impl FnOnce(Misfit) -> Fault {
    move |misfit| Fault::Misfit { place, misfit }
}

fn there(known: &BTreeSet<i64>, thing: Thing, number: i64) -> Result<(), Misfit> {
    if known.contains(&number) { Ok(()) } else { Err(Misfit::NotThere(thing, number)) }
}

/// Each of them once, from 1 up.
fn numbers(list: &str, ids: impl Iterator<Item = i64>) -> Result<BTreeSet<i64>, Fault> {
    let mut seen = BTreeSet::new();
    for (position, id) in ids.enumerate() {
        let place = || format!("/{list}/{position}/id");
        if !(1..=LARGEST).contains(&id) {
            return Err(at(place())(Misfit::NoNumber(id)));
        }
        if !seen.insert(id) {
            return Err(at(place())(Misfit::Twice(id)));
        }
    }
    Ok(seen)
}

/// The batches that are started, each once.
fn started(entries: &[Entry]) -> Result<BTreeSet<i64>, Fault> {
    let mut seen = BTreeSet::new();
    for (position, entry) in entries.iter().enumerate() {
        if !matches!(entry.what, What::BatchStarted(_)) {
            continue;
        }
        let place = format!("/entries/{position}/about");
        let About::Batch(batch) = entry.about else { return Err(at(place)(Misfit::StartsNoBatch)) };
        if !(1..=LARGEST).contains(&batch) {
            return Err(at(place)(Misfit::NoNumber(batch)));
        }
        if !seen.insert(batch) {
            return Err(at(place)(Misfit::Twice(batch)));
        }
    }
    Ok(seen)
}

fn zone(name: &str) -> Result<(), Misfit> {
    name.parse::<Tz>().map(|_| ()).map_err(|_| Misfit::NoZone(name.to_owned()))
}

fn chat(number: &str) -> Result<(), Misfit> {
    let read = number.parse::<i64>().ok().filter(|number| *number > 0);
    read.map(|_| ()).ok_or_else(|| Misfit::NoChatNumber(number.to_owned()))
}

fn hour(hour: u32) -> Result<(), Misfit> {
    if hour < 24 { Ok(()) } else { Err(Misfit::NoHour(hour)) }
}

fn named(name: &str) -> Result<(), Misfit> {
    if name.trim().is_empty() { Err(Misfit::NoName) } else { Ok(()) }
}
