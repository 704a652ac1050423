//! Colours and shapes by which courses are told apart, also in grey and by who sees few colours.
//!
//! The colours are those of M. Okabe and K. Ito, "Color Universal Design: How to make figures and presentations that are
//! friendly to colorblind people" (2002, revised 2008), values as printed there in RGB. Their yellow and sky blue are
//! left out for lines: on a light ground they lack contrast. A dash and a marker go with each colour, so that no
//! meaning hangs on the colour.

/// The ground of a picture; its own, so that it is legible in light and in dark surroundings.
pub const GROUND: &str = "#FCFBF8";
/// Letters and axes.
pub const INK: &str = "#22201D";
/// Letters that matter less.
pub const QUIET_INK: &str = "#57534C";
/// Lines of the grid.
pub const GRID: &str = "#DEDAD2";
/// Courses among many.
pub const FAINT: &str = "#8C877E";

/// Okabe and Ito's bluish green, for what is wanted.
pub const WANTED: &str = "#009E73";
/// Okabe and Ito's sky blue, for what is expected; a surface, never a line.
pub const EXPECTED: &str = "#56B4E9";
/// Okabe and Ito's black, for levels that matter.
pub const LEVEL: &str = "#000000";

/// Okabe and Ito's blue, vermillion, reddish purple, bluish green, black, orange.
pub const LINES: [&str; 6] = ["#0072B2", "#D55E00", "#CC79A7", "#009E73", "#000000", "#E69F00"];

/// Dashes of the lines, in pixels; the first is drawn through.
const DASHES: [&str; 6] = ["", "14 7", "4 6", "20 6 4 6", "9 5", "26 8"];

/// The shape at a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marker {
    /// A disc.
    Disc,
    /// A square.
    Square,
    /// A triangle on its base.
    Triangle,
    /// A square on its corner.
    Diamond,
    /// Two strokes.
    Cross,
    /// A triangle on its tip.
    Tip,
    /// A dot, where there are many.
    Dot,
}

const MARKERS: [Marker; 6] =
    [Marker::Disc, Marker::Square, Marker::Triangle, Marker::Diamond, Marker::Cross, Marker::Tip];

/// How a course is told from the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Colour as SVG takes it.
    pub colour: &'static str,
    /// Dashes as SVG takes them; empty for a line drawn through.
    pub dash: &'static str,
    /// At each value.
    pub marker: Marker,
    /// Its letter where there are only letters.
    pub letter: char,
    /// One of many that are not told apart.
    pub is_faint: bool,
}

const LETTERS: [char; 6] = ['o', 'x', '+', '*', '#', '@'];

/// As many courses as can be told apart in one frame.
pub const MOST: usize = LINES.len();

impl Style {
    /// The style of the nth course; begins again after the last.
    pub const fn nth(number: usize) -> Self {
        let number = number % MOST;
        Self {
            colour: LINES[number],
            dash: DASHES[number],
            marker: MARKERS[number],
            letter: LETTERS[number],
            is_faint: false,
        }
    }

    /// One of many that are not told apart.
    pub const fn faint() -> Self {
        Self { colour: FAINT, dash: "", marker: Marker::Dot, letter: '.', is_faint: true }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_styles_agree_in_dash_or_marker_or_letter() {
        for one in 0..MOST {
            for other in 0..one {
                let (one, other) = (Style::nth(one), Style::nth(other));
                assert_ne!(one.dash, other.dash);
                assert_ne!(one.marker, other.marker);
                assert_ne!(one.letter, other.letter);
                assert_ne!(one.colour, other.colour);
            }
        }
        assert_eq!(Style::nth(MOST), Style::nth(0));
    }

    /// Relative luminance by WCAG 2.2; 3:1 is its least contrast for parts of graphics, 4.5:1 for text.
    fn contrast(one: &str, other: &str) -> f64 {
        let luminance = |colour: &str| {
            let part = |at: usize| {
                let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
                if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
        };
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn letters_and_the_first_lines_stand_out_from_the_ground() {
        assert!(contrast(INK, GROUND) >= 4.5 && contrast(QUIET_INK, GROUND) >= 4.5);
        for line in [LINES[0], LINES[1], LINES[3], LINES[4], FAINT] {
            assert!(contrast(line, GROUND) >= 3.0, "{line}: {}", contrast(line, GROUND));
        }
    }
}
