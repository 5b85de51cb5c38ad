//! The few functions of time that a room with drying films is made of, each without loss of digits.
//!
//! They are the repeated running sums of two decays, e^(−at) and e^(−bt): positive, symmetric in a and b, and smooth
//! where a = b or a = 0, where the textbook forms divide zero by zero. Rates in 1/min, 0 or more; time in minutes.

/// (1 − e^(−x))/x, and 1 at 0.
fn share_left(x: f64) -> f64 {
    if x == 0.0 { 1.0 } else { -(-x).exp_m1() / x }
}

/// ∫ e^(−as) ds from 0 to t.
pub fn settling(a: f64, t: f64) -> f64 {
    t * share_left(a * t)
}

/// ∫ e^(−a(t−s)) e^(−bs) ds: what one decay hands to another; t e^(−at) at a = b.
pub fn handed_on(a: f64, b: f64, t: f64) -> f64 {
    let (slow, fast) = (a.min(b), a.max(b));
    t * (-slow * t).exp() * share_left((fast - slow) * t)
}

/// One decay over one time: what is left of it, and its running sums, worked out once for all films.
#[derive(Clone, Copy, Debug)]
pub struct Decay {
    rate: f64,
    time: f64,
    /// e^(−at).
    pub left: f64,
    /// ∫ e^(−as) ds: `settling`.
    pub settled: f64,
    /// The running sum of that; t²/2 at a = 0.
    pub sum: f64,
}

impl Decay {
    /// A decay at so much a minute, for so many minutes.
    pub fn new(rate: f64, time: f64) -> Decay {
        let x = rate * time;
        let gone = -(-x).exp_m1();
        let left = if x < 0.5 { 1.0 - gone } else { (-x).exp() };
        let share = if x == 0.0 { 1.0 } else { gone / x };
        let sum = if x < SMALL {
            series(0.0, x).0
        } else {
            (1.0 - share) / x
        };
        Decay {
            rate,
            time,
            left,
            settled: time * share,
            sum: time * time * sum,
        }
    }

    /// The running sums of `handed_on` with another rate: itself, summed once, summed twice.
    pub fn handed_on_sums(&self, other: f64) -> (f64, f64, f64) {
        if other < self.rate {
            return Decay::new(other, self.time).handed_on_sums(self.rate);
        }
        let t = self.time;
        let once = t * self.left * share_left((other - self.rate) * t);
        if other * t < SMALL {
            let (second, third) = series(self.rate * t, other * t);
            return (once, t * t * second, t * t * t * third);
        }
        let twice = (self.settled - once) / other;
        (once, twice, (self.sum - twice) / other)
    }
}

/// Under this the series is used, above it the closed form, which loses at most three digits there.
const SMALL: f64 = 0.1;

/// 1/(j + 2)! for j from 0.
const INVERSE: [f64; 12] = [
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5_040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
    1.0 / 479_001_600.0,
    1.0 / 6_227_020_800.0,
];

/// Σ (−1)^j h_j(x, y)/(j + 2)! and the same over (j + 3)!, h_j the sum of all products of j factors from x and y.
fn series(x: f64, y: f64) -> (f64, f64) {
    let (mut products, mut power) = (1.0, 1.0);
    let (mut second, mut third) = (0.0, 0.0);
    for pair in INVERSE.windows(2) {
        let [this, next] = pair else { break };
        let term: f64 = products * this;
        second += term;
        third += products * next;
        if term.abs() < 1.0e-18 {
            break;
        }
        power *= -y;
        products = power - products * x;
    }
    (second, third)
}

#[cfg(test)]
mod tests {
    use super::{Decay, handed_on, settling};
    use proptest::prelude::{prop_assert, proptest};

    /// Simpson's rule on 2000 steps.
    fn summed(f: impl Fn(f64) -> f64, t: f64) -> f64 {
        let step = t / 2000.0;
        let inner: f64 = (1..2000_u32)
            .map(|i| f(f64::from(i) * step) * if i % 2 == 1 { 4.0 } else { 2.0 })
            .sum();
        (f(0.0) + inner + f(t)) * step / 3.0
    }

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1.0e-9 * a.abs().max(b.abs()).max(1.0e-300)
    }

    proptest! {
        #[test]
        fn each_is_the_running_sum_of_the_one_before(
            a in 0.0..3.0_f64,
            b in 0.0..3.0_f64,
            near in 0_u8..3,
            t in 0.01..10.0_f64,
        ) {
            let b = match near { 0 => b, 1 => a, _ => a * (1.0 + 1.0e-9) };
            let (once, twice, thrice) = Decay::new(a, t).handed_on_sums(b);
            prop_assert!(close(once, summed(|s| (-a * (t - s)).exp() * (-b * s).exp(), t)));
            prop_assert!(close(twice, summed(|s| handed_on(a, b, s), t)));
            prop_assert!(close(thrice, summed(|s| Decay::new(a, s).handed_on_sums(b).1, t)));
            prop_assert!(close(Decay::new(a, t).sum, summed(|s| settling(a, s), t)));
        }

        #[test]
        fn never_anything_but_a_number(a in 0.0..1.0e6_f64, b in 0.0..1.0e6_f64, t in 0.0..1.0e9_f64) {
            let (once, twice, thrice) = Decay::new(a, t).handed_on_sums(b);
            for value in [once, twice, thrice, settling(a, t), Decay::new(a, t).sum] {
                prop_assert!(value.is_finite() && value >= 0.0);
            }
        }
    }
}
