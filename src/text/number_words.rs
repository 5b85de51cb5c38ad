//! What is wrong with a number, in words.

use super::problem::Words;
use crate::quantity::{MOST_DIGITS, NumberFault};

pub(super) fn number(read: &str, fault: NumberFault, example: &str) -> Words {
    match fault {
        NumberFault::Empty => Words::new(
            "The value is empty.",
            format!("Write a number and a unit, such as {example}."),
        ),
        NumberFault::DecimalComma => Words::new(
            format!("\"{read}\" has a comma in its number."),
            format!(
                "Write a point for decimals: \"{}\".",
                read.replacen(',', ".", 1)
            ),
        ),
        NumberFault::ThousandsComma => Words::new(
            format!("\"{read}\" has a comma between thousands."),
            thousands_fix(read),
        ),
        NumberFault::TooManyDigits => Words::new(
            format!("\"{read}\" has more digits than can be kept exactly."),
            format!("Write at most {MOST_DIGITS} digits."),
        ),
        NumberFault::Negative => Words::new(
            format!("\"{read}\" is less than zero."),
            "Write how much there is. Amounts that were taken out belong in log.csv.",
        ),
        NumberFault::Endless => Words::new(
            format!("\"{read}\" is a fraction whose decimals never end."),
            "Write it in a smaller unit as you measured it, such as 5.3 fl oz.",
        ),
        NumberFault::Improper => Words::new(
            format!("\"{read}\" is a fraction of more than one whole."),
            "Write the whole number and the fraction with a space between them, such as 1 1/2, or write decimals, such as 5.5.",
        ),
        NumberFault::NotWhole => Words::new(
            format!("\"{read}\" is not a whole number of pieces."),
            "Count each piece as one, however small it is: write 1 pcs.",
        ),
        NumberFault::NoTemperature => Words::new(
            format!("\"{read}\" is not a temperature that anything in a shop can have."),
            "Write a temperature up to 2000 F or 1093 C.",
        ),
        NumberFault::NotANumber => Words::new(
            format!("\"{read}\" is not an amount."),
            format!("Write a number and a unit, such as {example} or 1 1/2 pt."),
        ),
    }
}

/// What a number with a comma may be: one comma before three digits can stand between thousands or before decimals.
fn thousands_fix(read: &str) -> String {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, ',' | '.' | '-');
    let end = read.find(|c| !is_number(c)).unwrap_or(read.len());
    let (number, unit) = read.split_at(end);
    let plain = format!("{}{unit}", number.replace(',', ""));
    match (number.rfind('.'), number.rfind(',')) {
        (Some(point), Some(comma)) if point < comma => {
            let number = number.replace('.', "").replacen(',', ".", 1);
            format!("Write a point for decimals and nothing between thousands: \"{number}{unit}\".")
        }
        (None, Some(_)) if number.matches(',').count() == 1 => {
            let decimal = number.replacen(',', ".", 1);
            format!(
                "Write \"{plain}\" if the comma stands between thousands, or \"{decimal}{unit}\" if decimals follow it."
            )
        }
        _ => format!("Write the number without it: \"{plain}\"."),
    }
}

#[cfg(test)]
mod tests {
    use super::thousands_fix;

    /// No advice changes a number by a factor of a thousand, unless it gives both readings.
    #[test]
    fn a_comma_that_may_stand_for_either_is_given_both_ways() {
        for (read, fix) in [
            (
                "9,144 m",
                "Write \"9144 m\" if the comma stands between thousands, or \"9.144 m\" if decimals follow it.",
            ),
            (
                "1.000,5 mL",
                "Write a point for decimals and nothing between thousands: \"1000.5 mL\".",
            ),
            ("1,000.5 mL", "Write the number without it: \"1000.5 mL\"."),
            (
                "1,000,000 mL",
                "Write the number without it: \"1000000 mL\".",
            ),
        ] {
            assert_eq!(thousands_fix(read), fix, "{read}");
        }
    }
}
