//! A photo that came with a message: what is kept of it is a reference. The photo itself stays on the platform.

use super::ids::ChatId;
use serde::{Deserialize, Serialize};

/// A photo of a message on a chat platform. Its address there is not kept: it is signed, which makes it a secret, and
/// expires. The numbers find it again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// The platform's group; `None` in a direct conversation.
    pub group: Option<ChatId>,
    /// The channel, thread or direct conversation of the message.
    pub place: ChatId,
    /// The message it came with.
    pub message: ChatId,
    /// The photo itself.
    pub attachment: ChatId,
    /// The name of its file, as [`file_name`] keeps it.
    pub name: String,
    /// Its size in bytes, as the platform says it.
    pub bytes: u64,
    /// What sort of picture, as the platform says it.
    pub kind: PictureKind,
}

/// What sort of picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PictureKind {
    /// Portable Network Graphics.
    Png,
    /// JPEG.
    Jpeg,
    /// `WebP`.
    Webp,
    /// GIF.
    Gif,
    /// HEIF, as many telephones take it: `.heic`, `.heif`.
    Heic,
    /// AVIF.
    Avif,
}

/// Every sort with its content type and the endings of its files. No SVG: that is a document with programs in it.
const KINDS: [(PictureKind, &[&str], &[&str]); 6] = [
    (PictureKind::Png, &["image/png"], &["png"]),
    (PictureKind::Jpeg, &["image/jpeg"], &["jpg", "jpeg", "jfif"]),
    (PictureKind::Webp, &["image/webp"], &["webp"]),
    (PictureKind::Gif, &["image/gif"], &["gif"]),
    (PictureKind::Heic, &["image/heic", "image/heif"], &["heic", "heif"]),
    (PictureKind::Avif, &["image/avif"], &["avif"]),
];

impl PictureKind {
    /// By a file's content type (the registered names of RFC 2046 and its successors), where its name ends as a
    /// picture's does too. The two need not agree: telephones name a JPEG `.png` and the other way round.
    pub fn of(content_type: &str, name: &str) -> Option<Self> {
        let essence = content_type.split(';').next().unwrap_or_default().trim();
        let (_, ending) = name.rsplit_once('.')?;
        let ends_as_picture = KINDS
            .iter()
            .any(|(_, _, endings)| endings.iter().any(|known| known.eq_ignore_ascii_case(ending)));
        let of_type = |types: &[&str]| types.iter().any(|known| known.eq_ignore_ascii_case(essence));
        let (kind, ..) = KINDS.iter().find(|(_, types, _)| of_type(types)).filter(|_| ends_as_picture)?;
        Some(*kind)
    }
}

/// Letters of a file's name that are kept.
pub const LONGEST_NAME: usize = 100;

/// A file's name as it is kept: in one line, without letters that cannot be seen or turn the line around, and shortened.
/// It names the file to people and is never used as a path.
pub fn file_name(given: &str) -> String {
    let is_seen = |letter: &char| {
        !matches!(
            letter,
            '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
        )
    };
    let blank = |letter: char| if letter.is_control() { ' ' } else { letter };
    let seen: String = given.chars().filter(is_seen).map(blank).collect();
    let name = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut kept: String = name.chars().take(LONGEST_NAME).collect();
    if kept.len() < name.len() {
        kept.pop();
        kept.push('…');
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn any_name_is_kept_in_one_short_line(given in "(\\PC|[\\n\\r\\t\\x00\u{202a}-\u{202e}\u{2066}-\u{2069}\u{200b}-\u{200f}]){0,300}") {
            let kept = file_name(&given);
            prop_assert!(kept.chars().count() <= LONGEST_NAME);
            let turns = |letter: char| matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            prop_assert!(!kept.chars().any(|letter| letter.is_control() || turns(letter)), "{kept:?}");
            prop_assert_eq!(file_name(&kept), kept);
        }
    }

    #[test]
    fn type_and_ending_must_both_be_a_pictures() {
        for (content_type, name, kind) in [
            ("image/jpeg", "coppa.jpg", Some(PictureKind::Jpeg)),
            ("image/jpeg", "IMG_0412.JPEG", Some(PictureKind::Jpeg)),
            ("image/png; charset=binary", "rim.png", Some(PictureKind::Png)),
            ("IMAGE/HEIC", "a.heic", Some(PictureKind::Heic)),
            ("image/webp", "taken.jpg", Some(PictureKind::Webp)),
            ("image/gif", "a.gif.exe", None),
            ("application/pdf", "a.png", None),
            ("text/csv", "weights.csv", None),
            ("audio/ogg", "voice-message.ogg", None),
            ("application/x-msdownload", "a.exe", None),
            ("image/svg+xml", "a.svg", None),
            ("image/svg+xml", "a.png", None),
            ("image/png", "png", None),
            ("image/png", "", None),
            ("", "a.png", None),
        ] {
            assert_eq!(PictureKind::of(content_type, name), kind, "{content_type} {name}");
        }
    }

    #[test]
    fn a_name_is_one_line_of_letters_that_can_be_seen() {
        assert_eq!(file_name("rim\u{202e}gpj.\nexe\u{0}.png"), "rimgpj. exe .png");
        assert_eq!(file_name(" two  words.jpg "), "two words.jpg");
        let long = file_name(&"ü".repeat(300));
        assert_eq!((long.chars().count(), long.ends_with('…')), (LONGEST_NAME, true));
        assert_eq!(file_name(&"x".repeat(LONGEST_NAME)).len(), LONGEST_NAME);
    }
}
