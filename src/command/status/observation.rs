//! What a sight, smell or feel on a piece means, in words.

use crate::curing::observation::{Fact, Sign, denies, sign};
use crate::curing::{Level, Standing};
use crate::record::event::ObservationKind;
use crate::reply::finding::standing_shown;
use crate::reply::{Reply, say};

/// The source of what has none.
const COMMON_PRACTICE: &str = "common practice";

/// Adds to a reply what an observation means: what to do, what a published text says of it, and with how it was worked
/// out the others.
pub fn add_observation(reply: &mut Reply, kind: ObservationKind, text: &str) {
    if denies(text) {
        push_once(&mut reply.lines, say("observation.denied", &[]));
        return;
    }
    let Some(sign) = sign(kind, text) else { return };
    add_advice(reply, sign.level, advice(sign));
    let mut facts = sign.facts().map(fact_line);
    if let Some(first) = facts.next() {
        push_once(&mut reply.lines, first);
    }
    reply.working.extend(facts);
    reply.working.push(source_line(sign));
}

/// Adds a sentence with its signal word, once.
pub fn add_advice(reply: &mut Reply, level: Level, text: String) {
    if reply.notes.iter().all(|note| note.text != text) {
        reply.note(level, text);
    }
}

fn push_once(lines: &mut Vec<String>, line: String) {
    if !lines.contains(&line) {
        lines.push(line);
    }
}

/// What to do about a sign.
pub fn advice(sign: &Sign) -> String {
    say(&format!("observation.{}", sign.id), &[])
}

/// What one text says, with its source and how well that is known.
pub fn fact_line(fact: &Fact) -> String {
    let text = say(&format!("observed_fact.{}", fact.id), &[]);
    say("observation.fact", &[("source", &sourced(&fact.source, fact.standing)), ("text", &text)])
}

/// Where what to do comes from.
pub fn source_line(sign: &Sign) -> String {
    say("observation.source", &[("source", &sourced(&sign.source, sign.standing)), ("where", &sign.place)])
}

/// A source with how well it is known; a custom says so once.
fn sourced(source: &str, standing: Standing) -> String {
    if standing == Standing::Practice && source == COMMON_PRACTICE {
        return capitalised(&standing_shown(standing));
    }
    say("observation.sourced", &[("source", &capitalised(source)), ("standing", &standing_shown(standing))])
}

/// With a capital letter at the beginning.
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}
