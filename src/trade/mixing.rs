//! Mixing shellac: flakes and alcohol for a cut, and letting a thick cut down.
//!
//! A cut counts pounds of flakes to a US gallon of the alcohol that is poured, not of what it comes to. Dissolved resin adds
//! volume: 0.1 gal a pound, a convention of the trade (see `quantity::resin`). Everything here is exact but the figures
//! into which a density enters: those are estimates, as the density is.

use crate::quantity::{
    Density, Exact, Measure, MeasureFault, NumberFault, RESIN_GALLONS_A_POUND, Ratio, TooFine, unit,
};

/// The thickest cut that is reckoned, in pounds: the last one listed in ASTM D360-89, Standard Specification for Shellac
/// Varnishes (secondary).
pub const THICKEST: Exact = Exact::constant(8, 0);
/// What is written down of a quotient: a femtolitre is finer than any measure.
const DECIMALS: u32 = 15;

/// A cut: more than nothing, and no thicker than [`THICKEST`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut(Exact);

/// Why a text is no cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CutFault {
    /// Nothing of flakes is alcohol, and less than nothing is nothing at all.
    NotPositive,
    /// Thicker than [`THICKEST`].
    TooThick,
    /// A unit other than the pound.
    Unit(&'static str),
    /// No number, or a wrong one.
    Number(MeasureFault),
}

impl Cut {
    /// So many pounds to the gallon.
    pub fn new(pounds: Exact) -> Result<Cut, CutFault> {
        if pounds <= Exact::ZERO {
            Err(CutFault::NotPositive)
        } else if pounds > THICKEST {
            Err(CutFault::TooThick)
        } else {
            Ok(Cut(pounds.slim()))
        }
    }

    /// Reads `2`, `1 1/2`, `0.5 lb`, `2-lb`, `2 lb cut`.
    pub fn read(text: &str) -> Result<Cut, CutFault> {
        let bare = text
            .trim()
            .trim_end_matches("cut")
            .trim_end_matches([' ', '-']);
        let measure = match Measure::parse(&bare.replace("-lb", " lb")) {
            Err(MeasureFault::UnitMissing) => Measure::parse(&format!("{bare} lb")),
            read => read,
        };
        match measure {
            Ok(measure) if measure.unit.symbol == "lb" => Cut::new(measure.written),
            Ok(measure) => Err(CutFault::Unit(measure.unit.symbol)),
            Err(MeasureFault::Number(NumberFault::Negative)) => Err(CutFault::NotPositive),
            Err(fault) => Err(CutFault::Number(fault)),
        }
    }

    /// Pounds to the gallon.
    pub fn pounds(self) -> Exact {
        self.0
    }

    /// As the trade writes it: `2 lb`, `1 1/2 lb`.
    pub fn words(self) -> String {
        const EIGHTHS: [(&str, &str); 7] = [
            ("125", "1/8"),
            ("25", "1/4"),
            ("375", "3/8"),
            ("5", "1/2"),
            ("625", "5/8"),
            ("75", "3/4"),
            ("875", "7/8"),
        ];
        let digits = self.0.digits();
        let fraction = digits.split_once('.').and_then(|(whole, behind)| {
            let (_, fraction) = EIGHTHS.iter().find(|(digits, _)| *digits == behind)?;
            Some(match whole {
                "0" => format!("{fraction} lb"),
                _ => format!("{whole} {fraction} lb"),
            })
        });
        fraction.unwrap_or_else(|| format!("{digits} lb"))
    }

    fn ratio(self) -> Ratio {
        Ratio::from_exact(self.0)
    }
}

/// Flakes and alcohol, and what they come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mixture {
    pub cut: Cut,
    /// Flakes, kg.
    pub flakes: Ratio,
    /// Alcohol, L.
    pub alcohol: Ratio,
    /// What they come to, L: the alcohol and the volume of the resin.
    pub made: Ratio,
}

/// A thick cut let down with alcohol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thinning {
    /// The cut it was.
    pub from: Cut,
    /// The cut it becomes.
    pub to: Cut,
    /// How much of the thick one, L.
    pub stock: Ratio,
    /// Alcohol to add, L.
    pub alcohol: Ratio,
    /// What they come to, L.
    pub made: Ratio,
    /// Parts of alcohol to one part of the thick cut.
    pub parts: Ratio,
    /// The same by the rule of thumb, which takes a gallon of a cut for a gallon of alcohol.
    pub thumb_parts: Ratio,
    /// The cut that the rule of thumb really comes to, in pounds; thinner than was wanted.
    pub thumb_cut: Ratio,
}

/// Why nothing is to be mixed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unmixable {
    /// Adding alcohol makes no cut thicker, nor leaves it as it is.
    NotThinner,
    /// More digits than there are.
    TooFine,
}

impl From<TooFine> for Unmixable {
    fn from(_: TooFine) -> Unmixable {
        Unmixable::TooFine
    }
}

fn factor(symbol: &str) -> Result<Ratio, TooFine> {
    unit::find(symbol)
        .map(|unit| Ratio::from_exact(unit.factor))
        .ok_or(TooFine)
}

/// Parts that one part of alcohol comes to: 1 + 0.1 c.
fn swells(cut: Cut) -> Result<Ratio, TooFine> {
    Ratio::from_exact(RESIN_GALLONS_A_POUND)
        .times(cut.ratio())?
        .plus(Ratio::ONE)
}

/// Flakes for so much alcohol, as the charts count: `alcohol` in litres.
pub fn with_alcohol(cut: Cut, alcohol: Ratio) -> Result<Mixture, TooFine> {
    let gallons = alcohol.by(factor("gal")?)?;
    Ok(Mixture {
        cut,
        flakes: gallons.times(cut.ratio())?.times(factor("lb")?)?,
        alcohol,
        made: alcohol.times(swells(cut)?)?,
    })
}

/// Flakes and alcohol that come to so much: `made` in litres.
pub fn to_make(cut: Cut, made: Ratio) -> Result<Mixture, TooFine> {
    with_alcohol(cut, made.by(swells(cut)?)?)
}

/// The flakes, kg, in so many litres of a cut.
pub fn resin_in(cut: Cut, litres: Ratio) -> Result<Ratio, TooFine> {
    to_make(cut, litres).map(|mixture| mixture.flakes)
}

/// Parts of alcohol to one part of `from`: (c/t − 1) / (1 + 0.1 c); by the rule of thumb c/t − 1.
fn parts(from: Cut, to: Cut) -> Result<(Ratio, Ratio), Unmixable> {
    if to >= from {
        return Err(Unmixable::NotThinner);
    }
    let thumb = from.ratio().by(to.ratio())?.minus(Ratio::ONE)?;
    Ok((thumb.by(swells(from)?)?, thumb))
}

/// So many litres of a thick cut let down.
pub fn thinned(from: Cut, to: Cut, stock: Ratio) -> Result<Thinning, Unmixable> {
    let (parts, thumb_parts) = parts(from, to)?;
    let alcohol = stock.times(parts)?;
    let really = thumb_parts.times(swells(from)?)?.plus(Ratio::ONE)?;
    Ok(Thinning {
        from,
        to,
        stock,
        alcohol,
        made: stock.plus(alcohol)?,
        parts,
        thumb_parts,
        thumb_cut: from.ratio().by(really)?,
    })
}

/// A thick cut and alcohol that come to so many litres.
pub fn thinned_to_make(from: Cut, to: Cut, made: Ratio) -> Result<Thinning, Unmixable> {
    let (parts, _) = parts(from, to)?;
    let stock = made.by(parts.plus(Ratio::ONE)?)?;
    thinned(from, to, stock)
}

/// The share of the volume that is resin, in per cent.
pub fn resin_by_volume(cut: Cut) -> Result<Ratio, TooFine> {
    let whole = swells(cut)?;
    let resin = whole.minus(Ratio::ONE)?;
    resin.by(whole)?.times(Ratio::whole(100))
}

/// Kilograms a litre of alcohol.
fn weight(alcohol: Density) -> Result<Ratio, TooFine> {
    Ratio::from_exact(alcohol.mass.base()).by(Ratio::from_exact(alcohol.volume.base()))
}

/// The share of the weight that is resin, in per cent.
///
/// Formula: w = c / (c + ρ), ρ in pounds a US gallon
/// Error:   that of the density of the alcohol; water in it makes it heavier, 190 proof by 3 %
pub fn resin_by_weight(cut: Cut, alcohol: Density) -> Result<Ratio, TooFine> {
    let litre = with_alcohol(cut, Ratio::ONE)?;
    let whole = litre.flakes.plus(weight(alcohol)?)?;
    litre.flakes.by(whole)?.times(Ratio::whole(100))
}

/// Grams of alcohol in a litre of the cut: all of it evaporates.
///
/// Formula: VOC = 1000 ρ / (1 + 0.1 c)
/// Error:   that of the density; water in the alcohol is no VOC, and is counted here
pub fn evaporates(cut: Cut, alcohol: Density) -> Result<Ratio, TooFine> {
    weight(alcohol)?.times(Ratio::whole(1000))?.by(swells(cut)?)
}

/// A quotient in house units as the decimals that a log can hold.
pub fn as_decimals(ratio: Ratio) -> Result<Exact, TooFine> {
    ratio.rounded(DECIMALS)
}

#[cfg(test)]
mod tests {
    use super::{Cut, CutFault, Unmixable, thinned};
    use crate::quantity::{Exact, Ratio};

    fn cut(text: &str) -> Cut {
        Cut::read(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
    }

    #[test]
    fn cuts_as_people_write_them() {
        for (text, words) in [
            ("2", "2 lb"),
            ("1 1/2", "1 1/2 lb"),
            ("1.5 lb", "1 1/2 lb"),
            ("0.5 lb cut", "1/2 lb"),
            ("2-lb", "2 lb"),
            ("2-lb cut", "2 lb"),
            ("3 pounds", "3 lb"),
            ("2.3", "2.3 lb"),
            ("8", "8 lb"),
        ] {
            assert_eq!(cut(text).words(), words, "{text}");
        }
    }

    #[test]
    fn what_is_no_cut() {
        assert_eq!(Cut::read("0"), Err(CutFault::NotPositive));
        assert_eq!(Cut::read("-2"), Err(CutFault::NotPositive));
        assert_eq!(Cut::read("-2 lb"), Err(CutFault::NotPositive));
        assert_eq!(Cut::read("8.1"), Err(CutFault::TooThick));
        assert_eq!(Cut::read("240 g"), Err(CutFault::Unit("g")));
        for text in ["", "thick", "1/3", "1,5"] {
            assert!(
                matches!(Cut::read(text), Err(CutFault::Number(_))),
                "{text}"
            );
        }
    }

    #[test]
    fn alcohol_thickens_nothing() {
        for to in ["2", "3"] {
            assert_eq!(
                thinned(cut("2"), cut(to), Ratio::ONE),
                Err(Unmixable::NotThinner)
            );
        }
        assert_eq!(Cut::new(Exact::ZERO), Err(CutFault::NotPositive));
    }
}
