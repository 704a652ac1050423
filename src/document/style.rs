//! Sizes and colours, in points (1/72 inch).

/// Points in a millimetre.
pub(super) const MILLIMETRE: f64 = 72.0 / 25.4;
/// A4 (ISO 216): 210 mm by 297 mm.
pub(super) const PAGE: (f64, f64) = (210.0 * MILLIMETRE, 297.0 * MILLIMETRE);
/// Free at the sides, above and below what stands on a page.
pub(super) const SIDE: f64 = 50.0;
pub(super) const TOP: f64 = 42.0;
pub(super) const BOTTOM: f64 = 52.0;
/// Where the foot of a page stands, above its lower edge.
pub(super) const FOOT: f64 = 28.0;

/// Letters: their size, and how far lines are apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Letters {
    pub(super) size: f64,
    pub(super) leading: f64,
    pub(super) bold: bool,
    pub(super) ink: Ink,
}

const fn letters(size: f64, leading: f64, bold: bool, ink: Ink) -> Letters {
    Letters { size, leading, bold, ink }
}

pub(super) const TITLE: Letters = letters(18.0, 23.0, true, Ink::Text);
pub(super) const HEADING: Letters = letters(12.0, 15.5, true, Ink::Text);
pub(super) const BODY: Letters = letters(9.0, 12.2, false, Ink::Text);
pub(super) const SMALL: Letters = letters(7.6, 10.0, false, Ink::Quiet);
pub(super) const CELL: Letters = letters(8.0, 10.6, false, Ink::Text);
pub(super) const CELL_HEADING: Letters = letters(8.0, 10.6, true, Ink::Text);
pub(super) const FIELD_NAME: Letters = letters(7.5, 10.0, false, Ink::Quiet);
pub(super) const FIELD_VALUE: Letters = letters(9.5, 12.0, true, Ink::Text);
pub(super) const SIGNAL: Letters = letters(8.2, 12.2, true, Ink::Text);
pub(super) const FOOTER: Letters = letters(7.5, 10.0, false, Ink::Quiet);
pub(super) const LABEL_HEADING: Letters = letters(11.0, 13.5, true, Ink::Text);
pub(super) const LABEL_FIELD: Letters = letters(7.5, 9.7, false, Ink::Text);
pub(super) const LABEL_FOOT: Letters = letters(8.0, 10.2, true, Ink::Text);

/// Free above a heading, under every block, and under one of small letters.
pub(super) const ABOVE_HEADING: f64 = 8.0;
pub(super) const UNDER_BLOCK: f64 = 6.0;
pub(super) const UNDER_SMALL: f64 = 2.5;
/// Free inside a cell.
pub(super) const CELL_SIDE: f64 = 4.0;
pub(super) const CELL_EDGE: f64 = 1.5;

/// A colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Letters.
    Text,
    /// Letters that matter less.
    Quiet,
    /// Thin lines.
    Rule,
    /// The ground of headings of a table.
    Ground,
    /// Beside what could injure lightly.
    Caution,
    /// Beside what could injure badly.
    Warning,
}

impl Ink {
    /// Red, green and blue. Those that repeat a signal word are Okabe and Ito's orange and vermillion, as in the charts.
    pub const fn rgb(self) -> (u8, u8, u8) {
        match self {
            Self::Text => (0x22, 0x20, 0x1D),
            Self::Quiet => (0x57, 0x53, 0x4C),
            Self::Rule => (0xB9, 0xB4, 0xAA),
            Self::Ground => (0xF1, 0xEE, 0xE7),
            Self::Caution => (0xE6, 0x9F, 0x00),
            Self::Warning => (0xD5, 0x5E, 0x00),
        }
    }
}
