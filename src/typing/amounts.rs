//! Amounts as people type them: a share of what is left, a number in the unit of the container, `oz` of a liquid.

use crate::quantity::{Amount, Dimension, Measure, Ratio, in_unit, shown_unit, unit};

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

/// The amount that a text means, of a container that holds so much. `fluid` says whether the shop means fluid ounces by `oz`.
pub fn typed_amount(text: &str, held: Option<Amount>, us: bool, fluid: bool) -> AmountTyped {
    let text = text.trim();
    let lower = text.to_lowercase();
    let share = SHARES.iter().find(|(words, ..)| *words == lower);
    if let Some((_, numerator, denominator)) = share {
        let Some(held) = held else {
            return AmountTyped::HeldUnknown;
        };
        return part(held, *numerator, *denominator, us)
            .map_or(AmountTyped::AsTyped, AmountTyped::Cell);
    }
    if is_number(text)
        && let Some(symbol) = held
            .and_then(|held| shown_unit(held, us))
            .map(|unit| unit.symbol)
    {
        return AmountTyped::Cell(format!("{text} {symbol}"));
    }
    if let (Some(Amount::Volume(_)), Ok(measure)) = (held, Measure::parse(text))
        && measure.unit.symbol == "oz"
        && measure.unit.dimension == Dimension::Mass
    {
        let number = lower
            .trim_end_matches("oz")
            .trim_end_matches("ounce")
            .trim();
        let cell = format!("{number} fl oz");
        return match fluid {
            true => AmountTyped::Cell(cell),
            false => AmountTyped::Ounces(cell),
        };
    }
    AmountTyped::AsTyped
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
    let unit = shown_unit(held, us)?;
    if numerator == denominator {
        let shown = in_unit(held.base(), unit);
        let same = Measure::parse(&shown).ok()?.amount()?.base() == held.base();
        return match same {
            true => Some(shown),
            false => Some(format!("{} {}", held.base().digits(), base_symbol(held)?)),
        };
    }
    let share = Ratio::from_exact(held.base())
        .times(Ratio::whole(numerator))
        .and_then(|whole| whole.by(Ratio::whole(denominator)))
        .and_then(|share| share.rounded(9));
    Some(in_unit(share.ok()?, unit))
}

/// The unit in which amounts of this kind are kept.
fn base_symbol(amount: Amount) -> Option<&'static str> {
    let symbol = match amount {
        Amount::Volume(_) => "L",
        Amount::Mass(_) => "kg",
        Amount::Pieces(_) => "pcs",
    };
    unit::find(symbol).map(|unit| unit.symbol)
}
