//! Amounts as people type them: a share of what is left, a number in the unit of the container, `oz` of a liquid.

use crate::quantity::{
    Amount, Dimension, Measure, Ratio, full_words, in_digits, in_unit, shown_unit,
};
use crate::record::What;

/// What a typed amount means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AmountTyped {
    /// An amount as a cell takes it.
    Cell(String),
    /// `oz` of a liquid, and the shop has not said that it means fluid ounces: so many.
    Ounces(String),
    /// A share of an amount that is unknown.
    HeldUnknown,
    /// Anything else: the reader of the cell says what is wrong with it.
    AsTyped,
}

/// Words for a share of what is left, as a numerator and a denominator.
const SHARES: [(&str, i64, i64); 12] = [
    ("all", 1, 1),
    ("all of it", 1, 1),
    ("everything", 1, 1),
    ("the rest", 1, 1),
    ("half", 1, 2),
    ("a half", 1, 2),
    ("a third", 1, 3),
    ("one third", 1, 3),
    ("two thirds", 2, 3),
    ("a quarter", 1, 4),
    ("one quarter", 1, 4),
    ("three quarters", 3, 4),
];

/// What is known of the container whose amount is typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct HeldAmount {
    /// What is in it.
    pub held: Option<Amount>,
    /// What it holds when full.
    pub capacity: Option<Amount>,
}

impl HeldAmount {
    /// What a share in words is a share of. `half` that is counted is half of the container, as on the round; else it is half of what is
    /// left.
    pub fn of_entry(self, what: What, text: &str) -> HeldAmount {
        let text = text.trim().to_lowercase();
        let is_part = |(words, over, under): &(&str, i64, i64)| *words == text && over < under;
        if what == What::Count && SHARES.iter().any(is_part) {
            return HeldAmount {
                held: self.capacity,
                ..self
            };
        }
        self
    }
}

/// The amount that a text means, of such a container. `fluid` says whether the shop means fluid ounces by `oz`, if it has said so.
pub fn typed_amount(text: &str, of: HeldAmount, us: bool, fluid: Option<bool>) -> AmountTyped {
    let text = text.trim();
    let lower = text.to_lowercase();
    let (held, like) = (of.held, of.held.or(of.capacity));
    let share = SHARES.iter().find(|(words, ..)| *words == lower);
    if let Some((_, numerator, denominator)) = share {
        let Some(held) = held else {
            return AmountTyped::HeldUnknown;
        };
        return part(held, *numerator, *denominator, us)
            .map_or(AmountTyped::AsTyped, AmountTyped::Cell);
    }
    let digits = in_digits(text).unwrap_or_else(|| text.to_string());
    if is_number(&digits)
        && let Some(unit) = like.and_then(|like| shown_unit(like, us))
    {
        return AmountTyped::Cell(format!("{} {}", with_zero(&digits), unit.symbol));
    }
    let whole = with_zero(text);
    if let (Some(Amount::Volume(_)), Ok(measure)) = (like, Measure::parse(&whole))
        && measure.unit.symbol == "oz"
        && measure.unit.dimension == Dimension::Mass
    {
        let number = digits.trim_end_matches(|c: char| c.is_alphabetic() || c == '.');
        let cell = format!("{} fl oz", with_zero(number.trim()));
        return match fluid {
            Some(true) => AmountTyped::Cell(cell),
            Some(false) => AmountTyped::AsTyped,
            None => AmountTyped::Ounces(cell),
        };
    }
    match whole == text {
        true => AmountTyped::AsTyped,
        false => AmountTyped::Cell(whole),
    }
}

/// `.5 pt` as `0.5 pt`.
fn with_zero(text: &str) -> String {
    match text.strip_prefix('.') {
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("0{text}"),
        Some(_) | None => text.to_string(),
    }
}

/// A number without a unit, as `2`, `1.5`, `1/2` or `1 1/2`.
fn is_number(text: &str) -> bool {
    let digit = text.bytes().any(|byte| byte.is_ascii_digit());
    let plain = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ');
    digit && text.chars().all(plain)
}

/// A share of an amount, in words that read back as exactly that or, where it has too many digits, to four figures. All of it is
/// always exact.
fn part(held: Amount, numerator: i64, denominator: i64, us: bool) -> Option<String> {
    if numerator == denominator {
        return Some(full_words(held, us));
    }
    let unit = shown_unit(held, us)?;
    let share = Ratio::from_exact(held.base())
        .times(Ratio::whole(numerator))
        .and_then(|whole| whole.by(Ratio::whole(denominator)))
        .and_then(|share| share.rounded(9));
    Some(in_unit(share.ok()?, unit))
}
