//! One thing has one value in a line.

use crate::command::intake::error::IntakeError;
use crate::command::intake::item::{Item, What, Whose};

/// Two values for one thing cannot both be right.
pub(super) fn refuse_twice(items: &[Item]) -> Result<(), IntakeError> {
    let mut seen: Vec<String> = Vec::new();
    for item in items {
        for name in names(item) {
            if seen.contains(&name) {
                return Err(IntakeError::SaidTwice { what: name });
            }
            seen.push(name);
        }
    }
    Ok(())
}

/// What an item gives a value to.
fn names(item: &Item) -> Vec<String> {
    let of = match item.whose {
        Whose::Batch | Whose::Chamber => String::new(),
        Whose::Piece(piece) => format!(" of {piece}"),
        Whose::Sample => " of the sample".to_owned(),
    };
    let name = |word: &str| vec![format!("{word}{of}")];
    match &item.what {
        What::Weighed { .. } => name("weight"),
        What::Ph { .. } => name("pH"),
        What::Tare { .. } => name("tare"),
        What::Setting { .. } => name("setting"),
        What::Extremes { .. } => name("maximum"),
        What::PowerOut { .. } => name("power cut"),
        What::Left { .. } => name("way out"),
        What::Hung { pieces, .. } => pieces.iter().map(|(piece, _)| format!("weight of {piece}")).collect(),
        What::Room { temperature, humidity } => {
            [temperature.map(|_| "room temperature".to_owned()), humidity.map(|_| "humidity".to_owned())]
                .into_iter()
                .flatten()
                .collect()
        }
        What::Observed { .. } => Vec::new(),
    }
}
