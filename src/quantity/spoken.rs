//! Amounts as people say and type them: `½ pt`, `1-1/2 qt`, `two`, `a dozen`. They become digits; what they mean is read
//! elsewhere.

use super::unit::find;

/// The fractions that have a letter of their own.
const FRACTIONS: [(char, &str); 15] = [
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
];

const NUMBERS: [(&str, u32); 12] = [
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
];

/// The same amount in digits; `None` if it has nothing to turn into digits.
pub fn in_digits(text: &str) -> Option<String> {
    let text = text.trim();
    words(text)
        .or_else(|| letters(text))
        .or_else(|| joined(text))
}

/// `a dozen rags` as `12 rags`.
fn words(text: &str) -> Option<String> {
    if !text.starts_with(char::is_alphanumeric) {
        return None;
    }
    let lower = text.to_lowercase();
    let all: Vec<&str> = lower.split_whitespace().collect();
    let count = |word: &str| {
        let named = NUMBERS.iter().find(|(name, _)| *name == word);
        named.map(|(_, count)| *count)
    };
    let dozens = |word: &str| {
        count(word)
            .or_else(|| word.parse().ok())
            .filter(|n| *n < 1000)
    };
    let (number, used) = match all.as_slice() {
        ["half", "a", "dozen", ..] => ("6".to_string(), 3),
        ["a" | "one", "dozen", ..] => ("12".to_string(), 2),
        ["dozen", ..] => ("12".to_string(), 1),
        [one, "dozen", ..] => ((dozens(one)? * 12).to_string(), 2),
        ["half", "a" | "an", _, ..] | ["a", "half", _, ..] => ("1/2".to_string(), 2),
        ["a", "quarter", _, ..] => ("1/4".to_string(), 2),
        ["half", _, ..] => ("1/2".to_string(), 1),
        ["a" | "an", _, ..] => ("1".to_string(), 1),
        [one, ..] => (count(one)?.to_string(), 1),
        [] => return None,
    };
    // The unit keeps its letters as they were typed.
    let rest: Vec<&str> = text.split_whitespace().skip(used).collect();
    let rest = rest.strip_prefix(&["of"]).unwrap_or(&rest);
    let unit = rest.join(" ");
    // `half full` is no amount of the unit `full`.
    if !unit.is_empty() && find(&unit).is_none() {
        return None;
    }
    Some(format!("{number} {unit}").trim_end().to_string())
}

/// `1½ pt` as `1 1/2 pt`.
fn letters(text: &str) -> Option<String> {
    let (letter, digits) = FRACTIONS
        .iter()
        .find(|(letter, _)| text.contains(*letter))?;
    let (before, behind) = text.split_once(*letter)?;
    if !before.trim().bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let before = before.trim();
    let space = if before.is_empty() { "" } else { " " };
    Some(format!("{before}{space}{digits}{behind}"))
}

/// `1-1/2 qt` as `1 1/2 qt`.
fn joined(text: &str) -> Option<String> {
    let (whole, rest) = text.split_once('-')?;
    let (over, under) = rest.split_once('/')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let fraction = digits(over) && under.starts_with(|c: char| c.is_ascii_digit());
    (digits(whole.trim()) && fraction).then(|| format!("{} {rest}", whole.trim()))
}

#[cfg(test)]
mod tests {
    use super::in_digits;

    #[test]
    fn what_people_say_becomes_digits() {
        for (said, digits) in [
            ("½ pt", "1/2 pt"),
            ("1½", "1 1/2"),
            ("1 ½ qt", "1 1/2 qt"),
            ("2¼qt", "2 1/4qt"),
            ("1-1/2 qt", "1 1/2 qt"),
            ("two", "2"),
            ("Two qt", "2 qt"),
            ("a dozen", "12"),
            ("a dozen rags", "12 rags"),
            ("two dozen pcs", "24 pcs"),
            ("3 dozen", "36"),
            ("half a dozen", "6"),
            ("a quart", "1 quart"),
            ("half a pint", "1/2 pint"),
            ("half pint", "1/2 pint"),
            ("a quarter of cup", "1/4 cup"),
            ("one L", "1 L"),
        ] {
            assert_eq!(in_digits(said).as_deref(), Some(digits), "{said}");
        }
        for other in [
            "",
            "half",
            "a",
            "all",
            "1 qt",
            "1/2 qt",
            "-1 qt",
            "5-10",
            "x½",
            "some pt",
            "1-2 qt",
            "many dozen",
            "half full",
            "two jugs",
        ] {
            assert_eq!(in_digits(other), None, "{other}");
        }
    }
}
