//! `/me show`: the member's settings.

use super::values;
use crate::command::asking::{Asking, Done};
use crate::command::describe;
use crate::command::remind;
use crate::command::spec::Spec;
use crate::record::{MemberSettings, Role};
use crate::reply::{Reply, say};

/// `/me show`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "show",
    aliases: &[],
    summary: "your settings",
    options: &[],
    examples: ["me show", "/me show"],
    private: true,
};

/// A look at one's settings.
#[derive(Debug, Clone, Copy)]
pub struct MeShow;

impl MeShow {
    /// Carries it out.
    pub fn perform(self, asking: &Asking) -> Done {
        let key = match asking.member.role {
            Role::Steward => "me.show.steward",
            Role::Member => "me.show.member",
        };
        let holes = [("name", &*asking.member.name), ("group", &asking.group.name)];
        let mut reply = Reply::new("me show", say(key, &holes));
        reply.lines = lines(asking);
        reply.lines.push(language(&asking.member.settings));
        reply.lines.extend(remind::list::paused(asking));
        let next = if asking.country().is_none() { "me.show.next_country" } else { "me.show.next" };
        reply.next = Some(say(next, &[]));
        Done::reply(reply)
    }
}

/// The language, in itself.
pub(super) fn language(settings: &MemberSettings) -> String {
    let is_heard = settings.language.is_none() && settings.heard_language.is_some();
    say(if is_heard { "language.heard" } else { "language.set" }, &[])
}

/// Every setting but the language in a line of its own.
pub(super) fn lines(asking: &Asking) -> Vec<String> {
    let settings = &asking.member.settings;
    let group = &asking.group.settings;
    let country = match (&settings.country, &group.country) {
        (Some(own), _) => say("me.show.country", &[("country", own)]),
        (None, Some(group)) => say("me.show.country_of_group", &[("country", group)]),
        (None, None) => say("me.show.no_country", &[]),
    };
    let zone = asking.zone();
    let key = match (&settings.timezone, &group.timezone) {
        (Some(_), _) => "me.show.timezone",
        (None, Some(_)) => "me.show.timezone_of_group",
        (None, None) => "me.show.no_timezone",
    };
    let timezone = say(key, &[("timezone", zone.name()), ("clock", &values::clock(asking.now, zone))]);
    let units = [
        ("mass", settings.mass.symbol()),
        ("cure", settings.cure.symbol()),
        ("temperature", settings.temperature.symbol()),
    ];
    let step = describe::mass_as_typed(settings.scale_step);
    let night = if settings.reminders_at_night { "me.show.night_yes" } else { "me.show.night_no" };
    let hours =
        [("from", &*group.quiet_hours.from.to_string()), ("until", &group.quiet_hours.until.to_string())];
    vec![
        country,
        timezone,
        say("me.show.units", &units),
        say("me.show.scale", &[("step", &step)]),
        say(night, &hours),
    ]
}
