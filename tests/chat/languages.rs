//! Every language explains every command and every option of the table, and nothing that is not in it.

use std::collections::BTreeSet;
use tallyhook::desk::table;
use tallyhook::reply::{Language, wording};

/// What a wording file has to say of commands.
fn wanted() -> BTreeSet<String> {
    let mut keys: BTreeSet<String> = table::ROOTS.iter().map(|root| format!("roots.{}", root.name)).collect();
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

/// The words around it differ, but not what a member types.
#[test]
fn lines_to_type_are_the_same_in_every_language() {
    let typed = |template: &str| -> Vec<String> {
        let named = table::all()
            .flat_map(|spec| spec.options.iter().map(|option| format!("{} {}:", spec.name(), option.name)));
        named.filter(|line| template.contains(line.as_str())).collect()
    };
    let english = wording::templates(Language::English);
    let mut wrong = Vec::new();
    for language in Language::ALL {
        for (key, own) in wording::templates(language) {
            if english.get(key).is_some_and(|template| typed(template) != typed(own)) {
                wrong.push(format!("{}: {key}: {own}", language.tag()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
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
