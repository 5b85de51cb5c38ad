//! A row of the log as it is written, each cell by the name of its column.

use crate::text::Row;

/// The cells of a row of the log, empty where nothing is written.
#[derive(Clone, Copy, Debug)]
pub struct LogRowText<'t> {
    pub entry: &'t str,
    pub when: &'t str,
    pub what: &'t str,
    pub container: &'t str,
    pub amount: &'t str,
    pub into: &'t str,
    pub place: &'t str,
    pub minutes: &'t str,
    pub by: &'t str,
    pub note: &'t str,
    pub written: &'t str,
    pub id: &'t str,
    pub from: &'t str,
}

impl<'t> LogRowText<'t> {
    /// The cells of a row.
    pub fn read(row: &Row<'t>) -> LogRowText<'t> {
        let cells: [&str; 13] = row.texts();
        let mut cells = cells.into_iter();
        let mut next = || cells.next().unwrap_or_default();
        LogRowText {
            entry: next(),
            when: next(),
            what: next(),
            container: next(),
            amount: next(),
            into: next(),
            place: next(),
            minutes: next(),
            by: next(),
            note: next(),
            written: next(),
            id: next(),
            from: next(),
        }
    }

    /// Does it correct another entry, or take one back?
    pub fn is_correction(&self) -> bool {
        self.what == "correct"
    }

    /// Does it take another entry back, and put nothing in its place?
    pub fn takes_back(&self) -> bool {
        let cells = [
            self.container,
            self.amount,
            self.place,
            self.minutes,
            self.from,
        ];
        self.is_correction() && cells.iter().all(|cell| cell.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::LogRowText;
    use crate::record::LOG;
    use crate::text::{Files, Problems, Table};

    #[test]
    fn each_cell_has_the_name_of_its_column() {
        let names: Vec<&str> = LOG.all().collect();
        let mut files = Files::default();
        let head = names.join(",");
        let file = files.hold("log.csv", format!("{head}\n{head}\n").into_bytes());
        let mut problems = Problems::new();
        let mut table = Table::open(&files, file, &LOG, &mut problems).unwrap();
        let row = table.next(&mut problems).unwrap();
        let text = LogRowText::read(&row);
        let cells = [
            text.entry,
            text.when,
            text.what,
            text.container,
            text.amount,
            text.into,
            text.place,
            text.minutes,
            text.by,
            text.note,
            text.written,
            text.id,
            text.from,
        ];
        assert_eq!(names, cells);
    }
}
