//! Every cell of a table knows its line and column.

use crate::few;
use proptest::collection::vec;
use proptest::prelude::{Just, Strategy, TestCaseError, any, prop_assert_eq, prop_oneof, proptest};
use proptest::sample::select;
use sandarac::text::{FileId, Files, MOST_BYTES_KEPT, Problems, Shape, Span, Table, show_all};

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
    column: usize,
}

impl Pen {
    fn write(&mut self, text: &str) {
        for letter in text.chars() {
            self.text.push(letter);
            if letter == '\n' {
                (self.line, self.column) = (self.line + 1, 1);
            } else {
                self.column += 1;
            }
        }
    }
}

type Seen = (String, u64, usize);

/// The table, and each cell with its line and column.
fn table(bom: bool, returns: &[bool], pieces: &[Piece]) -> (String, Vec<[Seen; 3]>) {
    let mut pen = Pen {
        text: String::new(),
        line: 1,
        column: 1,
    };
    let (mut rows, mut ends) = (Vec::new(), returns.iter().cycle());
    let mut line_end = |pen: &mut Pen| pen.write(if *ends.next().unwrap() { "\r\n" } else { "\n" });
    pen.write("one,two,three");
    line_end(&mut pen);
    for piece in pieces {
        match piece {
            Piece::Blank => {}
            Piece::Comment(text) => pen.write(&format!("# {text}")),
            Piece::Row(cells) => {
                let mut seen = Vec::new();
                for (nth, (text, quoted)) in cells.iter().enumerate() {
                    if nth > 0 {
                        pen.write(",");
                    }
                    let must =
                        text.contains(['"', ',', '\n', '\r']) || nth == 0 && text.starts_with('#');
                    seen.push((text.trim().to_string(), pen.line, pen.column));
                    if *quoted || must {
                        pen.write(&format!("\"{}\"", text.replace('"', "\"\"")));
                    } else {
                        pen.write(text);
                    }
                }
                let blank = |(text, _, _): &Seen| text.chars().all(|c| c.is_ascii_whitespace());
                if !seen.iter().all(blank) {
                    rows.push(seen.try_into().unwrap());
                }
            }
        }
        line_end(&mut pen);
    }
    let bom = if bom { "\u{feff}" } else { "" };
    (format!("{bom}{}", pen.text), rows)
}

/// Reads a table back, each cell with the line and column that the program gives it.
fn read_back(files: &Files, file: FileId) -> Result<Vec<[Seen; 3]>, String> {
    let mut problems = Problems::new();
    let mut found = Vec::new();
    if let Some(mut table) = Table::open(files, file, &SHAPE, &mut problems) {
        while let Some(row) = table.next(&mut problems) {
            found.push([0, 1, 2].map(|nth| {
                let at = files.locate(row.cell(nth).place);
                (row.text(nth).to_string(), at.line.unwrap(), at.column)
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
    let mut lines = Vec::new();
    let mut line = 4_u64;
    for number in 0..40_000_u64 {
        if number.is_multiple_of(7) {
            text += "# a comment\n\r\n";
            line += 2;
        }
        lines.push(line);
        text += &format!("{number},\"漆\n{number}\",a cell that makes the file larger\r\n");
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
    finished.keep(&mut files);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    // Backwards and by leaps, so that no answer leans on the one before.
    let asked: Vec<usize> = (0..places.len()).rev().step_by(37).collect();
    let some: Vec<Span> = asked.iter().map(|at| places[*at]).collect();
    let wanted: Vec<Option<u64>> = asked.iter().map(|at| Some(lines[*at])).collect();
    assert_eq!(files.lines(&some), wanted, "the row of each");
    for at in asked.iter().step_by(100) {
        let found = files.locate(places[*at]);
        assert_eq!(
            (found.line, found.column),
            (Some(lines[*at] + 1), at.to_string().len() + 3)
        );
    }
}
