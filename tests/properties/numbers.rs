//! Numbers and units, held against arithmetic in whole numbers.

use crate::few;
use proptest::prelude::{any, prop_assert_eq, proptest};
use sandarac::quantity::unit::UNITS;
use sandarac::quantity::{Day, Density, Dimension, Exact, Measure, Moment, Unit, beside, in_unit};
use sandarac::record::parse_parts;

/// Digits and how many of them stand behind the point.
pub(crate) fn parts(text: &str) -> (i128, u32) {
    let (whole, behind) = text.split_once('.').unwrap_or((text, ""));
    let scale = u32::try_from(behind.len()).unwrap();
    (format!("{whole}{behind}").parse().unwrap(), scale)
}

/// The digits of a number of so many decimals, without zeros at the end.
pub(crate) fn digits(number: i128, scale: u32) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let size = number.unsigned_abs().to_string();
    let scale = usize::try_from(scale).unwrap();
    let padded = format!("{size:0>width$}", width = scale + 1);
    let (whole, behind) = padded.split_at(padded.len() - scale);
    let behind = behind.trim_end_matches('0');
    let point = if behind.is_empty() { "" } else { "." };
    format!("{sign}{whole}{point}{behind}")
}

pub(crate) fn measure(text: &str) -> Measure {
    Measure::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

/// A number that the unit can have: pieces are whole, and no room or liquid is hotter than 1000 degrees.
fn fitting(number: u32, scale: u32, unit: &Unit) -> (u32, u32) {
    match unit.dimension {
        Dimension::Pieces => (number, 0),
        Dimension::Temperature => (number % 1000, scale),
        _ => (number, scale),
    }
}

proptest! {
    #![proptest_config(few(1000))]

    /// The house value is the number times the factor, to the last digit.
    #[test]
    fn a_unit_converts_exactly(number in 0_u32..=99_999_999, scale in 0_u32..=7, unit in 0..UNITS.len()) {
        let unit = &UNITS[unit];
        let (number, scale) = fitting(number, scale, unit);
        let written = digits(i128::from(number), scale);
        let found = measure(&format!("{written} {}", unit.symbol));
        let ((factor, behind), (offset, offset_behind)) = (parts(&unit.factor.digits()), parts(&unit.offset.digits()));
        prop_assert_eq!(offset_behind, 0);
        let behind_both = scale + behind;
        let wanted = i128::from(number) * factor + offset * 10_i128.pow(behind_both);
        prop_assert_eq!(found.base.digits(), digits(wanted, behind_both), "{} {}", written, unit.symbol);
        prop_assert_eq!(measure(&found.text()), found, "written out and read again");
    }

    /// What is shown in four figures reads back as what it was, where four figures say it all.
    #[test]
    fn what_is_shown_reads_back(number in 0_u32..=9_999, scale in 0_u32..=4, unit in 0..UNITS.len()) {
        let unit = &UNITS[unit];
        let (number, scale) = fitting(number, scale, unit);
        let found = measure(&format!("{} {}", digits(i128::from(number), scale), unit.symbol));
        let shown = in_unit(found.base, unit);
        prop_assert_eq!(measure(&shown).base.digits(), found.base.digits(), "{}", shown);
    }

    /// Beside its limit a number is never shown on the other side of it, nor on it unless it is there.
    #[test]
    fn never_shown_across_the_limit(limit in 1_u32..=9_999, hair in -2_000_i64..=2_000, scale in 3_u32..=9) {
        let gal = UNITS.iter().find(|unit| unit.symbol == "gal").unwrap();
        let limit = measure(&format!("{limit} gal")).base;
        let step = Exact::constant(hair.unsigned_abs(), scale);
        let observed = if hair < 0 { limit.minus(step) } else { limit.plus(step) }.unwrap();
        let (seen, allowed) = beside(observed, limit, gal);
        let number = |text: &str| parts(text.split_once(' ').unwrap().0);
        let ((a, a_scale), (b, b_scale)) = (number(&seen), number(&allowed));
        let level = a_scale.max(b_scale);
        let [a, b] = [a * 10_i128.pow(level - a_scale), b * 10_i128.pow(level - b_scale)];
        prop_assert_eq!(a.cmp(&b), observed.cmp(&limit), "{} beside {}", seen, allowed);
    }

    /// Sums, differences and products are those of whole numbers, or are refused; never rounded.
    #[test]
    fn arithmetic_is_exact(a in any::<u64>(), b in any::<u64>(), x in 0_u32..=19, y in 0_u32..=19) {
        let (left, right) = (Exact::constant(a, x), Exact::constant(b, y));
        let level = x.max(y);
        let wide = |number: u64, scale: u32| i128::from(number).checked_mul(10_i128.pow(level - scale));
        if let (Some(a), Some(b)) = (wide(a, x), wide(b, y)) {
            if let Ok(sum) = left.plus(right) {
                prop_assert_eq!(sum.digits(), digits(a + b, level));
            }
            if let Ok(rest) = left.minus(right) {
                prop_assert_eq!(rest.digits(), digits(a - b, level));
            }
            prop_assert_eq!(left.cmp(&right), a.cmp(&b));
        }
        if let (Ok(product), Some(whole)) = (left.times(right), i128::from(a).checked_mul(i128::from(b))) {
            prop_assert_eq!(product.digits(), digits(whole, x + y));
        }
    }

    /// Any text is a quantity or a fault; never a panic.
    #[test]
    fn any_text_is_read_or_refused(text in "[-+0-9., /a-zA-Z%°½³µ\u{a0}]{0,24}", other in any::<String>()) {
        for text in [text, other] {
            if let Ok(found) = Measure::parse(&text) {
                prop_assert_eq!(measure(&found.text()).base, found.base, "{}", text);
            }
            let _ = Exact::parse(&text);
            let _ = Exact::parse_signed(&text);
            let _ = Day::parse(&text);
            let _ = Moment::parse(&text);
            let _ = Density::parse(&text);
            let _ = parse_parts(&text);
        }
    }
}
