//! The next step as one tap, where it takes no figure.

use crate::record::{BatchId, BatchKind, BatchStage, BatchState};
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

/// What one tap on a batch's card does: what the card says comes next, or else the stage that comes next where nothing
/// but the days decide. A fermentation is left by its pH, a piece is hung by its weight: those have no tap here.
pub fn on_card(key: Option<&str>, state: &BatchState) -> Option<Tap> {
    let said = key.and_then(|key| after(key, state.id));
    said.filter(|_| key != Some("batch.show.next_finish")).or_else(|| {
        let rests = state.plan.kind == BatchKind::WholeMuscle && state.stage().0 == BatchStage::Curing;
        rests.then(|| Tap {
            label: say("tap.rest", &[]),
            line: format!("batch stage batch:{} to:resting", state.id),
        })
    })
}

/// Shows a finished batch to the group; it is asked about first.
pub fn share(batch: BatchId) -> Tap {
    Tap { label: say("tap.share", &[]), line: format!("group board share:{batch}") }
}

/// Takes a batch off the group's board.
pub fn withdraw(batch: BatchId) -> Tap {
    Tap { label: say("tap.withdraw", &[]), line: format!("group board withdraw:{batch}") }
}
