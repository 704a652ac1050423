//! A question as a message: what can be answered by a tap, and the line again to be mended.

use super::buttons::{Leaving, Left, Press, Saying};
use super::escape::escaped;
use super::form::{Field, Form, Says};
use super::layout::{Ground, Laid, MOST_TAPS, finished, spoken};
use super::limits;
use crate::desk::{Incoming, Said};
use crate::reply::{Question, say};

/// Lays a question out.
pub(super) fn of_question(question: &Question, ground: Ground<'_>) -> Laid {
    let incoming = ground.incoming;
    let mut lines = vec![escaped(&question.text)];
    let mut presses = Vec::new();
    for (choice, answer) in question.choices.iter().zip(&question.answers).take(MOST_TAPS) {
        let saying = if answer == "yes" { confirmed(incoming) } else { chosen(answer, incoming) };
        presses.push((choice.clone(), Press::Say(saying)));
    }
    if question.takes_a_yes() {
        presses.extend(yes_or_no(question, ground));
    } else if presses.is_empty() {
        lines.push(say("layout.answer", &[("example", &escaped(&question.example))]));
        presses.extend(again(ground));
    } else {
        presses.extend(again(ground));
    }
    finished(&spoken(&lines.join("\n"), std::iter::empty()), &presses, ground)
}

/// The answers to a question that a yes answers. A reading in doubt is kept as it was said, said anew, or left; a record
/// is shown or stays as it is; anything else is confirmed.
fn yes_or_no(question: &Question, ground: Ground<'_>) -> Vec<(String, Press)> {
    let incoming = ground.incoming;
    let yes = |key: &str| (say(key, &[]), Press::Say(confirmed(incoming)));
    let save = || Saying { request: incoming.id.clone(), ..confirmed(incoming) };
    let no = |key: &str, what| {
        let request = incoming.id.clone().unwrap_or_default();
        (say(key, &[]), Press::Leave(Leaving { what, request }))
    };
    let is_edited = matches!(incoming.said, Said::Edited { .. });
    if question.is_of_reading() && !is_edited {
        // Whichever of the buttons keeps it, it is kept once.
        let mut presses = vec![(say("platform.button.save", &[]), Press::Say(save()))];
        presses.extend(fix(incoming));
        presses.push(no("platform.button.discard", Left::Discarded));
        return presses;
    }
    match question.code {
        "confirm_share" => {
            vec![yes("platform.button.share"), no("platform.button.keep_private", Left::Private)]
        }
        _ => std::iter::once(yes("platform.button.yes")).chain(again(ground)).collect(),
    }
}

/// The words as they were said, to be mended; what is sent is read in their place, as of their time.
fn fix(incoming: &Incoming) -> Option<(String, Press)> {
    let mut form = line_form(incoming, "platform.form.fix")?;
    form.instead_of = incoming.id.clone().map(|id| (id, incoming.at));
    Some((say("platform.button.fix", &[]), Press::Form(form)))
}

/// The same again with a yes. What a message says is kept under the message's own id: then an edit finds it.
fn confirmed(incoming: &Incoming) -> Saying {
    Saying {
        said: incoming.said.clone(),
        at: Some(incoming.at),
        confirmed: true,
        batch: incoming.place,
        request: incoming.occasion(),
    }
}

/// What was chosen, kept as [`confirmed`] is.
fn chosen(answer: &str, incoming: &Incoming) -> Saying {
    Saying {
        said: Said::of(answer.to_owned(), incoming.said.files()),
        at: Some(incoming.at),
        confirmed: false,
        batch: None,
        request: incoming.occasion().filter(|_| !matches!(incoming.said, Said::Edited { .. })),
    }
}

/// Wet hands type a line or fill a form in once: it comes back in a form, to be mended.
///
/// What was edited is edited again; typed into a form it would be a second reading.
pub(super) fn again(ground: Ground<'_>) -> Option<(String, Press)> {
    if matches!(ground.incoming.said, Said::Edited { .. } | Said::Deleted { .. }) {
        return None;
    }
    let form = match ground.form {
        Some(sent) => sent.clone(),
        None => line_form(ground.incoming, "platform.form.again")?,
    };
    Some((say("platform.button.again", &[]), Press::Form(form)))
}

/// A form with the line as it was typed, where it fits into one.
fn line_form(incoming: &Incoming, title: &str) -> Option<Form> {
    let typed = incoming.typed();
    if typed.is_empty() || limits::width(&typed) > limits::FIELD {
        return None;
    }
    let field = Field {
        label: say("platform.form.line", &[]),
        filled: typed,
        hint: String::new(),
        before: String::new(),
        stays_said: false,
        several_lines: false,
    };
    let title = say(title, &[]);
    let files = incoming.said.files();
    let batch = incoming.place;
    Some(Form { title, fields: vec![field], batch, says: Says::Lines, instead_of: None, files })
}
