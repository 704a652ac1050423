//! Channels of a chat platform among the options of `/group settings`: as the platform writes one that is picked, e.g.
//! `<#1234>`, or as its bare number.

use crate::command::error::{Code, UserError};
use crate::command::line::shown;
use crate::record::ChatId;
use crate::reply::say;

/// Most channels it reads in. Our choice.
const MOST_CHANNELS: usize = 10;
const LISTEN_EXAMPLE: &str = "group settings listen:none";
const FORUM_EXAMPLE: &str = "group settings forum:none";

/// What is said of the forum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Forum {
    /// There is to be none.
    None,
    /// It is this channel.
    Is(ChatId),
}

fn channel(word: &str) -> Option<ChatId> {
    let number = word.strip_prefix("<#").and_then(|word| word.strip_suffix('>')).unwrap_or(word);
    number.parse::<i64>().ok().filter(|number| *number > 0).map(ChatId)
}

/// The option `listen:`; `none` for none.
pub(super) fn channels(typed: &str) -> Result<Vec<ChatId>, UserError> {
    if typed.trim().eq_ignore_ascii_case("none") {
        return Ok(Vec::new());
    }
    let words = typed.split(|letter: char| letter.is_whitespace() || letter == ',');
    let one = |word: &str| {
        channel(word).ok_or_else(|| {
            let sentence = say("group.settings.channel_unread", &[("typed", &shown(word))]);
            UserError::new(Code::OutOfRange, sentence, LISTEN_EXAMPLE)
        })
    };
    let mut channels =
        words.filter(|word| !word.is_empty()).map(one).collect::<Result<Vec<ChatId>, UserError>>()?;
    channels.sort();
    channels.dedup();
    if channels.len() <= MOST_CHANNELS {
        return Ok(channels);
    }
    let sentence = say("group.settings.many_channels", &[("most", &MOST_CHANNELS.to_string())]);
    Err(UserError::new(Code::OutOfRange, sentence, LISTEN_EXAMPLE))
}

/// The option `forum:`; `none` for none.
pub(super) fn forum(typed: &str) -> Result<Forum, UserError> {
    if typed.eq_ignore_ascii_case("none") {
        return Ok(Forum::None);
    }
    channel(typed).map(Forum::Is).ok_or_else(|| {
        let sentence = say("group.settings.no_forum", &[("typed", &shown(typed))]);
        UserError::new(Code::UnknownChoice, sentence, FORUM_EXAMPLE)
    })
}
