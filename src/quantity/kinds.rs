//! The kinds of quantity, and the only products between them that make sense.

use super::number::{Exact, TooFine};

/// Litres in a cubic metre.
const LITRES_PER_CUBIC_METRE: Exact = Exact::constant(1000, 0);

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Exact);

        impl $name {
            /// Takes a number of house units.
            pub const fn from_base(base: Exact) -> Self {
                Self(base)
            }
            /// The number of house units.
            pub const fn base(self) -> Exact {
                self.0
            }
        }
    };
}

macro_rules! sum {
    ($($name:ident),*) => {$(
        impl $name {
            /// None of it.
            pub const ZERO: $name = $name(Exact::ZERO);
            pub fn plus(self, other: Self) -> Result<Self, TooFine> {
                self.0.plus(other.0).map(Self)
            }
            /// The difference; it may be negative, and the caller says what that means.
            pub fn minus(self, other: Self) -> Result<Self, TooFine> {
                self.0.minus(other.0).map(Self)
            }
            /// So many times as much.
            pub fn times(self, number: Exact) -> Result<Self, TooFine> {
                self.0.times(number).map(Self)
            }
        }
    )*};
}

quantity!(
    /// A volume, held in litres. Volume plus mass, or volume times volume, cannot be written at all.
    Volume
);
quantity!(
    /// A mass, held in kilograms.
    Mass
);
quantity!(
    /// A length, held in metres.
    Length
);
quantity!(
    /// An area, held in square metres.
    Area
);
quantity!(
    /// Moving air, held in cubic metres an hour.
    Airflow
);
quantity!(
    /// A temperature, held in °F, into which °C converts exactly.
    Temperature
);
sum!(Volume, Mass, Length, Area, Airflow);

impl Length {
    /// Length by width.
    pub fn by(self, width: Length) -> Result<Area, TooFine> {
        self.0.times(width.0).map(Area)
    }
}

impl Area {
    /// Square metres by metres of height, at 1000 litres to the cubic metre.
    pub fn times_height(self, height: Length) -> Result<Volume, TooFine> {
        self.0
            .times(height.0)?
            .times(LITRES_PER_CUBIC_METRE)
            .map(Volume)
    }
}

impl Volume {
    /// The airflow that changes this volume so many times an hour.
    pub fn changed(self, times_an_hour: Exact) -> Result<Airflow, TooFine> {
        let cubic_metres = self.0.times(Exact::constant(1, 3))?;
        cubic_metres.times(times_an_hour).map(Airflow)
    }
}

/// How a share is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ShareBasis {
    /// By mass.
    Mass,
    /// By volume.
    Volume,
    /// The file says only `%`.
    NotSaid,
}

/// A share, in per cent, and what it is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Share {
    /// Per cent.
    pub percent: Exact,
    /// By mass, by volume, or not said.
    pub basis: ShareBasis,
}

/// A density as a mass over a volume: the printed pair is kept, since a pound a gallon has no ending decimal in kg/L.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Density {
    /// So much mass …
    pub mass: Mass,
    /// … in so much volume.
    pub volume: Volume,
}

impl Density {
    /// Kilograms a litre as an estimate.
    #[allow(
        clippy::float_arithmetic,
        reason = "an estimate for the physics, never a verdict"
    )]
    pub fn estimate(self) -> f64 {
        self.mass.base().estimate() / self.volume.base().estimate()
    }
}

/// What is in a container: a liquid by volume, a solid by mass, rags by the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Amount {
    Volume(Volume),
    /// A solid, or a liquid by weight.
    Mass(Mass),
    /// Pieces.
    Pieces(Exact),
}

impl Amount {
    /// The bare number of house units.
    pub fn base(self) -> Exact {
        match self {
            Amount::Volume(v) => v.base(),
            Amount::Mass(m) => m.base(),
            Amount::Pieces(n) => n,
        }
    }

    /// The same kind of amount with another number.
    pub fn with(self, base: Exact) -> Amount {
        match self {
            Amount::Volume(_) => Amount::Volume(Volume::from_base(base)),
            Amount::Mass(_) => Amount::Mass(Mass::from_base(base)),
            Amount::Pieces(_) => Amount::Pieces(base),
        }
    }

    /// Are both volumes, both masses or both pieces?
    pub fn same_kind(self, other: Amount) -> bool {
        matches!(
            (self, other),
            (Amount::Volume(_), Amount::Volume(_))
                | (Amount::Mass(_), Amount::Mass(_))
                | (Amount::Pieces(_), Amount::Pieces(_))
        )
    }

    pub fn dimension(self) -> super::Dimension {
        match self {
            Amount::Volume(_) => super::Dimension::Volume,
            Amount::Mass(_) => super::Dimension::Mass,
            Amount::Pieces(_) => super::Dimension::Pieces,
        }
    }
}

/// The sum of numbers of pieces. Each of them is whole and was written with at most eight digits, so that no sum of a log can
/// need more than the 28 digits there are, and nothing is ever left out.
pub fn pieces_together(pieces: impl IntoIterator<Item = Exact>) -> Exact {
    let sum = pieces.into_iter();
    sum.fold(Exact::ZERO, |sum, more| sum.plus(more).unwrap_or(sum))
}
