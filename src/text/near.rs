//! The nearest known word to a mistyped one.

use strsim::osa_distance;

/// As many letters of a word as are compared: a cell may be of any length.
const LETTERS: usize = 64;
/// As many zeros as a spreadsheet's short form of a number may stand for.
const MOST_ZEROS: usize = 20;

/// The known word nearest to `written`, if it is near enough to be a slip of the fingers.
pub fn nearest<'w>(written: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let number = as_number(written);
    let wanted = start_of(written);
    // Between short names a guess is a gamble: `A-1` is no slip for `A-3`.
    let most = match wanted.chars().count() {
        0..=3 => 0,
        4..=7 => 1,
        8..=11 => 2,
        _ => 3,
    };
    known
        .into_iter()
        .map(|word| {
            let same = number.is_some() && as_number(word) == number;
            let slips = if same {
                0
            } else {
                osa_distance(&wanted, &start_of(word))
            };
            (slips, word)
        })
        .filter(|(slips, _)| *slips <= most)
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, word)| word)
}

/// The one known word that is a single slip away; `None` where two are, as for a unit a guess between them would be a
/// gamble.
pub(super) fn only_slip<'w>(
    written: &str,
    known: impl IntoIterator<Item = &'w str>,
) -> Option<&'w str> {
    let wanted = start_of(written);
    let near = |word: &&str| osa_distance(&wanted, &start_of(word)) == 1;
    let mut near = known.into_iter().filter(near);
    let first = near.next()?;
    near.next().is_none().then_some(first)
}

/// The letters of a word that are compared.
fn start_of(word: &str) -> String {
    word.to_lowercase().chars().take(LETTERS).collect()
}

/// A name as it looks once a spreadsheet has taken it for a number: `007` is `7`, and `1.00E+03` was `1000`.
fn as_number(name: &str) -> Option<String> {
    let (digits, tens) = match name.split_once(['E', 'e']) {
        Some((digits, tens)) => (digits, tens.strip_prefix('+')?.parse::<usize>().ok()?),
        None => (name, 0),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let numeric = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || tens > MOST_ZEROS || !numeric(whole) || !numeric(part) {
        return None;
    }
    let part = part.trim_end_matches('0');
    let zeros = tens.checked_sub(part.len())?;
    let all = format!("{whole}{part}{}", "0".repeat(zeros));
    Some(all.trim_start_matches('0').to_string())
}

#[cfg(test)]
mod tests {
    use super::{nearest, only_slip};

    #[test]
    fn a_slip_between_two_words_is_no_suggestion() {
        let units = ["gal", "qt", "pt", "fl oz", "mL", "L"];
        assert_eq!(only_slip("qrt", units), Some("qt"));
        assert_eq!(only_slip("floz", units), Some("fl oz"));
        // `t` may be qt or pt.
        assert_eq!(only_slip("t", units), None);
        assert_eq!(only_slip("bucket", units), None);
    }

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

    fn is_near(written: &str, known: &str) -> bool {
        nearest(written, [known]).is_some()
    }

    #[test]
    fn a_longer_word_may_have_more_slips() {
        assert!(is_near("abc", "ABC") && !is_near("abc", "abx"));
        assert!(is_near("abcd", "abcx") && !is_near("abcdefg", "abcdexx"));
        assert!(is_near("abcdefgh", "abcdefxx") && !is_near("abcdefghijk", "abcdefghxxx"));
        assert!(is_near("abcdefghijkl", "abcdefghixxx"));
        assert!(!is_near("abcdefghijkl", "abcdefghxxxx"));
    }

    #[test]
    fn two_neighbours_that_are_swapped_are_one_slip() {
        assert!(is_near("acbd", "abcd"));
        // A letter between two that are swapped is a slip of its own.
        assert!(!is_near("cadefghi", "abcdefghi"));
    }

    #[test]
    fn the_start_of_a_long_word_is_compared() {
        let same = "x".repeat(63);
        let [a, b] = ["a", "b"].map(|last| format!("{same}{last}"));
        assert_eq!(nearest(&a, [&*b, &a]), Some(&*a), "the 64th letter");
        let [a, b] = ["a", "b"].map(|last| format!("{same}x{last}"));
        assert_eq!(nearest(&a, [&*b, &a]), Some(&*b), "the 65th letter");
    }

    #[test]
    fn a_short_form_stands_for_so_many_zeros() {
        let one_and = |zeros: usize| format!("1{}", "0".repeat(zeros));
        assert!(is_near("1E+20", &one_and(20)));
        assert!(!is_near("1E+21", &one_and(21)));
    }
}
