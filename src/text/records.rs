//! Rows that were read and are not understood yet, all in one piece of memory.
//!
//! They go from one thread to another, and then each line of memory costs: a row is its text and two bytes and more for each
//! cell, with nothing in between.

use csv::StringRecord;

/// Some rows of a table.
#[derive(Clone, Debug, Default)]
pub struct Records {
    text: String,
    /// Where each cell of each row ends in the text.
    ends: Vec<u32>,
    rows: Vec<Start>,
}

/// Where a row begins: in the file, in the text, and among the ends of cells.
#[derive(Clone, Copy, Debug)]
struct Start {
    byte: u64,
    text: u32,
    ends: u32,
}

/// The cells of one row: just read, or kept among others.
#[derive(Clone, Copy, Debug)]
pub(super) enum Cells<'t> {
    Read(&'t StringRecord),
    Kept {
        text: &'t str,
        ends: &'t [u32],
        start: u32,
    },
}

impl Records {
    /// How many rows.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Are there none?
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// How many bytes their text has.
    pub fn bytes(&self) -> usize {
        self.text.len()
    }

    /// Forgets them; their memory stays for others.
    pub fn clear(&mut self) {
        self.text.clear();
        self.ends.clear();
        self.rows.clear();
    }

    /// Adds a row that begins at this byte of its file. The caller sees to it that the text stays below four gigabytes.
    pub(super) fn push(&mut self, record: &StringRecord, byte: u64) {
        let mut end = short(self.text.len());
        self.rows.push(Start {
            byte,
            text: end,
            ends: short(self.ends.len()),
        });
        self.text.push_str(record.as_slice());
        self.ends.extend(record.iter().map(|cell| {
            end += short(cell.len());
            end
        }));
    }

    /// The cells of each row, and the byte at which it begins.
    pub(super) fn iter(&self) -> impl Iterator<Item = (Cells<'_>, u64)> {
        let next = self.rows.iter().skip(1).map(|next| long(next.ends));
        let until = next.chain([self.ends.len()]);
        self.rows.iter().zip(until).map(|(row, until)| {
            let cells = Cells::Kept {
                text: &self.text,
                ends: self.ends.get(long(row.ends)..until).unwrap_or_default(),
                start: row.text,
            };
            (cells, row.byte)
        })
    }
}

impl<'t> Cells<'t> {
    /// A cell by its position; nothing where the row is shorter.
    #[inline(always)]
    pub fn get(self, at: usize) -> &'t str {
        let (text, ends, start) = match self {
            Cells::Read(record) => return record.get(at).unwrap_or(""),
            Cells::Kept { text, ends, start } => (text, ends, start),
        };
        let before = at.checked_sub(1);
        let start = before.map_or(Some(start), |before| ends.get(before).copied());
        let (Some(start), Some(end)) = (start, ends.get(at)) else {
            return "";
        };
        text.get(long(start)..long(*end)).unwrap_or("")
    }
}

fn short(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn long(number: u32) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

#[cfg(test)]
mod tests {
    use super::Records;
    use csv::StringRecord;

    #[test]
    fn what_goes_in_comes_out() {
        let rows: [&[&str]; 5] = [&["a", "", "écorce"], &[], &[""], &["", "", "x"], &["last"]];
        let mut records = Records::default();
        for _ in 0..2 {
            records.clear();
            for (row, byte) in rows.iter().zip(7..) {
                records.push(&StringRecord::from(row.to_vec()), byte);
            }
            assert_eq!(records.len(), rows.len());
            for ((cells, byte), (row, expected)) in records.iter().zip(rows.iter().zip(7..)) {
                assert_eq!(byte, expected);
                for (at, cell) in row.iter().enumerate() {
                    assert_eq!(cells.get(at), *cell);
                }
                assert_eq!(cells.get(row.len()), "");
                assert_eq!(cells.get(row.len() + 1), "");
            }
        }
        assert_eq!(records.bytes(), "aécorcexlast".len());
    }
}
