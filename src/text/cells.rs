//! The cells of a raw row, walked by the grammar of the csv reader: it gives the byte of a row but not of its cells.

/// Where the `nth` field of the row at the start of `raw` begins and ends, blank and comment lines skipped.
pub(super) fn cell_range(raw: &[u8], nth: Option<u16>, separator: u8) -> (usize, usize) {
    let start = skip_idle_lines(raw);
    let Some(nth) = nth else {
        return (
            start,
            start
                + raw[start..]
                    .iter()
                    .position(|b| *b == b'\n' || *b == b'\r')
                    .unwrap_or(raw.len() - start),
        );
    };
    let mut at = start;
    for _ in 0..nth {
        let (_, end) = field(raw, at, separator);
        if raw.get(end) != Some(&separator) {
            return (end, end);
        }
        at = end + 1;
    }
    field(raw, at, separator)
}

/// The row of `raw` from its first byte to its end, quoted line breaks included.
pub(super) fn skip_idle_lines(raw: &[u8]) -> usize {
    let mut at = if raw.starts_with(b"\xEF\xBB\xBF") {
        3
    } else {
        0
    };
    loop {
        match raw.get(at) {
            Some(b'\n' | b'\r') => at += 1,
            Some(b'#') => match raw[at..].iter().position(|b| *b == b'\n') {
                Some(end) => at += end + 1,
                None => return raw.len(),
            },
            Some(_) | None => return at,
        }
    }
}

/// The cell of the row at the start of `raw` whose quotation mark is never closed. Only a last row can have one, since
/// it swallows all that follows.
pub(super) fn open_quote(raw: &[u8], separator: u8) -> Option<u16> {
    let mut at = skip_idle_lines(raw);
    let mut nth = 0;
    while at < raw.len() {
        let (start, end) = field(raw, at, separator);
        let quoted = raw.get(start) == Some(&b'"');
        if quoted && end == raw.len() && !closed(&raw[start..end]) {
            return Some(nth);
        }
        if raw.get(end) != Some(&separator) {
            return None;
        }
        (at, nth) = (end + 1, nth.checked_add(1)?);
    }
    None
}

/// How many cells the line at the start of `raw` has.
pub(super) fn cells(raw: &[u8], separator: u8) -> usize {
    let (mut at, mut count) = (0, 1);
    loop {
        let (_, end) = field(raw, at, separator);
        if raw.get(end) != Some(&separator) {
            return count;
        }
        (at, count) = (end + 1, count + 1);
    }
}

/// Does a quoted cell end with its mark? Marks inside it appear twice.
fn closed(cell: &[u8]) -> bool {
    let mut marks = cell.iter().skip(1).peekable();
    while let Some(byte) = marks.next() {
        if *byte == b'"' && marks.next_if(|next| **next == b'"').is_none() {
            return true;
        }
    }
    false
}

/// Where the field that begins at a byte begins and ends.
pub(super) fn field(raw: &[u8], start: usize, separator: u8) -> (usize, usize) {
    let mut at = start;
    if raw.get(at) == Some(&b'"') {
        at += 1;
        loop {
            match (raw.get(at), raw.get(at + 1)) {
                (Some(b'"'), Some(b'"')) => at += 2,
                (Some(b'"'), _) => {
                    at += 1;
                    break;
                }
                (Some(_), _) => at += 1,
                (None, _) => return (start, raw.len()),
            }
        }
    }
    while raw
        .get(at)
        .is_some_and(|b| *b != separator && !matches!(b, b'\n' | b'\r'))
    {
        at += 1;
    }
    (start, at)
}

#[cfg(test)]
mod tests {
    use super::cell_range;

    fn cell(raw: &str, nth: u16) -> &str {
        let (start, end) = cell_range(raw.as_bytes(), Some(nth), b',');
        &raw[start..end]
    }

    #[test]
    fn walks_over_blank_lines_comments_and_quotes() {
        let raw = "\r\n# a, comment\n\na,\"b, \"\"c\"\"\nd\",e\nnext";
        assert_eq!(cell(raw, 0), "a");
        assert_eq!(cell(raw, 1), "\"b, \"\"c\"\"\nd\"");
        assert_eq!(cell(raw, 2), "e");
        assert_eq!(cell(raw, 3), "");
    }
}
