//! Numbers as a reader sees them. Rounding happens here and nowhere else, and never across a limit.

use super::kinds::{Amount, Mass, Temperature, Volume};
use super::measure::Measure;
use super::number::Exact;
use super::unit::{self, Dimension, Unit};
use rust_decimal::{Decimal, RoundingStrategy};

/// Most decimals a shown number gets before all its digits are printed.
const MOST_DECIMALS: u32 = 12;

/// A temperature in the unit of the shop: "55 °F", "12.8 °C".
pub fn temperature(at: Temperature, us: bool) -> String {
    let found = unit::find(if us { "F" } else { "C" });
    found.map_or_else(String::new, |unit| {
        with(significant(quotient(at.base(), unit), 3), unit)
            .replace(" F", " °F")
            .replace(" C", " °C")
    })
}

/// A house value in a unit, to four significant figures, exact where that is short.
pub fn in_unit(base: Exact, unit: &Unit) -> String {
    with(significant(quotient(base, unit), 4), unit)
}

/// An observed value in a unit beside its limit: more figures are shown until the two no longer look alike.
pub fn beside(observed: Exact, limit: Exact, unit: &Unit) -> (String, String) {
    let (seen, allowed) = (quotient(observed, unit), quotient(limit, unit));
    let shown_limit = fewest(allowed);
    let mut figures = 4;
    let mut shown = significant(seen, figures);
    while observed != limit && figures < 24 && (shown.cmp(&shown_limit) != observed.cmp(&limit)) {
        figures += 1;
        shown = significant(seen, figures);
    }
    (with(shown, unit), with(shown_limit, unit))
}

/// An amount in the unit a person would use for it.
pub fn natural(amount: Amount, us: bool) -> String {
    shown_unit(amount, us).map_or_else(String::new, |unit| in_unit(amount.base(), unit))
}

/// As many digits as a written number may have.
const CELL_DIGITS: u32 = 8;

/// An amount in words that read back as that amount: in its natural unit, else in another. Where no cell has enough digits for it,
/// it is the most that a cell can say and that is not more.
pub fn full_words(amount: Amount, us: bool) -> String {
    let exact = |unit: &Unit| {
        let figures = significant(quotient(amount.base(), unit), CELL_DIGITS);
        let text = with(figures, unit);
        let read = Measure::parse(&text).ok()?.amount()?;
        (read.base() == amount.base()).then_some(text)
    };
    let Some(own) = shown_unit(amount, us) else {
        return String::new();
    };
    let others = unit::UNITS
        .iter()
        .filter(|unit| unit.dimension == own.dimension);
    std::iter::once(own)
        .chain(others)
        .find_map(exact)
        .unwrap_or_else(|| rounded_down(amount, us, CELL_DIGITS))
}

/// As [`natural`], with as many more figures as it takes for a sum not to look like a round limit that it only comes near.
pub fn natural_sum(amount: Amount, us: bool) -> String {
    let Some(unit) = shown_unit(amount, us) else {
        return String::new();
    };
    let exact = fewest(quotient(amount.base(), unit));
    let mut figures = 4;
    let mut shown = significant(exact, figures);
    while shown != exact && digits_in(shown) < 4 && figures < 16 {
        figures += 1;
        shown = significant(exact, figures);
    }
    with(shown, unit)
}

/// As [`natural`], and never more than it is: for what is written down as poured.
pub fn natural_down(amount: Amount, us: bool) -> String {
    rounded_down(amount, us, 4)
}

/// As [`natural`], but to three figures and never more than it is: for what may still be bought.
pub fn at_most(amount: Amount, us: bool) -> String {
    rounded_down(amount, us, 3)
}

fn rounded_down(amount: Amount, us: bool, figures: u32) -> String {
    let Some(unit) = unit::find(natural_unit(amount, us)) else {
        return String::new();
    };
    let exact = quotient(amount.base(), unit);
    let down = exact.round_sf_with_strategy(figures, RoundingStrategy::ToZero);
    with(down.unwrap_or(exact), unit)
}

/// One over the other to two figures, for showing only: months left, and the like.
pub fn about_ratio(over: Exact, under: Exact) -> Option<String> {
    let ratio = over.shown_over(under)?;
    Some(trim(ratio.round_sf(2).unwrap_or(ratio)))
}

/// An amount shared by a number, for showing only, and never more than it is.
pub fn shared(amount: Amount, by: Exact) -> Option<Amount> {
    amount.base().down_over(by).map(|base| amount.with(base))
}

/// The unit that [`natural`] shows it in.
pub fn shown_unit(amount: Amount, us: bool) -> Option<&'static Unit> {
    unit::find(natural_unit(amount, us))
}

fn natural_unit(amount: Amount, us: bool) -> &'static str {
    match amount {
        Amount::Volume(v) if us => us_volume(v),
        Amount::Volume(v) => {
            if v.base() < Exact::ONE {
                "mL"
            } else {
                "L"
            }
        }
        Amount::Mass(m) if us => {
            if m.base() < Exact::constant(45_359_237, 8) {
                "oz"
            } else {
                "lb"
            }
        }
        Amount::Mass(m) => {
            if m.base() < Exact::ONE {
                "g"
            } else {
                "kg"
            }
        }
        Amount::Pieces(_) => "pcs",
    }
}

fn us_volume(volume: Volume) -> &'static str {
    let base = volume.base();
    if base >= Exact::constant(3_785_411_784, 9) {
        "gal"
    } else if base >= Exact::constant(946_352_946, 9) {
        "qt"
    } else {
        "fl oz"
    }
}

/// A share of a limit as whole per cent, for bars and summaries; never `100 %` unless it is met or passed.
pub fn about_share(observed: Exact, limit: Exact) -> Option<String> {
    if limit.is_zero() {
        return None;
    }
    let percent = observed
        .shown_over(limit)?
        .checked_mul(Decimal::ONE_HUNDRED)?;
    let whole = percent.round();
    if whole == Decimal::ONE_HUNDRED && observed != limit {
        let side = if observed < limit {
            "just under 100 %"
        } else {
            "just over 100 %"
        };
        return Some(side.to_string());
    }
    Some(format!("{whole} %"))
}

/// A value with the digits that a person needs: two decimals under ten, one under a hundred, and none from there on.
pub fn sensible(base: Exact, unit: &Unit) -> String {
    let number = quotient(base, unit);
    with(few_digits(number, 0), unit)
}

/// As [`sensible`], and never less than it is: how much has to be taken away.
pub fn sensible_up(base: Exact, unit: &Unit) -> String {
    let number = quotient(base, unit);
    with(rounded(number, 0, RoundingStrategy::AwayFromZero), unit)
}

/// As [`sensible`], and never more than it is: how much may still be added.
pub fn sensible_down(base: Exact, unit: &Unit) -> String {
    let number = quotient(base, unit);
    with(rounded(number, 0, RoundingStrategy::ToZero), unit)
}

/// An observed value and its limit for a sentence. More digits are shown until they no longer look alike, and a limit that
/// is short is shown exactly.
pub fn sensible_beside(observed: Exact, limit: Exact, unit: &Unit) -> (String, String) {
    let (seen, allowed) = (quotient(observed, unit), quotient(limit, unit));
    let short = fewest(allowed);
    for more in 0..20 {
        let shown_limit = if digits_in(short) <= 4 {
            short
        } else {
            significant(allowed, 3 + more)
        };
        let shown = few_digits(seen, more);
        if shown.cmp(&shown_limit) == observed.cmp(&limit) {
            return (with(shown, unit), with(shown_limit, unit));
        }
    }
    beside(observed, limit, unit)
}

/// The unit in which a shop reads a value: its own system of units, whatever the value was written in.
pub fn unit_of_shop(base: Exact, unit: &'static Unit, us: bool) -> &'static Unit {
    const US: [&str; 17] = [
        "gal", "qt", "pt", "fl oz", "cup", "tbsp", "tsp", "ft3", "in3", "lb", "oz", "ft", "in",
        "yd", "ft2", "cfm", "F",
    ];
    let dimension = unit.dimension;
    let is_us = US.contains(&unit.symbol) || unit.symbol == "cfm/ft2";
    if us == is_us {
        return unit;
    }
    let symbol = match dimension {
        Dimension::Volume => natural_unit(Amount::Volume(Volume::from_base(base)), us),
        Dimension::Mass => natural_unit(Amount::Mass(Mass::from_base(base)), us),
        Dimension::Length => pick(us, "ft", "m"),
        Dimension::Area => pick(us, "ft2", "m2"),
        Dimension::Airflow => pick(us, "cfm", "m3/h"),
        Dimension::AirPerArea => pick(us, "cfm/ft2", "m3/h/m2"),
        Dimension::Temperature => pick(us, "F", "C"),
        Dimension::AirChanges
        | Dimension::Density
        | Dimension::Share
        | Dimension::Period
        | Dimension::Pieces
        | Dimension::Ppm
        | Dimension::MassInAir
        | Dimension::Pressure
        | Dimension::MolarMass => unit.symbol,
    };
    unit::find(symbol).unwrap_or(unit)
}

fn pick(us: bool, american: &'static str, metric: &'static str) -> &'static str {
    if us { american } else { metric }
}

/// So many decimals as the size of a number calls for, and `more`.
fn few_digits(number: Decimal, more: u32) -> Decimal {
    rounded(number, more, RoundingStrategy::MidpointNearestEven)
}

fn rounded(number: Decimal, more: u32, strategy: RoundingStrategy) -> Decimal {
    let size = number.abs();
    if size < Decimal::new(1, 1) {
        let shown = number.round_sf_with_strategy(2 + more, strategy);
        return shown.unwrap_or(number).normalize();
    }
    let decimals = if size >= Decimal::ONE_HUNDRED {
        0
    } else if size >= Decimal::TEN {
        1
    } else {
        2
    };
    number
        .round_dp_with_strategy(decimals + more, strategy)
        .normalize()
}

/// A number with its unit; days are many or one.
fn with(number: Decimal, unit: &Unit) -> String {
    let shown = trim(number);
    let symbol = if unit.symbol == "day" && shown != "1" {
        "days"
    } else {
        unit.symbol
    };
    format!("{shown} {symbol}")
}

fn quotient(base: Exact, unit: &Unit) -> Decimal {
    let base = base.minus(unit.offset).unwrap_or(base);
    base.shown_over(unit.factor).unwrap_or_default()
}

/// All digits where that is at most twelve decimals, else twelve.
fn fewest(number: Decimal) -> Decimal {
    number.round_dp(MOST_DECIMALS).normalize()
}

fn significant(number: Decimal, figures: u32) -> Decimal {
    let exact = fewest(number);
    if digits_in(exact) <= figures {
        return exact;
    }
    number.round_sf(figures).unwrap_or(number).normalize()
}

fn digits_in(number: Decimal) -> u32 {
    u32::try_from(number.abs().mantissa().to_string().len()).unwrap_or(u32::MAX)
}

fn trim(number: Decimal) -> String {
    number.normalize().to_string()
}

#[cfg(test)]
#[path = "../../tests/units/amounts_shown.rs"]
mod tests;
