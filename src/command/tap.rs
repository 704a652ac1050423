//! The next step as one tap, where it takes no figure.

use crate::record::BatchId;
use crate::reply::{Tap, say};

/// What one tap does after the sentence of a key; `None` where figures have to be typed.
pub fn after(key: &str, batch: BatchId) -> Option<Tap> {
    let (label, line) = match key {
        "batch.show.next_ferment" => ("tap.ferment", format!("batch stage batch:{batch} to:fermenting")),
        "batch.show.next_dry" | "ferment.next_cool" => {
            ("tap.dry", format!("batch stage batch:{batch} to:drying"))
        }
        "batch.show.next_equalise" => ("tap.equalise", format!("batch stage batch:{batch} to:equalising")),
        "batch.show.next_finish" => ("tap.finish", format!("batch finish batch:{batch}")),
        _ => return None,
    };
    Some(Tap { label: say(label, &[]), line })
}
