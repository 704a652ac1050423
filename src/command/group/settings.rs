//! `/group settings`: country and time zone for members who set none of their own.

use crate::command::Args;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::me::{plans, values};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::Country;
use crate::record::{Group, GroupSettings, Role};
use crate::reply::{Reply, say};
use crate::store::{Change, ReminderPlan};
use chrono_tz::Tz;

/// `/group settings`
pub static SPEC: Spec = Spec {
    root: "group",
    verb: "settings",
    aliases: &[],
    summary: "country and time zone for members who set none; a steward sets them",
    options: &[
        maybe("country", OptionKind::Text, "US, EU or a member state's two letters, GB, CA, AU, NZ or Codex"),
        maybe("timezone", OptionKind::Text, "e.g. Europe/Rome"),
    ],
    examples: ["group settings", "group settings country:IT timezone:Europe/Rome"],
    private: false,
};

/// The group's settings, to be looked at or set.
#[derive(Debug, Clone)]
pub struct GroupSettingsSet {
    country: Option<Country>,
    timezone: Option<Tz>,
}

impl GroupSettingsSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let country = values::country(args, "group settings")?;
        let timezone = values::timezone(args, "group settings")?;
        Ok(Self { country, timezone })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let group = services.store.group(asking.group.id).unwrap_or_else(|| asking.group.clone());
        if self.country.is_none() && self.timezone.is_none() {
            return Ok(Done::reply(shown(&group, services, asking)));
        }
        if !may(Actor::of(asking), Deed::SetGroup, &Thing::group(asking.group.id)) {
            let holes = [("stewards", &*stewards(services, asking))];
            let sentence = say("group.settings.steward_only", &holes);
            return Err(UserError::new(Code::NotYours, sentence, "group settings").into());
        }
        let country = self.country.as_ref().map(|country| country.code().to_owned());
        let timezone = self.timezone.map(|zone| zone.name().to_owned());
        let settings = GroupSettings {
            country: country.or_else(|| group.settings.country.clone()),
            timezone: timezone.or_else(|| group.settings.timezone.clone()),
        };
        let group = Group { settings, ..group };
        let mut change = Change::default();
        if self.timezone.is_some() {
            change.reminder_plans = planned_anew(&group, services, asking).await?;
        }
        let mut reply = shown(&group, services, asking);
        reply.headline = say("group.settings.kept", &[("group", &group.name)]);
        reply.next = None;
        change.groups.push(group);
        Ok(Done::keeping(change, reply))
    }
}

/// Another zone moves what is planned for members who set none of their own.
async fn planned_anew(
    group: &Group,
    services: &Services,
    asking: &Asking,
) -> Result<Vec<ReminderPlan>, CommandError> {
    let mut planned = Vec::new();
    for member in services.store.members_of_group(group.id) {
        if member.settings.timezone.is_none() {
            let theirs = Asking { member, group: group.clone(), ..asking.clone() };
            planned.extend(plans::planned_anew(services, &theirs).await?);
        }
    }
    Ok(planned)
}

fn shown(group: &Group, services: &Services, asking: &Asking) -> Reply {
    let mut reply = Reply::new("group settings", say("group.settings.headline", &[("group", &group.name)]));
    let settings = &group.settings;
    reply.lines.push(match &settings.country {
        Some(country) => say("group.settings.country", &[("country", country)]),
        None => say("group.settings.no_country", &[]),
    });
    reply.lines.push(match settings.timezone.as_deref().and_then(|name| name.parse::<Tz>().ok()) {
        Some(zone) => {
            let clock = values::clock(asking.now, zone);
            say("group.settings.timezone", &[("timezone", zone.name()), ("clock", &clock)])
        }
        None => say("group.settings.no_timezone", &[]),
    });
    reply.lines.push(say("group.settings.stewards", &[("stewards", &stewards(services, asking))]));
    if may(Actor::of(asking), Deed::SetGroup, &Thing::group(asking.group.id)) {
        reply.next = Some(say("group.settings.next", &[]));
    }
    reply
}

fn stewards(services: &Services, asking: &Asking) -> String {
    let members = services.store.members_of_group(asking.group.id);
    let stewards = members.iter().filter(|member| member.role == Role::Steward);
    stewards.map(|member| member.name.as_str()).collect::<Vec<_>>().join(", ")
}
