//! What was read and can mean two things: then it is asked.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Draft, Said};
use crate::command::intake::item::What;
use crate::command::intake::line::Line;

/// Words that open a question, beside those that are never passed in silence.
const ASKING: &[&str] = &["is", "are", "am"];
/// Words that open a question on a piece, and a statement on a weight: "was 812 g".
const ASKING_OF_A_PIECE: &[&str] = &["is", "are", "was", "were", "has", "have", "had"];

/// Whether something in the line can mean two things.
pub(super) fn is_two_things(start: &Cursor<'_>, line: &Line<'_>) -> bool {
    percent_beside_weight(line)
        || line.has_temperature_of_either()
        || (line.has_bare_temperature && sets_temperature(line))
        || is_question(start, line)
        || has_time_of_one_part(line)
}

/// "812 g 38%": the percentage may be the loss. With "rh" or a temperature, or behind a comma, it is the air's.
fn percent_beside_weight(line: &Line<'_>) -> bool {
    let is_bare_percent = |draft: &Draft| {
        matches!(draft.said, Said::Known(What::Room { temperature: None, .. }))
            && !draft.typed.chars().any(char::is_alphabetic)
    };
    line.drafts.iter().filter(|draft| is_bare_percent(draft)).any(|percent| {
        line.drafts
            .iter()
            .any(|draft| draft.clause == percent.clause && matches!(draft.said, Said::Weight(_)))
    })
}

fn sets_temperature(line: &Line<'_>) -> bool {
    let sets = |said: &Said| matches!(said, Said::Known(What::Setting { temperature: Some(_), .. }));
    line.drafts.iter().any(|draft| sets(&draft.said))
}

/// "is ph 5.1 good", "has #4 been packed": without a question mark, on a phone.
fn is_question(start: &Cursor<'_>, line: &Line<'_>) -> bool {
    let opens = |at: usize, clause: usize| {
        line.clauses.get(at) == Some(&clause)
            && (at == 0 || line.clauses.get(at - 1) != Some(&clause))
            && start.back_to(at).sees(ASKING_OF_A_PIECE)
    };
    let leaves = |draft: &Draft| matches!(draft.said, Said::Known(What::Left { .. }));
    start.sees(ASKING)
        || line
            .drafts
            .iter()
            .filter(|draft| leaves(draft))
            .any(|draft| (0..line.clauses.len()).any(|at| opens(at, draft.clause)))
}

/// "ph 5.1 yesterday 8pm; 812 g": the time of one part may not be that of the other. A part that is nothing but a
/// time is of all.
fn has_time_of_one_part(line: &Line<'_>) -> bool {
    let Some((when, clause)) = &line.at else { return false };
    let of_time = line.part(*clause);
    let has_reading =
        |is_own: bool| line.drafts.iter().any(|draft| (line.part(draft.clause) == of_time) == is_own);
    when.at != line.context.now && has_reading(true) && has_reading(false)
}
