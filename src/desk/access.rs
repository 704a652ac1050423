//! Who writes: found by name or by their number on a chat platform, or made a member on the first line.

use super::incoming::{ChatSender, Sender};
use crate::command::lookup::HOME_CHAMBER;
use crate::command::pictures::Files;
use crate::command::{Asking, CommandError, Seen, Services, in_another_language};
use crate::record::{Chamber, Group, GroupSettings, Member, MemberSettings, Role};
use crate::reply::Language;
use crate::store::{Change, Store};
use chrono::{DateTime, Utc};

/// The longest name of a member or a group that is kept.
const LONGEST_NAME: usize = 60;

/// A direct conversation's group.
pub(super) const DIRECT_GROUP: &str = "direct";

/// The group and the member, where both are known and nothing about them is new.
pub(super) fn known(store: &Store, sender: &Sender) -> Option<(Group, Member)> {
    match sender {
        Sender::Named { group, member } => {
            let group = store.group_by_name(group)?;
            let member = store.member_by_name(group.id, member)?;
            Some((group, member))
        }
        Sender::Chat(sender) => {
            let (group, member) = known_by_chat(store, sender)?;
            (updated(&member, sender).is_none()).then_some((group, member))
        }
    }
}

/// The group and the member, where both are known, whatever may be new about them.
pub(super) fn known_at_all(store: &Store, sender: &Sender) -> Option<(Group, Member)> {
    match sender {
        Sender::Named { .. } => known(store, sender),
        Sender::Chat(sender) => known_by_chat(store, sender),
    }
}

/// The group and the member a line comes from, and whether the member is new; made on the first line.
pub(super) async fn enter(
    services: &Services,
    sender: &Sender,
    now: DateTime<Utc>,
) -> Result<(Group, Member, bool), CommandError> {
    let store = &services.store;
    if let Some((group, member)) = known(store, sender) {
        return Ok((group, member, false));
    }
    match sender {
        Sender::Named { group, member } => join_by_name(store, group, member).await,
        Sender::Chat(sender) => join_by_chat(services, sender, now).await,
    }
}

async fn join_by_name(
    store: &Store,
    group: &str,
    author: &str,
) -> Result<(Group, Member, bool), CommandError> {
    let mut change = Change::default();
    let found = store.group_by_name(group);
    // The first member of a group looks after it.
    let role = if found.is_none() { Role::Steward } else { Role::Member };
    let group = found.unwrap_or_else(|| new_group(store, &mut change, group));
    let member = new_member(store, &mut change, &group, author, role);
    store.commit(change).await?;
    Ok((group, member, true))
}

/// Asking nothing in particular.
fn asking(group: Group, member: Member, now: DateTime<Utc>) -> Asking {
    Asking {
        member,
        group,
        now,
        request: None,
        confirmed: false,
        place: None,
        moderates: false,
        typed: String::new(),
        file: None,
        files: Files::default(),
        seen: Seen::default(),
    }
}

/// In a direct conversation a member stands in the first group they joined, else in one of their own.
fn known_by_chat(store: &Store, sender: &ChatSender) -> Option<(Group, Member)> {
    let member = store.member_by_chat(sender.user)?;
    let group = match &sender.group {
        Some((guild, _)) => store.group_by_chat(*guild)?,
        None => store.group(member.group)?,
    };
    let member = store.member(member.id, group.id)?;
    Some((group, member))
}

async fn join_by_chat(
    services: &Services,
    sender: &ChatSender,
    now: DateTime<Utc>,
) -> Result<(Group, Member, bool), CommandError> {
    let store = &services.store;
    let mut change = Change::default();
    if let Some((group, before)) = known_by_chat(store, sender) {
        let member = updated(&before, sender).unwrap_or_else(|| before.clone());
        if Language::of_settings(&member.settings) != Language::of_settings(&before.settings) {
            // What waits to be said was worded in the other language.
            let asking = asking(group.clone(), member.clone(), now);
            change.reminder_plans = in_another_language(services, &asking).await?;
        }
        change.members.push(member.clone());
        store.commit(change).await?;
        return Ok((group, member, false));
    }
    let (chat, name) = sender.group.as_ref().map_or((sender.user, DIRECT_GROUP), |(id, name)| (*id, name));
    let group = store.group_by_chat(chat).unwrap_or_else(|| {
        let group = Group { chat: Some(chat), ..new_group(store, &mut change, name) };
        change.groups = vec![group.clone()];
        group
    });
    // In their own conversation everybody is their own steward; elsewhere the platform says who is.
    let manages = sender.manages.unwrap_or(sender.group.is_none());
    let role = if manages { Role::Steward } else { Role::Member };
    let before = store.member_by_chat(sender.user);
    let is_new = before.is_none();
    let member = match before {
        Some(before) => {
            let settings = heard(&before.settings, sender);
            Member { group: group.id, role, name: short(&sender.name), settings, ..before }
        }
        None => Member {
            chat: Some(sender.user),
            settings: heard(&MemberSettings::default(), sender),
            ..new_member(store, &mut change, &group, &short(&sender.name), role)
        },
    };
    change.members = vec![member.clone()];
    store.commit(change).await?;
    Ok((group, member, is_new))
}

/// The member with the name and the role the platform gives them now, if either is new.
fn updated(member: &Member, sender: &ChatSender) -> Option<Member> {
    let role = match sender.manages {
        Some(true) => Role::Steward,
        Some(false) => Role::Member,
        None => member.role,
    };
    let name = short(&sender.name);
    let new = Member { name, role, settings: heard(&member.settings, sender), ..member.clone() };
    (new != *member).then_some(new)
}

/// The settings with the language that the platform is in for them now. One without a wording is heard as English, so
/// that whoever changes their platform from German to French is not spoken to in German for ever.
fn heard(settings: &MemberSettings, sender: &ChatSender) -> MemberSettings {
    let said = sender.locale.as_deref().map(|locale| Language::of_tag(locale).unwrap_or_default());
    let known = settings.heard_language.as_deref();
    let heard_language = match said {
        // English is what is spoken anyway: nothing is written down for it until something else was.
        Some(Language::English) if known.is_none() => None,
        Some(said) => Some(said.tag().to_owned()),
        None => settings.heard_language.clone(),
    };
    MemberSettings { heard_language, ..settings.clone() }
}

/// The language somebody is spoken to in. Who is unknown has the platform's word for it, or none.
pub(super) fn language(store: &Store, sender: &Sender) -> Language {
    match sender {
        Sender::Named { .. } => known(store, sender)
            .map_or_else(Language::default, |(_, member)| Language::of_settings(&member.settings)),
        Sender::Chat(sender) => {
            let settings =
                store.member_by_chat(sender.user).map(|member| member.settings).unwrap_or_default();
            Language::of_settings(&heard(&settings, sender))
        }
    }
}

pub(super) fn new_group(store: &Store, change: &mut Change, name: &str) -> Group {
    let group = Group {
        id: store.next_group_id(),
        name: short(name),
        settings: GroupSettings::default(),
        chat: None,
        left: None,
    };
    change.groups.push(group.clone());
    group
}

fn new_member(store: &Store, change: &mut Change, group: &Group, name: &str, role: Role) -> Member {
    let member = Member {
        id: store.next_member_id(),
        group: group.id,
        name: name.to_owned(),
        role,
        settings: MemberSettings::default(),
        chat: None,
    };
    change.members.push(member.clone());
    change.chambers.push(Chamber {
        id: store.next_chamber_id(),
        owner: member.id,
        name: HOME_CHAMBER.to_owned(),
    });
    member
}

/// A name as it is kept: what cannot be seen is left out, and it ends somewhere.
pub(super) fn short(name: &str) -> String {
    let seen =
        name.chars().filter(|letter| !letter.is_control() && !crate::command::line::is_hidden(*letter));
    let name: String = seen.take(LONGEST_NAME).collect();
    let name = name.trim();
    if name.is_empty() { "member".to_owned() } else { name.to_owned() }
}
