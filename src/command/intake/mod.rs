//! A member's line turned into typed items: a grammar of small readers, one file each.
//!
//! Pure: the moment, the zone and the last weights come in with the [`Context`]. [`read`] goes along the line; at
//! each place the readers are asked in turn, and what none of them wants is passed as a separator, as one of a few
//! filler words, or as unread. Unread words are shown to the member; nothing is dropped, least of all a digit.

pub(in crate::command) mod cursor;
mod error;
mod item;
pub(in crate::command) mod token;

pub use error::IntakeError;
pub use item::{Context, Item, Understood, Unsaid, What, When, Whose};

/// Longest line that is read, in characters.
const LONGEST_LINE: usize = 2000;

/// Reads a line. `None`: it is no reading at all.
///
/// # Errors
/// [`IntakeError`]: the line is one, and something in it has to be mended first.
pub fn read(line: &str, _context: &Context<'_>) -> Result<Option<Understood>, IntakeError> {
    if line.chars().nth(LONGEST_LINE).is_some() {
        return Err(IntakeError::TooLong);
    }
    Ok(None)
}
