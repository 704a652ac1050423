//! Of what a line speaks: `B3`, `batch juniper`, `#2`, `chamber cellar`, `sample`, `total`.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Draft, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::figure::{take_mass_unit, temperature};
use crate::command::intake::item::What;
use crate::command::intake::leaving::why_it_left;
use crate::command::intake::line::{Line, tidied};
use crate::command::intake::prose::{Until, words};
use crate::command::intake::token::{Kind, cut};
use crate::command::intake::words::{begins_time, is_known, unsettles};
use crate::record::PieceNumber;

/// Most words of a name without quotes.
const LONGEST_NAME: usize = 4;
/// Words for the small packet beside the batch.
pub(super) const SAMPLE_WORDS: &[&str] = &["sample", "packet", "sachet"];
/// Words for a place that may be a chamber's name.
pub(super) const PLACES: &[&str] = &["fridge", "refrigerator", "box", "cabinet"];
/// Words for all pieces together.
const WHOLE_WORDS: &[&str] = &["total", "whole", "altogether", "together", "batch"];

/// The batch and the chamber that a line names, without reading the rest: what is hanging in a batch has to be known
/// before its weights can be read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Named {
    /// `B3`, or a name.
    pub batch: Option<String>,
    /// A chamber's name.
    pub chamber: Option<String>,
    /// A place that may be one: "fridge", "box".
    pub place: Option<String>,
}

/// Finds the batch and the chamber that a line names.
pub fn named(line: &str) -> Named {
    let mut found = Named::default();
    if line.chars().nth(super::LONGEST_LINE).is_some() {
        return found;
    }
    let tokens = cut(line);
    let mut cursor = Cursor::new(line, &tokens);
    while !cursor.is_at_end() {
        if let Some(batch) = batch(&mut cursor) {
            found.batch.get_or_insert(batch);
        } else if let Some(chamber) = chamber(&mut cursor) {
            found.chamber.get_or_insert(chamber);
        } else {
            if found.place.is_none() && cursor.sees(PLACES) {
                found.place = Some(cursor.text().to_lowercase());
            }
            cursor.skip();
        }
    }
    found
}

/// Reads a subject.
pub(super) fn read(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    if let Some(name) = batch(&mut ahead) {
        *cursor = ahead;
        let is_other = line.batch.get_or_insert_with(|| name.clone()) != &name;
        line.object_if(is_other, IntakeError::TwoBatches);
        return Ok(true);
    }
    if let Some(name) = chamber(&mut ahead) {
        *cursor = ahead;
        let is_other = line.chamber.get_or_insert_with(|| name.clone()) != &name;
        line.object_if(is_other, IntakeError::TwoChambers);
        return Ok(true);
    }
    if ahead.take(SAMPLE_WORDS) {
        line.samples.push((line.clause, cursor.at()));
        let start = *cursor;
        *cursor = ahead;
        ahead.take(&["temp", "temperature"]);
        ahead.take(&["at", "is", "was"]);
        ahead.take_sign(&[':', '@']);
        if let Some(found) = temperature(&mut ahead, line.context.temperature_scale)? {
            line.object_if(
                line.sample_temperature.is_some(),
                IntakeError::SaidTwice { what: "sample's temperature".to_owned() },
            );
            line.sample_temperature = Some(found);
            line.beside_ph.push(ahead.text_since(&start).to_owned());
            *cursor = ahead;
        }
        return Ok(true);
    }
    if ahead.take(WHOLE_WORDS) {
        line.whole_clauses.push(line.clause);
        *cursor = ahead;
        return Ok(true);
    }
    pieces(cursor, line)
}

/// `B3`, `batch 3`, `batch B3`, `batch "Juniper stick"`, `batch juniper stick`.
fn batch(cursor: &mut Cursor<'_>) -> Option<String> {
    let mut ahead = *cursor;
    ahead.take(&["on", "in", "for", "of"]);
    let is_named = ahead.take(&["batch"]);
    if is_named {
        ahead.take_sign(&[':']);
    }
    let is_marked = ahead.sees(&["b"]) && ahead.after_one().is_glued();
    if is_marked {
        ahead.skip();
    }
    let name = if is_named || is_marked {
        batch_number(&mut ahead).or_else(|| if is_marked { None } else { name(&mut ahead) })?
    } else {
        return None;
    };
    *cursor = ahead;
    Some(name)
}

/// A whole number that is not a weight.
fn batch_number(cursor: &mut Cursor<'_>) -> Option<String> {
    let number: u32 =
        matches!(cursor.kind(), Some(Kind::Number)).then(|| cursor.text().parse().ok()).flatten()?;
    let mut behind = cursor.after_one();
    let has_unit = take_mass_unit(&mut behind).is_some()
        || behind.sees_sign(&['%', '°'])
        || behind.sees(&["c", "f", "pieces", "sticks"]);
    if has_unit {
        return None;
    }
    cursor.skip();
    Some(format!("B{number}"))
}

fn chamber(cursor: &mut Cursor<'_>) -> Option<String> {
    let mut ahead = *cursor;
    if !ahead.take(&["chamber"]) {
        return None;
    }
    let found = name(&mut ahead)?;
    *cursor = ahead;
    Some(found)
}

/// A name in quotes, or a few words that mean nothing else.
fn name(cursor: &mut Cursor<'_>) -> Option<String> {
    if matches!(cursor.kind(), Some(Kind::Quoted)) {
        let text = cursor.text().trim_matches(['"', '“', '”']).trim().to_owned();
        cursor.skip();
        return (!text.is_empty()).then_some(text);
    }
    let start = *cursor;
    let mut length = 0;
    while length < LONGEST_NAME && cursor.word().is_some() && may_be_name(cursor) {
        cursor.skip();
        length += 1;
    }
    (length > 0).then(|| cursor.text_since(&start).to_owned())
}

/// Whether the word ahead means nothing else here; "chamber fridge" is a name, "batch 3" and "chamber is" are not.
fn may_be_name(cursor: &Cursor<'_>) -> bool {
    cursor.sees(PLACES) || (!is_known(cursor) && !begins_time(cursor))
}

/// `#2`, `#2 and #3`, `on #2`: before what is said of them, or after it.
fn pieces(cursor: &mut Cursor<'_>, line: &mut Line<'_>) -> Result<bool, IntakeError> {
    let mut ahead = *cursor;
    let is_after = ahead.take(&["on", "of", "from", "in", "at", "for"]);
    let Some(found) = piece_list(&mut ahead)? else {
        return Ok(false);
    };
    ahead.take_sign(&[':']);
    let start = *cursor;
    let text = ahead.text_since(&start).trim_end_matches(':').to_owned();
    *cursor = ahead;
    let clause = line.clause;
    let mut open: Vec<_> = line
        .drafts
        .iter_mut()
        .filter(|draft| draft.clause == clause && draft.pieces.is_empty() && draft.said.is_of_a_piece())
        .collect();
    let follows_weight = open.last().is_some_and(|draft| matches!(draft.said, Said::Weight(_)));
    let before_number = matches!(ahead.kind(), Some(Kind::Number));
    if !open.is_empty() && (is_after || follows_weight || !before_number) {
        for draft in &mut open {
            draft.pieces.clone_from(&found);
            draft.typed = format!("{} {text}", draft.typed);
        }
        let unsettled = open.last_mut().is_some_and(|draft| describe_on(cursor, draft));
        line.is_doubtful |= unsettled;
    } else {
        line.name_pieces(found, &start, cursor);
    }
    Ok(true)
}

/// "mould on #1 is green and black", "discarded #1 because of mould": what follows right behind the piece belongs to
/// what was said of it. Whether that says that the piece may still hang.
fn describe_on(cursor: &mut Cursor<'_>, draft: &mut Draft) -> bool {
    match &mut draft.said {
        Said::Known(What::Observed { text, .. }) if cursor.word().is_some_and(|word| word != "and") => {
            let more = words(cursor, Until::NextObservation);
            *text = tidied(&format!("{text} {more}"));
            draft.typed = tidied(&format!("{} {more}", draft.typed));
            false
        }
        Said::Known(What::Left { reason, .. }) if reason.is_empty() => {
            let Some((why, typed)) = why_it_left(cursor) else { return false };
            *reason = tidied(why);
            let gap = if typed.starts_with([',', ':', '.']) { "" } else { " " };
            draft.typed = tidied(&format!("{}{gap}{typed}", draft.typed));
            unsettles(why)
        }
        _ => false,
    }
}

fn piece_list(cursor: &mut Cursor<'_>) -> Result<Option<Vec<PieceNumber>>, IntakeError> {
    let mut ahead = *cursor;
    let Some(first) = piece(&mut ahead)? else {
        return Ok(None);
    };
    let mut found = vec![first];
    *cursor = ahead;
    loop {
        let is_joined = ahead.take(&["and"]) || ahead.take_sign(&['&', '+']);
        if !is_joined {
            ahead.take_sign(&[',', '/']);
        }
        let Some(next) = piece(&mut ahead)? else { break };
        // "slime on #2, #3 655 g": the second belongs to the weight.
        if !is_joined && matches!(ahead.kind(), Some(Kind::Number)) {
            break;
        }
        found.push(next);
        *cursor = ahead;
    }
    Ok(Some(found))
}

fn piece(cursor: &mut Cursor<'_>) -> Result<Option<PieceNumber>, IntakeError> {
    let number = match cursor.kind() {
        Some(Kind::Piece(number)) => *number,
        Some(Kind::Word(word)) if word == "piece" || word == "stick" => {
            let behind = cursor.after_one();
            match (behind.kind(), behind.text().parse()) {
                (Some(Kind::Number), Ok(number)) if !behind.is_glued() => {
                    cursor.skip();
                    number
                }
                _ => return Ok(None),
            }
        }
        _ => return Ok(None),
    };
    if number == 0 {
        return Err(IntakeError::NoSuchPiece { piece: PieceNumber(0) });
    }
    cursor.skip();
    Ok(Some(PieceNumber(number)))
}
