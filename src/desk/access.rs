//! Who writes: found by name, or made a member on the first line. The first member of a group is its steward.

use crate::command::CommandError;
use crate::command::lookup::HOME_CHAMBER;
use crate::record::{Chamber, Group, GroupSettings, Member, MemberSettings, Role};
use crate::store::{Change, Store};

/// The group and the member, where both are known.
pub(super) fn known(store: &Store, group: &str, author: &str) -> Option<(Group, Member)> {
    let group = store.group_by_name(group)?;
    let member = store.member_by_name(group.id, author)?;
    Some((group, member))
}

/// The group and the member a line comes from; made on the first line.
pub(super) async fn enter(store: &Store, group: &str, author: &str) -> Result<(Group, Member), CommandError> {
    match known(store, group, author) {
        Some(known) => Ok(known),
        None => join(store, group, author).await,
    }
}

async fn join(store: &Store, group: &str, author: &str) -> Result<(Group, Member), CommandError> {
    let mut change = Change::default();
    let found = store.group_by_name(group);
    let role = if found.is_none() { Role::Steward } else { Role::Member };
    let group = found.unwrap_or_else(|| {
        let group =
            Group { id: store.next_group_id(), name: group.to_owned(), settings: GroupSettings::default() };
        change.groups.push(group.clone());
        group
    });
    let member = Member {
        id: store.next_member_id(),
        group: group.id,
        name: author.to_owned(),
        role,
        settings: MemberSettings::default(),
    };
    change.members.push(member.clone());
    change.chambers.push(Chamber {
        id: store.next_chamber_id(),
        owner: member.id,
        name: HOME_CHAMBER.to_owned(),
    });
    store.commit(change).await?;
    Ok((group, member))
}
