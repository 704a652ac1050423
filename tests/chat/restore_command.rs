//! `tallyhook restore`, as a person at the shell sees it. All invented.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

const NOON: &str = "2026-03-01T12:00:00Z";

/// A folder with a record and what was exported from it.
struct Shell {
    folder: TempDir,
}

impl Shell {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn run(&self, words: &[&str], record: &str, more: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tallyhook"));
        command.args(words).args(["--as", "mara", "--at", NOON, "--data"]).arg(self.path(record)).args(more);
        command.output().unwrap()
    }

    fn said(&self, record: &str, line: &str) -> String {
        let output = self.run(&["ask"], record, &[line]);
        assert!(output.status.success(), "{line}: {output:?}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// The exit status, and all that was said.
    fn restored(&self, record: &str, file: &Path) -> (Option<i32>, String) {
        let output = self.run(&["restore"], record, &[file.to_str().unwrap()]);
        let said = [output.stdout, output.stderr].concat();
        (output.status.code(), String::from_utf8(said).unwrap())
    }

    /// A record with a batch in it, exported into the folder `taken`.
    fn exported(&self) -> PathBuf {
        for line in [
            "me set country:DE timezone:Europe/Berlin language:de",
            "batch start name:Fenchel kind:whole-muscle meat:1850 g pork loss:35%",
            "batch note batch:B1 text:kalt geräuchert",
        ] {
            self.said("old.db", line);
        }
        let taken = self.path("taken");
        let output = self.run(&["ask", "--save", taken.to_str().unwrap()], "old.db", &["me export"]);
        assert!(output.status.success(), "{output:?}");
        taken.join("tallyhook-record.json")
    }
}

#[test]
fn an_export_is_taken_back_by_the_command_line() {
    let shell = Shell::new();
    let file = shell.exported();
    let mut names: Vec<String> = fs::read_dir(shell.path("taken"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["tallyhook-entries.csv", "tallyhook-readings.csv", "tallyhook-record.json"]);
    let (status, said) = shell.restored("new.db", &file);
    assert_eq!(
        (status, &*said),
        (Some(0), "Zurückgenommen für mara: 1 Charge, 2 Einträge, 1 Kammer, 0 Erinnerungen, 0 Rezepte.\n")
    );
    for line in ["batch show B1", "log history batch:B1", "me show"] {
        assert_eq!(shell.said("old.db", line), shell.said("new.db", line), "{line}");
    }
    assert!(shell.said("new.db", "me show").contains("Deutsch"));
    // Numbers go on where they ended.
    shell.said("new.db", "batch note batch:B1 text:weiter");
    let history = shell.said("new.db", "log history batch:B1");
    assert!(history.lines().nth(1).unwrap().starts_with("3  "), "{history}");
    let (status, said) = shell.restored("new.db", &file);
    assert_eq!(status, Some(2));
    assert!(said.starts_with("A record is taken back only where nobody is yet"), "{said}");
    assert!(said.contains("--data new.db"), "{said}");
}

#[test]
fn a_file_that_is_not_there_or_too_large_is_refused_before_it_is_read() {
    let shell = Shell::new();
    let huge = shell.path("huge.json");
    File::create(&huge).unwrap().set_len(100 * 1024 * 1024).unwrap();
    for (file, expected) in [
        (huge, "is larger than 64 MiB, more than a record is; nothing was read.\n"),
        (shell.path("nowhere.json"), "cannot be read: No such file or directory (os error 2).\n"),
        (shell.folder.path().to_owned(), "cannot be read: Is a directory (os error 21).\n"),
    ] {
        let (status, said) = shell.restored("new.db", &file);
        assert_eq!(status, Some(2), "{said}");
        assert!(said.ends_with(expected) && said.lines().count() == 1, "{said}");
    }
    assert!(!shell.path("new.db").exists());
}

#[test]
fn a_file_of_another_sort_is_refused_and_the_record_stays_empty() {
    let shell = Shell::new();
    let tables = shell.exported().with_file_name("tallyhook-readings.csv");
    for file in [tables, shell.path("old.db")] {
        let (status, said) = shell.restored("new.db", &file);
        assert_eq!(status, Some(2), "{said}");
        assert!(said.contains("line 1, column 1: expected value."), "{said}");
    }
    let file = shell.path("taken").join("tallyhook-record.json");
    let (status, said) = shell.restored("new.db", &file);
    assert_eq!(status, Some(0), "{said}");
}
