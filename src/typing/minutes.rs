//! Spans of work as people type them: `1:30`, `1h30`, `90m`, `1.5 h`, `half an hour`.

use crate::quantity::in_digits;

/// Words for a span, in minutes.
const SPANS: [(&str, u32); 9] = [
    ("half an hour", 30),
    ("half hour", 30),
    ("a half hour", 30),
    ("a quarter hour", 15),
    ("quarter hour", 15),
    ("a quarter of an hour", 15),
    ("three quarters of an hour", 45),
    ("an hour and a half", 90),
    ("a minute", 1),
];

/// The whole minutes that a text means; `None` leaves it to the reader of the cell, which also says what is wrong.
pub fn typed_minutes(text: &str) -> Option<u32> {
    let lower = text.trim().to_lowercase();
    if let Some((_, minutes)) = SPANS.iter().find(|(words, _)| *words == lower) {
        return Some(*minutes);
    }
    if let Some((hours, minutes)) = lower.split_once(':') {
        return sum(whole(hours)?, minute_of_hour(minutes)?);
    }
    if let Some(minutes) = lower.strip_suffix('m') {
        if let Some((hours, minutes)) = minutes.split_once('h') {
            return sum(whole(hours)?, minute_of_hour(minutes.trim())?);
        }
        return whole(minutes);
    }
    let (hours, rest) = lower.split_once('h')?;
    let rest = ["ours", "our", "rs", "r"]
        .iter()
        .find_map(|end| rest.strip_prefix(end))
        .unwrap_or(rest);
    let rest = rest.trim().trim_start_matches("and").trim();
    let rest = rest
        .trim_end_matches("utes")
        .trim_end_matches("ute")
        .trim_end_matches("min")
        .trim();
    match rest {
        "" => in_hours(hours),
        minutes => sum(whole(hours)?, minute_of_hour(minutes)?),
    }
}

fn sum(hours: u32, minutes: u32) -> Option<u32> {
    hours.checked_mul(60)?.checked_add(minutes)
}

fn whole(text: &str) -> Option<u32> {
    let text = text.trim();
    let digits = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

fn minute_of_hour(text: &str) -> Option<u32> {
    whole(text).filter(|minutes| *minutes < 60)
}

/// `1.5`, `1 1/2` or `½` hours, if that is a whole number of minutes.
fn in_hours(text: &str) -> Option<u32> {
    let text = text.trim();
    let text = in_digits(text).unwrap_or_else(|| text.to_string());
    if let Some((hours, tenths)) = text.split_once(['.', ',']) {
        let hours = if hours.is_empty() { 0 } else { whole(hours)? };
        let under = 10_u32.checked_pow(u32::try_from(tenths.len()).ok()?)?;
        return sum(hours, share(whole(tenths)?, under)?);
    }
    let (hours, fraction) = match text.rsplit_once(' ') {
        Some((hours, fraction)) => (whole(hours)?, fraction),
        None if text.contains('/') => (0, text.as_str()),
        None => return whole(&text)?.checked_mul(60),
    };
    let (over, under) = fraction.split_once('/')?;
    sum(hours, share(whole(over)?, whole(under)?)?)
}

/// A share of an hour in whole minutes.
fn share(over: u32, under: u32) -> Option<u32> {
    let minutes = over.checked_mul(60)?;
    let fits = under > 0 && minutes.is_multiple_of(under);
    fits.then(|| minutes / under)
}

#[cfg(test)]
mod tests {
    use super::typed_minutes;

    #[test]
    fn spans_are_read_as_people_type_them() {
        for (typed, minutes) in [
            ("1:30", Some(90)),
            ("0:05", Some(5)),
            ("1h30", Some(90)),
            ("1h30m", Some(90)),
            ("1 h 30 min", Some(90)),
            ("1 hour and 15 minutes", Some(75)),
            ("2 hrs", Some(120)),
            ("90m", Some(90)),
            ("1.5 h", Some(90)),
            ("1,25 h", Some(75)),
            (".5h", Some(30)),
            ("1½ h", Some(90)),
            ("half an hour", Some(30)),
            ("An hour and a half", Some(90)),
            ("45", None),
            ("45 min", None),
            ("an hour", None),
            ("1:75", None),
            ("0.333 h", None),
            ("1/0 h", None),
            ("long", None),
            ("much", None),
            ("", None),
        ] {
            assert_eq!(typed_minutes(typed), minutes, "{typed}");
        }
    }
}
