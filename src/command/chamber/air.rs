//! What is known of a chamber's air at a moment, and how it is shown.

use crate::command::asking::{Asking, Services};
use crate::command::error::CommandError;
use crate::command::time;
use crate::curing::hygrometer::{Corrected, Correction, HumidityDoubt};
use crate::quantity::format;
use crate::quantity::{RelativeHumidity, Temperature, TemperatureScale};
use crate::record::{ChamberId, Event, Happening};
use crate::reply::say;
use chrono::{DateTime, TimeDelta, Utc};

/// Humidity is looked for this far back; an older one says nothing of the air now.
const LOOK_BACK: TimeDelta = TimeDelta::days(14);

/// Drift above the set point that is counted when none was ever said, in °C. Common practice, no source: the
/// usual band of a refrigerator's controller.
pub(in crate::command) const HYSTERESIS_CELSIUS: f64 = 1.0;

/// Degrees Celsius in one degree Fahrenheit, for differences. Exact by definition.
const CELSIUS_PER_FAHRENHEIT: f64 = 5.0 / 9.0;

/// A setting of the temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::command) struct Setting {
    /// Set point.
    pub(in crate::command) temperature: Temperature,
    /// How far above it the controller lets it drift, in °C.
    pub(in crate::command) hysteresis_celsius: f64,
}

/// The last of each that is known of a chamber's air, with the time it is from.
#[derive(Debug, Clone, Default)]
pub(in crate::command) struct Air {
    /// The thermometer.
    pub(in crate::command) temperature: Option<(Temperature, DateTime<Utc>)>,
    /// The hygrometer.
    pub(in crate::command) humidity: Option<(RelativeHumidity, DateTime<Utc>)>,
    /// What the hygrometer's reading means by its last check over salt jars.
    pub(in crate::command) corrected: Option<Corrected>,
    /// The last check of the hygrometer, where it gives a correction.
    pub(in crate::command) hygrometer: Option<Correction>,
    /// The set temperature that holds.
    pub(in crate::command) setting: Option<Setting>,
    /// The set humidity that holds.
    pub(in crate::command) set_humidity: Option<RelativeHumidity>,
}

impl Air {
    /// What was known at a moment.
    pub(in crate::command) async fn at(
        services: &Services,
        chamber: ChamberId,
        moment: DateTime<Utc>,
    ) -> Result<Self, CommandError> {
        let from = moment.checked_sub_signed(LOOK_BACK).unwrap_or(moment);
        Ok(Self::of(&services.store.chamber_events(chamber, from, moment).await?))
    }

    /// From entries in the order of time, corrections applied.
    pub(in crate::command) fn of(events: &[Event]) -> Self {
        let mut air = Self::default();
        for event in events {
            match &event.what {
                Happening::RoomRead { temperature, humidity } => {
                    air.temperature = temperature.map(|read| (read, event.at)).or(air.temperature);
                    if let Some(read) = *humidity {
                        air.humidity = Some((read, event.at));
                        air.corrected = air.hygrometer.as_ref().map(|known| known.apply(read, event.at));
                    }
                }
                Happening::RoomSet { temperature, humidity, hysteresis_celsius } => {
                    let set = |temperature| Setting { temperature, hysteresis_celsius: *hysteresis_celsius };
                    air.setting = temperature.map(set).or(air.setting);
                    air.set_humidity = humidity.or(air.set_humidity);
                }
                Happening::HygrometerChecked { check, .. } => {
                    air.hygrometer = Correction::of(check, event.at).ok();
                }
                _ => {}
            }
        }
        air
    }

    /// Whether nothing says how warm it is.
    pub(in crate::command) const fn is_unknown(&self) -> bool {
        self.temperature.is_none() && self.setting.is_none()
    }

    /// The last reading in one piece where both were read together, else each with its own time.
    pub(in crate::command) fn read_shown(&self, asking: &Asking) -> Option<String> {
        let when = |at| time::shown(at, asking.now, asking.zone());
        let temperature = |read| format::temperature(read, asking.member.settings.temperature);
        let one = |value: &str, at| say("chamber.air.read", &[("value", value), ("when", &when(at))]);
        if let (Some((warmth, at)), Some((_, damp_at))) = (self.temperature, self.humidity)
            && at == damp_at
        {
            return side_by_side(Some(temperature(warmth)), self.humidity_shown())
                .map(|value| one(&value, at));
        }
        let warmth = self.temperature.map(|(read, at)| one(&temperature(read), at));
        let damp =
            self.humidity.and_then(|(_, at)| Some(one(&side_by_side(None, self.humidity_shown())?, at)));
        let parts: Vec<String> = warmth.into_iter().chain(damp).collect();
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    /// The hygrometer's reading, with what it means beside it.
    fn humidity_shown(&self) -> Option<String> {
        let (raw, _) = self.humidity?;
        let raw = format::relative_humidity(raw);
        let Some(corrected) = &self.corrected else { return Some(raw) };
        let means = format::relative_humidity(corrected.corrected);
        Some(say(means_key(corrected), &[("raw", &raw), ("corrected", &means)]))
    }

    /// What it is set to, where that is known.
    pub(in crate::command) fn set_shown(&self, asking: &Asking) -> Option<String> {
        let scale = asking.member.settings.temperature;
        let temperature = self.setting.map(|setting| format::temperature(setting.temperature, scale));
        shown(temperature, self.set_humidity)
    }
}

/// A temperature as printed and a humidity, side by side; a percentage alone says of what it is.
pub(in crate::command) fn shown(
    temperature: Option<String>,
    humidity: Option<RelativeHumidity>,
) -> Option<String> {
    side_by_side(temperature, humidity.map(format::relative_humidity))
}

/// How a reading stands beside what it means.
const fn means_key(corrected: &Corrected) -> &'static str {
    if corrected.is_out_of_reach() {
        "chamber.air.uncorrected"
    } else if corrected.doubts.is_empty() {
        "chamber.air.corrected"
    } else {
        "chamber.air.corrected_in_doubt"
    }
}

/// Why a corrected reading is in doubt.
pub(in crate::command) const fn doubt_key(doubt: HumidityDoubt) -> &'static str {
    match doubt {
        HumidityDoubt::Old => "chamber.air.check_old",
        HumidityDoubt::FarOff => "check.hygrometer.far_off",
        HumidityDoubt::OutOfReach => "chamber.air.out_of_reach",
    }
}

fn side_by_side(temperature: Option<String>, humidity: Option<String>) -> Option<String> {
    match (temperature, humidity) {
        (Some(temperature), Some(humidity)) => Some(format!("{temperature}, {humidity}")),
        (Some(temperature), None) => Some(temperature),
        (None, Some(humidity)) => Some(say("chamber.air.humidity", &[("humidity", &humidity)])),
        (None, None) => None,
    }
}

/// A difference of temperatures in °C, from one that was read as a temperature: 2 °F apart is 1.1 °C apart.
pub(in crate::command) fn difference_celsius(read: Temperature) -> f64 {
    match read.scale() {
        TemperatureScale::Celsius => read.in_scale(TemperatureScale::Celsius),
        TemperatureScale::Fahrenheit => read.in_scale(TemperatureScale::Fahrenheit) * CELSIUS_PER_FAHRENHEIT,
    }
}

/// A difference of temperatures in the member's scale, at most one decimal.
pub(in crate::command) fn difference_shown(celsius: f64, scale: TemperatureScale) -> String {
    match scale {
        TemperatureScale::Celsius => format!("{} °C", format::trimmed(celsius, 1)),
        TemperatureScale::Fahrenheit => {
            format!("{} °F", format::trimmed(celsius / CELSIUS_PER_FAHRENHEIT, 1))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{EventId, Subject};

    fn entry(id: i64, at: &str, what: Happening) -> Event {
        let at = at.parse().unwrap();
        Event {
            id: EventId(id),
            subject: Subject::Chamber(ChamberId(1)),
            at,
            recorded_at: at,
            author: None,
            zone: "UTC".to_owned(),
            what,
            typed: String::new(),
        }
    }

    #[test]
    fn the_last_of_each_counts() {
        let air = Air::of(&[
            entry(
                1,
                "2026-11-02T08:00:00Z",
                Happening::RoomSet {
                    temperature: Some(Temperature::celsius(13.0)),
                    humidity: Some(RelativeHumidity::percent(80.0)),
                    hysteresis_celsius: 2.0,
                },
            ),
            entry(
                2,
                "2026-11-02T09:00:00Z",
                Happening::RoomRead {
                    temperature: Some(Temperature::celsius(13.4)),
                    humidity: Some(RelativeHumidity::percent(78.0)),
                },
            ),
            entry(
                3,
                "2026-11-02T10:00:00Z",
                Happening::RoomRead { temperature: Some(Temperature::celsius(12.9)), humidity: None },
            ),
            entry(
                4,
                "2026-11-02T11:00:00Z",
                Happening::RoomSet {
                    temperature: None,
                    humidity: Some(RelativeHumidity::percent(75.0)),
                    hysteresis_celsius: 1.0,
                },
            ),
        ]);
        assert_eq!(air.temperature.map(|(read, _)| read), Some(Temperature::celsius(12.9)));
        assert_eq!(air.humidity.map(|(read, _)| read), Some(RelativeHumidity::percent(78.0)));
        // A setting of the humidity alone leaves the temperature and its drift as they were set.
        let setting = Setting { temperature: Temperature::celsius(13.0), hysteresis_celsius: 2.0 };
        assert_eq!(air.setting, Some(setting));
        assert_eq!(air.set_humidity, Some(RelativeHumidity::percent(75.0)));
        assert!(!air.is_unknown());
        assert!(Air::of(&[]).is_unknown());
    }

    // A difference has no offset: 1 °F is 5/9 °C by definition of the two scales.
    #[test]
    fn a_difference_has_no_offset() {
        approx::assert_relative_eq!(difference_celsius(Temperature::fahrenheit(9.0)), 5.0);
        approx::assert_relative_eq!(difference_celsius(Temperature::celsius(1.5)), 1.5);
        assert_eq!(difference_shown(1.0, TemperatureScale::Fahrenheit), "1.8 °F");
        assert_eq!(difference_shown(0.5, TemperatureScale::Celsius), "0.5 °C");
    }
}
