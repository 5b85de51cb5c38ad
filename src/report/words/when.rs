//! Durations and numbers of things for people: "13 hours", "3 nights". Dates and times are in `quantity/when.rs`.

/// "40 minutes", "13 hours", "3 days".
pub fn duration(minutes: i64) -> String {
    const DAY: i64 = 24 * 60;
    match minutes {
        ..60 => count(minutes, "minute"),
        60..4320 => count(minutes / 60, "hour"),
        4320.. => count(minutes / DAY, "day"),
    }
}

/// "1 night", "3 nights".
pub(super) fn count(number: i64, thing: &str) -> String {
    if number == 1 {
        format!("1 {thing}")
    } else {
        format!("{number} {thing}s")
    }
}

/// "every day", "every week", "every 31 days", "every year".
pub(super) fn every(days: i64) -> String {
    match days {
        1 => "every day".into(),
        7 => "every week".into(),
        365 | 366 => "every year".into(),
        days => format!("every {days} days"),
    }
}

/// "today", "yesterday", "9 days ago".
pub(super) fn ago(days: i64) -> String {
    match days {
        0 => "today".into(),
        1 => "yesterday".into(),
        days => format!("{days} days ago"),
    }
}

#[cfg(test)]
mod tests {
    use super::{duration, every};

    #[test]
    fn durations_have_one_unit() {
        assert_eq!(duration(1), "1 minute");
        assert_eq!(duration(13 * 60 + 50), "13 hours");
        assert_eq!(duration(71 * 60), "71 hours");
        assert_eq!(duration(72 * 60), "3 days");
        assert_eq!(every(7), "every week");
        assert_eq!(every(30), "every 30 days");
    }
}
