//! A number and its unit as one token: `12 fl oz`, `1 1/2 qt`, `55 F`.

use super::day::Period;
use super::kinds::{
    Airflow, Amount, Area, Density, Length, Mass, Share, ShareBasis, Temperature, Volume,
};
use super::not_a_number::NumberFault;
use super::number::Exact;
use super::spoken::in_digits;
use super::unit::{self, Dimension, Unit};

/// A quantity as written, with its value in the house unit beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measure {
    /// The number as it was written.
    pub written: Exact,
    /// The unit as it was written.
    pub unit: &'static Unit,
    /// The number in the house unit of its dimension.
    pub base: Exact,
}

/// Why a text is not a quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MeasureFault {
    UnitMissing,
    /// A unit that is not in the table.
    UnitUnknown(String),
    /// A unit of another dimension.
    UnitWrong(&'static Unit),
    /// The number itself is wrong.
    Number(NumberFault),
}

/// Absolute zero as °F below nothing, and a heat that no room or liquid of a shop has.
const COLDEST: Exact = Exact::constant(45_967, 2);
const HOTTEST: Exact = Exact::constant(2000, 0);

impl Measure {
    /// Reads a quantity of any dimension.
    pub fn parse(text: &str) -> Result<Measure, MeasureFault> {
        // Nearly always plain digits, a space and the unit.
        if let Some((written, rest)) = Exact::head(text)
            && let Some(symbol) = rest.strip_prefix(' ')
            && let Some(unit) = unit::find(symbol)
        {
            return Measure::converted(written, unit);
        }
        match in_digits(text) {
            Some(digits) => Measure::parse_digits(&digits),
            None => Measure::parse_digits(text.trim()),
        }
    }

    fn parse_digits(text: &str) -> Result<Measure, MeasureFault> {
        let (number, symbol) = split(text);
        if number.is_empty() {
            let fault = if symbol.is_empty() {
                NumberFault::Empty
            } else {
                NumberFault::NotANumber
            };
            return Err(MeasureFault::Number(fault));
        }
        let written = read_number(number).map_err(MeasureFault::Number)?;
        if symbol.is_empty() {
            return Err(MeasureFault::UnitMissing);
        }
        let unit =
            unit::find(symbol).ok_or_else(|| MeasureFault::UnitUnknown(symbol.to_string()))?;
        if written.is_negative()
            && !matches!(unit.dimension, Dimension::Temperature | Dimension::Length)
        {
            return Err(MeasureFault::Number(NumberFault::Negative));
        }
        Measure::converted(written, unit)
    }

    fn converted(written: Exact, unit: &'static Unit) -> Result<Measure, MeasureFault> {
        let base = written.times(unit.factor).and_then(|n| {
            if unit.offset.is_zero() {
                Ok(n)
            } else {
                n.plus(unit.offset)
            }
        });
        let base = base.map_err(|_| MeasureFault::Number(NumberFault::TooManyDigits))?;
        if unit.dimension == Dimension::Pieces && !base.is_whole() {
            return Err(MeasureFault::Number(NumberFault::NotWhole));
        }
        let most = if base.is_negative() { COLDEST } else { HOTTEST };
        if unit.dimension == Dimension::Temperature && base.size() > most {
            return Err(MeasureFault::Number(NumberFault::NoTemperature));
        }
        Ok(Measure {
            written,
            unit,
            base,
        })
    }

    /// Reads a quantity of one dimension.
    pub fn parse_as(text: &str, dimension: Dimension) -> Result<Measure, MeasureFault> {
        let measure = Measure::parse(text)?;
        if measure.unit.dimension == dimension {
            Ok(measure)
        } else {
            Err(MeasureFault::UnitWrong(measure.unit))
        }
    }

    /// As it was written, with one space: `12 fl oz`.
    pub fn text(&self) -> String {
        format!("{} {}", self.written.digits(), self.unit.symbol)
    }

    /// The house value as a volume; the caller has asked for that dimension.
    pub fn volume(&self) -> Volume {
        Volume::from_base(self.base)
    }
    /// As a length.
    pub fn length(&self) -> Length {
        Length::from_base(self.base)
    }
    /// As an area.
    pub fn area(&self) -> Area {
        Area::from_base(self.base)
    }
    /// As an airflow.
    pub fn airflow(&self) -> Airflow {
        Airflow::from_base(self.base)
    }
    /// As a temperature.
    pub fn temperature(&self) -> Temperature {
        Temperature::from_base(self.base)
    }

    /// As what is in a container, if it is a volume, a mass or pieces.
    pub fn amount(&self) -> Option<Amount> {
        match self.unit.dimension {
            Dimension::Volume => Some(Amount::Volume(Volume::from_base(self.base))),
            Dimension::Mass => Some(Amount::Mass(Mass::from_base(self.base))),
            Dimension::Pieces => Some(Amount::Pieces(self.base)),
            Dimension::Length
            | Dimension::Area
            | Dimension::Airflow
            | Dimension::AirChanges
            | Dimension::AirPerArea
            | Dimension::Temperature
            | Dimension::Density
            | Dimension::Share
            | Dimension::Period
            | Dimension::Ppm
            | Dimension::MassInAir
            | Dimension::Pressure
            | Dimension::MolarMass => None,
        }
    }

    /// As a density in kg/L.
    pub fn density(&self) -> Density {
        Density {
            mass: Mass::from_base(self.base),
            volume: Volume::from_base(Exact::ONE),
        }
    }

    /// As a share with its basis.
    pub fn share(&self) -> Share {
        let basis = match self.unit.symbol {
            "mass %" => ShareBasis::Mass,
            "vol %" => ShareBasis::Volume,
            _ => ShareBasis::NotSaid,
        };
        Share {
            percent: self.base,
            basis,
        }
    }

    /// As a span; `None` where it is not a whole number of its unit.
    pub fn period(&self) -> Option<Period> {
        let count: u32 = self.base.digits().parse().ok()?;
        Some(match self.unit.symbol {
            "min" => Period::Minutes(count),
            "h" => Period::Hours(count),
            "month" | "year" => Period::Months(count),
            _ => Period::Days(count),
        })
    }
}

/// Reads a density; `lb/gal` keeps its printed pair.
impl Density {
    /// Reads `0.79 kg/L` or `6.6 lb/gal`.
    pub fn parse(text: &str) -> Result<Density, MeasureFault> {
        let (number, symbol) = split(text.trim());
        if symbol.eq_ignore_ascii_case("lb/gal") {
            let pounds = read_number(number).map_err(MeasureFault::Number)?;
            if pounds.is_negative() {
                return Err(MeasureFault::Number(NumberFault::Negative));
            }
            let mass = pounds
                .times(Exact::constant(45_359_237, 8))
                .map_err(|_| MeasureFault::Number(NumberFault::TooManyDigits))?;
            return Ok(Density {
                mass: Mass::from_base(mass),
                volume: Volume::from_base(Exact::constant(3_785_411_784, 9)),
            });
        }
        Measure::parse_as(text, Dimension::Density).map(|m| m.density())
    }
}

/// Parts the number from the unit: the number ends where a letter, a degree sign or a per-cent sign begins.
fn split(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .find(|(_, c)| {
            !(c.is_ascii_digit()
                || matches!(c, '.' | ',' | '/' | '-' | '+' | '_')
                || c.is_whitespace())
        })
        .map_or(text.len(), |(at, _)| at);
    let (mut number, mut symbol) = (text[..end].trim_end(), &text[end..]);
    if let Some(before) = number.strip_suffix('/')
        && !symbol.is_empty()
    {
        symbol = &text[before.len()..];
        number = before.trim_end();
    }
    (number, symbol.trim())
}

fn read_number(text: &str) -> Result<Exact, NumberFault> {
    if !text.contains('/') {
        return Exact::parse_signed(text);
    }
    // `1 / 2` is the fraction, and `1 1 / 2` a whole and the fraction.
    let (over, under) = text.split_once('/').ok_or(NumberFault::NotANumber)?;
    let (over, under) = (over.trim_end(), under.trim_start());
    let (whole, over) = match over.split_once(char::is_whitespace) {
        Some((whole, over)) => (Exact::parse(whole)?, over.trim_start()),
        None => (Exact::ZERO, over),
    };
    if !whole.is_whole() {
        return Err(NumberFault::NotANumber);
    }
    let part = read_fraction(over, under)?;
    whole.plus(part).map_err(|_| NumberFault::TooManyDigits)
}

/// `3/8` as 0.375; a fraction whose decimals never end is refused rather than rounded.
fn read_fraction(over: &str, under: &str) -> Result<Exact, NumberFault> {
    let read = |text: &str| text.parse::<u32>().map_err(|_| NumberFault::NotANumber);
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(over) || !digits(under) {
        return Err(NumberFault::NotANumber);
    }
    let (over, under) = (read(over)?, read(under)?);
    if under == 0 || under > 1024 {
        return Err(NumberFault::NotANumber);
    }
    if over >= under {
        return Err(NumberFault::Improper);
    }
    let over = Exact::whole(i64::from(over));
    let (mut rest, mut factor) = (under, Exact::ONE);
    for (prime, inverse) in [(2, Exact::constant(5, 1)), (5, Exact::constant(2, 1))] {
        while rest % prime == 0 {
            rest /= prime;
            factor = factor
                .times(inverse)
                .map_err(|_| NumberFault::TooManyDigits)?;
        }
    }
    if rest != 1 {
        return Err(NumberFault::Endless);
    }
    over.times(factor).map_err(|_| NumberFault::TooManyDigits)
}

#[cfg(test)]
mod tests {
    use super::{Measure, MeasureFault, NumberFault};
    use crate::quantity::{Dimension, Period};

    fn base(text: &str) -> String {
        Measure::parse(text)
            .map(|m| m.base.digits())
            .unwrap_or_else(|f| format!("{f:?}"))
    }

    #[test]
    fn reads_numbers_and_units_as_one() {
        assert_eq!(base("1 qt"), "0.946352946");
        assert_eq!(base("1 1/2 pt"), "0.7097647095");
        assert_eq!(base("3/8 gal"), "1.419529419");
        assert_eq!(base("250mL"), "0.25");
        assert_eq!(base("-20 C"), "-4");
        assert_eq!(base("12.8 °C"), "55.04");
        assert_eq!(base("6 /h"), "6");
        assert_eq!(base("1 cfm/ft2"), "18.288");
        assert_eq!(base("12\u{a0}fl oz"), "0.35488235475");
        assert_eq!(base("5 mass %"), "5");
        assert_eq!(base("1-1/2 qt"), base("1 1/2 qt"));
        assert_eq!(base("½ pt"), base("1/2 pt"));
        assert_eq!(base("a dozen rags"), "12");
        assert_eq!(base("40 cc"), "0.04");
        assert_eq!(base("2 ltr"), "2");
        assert_eq!(base("1 / 2 L"), "0.5");
        assert_eq!(base("1 1 / 2 L"), "1.5");
        assert_eq!(base("1  1/2L"), "1.5");
        assert_eq!(base("-459.67 F"), "-459.67");
    }

    #[test]
    fn says_what_is_wrong() {
        let fault = |text: &str| Measure::parse(text).unwrap_err();
        assert_eq!(fault("2"), MeasureFault::UnitMissing);
        assert_eq!(fault("1½"), MeasureFault::UnitMissing);
        assert_eq!(fault("⅓ pt"), MeasureFault::Number(NumberFault::Endless));
        assert_eq!(fault("2 jars"), MeasureFault::UnitUnknown("jars".into()));
        assert_eq!(fault("1/3 pt"), MeasureFault::Number(NumberFault::Endless));
        assert_eq!(
            fault("1,5 L"),
            MeasureFault::Number(NumberFault::DecimalComma)
        );
        assert_eq!(fault("-1 qt"), MeasureFault::Number(NumberFault::Negative));
        assert_eq!(fault("qt"), MeasureFault::Number(NumberFault::NotANumber));
        assert_eq!(
            fault("1/0 qt"),
            MeasureFault::Number(NumberFault::NotANumber)
        );
        for (text, number) in [
            ("11/2 fl oz", NumberFault::Improper),
            ("1 3/2 pt", NumberFault::Improper),
            ("2/2 pt", NumberFault::Improper),
            ("1.5 1/2 pt", NumberFault::NotANumber),
            ("1/2/3 pt", NumberFault::NotANumber),
            ("1/+2 pt", NumberFault::NotANumber),
            ("0.5 pcs", NumberFault::NotWhole),
            ("1/2 pcs", NumberFault::NotWhole),
            ("99999 F", NumberFault::NoTemperature),
            ("-460 F", NumberFault::NoTemperature),
        ] {
            assert_eq!(fault(text), MeasureFault::Number(number), "{text}");
        }
        assert!(matches!(
            Measure::parse_as("1 qt", Dimension::Mass),
            Err(MeasureFault::UnitWrong(_))
        ));
    }

    #[test]
    fn spans_keep_their_calendar() {
        let span = |text: &str| Measure::parse(text).unwrap().period();
        assert_eq!(span("1 year"), Some(Period::Months(12)));
        assert_eq!(span("2 weeks"), Some(Period::Days(14)));
        assert_eq!(span("24 h"), Some(Period::Hours(24)));
        assert_eq!(span("1.5 days"), None);
    }
}
