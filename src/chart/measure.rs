//! How wide letters are, by the very font they are drawn with.

use std::sync::LazyLock;
use ttf_parser::Face;

/// The name under which the pictures ask for the font.
pub const FAMILY: &str = "DejaVu Sans";
/// A subset of it; see `fonts/README.md`.
pub const REGULAR: &[u8] = include_bytes!("fonts/DejaVuSans.subset.ttf");
/// Its bold one.
pub const BOLD: &[u8] = include_bytes!("fonts/DejaVuSans-Bold.subset.ttf");

static FACES: LazyLock<[Option<Face<'static>>; 2]> =
    LazyLock::new(|| [Face::parse(REGULAR, 0).ok(), Face::parse(BOLD, 0).ok()]);

/// What stands for letters that the font does not have.
const INSTEAD: char = '…';

/// The width of a text in pixels at a size. Kerning, which only draws letters together, is left out.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let Some(face) = &FACES[usize::from(bold)] else { return size * text.chars().count() as f64 };
    let advance = |letter: char| {
        let glyph = face.glyph_index(letter).unwrap_or_default();
        f64::from(face.glyph_hor_advance(glyph).unwrap_or_default())
    };
    text.chars().map(advance).sum::<f64>() * size / f64::from(face.units_per_em())
}

/// The text as the font can draw it: letters it does not have become `…`, other signs and emoji fall away.
pub fn drawable(text: &str) -> String {
    let Some(face) = &FACES[0] else { return text.to_owned() };
    let mut drawn = String::with_capacity(text.len());
    for letter in text.chars().map(|letter| if letter.is_whitespace() { ' ' } else { letter }) {
        if face.glyph_index(letter).is_some() {
            drawn.push(letter);
        } else if letter.is_alphanumeric() && !drawn.ends_with(INSTEAD) {
            drawn.push(INSTEAD);
        }
    }
    drawn.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The text, ended by `…` where it is wider than `most` pixels.
pub fn shortened(text: &str, size: f64, bold: bool, most: f64) -> String {
    if width(text, size, bold) <= most {
        return text.to_owned();
    }
    let mut taken = width(&INSTEAD.to_string(), size, bold);
    if taken > most {
        return String::new();
    }
    let fits = |letter: &char| {
        taken += width(letter.encode_utf8(&mut [0; 4]), size, bold);
        taken <= most
    };
    let kept: String = text.chars().take_while(fits).collect();
    format!("{}{INSTEAD}", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    // Advance widths by the font's own table (DejaVu Sans 2.37, 2048 units in an em): the digit 0 has 1303, M has
    // 1767; in bold the digit has 1425.
    #[test]
    fn widths_are_the_fonts_own() {
        approx::assert_relative_eq!(width("00", 2048.0, false), 2606.0);
        approx::assert_relative_eq!(width("M", 1024.0, false), 883.5);
        approx::assert_relative_eq!(width("0", 2048.0, true), 1425.0);
    }

    #[test]
    fn what_cannot_be_drawn_is_left_out_and_says_so() {
        assert_eq!(drawable("🥩 Salame  Fior\u{a0}di latte"), "Salame Fior di latte");
        assert_eq!(drawable("肉の塊 3"), "… 3");
        assert_eq!(drawable("Sušená klobása ≤ 5 °C"), "Sušená klobása ≤ 5 °C");
        assert_eq!(drawable("Колбаса\n<b>"), "Колбаса <b>");
        assert_eq!(drawable("\u{202e}\u{0}x"), "x");
    }

    #[test]
    fn a_text_is_cut_to_its_room() {
        assert_eq!(shortened("Juniper", 24.0, false, 500.0), "Juniper");
        let cut = shortened("Juniper stick of a long name", 24.0, false, 150.0);
        assert!(cut.ends_with('…') && width(&cut, 24.0, false) <= 150.0, "{cut}");
        assert_eq!(shortened("Juniper", 24.0, false, 1.0), "");
    }
}
