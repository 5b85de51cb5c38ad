//! A table with some of its rows changed, removed or added. All other lines stay as they are written.

use super::change::{Added, Change};
use super::kept_rows::WATCHED;
use super::table_end::{NamedCells, TableEnd};
use super::table_text::{lines, reader, rows_of, widened};
use crate::text::{CellStyle, Locale, Shape, starts_comment};

/// What is to become of the rows of a table. They are counted from 0, without blank rows and comments.
#[derive(Clone, Debug)]
pub struct TableEdit {
    pub table: &'static Shape,
    /// The new cells of some rows.
    pub set: Vec<(usize, NamedCells)>,
    /// The rows that go.
    pub remove: Vec<usize>,
    /// The rows that come.
    pub add: Vec<NamedCells>,
}

impl TableEdit {
    /// Nothing changes yet.
    pub fn new(table: &'static Shape) -> TableEdit {
        TableEdit {
            table,
            set: Vec::new(),
            remove: Vec::new(),
            add: Vec::new(),
        }
    }

    /// The cells of a row that are to change.
    fn cells_of(&self, row: usize) -> impl Iterator<Item = &(&'static str, String)> {
        let rows = self.set.iter().filter(move |(at, _)| *at == row);
        rows.flat_map(|(_, cells)| cells)
    }
}

impl TableEnd {
    /// The table after an edit. A column that it lacks is added to all of its rows.
    pub fn edited(&self, edit: &TableEdit, locale: &Locale) -> Change {
        if edit.set.is_empty() && edit.remove.is_empty() {
            return self.with(&edit.add, locale);
        }
        let mut end = self.clone();
        let set = edit.set.iter().map(|(_, cells)| cells.clone());
        let rows: Vec<NamedCells> = set.chain(edit.add.iter().cloned()).collect();
        let lacking = self.lacking(&rows);
        if !lacking.is_empty() {
            end.text = widened(&end.text, &lacking, end.separator);
            end.columns.extend(lacking);
        }
        let style = self.style(locale);
        let mut bytes = end.replaced(edit, |column, cell| {
            CellStyle::write(&style, cell, locale.form(column))
        });
        end.text.clone_from(&bytes);
        if !edit.add.is_empty() {
            bytes.extend(end.with(&edit.add, locale).bytes);
        }
        let mut change = self.change(true, bytes);
        if WATCHED.contains(&self.file()) {
            change.dropped = self.removed(edit);
        }
        change
    }

    /// The rows whose cell of a column is meant, counted as an edit counts them.
    pub fn rows_where(&self, column: &str, is_meant: impl Fn(&str) -> bool) -> Vec<usize> {
        let mut columns = self.columns.iter();
        let Some(at) = columns.position(|it| it.eq_ignore_ascii_case(column)) else {
            return Vec::new();
        };
        let meant = |row: &Vec<String>| row.get(at).is_some_and(|cell| is_meant(cell.trim()));
        let rows = self.counted().enumerate();
        rows.filter(|(_, row)| meant(row))
            .map(|(row, _)| row)
            .collect()
    }

    /// The rows without blank ones and comments.
    fn counted(&self) -> impl Iterator<Item = Vec<String>> {
        let is_row = |row: &Vec<String>| row.iter().any(|cell| !cell.trim().is_empty());
        rows_of(&self.text, self.separator).skip(1).filter(is_row)
    }

    /// The rows that go, for the journal: a table of records lacks them from now on by its own doing.
    fn removed(&self, edit: &TableEdit) -> Added {
        let gone = self
            .counted()
            .enumerate()
            .filter(|(at, _)| edit.remove.contains(at));
        Added {
            columns: self.columns.clone(),
            rows: gone.map(|(_, row)| row).collect(),
        }
    }

    /// Its text with the rows of an edit changed or left out.
    fn replaced(&self, edit: &TableEdit, write: impl Fn(&str, &str) -> String) -> Vec<u8> {
        let (mut out, mut from, mut named, mut row) = (Vec::new(), 0, false, 0);
        let mut reader = reader(self.text.as_slice(), self.separator);
        let mut record = csv::StringRecord::new();
        while reader.read_record(&mut record).is_ok_and(|read| read) {
            let mut end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
            // The reader stands between the two bytes of a CRLF.
            if self
                .text
                .get(..end)
                .is_some_and(|before| before.ends_with(b"\r"))
            {
                end += usize::from(self.text.get(end) == Some(&b'\n'));
            }
            let chunk = self.text.get(from..end).unwrap_or_default();
            from = end;
            let mut cells = record.iter();
            let begins = cells.next().is_some_and(|it| starts_comment(it.as_bytes()));
            let is_remark = begins && (!named || cells.all(|cell| cell.trim().is_empty()));
            if is_remark || !named || record.as_slice().trim().is_empty() {
                named |= !is_remark;
                out.extend(chunk);
                continue;
            }
            let (idle, at) = (idle_lines(chunk), row);
            row += 1;
            if edit.remove.contains(&at) {
                out.extend(idle);
            } else if edit.cells_of(at).next().is_some() {
                let mut cells: Vec<String> = record.iter().map(str::to_string).collect();
                cells.resize(cells.len().max(self.columns.len()), String::new());
                for (column, cell) in edit.cells_of(at) {
                    let place = self
                        .columns
                        .iter()
                        .position(|it| it.eq_ignore_ascii_case(column));
                    if let Some(old) = place.and_then(|place| cells.get_mut(place)) {
                        *old = write(column, cell);
                    }
                }
                out.extend(idle);
                out.extend(lines(&[cells], self.line_break(), self.separator));
            } else {
                out.extend(chunk);
            }
        }
        out.extend(self.text.get(from..).unwrap_or_default());
        out
    }
}

/// The blank and comment lines before a row.
fn idle_lines(chunk: &[u8]) -> &[u8] {
    let mut at = 0;
    for line in chunk.split_inclusive(|byte| *byte == b'\n') {
        if !line.starts_with(b"#") && !line.trim_ascii().is_empty() {
            break;
        }
        at += line.len();
    }
    chunk.get(..at).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::TableEdit;
    use crate::files::TableEnd;
    use crate::text::{DateOrder, DecimalMark, Locale, Shape};

    static SHAPE: Shape = Shape {
        file: "places.csv",
        must: &["place"],
        may: &["since", "amount", "note"],
    };

    fn edited(text: &str, edit: &TableEdit, locale: &Locale) -> String {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("places.csv"), text).unwrap();
        let change = TableEnd::read(folder.path(), &SHAPE)
            .unwrap()
            .edited(edit, locale);
        assert!(change.whole);
        String::from_utf8(change.bytes).unwrap()
    }

    #[test]
    fn other_lines_stay_as_they_are_written() {
        let text = "# a\r\nplace , amount\r\n\r\n\"a \",1 L\r\n# b, c\r\nb,2 L\r\n,\r\nc,3 L";
        let mut edit = TableEdit::new(&SHAPE);
        edit.set.push((1, vec![("amount", "9 L".into())]));
        let plain = Locale::default();
        assert_eq!(edited(text, &edit, &plain), text.replace("b,2 L", "b,9 L"));
        edit.set = vec![(2, vec![("note", "x".into())])];
        edit.remove = vec![0];
        edit.add = vec![vec![("place", "d".into())]];
        assert_eq!(
            edited(text, &edit, &plain),
            "# a\r\nplace , amount,note\r\n\r\n# b, c\r\nb,2 L,\r\n,,\r\nc,3 L,x\r\nd,,\r\n"
        );
    }

    #[test]
    fn a_cell_is_written_as_its_table_is() {
        let german = Locale {
            dates: Some(DateOrder::DayFirst),
            decimals: Some(DecimalMark::Comma),
            days: &["since"],
            numbers: &["amount"],
        };
        let mut edit = TableEdit::new(&SHAPE);
        let cells = vec![("since", "2026-11-01".into()), ("amount", "0.5 L".into())];
        edit.set.push((0, cells));
        let text = "place;since;amount\na;31.10.2026;1,5 L\n";
        assert_eq!(
            edited(text, &edit, &german),
            "place;since;amount\na;01.11.2026;0,5 L\n"
        );
    }
}
