//! Decimal arithmetic without rounding, for the steps between a typed text and its canonical value.
//!
//! 1.001 kg is 1001 g. In binary floats 1.001 × 1000 is 1000.9999999999999, so a typed amount is multiplied
//! by its unit here, digit by digit, and becomes a float once, at the end.

/// A number from zero up: `digits / 10^places / divisor`. The divisor has no factor 2 or 5 (thirds, sevenths).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Exact {
    digits: u128,
    places: u32,
    divisor: u128,
}

impl Exact {
    /// A whole number.
    pub(super) const fn whole(number: u128) -> Self {
        Self { digits: number, places: 0, divisor: 1 }
    }

    /// From the digits before and after the decimal point. `None` on anything but digits, or on too many.
    pub(super) fn from_digits(before: &str, after: &str) -> Option<Self> {
        let after = after.trim_end_matches('0');
        let joined = format!("{before}{after}");
        if !joined.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let significant = joined.trim_start_matches('0');
        let digits = if significant.is_empty() { 0 } else { significant.parse().ok()? };
        Some(Self { digits, places: u32::try_from(after.len()).ok()?, divisor: 1 })
    }

    /// The decimal number a float prints as: the float 453.59237 stands for the exact factor 453.59237.
    /// `None` for what is negative, infinite, not a number, or longer than 38 digits.
    pub(super) fn from_float(value: f64) -> Option<Self> {
        if !value.is_finite() {
            return None;
        }
        let text = format!("{value}");
        let (before, after) = text.split_once('.').unwrap_or((text.as_str(), ""));
        Self::from_digits(before, after)
    }

    /// The product; `None` when it has more digits than are kept.
    pub(super) fn times(self, other: Self) -> Option<Self> {
        Self {
            digits: self.digits.checked_mul(other.digits)?,
            places: self.places.checked_add(other.places)?,
            divisor: self.divisor.checked_mul(other.divisor)?,
        }
        .reduced()
    }

    /// Divided by a whole number; `None` for zero, or when the result has more digits than are kept.
    pub(super) fn over(self, divisor: u128) -> Option<Self> {
        if divisor == 0 {
            return None;
        }
        Self { divisor: self.divisor.checked_mul(divisor)?, ..self }.reduced()
    }

    /// The sum; `None` when it has more digits than are kept.
    pub(super) fn plus(self, other: Self) -> Option<Self> {
        let places = self.places.max(other.places);
        let lift = |number: Self, factor: u128| {
            let shift = 10_u128.checked_pow(places - number.places)?;
            number.digits.checked_mul(shift)?.checked_mul(factor)
        };
        Self {
            digits: lift(self, other.divisor)?.checked_add(lift(other, self.divisor)?)?,
            places,
            divisor: self.divisor.checked_mul(other.divisor)?,
        }
        .reduced()
    }

    /// The nearest float (within one unit in the last place when a divisor is left over).
    pub(super) fn to_float(self) -> f64 {
        let decimal: f64 = format!("{}e-{}", self.digits, self.places).parse().unwrap_or(f64::NAN);
        decimal / self.divisor as f64
    }

    /// Its decimal text; `None` when a divisor is left over: such a number has no end.
    pub(super) fn to_text(self) -> Option<String> {
        if self.divisor != 1 {
            return None;
        }
        let places = self.places as usize;
        let digits = format!("{:0>width$}", self.digits, width = places + 1);
        let (before, after) = digits.split_at_checked(digits.len() - places)?;
        let text = format!("{before}.{after}");
        Some(text.trim_end_matches('0').trim_end_matches('.').to_owned())
    }

    /// Whether nothing stands after the decimal point.
    pub(super) fn is_whole(self) -> bool {
        self.divisor == 1
            && 10_u128.checked_pow(self.places).is_some_and(|power| self.digits.is_multiple_of(power))
    }

    /// Cancels what divisor and digits share, then turns halves and fifths into decimal places.
    fn reduced(mut self) -> Option<Self> {
        let shared = greatest_common_divisor(self.digits, self.divisor);
        if shared > 1 {
            self.digits /= shared;
            self.divisor /= shared;
        }
        for (factor, partner) in [(2, 5), (5, 2)] {
            while self.divisor.is_multiple_of(factor) {
                self.divisor /= factor;
                self.digits = self.digits.checked_mul(partner)?;
                self.places = self.places.checked_add(1)?;
            }
        }
        Some(self)
    }
}

fn greatest_common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(value: f64) -> Exact {
        Exact::from_float(value).unwrap()
    }

    fn same(left: f64, right: f64) -> bool {
        left.to_bits() == right.to_bits()
    }

    #[test]
    fn a_product_has_every_digit() {
        assert!(!same(1.001 * 1000.0, 1001.0), "the trap this file is for");
        assert!(same(exact(1.001).times(exact(1000.0)).unwrap().to_float(), 1001.0));
        assert!(same(exact(2.5).times(exact(453.592_37)).unwrap().to_float(), 1_133.980_925));
    }

    #[test]
    fn halves_become_decimals_and_thirds_stay() {
        assert_eq!(Exact::whole(3).over(4), Exact::from_digits("0", "75"));
        assert_eq!(Exact::whole(4).over(6), Exact::whole(2).over(3));
        assert!(same(Exact::whole(1).over(3).unwrap().to_float(), 1.0 / 3.0));
        assert_eq!(Exact::whole(1).over(0), None);
        let third = Exact::whole(1).over(3).unwrap();
        assert_eq!(third.plus(third).and_then(|two| two.plus(third)), Some(Exact::whole(1)));
    }

    #[test]
    fn text_has_every_digit_and_no_more() {
        for text in ["0", "812", "1.001", "0.05", "1000"] {
            assert_eq!(exact(text.parse().unwrap()).to_text().as_deref(), Some(text));
        }
        let shifted = exact(0.07).times(Exact::whole(100)).unwrap();
        assert_eq!(shifted.to_text().as_deref(), Some("7"));
        assert_eq!(Exact::whole(1).over(3).unwrap().to_text(), None);
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let long = Exact::whole(u128::MAX);
        assert_eq!(long.times(Exact::whole(2)), None);
        assert_eq!(long.plus(Exact::whole(1)), None);
        for value in [-1.0, f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(Exact::from_float(value), None, "{value}");
        }
    }

    #[test]
    fn whole_numbers_are_known() {
        assert!(exact(2.0).is_whole());
        assert!(!exact(2.5).is_whole());
        assert!(!Exact::whole(1).over(3).unwrap().is_whole());
        assert_eq!(Exact::from_digits("2", "000"), Some(Exact::whole(2)));
    }
}
