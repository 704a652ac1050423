//! Bytes to letters, and what a file is that has none.

use super::refused::{Binary, Refused};
use super::understood::{Encoding, LineEnds};
use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// The first bytes by which files name their kind (published with the formats: ISO 32000, ISO/IEC 15948,
/// ISO/IEC 10918, RFC 1952; the others are common practice).
const MAGIC: [(&[u8], Binary); 12] = [
    (b"%PDF", Binary::Pdf),
    (b"PK\x03\x04", Binary::Zip),
    (b"PK\x05\x06", Binary::Zip),
    (b"\xD0\xCF\x11\xE0", Binary::OldOffice),
    (b"\x89PNG", Binary::Picture),
    (b"\xFF\xD8\xFF", Binary::Picture),
    (b"GIF8", Binary::Picture),
    (b"II*\0", Binary::Picture),
    (b"MM\0*", Binary::Picture),
    (b"\x1F\x8B", Binary::Compressed),
    (b"7z\xBC\xAF", Binary::Compressed),
    (b"SQLite format 3\0", Binary::Database),
];

/// The letters of a file, its marks taken off and its lines ending in LF wherever they ended in CR alone.
pub(super) struct Letters<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) encoding: Encoding,
    pub(super) line_ends: LineEnds,
}

/// Reads bytes as letters.
pub(super) fn letters(bytes: &[u8]) -> Result<Letters<'_>, Refused> {
    if let Some((_, kind)) = MAGIC.iter().find(|(magic, _)| bytes.starts_with(magic)) {
        return Err(Refused::NotText(*kind));
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Err(Refused::NotText(Binary::Picture));
    }
    let (text, encoding) = decoded(bytes);
    // NUL stands in no text; a picture or program without a known beginning nearly always has one.
    if text.contains('\0') {
        return Err(Refused::NotText(Binary::Unknown));
    }
    if text.trim().is_empty() {
        return Err(Refused::Empty);
    }
    let line_ends = line_ends(&text);
    let text = if line_ends == LineEnds::Cr { Cow::Owned(text.replace('\r', "\n")) } else { text };
    Ok(Letters { text, encoding, line_ends })
}

fn decoded(bytes: &[u8]) -> (Cow<'_, str>, Encoding) {
    if let Some(rest) = bytes.strip_prefix(b"\xFF\xFE") {
        return (UTF_16LE.decode_without_bom_handling(rest).0, Encoding::Utf16LittleEndian);
    }
    if let Some(rest) = bytes.strip_prefix(b"\xFE\xFF") {
        return (UTF_16BE.decode_without_bom_handling(rest).0, Encoding::Utf16BigEndian);
    }
    let (rest, encoding) = match bytes.strip_prefix(b"\xEF\xBB\xBF") {
        Some(rest) => (rest, Encoding::Utf8WithMark),
        None => (bytes, Encoding::Utf8),
    };
    match std::str::from_utf8(rest) {
        Ok(text) => (Cow::Borrowed(text), encoding),
        Err(_) => (WINDOWS_1252.decode_without_bom_handling(rest).0, Encoding::Windows1252),
    }
}

fn line_ends(text: &str) -> LineEnds {
    let (mut both, mut line_feeds, mut returns) = (false, false, false);
    let bytes = text.as_bytes();
    for (index, byte) in bytes.iter().enumerate() {
        match byte {
            b'\n' if index > 0 && bytes[index - 1] == b'\r' => both = true,
            b'\n' => line_feeds = true,
            b'\r' if bytes.get(index + 1) != Some(&b'\n') => returns = true,
            _ => {}
        }
    }
    match (both, line_feeds, returns) {
        (true, false, false) => LineEnds::CrLf,
        (false, _, false) => LineEnds::Lf,
        (false, false, true) => LineEnds::Cr,
        _ => LineEnds::Mixed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(bytes: &[u8]) -> (String, Encoding, LineEnds) {
        let read = letters(bytes).ok().unwrap();
        (read.text.into_owned(), read.encoding, read.line_ends)
    }

    #[test]
    fn encodings() {
        // The degree sign is B0 in Windows-1252, C2 B0 in UTF-8, U+00B0 in UTF-16 (The Unicode Standard).
        let expected = "°C\n".to_owned();
        assert_eq!(of(b"\xC2\xB0C\n"), (expected.clone(), Encoding::Utf8, LineEnds::Lf));
        assert_eq!(of(b"\xEF\xBB\xBF\xC2\xB0C\n"), (expected.clone(), Encoding::Utf8WithMark, LineEnds::Lf));
        assert_eq!(of(b"\xB0C\n"), (expected.clone(), Encoding::Windows1252, LineEnds::Lf));
        let little = b"\xFF\xFE\xB0\0C\0\n\0";
        assert_eq!(of(little), (expected.clone(), Encoding::Utf16LittleEndian, LineEnds::Lf));
        assert_eq!(of(b"\xFE\xFF\0\xB0\0C\0\n"), (expected, Encoding::Utf16BigEndian, LineEnds::Lf));
    }

    #[test]
    fn ends_of_lines() {
        assert_eq!(of(b"a\r\nb\r\n").2, LineEnds::CrLf);
        assert_eq!(of(b"a\rb\r"), ("a\nb\n".to_owned(), Encoding::Utf8, LineEnds::Cr));
        assert_eq!(of(b"a\r\nb\n").2, LineEnds::Mixed);
        assert_eq!(of(b"a").2, LineEnds::Lf);
    }

    #[test]
    fn what_is_no_text_is_named() {
        let refused = |bytes: &[u8]| letters(bytes).err();
        assert_eq!(refused(b"%PDF-1.7\n"), Some(Refused::NotText(Binary::Pdf)));
        assert_eq!(refused(b"PK\x03\x04\x14\0"), Some(Refused::NotText(Binary::Zip)));
        assert_eq!(refused(b"\x89PNG\r\n\x1a\n"), Some(Refused::NotText(Binary::Picture)));
        assert_eq!(refused(b"RIFF\x24\0\0\0WEBPVP8 "), Some(Refused::NotText(Binary::Picture)));
        assert_eq!(refused(b"D\0a\0t\0e\0"), Some(Refused::NotText(Binary::Unknown)));
        assert_eq!(refused(b""), Some(Refused::Empty));
        assert_eq!(refused(b"\xEF\xBB\xBF \r\n\r\n"), Some(Refused::Empty));
    }
}
