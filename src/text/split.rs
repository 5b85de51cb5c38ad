//! One table parted in two, row by row and byte for byte: comments, quotation marks and line breaks stay as they are.

use super::file::{FileId, Files};
use super::problem::Problems;
use super::row::Row;
use super::span::skip_idle_lines;
use super::table::{Shape, Table};
use std::collections::{HashMap, HashSet};
use std::io::{BufReader, Read, Result, Write};

/// What was parted.
#[derive(Debug, Default)]
pub struct Parted {
    /// Rows that went to the first part.
    pub first: u64,
    /// Rows that went to the second part.
    pub second: u64,
    /// The lines, in the first part, of those rows that were asked about, by their byte in the table.
    pub lines: HashMap<u64, u64>,
}

/// One of the two parts, as it is written.
struct Part<W> {
    out: W,
    breaks: u64,
    last: u8,
}

impl<W: Write> Part<W> {
    fn put(&mut self, bytes: &[u8]) -> Result<()> {
        self.out.write_all(bytes)?;
        self.breaks += breaks(bytes);
        self.last = bytes.last().copied().unwrap_or(self.last);
        Ok(())
    }

    /// The reader counts the second half of `\r\n` to the row that follows; a part that ends before it lacks it.
    fn end(mut self) -> Result<()> {
        if self.last == b'\r' {
            self.put(b"\n")?;
        }
        self.out.flush()
    }
}

fn breaks(bytes: &[u8]) -> u64 {
    u64::try_from(memchr::memchr_iter(b'\n', bytes).count()).unwrap_or(0)
}

/// Parts a table: both parts get what stands above the first row, and each row goes to the first part if `early` says so.
/// A comment goes with the row below it. `None` where the table cannot be read as one; its problems are noted.
pub fn split(
    files: &Files,
    (file, shape): (FileId, &'static Shape),
    asked: &HashSet<u64>,
    mut early: impl FnMut(&Row<'_>) -> bool,
    (first, second): (impl Write, impl Write),
    problems: &mut Problems,
) -> Result<Option<Parted>> {
    let Some(mut table) = Table::open(files, file, shape, problems) else {
        return Ok(None);
    };
    let mut source = BufReader::new(files.reader(file)?);
    let (mut first, mut second) = (Part::of(first), Part::of(second));
    let mut parted = Parted::default();
    let (mut buffer, mut at) = (Vec::new(), 0);
    // Where the row under way begins, and where it goes.
    let mut under_way: Option<(u64, bool)> = None;
    loop {
        let next = table.next(problems).map(|row| (row.byte(), early(&row)));
        let until = next.map_or(u64::MAX, |(byte, _)| byte);
        buffer.clear();
        (&mut source).take(until - at).read_to_end(&mut buffer)?;
        at = until;
        match under_way {
            None => {
                first.put(&buffer)?;
                second.put(&buffer)?;
            }
            Some((byte, true)) => {
                if asked.contains(&byte) {
                    let above = breaks(&buffer[..skip_idle_lines(&buffer)]);
                    parted.lines.insert(byte, first.breaks + above + 1);
                }
                parted.first += 1;
                first.put(&buffer)?;
            }
            Some((_, false)) => {
                parted.second += 1;
                second.put(&buffer)?;
            }
        }
        if next.is_none() {
            break;
        }
        under_way = next;
    }
    table.finish(problems);
    first.end()?;
    second.end()?;
    Ok(Some(parted))
}

impl<W> Part<W> {
    fn of(out: W) -> Part<W> {
        Part {
            out,
            breaks: 0,
            last: 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Parted, split};
    use crate::text::{Files, Problems, Shape};
    use std::collections::HashSet;

    static SHAPE: Shape = Shape {
        file: "log.csv",
        must: &["entry", "when"],
        may: &["note"],
    };

    /// Entries up to 5 are early.
    fn parted(text: &str) -> (String, String, Parted) {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let file = files.hold("log.csv", text.as_bytes().to_vec());
        let (mut first, mut second) = (Vec::new(), Vec::new());
        let mut asked = HashSet::new();
        asked.extend(0..1000);
        let early = |row: &crate::text::Row<'_>| row.text(1) <= "5";
        let outs = (&mut first, &mut second);
        let parted = split(&files, (file, &SHAPE), &asked, early, outs, &mut problems);
        assert!(problems.none());
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (text(first), text(second), parted.unwrap().unwrap())
    }

    #[test]
    fn every_byte_goes_with_its_row() {
        let (first, second, parted) =
            parted("# log\nentry,when,note\n1,3,a\n\n# why\n2,9,\"b\n\"\"c\"\n3,4,\"d\ne\"\n4,8,f");
        assert_eq!(first, "# log\nentry,when,note\n1,3,a\n3,4,\"d\ne\"\n");
        assert_eq!(
            second,
            "# log\nentry,when,note\n\n# why\n2,9,\"b\n\"\"c\"\n4,8,f"
        );
        assert_eq!((parted.first, parted.second), (2, 2));
        let mut lines: Vec<u64> = parted.lines.into_values().collect();
        lines.sort_unstable();
        assert_eq!(lines, [3, 4]);
    }

    #[test]
    fn the_line_breaks_of_spreadsheets_stay_whole() {
        let text = "\u{feff}when,entry,note\r\n3,1,a\r\n9,2,b\r\n4,3,c\r\n";
        let (first, second, parted) = parted(text);
        assert_eq!(first, "\u{feff}when,entry,note\r\n3,1,a\r\n4,3,c\r\n");
        assert_eq!(second, "\u{feff}when,entry,note\r\n9,2,b\r\n");
        let mut lines: Vec<u64> = parted.lines.into_values().collect();
        lines.sort_unstable();
        assert_eq!(lines, [2, 3]);
    }

    #[test]
    fn all_rows_may_go_one_way() {
        let (first, second, _) = parted("entry,when\n1,2\n2,3\n");
        assert_eq!(
            (first.as_str(), second.as_str()),
            ("entry,when\n1,2\n2,3\n", "entry,when\n")
        );
        let (first, second, _) = parted("entry,when\r\n1,7\r\n");
        assert_eq!(
            (first.as_str(), second.as_str()),
            ("entry,when\r\n", "entry,when\r\n1,7\r\n")
        );
        let (first, second, _) = parted("entry,when\n");
        assert_eq!(
            (first.as_str(), second.as_str()),
            ("entry,when\n", "entry,when\n")
        );
    }
}
