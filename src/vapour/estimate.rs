//! An estimate: a value, its unit and how far it may be off, and how it is shown.
//!
//! It must not know where the value came from, and it never becomes an exact decimal: a limit is brought to `f64`, not
//! the estimate to a decimal, because a conversion may land on the limit from below.

/// Significant figures shown when nothing asks for more.
const FIGURES: usize = 3;
/// The most figures an `f64` can need to be told from its neighbours.
const MOST_FIGURES: usize = 17;

/// A number that physics gave: value, unit word, and relative error (0.1 is ten per cent either way).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    value: f64,
    unit: &'static str,
    relative_error: f64,
}

/// Where a limit lies, once the error of the estimate is allowed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The whole band lies below the limit.
    Below,
    /// The limit lies inside the band: near at best.
    Within,
    /// The whole band lies above the limit.
    Above,
}

impl Estimate {
    /// Takes a finite value and a finite error of 0 or more.
    pub fn new(value: f64, unit: &'static str, relative_error: f64) -> Option<Estimate> {
        let holds = value.is_finite() && (0.0..=1.0e6).contains(&relative_error);
        let band_holds = (value.abs() * (1.0 + relative_error)).is_finite();
        (holds && band_holds).then_some(Estimate {
            value,
            unit,
            relative_error,
        })
    }

    /// The lower end of the band; a value of 0 or more keeps it at 0 or more.
    pub fn low(&self) -> f64 {
        let low = self.value - self.value.abs() * self.relative_error;
        if self.value >= 0.0 { low.max(0.0) } else { low }
    }

    /// The upper end of the band.
    pub fn high(&self) -> f64 {
        self.value + self.value.abs() * self.relative_error
    }

    /// Where the limit lies against the whole band; a limit that is not a number is never passed.
    pub fn side_of(&self, limit: f64) -> Side {
        if self.high() < limit {
            Side::Below
        } else if self.low() > limit {
            Side::Above
        } else {
            Side::Within
        }
    }

    /// As `side_of`, with a band so much wider: for what is not over, but nearly.
    pub fn side_with(&self, wider: f64, limit: f64) -> Side {
        Estimate {
            relative_error: self.relative_error + wider,
            ..*self
        }
        .side_of(limit)
    }

    /// "about 24.9 L": three significant figures.
    pub fn shown(&self) -> String {
        self.worded(&rounded(self.value, FIGURES))
    }

    /// As `shown`, with as many more figures as it takes for the number shown to stand on the same side of the limit
    /// as the value: 24.96 against 25 is "about 24.96", never "about 25.0".
    pub fn shown_against(&self, limit: f64) -> String {
        let kept = (FIGURES..=MOST_FIGURES)
            .map(|figures| rounded(self.value, figures))
            .find(|text| {
                let read = text.parse::<f64>().ok();
                read.and_then(|shown| shown.partial_cmp(&limit)) == self.value.partial_cmp(&limit)
            });
        self.worded(&kept.unwrap_or_else(|| format!("{}", self.value)))
    }

    fn worded(&self, number: &str) -> String {
        if self.unit.is_empty() {
            format!("about {number}")
        } else {
            format!("about {number} {}", self.unit)
        }
    }
}

/// The value to so many significant figures, written without an exponent from a millionth up to a thousand million.
fn rounded(value: f64, figures: usize) -> String {
    let scientific = format!("{value:.*e}", figures.saturating_sub(1));
    let size = value.abs();
    if value == 0.0 {
        return "0".to_string();
    }
    if !(1.0e-6..1.0e9).contains(&size) {
        return scientific;
    }
    plain(&scientific).unwrap_or(scientific)
}

/// `2.496e1` as `24.96`, `8.56e3` as `8560`.
fn plain(scientific: &str) -> Option<String> {
    let (mantissa, exponent) = scientific.split_once('e')?;
    let power: i32 = exponent.parse().ok()?;
    let (sign, mantissa) = mantissa
        .strip_prefix('-')
        .map_or(("", mantissa), |rest| ("-", rest));
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let Ok(whole) = usize::try_from(power + 1) else {
        let zeros = usize::try_from(-(power + 1)).ok()?;
        return Some(format!("{sign}0.{}{digits}", "0".repeat(zeros)));
    };
    if whole == 0 {
        Some(format!("{sign}0.{digits}"))
    } else if whole >= digits.len() {
        Some(format!(
            "{sign}{digits}{}",
            "0".repeat(whole - digits.len())
        ))
    } else {
        let (before, after) = digits.split_at(whole);
        Some(format!("{sign}{before}.{after}"))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{Estimate, Side};
    use proptest::prelude::{prop_assert, prop_assert_eq, proptest};

    fn litres(value: f64) -> Estimate {
        Estimate::new(value, "L", 0.0).unwrap()
    }

    #[test]
    fn three_figures_and_the_word_about() {
        let cases = [
            (24.94, "about 24.9 L"),
            (8564.1, "about 8560 L"),
            (0.001_234_5, "about 0.00123 L"),
            (0.1, "about 0.100 L"),
            (999.6, "about 1000 L"),
            (-3.25, "about -3.25 L"),
            (0.0, "about 0 L"),
            (1.5e-9, "about 1.50e-9 L"),
        ];
        for (value, shown) in cases {
            assert_eq!(litres(value).shown(), shown);
        }
    }

    #[test]
    fn never_onto_or_across_a_limit() {
        assert_eq!(litres(24.96).shown_against(25.0), "about 24.96 L");
        assert_eq!(litres(25.04).shown_against(25.0), "about 25.04 L");
        assert_eq!(litres(24.95).shown_against(24.9), "about 24.95 L");
        assert_eq!(litres(999.96).shown_against(1000.0), "about 999.96 L");
        assert_eq!(
            litres(24.949_999_999_999_996).shown_against(24.95),
            "about 24.9 L"
        );
        assert_eq!(litres(25.0).shown_against(25.0), "about 25.0 L");
        assert_eq!(litres(24.95).shown_against(24.95), "about 24.95 L");
    }

    #[test]
    fn a_limit_in_the_band_is_within() {
        let about = Estimate::new(100.0, "ppm", 0.1).unwrap();
        assert_eq!(about.side_of(95.0), Side::Within);
        assert_eq!(about.side_of(89.0), Side::Above);
        assert_eq!(about.side_of(111.0), Side::Below);
        assert_eq!(about.side_of(f64::NAN), Side::Within);
        assert_eq!(Estimate::new(f64::NAN, "ppm", 0.1), None);
        assert_eq!(Estimate::new(f64::MAX, "ppm", 1.0), None);
    }

    proptest! {
        #[test]
        fn what_is_shown_stands_where_the_value_stands(value in -1.0e12..1.0e12_f64, near in -3_i32..=3) {
            for limit in [value * (1.0 + f64::from(near) * 1.0e-15), (value * 10.0).round() / 10.0, value.round()] {
                let shown = litres(value).shown_against(limit);
                let read: f64 = shown.trim_start_matches("about ").trim_end_matches(" L").parse().unwrap();
                prop_assert_eq!(read.partial_cmp(&limit), value.partial_cmp(&limit));
            }
        }

        #[test]
        fn three_figures_are_within_half_a_percent(value in 1.0e-12..1.0e15_f64) {
            let shown = litres(value).shown();
            let read: f64 = shown.trim_start_matches("about ").trim_end_matches(" L").parse().unwrap();
            prop_assert!((read - value).abs() <= 0.005 * value * (1.0 + 1.0e-12));
        }
    }
}
