//! What members and the assistant itself may do in a group by the platform's own rules. A command and a press say it; a
//! message brings only its writer's roles, so what each role allows is kept from the group's own description (the
//! platform's reference, "Permissions": the owner may do everything, everybody else what any of their roles or the
//! group's own role allows; then a channel's own rules for everybody, for roles and for one member take and give).

use super::inbound::id;
use crate::record::ChatId;
use serenity::model::channel::{GuildChannel, PermissionOverwriteType};
use serenity::model::guild::{Guild, PartialGuild, Role};
use serenity::model::id::RoleId;
use serenity::model::permissions::Permissions;
use std::collections::HashMap;

/// What is known of a group's owner, roles and channels.
#[derive(Debug)]
pub(super) struct Rights {
    owner: ChatId,
    /// What everybody may do.
    everybody: ChatId,
    roles: HashMap<ChatId, Permissions>,
    me: ChatId,
    /// The assistant's own roles.
    mine: Vec<ChatId>,
    channels: HashMap<ChatId, Channel>,
}

/// A channel with its own rules.
#[derive(Debug)]
struct Channel {
    name: String,
    /// For whom, what is given, what is taken.
    rules: Vec<(ChatId, Permissions, Permissions)>,
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
    /// As the platform describes a group at the beginning, whose number is also that of everybody's role.
    pub(super) fn of(guild: &Guild, me: ChatId) -> Self {
        let mine = guild.members.values().find(|member| id(member.user.id.get()) == me);
        let mine = mine.map(|member| member.roles.iter().map(|role| id(role.get())).collect());
        let mut rights = Self {
            owner: id(guild.owner_id.get()),
            everybody: id(guild.id.get()),
            roles: HashMap::new(),
            me,
            mine: mine.unwrap_or_default(),
            channels: HashMap::new(),
        };
        guild.roles.values().for_each(|role| rights.set(role));
        guild.channels.values().for_each(|channel| rights.set_channel(channel));
        rights
    }

    /// As it is described later, without its channels.
    pub(super) fn renew(&mut self, guild: &PartialGuild) {
        self.owner = id(guild.owner_id.get());
        self.roles.clear();
        guild.roles.values().for_each(|role| self.set(role));
    }

    /// A role was made or changed.
    pub(super) fn set(&mut self, role: &Role) {
        self.roles.insert(id(role.id.get()), role.permissions);
    }

    /// A role is gone.
    pub(super) fn remove(&mut self, role: RoleId) {
        self.roles.remove(&id(role.get()));
    }

    /// The assistant's own roles, as they are now.
    pub(super) fn set_mine(&mut self, roles: &[RoleId]) {
        self.mine = roles.iter().map(|role| id(role.get())).collect();
    }

    /// A channel was made or changed.
    pub(super) fn set_channel(&mut self, channel: &GuildChannel) {
        let rule = |rule: &serenity::model::channel::PermissionOverwrite| {
            let whose = match rule.kind {
                PermissionOverwriteType::Role(role) => id(role.get()),
                PermissionOverwriteType::Member(user) => id(user.get()),
                _ => return None,
            };
            Some((whose, rule.allow, rule.deny))
        };
        let rules = channel.permission_overwrites.iter().filter_map(rule).collect();
        self.channels.insert(id(channel.id.get()), Channel { name: channel.name.clone(), rules });
    }

    /// A channel is gone.
    pub(super) fn remove_channel(&mut self, channel: ChatId) {
        self.channels.remove(&channel);
    }

    /// What somebody with these roles may do.
    pub(super) fn may(&self, user: ChatId, roles: &[ChatId]) -> May {
        let allowed = self.allowed(roles);
        let has = |right| user == self.owner || allowed.intersects(Permissions::ADMINISTRATOR | right);
        May { manage: has(Permissions::MANAGE_GUILD), moderate: has(Permissions::MANAGE_MESSAGES) }
    }

    /// What a channel is called and what the assistant may do in it; `None`: there is none of that number.
    pub(super) fn mine_in(&self, channel: ChatId) -> Option<(&str, Permissions)> {
        let Channel { name, rules } = self.channels.get(&channel)?;
        let mut may = self.allowed(&self.mine);
        if self.me == self.owner || may.contains(Permissions::ADMINISTRATOR) {
            return Some((name, Permissions::all()));
        }
        let of_everybody = |whose: ChatId| whose == self.everybody;
        let of_a_role = |whose: ChatId| self.mine.contains(&whose) && whose != self.everybody;
        let of_me = |whose: ChatId| whose == self.me;
        let fits: [&dyn Fn(ChatId) -> bool; 3] = [&of_everybody, &of_a_role, &of_me];
        for fits in fits {
            let (mut given, mut taken) = (Permissions::empty(), Permissions::empty());
            for (_, give, take) in rules.iter().filter(|(whose, ..)| fits(*whose)) {
                given |= *give;
                taken |= *take;
            }
            may = (may - taken) | given;
        }
        Some((name, may))
    }

    fn allowed(&self, roles: &[ChatId]) -> Permissions {
        let theirs = std::iter::once(&self.everybody).chain(roles).filter_map(|role| self.roles.get(role));
        theirs.fold(Permissions::empty(), |all, role| all | *role)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUP: ChatId = ChatId(1);
    const OWNER: ChatId = ChatId(2);
    const ME: ChatId = ChatId(9);

    fn rights(mine: &[ChatId]) -> Rights {
        let roles = [
            (GROUP, Permissions::VIEW_CHANNEL | Permissions::SEND_MESSAGES),
            (ChatId(10), Permissions::MANAGE_GUILD),
            (ChatId(11), Permissions::MANAGE_MESSAGES),
            (ChatId(12), Permissions::ADMINISTRATOR),
        ];
        Rights {
            owner: OWNER,
            everybody: GROUP,
            roles: HashMap::from(roles),
            me: ME,
            mine: mine.to_vec(),
            channels: HashMap::new(),
        }
    }

    #[test]
    fn the_owner_a_role_and_everybodys_role() {
        let anybody = ChatId(3);
        let mut rights = rights(&[]);
        let may = |manage, moderate| May { manage, moderate };
        assert_eq!(rights.may(OWNER, &[]), may(true, true));
        assert_eq!(rights.may(anybody, &[]), may(false, false));
        assert_eq!(rights.may(anybody, &[ChatId(10)]), may(true, false));
        assert_eq!(rights.may(anybody, &[ChatId(11)]), may(false, true));
        assert_eq!(rights.may(anybody, &[ChatId(11), ChatId(12)]), may(true, true));
        assert_eq!(rights.may(anybody, &[ChatId(99)]), may(false, false), "a role that is not known");
        rights.remove(RoleId::new(10));
        assert_eq!(rights.may(anybody, &[ChatId(10)]), may(false, false));
    }

    /// The order of the platform's reference, "Permission Overwrites": everybody's rule, then those of all roles
    /// together, then the member's own; in each what is given wins over what is taken.
    #[test]
    fn a_channels_own_rules_count_from_everybody_to_the_one() {
        let (view, send) = (Permissions::VIEW_CHANNEL, Permissions::SEND_MESSAGES);
        let none = Permissions::empty();
        let may = |mine: &[ChatId], rules: &[(ChatId, Permissions, Permissions)]| {
            let mut rights = rights(mine);
            let channel = Channel { name: "log".to_owned(), rules: rules.to_vec() };
            rights.channels.insert(ChatId(20), channel);
            rights.mine_in(ChatId(20)).map(|(_, may)| may)
        };
        assert_eq!(may(&[], &[]), Some(view | send));
        assert_eq!(may(&[], &[(GROUP, none, send)]), Some(view));
        assert_eq!(may(&[ChatId(10)], &[(GROUP, none, view | send), (ChatId(10), view, none)]).unwrap(), {
            Permissions::MANAGE_GUILD | view
        });
        let roles = [(ChatId(10), none, send), (ChatId(11), send, none), (ChatId(99), none, view)];
        assert!(may(&[ChatId(10), ChatId(11)], &roles).unwrap().contains(view | send));
        assert!(!may(&[ChatId(10)], &roles).unwrap().contains(send));
        assert_eq!(may(&[], &[(ME, none, view), (GROUP, view, none)]), Some(send), "whatever their order");
        assert_eq!(may(&[ChatId(12)], &[(ME, none, view)]), Some(Permissions::all()));
        assert_eq!(rights(&[]).mine_in(ChatId(20)), None, "no such channel");
    }
}
