//! The README's table of commands is the one that the program prints, and the service is as the README says.

use tallyhook::terminal::commands::table_as_markdown;

#[test]
fn the_readme_shows_the_table_of_commands() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let after = readme.split("<!-- commands -->\n").nth(1).unwrap();
    let table = after.split("<!-- /commands -->").next().unwrap();
    assert_eq!(table, table_as_markdown());
}

/// A setting that must be mended is not tried again, and a crash that repeats does not use up a day's connections: at
/// most five starts in ten minutes (the platform grants 1,000 a day and withdraws the token after that).
#[test]
fn the_service_does_not_start_again_and_again() {
    let service =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/deploy/tallyhook.service")).unwrap();
    let unit = service.split("[Service]").next().unwrap();
    assert!(
        unit.contains("\nStartLimitIntervalSec=600\n") && unit.contains("\nStartLimitBurst=5\n"),
        "{unit}"
    );
    assert!(service.contains("\nRestartPreventExitStatus=78\n"));
}
