//! What members may do in a group by the platform's own rules. A command and a press say it; a message brings only its
//! writer's roles, so what each role allows is kept from the group's own description (the platform's reference,
//! "Permissions": the owner may do everything, everybody else what any of their roles or the group's own role allows).

use super::inbound::id;
use crate::record::ChatId;
use serenity::model::guild::Role;
use serenity::model::id::{RoleId, UserId};
use serenity::model::permissions::Permissions;
use std::collections::HashMap;

/// What is known of a group's owner and roles.
#[derive(Debug)]
pub(super) struct Rights {
    owner: ChatId,
    /// What everybody may do.
    everybody: ChatId,
    roles: HashMap<ChatId, Permissions>,
}

/// What a member may do in a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct May {
    /// Look after it.
    pub(super) manage: bool,
    /// Take down what others wrote.
    pub(super) moderate: bool,
}

impl Rights {
    /// As the platform describes a group, whose number is also that of everybody's role.
    pub(super) fn of(group: ChatId, owner: UserId, roles: &HashMap<RoleId, Role>) -> Self {
        let roles = roles.values().map(|role| (id(role.id.get()), role.permissions)).collect();
        Self { owner: id(owner.get()), everybody: group, roles }
    }

    /// A role was made or changed.
    pub(super) fn set(&mut self, role: &Role) {
        self.roles.insert(id(role.id.get()), role.permissions);
    }

    /// A role is gone.
    pub(super) fn remove(&mut self, role: RoleId) {
        self.roles.remove(&id(role.get()));
    }

    /// What somebody with these roles may do.
    pub(super) fn may(&self, user: ChatId, roles: &[ChatId]) -> May {
        let theirs = std::iter::once(&self.everybody).chain(roles).filter_map(|role| self.roles.get(role));
        let allowed = theirs.fold(Permissions::empty(), |all, role| all | *role);
        let has = |right| user == self.owner || allowed.intersects(Permissions::ADMINISTRATOR | right);
        May { manage: has(Permissions::MANAGE_GUILD), moderate: has(Permissions::MANAGE_MESSAGES) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_owner_a_role_and_everybodys_role() {
        let (group, owner, anybody) = (ChatId(1), ChatId(2), ChatId(3));
        let roles = [
            (group, Permissions::SEND_MESSAGES),
            (ChatId(10), Permissions::MANAGE_GUILD),
            (ChatId(11), Permissions::MANAGE_MESSAGES),
            (ChatId(12), Permissions::ADMINISTRATOR),
        ];
        let mut rights = Rights { owner, everybody: group, roles: HashMap::from(roles) };
        let may = |manage, moderate| May { manage, moderate };
        assert_eq!(rights.may(owner, &[]), may(true, true));
        assert_eq!(rights.may(anybody, &[]), may(false, false));
        assert_eq!(rights.may(anybody, &[ChatId(10)]), may(true, false));
        assert_eq!(rights.may(anybody, &[ChatId(11)]), may(false, true));
        assert_eq!(rights.may(anybody, &[ChatId(11), ChatId(12)]), may(true, true));
        assert_eq!(rights.may(anybody, &[ChatId(99)]), may(false, false), "a role that is not known");
        rights.remove(RoleId::new(10));
        assert_eq!(rights.may(anybody, &[ChatId(10)]), may(false, false));
    }
}
