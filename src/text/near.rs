//! The nearest known word to a mistyped one.

/// The known word nearest to `written`, if it is near enough to be a slip of the fingers.
pub fn nearest<'w>(written: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let number = as_number(written);
    let wanted: Vec<char> = written.to_lowercase().chars().take(64).collect();
    // Between short names a guess is a gamble: `A-1` is no slip for `A-3`.
    let most = match wanted.len() {
        0..=3 => 0,
        4..=7 => 1,
        8..=11 => 2,
        _ => 3,
    };
    known
        .into_iter()
        .map(|word| {
            let letters: Vec<char> = word.to_lowercase().chars().take(64).collect();
            let same = number.is_some() && as_number(word) == number;
            (if same { 0 } else { steps(&wanted, &letters) }, word)
        })
        .filter(|(steps, _)| *steps <= most)
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, word)| word)
}

/// A name as it looks once a spreadsheet has taken it for a number: `007` is `7`, and `1.00E+03` was `1000`.
fn as_number(name: &str) -> Option<String> {
    let (digits, tens) = match name.split_once(['E', 'e']) {
        Some((digits, tens)) => (digits, tens.strip_prefix('+')?.parse::<usize>().ok()?),
        None => (name, 0),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let numeric = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || tens > 20 || !numeric(whole) || !numeric(part) {
        return None;
    }
    let part = part.trim_end_matches('0');
    let zeros = tens.checked_sub(part.len())?;
    let all = format!("{whole}{part}{}", "0".repeat(zeros));
    Some(all.trim_start_matches('0').to_string())
}

/// Letters to put in, take out, change or swap with a neighbour.
fn steps(a: &[char], b: &[char]) -> usize {
    let mut before_last: Vec<usize> = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.iter().enumerate() {
        let mut now = vec![i + 1];
        for (j, other) in b.iter().enumerate() {
            let change = last[j] + usize::from(letter != other);
            let mut best = change.min(last[j + 1] + 1).min(now[j] + 1);
            if i > 0 && j > 0 && a[i - 1] == *other && b[j - 1] == *letter {
                best = best.min(before_last[j - 1] + 1);
            }
            now.push(best);
        }
        before_last = std::mem::replace(&mut last, now);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_is_found_and_a_stranger_is_not() {
        let known = ["denatured alcohol", "mineral spirits", "J-12", "J-21"];
        assert_eq!(
            nearest("denatured alcohl", known),
            Some("denatured alcohol")
        );
        assert_eq!(nearest("J-12 ", known), Some("J-12"));
        assert_eq!(nearest("beeswax", known), None);
        let numbers = ["007", "1000", "12"];
        assert_eq!(nearest("7", numbers), Some("007"));
        assert_eq!(nearest("1.00E+03", numbers), Some("1000"));
        assert_eq!(nearest("13", numbers), None);
    }
}
