//! The amounts of a text for people in metric units: "120 gal" becomes "454.2 L". Nothing is compared with these.

use super::kinds::Temperature;
use super::measure::Measure;
use super::number::Exact;
use super::show::{in_unit, temperature};
use super::unit::{Dimension, find, for_shop};

/// Words after "3 in" that make it a length.
const ALONG: [&str; 6] = ["wide", "deep", "high", "long", "thick", "below"];

/// A text with its US amounts in metric units. A cut of shellac keeps its pounds.
pub fn in_metric(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out: Vec<String> = Vec::new();
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let between = words.get(at + 1).copied();
        let joins = between.filter(|between| matches!(*between, "to" | "and" | "or"));
        let range = joins.is_some() && word.starts_with(|c: char| c.is_ascii_digit() || c == '(');
        let (last, step) = if range { (at + 2, 2) } else { (at, 0) };
        let upper = words
            .get(last)
            .and_then(|number| amount(number, words.get(last + 1..)?));
        let lower = upper.as_ref().and_then(|upper| {
            let rest: Vec<&str> = words.get(last + 1..)?.to_vec();
            if !range {
                return Some((String::new(), upper));
            }
            let lower = amount(word, &rest)?;
            // The number of a clause before an amount is no lower end.
            (lower.base < upper.base).then_some((lower.shown, upper))
        });
        match lower {
            Some((lower, upper)) => {
                if range {
                    out.push(lower.split(' ').next().unwrap_or_default().to_string());
                    out.push(joins.unwrap_or_default().to_string());
                }
                out.push(format!("{}{}", upper.shown, upper.after));
                at += step + 1 + upper.words;
            }
            None => {
                out.push((*word).to_string());
                at += 1;
            }
        }
    }
    out.join(" ")
}

/// An amount in metric units.
struct MetricAmount {
    shown: String,
    base: Exact,
    /// What stood behind its unit: a comma, a bracket.
    after: String,
    /// How many words the unit had.
    words: usize,
}

fn amount(number: &str, rest: &[&str]) -> Option<MetricAmount> {
    let bracket = if number.starts_with('(') { "(" } else { "" };
    let number = number.trim_start_matches('(');
    if !number.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let first = rest.first()?;
    let words = if *first == "fl" { 2 } else { 1 };
    let last = rest.get(words - 1)?;
    let symbol = last.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
    let after = last.get(symbol.len()..)?;
    let next = rest.get(words).copied().unwrap_or_default();
    let next = next.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
    let is_unit = match symbol {
        "in" => ALONG.contains(&next),
        "lb" => next != "cut",
        "ft" | "ft2" | "gal" | "qt" | "pt" | "oz" | "cfm" | "F" | "feet" | "gallons" | "quarts" => {
            true
        }
        _ => false,
    };
    let symbol = match symbol {
        _ if words == 2 => "fl oz",
        "feet" => "ft",
        "gallons" => "gal",
        "quarts" => "qt",
        symbol => symbol,
    };
    let measure = Measure::parse(&format!("{number} {symbol}"))
        .ok()
        .filter(|_| is_unit)?;
    let shown = match measure.unit.dimension {
        Dimension::Temperature => temperature(Temperature::from_base(measure.base), false),
        _ if symbol == "in" => in_unit(measure.base, find("cm")?),
        _ => in_unit(measure.base, for_shop(measure.unit, false)),
    };
    Some(MetricAmount {
        shown: format!("{bracket}{shown}"),
        base: measure.base,
        after: after.to_string(),
        words,
    })
}

#[cfg(test)]
mod tests {
    use super::in_metric;

    #[test]
    fn amounts_of_a_text_are_metric() {
        for (us, metric) in [
            ("at most 120 gal.", "at most 454.2 L."),
            (
                "10 to 25 ft from stored liquid",
                "3.048 to 7.62 m from stored liquid",
            ),
            (
                "Hang it between 10 and 25 ft away, or 5 or 6 gal",
                "Hang it between 3.048 and 7.62 m away, or 18.93 or 22.71 L",
            ),
            ("60 gallons on 50 feet", "227.1 L on 15.24 m"),
            ("up to 150 ft2.", "up to 13.94 m2."),
            ("within 10 ft and 25 ft", "within 3.048 m and 7.62 m"),
            ("rule 5 and 10 others", "rule 5 and 10 others"),
            ("above 45 gal), the second", "above 170.3 L), the second"),
            (
                "30 in wide and 36 in deep",
                "76.2 cm wide and 91.44 cm deep",
            ),
            ("below 100 F; stored", "below 37.8 °C; stored"),
            ("a 2 lb cut in 1 in the room", "a 2 lb cut in 1 in the room"),
            ("12-B within 50 ft", "12-B within 15.24 m"),
            ("29 CFR 1910.106 and 5 gal", "29 CFR 1910.106 and 18.93 L"),
            ("8 fl oz of it", "0.2366 L of it"),
        ] {
            assert_eq!(in_metric(us), metric);
        }
    }
}
