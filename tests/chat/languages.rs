//! Every language explains every command and every option of the table, and nothing that is not in it.

use std::collections::BTreeSet;
use tallyhook::desk::table;
use tallyhook::reply::{Language, wording};

/// What a wording file has to say of commands.
fn wanted() -> BTreeSet<String> {
    let mut keys: BTreeSet<String> =
        table::ROOTS.iter().map(|root| format!("commands.{}.about", root.name)).collect();
    for spec in table::all() {
        keys.insert(format!("commands.{}.summary", spec.name()));
        keys.extend(
            spec.options.iter().map(|option| format!("commands.{}.options.{}", spec.name(), option.name)),
        );
    }
    keys
}

#[test]
fn every_command_and_option_is_explained_in_every_language() {
    let mut wrong = Vec::new();
    for language in Language::ALL.into_iter().filter(|language| *language != Language::English) {
        let said: BTreeSet<String> = wording::commands(language).keys().cloned().collect();
        let tag = language.tag();
        wrong.extend(wanted().difference(&said).map(|key| format!("{tag}: {key} is missing")));
        wrong.extend(said.difference(&wanted()).map(|key| format!("{tag}: {key} is of no command")));
    }
    assert!(wrong.is_empty(), "{} of them: {wrong:#?}", wrong.len());
}

#[test]
fn english_is_what_the_commands_say_themselves() {
    for spec in table::all() {
        assert_eq!(spec.summary_in(Language::English), spec.summary);
        for option in spec.options {
            assert_eq!(spec.help_in(option, Language::English), option.help);
        }
    }
}
