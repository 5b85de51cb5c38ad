//! Vapour pressure of one substance: Antoine's equation, or two printed points.
//!
//! It must not know which substances there are; the coefficients come in from the data with their source.

use super::release::ZERO_CELSIUS;
use super::{finite, within};

/// Antoine's coefficients for log10 P = A − B / (T + C), in the units they were printed in, with the range they fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Antoine {
    pub a: f64,
    /// B.
    pub b: f64,
    /// C.
    pub c: f64,
    /// The lowest temperature fitted.
    pub coldest: f64,
    /// The highest temperature fitted.
    pub warmest: f64,
}

impl Antoine {
    /// The vapour pressure.
    ///
    /// Formula: log10 P = A − B / (T + C)
    /// Units:   T in the unit of C (kelvin for the library's coefficients), P in the unit of A (Pa there)
    /// Range:   `coldest` to `warmest`, at most 1e9; outside it, `None`
    /// Error:   1 to 2 % inside the fitted range
    /// Source:  Poling, Prausnitz and O'Connell, The Properties of Gases and Liquids (2001), through `chemicals` 1.5.2
    pub fn pressure(&self, t: f64) -> Option<f64> {
        let holds = within(&[(t, self.coldest..=self.warmest)]) && t + self.c > 0.0;
        let pressure = holds.then(|| 10.0_f64.powf(self.a - self.b / (t + self.c)))?;
        finite(pressure).filter(|p| *p <= 1.0e9)
    }

    /// The same fit with its range widened downwards, at most by 50 degrees: several solvents are fitted only from
    /// above room temperature. It adds up to 15 % to the error (n-butyl acetate at 20 °C), and the caller says so.
    pub fn reaching_colder(&self, by: f64) -> Option<Antoine> {
        within(&[(by, 0.0..=50.0)]).then_some(Antoine {
            coldest: self.coldest - by,
            ..*self
        })
    }
}

/// A vapour pressure between or near two printed ones.
///
/// Formula: ln p is a straight line in 1/T
/// Units:   two points (°C, kPa) and `celsius` in °C; p in kPa
/// Range:   points 1 to 100 °C apart, 1e-6 to 500 kPa, `celsius` at most 20 °C outside them; outside it, `None`
/// Error:   1 % between the points; 5 % at 20 °C outside
/// Source:  Clausius and Clapeyron with a constant heat of evaporation
pub fn between_points(colder: (f64, f64), warmer: (f64, f64), celsius: f64) -> Option<f64> {
    let holds = within(&[
        (colder.0, -100.0..=300.0),
        (warmer.0 - colder.0, 1.0..=100.0),
        (colder.1, 1.0e-6..=500.0),
        (warmer.1, 1.0e-6..=500.0),
        (celsius, colder.0 - 20.0..=warmer.0 + 20.0),
    ]);
    if !holds || warmer.1 <= colder.1 {
        return None;
    }
    let inverse = |t: f64| (t + ZERO_CELSIUS).recip();
    let along = (inverse(celsius) - inverse(colder.0)) / (inverse(warmer.0) - inverse(colder.0));
    finite((colder.1.ln() + along * (warmer.1.ln() - colder.1.ln())).exp())
}
