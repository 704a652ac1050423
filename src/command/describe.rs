//! An entry in a few words, in the member's units: for the echo, the history and corrections.

use super::asking::Asking;
use super::chamber::air::{HYSTERESIS_CELSIUS, difference_shown};
use super::time;
use crate::quantity::format;
use crate::quantity::parse;
use crate::quantity::{Mass, MassUnit, RelativeHumidity, Temperature};
use crate::record::event::ObservationKind;
use crate::record::meter::{HygrometerCheck, MeterCheck, Shown};
use crate::record::{BatchPlan, Calibration, Dose, Happening, Instrument, PieceHung};
use crate::reply::{say, words};
use chrono::{DateTime, Utc};

/// What an entry says.
pub fn describe(what: &Happening, asking: &Asking) -> String {
    match what {
        Happening::Started { plan } => started(plan),
        Happening::StageReached { stage } => say("describe.stage", &[("stage", &*words::stage(*stage))]),
        Happening::Cured { dose } => cured(dose, asking),
        Happening::PiecesHung { pieces } => hung(pieces, asking),
        Happening::TareSet { tare } => say("describe.tare", &[("tare", &weight(*tare, asking))]),
        Happening::Weighed { gross } => weight(*gross, asking),
        Happening::PhRead { ph, instrument, sample_temperature, calibration } => {
            let key = if *instrument == Instrument::Strip { "describe.ph_strip" } else { "describe.ph" };
            let at = sample_temperature.map_or_else(String::new, |read| {
                say("describe.ph_at", &[("temperature", &temperature(read, asking))])
            });
            let check = calibration.map_or_else(String::new, check);
            say(key, &[("ph", &format::ph_exact(*ph)), ("at", &at), ("check", &check)])
        }
        Happening::RoomRead { temperature, humidity } => air(*temperature, *humidity, asking),
        Happening::RoomSet { temperature, humidity, hysteresis_celsius } => {
            let air = air(*temperature, *humidity, asking);
            say("describe.room_set", &[("air", &air), ("drift", &drift(*hysteresis_celsius, asking))])
        }
        Happening::RoomExtremes { since, max, min } => extremes(*since, *max, *min, asking),
        Happening::PowerOut { since, reached } => power_out(*since, *reached, asking),
        Happening::AirLogged { file, first, rows } => {
            let first = time::moment(*first, asking.now, asking.zone());
            say("describe.air_logged", &[("file", file), ("rows", &rows.to_string()), ("first", &first)])
        }
        Happening::MeterChecked { check } => meter_check(check),
        Happening::HygrometerChecked { name, check } => {
            let checked = hygrometer_check(check);
            name.as_deref().map_or(checked.clone(), |name| format!("{name} {checked}"))
        }
        Happening::Moved { .. } => say("describe.moved", &[]),
        Happening::Observed { kind, text } => observed(*kind, text),
        Happening::Stored { storage } => {
            say("describe.stored", &[("how", &say(&format!("batch.store.how.{}", storage.kind.word()), &[]))])
        }
        Happening::Appraised { appraisal } => super::appraisal::described(appraisal, asking),
        Happening::Noted { text } => say("describe.note", &[("text", text)]),
        Happening::Pictured { pictures } => super::pictures::described(pictures),
        Happening::PieceLeft { fate, reason } => {
            say("describe.left", &[("fate", &words::fate(*fate)), ("reason", &dash(reason))])
        }
        Happening::Discarded { reason } => say("describe.discarded", &[("reason", reason)]),
        Happening::Undone { of } => say("describe.undone", &[("id", &of.to_string())]),
        Happening::Changed { of, to } => {
            say("describe.changed", &[("id", &of.to_string()), ("to", &describe(to, asking))])
        }
    }
}

/// A weight of an entry gets at most this many letters; a longer exact text is rounded.
const LONGEST_WEIGHT: usize = 10;

/// A weight to its last digit, in whichever of the member's large and small unit is the shorter text; what fits
/// neither is rounded. It can be typed again.
pub fn mass(mass: Mass, asking: &Asking) -> String {
    let unit = asking.member.settings.mass;
    let sibling = match unit {
        MassUnit::Gram => MassUnit::Kilogram,
        MassUnit::Kilogram => MassUnit::Gram,
        MassUnit::Ounce => MassUnit::Pound,
        MassUnit::Pound => MassUnit::Ounce,
    };
    let (own, other) = (format::mass_exact(mass, unit), format::mass_exact(mass, sibling));
    let exact = if is_metric(unit) || own.len() <= other.len() { own } else { other };
    if exact.chars().count() > LONGEST_WEIGHT { format::mass(mass, unit) } else { exact }
}

/// A weight as it was typed, to the last digit, with the member's own unit beside another one: for the echo.
pub fn weight(mass: Mass, asking: &Asking) -> String {
    let unit = asking.member.settings.mass;
    let for_reading = format::mass(mass, unit);
    // "2 lb 3 oz" rather than "35 oz" for who thinks in pounds.
    if unit == MassUnit::Pound && parse::mass(&for_reading).is_ok_and(|read| read == mass) {
        return for_reading;
    }
    let own = self::mass(mass, asking);
    if parse::mass(&own).is_ok_and(|read| read == mass) {
        let other_system = is_metric(unit) != (own.ends_with(" g") || own.ends_with(" kg"));
        return if other_system { format!("{own} ({for_reading})") } else { own };
    }
    let typed = mass_as_typed(mass);
    if typed.chars().count() <= LONGEST_WEIGHT { format!("{typed} ({own})") } else { own }
}

const fn is_metric(unit: MassUnit) -> bool {
    matches!(unit, MassUnit::Gram | MassUnit::Kilogram)
}

/// A weight to its last digit in the unit in which it is shortest, which is the one it was typed in: a step of 0.25 oz
/// rather than of 7.08738078125 g.
pub fn mass_as_typed(mass: Mass) -> String {
    let exact = |unit| format::mass_exact(mass, unit);
    let others = [MassUnit::Ounce, MassUnit::Pound].map(exact);
    others.into_iter().fold(exact(MassUnit::Gram), |best, next| {
        if next.chars().count() < best.chars().count() { next } else { best }
    })
}

/// A temperature to its last digit in the scale it was read in, with the member's own beside another one.
pub fn temperature(read: Temperature, asking: &Asking) -> String {
    let own = asking.member.settings.temperature;
    let exact = format::temperature_exact(read);
    if read.scale() == own { exact } else { format!("{exact} ({})", format::temperature(read, own)) }
}

/// What was said of the meter: ", calibrated 3 h before, slope 98 %".
pub fn check(check: Calibration) -> String {
    let age = check.age.map(|age| say("describe.calibrated", &[("age", &format::hours(age))]));
    let slope = check.slope_percent.map(|slope| format::trimmed(slope, 2));
    let slope = slope.map(|slope| say("describe.slope", &[("slope", &slope)]));
    let offset = check.offset_mv.map(|offset| format::trimmed(offset, 2));
    let offset = offset.map(|offset| say("describe.offset", &[("offset", &offset)]));
    let buffer = check.one_buffer_passed.then(|| say("describe.buffer", &[]));
    let missed = check.buffer_missed.then(|| say("describe.buffer_missed", &[]));
    let parts: Vec<String> = [age, slope, offset, buffer, missed].into_iter().flatten().collect();
    dash(&parts.join(", "))
}

/// "checked: -5 mV in pH 7, 171 mV in pH 4".
fn meter_check(check: &MeterCheck) -> String {
    let points = check.points.iter().map(|point| {
        let shown = match point.shown {
            Shown::Ph(ph) => format!("pH {}", format::ph_exact(ph)),
            Shown::Millivolts(voltage) => format!("{} mV", format::trimmed(voltage.as_millivolts(), 2)),
        };
        let buffer = format::trimmed(point.buffer.value(), 3);
        say("describe.in_buffer", &[("shown", &shown), ("buffer", &buffer)])
    });
    say("describe.checked", &[("points", &points.collect::<Vec<_>>().join(", "))])
}

/// "checked: 72 % over `NaCl`".
fn hygrometer_check(check: &HygrometerCheck) -> String {
    let points = check.points.iter().map(|point| {
        let shown = format::relative_humidity_exact(point.shown);
        say("describe.over_salt", &[("shown", &shown), ("salt", &point.salt)])
    });
    say("describe.checked", &[("points", &points.collect::<Vec<_>>().join(", "))])
}

/// How far a controller drifts, where it is another drift than is taken when nothing is said.
fn drift(hysteresis_celsius: f64, asking: &Asking) -> String {
    if hysteresis_celsius.total_cmp(&HYSTERESIS_CELSIUS).is_eq() {
        return String::new();
    }
    let shown = difference_shown(hysteresis_celsius, asking.member.settings.temperature);
    say("describe.drift", &[("drift", &shown)])
}

/// What was seen; "white mould" needs no "mould:" before it.
fn observed(kind: ObservationKind, text: &str) -> String {
    let (key, names) = observation(kind);
    let lower = text.to_lowercase();
    if names.iter().any(|name| lower.contains(name)) {
        return text.to_owned();
    }
    say(key, &[("text", text)])
}

fn dash(reason: &str) -> String {
    if reason.is_empty() { String::new() } else { format!(", {reason}") }
}

fn started(plan: &BatchPlan) -> String {
    say("describe.started", &[("name", &plan.name), ("kind", &*words::kind(plan.kind))])
}

fn cured(dose: &Dose, asking: &Asking) -> String {
    let nitrite = format::mg_per_kg(dose.ingoing_nitrite_mg_per_kg);
    let cure = format::mass_exact(dose.cure, asking.member.settings.cure);
    let meat = mass(dose.meat, asking);
    say(
        "describe.cured",
        &[("cure", &cure), ("meat", &meat), ("nitrite", &nitrite), ("method", &dose.method)],
    )
}

fn hung(pieces: &[PieceHung], asking: &Asking) -> String {
    let list: Vec<String> =
        pieces.iter().map(|piece| format!("{} {}", piece.number, weight(piece.hung, asking))).collect();
    say("describe.hung", &[("list", &list.join(", "))])
}

fn air(temperature: Option<Temperature>, humidity: Option<RelativeHumidity>, asking: &Asking) -> String {
    let temperature = temperature.map(|read| self::temperature(read, asking));
    let parts = [temperature, humidity.map(format::relative_humidity_exact)];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn extremes(since: DateTime<Utc>, max: Temperature, min: Option<Temperature>, asking: &Asking) -> String {
    let min = min.map_or_else(String::new, |min| say("describe.min", &[("min", &temperature(min, asking))]));
    let since = time::shown(since, asking.now, asking.zone());
    say("describe.extremes", &[("max", &temperature(max, asking)), ("min", &min), ("since", &since)])
}

fn power_out(since: DateTime<Utc>, reached: Option<Temperature>, asking: &Asking) -> String {
    let reached = reached
        .map_or_else(String::new, |read| say("describe.reached", &[("reached", &temperature(read, asking))]));
    say(
        "describe.power_out",
        &[("since", &time::shown(since, asking.now, asking.zone())), ("reached", &reached)],
    )
}

/// The wording key of an observation, and the words that name it.
const fn observation(kind: ObservationKind) -> (&'static str, &'static [&'static str]) {
    match kind {
        ObservationKind::Mould => ("describe.mould", &["mould", "mold"]),
        ObservationKind::Smell => ("describe.smell", &["smell", "smelt", "odour", "odor", "stink"]),
        ObservationKind::Slime => ("describe.slime", &["slime", "slimy", "sticky"]),
        ObservationKind::HardRim => ("describe.hard_rim", &["hard"]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::TemperatureScale;
    use crate::record::{Group, GroupId, GroupSettings, Member, MemberId, MemberSettings, Role};

    fn asking(mass: MassUnit) -> Asking {
        let settings =
            MemberSettings { mass, temperature: TemperatureScale::Celsius, ..MemberSettings::default() };
        let member = Member {
            id: MemberId(1),
            group: GroupId(1),
            name: "mara".to_owned(),
            role: Role::Member,
            settings,
            chat: None,
        };
        Asking {
            member,
            group: Group {
                id: GroupId(1),
                name: "home".to_owned(),
                settings: GroupSettings::default(),
                chat: None,
                left: None,
            },
            now: "2026-11-10T08:00:00Z".parse().unwrap(),
            request: None,
            confirmed: false,
            moderates: false,
            place: None,
            typed: String::new(),
            file: None,
            files: crate::command::pictures::Files::default(),
            seen: crate::command::Seen::default(),
        }
    }

    // 1 lb = 453.59237 g exactly (international pound, 1959): 22 oz are 623.69 g, 812 g are 28.64 oz.
    #[test]
    fn no_digit_of_a_weight_is_dropped() {
        for (typed, unit, shown) in [
            ("812 g", MassUnit::Gram, "812 g"),
            ("30 g", MassUnit::Gram, "30 g"),
            ("812.4 g", MassUnit::Gram, "812.4 g"),
            ("0,64 kg", MassUnit::Gram, "640 g"),
            ("1 lb 6 oz", MassUnit::Gram, "22 oz (624 g)"),
            ("2 lb 3 oz", MassUnit::Pound, "2 lb 3 oz"),
            ("12.1 oz", MassUnit::Pound, "12.1 oz"),
            ("1 lb 6.25 oz", MassUnit::Pound, "22.25 oz"),
            ("812 g", MassUnit::Pound, "812 g (1 lb 12.6 oz)"),
        ] {
            assert_eq!(weight(parse::mass(typed).unwrap(), &asking(unit)), shown, "{typed}");
        }
        assert_eq!(mass_as_typed(Mass::of(0.25, MassUnit::Ounce)), "0.25 oz");
    }

    #[test]
    fn a_temperature_is_shown_as_it_was_read() {
        let celsius = asking(MassUnit::Gram);
        assert_eq!(temperature(Temperature::celsius(12.25), &celsius), "12.25 °C");
        assert_eq!(temperature(Temperature::fahrenheit(55.0), &celsius), "55 °F (12.8 °C)");
    }

    #[test]
    fn what_names_itself_is_not_named_twice() {
        assert_eq!(observed(ObservationKind::Mould, "white mould"), "white mould");
        assert_eq!(observed(ObservationKind::Slime, "slime"), "slime");
        assert_eq!(observed(ObservationKind::Smell, "sour"), "smell: sour");
    }
}
