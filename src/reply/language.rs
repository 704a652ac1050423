//! The languages members are spoken to in, and which of them is in force.
//!
//! The language in force is a cell of the thread. Over a thousand places say something, most of them deep inside what
//! works an answer out; a parameter through all of them would have to pass every signature in between, and one that was
//! forgotten would speak English without anybody noticing. A cell of the thread alone would be wrong as soon as two
//! members' requests take turns on one thread, so it is only ever set around a single poll ([`spoken_in`]) or a plain
//! call ([`in_language`]) and put back after it: between two polls, English is in force again, and whatever runs then
//! sets its own.
//!
//! What is started beside a request (a spawned task) does not inherit it and must be wrapped again with
//! [`Language::in_force`]. Nothing may keep what was said in a `static`: it would speak the language of whoever came
//! first.

use crate::record::{Member, MemberSettings};
use std::cell::Cell;
use std::future::{Future, poll_fn};

/// A language with a wording file of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Language {
    /// `wording/en.toml`, the one every other is held against.
    #[default]
    English,
    /// `wording/de.toml`.
    German,
}

thread_local! {
    static IN_FORCE: Cell<Language> = const { Cell::new(Language::English) };
}

impl Language {
    /// Every language.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// The language that what is said now is said in.
    pub fn in_force() -> Self {
        IN_FORCE.get()
    }

    /// Its tag (BCP 47), as members type it and platforms call it.
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The language of a tag or of a platform's locale such as `de-AT` or `en_US`; `None` where there is no wording
    /// for it.
    pub fn of_tag(tag: &str) -> Option<Self> {
        let first = tag.trim().split(['-', '_']).next().unwrap_or_default();
        Self::ALL.into_iter().find(|language| language.tag().eq_ignore_ascii_case(first))
    }

    /// The language a member is spoken to in: the one they set, else the one their platform was last heard to be in,
    /// else English.
    pub fn of_settings(settings: &MemberSettings) -> Self {
        let said = [&settings.language, &settings.heard_language];
        said.into_iter().flatten().find_map(|tag| Self::of_tag(tag)).unwrap_or_default()
    }

    /// The language of a member who did not ask just now, by their memberships: the settings are the same in each.
    pub fn of_memberships(memberships: &[Member]) -> Self {
        memberships.first().map_or_else(Self::default, |member| Self::of_settings(&member.settings))
    }
}

/// Puts the language back also where what ran in it panicked.
struct Restored(Language);

impl Drop for Restored {
    fn drop(&mut self) {
        IN_FORCE.set(self.0);
    }
}

/// Runs what says something in a language.
pub fn in_language<T>(language: Language, run: impl FnOnce() -> T) -> T {
    let _restored = Restored(IN_FORCE.replace(language));
    run()
}

/// A future whose every poll runs in a language, on whichever thread and between whatever other tasks. It lies on the
/// heap, so that what waits for it does not grow by its size.
pub fn spoken_in<F: Future>(language: Language, future: F) -> impl Future<Output = F::Output> {
    let mut future = Box::pin(future);
    poll_fn(move |context| in_language(language, || future.as_mut().poll(context)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::task::{Context, Poll, Waker};

    #[test]
    fn tags_and_locales() {
        for (tag, language) in [
            ("de", Some(Language::German)),
            ("DE", Some(Language::German)),
            ("de-AT", Some(Language::German)),
            ("de_CH", Some(Language::German)),
            ("en-US", Some(Language::English)),
            ("en-GB", Some(Language::English)),
            ("fr", None),
            ("den", None),
            ("", None),
        ] {
            assert_eq!(Language::of_tag(tag), language, "{tag}");
        }
        assert!(Language::ALL.iter().all(|language| Language::of_tag(language.tag()) == Some(*language)));
    }

    #[test]
    fn what_a_member_set_comes_before_what_was_heard() {
        let of = |language: Option<&str>, heard: Option<&str>| {
            Language::of_settings(&MemberSettings {
                language: language.map(str::to_owned),
                heard_language: heard.map(str::to_owned),
                ..MemberSettings::default()
            })
        };
        assert_eq!(of(None, None), Language::English);
        assert_eq!(of(None, Some("de")), Language::German);
        assert_eq!(of(Some("en"), Some("de")), Language::English);
        assert_eq!(of(Some("de"), None), Language::German);
        assert_eq!(of(Some("tlh"), Some("de")), Language::German);
    }

    #[test]
    fn two_tasks_on_one_thread_do_not_mix() {
        fn stops_once() -> impl Future<Output = ()> {
            let mut stopped = false;
            poll_fn(
                move |_| if std::mem::replace(&mut stopped, true) { Poll::Ready(()) } else { Poll::Pending },
            )
        }
        let speaks = |language| {
            Box::pin(spoken_in(language, async {
                let before = Language::in_force();
                stops_once().await;
                (before, Language::in_force())
            }))
        };
        let (mut german, mut english) = (speaks(Language::German), speaks(Language::English));
        let mut context = Context::from_waker(Waker::noop());
        assert!(german.as_mut().poll(&mut context).is_pending());
        assert_eq!(Language::in_force(), Language::English);
        assert!(english.as_mut().poll(&mut context).is_pending());
        let both = |language| Poll::Ready((language, language));
        assert_eq!(german.as_mut().poll(&mut context), both(Language::German));
        assert_eq!(english.as_mut().poll(&mut context), both(Language::English));
    }

    #[test]
    fn a_panic_puts_it_back() {
        let panicked = std::panic::catch_unwind(|| in_language(Language::German, || panic!("on purpose")));
        assert!(panicked.is_err());
        assert_eq!(Language::in_force(), Language::English);
    }
}
