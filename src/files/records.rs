//! The records of a journal as text: changes go in, lines come out, and the other way round.

use super::change::{Added, Change};
use super::kept_rows::{COLUMNS, DROPPED, KEPT, SignedRows, as_lines, signed};
use crate::text::{Encoding, Stamp};

/// What a journal says.
#[derive(Default)]
pub(super) struct Records {
    /// The last record, where it is not done.
    pub open: Vec<Change>,
    /// Is all of that record there?
    pub go: bool,
    /// So many bytes of the journal count.
    pub keep: usize,
}

impl Records {
    /// A last line that was cut off says nothing, and neither does a record that lacks its end: nothing was changed yet.
    pub fn read(text: &[u8]) -> Records {
        let (mut records, mut at) = (Records::default(), 0);
        let mut signed = SignedRows::default();
        let lines = text.split_inclusive(|byte| *byte == b'\n');
        for line in lines.filter(|line| line.ends_with(b"\n")) {
            at += line.len();
            signed.take(line, |table, sign, rows| {
                let mut open = records.open.iter_mut();
                let of = open.find(|change| sign == KEPT && change.file == table);
                of.into_iter()
                    .for_each(|change| change.added = rows.clone());
            });
            match line {
                [b'+', row @ ..] => records
                    .open
                    .iter_mut()
                    .next_back()
                    .into_iter()
                    .for_each(|it| it.bytes.extend(row)),
                [COLUMNS | KEPT | DROPPED, ..] => {}
                b"go\n" => (records.go, records.keep) = (true, at),
                _ if line.starts_with(b"done\t") => {
                    records.open.clear();
                    (records.go, records.keep) = (false, at);
                }
                _ => records.open.extend(change(line)),
            }
        }
        records
    }
}

/// A record of some changes, to be added to the journal.
pub(super) fn as_record(changes: &[Change]) -> Vec<u8> {
    let mut text = Vec::new();
    for change in changes {
        let whole = if change.whole { "\twhole" } else { "" };
        let (file, length) = (&change.file, change.seen.length);
        text.extend(format!("{file}\t{length}{whole}{}\n", dialect(change)).bytes());
        signed(b'+', &change.bytes, &mut text);
        text.extend(as_lines(&change.file, KEPT, &change.added));
        text.extend(as_lines(&change.file, DROPPED, &change.dropped));
    }
    text.extend(b"go\n");
    text
}

/// The first line of a change in a record; `None` for anything else, and for a name that leads out of the folder.
fn change(line: &[u8]) -> Option<Change> {
    let line = std::str::from_utf8(line).ok()?.trim_end();
    let mut parts = line.split('\t');
    let is_table = |name: &&str| name.ends_with(".csv") && !name.contains(['/', '\\', ':']);
    let mut change = Change {
        file: parts.next().filter(is_table)?.to_string(),
        seen: Stamp {
            length: parts.next()?.parse().ok()?,
            changed: None,
            inode: None,
        },
        whole: false,
        encoding: Encoding::Utf8,
        separator: b',',
        bytes: Vec::new(),
        added: Added::default(),
        dropped: Added::default(),
    };
    for part in parts {
        match part {
            "whole" => change.whole = true,
            "semicolon" => change.separator = b';',
            "tab" => change.separator = b'\t',
            word => change.encoding = Encoding::parse(word).unwrap_or(change.encoding),
        }
    }
    Some(change)
}

/// The encoding and the separator of a change, where they are unusual.
fn dialect(change: &Change) -> String {
    let mut text = String::new();
    if change.encoding != Encoding::Utf8 {
        text = format!("\t{}", change.encoding.word());
    }
    match change.separator {
        b';' => text.push_str("\tsemicolon"),
        b'\t' => text.push_str("\ttab"),
        _ => {}
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{Records, as_record};

    #[test]
    fn rows_to_keep_come_back_with_their_columns() {
        let text = "log.csv\t20\n+a,2\n:log.csv,note,entry\n=\"a\n=b\",2\nchecks.csv\t7\n+x\n:checks.csv,when\n=3\ngo\n";
        let records = Records::read(text.as_bytes());
        assert_eq!(records.open[0].added.columns, ["note", "entry"]);
        assert_eq!(records.open[0].added.rows, [["a\nb", "2"]]);
        assert_eq!(records.open[1].added.rows, [["3"]]);
        assert_eq!(as_record(&records.open), text.as_bytes());
    }

    #[test]
    fn a_record_comes_back_whole_or_not_at_all() {
        let text = "log.csv\t20\n+2,b\r\n+3,\"go\n+done\t\"\nchecks.csv\t7\twhole\n+when\n+\ngo\n";
        let records = Records::read(text.as_bytes());
        assert_eq!(records.open[0].bytes, b"2,b\r\n3,\"go\ndone\t\"\n");
        assert!(records.open[1].whole && !records.open[0].whole);
        assert_eq!(as_record(&records.open), text.as_bytes());
        assert!(records.go);
        for end in 0..text.len() {
            let half = Records::read(&text.as_bytes()[..end]);
            assert!(!half.go && half.keep == 0, "{end}");
        }
        let done = format!("{text}done\t1\t2\n");
        let two = format!("{done}log.csv\t9\n+4,go\ngo\ndone");
        let records = Records::read(two.as_bytes());
        assert_eq!((records.go, records.keep), (true, two.len() - 4));
        let begun = format!("{done}log.csv\t9\n+4");
        let records = Records::read(begun.as_bytes());
        assert_eq!((records.go, records.keep), (false, done.len()));
    }

    #[test]
    fn a_record_keeps_encoding_and_separator() {
        let text =
            "log.csv\t20\tutf-16le\tsemicolon\n+2;b\nlog.csv\t7\twhole\ttab\n+\"3\t\"\t4\ngo\n";
        let records = Records::read(text.as_bytes());
        assert_eq!(records.open[0].separator, b';');
        assert_eq!(as_record(&records.open), text.as_bytes());
    }

    #[test]
    fn a_record_cannot_lead_out_of_the_folder() {
        for name in [
            "../log.csv",
            "/tmp/log.csv",
            "shop.toml",
            "a\\log.csv",
            "log.csv\tx",
        ] {
            let text = format!("{name}\t0\n+x\ngo\n");
            assert!(Records::read(text.as_bytes()).open.is_empty(), "{name}");
        }
    }
}
