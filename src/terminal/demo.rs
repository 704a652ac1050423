//! The demonstration: an invented group in a throw-away record. A story where nobody could type, a chat otherwise.

use super::chat::{self, ChatError};
use super::dialogue::{DialogueError, Player};
use crate::clock::ShiftedClock;
use crate::desk::Desk;
use crate::reply::say;
use crate::store::Store;
use chrono::{DateTime, Utc};
use std::io::IsTerminal;

/// What happened before: played in silence.
const PAST: &str = include_str!("../../demo-data/past.txt");

/// One batch from raw weights to a shared record.
const STORY: &str = include_str!("../../demo-data/story.txt");

/// Who speaks in the chat of the demonstration.
const MEMBER: &str = "mara";

/// Why the demonstration could not be given.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// Its data cannot be played.
    #[error("the demonstration's data cannot be played: {0}")]
    Dialogue(#[from] DialogueError),
    /// The record failed.
    #[error("the throw-away record failed: {0}")]
    Store(#[from] crate::store::StoreError),
    /// The chat failed.
    #[error(transparent)]
    Chat(#[from] ChatError),
}

/// Gives the demonstration.
pub async fn run(story: bool) -> Result<(), DemoError> {
    let desk = Desk::new(Store::open_temporary().await?);
    let mut player = Player::new(&desk, DateTime::<Utc>::UNIX_EPOCH);
    player.play(PAST).await?;
    if story || !std::io::stdout().is_terminal() || !std::io::stdin().is_terminal() {
        println!("{}\n", say("terminal.demo_story", &[]));
        println!("{}", player.play(STORY).await?);
        desk.store().close().await?;
        return Ok(());
    }
    println!("{}", say("terminal.demo_chat", &[]));
    let clock = ShiftedClock::from(player.now());
    chat::run_with(desk, MEMBER, &clock).await?;
    Ok(())
}

/// What happened before and the story, as they are played, for who wants to read and not to watch.
pub async fn told() -> Result<String, DemoError> {
    let desk = Desk::new(Store::open_temporary().await?);
    let mut player = Player::new(&desk, DateTime::<Utc>::UNIX_EPOCH);
    let past = player.play(PAST).await?;
    let story = player.play(STORY).await?;
    desk.store().close().await?;
    Ok(past + &story)
}
