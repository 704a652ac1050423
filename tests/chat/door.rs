//! The door for scripts: `tallyhook ask`, as a script sees it.

use serde_json::Value;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// A record of its own, asked through the real program.
struct Door {
    folder: TempDir,
}

impl Door {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn file(&self) -> std::path::PathBuf {
        self.folder.path().join("record.sqlite3")
    }

    fn command(&self, at: &str, more: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tallyhook"));
        command.args(["ask", "--json", "--as", "mara", "--at", at, "--data"]).arg(self.file()).args(more);
        command
    }

    fn output(&self, at: &str, line: &str) -> Output {
        self.command(at, &[line]).output().unwrap()
    }

    /// The answer and the exit status.
    fn ask(&self, at: &str, line: &str) -> (Value, i32) {
        let output = self.output(at, line);
        let text = String::from_utf8(output.stdout).unwrap();
        (
            serde_json::from_str(&text).unwrap_or_else(|error| panic!("{line}: {error}: {text}")),
            output.status.code().unwrap(),
        )
    }

    fn answered(&self, at: &str, line: &str) -> Value {
        let (answer, status) = self.ask(at, line);
        assert_eq!(status, 0, "{line}: {answer}");
        answer
    }
}

fn figure(answer: &Value, id: &str) -> f64 {
    let figures = answer["figures"].as_array().unwrap();
    let found =
        figures.iter().find(|figure| figure["id"] == id).unwrap_or_else(|| panic!("no {id} in {answer}"));
    found["value"].as_f64().unwrap()
}

const NOON: &str = "2026-03-01T12:00:00Z";

#[test]
fn an_answer_has_every_field_of_the_door() {
    let answer = Door::new()
        .answered(NOON, "cure check method:comminuted meat:1 kg cure:2.5 g nitrite:6.25% country:US");
    for field in [
        "door", "command", "headline", "level", "figures", "findings", "stored", "due", "next", "working",
        "text",
    ] {
        assert!(answer.get(field).is_some(), "{field} is missing");
    }
    assert_eq!(answer["door"], 1);
    assert_eq!(answer["command"], "cure check");
    for figure in answer["figures"].as_array().unwrap() {
        for field in ["id", "of", "label", "value", "unit", "low", "high", "shown"] {
            assert!(figure.get(field).is_some(), "{field} is missing in {figure}");
        }
    }
    for finding in answer["findings"].as_array().unwrap() {
        for field in [
            "rule", "country", "verdict", "level", "measured", "limit", "unit", "basis", "standing",
            "source", "where", "text",
        ] {
            assert!(finding.get(field).is_some(), "{field} is missing in {finding}");
        }
    }
}

#[test]
fn exit_statuses_tell_answers_errors_and_questions_apart() {
    let door = Door::new();
    assert_eq!(door.ask(NOON, "help").1, 0);
    assert_eq!(door.ask(NOON, "batch show B9").1, 2);
    door.answered(NOON, "batch start name:One kind:dried-sausage meat:1 kg");
    let (question, status) = door.ask(NOON, "batch discard batch:B1 reason:smells wrong");
    assert_eq!(status, 3);
    assert_eq!(question["question"]["code"], "confirm_discard");
    assert_eq!(door.answered(NOON, "batch show B1")["figures"][0]["value"], "planned");
    let confirmed =
        door.command(NOON, &["--yes", "batch discard batch:B1 reason:smells wrong"]).output().unwrap();
    assert_eq!(confirmed.status.code(), Some(0));
    assert_eq!(door.answered(NOON, "batch show B1")["figures"][0]["value"], "discarded");
}

#[test]
fn values_stay_in_their_fixed_unit_whatever_the_member_reads() {
    let door = Door::new();
    door.answered(NOON, "me set country:US timezone:UTC mass:lb cure:oz temperature:F scale:0.1 g");
    let answer = door.answered(NOON, "target weight green:1000 g loss:38%");
    approx::assert_relative_eq!(figure(&answer, "target_weight"), 620.0, max_relative = 1e-12);
    let shown = answer["figures"][0]["shown"].as_str().unwrap();
    assert!(shown.contains("lb"), "{shown}");
}

/// Foods 2020;9(12):1813 (PMC7762419) Table 1, series CNT: total solids, from which the losses are derived
/// (dry matter conserved). Second-hand copy in `tests/references/galician_chorizo.csv`.
const CHORIZO: [(u32, f64, f64); 6] = [
    (2, 890.0, 11.0),
    (5, 769.5, 23.05),
    (9, 715.5, 28.45),
    (14, 626.9, 37.31),
    (21, 558.8, 44.12),
    (30, 514.8, 48.52),
];

fn first_day_at_target(loss: &str) -> u32 {
    let door = Door::new();
    door.answered(NOON, &format!("batch start name:Series kind:dried-sausage meat:1000 g loss:{loss}"));
    door.answered(NOON, "batch piece batch:B1 weights:1000 g");
    let mut reached = None;
    for (day, grams, loss) in CHORIZO {
        let at = format!("2026-03-{:02}T12:00:00Z", day + 1);
        let answer = door.answered(&at, &format!("log reading batch:B1 text:{grams:.1} g"));
        assert!((figure(&answer, "loss") - loss).abs() < 0.005, "day {day}: {answer}");
        if figure(&answer, "left_to_lose") <= 0.0 {
            reached = reached.or(Some(day));
        }
    }
    reached.unwrap()
}

#[test]
fn a_published_drying_series_gives_its_printed_losses_and_reaches_its_target_on_the_printed_day() {
    assert_eq!(first_day_at_target("38%"), 21);
    assert_eq!(first_day_at_target("35%"), 14);
}

#[test]
fn lines_are_judged_at_their_own_time_also_backwards() {
    let door = Door::new();
    door.answered(NOON, "batch start name:Series kind:dried-sausage meat:1000 g loss:38%");
    door.answered(NOON, "batch piece batch:B1 weights:1000 g");
    door.answered("2026-03-15T12:00:00Z", "log reading batch:B1 text:626.9 g");
    door.answered("2026-03-03T12:00:00Z", "log reading batch:B1 text:890 g");
    let then = door.answered("2026-03-04T12:00:00Z", "batch show B1");
    approx::assert_relative_eq!(figure(&then, "loss"), 11.0, max_relative = 1e-9);
    let later = door.answered("2026-03-16T12:00:00Z", "batch show B1");
    approx::assert_relative_eq!(figure(&later, "loss"), 37.31, max_relative = 1e-9);
}

#[test]
fn lines_from_standard_input_give_one_object_a_line() {
    let door = Door::new();
    let mut child = door.command(NOON, &["-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let lines = b"help\n\nbatch start name:A kind:dried-sausage meat:1 kg\nnonsense here\n";
    child.stdin.take().unwrap().write_all(lines).unwrap();
    let output = child.wait_with_output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let answers: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(answers.len(), 3);
    assert_eq!(answers[2]["error"]["code"], "unknown_command");
    assert_eq!(output.status.code(), Some(2));
}

/// Feeds 200 lines, kills the program with SIGKILL once `enough` are acknowledged, and gives the acknowledged ids.
fn killed_after(door: &Door, enough: usize) -> Vec<i64> {
    let mut child = door
        .command("2026-03-02T12:00:00Z", &["-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let feeder = std::thread::spawn(move || {
        for number in 0..200 {
            if writeln!(stdin, "batch note batch:B1 text:note {number}").is_err() {
                break;
            }
        }
        // Keep the pipe open: the program must die by the signal, not of an end of input.
        stdin
    });
    let mut acknowledged = Vec::new();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    while acknowledged.len() < enough {
        let line = lines.next().unwrap().unwrap();
        let answer: Value = serde_json::from_str(&line).unwrap();
        acknowledged.push(answer["stored"][0]["id"].as_i64().unwrap());
    }
    child.kill().unwrap();
    child.wait().unwrap();
    for line in lines.map_while(Result::ok) {
        if let Ok(answer) = serde_json::from_str::<Value>(&line) {
            acknowledged.extend(answer["stored"][0]["id"].as_i64());
        }
    }
    drop(feeder.join().unwrap());
    acknowledged
}

#[test]
fn what_was_acknowledged_survives_ten_kills() {
    let door = Door::new();
    door.answered(NOON, "batch start name:Survivor kind:dried-sausage meat:1 kg");
    let mut acknowledged = Vec::new();
    for round in 0..10 {
        acknowledged.extend(killed_after(&door, 7 + 18 * round));
    }
    let mut kept = Vec::new();
    let mut before = i64::MAX;
    loop {
        let answer = door.answered("2026-03-03T12:00:00Z", &format!("log history batch:B1 before:{before}"));
        let page: Vec<i64> =
            answer["stored"].as_array().unwrap().iter().map(|entry| entry["id"].as_i64().unwrap()).collect();
        let Some(last) = page.last() else { break };
        before = *last;
        kept.extend(page);
    }
    let lost: Vec<&i64> = acknowledged.iter().filter(|id| !kept.contains(id)).collect();
    assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
    assert!(acknowledged.len() > 800, "only {} lines were acknowledged", acknowledged.len());
}

#[test]
fn a_record_in_use_is_refused_in_one_sentence() {
    let door = Door::new();
    door.answered(NOON, "help");
    let mut first = door.command(NOON, &["-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let mut stdin = first.stdin.take().unwrap();
    writeln!(stdin, "help").unwrap();
    let mut line = String::new();
    BufReader::new(first.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let second = door.output(NOON, "help");
    assert_eq!(second.status.code(), Some(1));
    let said = String::from_utf8(second.stderr).unwrap();
    assert!(said.contains("in use") && said.trim().lines().count() == 1, "{said}");
    drop(stdin);
    first.wait().unwrap();
}

fn refused(file: &Path, said: &str) {
    let output = Command::new(env!("CARGO_BIN_EXE_tallyhook"))
        .args(["ask", "help", "--data"])
        .arg(file)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    let text = String::from_utf8(output.stderr).unwrap();
    assert!(text.contains(said) && text.trim().lines().count() == 1, "{text}");
}

#[test]
fn a_file_that_is_no_record_is_refused_and_left_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("letter.txt");
    std::fs::write(
        &file,
        "Dear reader, this is no database at all, only a letter of some length.\n".repeat(40),
    )
    .unwrap();
    let before = std::fs::read(&file).unwrap();
    refused(&file, "not a record");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    refused(&file.join("record.sqlite3"), "cannot be opened");
}

#[test]
fn a_moment_past_the_calendar_is_refused_in_one_sentence() {
    let door = Door::new();
    for (verb, line) in [("ask", Some("help")), ("due", None)] {
        for at in [
            "+12026-01-01T00:00:00Z",
            "9999-01-01T00:00:00Z",
            "1969-12-31T23:59:59Z",
            "-0001-01-01T00:00:00Z",
        ] {
            let mut command = Command::new(env!("CARGO_BIN_EXE_tallyhook"));
            command.arg(verb).arg(format!("--at={at}")).arg("--data").arg(door.file()).args(line);
            let output = command.output().unwrap();
            let said = String::from_utf8(output.stderr).unwrap();
            assert_eq!(output.status.code(), Some(2), "{verb} {at}: {said}");
            assert_eq!(said.lines().count(), 1, "{said}");
            assert!(said.contains("1970") && said.contains("9998"), "{said}");
        }
    }
    for at in ["1970-01-01T00:00:00Z", "9998-12-31T23:59:59Z"] {
        assert_eq!(door.ask(at, "help").1, 0, "{at}");
    }
}

/// One tick of the reminders.
fn due(door: &Door, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tallyhook"));
    command.args(["due", "--at", "2026-03-02T12:00:00Z", "--data"]).arg(door.file()).args(more);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

#[test]
fn reminders_that_nobody_could_read_are_printed_the_next_time() {
    for json in [&["--json"][..], &[]] {
        let door = Door::new();
        door.answered(NOON, "remind set text:rinse the bung when:tomorrow 9am");
        door.answered(NOON, "remind set text:soak the casings when:tomorrow 9am");
        let mut unread = due(&door, json).spawn().unwrap();
        drop(unread.stdout.take());
        let ended = unread.wait_with_output().unwrap();
        let said = String::from_utf8(ended.stderr).unwrap();
        assert_eq!(ended.status.code(), Some(1), "{said}");
        assert!(said.starts_with("tallyhook: the reminders could not be printed: "), "{said}");
        assert_eq!(said.lines().count(), 1, "{said}");
        let read = due(&door, json).output().unwrap();
        let printed = String::from_utf8(read.stdout).unwrap();
        assert_eq!(read.status.code(), Some(0));
        for text in ["rinse the bung", "soak the casings"] {
            assert_eq!(printed.matches(text).count(), 1, "{printed}");
        }
        let again = String::from_utf8(due(&door, json).output().unwrap().stdout).unwrap();
        if json.is_empty() {
            assert_eq!(again, "");
        } else {
            let both: Value = serde_json::from_str(&printed).unwrap();
            assert_eq!((both["door"].as_i64(), both["due"].as_array().unwrap().len()), (Some(1), 2));
            let none: Value = serde_json::from_str(&again).unwrap();
            assert_eq!(none, serde_json::json!({ "door": 1, "due": [] }));
        }
    }
}

/// A piece weighed twice while it dries.
fn drying() -> Door {
    let door = Door::new();
    door.answered(
        NOON,
        "batch start name:Juniper stick kind:dried-sausage meat:1 kg beef casing:50 mm loss:35%",
    );
    door.answered(NOON, "batch piece weights:520 g tare:20 g");
    door.answered(NOON, "batch stage to:drying");
    door.answered("2026-03-05T12:00:00Z", "B1 480 g");
    door.answered("2026-03-09T12:00:00Z", "B1 445 g");
    door
}

const LATER: &str = "2026-03-09T13:00:00Z";

// By hand: 500 g net when hung; 480 g on the scale is 460 g, 8 % lost; 445 g is 425 g, 15 %.
#[test]
fn a_chart_comes_as_numbers_and_as_an_image() {
    let door = drying();
    let plain = door.answered(LATER, "batch show");
    assert_eq!(plain.get("chart"), None, "no chart is worked out that nobody asked for");
    let image = door.folder.path().join("chart.png");
    let output = door
        .command(LATER, &["batch show B1 chart:drying", "--chart", image.to_str().unwrap()])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let chart = &answer["chart"];
    assert_eq!((&chart["kind"], &chart["horizontal"]["zone"]), (&"drying".into(), &"UTC".into()));
    let points = chart["panels"][0]["series"][0]["points"].as_array().unwrap();
    let points: Vec<(f64, f64)> =
        points.iter().map(|point| (point["x"].as_f64().unwrap(), point["y"].as_f64().unwrap())).collect();
    let expected = [(0.0, 0.0), (4.0, 8.0), (8.0, 15.0)];
    assert_eq!(points.len(), expected.len());
    for (point, expected) in points.iter().zip(expected) {
        approx::assert_abs_diff_eq!(point.0, expected.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(point.1, expected.1, epsilon = 1e-9);
    }
    assert_eq!(chart["panels"][0]["targets"][0]["value"], 35.0);
    // The fan ends where the forecast of the same piece does.
    let forecast = door.answered(LATER, "dry forecast batch:B1");
    let reaches = chart["panels"][0]["fan"]["reaches"].as_array().unwrap();
    for (id, side) in [("finish_p10", "early"), ("finish_p50", "middle"), ("finish_p90", "late")] {
        let days = reaches.last().unwrap()[side].as_f64().unwrap();
        approx::assert_abs_diff_eq!(days, figure(&forecast, id), epsilon = 1e-6);
    }
    let alt = chart["alt"].as_str().unwrap();
    assert!(alt.contains("500 g when hung") && alt.contains("15.0 % lost"), "{alt}");
    assert_eq!(std::fs::read(&image).unwrap()[..8], *b"\x89PNG\r\n\x1a\n");
    let left = std::fs::read_dir(door.folder.path()).unwrap();
    let left: Vec<_> = left.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    assert!(!left.iter().any(|name| name.contains(".part")), "{left:?}");
}

#[test]
fn where_there_is_no_chart_one_sentence_says_so_and_no_file_is_left() {
    let door = drying();
    let image = door.folder.path().join("chart.png");
    let refused = |at: &Path, line: &str, status: i32, said: &str| {
        let output = door.command(LATER, &[line, "--chart", at.to_str().unwrap()]).output().unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(status), "{line}: {told}");
        assert!(told.contains(said) && told.lines().count() == 1, "{line}: {told}");
        assert!(!at.is_file(), "{line}");
    };
    refused(&image, "batch show B1", 2, "has no chart");
    refused(&image, "batch show B1 chart:chamber", 2, "has no chart");
    refused(&image, "-", 2, "one line");
    refused(
        &door.folder.path().join("no/such/folder/chart.png"),
        "batch show B1 chart:drying",
        1,
        "could not be written",
    );
    refused(door.folder.path(), "batch show B1 chart:drying", 1, "could not be written");
}
