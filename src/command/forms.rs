//! Forms: which options of a command are worth a field. At most five, which is what a form holds.

use super::asking::Asking;
use super::batch::finish;
use super::describe;
use crate::quantity::TemperatureScale;
use crate::record::BatchState;
use crate::reply::form::{Blank, Filled, Form};
use crate::reply::say;

/// A field whose words are under a key.
fn blank(option: &'static str, key: &str, filled: Filled) -> Blank {
    let hint = say(&format!("form.hint.{key}"), &[]);
    Blank { option, label: say(&format!("form.field.{key}"), &[]), hint, filled }
}

/// Readings of one time, and a remark beside them.
pub fn log(batch: Option<String>) -> Form {
    let batch = batch.map_or(Filled::Nothing, Filled::Said);
    Form {
        label: say("form.log.label", &[]),
        title: say("form.log.title", &[]),
        root: "log",
        verb: "reading",
        settled: Vec::new(),
        blanks: vec![
            blank("batch", "batch", batch),
            blank("ph", "ph", Filled::Nothing),
            blank("weights", "weights", Filled::Lines),
            blank("air", "air", Filled::Nothing),
            blank("remark", "remark", Filled::Lines),
        ],
        may_be_empty: false,
    }
}

/// What a newcomer says once.
pub fn settings(asking: &Asking) -> Form {
    let settings = &asking.member.settings;
    let known = |text: &Option<String>| text.clone().map_or(Filled::Nothing, Filled::Known);
    Form {
        label: say("form.settings.label", &[]),
        title: say("form.settings.title", &[]),
        root: "me",
        verb: "set",
        settled: Vec::new(),
        blanks: vec![
            blank("country", "country", known(&settings.country)),
            blank("timezone", "timezone", known(&settings.timezone)),
            blank("mass", "mass", Filled::Known(settings.mass.symbol().to_owned())),
            blank("temperature", "temperature", Filled::Known(letter(settings.temperature).to_owned())),
            blank("scale", "scale", Filled::Known(describe::mass_as_typed(settings.scale_step))),
        ],
        may_be_empty: false,
    }
}

/// A scale of temperature as it is typed.
const fn letter(scale: TemperatureScale) -> &'static str {
    match scale {
        TemperatureScale::Celsius => "C",
        TemperatureScale::Fahrenheit => "F",
    }
}

/// A batch to be written down.
pub fn start() -> Form {
    Form {
        label: say("form.start.label", &[]),
        title: say("form.start.title", &[]),
        root: "batch",
        verb: "start",
        settled: Vec::new(),
        blanks: vec![
            blank("name", "name", Filled::Nothing),
            blank("kind", "kind", Filled::Nothing),
            blank("meat", "meat", Filled::Nothing),
            blank("casing", "casing", Filled::Nothing),
            blank("loss", "loss", Filled::Nothing),
        ],
        may_be_empty: false,
    }
}

/// How a batch turned out, when it is closed.
pub fn finish(state: &BatchState, asking: &Asking) -> Form {
    let weighed = finish::weighed(state, asking);
    let weight = if weighed.is_empty() { Filled::Nothing } else { Filled::Known(weighed) };
    let label = if state.stage().0.is_over() { "form.finish.label_over" } else { "form.finish.label" };
    Form {
        label: say(label, &[]),
        title: say("form.finish.title", &[("batch", &state.id.to_string())]),
        root: "batch",
        verb: "finish",
        settled: vec![("batch", state.id.to_string())],
        blanks: vec![
            blank("yield", "yield", weight),
            blank("taste", "taste", Filled::Nothing),
            blank("texture", "texture", Filled::Nothing),
            blank("look", "look", Filled::Nothing),
            blank("notes", "notes", Filled::Lines),
        ],
        may_be_empty: !state.stage().0.is_over(),
    }
}
