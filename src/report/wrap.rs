//! Text in a given width.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Screen columns of a text.
pub fn width(text: &str) -> usize {
    if text.is_ascii() {
        text.len()
    } else {
        text.width()
    }
}

/// Fills words into lines of a width; the first line begins with `first`, the others with `rest`. A word that is longer
/// than a line is broken.
pub fn fill(text: &str, columns: usize, first: &str, rest: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 8 + first.len());
    out.push_str(first);
    let (mut used, mut bare) = (width(first), true);
    for word in text.split_whitespace() {
        let mut word = word;
        loop {
            let left = columns.saturating_sub(used + usize::from(!bare));
            if let Some(wide) = width_within(word, left) {
                if !bare {
                    out.push(' ');
                }
                out.push_str(word);
                used += wide + usize::from(!bare);
                bare = false;
                break;
            }
            if bare {
                let cut = cut_at(word, left.max(1));
                out.push_str(&word[..cut]);
                word = &word[cut..];
            }
            out.push('\n');
            out.push_str(rest);
            (used, bare) = (width(rest), true);
        }
    }
    out
}

/// The width of a word, if it is at most so many columns: a word of any length is looked at no further than that.
fn width_within(word: &str, most: usize) -> Option<usize> {
    if word.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Some(word.len()).filter(|wide| *wide <= most);
    }
    // More letters than this could only fit if most of them were of no width.
    let short = word.chars().nth(2 * most + 16).is_none();
    short.then(|| width(word)).filter(|wide| *wide <= most)
}

/// The byte at which so many columns end; at least one character.
fn cut_at(word: &str, columns: usize) -> usize {
    let mut used = 0;
    for (at, c) in word.char_indices() {
        used += c.width().unwrap_or(0);
        if used > columns && at > 0 {
            return at;
        }
    }
    word.len()
}

/// The same words with a capital at their head.
/// The first few, and how many more there are.
pub(super) fn some_of(list: &[&str], most: usize) -> String {
    let more = list.len().saturating_sub(most);
    let shown = list.get(..most).unwrap_or(list).join(", ");
    if more > 0 {
        format!("{shown} and {more} more")
    } else {
        shown
    }
}

#[cfg(test)]
mod tests {
    use super::{fill, width};

    #[test]
    fn no_line_is_wider_than_asked() {
        let text = "Put the three rags under water in a lidded metal can https://a.very.long/address/without/any/space/in/it now";
        for columns in [12, 20, 40, 80] {
            let filled = fill(text, columns, "1. ", "   ");
            assert!(
                filled.lines().all(|line| width(line) <= columns),
                "{columns}: {filled}"
            );
            let words: String = filled.replace(['\n', ' '], "");
            assert!(words.contains("lidded"), "{filled}");
        }
    }
}
