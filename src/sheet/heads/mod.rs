//! A head: what its words say, its unit, and what else loggers put into it.

pub(in crate::sheet) mod words;

use super::cell::{Unit, unit};
use super::time::clock::offset;
use super::understood::{DateOrder, Ignored};
use crate::quantity::TemperatureScale;
use chrono::FixedOffset;
use words::{COUNTED_IN, COUNTERS, Found, PIECES, Sense, WORDS, folded};

/// Most characters of a head that are looked at.
const LONGEST: usize = 120;

/// What a head says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Head {
    pub(super) sense: Option<Sense>,
    pub(super) unit: Option<Unit>,
    /// `Time (UTC)`, `Date/Time (GMT+2)`.
    pub(super) zone: Option<FixedOffset>,
    /// `Date (dd/mm/yyyy)`.
    pub(super) date_order: Option<DateOrder>,
    /// What is left for a batch's name.
    pub(super) name: String,
    /// The piece's number.
    pub(super) piece: Option<u32>,
}

/// Reads a head.
pub(super) fn head(text: &str) -> Head {
    let text: String = text.trim().chars().take(LONGEST).collect();
    let (outside, inside) = brackets(&text);
    let (outside, bare_unit) = match inside.as_deref().map(unit) {
        None | Some(Unit::Other) => trailing_unit(&outside),
        Some(_) => (outside, None),
    };
    let bracket_unit = inside.as_deref().map(unit).filter(|unit| *unit != Unit::Other);
    let stands_alone = unit_alone(&text);
    let sense = sense(&outside, inside.as_deref(), bracket_unit.or(stands_alone).is_some());
    let bare_unit =
        bare_unit.filter(|bare| bare.sure || sense == Some(Sense::Temperature)).map(|bare| bare.unit);
    let unknown = inside.as_deref().filter(|_| sense == Some(Sense::Temperature)).map(unit);
    let (name, piece) = name(&outside);
    Head {
        sense,
        unit: bracket_unit.or(bare_unit).or(stands_alone).or(scale_in_word(&outside)).or(unknown),
        zone: zone(&text),
        date_order: inside.as_deref().and_then(date_order),
        name,
        piece,
    }
}

/// What stands in the last brackets, and the text without them.
fn brackets(text: &str) -> (String, Option<String>) {
    let closes = text.rfind([')', ']']);
    let opens = closes.and_then(|end| text[..end].rfind(['(', '[']).map(|start| (start, end)));
    match opens {
        Some((start, end)) => {
            let outside = format!("{} {}", &text[..start], &text[end + 1..]);
            (outside.trim().to_owned(), Some(text[start + 1..end].trim().to_owned()))
        }
        None => (text.to_owned(), None),
    }
}

struct Bare {
    unit: Unit,
    /// Written so that it is nothing else: `°C`, `%RH`, `kg`. A lone `C` may be a batch.
    sure: bool,
}

/// A unit at the end of a head without brackets: `Temp, °C`, `Temp_C`, `B1 kg`.
fn trailing_unit(text: &str) -> (String, Option<Bare>) {
    let Some(at) = text.rfind([' ', ',', '/', '_', ';']) else { return (text.to_owned(), None) };
    let last = &text[at + 1..];
    let found = match unit(last) {
        Unit::Other => return (text.to_owned(), None),
        found => found,
    };
    let is_small = last.chars().all(char::is_lowercase);
    let sure = match found {
        Unit::Mass(_) => is_small,
        _ => last == "%" || last.chars().count() > 1,
    };
    let name = if sure {
        text[..at].trim_end_matches([' ', ',', '/', '_', ';', '-']).to_owned()
    } else {
        text.to_owned()
    };
    (name, Some(Bare { unit: found, sure }))
}

/// A head that is a unit and nothing else: `°C`, `% RH`.
fn unit_alone(text: &str) -> Option<Unit> {
    let found = unit(text);
    let is_sign = text.starts_with(['°', '%', 'º', '℃', '℉']);
    let scale = match text.chars().next() {
        Some('℃') => Some(Unit::Scale(TemperatureScale::Celsius)),
        Some('℉') => Some(Unit::Scale(TemperatureScale::Fahrenheit)),
        _ => None,
    };
    scale.or((is_sign && found != Unit::Other).then_some(found))
}

/// `TempC`, `Celsius`.
fn scale_in_word(text: &str) -> Option<Unit> {
    let word = folded(text);
    let has = |names: [&str; 2]| names.iter().any(|name| word.contains(name));
    let scale = if has(["tempc", "celsius"]) {
        TemperatureScale::Celsius
    } else if has(["tempf", "fahrenheit"]) {
        TemperatureScale::Fahrenheit
    } else {
        return None;
    };
    Some(Unit::Scale(scale))
}

fn sense(outside: &str, inside: Option<&str>, has_unit: bool) -> Option<Sense> {
    let folded_text = folded(outside);
    let tokens: Vec<&str> =
        folded_text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let says = |word: &str, found: Found| match found {
        Found::Whole => tokens.contains(&word),
        Found::Within => tokens.iter().any(|token| token.contains(word)),
    };
    if !has_unit
        && (tokens.is_empty() || (tokens.len() == 1 && COUNTERS.contains(&tokens[0])))
        && !outside.contains('#')
    {
        return Some(Sense::Skip(Ignored::Counter));
    }
    if outside.trim() == "#" {
        return Some(Sense::Skip(Ignored::Counter));
    }
    let first = WORDS.iter().find(|(word, found, ..)| says(word, *found)).map(|(.., sense, _)| *sense);
    let has =
        |wanted: Sense| WORDS.iter().any(|(word, found, sense, _)| *sense == wanted && says(word, *found));
    let counted = inside.is_some_and(|inside| COUNTED_IN.contains(&folded(inside).as_str()))
        || tokens.last().is_some_and(|last| tokens.len() > 1 && COUNTED_IN.contains(last));
    match first {
        Some(Sense::Time | Sense::Date) if has(Sense::Date) && has(Sense::Time) => Some(Sense::Moment),
        // "Time (s)" counts from the start; "Unix time (s)" does not.
        Some(Sense::Time) if tokens.contains(&"unix") => Some(Sense::Moment),
        Some(Sense::Time) if counted => Some(Sense::Elapsed),
        // A lone T is a temperature where a scale stands beside it.
        None if tokens == ["t"] => Some(Sense::Temperature),
        other => other,
    }
}

/// `UTC`, `GMT+2` anywhere in a head.
fn zone(text: &str) -> Option<FixedOffset> {
    let small = text.to_ascii_lowercase();
    let from = small.find("utc").or_else(|| small.find("gmt"))?;
    let end = text[from..].find([')', ']', ',', ';']).map_or(text.len(), |length| from + length);
    offset(&text[from..end])
}

/// `dd/mm/yyyy`, `MM/DD/YYYY`, `TT.MM.JJJJ`, `gg/mm/aaaa`, `jj/mm/aaaa`: the order a head spells out.
fn date_order(inside: &str) -> Option<DateOrder> {
    let small = inside.to_ascii_lowercase();
    let mut parts = small.split(|letter: char| !letter.is_ascii_alphabetic()).filter(|part| !part.is_empty());
    let (first, second, third) = (parts.next()?, parts.next()?, parts.next()?);
    let is_day = |part: &str| ["d", "dd", "t", "tt", "g", "gg", "jj"].contains(&part);
    let is_month = |part: &str| ["m", "mm"].contains(&part);
    let is_year = |part: &str| ["yy", "yyyy", "jj", "jjjj", "aa", "aaaa"].contains(&part);
    match () {
        () if is_day(first) && is_month(second) && is_year(third) => Some(DateOrder::DayFirst),
        () if is_month(first) && is_day(second) && is_year(third) => Some(DateOrder::MonthFirst),
        () if is_year(first) && is_month(second) && is_day(third) => Some(DateOrder::YearFirst),
        () => None,
    }
}

/// The batch and the piece a head of weights names: `B1 #2`, `#3`, `B1 piece 2`, `Finocchiona weight`.
fn name(outside: &str) -> (String, Option<u32>) {
    let spaced = outside.replace('#', " #").replace('_', " ");
    let mut piece = None;
    let mut kept: Vec<&str> = Vec::new();
    let mut words = spaced.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let plain = folded(word);
        let plain = plain.trim_matches(|letter: char| !letter.is_alphanumeric() && letter != '#');
        let is_weight = WORDS.iter().any(|(name, _, sense, _)| *sense == Sense::Weight && *name == plain);
        let number =
            |word: &str| word.trim_end_matches([',', '.']).parse::<u32>().ok().filter(|number| *number > 0);
        if let Some(found) = word.strip_prefix('#').and_then(number) {
            piece = Some(found);
        } else if let Some(found) =
            words.peek().and_then(|next| number(next)).filter(|_| PIECES.contains(&plain))
        {
            piece = Some(found);
            words.next();
        } else if !is_weight {
            kept.push(word);
        }
    }
    let name = kept.join(" ");
    (name.trim_matches([',', ';', '-', ' ']).to_owned(), piece)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::MassUnit;

    const CELSIUS: Option<Unit> = Some(Unit::Scale(TemperatureScale::Celsius));
    const FAHRENHEIT: Option<Unit> = Some(Unit::Scale(TemperatureScale::Fahrenheit));

    #[test]
    fn air() {
        for (text, sense, unit) in [
            ("Temperature (°C)", Sense::Temperature, CELSIUS),
            ("Temperature [°F]", Sense::Temperature, FAHRENHEIT),
            ("Temp. °C", Sense::Temperature, CELSIUS),
            ("Temp, deg F", Sense::Temperature, FAHRENHEIT),
            ("temp_f", Sense::Temperature, FAHRENHEIT),
            ("TempC", Sense::Temperature, CELSIUS),
            ("Celsius(°C)", Sense::Temperature, CELSIUS),
            ("Lufttemperatur / °C", Sense::Temperature, CELSIUS),
            ("Temperatur in °C", Sense::Temperature, CELSIUS),
            ("T [°C]", Sense::Temperature, CELSIUS),
            ("Température(\u{fffd}C)", Sense::Temperature, CELSIUS),
            ("Temperature", Sense::Temperature, None),
            ("Temperature (K)", Sense::Temperature, Some(Unit::Other)),
            ("Humidity (%RH)", Sense::Humidity, Some(Unit::PercentHumidity)),
            ("rel. Luftfeuchte %", Sense::Humidity, Some(Unit::Percent)),
            ("Umidità (%)", Sense::Humidity, Some(Unit::Percent)),
            ("Dew Point (°C)", Sense::Skip(Ignored::DewPoint), CELSIUS),
            ("Taupunkttemperatur", Sense::Skip(Ignored::DewPoint), None),
            ("Temp max (°C)", Sense::Skip(Ignored::Extreme), CELSIUS),
            ("Battery (%)", Sense::Skip(Ignored::Other), Some(Unit::Percent)),
            ("No.", Sense::Skip(Ignored::Counter), None),
        ] {
            let read = head(text);
            assert_eq!((read.sense, read.unit), (Some(sense), unit), "{text}");
        }
        assert_eq!((head("Channel 1 [°C]").sense, head("Channel 1 [°C]").unit), (None, CELSIUS));
    }

    #[test]
    fn times() {
        for (text, sense) in [
            ("Date", Sense::Date),
            ("Datum", Sense::Date),
            ("Uhrzeit", Sense::Time),
            ("Time", Sense::Time),
            ("Time (hh:mm:ss)", Sense::Time),
            ("Date/Time", Sense::Moment),
            ("Date Time, GMT+02:00", Sense::Moment),
            ("Datum/Uhrzeit", Sense::Moment),
            ("Data e ora", Sense::Moment),
            ("Fecha y hora", Sense::Moment),
            ("Timestamp", Sense::Moment),
            ("Unix time (s)", Sense::Moment),
            ("Elapsed time", Sense::Elapsed),
            ("Time (s)", Sense::Elapsed),
            ("Laufzeit", Sense::Elapsed),
        ] {
            assert_eq!(head(text).sense, Some(sense), "{text}");
        }
        assert_eq!(head("Date Time, GMT+02:00").zone, FixedOffset::east_opt(7200));
        assert_eq!(head("Time (UTC)").zone, FixedOffset::east_opt(0));
        assert_eq!(head("Date (dd/mm/yyyy)").date_order, Some(DateOrder::DayFirst));
        assert_eq!(head("Date (MM/DD/YY)").date_order, Some(DateOrder::MonthFirst));
        assert_eq!(head("Datum (TT.MM.JJJJ)").date_order, Some(DateOrder::DayFirst));
    }

    #[test]
    fn weights() {
        let gram = Some(Unit::Mass(MassUnit::Gram));
        let kilogram = Some(Unit::Mass(MassUnit::Kilogram));
        for (text, name, piece, unit) in [
            ("B1", "B1", None, None),
            ("B1 (g)", "B1", None, gram),
            ("B1 #2 [kg]", "B1", Some(2), kilogram),
            ("B1#2 g", "B1", Some(2), gram),
            ("#3", "", Some(3), None),
            ("Finocchiona, kg", "Finocchiona", None, kilogram),
            ("Weight B1 (g)", "B1", None, gram),
            ("B1 piece 4", "B1", Some(4), None),
            ("Salami C", "Salami C", None, None),
            ("Batch G", "Batch G", None, None),
        ] {
            let read = head(text);
            assert_eq!((read.name.as_str(), read.piece, read.unit), (name, piece, unit), "{text}");
        }
    }
}
