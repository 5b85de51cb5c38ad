//! The unit table: every symbol a file may use, its dimension and its exact factor to the house unit.
//!
//! House units: litre, kilogram, metre, square metre, cubic metre an hour, °F, day, piece.
//! Sources: the inch is 0.0254 m and the pound 0.45359237 kg (international yard and pound, 1959); the US gallon is
//! 231 cubic inches (NIST Handbook 44, appendix C); the imperial gallon is 4.54609 L (UK units regulations).

use super::number::Exact;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// Litres.
    Volume,
    /// Kilograms.
    Mass,
    /// Metres.
    Length,
    /// Square metres.
    Area,
    /// Cubic metres an hour.
    Airflow,
    /// Air changes an hour.
    AirChanges,
    /// Metres an hour: airflow for each area of floor.
    AirPerArea,
    /// Degrees Fahrenheit.
    Temperature,
    /// Kilograms a litre.
    Density,
    /// Per cent.
    Share,
    /// Hours, days or months.
    Period,
    /// Pieces.
    Pieces,
    /// Parts of vapour in a million of air.
    Ppm,
    /// Milligrams in a cubic metre of air.
    MassInAir,
    /// Kilopascals.
    Pressure,
    /// Grams a mole.
    MolarMass,
}

impl Dimension {
    /// The word a message uses.
    pub fn word(self) -> &'static str {
        match self {
            Dimension::Volume => "a volume",
            Dimension::Mass => "a mass",
            Dimension::Length => "a length",
            Dimension::Area => "an area",
            Dimension::Airflow => "an airflow",
            Dimension::AirChanges => "air changes an hour",
            Dimension::AirPerArea => "an airflow for an area",
            Dimension::Temperature => "a temperature",
            Dimension::Density => "a density",
            Dimension::Share => "a share",
            Dimension::Period => "a span of time",
            Dimension::Pieces => "a number of pieces",
            Dimension::Ppm => "a concentration in ppm",
            Dimension::MassInAir => "a concentration in mg/m3",
            Dimension::Pressure => "a pressure",
            Dimension::MolarMass => "a molar mass",
        }
    }

    /// An example a message can offer.
    pub fn example(self) -> &'static str {
        match self {
            Dimension::Volume => "1 qt",
            Dimension::Mass => "0.5 lb",
            Dimension::Length => "12 ft",
            Dimension::Area => "240 ft2",
            Dimension::Airflow => "400 cfm",
            Dimension::AirChanges => "6 /h",
            Dimension::AirPerArea => "1 cfm/ft2",
            Dimension::Temperature => "55 F",
            Dimension::Density => "0.79 kg/L",
            Dimension::Share => "5 mass %",
            Dimension::Period => "30 days",
            Dimension::Pieces => "6 pcs",
            Dimension::Ppm => "200 ppm",
            Dimension::MassInAir => "5 mg/m3",
            Dimension::Pressure => "5.9 kPa",
            Dimension::MolarMass => "46.07 g/mol",
        }
    }
}

/// One unit: a symbol, what it measures, its factor to the house unit.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// As it is shown.
    pub symbol: &'static str,
    /// Other ways people write it.
    pub also: &'static [&'static str],
    pub dimension: Dimension,
    /// House units in one of it.
    pub factor: Exact,
    /// Added after the factor: only for °C.
    pub offset: Exact,
}

const fn unit(
    symbol: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    digits: u64,
    behind: u32,
) -> Unit {
    Unit {
        symbol,
        also,
        dimension,
        factor: Exact::constant(digits, behind),
        offset: Exact::ZERO,
    }
}

use Dimension::{
    AirChanges, AirPerArea, Airflow, Area, Density, Length, Mass, MassInAir, MolarMass, Period,
    Pieces, Ppm, Pressure, Share, Temperature, Volume,
};

/// Every unit there is. Factors are exact; a unit whose factor does not end in decimals is not in the table.
pub static UNITS: &[Unit] = &[
    unit(
        "gal",
        &["gallon", "gallons", "US gal", "gals"],
        Volume,
        3_785_411_784,
        9,
    ),
    unit("qt", &["quart", "quarts", "qts"], Volume, 946_352_946, 9),
    unit("pt", &["pint", "pints", "pts"], Volume, 473_176_473, 9),
    unit(
        "fl oz",
        &["floz", "fl. oz", "fl.oz", "fl. oz.", "fluid ounces"],
        Volume,
        295_735_295_625,
        13,
    ),
    unit(
        "mL",
        &["millilitre", "millilitres", "milliliters", "cc"],
        Volume,
        1,
        3,
    ),
    unit(
        "L",
        &["litre", "litres", "liter", "liters", "ltr", "ltrs"],
        Volume,
        1,
        0,
    ),
    unit("cup", &["cups"], Volume, 2_365_882_365, 10),
    unit(
        "tbsp",
        &["tablespoon", "tablespoons"],
        Volume,
        1_478_676_478_125,
        14,
    ),
    unit(
        "tsp",
        &["teaspoon", "teaspoons"],
        Volume,
        492_892_159_375,
        14,
    ),
    unit("cL", &[], Volume, 1, 2),
    unit("ft3", &["cu ft", "ft³"], Volume, 28_316_846_592, 9),
    unit("m3", &["m³", "cu m"], Volume, 1000, 0),
    unit("in3", &["cu in", "in³"], Volume, 16_387_064, 9),
    unit("imp gal", &[], Volume, 454_609, 5),
    unit("imp pt", &[], Volume, 56_826_125, 8),
    unit("imp fl oz", &[], Volume, 284_130_625, 10),
    unit("lb", &["lbs", "pound", "pounds"], Mass, 45_359_237, 8),
    unit("oz", &["ounce", "ounces"], Mass, 28_349_523_125, 12),
    unit("g", &["gram", "grams"], Mass, 1, 3),
    unit("kg", &["kilogram", "kilograms"], Mass, 1, 0),
    unit("mg", &[], Mass, 1, 6),
    unit("ft", &["foot", "feet"], Length, 3048, 4),
    unit("in", &["inch", "inches"], Length, 254, 4),
    unit("yd", &["yard", "yards"], Length, 9144, 4),
    unit("m", &["metre", "metres", "meter", "meters"], Length, 1, 0),
    unit("cm", &[], Length, 1, 2),
    unit("mm", &[], Length, 1, 3),
    unit("ft2", &["sq ft", "ft²"], Area, 9_290_304, 8),
    unit("m2", &["m²", "sq m"], Area, 1, 0),
    unit("cfm", &["ft3/min"], Airflow, 169_901_079_552, 11),
    unit("m3/h", &["m³/h"], Airflow, 1, 0),
    unit("m3/min", &["m³/min"], Airflow, 60, 0),
    unit("L/s", &[], Airflow, 36, 1),
    unit(
        "/h",
        &["ach", "air changes/h", "per hour"],
        AirChanges,
        1,
        0,
    ),
    unit("cfm/ft2", &["cfm/ft²"], AirPerArea, 18_288, 3),
    unit("m3/h/m2", &[], AirPerArea, 1, 0),
    unit("F", &["°F", "deg F"], Temperature, 1, 0),
    Unit {
        symbol: "C",
        also: &["°C", "deg C"],
        dimension: Temperature,
        factor: Exact::constant(18, 1),
        offset: Exact::constant(32, 0),
    },
    unit("kg/L", &["g/mL", "g/cm3"], Density, 1, 0),
    unit("g/L", &["kg/m3"], Density, 1, 3),
    unit("%", &["percent", "per cent"], Share, 1, 0),
    unit(
        "mass %",
        &["wt %", "% by mass", "% by weight", "mass%", "wt%"],
        Share,
        1,
        0,
    ),
    unit("vol %", &["% by volume", "vol%", "% vol"], Share, 1, 0),
    unit("h", &["hour", "hours"], Period, 1, 0),
    unit("min", &["minute", "minutes"], Period, 1, 0),
    unit("day", &["days", "d"], Period, 1, 0),
    unit("week", &["weeks"], Period, 7, 0),
    unit("month", &["months"], Period, 1, 0),
    unit("year", &["years"], Period, 12, 0),
    unit(
        "pcs",
        &["pc", "piece", "pieces", "sheets", "rags", "pads"],
        Pieces,
        1,
        0,
    ),
    unit("ppm", &[], Ppm, 1, 0),
    unit("mg/m3", &["mg/m³"], MassInAir, 1, 0),
    unit("kPa", &[], Pressure, 1, 0),
    unit("Pa", &[], Pressure, 1, 3),
    unit("g/mol", &[], MolarMass, 1, 0),
];

/// Finds a unit by what was written; letter case does not matter, since no two units differ only in it.
pub fn find(written: &str) -> Option<&'static Unit> {
    UNITS
        .iter()
        .find(|u| u.symbol == written)
        .or_else(|| {
            UNITS
                .iter()
                .find(|u| u.symbol.eq_ignore_ascii_case(written))
        })
        .or_else(|| {
            UNITS.iter().find(|u| {
                u.also
                    .iter()
                    .any(|other| other.eq_ignore_ascii_case(written))
            })
        })
}

/// The unit in which a shop measures what a rule states in this one: a metric shop has no foot rule.
pub fn for_shop(unit: &'static Unit, us: bool) -> &'static Unit {
    let metric = match unit.symbol {
        "ft" | "in" | "yd" => "m",
        "gal" | "qt" | "pt" | "fl oz" => "L",
        "lb" | "oz" => "kg",
        "cfm" => "m3/h",
        "ft2" => "m2",
        other => other,
    };
    if us {
        unit
    } else {
        find(metric).unwrap_or(unit)
    }
}

/// The symbols of one dimension, for messages: "gal, qt, pt, …".
pub fn symbols(dimension: Dimension) -> String {
    let names: Vec<&str> = UNITS
        .iter()
        .filter(|u| u.dimension == dimension)
        .map(|u| u.symbol)
        .collect();
    names.join(", ")
}

#[cfg(test)]
mod tests {
    use super::{UNITS, find};
    use std::collections::BTreeSet;

    #[test]
    fn no_two_units_share_a_name_even_without_case() {
        let mut seen = BTreeSet::new();
        for unit in UNITS {
            for name in std::iter::once(&unit.symbol).chain(unit.also) {
                assert!(
                    seen.insert(name.to_ascii_lowercase()),
                    "{name} stands twice"
                );
            }
        }
    }

    #[test]
    fn case_does_not_matter() {
        assert_eq!(find("QT").map(|u| u.symbol), Some("qt"));
        assert_eq!(find("ml").map(|u| u.symbol), Some("mL"));
        assert_eq!(find("Fl Oz").map(|u| u.symbol), Some("fl oz"));
        assert_eq!(find("stone"), None);
    }
}
