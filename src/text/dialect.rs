//! How the bytes of a table are laid out: its encoding, and what separates its cells. A spreadsheet chooses both.

use super::cells::{field, skip_idle_lines};
use super::words::words;

words! {
    /// The encoding of a file.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum Encoding {
        /// UTF-8, with or without a byte order mark.
        #[default]
        Utf8 = "utf-8",
        /// UTF-16 with the low byte first, behind its byte order mark.
        Utf16Le = "utf-16le",
        /// UTF-16 with the high byte first, behind its byte order mark.
        Utf16Be = "utf-16be",
    }
}

impl Encoding {
    /// The encoding of a file that begins like this.
    pub fn detect(start: &[u8]) -> Encoding {
        match start {
            [0xFF, 0xFE, ..] => Encoding::Utf16Le,
            [0xFE, 0xFF, ..] => Encoding::Utf16Be,
            _ => Encoding::Utf8,
        }
    }

    /// The bytes of a whole file as UTF-8; `None` if they are damaged. The byte order mark of UTF-16 is dropped.
    pub fn decode(self, bytes: Vec<u8>) -> Option<Vec<u8>> {
        let unit = match self {
            Encoding::Utf8 => return Some(bytes),
            Encoding::Utf16Le => u16::from_le_bytes,
            Encoding::Utf16Be => u16::from_be_bytes,
        };
        let (pairs, rest) = bytes.as_chunks::<2>();
        if !rest.is_empty() {
            return None;
        }
        let units = pairs.iter().skip(1).map(|pair| unit(*pair));
        let text: Result<String, _> = char::decode_utf16(units).collect();
        text.ok().map(String::into_bytes)
    }

    /// UTF-8 text in this encoding, without a byte order mark.
    pub fn encode(self, text: &[u8]) -> Vec<u8> {
        let bytes: fn(u16) -> [u8; 2] = match self {
            Encoding::Utf8 => return text.to_vec(),
            Encoding::Utf16Le => u16::to_le_bytes,
            Encoding::Utf16Be => u16::to_be_bytes,
        };
        let text = String::from_utf8_lossy(text);
        text.encode_utf16().flat_map(bytes).collect()
    }

    /// What a file in this encoding begins with. A mark of UTF-8 is part of the text.
    pub fn mark(self) -> &'static [u8] {
        match self {
            Encoding::Utf8 => b"",
            Encoding::Utf16Le => b"\xFF\xFE",
            Encoding::Utf16Be => b"\xFE\xFF",
        }
    }
}

/// What separates the cells of a table, as its own program saved it.
const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];
/// So many rows at the start of a table are looked at for the names of columns.
const MOST_ROWS: usize = 9;

/// Where a table names its columns, and what separates its cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    pub separator: u8,
    /// The byte at which the first row begins that is no comment.
    pub byte: u64,
}

impl Head {
    /// The head of a table that begins like this: of the three separators, the one that parts a row into the most names.
    pub fn detect(start: &[u8]) -> Head {
        let counted = |separator: u8| (most_names(start, separator), separator);
        let counts = SEPARATORS.into_iter().rev().map(counted);
        let best = counts.max_by_key(|(names, _)| *names);
        // A single name says nothing of separators.
        let separator = match best {
            Some((2.., separator)) => separator,
            Some(_) | None => b',',
        };
        let first = rows(start, separator).next();
        let byte = u64::try_from(first.map_or(0, |(byte, _)| byte)).unwrap_or(0);
        Head { separator, byte }
    }
}

/// How many names of columns the row has that has nothing but names, and the most of them.
fn most_names(start: &[u8], separator: u8) -> usize {
    let names = |(_, cells): (usize, Vec<&[u8]>)| {
        let filled = || cells.iter().filter(|cell| !cell.trim_ascii().is_empty());
        let named = filled().all(|cell| is_name(cell));
        if named { filled().count() } else { 0 }
    };
    rows(start, separator).map(names).max().unwrap_or(0)
}

/// The first rows that are no comment: the byte at which each begins, and its cells.
fn rows(start: &[u8], separator: u8) -> impl Iterator<Item = (usize, Vec<&[u8]>)> {
    let mut at = 0;
    let next = move || {
        let rest = start.get(at..)?;
        let from = at + skip_idle_lines(rest);
        if from >= start.len() {
            return None;
        }
        let (mut cells, mut to) = (Vec::new(), from);
        loop {
            let (begin, end) = field(start, to, separator);
            cells.push(start.get(begin..end).unwrap_or_default());
            to = end + 1;
            if start.get(end) != Some(&separator) {
                break;
            }
        }
        at = to;
        Some((from, cells))
    };
    let told = |(_, cells): &(usize, Vec<&[u8]>)| !cells.first().is_some_and(|it| is_remark(it));
    std::iter::from_fn(next).filter(told).take(MOST_ROWS)
}

/// `"# …"`: a comment as a spreadsheet writes it back.
fn is_remark(cell: &[u8]) -> bool {
    let inner = cell.trim_ascii().strip_prefix(b"\"").unwrap_or(cell);
    starts_comment(inner.strip_suffix(b"\"").unwrap_or(inner))
}

/// Is a first cell that begins like this a comment? A thing may be called `#7`, but not `# 7`.
pub fn starts_comment(cell: &[u8]) -> bool {
    matches!(cell, [b'#'] | [b'#', b' ' | b'\t' | b'#', ..])
}

/// Could this be the name of a column?
fn is_name(cell: &[u8]) -> bool {
    let cell = cell.trim_ascii();
    let inner = cell
        .strip_prefix(b"\"")
        .and_then(|cell| cell.strip_suffix(b"\""));
    let letter = |byte: &u8| byte.is_ascii_alphabetic() || matches!(byte, b'_' | b' ' | b'-');
    inner.unwrap_or(cell).iter().all(letter)
}

#[cfg(test)]
mod tests {
    use super::{Encoding, Head};

    fn head(text: &str) -> (char, &str) {
        let head = Head::detect(text.as_bytes());
        let from = usize::try_from(head.byte).unwrap();
        let line = text[from..].lines().next().unwrap_or("");
        (char::from(head.separator), line)
    }

    #[test]
    fn the_separator_is_the_one_that_parts_the_names() {
        for (text, expected) in [
            ("room,use\nfinishing,x\n", (',', "room,use")),
            ("room;use\nfinishing, big;x\n", (';', "room;use")),
            ("room\tuse\n1;2\t\n", ('\t', "room\tuse")),
            ("\"room\";\"use\"\n", (';', "\"room\";\"use\"")),
            ("room;use;;\n", (';', "room;use;;")),
            ("# a; b; c\n\nroom,use\n", (',', "room,use")),
            ("\"# a, \"\"b\"\"\";;\nroom;use;x\n", (';', "room;use;x")),
            ("the shop, ours\nroom;use;x\n", (';', "the shop, ours")),
            ("room\nfinishing\n", (',', "room")),
            ("", (',', "")),
            ("a,b\n\"x;y;z\",1\np;q;r,2\n", (',', "a,b")),
        ] {
            assert_eq!(head(text), expected, "{text}");
        }
    }

    #[test]
    fn utf_16_comes_back() {
        let text = "Möbel;漆 𝄞\r\n";
        for encoding in [Encoding::Utf16Le, Encoding::Utf16Be, Encoding::Utf8] {
            let file = [encoding.mark(), &encoding.encode(text.as_bytes())].concat();
            assert_eq!(Encoding::detect(&file), encoding);
            assert_eq!(Encoding::parse(encoding.word()), Some(encoding));
            assert_eq!(encoding.decode(file).unwrap(), text.as_bytes());
        }
        for damaged in [&b"\xFF\xFEa"[..], b"\xFF\xFE\x00\xD8a\x00"] {
            assert_eq!(Encoding::detect(damaged).decode(damaged.to_vec()), None);
        }
    }
}
