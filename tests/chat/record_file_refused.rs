//! What cannot be taken back is refused in one sentence that says where, and nothing of it is kept. All invented.

use crate::record_file::{after, desk, json_of, say};
use chrono::{DateTime, Utc};
use serde_json::{Value, json};
use tallyhook::desk::{Answered, Desk};

const STORY: &str = "\
@at 2026-11-02T08:00:00Z
mara> me set country:IT timezone:Europe/Rome mass:g cure:g temperature:C scale:0.1 g
mara> batch start name:Juniper kind:fermented-sausage meat:2 kg pork casing:45 mm loss:38% ph:5.1
mara> batch piece batch:B1 weights:505 498 g tare:5 g
mara> batch stage batch:B1 to:fermenting
mara> ph 5.4 at 20 C, 22 C 88%
mara> log change id:5 text:ph 5.3 at 20 C
mara> log undo id:6
mara> remind set text:Look when:tomorrow 9am
@wait 10h
";

/// The moment the story ends at.
fn now() -> DateTime<Utc> {
    "2026-11-02T18:00:00Z".parse().unwrap()
}

async fn good() -> Value {
    let (desk, now) = after(STORY).await;
    serde_json::from_slice(&json_of(&desk, "mara", now).await).unwrap()
}

/// What is said to a file, after making sure that nothing of it was kept.
async fn refused(bytes: &[u8]) -> String {
    let desk = desk().await;
    let answered = desk.restore("home", "mara", bytes, now()).await;
    assert!(desk.store().is_empty().await.unwrap(), "{}", answered.text());
    assert!(desk.store().groups().is_empty());
    let Answered::Error(error) = answered else { panic!("taken: {}", answered.text()) };
    assert!(!error.ours, "{}", error.message);
    let sentence = error.message;
    assert!(sentence.ends_with('.') && !sentence.contains('\n'), "{sentence}");
    assert!(error.example.starts_with("tallyhook restore "), "{}", error.example);
    sentence
}

async fn assert_refused(file: &Value, said: &[&str]) {
    let sentence = refused(&serde_json::to_vec_pretty(file).unwrap()).await;
    for part in said {
        assert!(sentence.contains(part), "no {part:?} in {sentence:?}");
    }
}

#[tokio::test]
async fn what_is_no_record_is_told_with_its_line_and_column() {
    for (bytes, said) in [
        (&b""[..], "line 1, column 0: EOF"),
        (b"\0\x9f\x92\x96 binary", "line 1, column 1: expected value"),
        (b"%PDF-1.7\n", "line 1, column 1: expected value"),
        (b"\xFF\xFE{\0}\0", "line 1, column 1: expected value"),
        (b"[]", "does not say \"format\": \"tallyhook-record\""),
        (b"5", "line 1, column 1: invalid type: integer `5`"),
        (b"entry,status\r\n1,counts\r\n", "line 1, column 1: expected value"),
        (b"{\"format\": \"tallyhook-record\",\n \"version\": 1,", "line 2, column"),
        (b"{\"format\": \"tallyhook-record\", \"format\": 1}", "duplicate field"),
        (b"{}", "does not say \"format\": \"tallyhook-record\""),
        (b"{\"format\": \"fitness-diary\", \"version\": 1}", "does not say \"format\""),
        (b"{\"format\": \"tallyhook-record\", \"version\": 2, \"entries\": 5}", "version 2 of the format"),
        (b"{\"format\": \"tallyhook-record\", \"version\": \"1\"}", "version \"1\" of the format"),
        (b"{\"format\": \"tallyhook-record\"}", "version null of the format"),
        (b"{\"format\": \"tallyhook-record\", \"version\": 1}", "missing field `entries`"),
    ] {
        let sentence = refused(bytes).await;
        assert!(sentence.contains(said), "no {said:?} in {sentence:?}");
    }
    let whole = serde_json::to_vec_pretty(&good().await).unwrap();
    let deep = format!("{{\"format\":{}", "[".repeat(100_000));
    assert!(refused(deep.as_bytes()).await.contains("recursion limit"));
    for cut in (1..whole.len()).step_by(whole.len() / 40) {
        let sentence = refused(&whole[..cut]).await;
        assert!(sentence.contains(" column "), "cut at {cut}: {sentence}");
    }
}

#[tokio::test]
async fn values_that_cannot_be_are_told_with_their_line_and_column() {
    let good = good().await;
    let weight = json!({"kind": "weight", "values": {"gross_g": 500}});
    for (pointer, value, said) in [
        ("/chambers", json!(5), "expected a sequence"),
        ("/entries/0/at", json!("yesterday"), "input contains invalid characters"),
        ("/entries/0/at", json!(1_767_225_600), "invalid type: integer"),
        ("/entries/0/id", json!(1.5), "invalid type: floating point `1.5`"),
        ("/entries/0/by", json!("jonas"), "unknown variant `jonas`"),
        ("/entries/0/about", json!({"batch": 1, "chamber": 1}), "column"),
        ("/entries/0/about", json!({}), "column"),
        ("/entries/2/what/values/stage", json!("smoking"), "unknown variant `smoking`"),
        ("/entries/4/what/values/ph", json!(99), "99 is no pH, which lies between 0 and 14"),
        ("/entries/4/what/values/ph", json!("5.4"), "invalid type: string \"5.4\""),
        ("/entries/4/what/values/weather", json!("fine"), "unknown field `weather`"),
        ("/entries/4/what", json!({"kind": "weight", "values": {"gross_g": -1}}), "-1 is no weight in grams"),
        ("/entries/4/what", json!({"kind": "weight", "values": {}}), "missing field `gross_g`"),
        ("/entries/4/what", json!({"values": weight["values"]}), "missing field `kind`"),
        ("/entries/4/mood", json!("good"), "unknown field `mood`"),
        ("/owner/settings/meat_unit", json!("stone"), "unknown variant `stone`"),
        ("/hobbies", json!([]), "unknown field `hobbies`"),
    ] {
        let mut file = good.clone();
        put(&mut file, pointer, value);
        assert_refused(&file, &[said, "line ", "column "]).await;
    }
    // The line is the one on which it stands.
    let text = serde_json::to_string_pretty(&good).unwrap().replace("\"ph\": 5.4,", "\"ph\": -5.4,");
    let line = 1 + text.lines().position(|line| line.contains("\"ph\": -5.4,")).unwrap();
    let sentence = refused(text.as_bytes()).await;
    assert!(sentence.contains(&format!("line {line}, column ")), "{line}: {sentence}");
}

/// Sets what stands at a pointer, or adds it to the object around it.
fn put(file: &mut Value, pointer: &str, value: Value) {
    let (around, name) = pointer.rsplit_once('/').unwrap();
    match file.pointer_mut(around).unwrap() {
        Value::Object(fields) => drop(fields.insert(name.to_owned(), value)),
        Value::Array(items) => items[name.parse::<usize>().unwrap()] = value,
        other => panic!("{other}"),
    }
}

#[tokio::test]
async fn what_does_not_hang_together_is_told_with_its_place() {
    let good = good().await;
    let changed = |to: Value| json!({"kind": "changed", "values": {"of": 1, "to": to}});
    let pictured = json!({"kind": "pictured", "values": {"photo": "a"}});
    let undone = json!({"kind": "undone", "values": {"of": 2}});
    for (pointer, value, said) in [
        ("/entries/3/what", pictured.clone(), "the entry's kind \"pictured\" is not in version 1"),
        (
            "/entries/3/what",
            changed(pictured),
            "/entries/3/what/values/to/kind: the entry's kind \"pictured\"",
        ),
        ("/entries/3/what", changed(undone), "/entries/3/what: an entry cannot be changed into a correction"),
        ("/entries/3/about", json!({"batch": 9}), "/entries/3/about: there is no batch 9 in the file"),
        ("/entries/4/about", json!({"chamber": 9}), "/entries/4/about: there is no chamber 9 in the file"),
        ("/entries/4/about", json!({"meter": 1}), "/entries/4/about: there is no meter 1 in the file"),
        (
            "/entries/0/about",
            json!({"chamber": 1}),
            "/entries/0/about: a batch's first entry is about the batch",
        ),
        ("/entries/0/what/values/chamber", json!(8), "/entries/0/what: there is no chamber 8"),
        ("/entries/0/what/values/group", json!(8), "/entries/0/what: there is no group 8"),
        ("/entries/0/what/values/name", json!(" "), "/entries/0/what: a name is needed"),
        ("/entries/0/zone", json!("Rome"), "/entries/0/zone: \"Rome\" is no time zone"),
        ("/entries/0/id", json!(0), "/entries/0/id: 0 is no number from 1 up"),
        ("/entries/0/id", json!(i64::MAX), "/entries/0/id: 9223372036854775807 is no number"),
        ("/entries/1/id", json!(1), "/entries/1/id: 1 stands there before"),
        ("/entries/1/what", good["entries"][0]["what"].clone(), "/entries/1/about: 1 stands there before"),
        ("/chambers/0/name", json!(""), "/chambers/0/name: a name is needed"),
        ("/owner/settings/timezone", json!("Mars/Olympus"), "\"Mars/Olympus\" is no time zone"),
        ("/owner/settings/country", json!("Atlantis"), "\"Atlantis\" is no country"),
        ("/owner/settings/scale_step_g", json!(0), "the step of a scale is more than 0 g"),
        ("/owner/chat_account", json!("mara#1"), "\"mara#1\" is no number of a chat platform"),
        ("/groups/0/quiet_from_hour", json!(24), "24 is no hour from 0 to 23"),
        ("/reminders/0/batch", json!(7), "/reminders/0/batch: there is no batch 7"),
        (
            "/entries/0/at",
            json!("2026-11-02T18:05:01Z"),
            "/entries/0/at: 2026-11-02T18:05:01+00:00 lies ahead",
        ),
        ("/entries/0/recorded_at", json!("2031-01-01T00:00:00Z"), "/entries/0/recorded_at: 2031"),
        ("/entries/0/at", json!("1969-12-31T23:59:59Z"), "no moment that can be reckoned with"),
        ("/entries/0/at", json!("2026-11-02T08:00:00.0001Z"), "finer than a thousandth of a second"),
        ("/reminders/0/due", json!("+12026-01-01T00:00:00Z"), "/reminders/0/due: +12026"),
    ] {
        let mut file = good.clone();
        put(&mut file, pointer, value);
        assert_refused(&file, &[said]).await;
    }
}

#[tokio::test]
async fn rows_of_a_logger_belong_to_the_entry_that_brought_them() {
    let mut good = good().await;
    let brought = json!({"kind": "air_logged", "values":
        {"file": "box.csv", "first": "2026-11-02T07:00:00Z", "rows": 1}});
    put(&mut good, "/entries/5/what", brought);
    let row = json!({"entry": 6, "at": "2026-11-02T07:00:00Z", "temperature": {"celsius": 12.1}});
    put(&mut good, "/logged_air", json!([row.clone()]));
    let bytes = serde_json::to_vec(&good).unwrap();
    let desk = desk().await;
    let answered = desk.restore("home", "mara", &bytes, now()).await;
    assert!(matches!(answered, Answered::Reply(_)), "{}", answered.text());
    for (pointer, value, said) in [
        ("/logged_air/0/entry", json!(5), "/logged_air/0/entry: entry 5 brought no logger's file"),
        (
            "/logged_air/0",
            json!({"entry": 6, "at": "2026-11-02T07:00:00Z"}),
            "/logged_air/0: nothing was measured",
        ),
        ("/logged_air", json!([row, row]), "/logged_air/1/at: entry 6 has a row of that moment already"),
        ("/logged_air", json!([]), "/entries/5/what/values/rows: there are 0 rows of it in the file"),
        (
            "/logged_air/0/at",
            json!("2027-11-02T07:00:00Z"),
            "/logged_air/0/at: 2027-11-02T07:00:00+00:00 lies ahead",
        ),
        ("/entries/5/what/values/first", json!("2027-11-02T07:00:00Z"), "/entries/5/what/values/first: 2027"),
    ] {
        let mut file = good.clone();
        put(&mut file, pointer, value);
        assert_refused(&file, &[said]).await;
    }
}

#[tokio::test]
async fn corrections_point_back_and_to_what_is_there() {
    let good = good().await;
    let entries = good["entries"].as_array().unwrap();
    let of = |kind: &str| entries.iter().position(|entry| entry["what"]["kind"] == kind).unwrap();
    for kind in ["changed", "undone"] {
        let pointer = format!("/entries/{}/what/values/of", of(kind));
        for (number, said) in
            [(77, "there is no entry 77 in the file"), (8, "entry 8 was not written before")]
        {
            let mut file = good.clone();
            put(&mut file, &pointer, json!(number));
            assert_refused(&file, &[said]).await;
        }
    }
    // A batch whose start does not count is none.
    let mut file = good.clone();
    put(&mut file, &format!("/entries/{}/what/values/of", of("undone")), json!(1));
    put(&mut file, &format!("/entries/{}/about", of("undone")), json!({"batch": 1}));
    assert_refused(&file, &["B1 has no entry that starts it and counts"]).await;
}

#[tokio::test]
async fn two_chambers_of_one_name_are_refused_by_name() {
    let mut file = good().await;
    file["chambers"] = json!([{"id": 1, "name": "Home"}, {"id": 2, "name": "home"}]);
    assert_refused(&file, &["/chambers/1/name: \"home\" stands there before"]).await;
}

/// Whose record is in use loses nothing to a file.
#[tokio::test]
async fn a_record_in_use_is_left_as_it_is() {
    let file = serde_json::to_vec(&good().await).unwrap();
    let (desk, now) = after("@at 2026-11-02T08:00:00Z\nmara> 12 C 80%\n").await;
    let before = json_of(&desk, "mara", now).await;
    for member in ["mara", "otto"] {
        let Answered::Error(error) = desk.restore("home", member, &file, now).await else { panic!() };
        assert!(error.message.contains("only where nobody is yet") && !error.ours, "{error:?}");
    }
    assert_eq!(json_of(&desk, "mara", now).await, before);
}

/// Some editors put a byte order mark in front; and what was taken back once is in use.
#[tokio::test]
async fn a_byte_order_mark_does_no_harm_and_nothing_is_taken_twice() {
    let file = serde_json::to_vec(&good().await).unwrap();
    let marked = [b"\xEF\xBB\xBF", &file[..]].concat();
    let desk: Desk = desk().await;
    let answered = desk.restore("home", "mara", &marked, now()).await;
    assert!(matches!(answered, Answered::Reply(_)), "{}", answered.text());
    assert_eq!(
        answered.text(),
        "Taken back as mara: 1 batch, 8 entries, 1 chamber, 15 reminders, 0 recipes."
    );
    assert!(matches!(desk.restore("home", "mara", &file, now()).await, Answered::Error(_)));
    let history = say(&desk, "mara", "log history batch:B1", now()).await.text();
    assert!(history.contains("(undone by 8)") && history.contains("(changed by 7)"), "{history}");
}
