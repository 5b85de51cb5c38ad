//! `Exact`: a decimal that refuses to be approximate. It knows no unit and no shop.
//!
//! Text comes in strictly; plus and times refuse to round instead of dropping digits; there is no division.

use super::not_a_number::{MOST_DIGITS, NumberFault, comma, too_long};
use rust_decimal::Decimal;

/// A decimal number with every digit kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Exact(Decimal);

/// A result would need more digits than there are; nothing is rounded in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooFine;

/// Powers of ten, up to the most decimals there are.
const TENS: [i128; 29] = {
    let mut tens = [1; 29];
    let mut at = 1;
    while at < 29 {
        tens[at] = tens[at - 1] * 10;
        at += 1;
    }
    tens
};

impl Exact {
    /// Nothing of it.
    pub const ZERO: Exact = Exact(Decimal::ZERO);
    pub const ONE: Exact = Exact(Decimal::ONE);

    /// A constant from its digits and how many of them stand behind the point: `constant(3785411784, 9)`.
    #[allow(
        clippy::as_conversions,
        reason = "splitting a u64 into halves, in a const"
    )]
    pub const fn constant(digits: u64, behind: u32) -> Exact {
        Exact(Decimal::from_parts(
            digits as u32,
            (digits >> 32) as u32,
            0,
            false,
            behind,
        ))
    }

    pub fn whole(number: i64) -> Exact {
        Exact(Decimal::from(number))
    }

    /// Reads `12`, `0.5`; never `.5`, `5.`, `+5`, `1_000` or an exponent.
    pub fn parse(text: &str) -> Result<Exact, NumberFault> {
        if text.starts_with('-') {
            return Err(NumberFault::Negative);
        }
        unsigned(text)
    }

    /// Reads the plain number at the head of a text, as nearly every cell begins with one, and gives the rest: quickly,
    /// and not at all where anything is odd about it, which [`Exact::parse`] then names.
    pub(super) fn head(text: &str) -> Option<(Exact, &str)> {
        let bytes = text.as_bytes();
        let (mut digits, mut at, mut behind) = (0_u64, 0, 0_u32);
        let mut point = false;
        while let Some(byte) = bytes.get(at) {
            let digit = byte.wrapping_sub(b'0');
            if digit < 10 {
                digits = digits * 10 + u64::from(digit);
                behind += u32::from(point);
            } else if *byte == b'.' && !point && at > 0 {
                point = true;
            } else {
                break;
            }
            at += 1;
            if at > MOST_DIGITS {
                return None;
            }
        }
        let plain = at > 0 && (!point || behind > 0);
        plain.then(|| {
            (
                Exact::constant(digits, behind),
                text.get(at..).unwrap_or(""),
            )
        })
    }

    /// As [`Exact::parse`], but a leading minus is read: for temperatures and coordinates.
    pub fn parse_signed(text: &str) -> Result<Exact, NumberFault> {
        match text.strip_prefix('-') {
            Some(rest) => unsigned(rest.trim_start()).map(|n| Exact(-n.0)),
            None => unsigned(text),
        }
    }

    /// The sum, or a refusal where digits would be lost.
    pub fn plus(self, other: Exact) -> Result<Exact, TooFine> {
        self.plus_as_is(other)
            .or_else(|_| self.slim().plus_as_is(other.slim()))
    }

    /// Over whole numbers of the finer place, in 128 bits, so that nothing can be dropped.
    fn plus_as_is(self, other: Exact) -> Result<Exact, TooFine> {
        let scale = self.0.scale().max(other.0.scale());
        let (Some(a), Some(b)) = (self.in_places(scale), other.in_places(scale)) else {
            return Err(TooFine);
        };
        a.checked_add(b)
            .ok_or(TooFine)
            .and_then(|sum| Exact::from_places(sum, scale))
    }

    /// As a whole number of units in the `scale`-th decimal place, which is no coarser than its own.
    fn in_places(self, scale: u32) -> Option<i128> {
        let finer = usize::try_from(scale - self.0.scale()).ok()?;
        if finer == 0 {
            return Some(self.0.mantissa());
        }
        product(self.0.mantissa(), *TENS.get(finer)?)
    }

    pub(super) fn from_places(places: i128, scale: u32) -> Result<Exact, TooFine> {
        // Nearly all numbers are small, and then nothing needs to be looked at twice.
        if let Ok(places) = i64::try_from(places)
            && scale <= Decimal::MAX_SCALE
        {
            return Ok(Exact(Decimal::new(places, scale)));
        }
        Decimal::try_from_i128_with_scale(places, scale)
            .map(Exact)
            .map_err(|_| TooFine)
    }

    /// The difference; it may be negative.
    pub fn minus(self, other: Exact) -> Result<Exact, TooFine> {
        self.plus(Exact(-other.0))
    }

    /// The product, or a refusal: past 28 digits the crate would drop some without a word.
    pub fn times(self, other: Exact) -> Result<Exact, TooFine> {
        if self.is_zero() || other.is_zero() {
            return Ok(Exact::ZERO);
        }
        self.times_as_is(other)
            .or_else(|_| self.slim().times_as_is(other.slim()))
    }

    fn times_as_is(self, other: Exact) -> Result<Exact, TooFine> {
        let product = product(self.0.mantissa(), other.0.mantissa()).ok_or(TooFine)?;
        Exact::from_places(product, self.0.scale() + other.0.scale())
    }

    /// Its digits as a whole number, and the power of ten under them.
    pub(super) fn as_whole_over(self) -> (i128, i128) {
        let slim = self.slim().0;
        let tens = usize::try_from(slim.scale())
            .ok()
            .and_then(|scale| TENS.get(scale));
        (slim.mantissa(), tens.copied().unwrap_or(1))
    }

    /// Without zeros at the end.
    pub fn slim(self) -> Exact {
        Exact(self.0.normalize())
    }

    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Is it a whole number?
    pub fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    /// Is it below nothing?
    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }

    /// The same, without its sign.
    pub fn size(self) -> Exact {
        Exact(self.0.abs())
    }

    /// All digits as text, no zeros at the end.
    pub fn digits(self) -> String {
        let mut text = self.0.normalize().to_string();
        if text == "-0" {
            text.remove(0);
        }
        text
    }

    /// For showing only: the quotient to about 28 digits, never used for a verdict.
    pub(crate) fn shown_over(self, other: Exact) -> Option<Decimal> {
        self.0.checked_div(other.0)
    }

    /// The share that this is of a whole, in millionths of millionths, rounded down, and whether that is exact. `None` if it is
    /// no share of it: below nothing, more than all, or a share of nothing.
    pub(super) fn share_of(self, whole: Exact) -> Option<(u64, bool)> {
        const MILLION: i128 = 1_000_000;
        if self.is_negative() || whole <= Exact::ZERO || self > whole {
            return None;
        }
        let (part, whole) = (self.slim(), whole.slim());
        let scale = part.0.scale().max(whole.0.scale());
        let [part, whole] = [part.in_places(scale)?, whole.in_places(scale)?];
        // In two steps, as the product would have too many digits in one.
        let part = part.checked_mul(MILLION)?;
        let rest = (part % whole).checked_mul(MILLION)?;
        let share = u64::try_from(part / whole * MILLION + rest / whole).ok()?;
        Some((share, rest % whole == 0))
    }

    /// For showing only: the quotient, cut off after twelve decimals.
    pub(super) fn down_over(self, other: Exact) -> Option<Exact> {
        let quotient = self.0.checked_div(other.0)?;
        Some(Exact(quotient.trunc_with_scale(12)))
    }

    /// For the physics only, which is an estimate anyway.
    pub fn estimate(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive;
        self.0.to_f64().unwrap_or(f64::NAN)
    }
}

/// The product of two whole numbers. Most are small, and then one multiplication of the machine does it.
#[inline]
fn product(a: i128, b: i128) -> Option<i128> {
    match (i64::try_from(a), i64::try_from(b)) {
        (Ok(a), Ok(b)) => Some(i128::from(a) * i128::from(b)),
        _ => a.checked_mul(b),
    }
}

fn unsigned(text: &str) -> Result<Exact, NumberFault> {
    if text.is_empty() {
        return Err(NumberFault::Empty);
    }
    let (mut digits, mut behind, mut significant) = (0_u64, 0_u32, 0_usize);
    let mut point = false;
    let mut last_digit = false;
    for (index, byte) in text.bytes().enumerate() {
        match byte {
            b'0'..=b'9' => {
                if significant > 0 || byte != b'0' {
                    significant += 1;
                }
                if significant > MOST_DIGITS || behind >= 20 {
                    return Err(too_long(text));
                }
                digits = digits * 10 + u64::from(byte - b'0');
                behind += u32::from(point);
                last_digit = true;
            }
            b'.' if !point && index > 0 => {
                point = true;
                last_digit = false;
            }
            b',' => return Err(comma(text)),
            _ => return Err(NumberFault::NotANumber),
        }
    }
    if !last_digit {
        return Err(NumberFault::NotANumber);
    }
    Ok(Exact::constant(digits, behind))
}

#[cfg(test)]
mod tests {
    use super::{Exact, NumberFault, TooFine};

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
    }

    #[test]
    fn reads_what_people_write_and_nothing_else() {
        assert_eq!(exact("12").digits(), "12");
        assert_eq!(exact("0.50").digits(), "0.5");
        assert_eq!(exact("00012345678").digits(), "12345678");
        for (text, fault) in [
            ("", NumberFault::Empty),
            (".5", NumberFault::NotANumber),
            ("5.", NumberFault::NotANumber),
            ("+5", NumberFault::NotANumber),
            ("1_000", NumberFault::NotANumber),
            ("1e3", NumberFault::NotANumber),
            ("1.2.3", NumberFault::NotANumber),
            ("-2", NumberFault::Negative),
            ("1,5", NumberFault::DecimalComma),
            ("0,500", NumberFault::DecimalComma),
            ("1,000", NumberFault::ThousandsComma),
            ("1,000.5", NumberFault::ThousandsComma),
            ("1,000,000", NumberFault::ThousandsComma),
            ("123456789", NumberFault::TooManyDigits),
            ("½", NumberFault::NotANumber),
        ] {
            assert_eq!(Exact::parse(text), Err(fault), "{text}");
        }
        assert_eq!(
            Exact::parse_signed("-20").map(Exact::digits),
            Ok("-20".into())
        );
    }

    #[test]
    fn the_head_reads_as_the_whole() {
        for text in ["12", "0.50", "007", "12.3", "1234567", "0.000001"] {
            let with_unit = format!("{text} fl oz");
            assert_eq!(Exact::head(&with_unit), Some((exact(text), " fl oz")));
        }
        for text in [
            "",
            ".5",
            "5. L",
            "-1 L",
            "+1",
            "1.2345678 L",
            "123456789",
            "L",
        ] {
            assert_eq!(Exact::head(text), None, "{text}");
        }
        assert_eq!(Exact::head("1.2.3"), Some((exact("1.2"), ".3")));
    }

    #[test]
    fn refuses_to_round() {
        let tiny = Exact::constant(1, 16);
        assert_eq!(tiny.times(tiny), Err(TooFine));
        assert_eq!(Exact::ZERO.times(tiny), Ok(Exact::ZERO));
        let large = Exact::constant(u64::MAX, 0);
        assert!(large.times(large).is_err());
        assert_eq!(exact("0.1").plus(exact("0.2")), Ok(exact("0.3")));
        assert_eq!(
            exact("0.1").minus(exact("0.3")).map(Exact::digits),
            Ok("-0.2".into())
        );
    }
}
