//! A share of a limit as every report prints it.
#![allow(clippy::float_arithmetic, reason = "a share for showing only")]

/// `93 %`, and `3.5 times` beyond 150 %. Rounding never crosses the limit.
pub(super) fn share_words(share: f64) -> String {
    let percent = share * 100.0;
    if share > 100.0 {
        return "over 100 times".to_string();
    }
    if share > 1.5 {
        return format!("{share:.1} times");
    }
    if percent > 0.0 && percent < 1.0 {
        return "under 1 %".to_string();
    }
    let rounded = match share {
        share if share > 1.0 => percent.round().max(101.0),
        share if share < 1.0 => percent.round().min(99.0),
        _ => 100.0,
    };
    format!("{rounded} %")
}

#[cfg(test)]
mod tests {
    use super::share_words;

    #[test]
    fn rounding_never_crosses_the_limit() {
        for (share, words) in [
            (0.0, "0 %"),
            (0.004, "under 1 %"),
            (0.93, "93 %"),
            (0.999, "99 %"),
            (1.0, "100 %"),
            (1.001, "101 %"),
            (1.5, "150 %"),
            (2.1, "2.1 times"),
            (3.52, "3.5 times"),
            (4000.0, "over 100 times"),
        ] {
            assert_eq!(share_words(share), words);
        }
    }
}
