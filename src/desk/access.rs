//! Who writes: found by name, or made a member on the first line. The first member of a group is its steward.

use crate::command::CommandError;
use crate::command::lookup::HOME_CHAMBER;
use crate::record::{Chamber, Group, GroupSettings, Member, MemberSettings, Role};
use crate::store::{Change, Store};

/// The group and the member a line comes from.
pub(super) async fn enter(store: &Store, group: &str, author: &str) -> Result<(Group, Member), CommandError> {
    if let Some(group) = store.group_by_name(group)
        && let Some(member) = store.member_by_name(group.id, author)
    {
        return Ok((group, member));
    }
    join(store, group, author).await
}

async fn join(store: &Store, group: &str, author: &str) -> Result<(Group, Member), CommandError> {
    let mut change = Change::default();
    let found = store.group_by_name(group);
    let role = if found.is_none() { Role::Steward } else { Role::Member };
    let group = found.unwrap_or_else(|| {
        let group = Group { id: store.next_group_id(), name: group.to_owned(), settings: GroupSettings::default() };
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
    change.chambers.push(Chamber { id: store.next_chamber_id(), owner: member.id, name: HOME_CHAMBER.to_owned() });
    store.commit(change).await?;
    Ok((group, member))
}

