//! Characters that a reader cannot see or that steer a terminal, and text without them.

use std::borrow::Cow;

/// Does a terminal obey it, or does it turn about the direction in which text is read?
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}'
        )
}

/// Does the text have a character that [`steers`]? Most texts are printable ASCII, which is seen without decoding.
pub fn has_steering(text: &str) -> bool {
    let printable = |all: bool, byte: &u8| all & matches!(byte, b' '..=b'~');
    !text.as_bytes().iter().fold(true, printable) && text.contains(steers)
}

/// Text without control characters, which a terminal would obey. A line break or a tab inside a cell becomes a space.
pub fn clean(text: &str) -> String {
    if !has_steering(text) {
        return text.to_string();
    }
    let harmless = |c| match c {
        '\n' | '\t' => ' ',
        c if steers(c) => '\u{fffd}',
        c => c,
    };
    text.replace("\r\n", "\n").chars().map(harmless).collect()
}

/// As [`clean`], for text of many lines: tabs and line ends, CRLF too, stay what they are.
pub fn clean_lines(text: &str) -> Cow<'_, str> {
    let layout = |c: char| matches!(c, '\n' | '\t');
    if !text.contains(|c| steers(c) && !layout(c)) {
        return Cow::Borrowed(text);
    }
    let mut letters = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(c) = letters.next() {
        let ends = c == '\r' && letters.peek() == Some(&'\n');
        out.push(if steers(c) && !layout(c) && !ends {
            '\u{fffd}'
        } else {
            c
        });
    }
    Cow::Owned(out)
}

/// The first character that cannot be seen as what it is, and what it is called. Joiners and marks of direction that
/// some scripts need are none.
pub fn unseen(text: &str) -> Option<(char, &'static str)> {
    text.chars().find_map(|c| {
        let called = match c {
            '\n' | '\r' => "a line break",
            '\t' => "a tab",
            '\u{a0}' | '\u{2007}' | '\u{202f}' => "a non-breaking space",
            '\u{2000}'..='\u{200a}' | '\u{205f}' => "a special space",
            '\u{ad}' => "a soft hyphen",
            '\u{200b}' | '\u{2060}' => "a zero-width space",
            _ if steers(c) => "a hidden control character",
            _ => return None,
        };
        Some((c, called))
    })
}

/// The text as it looks: spaces of all kinds as plain ones, what cannot be seen left out.
pub fn as_it_looks(text: &str) -> String {
    let look = |c: char| match c {
        _ if c.is_whitespace() => Some(' '),
        _ if unseen(c.encode_utf8(&mut [0; 4])).is_some() => None,
        _ => Some(c),
    };
    let seen: String = text.chars().filter_map(look).collect();
    seen.split(' ')
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::{as_it_looks, clean, clean_lines, unseen};

    #[test]
    fn nothing_steers_and_nothing_else_is_touched() {
        assert_eq!(
            clean("a\u{1b}[31m\u{9b}b\u{202e}c\u{2067}\r\nd\te"),
            "a\u{fffd}[31m\u{fffd}b\u{fffd}c\u{fffd} d e"
        );
        assert_eq!(clean_lines("a\r\nb\rc\td\r"), "a\r\nb\u{fffd}c\td\u{fffd}");
        for text in [
            "漆 17",
            "e\u{301}",
            "a\u{a0}b",
            "می\u{200c}خواهم",
            "👩\u{200d}🔧",
        ] {
            assert_eq!(clean(text), text);
        }
    }

    #[test]
    fn what_cannot_be_seen_is_named() {
        assert_eq!(unseen("rag can"), None);
        assert_eq!(unseen("می\u{200c}خواهم"), None);
        assert_eq!(
            unseen("rag\u{a0}can"),
            Some(('\u{a0}', "a non-breaking space"))
        );
        assert_eq!(as_it_looks("rag\u{a0}\u{200b}\ncan\u{202e}"), "rag can");
    }
}
