//! Takes a record file back, whole, into a record in which nobody is yet. No line of the chat does this: it is for who
//! has the record in hand.

use super::asking::Services;
use super::error::{Code, CommandError, UserError};
use super::line::shown;
use super::why::Why;
use crate::clock::{is_on_the_calendar, to_milliseconds};
use crate::curing::Country;
use crate::quantity::Mass;
use crate::record::{
    BatchId, BatchState, ChatId, Event, Group, GroupId, GroupSettings, Member, MemberSettings, QuietHours,
    Role,
};
use crate::record_file::{self, Fault, Owned, RecordFile};
use crate::reply::{Language, Reply, in_language, say};
use crate::store::{BatchWrite, Change, ShareWrite, fold};
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::{BTreeMap, BTreeSet};

/// The largest file that is taken, in bytes: more than 100,000 entries with everything said of each.
pub const LARGEST_FILE: u64 = 64 * 1024 * 1024;

/// How far the clocks of two machines may differ. Our choice.
const CLOCKS_DIFFER: TimeDelta = TimeDelta::minutes(5);

/// Of whom and where a record becomes.
#[derive(Debug, Clone, Copy)]
pub struct Taker<'a> {
    /// The group of the front end.
    pub group: &'a str,
    /// What the member is called there.
    pub member: &'a str,
}

/// Keeps what a file says, in one change, or says what is wrong with it.
///
/// # Errors
/// [`UserError`] for a file that cannot be taken and for a record that is not empty; the store's.
pub async fn restore(
    services: &Services,
    taker: Taker<'_>,
    bytes: &[u8],
    now: DateTime<Utc>,
) -> Result<Reply, CommandError> {
    if !services.store.is_empty().await? {
        return Err(refused(say("restore.not_empty", &[])).into());
    }
    let file = record_file::read(bytes).map_err(|fault| of_fault(&fault))?;
    check_moments(&file, now)?;
    check_settings(&file)?;
    check_names(&file)?;
    let change = change(services, taker, &file)?;
    let language = Language::of_settings(&MemberSettings::from(&file.owner.settings));
    let reply = in_language(language, || told(taker, &file, &change));
    services.store.commit(change).await?;
    Ok(reply)
}

fn refused(sentence: String) -> UserError {
    UserError::new(
        Code::DoesNotFit,
        sentence,
        "tallyhook restore --as mara --data new.db tallyhook-record.json",
    )
}

fn of_fault(fault: &Fault) -> UserError {
    refused(fault.why())
}

/// What happened cannot lie ahead, and every moment must come back as it went in.
fn check_moments(file: &RecordFile, now: DateTime<Utc>) -> Result<(), UserError> {
    for moment in file.moments() {
        let key = if !is_on_the_calendar(moment.at) {
            "restore.off_the_calendar"
        } else if to_milliseconds(moment.at) != moment.at {
            "restore.too_fine"
        } else if moment.is_past && moment.at > now + CLOCKS_DIFFER {
            "restore.ahead"
        } else {
            continue;
        };
        let holes = [("place", &*moment.place), ("at", &moment.at.to_rfc3339())];
        return Err(refused(say(key, &holes)));
    }
    Ok(())
}

fn check_settings(file: &RecordFile) -> Result<(), UserError> {
    let of_groups = file.groups.iter().enumerate();
    let countries = of_groups
        .map(|(position, group)| (format!("/groups/{position}/country"), &group.country))
        .chain([("/owner/settings/country".to_owned(), &file.owner.settings.country)]);
    for (place, country) in countries {
        if let Some(country) = country.as_deref().filter(|country| Country::parse(country).is_none()) {
            return Err(refused(say("restore.no_country", &[("place", &place), ("country", country)])));
        }
    }
    let settings = MemberSettings::from(&file.owner.settings);
    if settings.scale_step <= Mass::grams(0.0) {
        let holes = [("place", "/owner/settings/scale_step_g")];
        return Err(refused(say("restore.no_step", &holes)));
    }
    Ok(())
}

/// No two things of a sort have the same name, however it is written.
fn check_names(file: &RecordFile) -> Result<(), UserError> {
    once("chambers", file.chambers.iter().map(|kept| kept.name.as_str()))?;
    once("meters", file.meters.iter().map(|kept| kept.name.as_str()))?;
    once("formulations", file.formulations.iter().map(|kept| kept.name.as_str()))
}

fn once<'a>(list: &str, names: impl Iterator<Item = &'a str>) -> Result<(), UserError> {
    let mut seen = BTreeSet::new();
    for (position, name) in names.enumerate() {
        if !seen.insert(fold(name)) {
            return Err(name_twice(&format!("/{list}/{position}/name"), name));
        }
    }
    Ok(())
}

fn name_twice(place: &str, name: &str) -> UserError {
    let why = say("restore.why.name_twice", &[("name", &shown(name))]);
    refused(say("restore.misfit", &[("place", place), ("why", &why)]))
}

/// Everything to be kept.
fn change(services: &Services, taker: Taker<'_>, file: &RecordFile) -> Result<Change, UserError> {
    let mut change = Change::default();
    let owned = people(services, taker, file, &mut change);
    change.chambers = file.chambers.iter().map(|kept| owned.chamber(kept)).collect();
    change.meters = file.meters.iter().map(|kept| owned.meter(kept)).collect();
    change.events = file.entries.iter().map(|entry| owned.event(entry)).collect();
    change.logged = file.logged();
    change.batches = folded(&change.events)?;
    change.reminders = file.reminders.iter().map(|kept| owned.reminder(kept)).collect();
    let share = |share: &record_file::Share| ShareWrite {
        batch: BatchId(share.batch),
        group: owned.group(share.group),
        member: owned.member,
        shared_at: Some(share.shared_at),
        record: share.record.clone(),
    };
    change.shares = file.shares.iter().map(share).collect();
    change.formulations = file.formulations.iter().map(|kept| owned.formulation(kept)).collect();
    Ok(change)
}

/// The groups of the file and that of the front end, and the member in each of them: the first one there, who looks
/// after it.
fn people(services: &Services, taker: Taker<'_>, file: &RecordFile, change: &mut Change) -> Owned {
    let member = services.store.next_member_id();
    let chat = |number: &Option<String>| Some(ChatId(number.as_deref()?.parse().ok()?));
    let settings = MemberSettings::from(&file.owner.settings);
    let account = chat(&file.owner.chat_account);
    let mut join = |group: Group, name: &str, role: Role| {
        let (id, group_id, name, settings) = (member, group.id, name.to_owned(), settings.clone());
        change.groups.push(group);
        change.members.push(Member { id, group: group_id, name, role, settings, chat: account });
    };
    let mut groups: BTreeMap<i64, GroupId> = BTreeMap::new();
    let mut home = None;
    for kept in &file.groups {
        let group = Group { chat: chat(&kept.chat_group), ..group(services, &kept.name) };
        let is_home = home.is_none() && fold(&kept.name) == fold(taker.group);
        groups.insert(kept.id, group.id);
        let settings = GroupSettings {
            country: kept.country.clone(),
            timezone: kept.timezone.clone(),
            quiet_hours: QuietHours { from: kept.quiet_from_hour, until: kept.quiet_until_hour },
            ..group.settings.clone()
        };
        let name = if is_home { taker.member } else { &kept.member_name };
        home = home.or(is_home.then_some(group.id));
        // Of a group on a chat platform, the platform says who looks after it.
        let role = if group.chat.is_some() { kept.role } else { Role::Steward };
        join(Group { settings, ..group }, name, role);
    }
    let home = home.unwrap_or_else(|| {
        let group = group(services, taker.group);
        let id = group.id;
        join(group, taker.member, Role::Steward);
        id
    });
    Owned { member, groups, home }
}

/// The group of a name that is left over from those who were in it, or a new one.
fn group(services: &Services, name: &str) -> Group {
    services.store.group_by_name(name).unwrap_or_else(|| Group {
        id: services.store.next_group_id(),
        name: name.to_owned(),
        settings: GroupSettings::default(),
        chat: None,
        left: None,
    })
}

/// What the entries of each batch add up to.
fn folded(events: &[Event]) -> Result<Vec<BatchWrite>, UserError> {
    let mut of_batches: BTreeMap<BatchId, Vec<Event>> = BTreeMap::new();
    for event in events {
        if let Some(batch) = event.subject.batch() {
            of_batches.entry(batch).or_default().push(event.clone());
        }
    }
    let mut names = BTreeSet::new();
    let mut rebuilt = |(batch, events): (BatchId, Vec<Event>)| {
        let state = BatchState::rebuild(&events)
            .ok_or_else(|| refused(say("restore.batch_without_start", &[("batch", &batch.to_string())])))?;
        if !names.insert(fold(&state.plan.name)) {
            return Err(name_twice(&batch.to_string(), &state.plan.name));
        }
        Ok(BatchWrite { state, computed_from: 0 })
    };
    of_batches.into_iter().map(&mut rebuilt).collect()
}

fn told(taker: Taker<'_>, file: &RecordFile, change: &Change) -> Reply {
    let holes = [
        ("member", taker.member),
        ("batches", &change.batches.len().to_string()),
        ("entries", &change.events.len().to_string()),
        ("chambers", &change.chambers.len().to_string()),
        ("reminders", &change.reminders.len().to_string()),
        ("formulations", &change.formulations.len().to_string()),
    ];
    let mut reply = Reply::new("restore", say("restore.done", &holes));
    if !file.entries_elsewhere.is_empty() {
        let count = file.entries_elsewhere.len().to_string();
        reply.lines.push(say("restore.elsewhere_left", &[("count", &count)]));
    }
    reply
}
