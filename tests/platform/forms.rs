//! Forms and buttons as members use them: readings field by field, doubts settled, batches finished, rated and shown;
//! and that a press too many, too late or by somebody else stores nothing.

use chrono::TimeDelta;
use tallyhook::quantity::Mass;
use tallyhook::record::{Appraisal, BatchId, Event, Happening, Rating};

use crate::assistant::Cellar;
use crate::edits::Hanging;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Form, Handle, Reply, SOON, Seen};

/// Labels of an answer's buttons.
fn labels(seen: &Seen) -> Vec<&str> {
    seen.buttons.iter().map(|button| button.label.as_str()).collect()
}

/// A form's fields: what each is called and what stands in it.
fn fields(form: &serde_json::Value) -> Vec<(String, String)> {
    let rows = form["components"].as_array().unwrap().iter();
    let text = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
    rows.map(|row| &row["components"][0])
        .map(|input| (text(&input["label"]), text(&input["value"])))
        .collect()
}

/// The batch's entries after its start and its hanging.
async fn entries(story: Hanging) -> Vec<Event> {
    let mut entries = story.entries().await;
    entries.sort_by_key(|event| event.id);
    entries.split_off(3)
}

fn words(entries: &[Event]) -> Vec<&'static str> {
    entries.iter().map(|event| event.what.word()).collect()
}

impl Hanging {
    async fn card(&self) -> Seen {
        self.cellar.ask_in(self.cellar.anna, self.thread, "batch show", &[]).await
    }

    async fn press(&self, seen: &Seen, label: &str) -> Seen {
        self.cellar.press(self.cellar.anna, seen, label).answer(SOON).await
    }

    /// Opens a form by a button; gives what was opened and its fields.
    async fn open(&self, seen: &Seen, label: &str) -> (Handle, Vec<(String, String)>) {
        let opened = self.cellar.press(self.cellar.anna, seen, label);
        let form = opened.answer(SOON).await.modal.unwrap();
        (opened, fields(&form))
    }

    async fn send(&self, opened: &Handle, fields: &[(&str, &str)]) -> Seen {
        self.cellar.stand_in.submit_form(opened, fields, Form::Classic).answer(SOON).await
    }

    /// Goes on to drying and to the target of both pieces, 38 % of 812 g and 798 g lost.
    async fn dried(&self) {
        self.cellar.ask("batch stage", &[("batch", "B1"), ("to", "drying")]).await;
        self.cellar.wait(TimeDelta::days(30));
        self.keep("500 490 g").await;
        self.cellar.ask("batch stage", &[("batch", "B1"), ("to", "equalising")]).await;
    }

    async fn finished(&self) -> Seen {
        self.dried().await;
        let (opened, _) = self.open(&self.card().await, "Finish and rate").await;
        self.send(&opened, &[("1", "4"), ("4", "less fennel")]).await
    }
}

#[tokio::test]
async fn the_fields_of_a_reading_are_kept_together_and_answered_once() {
    let story = Hanging::new().await;
    let card = story.card().await;
    let (opened, shown) = story.open(&card, "Log a reading").await;
    assert_eq!(shown[0], ("Batch, its number or name".to_owned(), "B1".to_owned()));
    assert_eq!(shown.len(), 5);
    assert!(shown.iter().all(|(label, _)| label.chars().count() <= 38), "{shown:?}");
    let filled =
        [("1", "5,42 at 21 C"), ("2", "780 g\n770 g"), ("3", "13 C 80%"), ("4", "moved to the back")];
    let kept = story.send(&opened, &filled).await;
    for part in ["pH 5.42 at 21 °C", "#1 780 g", "#2 770 g", "13 °C, 80 %", "moved to the back"] {
        assert!(kept.text().contains(part), "{part}: {}", kept.text());
    }
    assert!(kept.follow_ups.is_empty(), "{kept:?}");
    let undone = story.press(&kept, "Undo").await;
    assert!(undone.content.starts_with("Undone"), "{}", undone.content);
    // All or nothing: one field that cannot be keeps the others out, too.
    let (opened, _) = story.open(&card, "Log a reading").await;
    let refused = story.send(&opened, &[("1", "51"), ("2", "780 770 g")]).await;
    assert!(refused.ephemeral && refused.content.contains("pH 51 cannot be"), "{}", refused.content);
    // What was refused comes back as it was filled in, and is sent once it is mended.
    let (again, shown) = story.open(&refused, "Write it again").await;
    let texts: Vec<&str> = shown.iter().map(|(_, text)| &**text).collect();
    assert_eq!(texts, ["B1", "51", "780 770 g", "", ""]);
    let mended = story.send(&again, &[("1", "5.1 at 21 C")]).await;
    for part in ["pH 5.1 at 21 °C", "#1 780 g", "#2 770 g"] {
        assert!(mended.text().contains(part), "{part}: {}", mended.text());
    }
    let undone = story.press(&mended, "Undo").await;
    assert!(undone.content.starts_with("Undone"), "{}", undone.content);
    let entries = entries(story).await;
    // The air stands with its chamber, so it is undone there.
    assert_eq!(words(&entries)[..4], ["ph", "weight", "weight", "note"]);
    assert_eq!(words(&entries)[4..8], ["undone"; 4]);
    assert_eq!(words(&entries)[8..], ["ph", "weight", "weight", "undone", "undone", "undone"]);
    assert!(entries[..4].iter().all(|event| event.at == entries[0].at));
}

#[tokio::test]
async fn log_reading_alone_opens_the_form_with_the_batch_written_into_last() {
    let story = Hanging::new().await;
    let (anna, log) = (story.cellar.anna, story.cellar.log);
    let second = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1 kg pork")];
    story.cellar.ask("batch start", &second).await;
    story.cellar.wait(TimeDelta::minutes(5));
    story.keep("B1 #1 800 g").await;
    let opened = story.cellar.stand_in.slash(anna, log, "log reading", &[]);
    let form = opened.answer(SOON).await.modal.unwrap();
    assert_eq!(fields(&form)[0].1, "B1");
    let named = story.cellar.stand_in.slash(anna, log, "log reading", &[("batch", "Coppa")]);
    assert_eq!(fields(&named.answer(SOON).await.modal.unwrap())[0].1, "Coppa");
    let again = story.cellar.stand_in.slash(anna, log, "log reading", &[]);
    let other = again.answer(SOON).await.modal.unwrap();
    assert_ne!(form["custom_id"], other["custom_id"], "each opening is one of its own");
    // Left as it opened it says nothing, nor does another batch alone.
    for sent in [&[][..], &[("0", "Coppa")]] {
        let empty = story.send(&opened, sent).await;
        assert!(empty.ephemeral && empty.content.contains("nothing was kept"), "{}", empty.content);
    }
    let kept = story.send(&again, &[("2", "#1 790 g")]).await;
    assert!(kept.content.contains("B1 Juniper stick"), "{}", kept.content);
    // Whoever is not known yet is told in words; a form needs somebody whose it is.
    let ben = story.cellar.ask_in(story.cellar.ben, log, "log reading", &[]).await;
    assert!(ben.modal.is_none() && ben.content.contains("needs text:"), "{}", ben.content);
    assert_eq!(words(&entries(story).await), ["weight", "weight"]);
}

#[tokio::test]
async fn a_doubtful_reading_is_saved_fixed_or_discarded_and_once_only() {
    let story = Hanging::new().await;
    let asked = async |posted| Seen::of(&story.answer(posted, 1).await);
    // Saved as it was said; whatever is pressed afterwards keeps nothing more.
    let saved = asked(story.post("#1 78 g")).await;
    assert_eq!(labels(&saved), ["Save as it is", "Fix it", "Discard it"]);
    assert!(story.press(&saved, "Save as it is").await.content.contains("#1 78 g"));
    assert!(story.press(&saved, "Save as it is").await.content.contains("kept before"));
    let (late, _) = story.open(&saved, "Fix it").await;
    assert!(story.send(&late, &[("0", "#1 700 g")]).await.content.contains("kept already"));
    let left = story.press(&saved, "Discard it").await;
    assert!(left.ephemeral && left.content.contains("kept already"), "{}", left.content);
    // Mended: the words as they were typed stand there, and what is sent is read in their place.
    let fixed = asked(story.post("#2 79 g, pH 5.40 at 21 C")).await;
    let (opened, shown) = story.open(&fixed, "Fix it").await;
    assert_eq!(shown[0].1, "#2 79 g, pH 5.40 at 21 C");
    story.cellar.wait(TimeDelta::hours(3));
    let mended = story.send(&opened, &[("0", "#2 790 g, pH 5.40 at 21 C")]).await;
    assert!(mended.content.contains("#2 790 g"), "{}", mended.content);
    assert!(story.send(&opened, &[("0", "#2 791 g")]).await.content.contains("kept already"));
    assert!(story.press(&fixed, "Save as it is").await.content.contains("kept before"));
    // Discarded: the buttons go, and a client that still shows them is told so.
    let posted = story.post("#1 7 g");
    let gone = asked(posted).await;
    let (opened, _) = story.open(&gone, "Fix it").await;
    let save = gone.button("Save as it is").custom_id.clone();
    let left = story.press(&gone, "Discard it").await;
    assert!(left.in_place && left.buttons.is_empty(), "{left:?}");
    assert_eq!(left.content, "Discarded: nothing was kept. To keep it after all, say it again.");
    assert!(!labels(&gone).is_empty() && !save.is_empty());
    let late = story.send(&opened, &[("0", "#1 770 g")]).await;
    assert!(late.ephemeral && late.content.starts_with("Discarded"), "{}", late.content);
    let entries = entries(story).await;
    assert_eq!(words(&entries), ["weight", "weight", "ph"]);
    assert!(entries[1].recorded_at < entries[0].recorded_at + TimeDelta::hours(1), "as of its own time");
}

#[tokio::test]
async fn a_doubtful_reading_is_saved_or_discarded_by_a_typed_word_too() {
    let story = Hanging::new().await;
    let said = async |text| story.answer(story.post(text), 1).await.content;
    // "Yes" is said to the question, as of the time of what it asks about.
    assert!(said("#1 78 g").await.contains("78 g"));
    story.cellar.wait(TimeDelta::minutes(5));
    assert!(said("yes").await.contains("#1 78 g"));
    // A no leaves it; then nothing is asked any more.
    said("#2 79 g").await;
    assert_eq!(said("Discard").await, "Left as it was; nothing was kept.");
    // What was said elsewhere, or pressed meanwhile, is no question that a yes in the thread would answer.
    let asked = story.post("#2 7 g");
    let asked = Seen::of(&story.answer(asked, 1).await);
    story.press(&asked, "Discard it").await;
    let direct = story.cellar.stand_in.direct_line(story.cellar.anna);
    let to_nothing = story.cellar.stand_in.post(story.cellar.anna, direct, "yes", Reply::None);
    let last = story.answer(to_nothing, 1).await.content;
    assert!(last.starts_with("I asked nothing"), "{last}");
    assert!(said("yes").await.starts_with("I asked nothing"));
    let entries = entries(story).await;
    assert_eq!(words(&entries), ["weight"]);
    assert!(entries[0].recorded_at >= entries[0].at, "{entries:?}");
}

#[tokio::test]
async fn what_was_kept_is_changed_in_a_form_filled_with_it_five_entries_a_form() {
    let story = Hanging::new().await;
    let six = [("name", "Six"), ("kind", "dried-sausage"), ("meat", "5 kg beef")];
    story.cellar.ask("batch start", &six).await;
    let direct = |text: &str| story.cellar.stand_in.direct(story.cellar.anna, text);
    let hung = direct("B2 hung 812 798 805 790 820 801 g");
    story.answer(hung, 1).await;
    let posted = direct("B2 800 790 800 780 815 795 g");
    let kept = Seen::of(&story.answer(posted, 1).await);
    assert_eq!(labels(&kept), ["Undo", "Change 7 to 11", "Change 12"]);
    let (opened, shown) = story.open(&kept, "Change 7 to 11").await;
    assert_eq!(shown[0].0, "B2 #1 (7)");
    let values: Vec<&str> = shown.iter().map(|(_, value)| value.as_str()).collect();
    assert!(values[0].contains("800") && values[4].contains("815"), "{values:?}");
    let changed = story.send(&opened, &[("1", "709 g")]).await;
    assert!(changed.content.contains("is now 709 g; it was 790 g"), "{}", changed.content);
    // A note, a hanging and a setting too; the stage that follows from hanging is not one of them.
    let note = story.cellar.ask("batch note", &[("batch", "B1"), ("text", "smoked")]).await;
    let (opened, shown) = story.open(&note, "Change").await;
    assert_eq!(shown[0].1, "smoked");
    let changed = story.send(&opened, &[("0", "smoked cold")]).await;
    assert!(changed.content.contains("smoked cold"), "{}", changed.content);
    let set = story.cellar.ask("chamber set", &[("temperature", "13 C"), ("humidity", "80%")]).await;
    let (opened, shown) = story.open(&set, "Change").await;
    assert!(shown[0].1.contains("set to 13 °C, 80 %"), "{shown:?}");
    let changed = story.send(&opened, &[("0", "set to 12 C 78%")]).await;
    assert!(changed.content.contains("12 °C"), "{}", changed.content);
    let more = story
        .cellar
        .ask("batch start", &[("name", "End"), ("kind", "dried-sausage"), ("meat", "2 kg")])
        .await;
    assert!(more.content.contains("B3"), "{}", more.content);
    let hung =
        story.cellar.ask("batch piece", &[("batch", "B3"), ("weights", "900 910 g"), ("tare", "6 g")]).await;
    let (opened, shown) = story.open(&hung, "Change").await;
    assert_eq!((shown.len(), shown[0].1.as_str()), (1, "hung #1 900 g, #2 910 g, tare 6 g each"));
    let changed = story.send(&opened, &[("0", "hung #1 900 g, #2 901 g, tare 6 g each")]).await;
    assert!(changed.content.contains("#2 901 g"), "{}", changed.content);
    story.entries().await;
}

#[tokio::test]
async fn a_batch_is_finished_and_rated_in_a_form_and_shown_after_a_look() {
    let story = Hanging::new().await;
    story.dried().await;
    let card = story.card().await;
    let (opened, shown) = story.open(&card, "Finish and rate").await;
    // 500 g and 490 g by the last weighings.
    assert_eq!(shown[0], ("Finished weight of all of it".to_owned(), "990 g".to_owned()));
    assert!(shown.iter().all(|(label, _)| label.chars().count() <= 38), "{shown:?}");
    let filled = [("0", "985 g"), ("1", "4"), ("2", "good"), ("3", "5"), ("4", "less fennel")];
    let finished = story.send(&opened, &filled).await;
    let text = finished.text();
    // 985 g of 2400 g of meat: 41.0 %.
    assert!(
        text.contains("985 g, 41.0 % of the raw meat") && text.contains("texture 3 of 5, good"),
        "{text}"
    );
    assert!(text.contains("Noted: less fennel"), "{text}");
    assert!(story.send(&opened, &filled).await.content.contains("kept before"), "sent twice");
    let late = story.send(&story.open(&card, "Log a reading").await.0, &[("1", "5.1 at 21 C")]).await;
    assert!(late.content.contains("is finished; nothing more can be written in it"), "{}", late.content);
    let (opened, _) = story.open(&card, "Finish and rate").await;
    let late = story.send(&opened, &[]).await;
    assert!(late.content.contains("nothing more can be written in it"), "{}", late.content);
    // What the group would see: no note among it. Kept private, then shown, then taken back.
    let preview = story.press(&finished, "Share").await;
    assert!(preview.ephemeral && preview.text().contains("taste 4 of 5"), "{}", preview.text());
    assert!(!preview.text().contains("fennel"), "{}", preview.text());
    assert_eq!(labels(&preview), ["Share", "Keep private"]);
    let private = story.press(&preview, "Keep private").await;
    assert!(private.in_place && private.buttons.is_empty(), "{private:?}");
    let preview = story.press(&finished, "Share").await;
    let shown = story.press(&preview, "Share").await;
    assert!(shown.content.contains("is on the board"), "{}", shown.content);
    let board =
        story.cellar.ask_in(story.cellar.ben, story.cellar.log, "group board", &[("batch", "B1")]).await;
    assert!(board.text().contains("look 5 of 5, excellent") && !board.text().contains("fennel"), "{board:?}");
    let back = story.press(&shown, "Take it off the board").await;
    assert!(back.content.contains("is off the board"), "{}", back.content);
    let card = story.card().await;
    assert_eq!(labels(&card), ["Share", "Rate it"]);
    let preview = story.press(&card, "Share").await;
    assert!(story.press(&preview, "Share").await.content.contains("is on the board"), "shown once more");
    let entries = entries(story).await;
    let kept = ["stage", "weight", "weight", "stage", "appraisal", "note", "stage"];
    assert_eq!(words(&entries), kept);
    let rating = |points| Rating::new(points);
    let (taste, texture, look) = (rating(4), rating(3), rating(5));
    let appraisal = Appraisal { finished_weight: Some(Mass::grams(985.0)), taste, texture, look };
    assert_eq!(entries[4].what, Happening::Appraised { appraisal });
}

#[tokio::test]
async fn a_form_left_empty_finishes_too_and_the_finish_is_taken_back() {
    let story = Hanging::new().await;
    story.dried().await;
    let (opened, _) = story.open(&story.card().await, "Finish and rate").await;
    let finished = story.send(&opened, &[]).await;
    // 990 g of pieces that weighed 1610 g of 2400 g of meat: only a part of it hung, so no yield is worked out.
    assert!(finished.content.contains("is finished") && !finished.text().contains("Yield"), "{finished:?}");
    let undone = story.press(&finished, "Undo").await;
    assert!(undone.content.starts_with("Undone"), "{}", undone.content);
    assert!(story.card().await.content.contains("equalising"), "it goes on where it was");
    assert_eq!(words(&entries(story).await), ["stage", "weight", "weight", "stage", "stage", "undone"]);
}

#[tokio::test]
async fn a_stage_is_one_tap_with_an_undo_and_only_the_owners() {
    let story = Hanging::new().await;
    let card = story.card().await;
    assert_eq!(labels(&card)[..2], ["Start fermenting", "Log a reading"]);
    let ben = story.cellar.press(story.cellar.ben, &card, "Start fermenting").answer(SOON).await;
    assert!(ben.ephemeral, "{ben:?}");
    assert_eq!(ben.content, "These buttons belong to whoever asked. Ask yourself, e.g. batch list.");
    // Another's card is not there for who does not help.
    let looked =
        story.cellar.ask_in(story.cellar.ben, story.cellar.log, "batch show", &[("batch", "B1")]).await;
    assert!(looked.content.contains("There is no batch"), "{}", looked.content);
    let going = story.press(&card, "Start fermenting").await;
    assert!(going.content.contains("is now fermenting") && labels(&going).contains(&"Undo"), "{going:?}");
    let again = story.press(&card, "Start fermenting").await;
    assert!(again.content.contains("already") || again.content.contains("kept before"), "{}", again.content);
    story.press(&going, "Undo").await;
    assert_eq!(words(&entries(story).await), ["stage", "undone"]);
}

#[tokio::test]
async fn a_muscle_in_the_cure_goes_on_to_rest_and_a_soured_sausage_to_dry_by_a_tap() {
    let story = Hanging::new().await;
    let muscle = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1 kg pork"), ("thickness", "70 mm")];
    story.cellar.ask("batch start", &muscle).await;
    let dose =
        [("batch", "B2"), ("method", "dry"), ("cure", "2.4 g"), ("nitrite", "6.25%"), ("salt", "28 g")];
    story.cellar.ask("batch cure", &dose).await;
    story.cellar.wait(TimeDelta::days(12));
    let card = story.cellar.ask("batch show", &[("batch", "B2")]).await;
    assert_eq!(labels(&card)[..2], ["Start resting", "Log a reading"], "{}", card.text());
    let resting = story.press(&card, "Start resting").await;
    assert!(resting.content.contains("is now resting"), "{}", resting.content);
    story.cellar.ask("batch stage", &[("batch", "B1"), ("to", "fermenting")]).await;
    story.keep("20 C 85%").await;
    let souring = story.card().await;
    assert_eq!(labels(&souring)[0], "Log a reading", "it is left by its pH: {}", souring.text());
    story.cellar.wait(TimeDelta::hours(20));
    story.keep("pH 4.95 at 21 C calibrated 2 h ago slope 98%").await;
    let soured = story.card().await;
    assert_eq!(labels(&soured)[..2], ["Start drying", "Log a reading"], "{}", soured.text());
    let drying = story.press(&soured, "Start drying").await;
    assert!(drying.content.contains("is now drying") && labels(&drying).contains(&"Undo"), "{drying:?}");
    // Over meanwhile: a press on an older card says so, and nothing is kept.
    let asked = story.cellar.ask("batch discard", &[("batch", "B2"), ("reason", "smells sour")]).await;
    story.press(&asked, "Yes").await;
    let late = story.press(&resting, "Undo").await;
    assert!(late.content.starts_with("Undone"), "a stage is put right also afterwards: {}", late.content);
    let late = story.press(&card, "Start resting").await;
    assert!(late.ephemeral && late.content.contains("nothing more can be written"), "{}", late.content);
    assert_eq!(words(&entries(story).await), ["stage", "ph", "stage"]);
}

#[tokio::test]
async fn forms_and_buttons_outlive_a_restart() {
    let mut story = Hanging::new().await;
    let finished = story.finished().await;
    let thread = story.thread;
    let hello = Seen::of(&story.cellar.stand_in.messages(thread).remove(0));
    let opened = story.cellar.press(story.cellar.anna, &finished, "Share");
    let preview = opened.answer(SOON).await;
    let second = [("name", "Coppa"), ("kind", "whole-muscle"), ("meat", "1 kg pork")];
    story.cellar.ask("batch start", &second).await;
    let (form, _) = story.open(&hello, "Log a reading").await;
    let doubt = Seen::of(&story.answer(story.post("B2 pH 5.1 at 21 C gravy"), 1).await);
    assert_eq!(labels(&doubt)[0], "Save as it is", "{}", doubt.content);
    story.cellar.stop().await;
    story.cellar.start().await;
    assert!(story.press(&preview, "Share").await.content.contains("is on the board"));
    let left = story.press(&doubt, "Discard it").await;
    assert!(left.in_place && left.content.starts_with("Discarded"), "{left:?}");
    let kept = story.send(&form, &[("0", "B2"), ("4", "hangs in the net")]).await;
    assert!(kept.content.contains("Noted for B2 Coppa"), "{}", kept.content);
    let mut cellar: Cellar = story.cellar;
    assert_conforming(&cellar.stand_in.records());
    cellar.stop().await;
    let kept = cellar.record(async |store| store.events_of_batch(BatchId(2)).await.unwrap()).await;
    assert_eq!(words(&kept), ["batch_started", "note"]);
}

#[tokio::test]
async fn a_form_that_is_left_open_while_everything_is_erased_keeps_nothing() {
    let story = Hanging::new().await;
    let card = story.card().await;
    let (opened, _) = story.open(&card, "Log a reading").await;
    let asked = story.cellar.ask("me erase", &[]).await;
    story.press(&asked, "Yes").await;
    let late = story.send(&opened, &[("1", "5.1 at 21 C")]).await;
    assert!(late.ephemeral && !late.content.is_empty(), "{late:?}");
    let pressed = story.press(&card, "Start fermenting").await;
    assert!(pressed.ephemeral && pressed.modal.is_none(), "{pressed:?}");
    assert_eq!(story.entries().await, []);
}
