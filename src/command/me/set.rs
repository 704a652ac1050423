//! `/me set`: country, time zone and units, in one line.

use super::{plans, show, values};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::{Country, Level};
use crate::quantity::{Mass, MassUnit, TemperatureScale};
use crate::record::MemberSettings;
use crate::reply::{Language, Reply, say, spoken_in};
use crate::store::Change;
use chrono_tz::Tz;
use std::ops::RangeInclusive;

/// `/me set`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "set",
    aliases: &[],
    summary: "your country, time zone and units, in one line",
    options: &[
        maybe("country", OptionKind::Text, "US, EU or a member state's two letters, GB, CA, AU, NZ or Codex"),
        maybe("timezone", OptionKind::Text, "e.g. Europe/Rome, or just the city"),
        maybe("mass", OptionKind::Choice(values::MASS_UNITS), "unit for meat"),
        maybe("cure", OptionKind::Choice(values::MASS_UNITS), "unit for cure and salt"),
        maybe("temperature", OptionKind::Choice(values::SCALES), "scale for temperatures"),
        maybe("scale", OptionKind::Mass, "smallest step your kitchen scale shows, e.g. 0.1 g"),
        maybe("language", OptionKind::Choice(values::LANGUAGES), "en for English, de for German"),
        maybe(
            "reminders-at-night",
            OptionKind::Choice(NIGHT),
            "yes lets reminders out in the quiet hours too",
        ),
    ],
    examples: [
        "me set country:IT timezone:Europe/Rome mass:g cure:g temperature:C scale:0.1 g",
        "me set country:US timezone:America/New_York mass:lb cure:g temperature:F",
    ],
    private: true,
};

const NIGHT: &[&str] = &["yes", "no"];

/// Kitchen scales show steps inside this: a fine balance, a coarse spring scale.
const SCALE_STEP_RANGE_G: RangeInclusive<f64> = 0.001..=100.0;

/// Shown when a step cannot be taken.
const STEP_EXAMPLE: &str = "me set scale:0.1 g";

/// Settings to be kept; what is not said stays as it is.
#[derive(Debug, Clone)]
pub struct MeSet {
    country: Option<Country>,
    timezone: Option<Tz>,
    mass: Option<MassUnit>,
    cure: Option<MassUnit>,
    temperature: Option<TemperatureScale>,
    scale_step: Option<Mass>,
    reminders_at_night: Option<bool>,
    language: Option<Language>,
}

impl MeSet {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        if SPEC.options.iter().all(|option| args.text(option.name).is_none()) {
            return Err(args.error(Code::MissingOption, say("me.set.nothing", &[])));
        }
        Ok(Self {
            country: values::country(args, "me set")?,
            timezone: values::timezone(args, "me set")?,
            mass: args.choice("mass", values::mass_unit)?,
            cure: args.choice("cure", values::mass_unit)?,
            temperature: args.choice("temperature", values::scale)?,
            scale_step: scale_step(args)?,
            reminders_at_night: args.choice("reminders-at-night", yes_or_no)?,
            language: args.choice("language", Language::of_tag)?,
        })
    }

    /// Carries it out. A language that is chosen here is spoken from this answer on.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let mut after = asking.clone();
        after.member.settings = self.over(&asking.member.settings);
        let language = Language::of_settings(&after.member.settings);
        spoken_in(language, self.kept(services, asking, after)).await
    }

    async fn kept(&self, services: &Services, asking: &Asking, after: Asking) -> Outcome {
        let mut reply = Reply::new("me set", say("me.set.kept", &[]));
        reply.lines = show::lines(&after);
        reply.lines.extend(self.language.map(|_| show::language(&after.member.settings)));
        if let Some((before, now)) = asking.country().zip(after.country())
            && before.rulebook() != now.rulebook()
        {
            let holes = [("before", before.code()), ("book", now.rulebook().name())];
            reply.note(Level::Notice, say("me.set.other_rulebook", &holes));
        }
        reply.next = after.country().is_none().then(|| say("me.show.next_country", &[]));
        let mut change = Change::default();
        if self.language.is_some() {
            change.reminder_plans = plans::worded_anew(services, &after).await?;
        } else if self.timezone.is_some() || self.reminders_at_night.is_some() {
            change.reminder_plans = plans::planned_anew(services, &after).await?;
        }
        change.members.push(after.member);
        Ok(Done::keeping(change, reply))
    }

    /// The settings as they are from now on.
    fn over(&self, before: &MemberSettings) -> MemberSettings {
        let country = self.country.as_ref().map(|country| country.code().to_owned());
        let timezone = self.timezone.map(|zone| zone.name().to_owned());
        MemberSettings {
            country: country.or_else(|| before.country.clone()),
            timezone: timezone.or_else(|| before.timezone.clone()),
            mass: self.mass.unwrap_or(before.mass),
            cure: self.cure.unwrap_or(before.cure),
            temperature: self.temperature.unwrap_or(before.temperature),
            scale_step: self.scale_step.unwrap_or(before.scale_step),
            reminders_at_night: self.reminders_at_night.unwrap_or(before.reminders_at_night),
            reminders_paused: before.reminders_paused,
            language: self.language.map(|chosen| chosen.tag().to_owned()).or_else(|| before.language.clone()),
            heard_language: before.heard_language.clone(),
        }
    }
}

fn scale_step(args: Args<'_>) -> Result<Option<Mass>, UserError> {
    // Whatever is wrong with it, a step that works is shown: "0 g" put right from "0" would not be one.
    let read = args.mass("scale").map_err(|error| UserError { example: STEP_EXAMPLE.to_owned(), ..error })?;
    match read {
        Some(step) if !SCALE_STEP_RANGE_G.contains(&step.as_grams()) => {
            let typed = args.text("scale").unwrap_or_default();
            let sentence = say("me.set.scale_range", &[("typed", &shown(typed))]);
            Err(UserError::new(Code::OutOfRange, sentence, STEP_EXAMPLE))
        }
        step => Ok(step),
    }
}

fn yes_or_no(word: &str) -> Option<bool> {
    match word {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_said_stays() {
        let before = MemberSettings {
            country: Some("IT".to_owned()),
            mass: MassUnit::Pound,
            scale_step: Mass::grams(0.01),
            reminders_at_night: true,
            heard_language: Some("de".to_owned()),
            ..MemberSettings::default()
        };
        let set = MeSet {
            country: None,
            timezone: Some(Tz::Europe__Rome),
            mass: None,
            cure: Some(MassUnit::Ounce),
            temperature: None,
            scale_step: None,
            reminders_at_night: Some(false),
            language: Some(Language::English),
        };
        let expected = MemberSettings {
            timezone: Some("Europe/Rome".to_owned()),
            cure: MassUnit::Ounce,
            reminders_at_night: false,
            language: Some("en".to_owned()),
            ..before.clone()
        };
        assert_eq!(set.over(&before), expected);
    }
}
