//! `/group settings`: what holds for the whole group: country and time zone for members who set none of their own, the
//! quiet hours, where batches get their posts, and how it behaves in channels.

use super::places::{Forum, channels, forum};
use super::quiet::quiet_hours;
use crate::command::Args;
use crate::command::access::{Actor, Deed, Thing, may};
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::me::{plans, values};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::Country;
use crate::record::{ChatId, Group, GroupSettings, QuietHours, Role};
use crate::reply::{Reply, say};
use crate::store::{Change, ReminderPlan};
use chrono_tz::Tz;

/// `/group settings`
pub static SPEC: Spec = Spec {
    root: "group",
    verb: "settings",
    aliases: &[],
    summary: "what holds for the whole group; a steward sets it",
    options: &[
        maybe(
            "country",
            OptionKind::Text,
            "for who set none: US, EU or a member state, GB, CA, AU, NZ, Codex",
        ),
        maybe("timezone", OptionKind::Text, "for who set none, e.g. Europe/Rome"),
        maybe("quiet", OptionKind::Text, "hours without reminders, e.g. 22-7"),
        maybe("listen", OptionKind::Text, "channels in which it reads what is said to nobody, or none"),
        maybe("answers", OptionKind::Choice(ANSWERS), "who sees the answers to commands"),
        maybe("forum", OptionKind::Text, "in which each batch gets its post, e.g. #batches; or none"),
    ],
    examples: ["group settings", "group settings country:IT timezone:Europe/Rome quiet:22-7 answers:public"],
    private: false,
};

const ANSWERS: &[&str] = &["public", "private"];

/// The group's settings, to be looked at or set; what is not said stays as it is.
#[derive(Debug, Clone)]
pub struct GroupSettingsSet {
    country: Option<Country>,
    timezone: Option<Tz>,
    quiet: Option<QuietHours>,
    listen: Option<Vec<ChatId>>,
    private_answers: Option<bool>,
    forum: Option<Forum>,
}

impl GroupSettingsSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        Ok(Self {
            country: values::country(args, "group settings")?,
            timezone: values::timezone(args, "group settings")?,
            quiet: args.text("quiet").map(quiet_hours).transpose()?,
            listen: args.text("listen").map(channels).transpose()?,
            private_answers: args.choice("answers", |word| match word {
                "private" => Some(true),
                "public" => Some(false),
                _ => None,
            })?,
            forum: args.text("forum").map(forum).transpose()?,
        })
    }

    const fn sets_nothing(&self) -> bool {
        let place = self.country.is_none() && self.timezone.is_none() && self.quiet.is_none();
        place && self.listen.is_none() && self.private_answers.is_none() && self.forum.is_none()
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let group = services.store.group(asking.group.id).unwrap_or_else(|| asking.group.clone());
        if self.sets_nothing() {
            let settings = &group.settings;
            let chosen = settings.listen.iter().chain(&settings.forum).map(|channel| channel.0).collect();
            let mut reply = shown(&group, services, asking);
            reply.looks_at = Some(chosen);
            return Ok(Done::reply(reply));
        }
        if !may(Actor::of(asking), Deed::SetGroup, &Thing::group(asking.group.id)) {
            let holes = [("stewards", &*stewards(services, asking))];
            let sentence = say("group.settings.steward_only", &holes);
            return Err(UserError::new(Code::NotYours, sentence, "group settings").into());
        }
        let group = Group { settings: self.over(&group.settings), ..group };
        let mut change = Change::default();
        if self.timezone.is_some() || self.quiet.is_some() {
            change.reminder_plans = planned_anew(&group, services, asking).await?;
        }
        let mut reply = shown(&group, services, asking);
        reply.headline = say("group.settings.kept", &[("group", &group.name)]);
        reply.next = None;
        let picked = self.listen.iter().flatten().copied().chain(match self.forum {
            Some(Forum::Is(forum)) => Some(forum),
            _ => None,
        });
        reply.looks_at = Some(picked.map(|channel| channel.0).collect());
        change.groups.push(group);
        Ok(Done::keeping(change, reply))
    }

    /// The settings as they are from now on.
    fn over(&self, before: &GroupSettings) -> GroupSettings {
        let country = self.country.as_ref().map(|country| country.code().to_owned());
        let timezone = self.timezone.map(|zone| zone.name().to_owned());
        GroupSettings {
            country: country.or_else(|| before.country.clone()),
            timezone: timezone.or_else(|| before.timezone.clone()),
            quiet_hours: self.quiet.unwrap_or(before.quiet_hours),
            listen: self.listen.clone().unwrap_or_else(|| before.listen.clone()),
            private_answers: self.private_answers.unwrap_or(before.private_answers),
            forum: match self.forum {
                Some(Forum::Is(forum)) => Some(forum),
                Some(Forum::None) => None,
                None => before.forum,
            },
        }
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
    let quiet = settings.quiet_hours;
    let hours = [("from", &*quiet.from.to_string()), ("until", &quiet.until.to_string())];
    reply.lines.push(say("group.settings.quiet", &hours));
    let private = settings.private_answers;
    let answers = if private { "group.settings.answers_private" } else { "group.settings.answers_public" };
    reply.lines.push(say(answers, &[]));
    reply.lines.push(match settings.listen.len() {
        0 => say("group.settings.listens_nowhere", &[]),
        1 => say("group.settings.listens_once", &[]),
        count => say("group.settings.listens", &[("count", &count.to_string())]),
    });
    if let Some(forum) = settings.forum {
        reply.lines.push(say("group.settings.forum", &[("forum", &forum.to_string())]));
    }
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
