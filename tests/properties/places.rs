//! Every cell of a table knows its first byte, and the line and the number of its row.

use crate::few;
use proptest::collection::vec;
use proptest::prelude::{Just, Strategy, TestCaseError, any, prop_assert_eq, prop_oneof, proptest};
use proptest::sample::select;
use sandarac::text::{
    CellFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Shape, Span, Table, show_all,
    show_one,
};

static SHAPE: Shape = Shape {
    file: "t.csv",
    must: &["one", "two", "three"],
    may: &[],
};

/// One line or row of a table.
#[derive(Clone, Debug)]
enum Piece {
    Blank,
    Comment(String),
    Row([(String, bool); 3]),
}

fn piece() -> impl Strategy<Value = Piece> {
    let letter = select(vec![
        "a", "7", " ", "é", "漆", "𝛑", "e\u{301}", "\"", ",", "\n", "\r\n", "#", "'", "\u{a0}",
        ";", "\t", "\u{200d}",
    ]);
    let cell = (
        vec(letter, 0..6).prop_map(|letters| letters.concat()),
        any::<bool>(),
    );
    let row = [cell.clone(), cell.clone(), cell].prop_map(Piece::Row);
    let comment = "[^\r\n\0]{0,12}".prop_map(|text| Piece::Comment(text.replace('"', "'")));
    prop_oneof![1 => Just(Piece::Blank), 1 => comment, 4 => row]
}

/// A text as it grows, and where its end is, counted letter by letter.
struct Pen {
    text: String,
    line: u64,
    /// The row, as a spreadsheet counts it.
    row: u64,
}

impl Pen {
    fn write(&mut self, text: &str) {
        self.line += u64::try_from(text.matches('\n').count()).unwrap();
        self.text.push_str(text);
    }

    fn end_row(&mut self, end: &str) {
        self.write(end);
        self.row += 1;
    }

    fn byte(&self) -> u64 {
        self.text.len().try_into().unwrap()
    }
}

/// A cell, its first byte, and the line and the row that its row begins with.
#[derive(Debug, PartialEq, Eq)]
struct Located {
    text: String,
    byte: u64,
    line: u64,
    row: u64,
}

/// The table, and each cell with its place.
fn table(bom: bool, returns: &[bool], pieces: &[Piece]) -> (String, Vec<[Located; 3]>) {
    let mut pen = Pen {
        text: if bom { "\u{feff}" } else { "" }.to_string(),
        line: 1,
        row: 1,
    };
    let (mut rows, mut ends) = (Vec::new(), returns.iter().cycle());
    let mut end = || if *ends.next().unwrap() { "\r\n" } else { "\n" };
    pen.write("one,two,three");
    pen.end_row(end());
    for piece in pieces {
        match piece {
            Piece::Blank => {}
            Piece::Comment(text) => pen.write(&format!("# {text}")),
            Piece::Row(cells) => {
                let (mut seen, line) = (Vec::new(), pen.line);
                for (nth, (text, quoted)) in cells.iter().enumerate() {
                    if nth > 0 {
                        pen.write(",");
                    }
                    let must =
                        text.contains(['"', ',', '\n', '\r']) || nth == 0 && text.starts_with('#');
                    seen.push(Located {
                        text: text.trim().to_string(),
                        byte: pen.byte(),
                        line,
                        row: pen.row,
                    });
                    if *quoted || must {
                        pen.write(&format!("\"{}\"", text.replace('"', "\"\"")));
                    } else {
                        pen.write(text);
                    }
                }
                let blank = |cell: &Located| cell.text.chars().all(|c| c.is_ascii_whitespace());
                // A lone cell that begins as a comment does is one that a spreadsheet quoted.
                let comment = cells.first().is_some_and(|(text, _)| {
                    text == "#"
                        || ["# ", "#\t", "##"]
                            .iter()
                            .any(|sign| text.starts_with(sign))
                }) && seen.iter().skip(1).all(|cell| cell.text.trim().is_empty());
                if !comment && !seen.iter().all(blank) {
                    rows.push(seen.try_into().unwrap());
                }
            }
        }
        pen.end_row(end());
    }
    (pen.text, rows)
}

/// The row that a message about this place shows.
fn row_shown(files: &Files, at: Span) -> u64 {
    let fault = CellFault::Missing {
        column: "two".into(),
    };
    let told = show_one(&Problem::new(fault, at), files);
    let number = told.strip_prefix("t.csv, row ").unwrap();
    let end = number.find([' ', ',']).unwrap();
    number[..end].parse().unwrap()
}

/// Reads a table back, each cell with the place that the program gives it.
fn read_back(files: &Files, file: FileId) -> Result<Vec<[Located; 3]>, String> {
    let mut problems = Problems::new();
    let mut found = Vec::new();
    if let Some(mut table) = Table::open(files, file, &SHAPE, &mut problems) {
        while let Some(row) = table.next(&mut problems) {
            found.push([0, 1, 2].map(|nth| {
                let at = row.cell(nth).place;
                Located {
                    text: row.text(nth).to_string(),
                    byte: files.first_byte(at).unwrap(),
                    line: files.lines(&[at])[0].unwrap(),
                    row: row_shown(files, at),
                }
            }));
        }
        table.finish(&mut problems);
    }
    if problems.none() {
        Ok(found)
    } else {
        Err(show_all(&problems, files))
    }
}

proptest! {
    #![proptest_config(few(1000))]

    #[test]
    fn every_cell_knows_its_place(
        bom in any::<bool>(), returns in vec(any::<bool>(), 1..5), pieces in vec(piece(), 0..10),
    ) {
        let (text, wanted) = table(bom, &returns, &pieces);
        let mut files = Files::default();
        let file = files.hold("t.csv", text.clone().into_bytes());
        let found = read_back(&files, file).map_err(TestCaseError::fail)?;
        prop_assert_eq!(found, wanted, "{:?}", text);
    }
}

/// A file too large to be held in memory: read again from the disk at the spot, from mark to mark.
#[test]
fn a_large_file_knows_its_lines() {
    let folder = tempfile::TempDir::new().unwrap();
    let path = folder.path().join("large.csv");
    let mut text = String::from("\u{feff}# large\r\n\r\none,two,three\r\n");
    let (mut lines, mut bytes) = (Vec::new(), Vec::new());
    let mut line = 4_u64;
    for number in 0..40_000_u64 {
        if number.is_multiple_of(7) {
            text += "# a comment\n\r\n";
            line += 2;
        }
        lines.push(line);
        text += &format!("{number},\"漆\n{number}\",");
        bytes.push(u64::try_from(text.len()).unwrap());
        text += "a cell that makes the file larger\r\n";
        line += 2;
    }
    assert!(u64::try_from(text.len()).unwrap() > MOST_BYTES_KEPT);
    std::fs::write(&path, &text).unwrap();
    let mut files = Files::default();
    let file = files.open("large.csv", &path).unwrap();
    assert!(files.held(file).is_none());
    let mut problems = Problems::new();
    let mut places: Vec<Span> = Vec::new();
    let mut table = Table::open(&files, file, &SHAPE, &mut problems).unwrap();
    while let Some(row) = table.next(&mut problems) {
        places.push(row.cell_place(2));
    }
    let finished = table.finish(&mut problems);
    finished.keep(&files);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    // Backwards and by leaps, so that no answer leans on the one before.
    let asked: Vec<usize> = (0..places.len()).rev().step_by(37).collect();
    let some: Vec<Span> = asked.iter().map(|at| places[*at]).collect();
    let wanted: Vec<Option<u64>> = asked.iter().map(|at| Some(lines[*at])).collect();
    assert_eq!(files.lines(&some), wanted, "the row of each");
    for at in asked {
        assert_eq!(files.first_byte(places[at]), Some(bytes[at]));
    }
}
