//! A table with some of its cells written anew, and nothing else of it touched: comments, the order of columns and
//! whatever stands in other cells stay byte for byte.

use super::file::{FileId, Files};
use super::problem::Problems;
use super::row::Row;
use super::span::cell_range;
use super::table::{Shape, Table};
use std::io::{Read, Result};

/// A cell to be written: its column, by name, and its new text.
pub type Written = (&'static str, String);

/// Writes cells anew. `cells` says of each row which; columns that the table lacks are added behind its last one.
/// `None` where the table cannot be read as one; its problems are noted.
pub fn rewrite(
    files: &Files,
    (file, shape): (FileId, &'static Shape),
    columns: &[&'static str],
    mut cells: impl FnMut(&Row<'_>) -> Vec<Written>,
    problems: &mut Problems,
) -> Result<Option<Vec<u8>>> {
    let Some(mut table) = Table::open(files, file, shape, problems) else {
        return Ok(None);
    };
    let mut text = Vec::new();
    files.reader(file)?.read_to_end(&mut text)?;
    let width = table.layout().width();
    let missing: Vec<&'static str> = columns
        .iter()
        .filter(|column| table.layout().location(column).is_none())
        .copied()
        .collect();
    // By byte, so that they can be made from the end of the file to its beginning.
    let mut edits: Vec<(usize, usize, String)> = Vec::new();
    let end_of_row = |byte: usize, width: usize| {
        let last = u16::try_from(width.saturating_sub(1)).ok();
        byte + cell_range(text.get(byte..).unwrap_or_default(), last).1
    };
    let behind = |list: Vec<&str>| {
        list.iter()
            .map(|cell| format!(",{cell}"))
            .collect::<String>()
    };
    if !missing.is_empty() {
        let end = end_of_row(0, width);
        edits.push((end, end, behind(missing.clone())));
    }
    let layout = table.layout().clone();
    while let Some(row) = table.next(problems) {
        let Ok(byte) = usize::try_from(row.byte()) else {
            continue;
        };
        let new = cells(&row);
        let written = |column: &str| {
            let found = new.iter().find(|(name, _)| *name == column);
            found.map_or(String::new(), |(_, text)| quoted(text))
        };
        for (column, _) in &new {
            let Some(at) = layout.location(column) else {
                continue;
            };
            let (from, to) = cell_range(text.get(byte..).unwrap_or_default(), Some(at));
            edits.push((byte + from, byte + to, written(column)));
        }
        if !missing.is_empty() {
            let end = end_of_row(byte, width);
            let more: Vec<String> = missing.iter().map(|column| written(column)).collect();
            edits.push((end, end, behind(more.iter().map(String::as_str).collect())));
        }
    }
    table.finish(problems);
    // A cell at the end of a row comes before what is added behind it.
    edits.sort_by_key(|(from, to, _)| (*from, *to));
    let (mut out, mut at) = (Vec::with_capacity(text.len() + text.len() / 4), 0);
    for (from, to, new) in edits {
        out.extend(text.get(at..from).unwrap_or_default());
        out.extend(new.bytes());
        at = to;
    }
    out.extend(text.get(at..).unwrap_or_default());
    Ok(Some(out))
}

/// A cell as CSV writes it (RFC 4180).
fn quoted(text: &str) -> String {
    let plain = !text.contains(['"', ',', '\n', '\r', '#']) && text.trim() == text;
    if plain {
        return text.to_string();
    }
    format!("\"{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::rewrite;
    use crate::text::{Files, Problems, Shape};

    static SHAPE: Shape = Shape {
        file: "inventory.csv",
        must: &["container"],
        may: &["amount", "place", "as_of"],
    };

    /// Every row but `K` gets an amount, a place and a day.
    fn rewritten(text: &str) -> String {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let file = files.hold("inventory.csv", text.as_bytes().to_vec());
        let cells = |row: &crate::text::Row<'_>| {
            if row.text(0) == "K" {
                return Vec::new();
            }
            vec![
                ("amount", "2 qt".to_string()),
                ("place", "shelf, \"left\"".to_string()),
                ("as_of", "D".to_string()),
            ]
        };
        let columns = ["amount", "place", "as_of"];
        let out = rewrite(&files, (file, &SHAPE), &columns, cells, &mut problems);
        assert!(problems.none());
        String::from_utf8(out.unwrap().unwrap()).unwrap()
    }

    #[test]
    fn only_what_is_written_anew_changes() {
        assert_eq!(
            rewritten("# a\nplace,container, as_of ,amount\n# b\n\"x\ny\", J , ,\"1 qt\"\nz,K,,\n"),
            "# a\nplace,container, as_of ,amount\n# b\n\"shelf, \"\"left\"\"\", J ,D,2 qt\nz,K,,\n"
        );
    }

    #[test]
    fn a_column_that_is_missing_comes_behind_the_last() {
        assert_eq!(
            rewritten("\u{feff}container,place\r\nJ,a\r\nK,b\r\n\"L\",,,\r\n"),
            "\u{feff}container,place,amount,as_of\r\nJ,\"shelf, \"\"left\"\"\",2 qt,D\r\nK,b,,\r\n\"L\",\"shelf, \"\"left\"\"\",2 qt,D,,\r\n"
        );
        assert_eq!(
            rewritten("container\nJ"),
            "container,amount,place,as_of\nJ,2 qt,\"shelf, \"\"left\"\"\",D"
        );
    }
}
