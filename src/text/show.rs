//! Problems as a person reads them: file, row, column, what is wrong, what to write instead.

use super::file::Files;
use super::problem::Problem;
use super::problems::Problems;
use super::row_number::RowCount;
use super::span::FileId;
use super::span::{Extent, Span};
use super::unseen::clean;
use std::fmt::Write;

/// As many letters of a sentence as are shown: a cell that it quotes may be of any length.
const SENTENCE: usize = 600;
/// As many letters of a cell as stand for its row.
const LABEL: usize = 40;

/// A problem as a reader sees it, each part by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownProblem {
    /// A short stable name of what is wrong.
    pub code: &'static str,
    /// The file, or "command line".
    pub file: String,
    /// The row of a table, as a spreadsheet numbers it.
    pub row: Option<u64>,
    /// The line of any other file.
    pub line: Option<u64>,
    /// The first cell of the row, by which a reader finds it.
    pub label: Option<String>,
    /// The column of a table, the key of a TOML file, or the option of a command.
    pub field: Option<String>,
    /// The first byte of what is wrong.
    pub byte: Option<u64>,
    pub wrong: String,
    /// What to write instead.
    pub fix: String,
    /// Another place that has to do with it.
    pub see: Option<String>,
}

/// Problems in the order of their files and rows, ready to be shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShownProblems {
    /// Those that are shown.
    pub list: Vec<ShownProblem>,
    /// How many more there are.
    pub more: usize,
}

impl ShownProblems {
    /// Works out where each problem is.
    pub fn of_files(problems: &Problems, files: &Files) -> ShownProblems {
        let mut rows = None;
        let sorted = problems.sorted();
        ShownProblems {
            list: sorted.iter().map(|p| shown(p, files, &mut rows)).collect(),
            more: problems.more(),
        }
    }

    /// All of them as text, how many there are, and what was not done because of them, as a sentence.
    pub fn text(&self, undone: &str) -> String {
        let mut text = String::new();
        for (problem, again) in self.combined() {
            let _ = write!(text, "{problem}");
            if let Some(rows) = rows_again(&again) {
                let _ = writeln!(text, "  {rows}");
            }
            text.push('\n');
        }
        if self.more > 0 {
            let _ = writeln!(text, "{} more problems are not shown.\n", self.more);
        }
        let count = self.list.len() + self.more;
        let noun = if count == 1 { "problem" } else { "problems" };
        let _ = writeln!(text, "{count} {noun}. {undone}");
        text
    }
}

impl ShownProblems {
    /// Each problem that is shown by itself, with the others of its column that say the same.
    fn combined(&self) -> Vec<(&ShownProblem, Vec<&ShownProblem>)> {
        let mut groups: Vec<(&ShownProblem, Vec<&ShownProblem>)> = Vec::new();
        for problem in &self.list {
            match groups.iter_mut().find(|(first, _)| first.is_like(problem)) {
                Some((_, again)) => again.push(problem),
                None => groups.push((problem, Vec::new())),
            }
        }
        groups
    }
}

/// Most rows that are named of equal problems.
const ROWS_NAMED: usize = 5;

/// "The same problem is in rows 5, 7 and 9."
fn rows_again(again: &[&ShownProblem]) -> Option<String> {
    let rows: Vec<String> = again
        .iter()
        .filter_map(|problem| problem.row.map(|row| row.to_string()))
        .collect();
    let (named, rest) = rows.split_at(rows.len().min(ROWS_NAMED));
    match (named, rest.len()) {
        ([], _) => None,
        ([one], 0) => Some(format!("The same problem is in row {one}.")),
        ([most @ .., last], 0) => Some(format!(
            "The same problem is in rows {} and {last}.",
            most.join(", ")
        )),
        (named, more) => Some(format!(
            "The same problem is in rows {} and {more} more.",
            named.join(", ")
        )),
    }
}

impl std::fmt::Display for ShownProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "{}: {}", self.place(), self.wrong)?;
        writeln!(f, "  {}", self.fix)?;
        match &self.see {
            Some(see) => writeln!(f, "  See also {see}."),
            None => Ok(()),
        }
    }
}

impl ShownProblem {
    /// Is this the same mistake in another row of the same column?
    fn is_like(&self, other: &ShownProblem) -> bool {
        let is_cell = self.row.is_some() && other.row.is_some() && self.field.is_some();
        is_cell
            && (&self.file, &self.field, self.code) == (&other.file, &other.field, other.code)
            && self.without_quotes() == other.without_quotes()
            && self.see.is_none()
            && other.see.is_none()
    }

    /// What is wrong and how to fix it, but for what is quoted of the cell. A name or word that is unknown is the mistake
    /// itself, so its quotation stays.
    fn without_quotes(&self) -> String {
        let text = format!("{} {}", self.wrong, self.fix);
        if matches!(self.code, "name-unknown" | "word-unknown") {
            return text;
        }
        let outside = text.split('"').step_by(2);
        let letters = outside.flat_map(str::chars).filter(|c| !c.is_ascii_digit());
        letters.collect()
    }

    /// `inventory.csv, row 14 (J-9), column "amount"`, or `shop.toml, line 3, key "units"`.
    fn place(&self) -> String {
        let mut text = self.file.clone();
        if let Some(row) = self.row {
            let _ = write!(text, ", row {row}");
        }
        if let Some(line) = self.line {
            let _ = write!(text, ", line {line}");
        }
        if let Some(label) = &self.label {
            let _ = write!(text, " ({label})");
        }
        match &self.field {
            Some(option) if option.starts_with("--") => {
                let _ = write!(text, ", {option}");
            }
            Some(field) => {
                let word = if is_table(&self.file) {
                    "column"
                } else {
                    "key"
                };
                let _ = write!(text, ", {word} \"{field}\"");
            }
            None => {}
        }
        text
    }
}

/// All problems, one after another, how many there are, and that nothing was audited because of them.
pub fn show_all(problems: &Problems, files: &Files) -> String {
    show_all_and(problems, files, "Nothing was audited.")
}

/// As [`show_all`], with what was not done because of them, as a sentence.
pub fn show_all_and(problems: &Problems, files: &Files, undone: &str) -> String {
    ShownProblems::of_files(problems, files).text(undone)
}

pub fn show_one(problem: &Problem, files: &Files) -> String {
    shown(problem, files, &mut None).to_string()
}

/// One problem; `rows` counts on from the problem before.
fn shown<'f>(problem: &Problem, files: &'f Files, rows: &mut Option<RowCount<'f>>) -> ShownProblem {
    let words = problem.fault.words();
    let see = problem
        .see
        .map(|see| located(see, None, files, &mut None).place());
    ShownProblem {
        code: problem.fault.code(),
        wrong: short(&words.wrong),
        fix: short(&words.fix),
        see,
        ..located(problem.at, problem.fault.field(), files, rows)
    }
}

/// Where something is, without any words.
fn located<'f>(
    at: Span,
    field: Option<&str>,
    files: &'f Files,
    rows: &mut Option<RowCount<'f>>,
) -> ShownProblem {
    let file = clean(files.name(at.file));
    let (byte, table) = (files.first_byte(at), is_table(&file));
    let (label, column) = match at.extent {
        Extent::Row(start) | Extent::Cell(start, _) if table => {
            names_of(files, at.file, start, at.extent)
        }
        Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Cell(..) | Extent::Range(..) => {
            (None, None)
        }
    };
    let line = || files.lines(&[at]).into_iter().flatten().next();
    ShownProblem {
        code: "",
        row: byte
            .filter(|_| table)
            .map(|byte| row(files, at.file, byte, rows)),
        line: byte.filter(|_| !table).and_then(|_| line()),
        label,
        field: column.or_else(|| field.map(clean)),
        byte,
        wrong: String::new(),
        fix: String::new(),
        see: None,
        file,
    }
}

/// Is it a table, or a sheet of a workbook?
fn is_table(file: &str) -> bool {
    file.ends_with(".csv") || file.contains(", sheet ")
}

fn row<'f>(files: &'f Files, file: FileId, byte: u64, rows: &mut Option<RowCount<'f>>) -> u64 {
    if rows
        .as_ref()
        .is_none_or(|rows| rows.file != file || rows.at > byte)
    {
        *rows = RowCount::new(files, file);
    }
    rows.as_mut().map_or(1, |rows| rows.at(byte))
}

/// The first cell of a row, which names it, and the name of a cell's column.
fn names_of(
    files: &Files,
    file: FileId,
    start: u64,
    at: Extent,
) -> (Option<String>, Option<String>) {
    let text = |cell: Option<String>| {
        let cell = cell.map(|cell| clean(cell.trim()));
        let cut = |cell: String| match cell.char_indices().nth(LABEL) {
            Some((end, _)) => format!("{}…", cell.get(..end).unwrap_or_default()),
            None => cell,
        };
        // Control characters alone name nothing.
        cell.filter(|cell| cell.contains(char::is_alphanumeric))
            .map(cut)
    };
    let column = match at {
        Extent::Cell(_, nth) => text(files.cell(file, files.head(file).byte, nth)),
        Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Range(..) => None,
    };
    // A cell does not name itself.
    let label = match at {
        Extent::Cell(_, 0) => None,
        Extent::Cell(..) | Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Range(..) => {
            (start > files.head(file).byte)
                .then(|| text(files.cell(file, start, 0)))
                .flatten()
        }
    };
    (label, column)
}

/// A sentence without what controls a terminal. One that is too long lost its middle, which only quotes a cell.
fn short(text: &str) -> String {
    let count = text.chars().count();
    if count <= SENTENCE {
        return clean(text);
    }
    let half = SENTENCE / 2;
    let start: String = text.chars().take(half).collect();
    let end: String = text.chars().skip(count - half).collect();
    clean(&format!("{start}…{end}"))
}

#[cfg(test)]
mod tests {
    use super::super::cell_fault::CellFault;
    use super::super::file::Files;
    use super::super::problem::Problem;
    use super::super::span::{Extent, Span};
    use super::show_one;

    /// The first line of the message about an empty cell at this place.
    fn first_line(name: &str, text: &str, extent: Extent, column: &str) -> String {
        let mut files = Files::default();
        let file = files.hold(name, text.as_bytes().to_vec());
        let fault = CellFault::Missing {
            column: column.into(),
        };
        let told = show_one(&Problem::new(fault, Span { file, extent }), &files);
        told.split_once(": The cell is empty.\n")
            .unwrap()
            .0
            .to_string()
    }

    #[test]
    fn a_place_is_named_as_its_file_names_it() {
        let table = "\"jar\",\" the \"\"day\"\" \"\nJ-1,x\n";
        let row = 22;
        assert_eq!(&table[usize::try_from(row).unwrap()..], "J-1,x\n");
        let in_table = |extent| first_line("t.csv", table, extent, "day");
        assert_eq!(
            in_table(Extent::Cell(row, 1)),
            "t.csv, row 2 (J-1), column \"the \"day\"\""
        );
        assert_eq!(
            in_table(Extent::Cell(row, 0)),
            "t.csv, row 2, column \"jar\""
        );
        assert_eq!(
            in_table(Extent::Row(row)),
            "t.csv, row 2 (J-1), column \"day\""
        );
        let toml = "a = 1\n# b\nc = 2\n";
        assert_eq!(
            first_line("t.toml", toml, Extent::At(10), "c"),
            "t.toml, line 3, key \"c\""
        );
        let option = first_line("command line", "", Extent::Whole, "--amount");
        assert_eq!(option, "command line, --amount");
    }

    #[test]
    fn a_long_name_is_cut_and_an_unreadable_one_is_left_out() {
        let label = |name: &str| {
            let table = format!("jar,day\n{name},x\n");
            first_line("t.csv", &table, Extent::Cell(8, 1), "day")
        };
        let (most, more) = ("x".repeat(40), "x".repeat(41));
        assert_eq!(
            label(&most),
            format!("t.csv, row 2 ({most}), column \"day\"")
        );
        assert_eq!(
            label(&more),
            format!("t.csv, row 2 ({most}…), column \"day\"")
        );
        assert_eq!(label("\0\0"), "t.csv, row 2, column \"day\"");
    }
}
