//! The README's table of commands is the one that the program prints.

use tallyhook::terminal::commands::table_as_markdown;

#[test]
fn the_readme_shows_the_table_of_commands() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let after = readme.split("<!-- commands -->\n").nth(1).unwrap();
    let table = after.split("<!-- /commands -->").next().unwrap();
    assert_eq!(table, table_as_markdown());
}
