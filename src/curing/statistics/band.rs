//! Bands of diameter or thickness, as casings are sold and spoken of (common practice, no source). A band begins with its
//! lower edge and ends before its upper one.

use crate::quantity::Length;
use std::fmt;

/// Edges between bands, in millimetres.
const EDGES_MM: [u32; 5] = [28, 40, 55, 70, 100];

/// From an edge to the next, or open at one end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Band {
    from_mm: Option<u32>,
    to_mm: Option<u32>,
}

impl Band {
    /// The band a diameter or thickness lies in.
    pub fn of(thickness: Length) -> Self {
        let millimetres = thickness.as_millimetres();
        Self {
            from_mm: EDGES_MM.into_iter().rev().find(|edge| f64::from(*edge) <= millimetres),
            to_mm: EDGES_MM.into_iter().find(|edge| millimetres < f64::from(*edge)),
        }
    }

    /// The lower edge in millimetres, and the upper one; `None`: open there.
    pub const fn edges_mm(self) -> (Option<u32>, Option<u32>) {
        (self.from_mm, self.to_mm)
    }
}

impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from_mm, self.to_mm) {
            (Some(from), Some(to)) => write!(f, "{from}-{to} mm"),
            (Some(from), None) => write!(f, "{from} mm and more"),
            (None, Some(to)) => write!(f, "under {to} mm"),
            (None, None) => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_begins_with_its_lower_edge() {
        let shown = |millimetres: f64| Band::of(Length::millimetres(millimetres)).to_string();
        assert_eq!(shown(27.9), "under 28 mm");
        assert_eq!(shown(28.0), "28-40 mm");
        assert_eq!(shown(39.9), "28-40 mm");
        assert_eq!(shown(40.0), "40-55 mm");
        assert_eq!(shown(55.0), "55-70 mm");
        assert_eq!(shown(70.0), "70-100 mm");
        assert_eq!(shown(99.0), "70-100 mm");
        assert_eq!(shown(100.0), "100 mm and more");
    }
}
