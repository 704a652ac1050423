//! The table of commands, as the README shows it.

use crate::desk::table;
use std::fmt::Write;

/// Prints the table.
pub fn print() {
    print!("{}", table_as_markdown());
}

/// The table of commands as Markdown; a test holds the README's against it.
pub fn table_as_markdown() -> String {
    let mut text = String::from("| command | what for | options |\n|---|---|---|\n");
    for spec in table::all() {
        let option = |option: &table::OptionSpec| {
            if option.required { format!("`{}:`", option.name) } else { format!("[`{}:`]", option.name) }
        };
        let options: Vec<String> = spec.options.iter().map(option).collect();
        let _ = writeln!(text, "| `{}` | {} | {} |", spec.name(), spec.summary, options.join(" "));
    }
    text
}
