//! The two ends of a table: its columns in the order they stand, and how its last line ends. What a new row needs.

use super::table::Shape;
use std::io::{Read, Result, Seek, SeekFrom};
use std::path::Path;

/// As much of either end as is looked at.
const WINDOW: u64 = 1 << 16;

/// How a table begins and ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ends {
    /// The columns, in the order of the file.
    pub columns: Vec<String>,
    /// What ends its lines: `\n`, or `\r\n` where the first line ends so.
    pub line_break: &'static str,
    /// The last line has no line break after it.
    pub lacks_break: bool,
    /// The byte at which a last line begins that was cut off in the middle.
    pub torn: Option<u64>,
    /// There is no such file yet.
    pub missing: bool,
}

impl Ends {
    /// Of a file; one that is not there begins with all columns of its shape.
    pub fn of(path: &Path, shape: &Shape) -> Result<Ends> {
        let Some((head, tail, from)) = windows(path)? else {
            return Ok(Ends::missing(shape));
        };
        let columns = header(&head);
        if columns.is_empty() {
            return Ok(Ends {
                missing: tail.is_empty(),
                ..Ends::missing(shape)
            });
        }
        let line_break = match head.iter().position(|byte| *byte == b'\n') {
            Some(at) if at > 0 && head.get(at - 1) == Some(&b'\r') => "\r\n",
            Some(_) | None => "\n",
        };
        let begins = tail
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map_or(0, |at| at + 1);
        let last = tail.get(begins..).unwrap_or_default();
        let lacks_break = !last.is_empty();
        let torn = lacks_break && is_torn(last, columns.len());
        Ok(Ends {
            torn: torn.then(|| from + u64::try_from(begins).unwrap_or(0)),
            columns,
            line_break,
            lacks_break,
            missing: false,
        })
    }

    fn missing(shape: &Shape) -> Ends {
        Ends {
            columns: shape
                .must
                .iter()
                .chain(shape.may)
                .map(|c| (*c).to_string())
                .collect(),
            line_break: "\n",
            lacks_break: false,
            torn: None,
            missing: true,
        }
    }

    /// Rows in the order of the file's columns, as bytes to go at its end. The error is a column that the file lacks.
    pub fn rows(
        &self,
        rows: &[Vec<(&'static str, String)>],
    ) -> std::result::Result<Vec<u8>, &'static str> {
        let mut bytes = Vec::new();
        if self.missing {
            bytes.extend(line(
                self.columns.iter().map(String::as_str),
                self.line_break,
            ));
        } else if self.lacks_break {
            bytes.extend(self.line_break.bytes());
        }
        for row in rows {
            let given = row.iter().filter(|(_, text)| !text.is_empty());
            for (column, _) in given {
                if !self.columns.iter().any(|c| c.eq_ignore_ascii_case(column)) {
                    return Err(column);
                }
            }
            let cells = self.columns.iter().map(|column| {
                let found = row
                    .iter()
                    .find(|(name, _)| column.eq_ignore_ascii_case(name));
                found.map_or("", |(_, text)| text.as_str())
            });
            bytes.extend(line(cells, self.line_break));
        }
        Ok(bytes)
    }
}

/// Both ends of a file, and the byte at which the second begins.
type Windows = (Vec<u8>, Vec<u8>, u64);

fn windows(path: &Path) -> Result<Option<Windows>> {
    let mut file = match std::fs::File::open(path) {
        Ok(file) => file,
        Err(fault) if fault.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(fault) => return Err(fault),
    };
    let from = file.metadata()?.len().saturating_sub(WINDOW);
    let (mut head, mut tail) = (Vec::new(), Vec::new());
    (&mut file).take(WINDOW).read_to_end(&mut head)?;
    file.seek(SeekFrom::Start(from))?;
    file.read_to_end(&mut tail)?;
    Ok(Some((head, tail, from)))
}

fn header(head: &[u8]) -> Vec<String> {
    let head = head.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(head);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(head);
    let mut record = csv::StringRecord::new();
    match reader.read_record(&mut record) {
        Ok(true) => record.iter().map(|cell| cell.trim().to_string()).collect(),
        Ok(false) | Err(_) => Vec::new(),
    }
}

/// A last line without a line break is whole if it has all its cells; a disk that failed leaves noughts.
fn is_torn(last: &[u8], columns: usize) -> bool {
    if last.starts_with(b"#") {
        return false;
    }
    let open_quote = last.iter().filter(|byte| **byte == b'"').count() % 2 == 1;
    open_quote || last.contains(&0) || header(last).len() < columns
}

fn line<'t>(cells: impl Iterator<Item = &'t str>, line_break: &str) -> Vec<u8> {
    let terminator = if line_break == "\r\n" {
        csv::Terminator::CRLF
    } else {
        csv::Terminator::Any(b'\n')
    };
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .terminator(terminator)
        .comment(Some(b'#'))
        .from_writer(Vec::new());
    // Memory does not refuse what is written to it.
    let _ = writer.write_record(cells);
    writer.into_inner().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::Ends;
    use crate::text::Shape;

    static SHAPE: Shape = Shape {
        file: "log.csv",
        must: &["entry", "when"],
        may: &["note"],
    };

    fn ends(text: &str) -> Ends {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        std::fs::write(&path, text).unwrap();
        Ends::of(&path, &SHAPE).unwrap()
    }

    #[test]
    fn a_row_follows_the_columns_of_its_file() {
        let rows = [vec![
            ("entry", "7".to_string()),
            ("note", "a, \"b\"".to_string()),
        ]];
        let text = |ends: &Ends| String::from_utf8(ends.rows(&rows).unwrap()).unwrap();
        assert_eq!(text(&ends("note,when,entry\n")), "\"a, \"\"b\"\"\",,7\n");
        assert_eq!(
            text(&ends("\u{feff}entry,when,note\r\n1,,\r\n")),
            "7,,\"a, \"\"b\"\"\"\r\n"
        );
        assert_eq!(
            text(&ends("# log\n\nentry,when,note\n1,a,b")),
            "\n7,,\"a, \"\"b\"\"\"\n"
        );
        assert_eq!(ends("entry,when\n").rows(&rows), Err("note"));
        // The reader takes capitals that a spreadsheet put into the names of columns.
        assert_eq!(text(&ends("Entry,WHEN,Note\n")), "7,,\"a, \"\"b\"\"\"\n");
        let none = Ends::of(std::path::Path::new("/no/such/log.csv"), &SHAPE).unwrap();
        assert_eq!(text(&none), "entry,when,note\n7,,\"a, \"\"b\"\"\"\n");
        let hash = [vec![("entry", "#7".to_string())]];
        assert_eq!(
            ends("entry,when,note\n").rows(&hash).unwrap(),
            b"\"#7\",,\n"
        );
    }

    #[test]
    fn a_line_cut_off_is_known() {
        for (text, torn) in [
            ("entry,when,note\n1,a,b\n", None),
            ("entry,when,note\n1,a,b", None),
            ("entry,when,note\n1,a,b\n2,a", Some(22)),
            ("entry,when,note\n1,a,\"b", Some(16)),
            ("entry,when,note\n1,a,b\0\0", Some(16)),
            ("entry,when,note\n# a remark", None),
            ("entry,when,note", None),
        ] {
            assert_eq!(ends(text).torn, torn, "{text}");
        }
    }
}
