//! The words of heads, as data. Common practice, no source: they are what such columns are called in five languages.

use super::super::understood::Ignored;

/// What a head's words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::sheet) enum Sense {
    /// Never taken.
    Skip(Ignored),
    /// A count since the start.
    Elapsed,
    /// Date and time.
    Moment,
    /// A date.
    Date,
    /// A time of day, or date and time.
    Time,
    /// Air temperature.
    Temperature,
    /// Relative humidity.
    Humidity,
    /// A weight.
    Weight,
}

/// How a word of the table is found.
#[derive(Debug, Clone, Copy)]
pub(super) enum Found {
    /// As a whole word.
    Whole,
    /// Anywhere inside a word: German puts words together.
    Within,
}

use Found::{Whole, Within};
use Sense::{Date, Elapsed, Humidity, Moment, Skip, Temperature, Time, Weight};

/// A word in small letters without accents, how it is found, what it says, and the language (ISO 639-1).
type Word = (&'static str, Found, Sense, &'static str);

/// The table. The first line that is found decides, so what is never taken stands first.
pub(super) const WORDS: &[Word] = &[
    ("dew", Within, Skip(Ignored::DewPoint), "en"),
    ("frostpoint", Whole, Skip(Ignored::DewPoint), "en"),
    ("taupunkt", Within, Skip(Ignored::DewPoint), "de"),
    ("rosee", Whole, Skip(Ignored::DewPoint), "fr"),
    ("rugiada", Whole, Skip(Ignored::DewPoint), "it"),
    ("rocio", Whole, Skip(Ignored::DewPoint), "es"),
    ("wet", Whole, Skip(Ignored::WetBulb), "en"),
    ("bulb", Whole, Skip(Ignored::WetBulb), "en"),
    ("feuchtkugel", Within, Skip(Ignored::WetBulb), "de"),
    ("bulbe", Whole, Skip(Ignored::WetBulb), "fr"),
    ("bulbo", Whole, Skip(Ignored::WetBulb), "it es"),
    ("setpoint", Within, Skip(Ignored::SetPoint), "en"),
    ("set", Whole, Skip(Ignored::SetPoint), "en"),
    ("target", Whole, Skip(Ignored::SetPoint), "en"),
    ("alarm", Within, Skip(Ignored::SetPoint), "en de"),
    ("limit", Within, Skip(Ignored::SetPoint), "en"),
    ("soll", Whole, Skip(Ignored::SetPoint), "de"),
    ("sollwert", Within, Skip(Ignored::SetPoint), "de"),
    ("solltemperatur", Within, Skip(Ignored::SetPoint), "de"),
    ("sollfeuchte", Within, Skip(Ignored::SetPoint), "de"),
    ("consigne", Whole, Skip(Ignored::SetPoint), "fr"),
    ("consigna", Whole, Skip(Ignored::SetPoint), "es"),
    ("impostata", Whole, Skip(Ignored::SetPoint), "it"),
    ("min", Whole, Skip(Ignored::Extreme), "en de fr it es"),
    ("max", Whole, Skip(Ignored::Extreme), "en de fr it es"),
    ("minimum", Whole, Skip(Ignored::Extreme), "en de fr"),
    ("maximum", Whole, Skip(Ignored::Extreme), "en de fr"),
    ("avg", Whole, Skip(Ignored::Extreme), "en"),
    ("average", Whole, Skip(Ignored::Extreme), "en"),
    ("mean", Whole, Skip(Ignored::Extreme), "en"),
    ("mittelwert", Within, Skip(Ignored::Extreme), "de"),
    ("batter", Within, Skip(Ignored::Other), "en de fr it"),
    ("bateria", Whole, Skip(Ignored::Other), "es"),
    ("akku", Within, Skip(Ignored::Other), "de"),
    ("volt", Whole, Skip(Ignored::Other), "en de fr it"),
    ("voltage", Whole, Skip(Ignored::Other), "en"),
    ("signal", Within, Skip(Ignored::Other), "en de fr"),
    ("rssi", Whole, Skip(Ignored::Other), "en"),
    ("pressure", Whole, Skip(Ignored::Other), "en"),
    ("luftdruck", Within, Skip(Ignored::Other), "de"),
    ("pression", Whole, Skip(Ignored::Other), "fr"),
    ("pressione", Whole, Skip(Ignored::Other), "it"),
    ("presion", Whole, Skip(Ignored::Other), "es"),
    ("co2", Whole, Skip(Ignored::Other), "en"),
    ("vpd", Whole, Skip(Ignored::Other), "en"),
    ("deficit", Whole, Skip(Ignored::Other), "en fr it es"),
    ("absolut", Within, Skip(Ignored::Other), "en de fr es"),
    ("abs", Whole, Skip(Ignored::Other), "en de"),
    ("assoluta", Whole, Skip(Ignored::Other), "it"),
    ("note", Whole, Skip(Ignored::Other), "en it fr"),
    ("notes", Whole, Skip(Ignored::Other), "en fr"),
    ("remarks", Whole, Skip(Ignored::Other), "en"),
    ("comments", Whole, Skip(Ignored::Other), "en de fr"),
    ("bemerkung", Within, Skip(Ignored::Other), "de"),
    ("loss", Whole, Skip(Ignored::Other), "en"),
    ("verlust", Within, Skip(Ignored::Other), "de"),
    ("perte", Whole, Skip(Ignored::Other), "fr"),
    ("calo", Whole, Skip(Ignored::Other), "it"),
    ("merma", Whole, Skip(Ignored::Other), "es"),
    ("elapsed", Within, Elapsed, "en"),
    ("runtime", Whole, Elapsed, "en"),
    ("uptime", Whole, Elapsed, "en"),
    ("duration", Whole, Elapsed, "en"),
    ("laufzeit", Within, Elapsed, "de"),
    ("dauer", Whole, Elapsed, "de"),
    ("ecoule", Within, Elapsed, "fr"),
    ("trascorso", Whole, Elapsed, "it"),
    ("transcurrido", Whole, Elapsed, "es"),
    ("timestamp", Within, Moment, "en"),
    ("datetime", Within, Moment, "en"),
    ("epoch", Whole, Moment, "en"),
    ("zeitstempel", Within, Moment, "de"),
    ("zeitpunkt", Within, Moment, "de"),
    ("messzeit", Within, Moment, "de"),
    ("horodat", Within, Moment, "fr"),
    ("date", Whole, Date, "en fr"),
    ("datum", Within, Date, "de"),
    ("data", Whole, Date, "it"),
    ("fecha", Whole, Date, "es"),
    ("day", Whole, Date, "en"),
    ("tag", Whole, Date, "de"),
    ("jour", Whole, Date, "fr"),
    ("giorno", Whole, Date, "it"),
    ("dia", Whole, Date, "es"),
    ("time", Whole, Time, "en"),
    ("uhrzeit", Within, Time, "de"),
    ("zeit", Whole, Time, "de"),
    ("heure", Whole, Time, "fr"),
    ("ora", Whole, Time, "it"),
    ("orario", Whole, Time, "it"),
    ("hora", Whole, Time, "es"),
    ("hour", Whole, Time, "en"),
    ("temp", Whole, Temperature, "en de fr it es"),
    ("tempc", Whole, Temperature, "en"),
    ("tempf", Whole, Temperature, "en"),
    ("temperatur", Within, Temperature, "en de fr it es"),
    ("celsius", Whole, Temperature, "en"),
    ("fahrenheit", Whole, Temperature, "en"),
    ("humid", Within, Humidity, "en fr"),
    ("hum", Whole, Humidity, "en"),
    ("rh", Whole, Humidity, "en"),
    ("feucht", Within, Humidity, "de"),
    ("rf", Whole, Humidity, "de"),
    ("hr", Whole, Humidity, "fr es"),
    ("umidit", Within, Humidity, "it"),
    ("ur", Whole, Humidity, "it"),
    ("humedad", Whole, Humidity, "es"),
    ("weight", Within, Weight, "en"),
    ("mass", Whole, Weight, "en"),
    ("gewicht", Within, Weight, "de"),
    ("poids", Whole, Weight, "fr"),
    ("peso", Whole, Weight, "it es"),
];

/// Heads that number the records when nothing else stands in them.
pub(super) const COUNTERS: [&str; 9] = ["", "no", "nr", "num", "number", "index", "record", "id", "n"];

/// Words before the number of a piece, beside the sign `#`.
pub(super) const PIECES: [&str; 6] = ["piece", "pc", "stuck", "pezzo", "pieza", "st"];

/// What a count since the start is counted in, where the head says only "time".
pub(super) const COUNTED_IN: [&str; 13] = [
    "s", "sec", "secs", "second", "seconds", "sekunden", "min", "minutes", "minuten", "h", "hours",
    "stunden", "ms",
];

/// A text in small letters, accents of the five languages taken off.
pub(in crate::sheet) fn folded(text: &str) -> String {
    let fold = |letter: char| match letter {
        'à' | 'á' | 'â' | 'ä' => 'a',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ò' | 'ó' | 'ô' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        other => other,
    };
    text.chars().flat_map(char::to_lowercase).map(fold).collect()
}
