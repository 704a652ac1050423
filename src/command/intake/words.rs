//! The words the grammar knows, beside those of each reader.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::spoken::english;
use crate::command::intake::token::Kind;
use crate::command::time::{Direction, phrase};

/// Words that say nothing a reading needs: passed in silence.
const FILLERS: &str = "t a air all also am an and are at box by cabinet chamber checked current currently each for fridge from gave got \
    has have hello hey hi in is it it's its just log measured measures my now of on our please read reading readings refrigerator \
    reads room says scale showed shows so still temp temperature that the taken tested them then there these they this to \
    today took was we weighed weighing weighs weight weights were with";

/// Words that begin or belong to a reading, so that a number right before one of them stands alone.
const KEYWORDS: &str = "b batch blackout buffer calibrated calibration case chamber coldest discarded eaten fridge gross \
    hang hard high highest hum humidity hung hysteresis low lowest max maximum meter min minimum mold \
    mould net no offset out outage packed packet ph piece pieces power relative rh sample set setpoint \
    setting since slime slimy slope smell smells strip tare warmest";

/// Words that turn a statement into something else: a wish, a denial, a difference, a guess, a question.
const TURNING: &str = "about above add added after aim aiming almost approx approximately around before below between \
    can cannot change correct correction could delete did do does down expect expected forgot get goal going gone \
    gonna how if instead later less lose losing loss lost may maybe might minus more must nearly need needs \
    never next no not or over packet per perhaps plan planned planning plus probably remember roughly sample \
    shall should soon target than till tomorrow under undo unless until up want wanted wants what when will \
    would wrong yet";

/// "don't" as it is typed without its apostrophe.
const DENIALS: &str = "aint arent cant couldnt didnt doesnt dont hadnt hasnt havent isnt mustnt neednt shouldnt \
    wasnt werent wont wouldnt";

/// Words by which what is said of a piece's end is not so, or not yet.
const UNSETTLING: &str = "but hanging hangs if later maybe next or perhaps plan planned should soon still tomorrow unless \
    until when will would yet";

/// Signs that do the same.
const TURNING_SIGNS: &[char] = &['?', '<', '>', '~', '≈', '≤', '≥', '±'];

/// Signs that separate and say nothing else.
pub(super) const SEPARATORS: &[char] = &[
    ',', ';', '.', ':', '!', '-', '(', ')', '/', '&', '+', '*', '=', '|', '•', '·', '_', '\'', '’', '"', '“',
    '”', '[', ']', '{', '}', '`', '@', '#', '…', '\\',
];

/// Whether a word is in a list of words between spaces.
fn has(list: &str, word: &str) -> bool {
    list.split(' ').any(|listed| listed == word)
}

fn sees(cursor: &Cursor<'_>, list: &str) -> bool {
    cursor.word().is_some_and(|word| has(list, word))
}

/// Whether the token ahead says nothing and may be passed in silence.
pub(super) fn is_filler(cursor: &Cursor<'_>) -> bool {
    sees(cursor, FILLERS) || cursor.sees_sign(SEPARATORS)
}

/// Whether words left unread turn the meaning of what was read.
pub(super) fn turns(text: &str) -> bool {
    words_of(text).iter().any(|word| has(TURNING, word) || has(DENIALS, word) || word.ends_with("n't"))
        || text.contains(TURNING_SIGNS)
}

/// Whether the reason for which a piece left says that it may still hang.
pub(super) fn unsettles(text: &str) -> bool {
    words_of(text).iter().any(|word| has(UNSETTLING, word)) || text.contains('?')
}

/// The words of a text, in lower case and in English where they are known in another language, each with its apostrophe.
pub(super) fn words_of(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace('’', "'");
    text.split(|c: char| !c.is_alphanumeric() && c != '\'').map(|word| english(word).to_owned()).collect()
}

/// Whether a bare number may end here: at the end, before a sign, a number, or anything the grammar knows. An
/// unknown word behind a number is taken for a unit that is not on the list.
pub(super) fn may_follow_number(cursor: &Cursor<'_>) -> bool {
    match cursor.kind() {
        Some(Kind::Sign(sign)) => {
            !matches!(sign, '%' | '°' | '±') && (SEPARATORS.contains(sign) || *sign == '?')
        }
        Some(Kind::Word(_)) => {
            !cursor.is_glued() && (sees(cursor, FILLERS) || sees(cursor, KEYWORDS) || begins_time(cursor))
        }
        None | Some(_) => true,
    }
}

/// Whether a time begins here.
pub(super) fn begins_time(cursor: &Cursor<'_>) -> bool {
    let mut ahead = *cursor;
    !matches!(phrase(&mut ahead, Direction::Past), Ok(None))
}

/// Whether the word ahead is known to the grammar.
pub(super) fn is_known(cursor: &Cursor<'_>) -> bool {
    sees(cursor, FILLERS) || sees(cursor, KEYWORDS)
}
