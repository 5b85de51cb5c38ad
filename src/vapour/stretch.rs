//! One stretch of time in which nothing starts or stops: level, area under it, and where it turns, in closed form.
//!
//! The state is the level in the air and what each film still holds; a stretch is linear in it, so the difference of
//! two stretches is a stretch too, which is how the worst window is found. It must not know rooms or releases.

use super::decay;

/// Wet films that dry at one rate, per m³ of the room.
#[derive(Clone, Copy, Debug)]
pub struct Film {
    /// First-order rate of drying, 1/min; more than 0.
    pub rate: f64,
    /// What the films hold at the beginning, mg per m³ of room.
    pub held: f64,
    /// What is put on them, mg per m³ of room and minute.
    pub fed: f64,
}

/// A stretch: c' = straight + Σ k f − n c, f' = fed − k f.
#[derive(Clone, Copy, Debug)]
pub struct Stretch<'a> {
    /// Air changes that count, 1/min.
    pub changes: f64,
    /// The level at the beginning, mg/m³.
    pub level: f64,
    /// What goes straight into the air, mg/m³ and minute.
    pub straight: f64,
    /// The films, one for each rate of drying.
    pub films: &'a [Film],
}

impl Stretch<'_> {
    /// The level after t minutes.
    pub fn level_at(&self, t: f64) -> f64 {
        self.after(t).0
    }

    /// The area under the level from 0 to t, mg/m³ × min.
    pub fn area_to(&self, t: f64) -> f64 {
        self.after(t).1
    }

    /// The level after t minutes, and the area under it until then.
    pub fn after(&self, t: f64) -> (f64, f64) {
        if t == 0.0 {
            return (self.level, 0.0);
        }
        let air = decay::Decay::new(self.changes, t);
        let mut level = self.level * air.left + self.straight * air.settled;
        let mut area = self.level * air.settled + self.straight * air.sum;
        for film in self.films {
            if film.held != 0.0 || film.fed != 0.0 {
                let (once, twice, thrice) = air.handed_on_sums(film.rate);
                level += film.rate * (film.held * once + film.fed * twice);
                area += film.rate * (film.held * twice + film.fed * thrice);
            }
        }
        (level, area)
    }

    /// More than the level can have gained at any moment up to t.
    pub fn most_gained(&self, t: f64) -> f64 {
        let films = self
            .films
            .iter()
            .map(|film| film.held * (film.rate * t).min(1.0) + film.fed * t);
        self.straight * t + films.sum::<f64>()
    }

    /// As much of a length as still shows: past it every decay is down to e^(−500), and signs drown in zero.
    fn shown(&self, length: f64) -> f64 {
        let rates = self
            .films
            .iter()
            .map(|film| film.rate)
            .chain([self.changes]);
        length.min(
            500.0
                / rates
                    .filter(|rate| *rate > 0.0)
                    .fold(f64::INFINITY, f64::min),
        )
    }

    /// How fast the level rises at the beginning.
    fn first_slope(&self) -> f64 {
        let given: f64 = self.films.iter().map(|film| film.rate * film.held).sum();
        self.straight + given - self.changes * self.level
    }

    /// How fast the level rises after t minutes.
    fn slope_at(&self, t: f64) -> f64 {
        let films: f64 = self
            .films
            .iter()
            .map(|film| bend(film) * decay::handed_on(self.changes, film.rate, t))
            .sum();
        self.first_slope() * (-self.changes * t).exp() + films
    }

    /// The moments inside (0, length) at which the level stops rising or falling, in order.
    pub fn turns(&self, length: f64) -> Vec<f64> {
        match self.films {
            [] => Vec::new(),
            [film] => self
                .turn_of_one(film)
                .filter(|t| *t > 0.0 && *t < length)
                .into_iter()
                .collect(),
            films => {
                let end = self.shown(if length.is_finite() {
                    length
                } else {
                    self.end_of_rise()
                });
                let terms: Vec<(f64, f64)> =
                    films.iter().map(|film| (bend(film), film.rate)).collect();
                zeros_between(&zeros_of_sum(&terms, end), end, |t| self.slope_at(t))
            }
        }
    }

    /// With one film the slope has at most one zero: t = −ln(1 − qδ)/δ, q = −slope/bend, δ = k − n.
    fn turn_of_one(&self, film: &Film) -> Option<f64> {
        let (slope, bend, apart) = (self.first_slope(), bend(film), film.rate - self.changes);
        let q = -slope / bend;
        if !(q > 0.0 && q.is_finite()) {
            return None;
        }
        let x = q * apart;
        let t = if x.abs() < 1.0e-300 {
            q
        } else if x.abs() < 0.5 {
            -(-x).ln_1p() / apart
        } else {
            // 1 − qδ written so that it does not cancel when there is next to no air
            let held = self.changes * (film.rate * film.held + apart * self.level);
            -((film.rate * film.fed + self.straight * apart - held) / bend).ln() / apart
        };
        t.is_finite().then_some(t)
    }

    /// With nothing put on any more, a moment by which the level is falling for good.
    fn end_of_rise(&self) -> f64 {
        let mut end = 1.0;
        for _ in 0..60 {
            if self.slope_at(end) < 0.0 {
                break;
            }
            end *= 2.0;
        }
        end
    }

    /// The moments inside (0, length) at which the level crosses `target`, in order.
    pub fn crossings(&self, target: f64, length: f64) -> Vec<f64> {
        let end = self.shown(length);
        zeros_between(&self.turns(end), end, |t| self.level_at(t) - target)
    }
}

/// How the slope is bent by a film: k (fed − k held).
fn bend(film: &Film) -> f64 {
    film.rate * (film.fed - film.rate * film.held)
}

/// Zeros in (0, end) of Σ a e^(−rt), rates all different. Divided by its slowest decay and differentiated the sum has
/// a term less, and between the zeros of that it only rises or only falls.
fn zeros_of_sum(terms: &[(f64, f64)], end: f64) -> Vec<f64> {
    let terms: Vec<(f64, f64)> = terms.iter().copied().filter(|(a, _)| *a != 0.0).collect();
    if terms.len() < 2 {
        return Vec::new();
    }
    let slowest = terms.iter().map(|(_, r)| *r).fold(f64::INFINITY, f64::min);
    let fewer: Vec<(f64, f64)> = terms
        .iter()
        .filter(|(_, r)| *r > slowest)
        .map(|(a, r)| (-a * (r - slowest), *r))
        .collect();
    let value = |t: f64| {
        terms
            .iter()
            .map(|(a, r)| a * (-(r - slowest) * t).exp())
            .sum::<f64>()
    };
    zeros_between(&zeros_of_sum(&fewer, end), end, value)
}

/// Where a function passes between "above zero" and "not above", if it only rises or only falls between the given
/// moments, 0 and the end.
fn zeros_between(turns: &[f64], end: f64, value: impl Fn(f64) -> f64) -> Vec<f64> {
    let above = |t: f64| value(t) > 0.0;
    let mut found = Vec::new();
    let (mut from, mut was) = (0.0, above(0.0));
    for to in turns.iter().copied().chain([end]) {
        let is = above(to);
        if is != was {
            found.push(halved(from, to, was, above));
        }
        (from, was) = (to, is);
    }
    found
}

/// Halves the stretch until its two ends are neighbours, and gives the later one.
fn halved(mut low: f64, mut high: f64, at_low: bool, above: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if above(middle) == at_low {
            low = middle
        } else {
            high = middle
        }
    }
    high
}
