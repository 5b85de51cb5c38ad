//! A newcomer enters thirty jars, through the tables and through the workbook, and gets an audit. Steps, messages and keystrokes are
//! counted; the table in DEVELOPERS.md has the same figures. A keystroke is a character, or the key that ends a cell or a command.
#![cfg(feature = "workbook")]
#![allow(clippy::unwrap_used, clippy::panic)]

use calamine::{Data, Reader, open_workbook_auto};
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// What stands on the labels, as a person types it: product, vessel, capacity, place, amount, label.
const JARS: [[&str; 6]; 30] = [
    [
        "denatured alcohol",
        "can",
        "1 gal",
        "cabinet",
        "½ gal",
        "yes",
    ],
    [
        "denatured alcohol",
        "squeeze bottle",
        "8 fl oz",
        "bench",
        "4 fl oz",
        "yes",
    ],
    ["mineral spirits", "can", "1 gal", "cabinet", "3 qt", "yes"],
    ["turpentine", "tin", "1 qt", "cabinet", "1-1/2 pt", "yes"],
    ["lacquer thinner", "can", "1 gal", "cabinet", "1 gal", "yes"],
    ["VM&P naphtha", "can", "1 qt", "cabinet", "1 qt", "yes"],
    ["acetone", "can", "1 qt", "cabinet", "½ qt", "yes"],
    [
        "boiled linseed oil",
        "can",
        "1 qt",
        "cabinet",
        "1 qt",
        "yes",
    ],
    ["tung oil", "can", "1 qt", "cabinet", "12 fl oz", "yes"],
    ["Danish oil", "can", "1 qt", "cabinet", "1 qt", "yes"],
    ["teak oil", "can", "1 pt", "cabinet", "1 pt", "yes"],
    ["hardwax oil", "tin", "1 L", "cabinet", "0.75 L", "yes"],
    ["wiping varnish", "can", "1 qt", "cabinet", "1 pt", "yes"],
    [
        "polyurethane varnish",
        "can",
        "1 qt",
        "cabinet",
        "1 qt",
        "yes",
    ],
    ["spar varnish", "can", "1 qt", "cabinet", "20 fl oz", "yes"],
    ["gel stain", "can", "1 qt", "cabinet", "1 qt", "yes"],
    ["oil stain", "can", "1 pt", "cabinet", "1 pt", "yes"],
    [
        "nitrocellulose lacquer",
        "can",
        "1 gal",
        "cabinet",
        "1 gal",
        "yes",
    ],
    [
        "aerosol lacquer",
        "spray can",
        "12 fl oz",
        "cabinet",
        "12 fl oz",
        "yes",
    ],
    [
        "waterborne finish",
        "plastic jug",
        "1 gal",
        "cabinet",
        "1 gal",
        "yes",
    ],
    ["shellac 2 lb cut", "jar", "1 qt", "cabinet", "1 pt", "yes"],
    [
        "shellac 1 lb cut",
        "jar",
        "1 pt",
        "cabinet",
        "8 fl oz",
        "no",
    ],
    [
        "dewaxed shellac flakes",
        "bag",
        "1 lb",
        "bench",
        "1 lb",
        "yes",
    ],
    ["garnet flakes", "bag", "1 lb", "bench", "½ lb", "yes"],
    ["paste wax", "tin", "1 pt", "bench", "12 fl oz", "yes"],
    ["beeswax", "box", "1 lb", "bench", "1 lb", "yes"],
    ["wood bleach", "bottle", "1 qt", "bench", "1 qt", "yes"],
    [
        "household ammonia",
        "plastic bottle",
        "1 qt",
        "bench",
        "1 pt",
        "yes",
    ],
    ["hide glue", "bag", "2 lb", "bench", "1 lb", "yes"],
    [
        "mineral oil",
        "plastic bottle",
        "8 fl oz",
        "bench",
        "6 fl oz",
        "yes",
    ],
];
const DAY: &str = "2026-11-24";

/// What was done and seen.
#[derive(Default)]
struct Effort {
    steps: usize,
    messages: usize,
    keys: usize,
}

impl Effort {
    /// Types a command, and runs it.
    fn run(&mut self, folder: &Path, line: &str) -> (String, Option<i32>) {
        self.steps += 1;
        self.keys += line.chars().count() + 1;
        let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
            .current_dir(folder)
            .args(line.split(' ').skip(1))
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        let problems = err.lines().filter(|line| line.contains(", row ")).count();
        self.messages += problems;
        (
            String::from_utf8(output.stdout).unwrap() + &err,
            output.status.code(),
        )
    }

    /// Types a cell.
    fn cell(&mut self, text: &str) {
        self.keys += text.chars().count() + 1;
    }

    fn row(&self, way: &str) -> String {
        format!(
            "| {way} | {} | {} | {} |",
            self.steps, self.messages, self.keys
        )
    }
}

/// The cells of a jar by their columns.
fn cells(number: usize, jar: &[&str; 6]) -> Vec<(&'static str, String)> {
    let [product, vessel, capacity, place, amount, labelled] = *jar;
    vec![
        ("container", format!("K-{}", number + 1)),
        ("product", product.to_string()),
        ("vessel", vessel.to_string()),
        ("capacity", capacity.to_string()),
        ("place", place.to_string()),
        ("since", DAY.to_string()),
        ("amount", amount.to_string()),
        ("labelled", labelled.to_string()),
    ]
}

fn is_audited(effort: &mut Effort, folder: &Path) {
    let (text, code) = effort.run(folder, "sandarac audit my-shop --on 2026-11-24");
    assert_eq!(code, Some(1), "{text}");
    assert!(
        text.contains("K-22"),
        "the jar without a label is named: {text}"
    );
}

fn through_the_tables() -> Effort {
    let (folder, mut effort) = (TempDir::new().unwrap(), Effort::default());
    let folder = folder.path();
    assert_eq!(effort.run(folder, "sandarac new my-shop").1, Some(0));
    let path = folder.join("my-shop/inventory.csv");
    let mut text = std::fs::read_to_string(&path).unwrap();
    let columns: Vec<String> = text
        .lines()
        .next()
        .unwrap()
        .split(',')
        .map(str::to_string)
        .collect();
    effort.steps += 1;
    for (number, jar) in JARS.iter().enumerate() {
        let cells = cells(number, jar);
        let row: Vec<String> = columns
            .iter()
            .map(|column| {
                let cell = cells.iter().find(|(name, _)| name == column);
                cell.map_or_else(String::new, |(_, cell)| cell.clone())
            })
            .collect();
        cells.iter().for_each(|(_, cell)| effort.cell(cell));
        text.push_str(&format!("{}\n", row.join(",")));
    }
    std::fs::write(&path, &text).unwrap();
    // One bottle may be glass or plastic, and that is asked.
    let (told, code) = effort.run(folder, "sandarac audit my-shop --on 2026-11-24");
    assert_eq!(code, Some(2), "{told}");
    assert!(
        told.contains("\"bottle\" does not say what the container is made of."),
        "{told}"
    );
    effort.steps += 1;
    effort.cell("plastic");
    std::fs::write(&path, text.replace(",bottle,", ",plastic,")).unwrap();
    is_audited(&mut effort, folder);
    effort
}

fn through_the_workbook() -> Effort {
    let (folder, mut effort) = (TempDir::new().unwrap(), Effort::default());
    let folder = folder.path();
    let (told, code) = effort.run(folder, "sandarac new my-shop --workbook");
    assert_eq!(code, Some(0), "{told}");
    effort.steps += 1;
    let path = folder.join("my-shop/workbook.xlsx");
    add_rows(&path, "bottle");
    for (number, jar) in JARS.iter().enumerate() {
        cells(number, jar)
            .iter()
            .for_each(|(_, cell)| effort.cell(cell));
    }
    let take = "sandarac workbook my-shop --take my-shop/workbook.xlsx --yes";
    let (told, code) = effort.run(folder, take);
    assert_eq!(code, Some(2), "{told}");
    assert!(
        told.contains("\"bottle\" does not say what the container is made of."),
        "{told}"
    );
    effort.steps += 1;
    effort.cell("plastic");
    std::fs::remove_file(&path).unwrap();
    let mut again = Effort::default();
    again.run(folder, "sandarac workbook my-shop my-shop/workbook.xlsx");
    add_rows(&path, "plastic");
    let (told, code) = effort.run(folder, take);
    assert_eq!(code, Some(0), "{told}");
    is_audited(&mut effort, folder);
    effort
}

/// Adds the jars to the sheet of the inventory, and saves the workbook as a spreadsheet would.
fn add_rows(path: &Path, bottle: &str) {
    let mut book = open_workbook_auto(path).unwrap();
    let mut out = rust_xlsxwriter::Workbook::new();
    for name in book.sheet_names() {
        let range = book.worksheet_range(&name).unwrap();
        let mut rows: Vec<Vec<Data>> = range.rows().map(<[Data]>::to_vec).collect();
        if name == "inventory" {
            let columns: Vec<String> = rows[0].iter().map(ToString::to_string).collect();
            for (number, jar) in JARS.iter().enumerate() {
                let cells = cells(number, jar);
                let cell = |column: &String| {
                    let found = cells.iter().find(|(name, _)| name == column);
                    found.map_or(Data::Empty, |(_, text)| match text.as_str() {
                        "bottle" => Data::String(bottle.to_string()),
                        text => Data::String(text.to_string()),
                    })
                };
                rows.push(columns.iter().map(cell).collect());
            }
        }
        let sheet = out.add_worksheet();
        sheet.set_name(&name).unwrap();
        for (row, cells) in (0..).zip(&rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Data::Empty => {}
                    Data::Float(number) => {
                        sheet.write_number(row, column, *number).unwrap();
                    }
                    Data::DateTime(day) => {
                        let day =
                            rust_xlsxwriter::ExcelDateTime::from_serial_datetime(day.as_f64());
                        let form =
                            rust_xlsxwriter::Format::new().set_num_format("yyyy-mm-dd hh:mm");
                        sheet
                            .write_datetime_with_format(row, column, day.unwrap(), &form)
                            .unwrap();
                    }
                    other => {
                        sheet.write_string(row, column, other.to_string()).unwrap();
                    }
                }
            }
        }
    }
    out.save(path).unwrap();
}

#[test]
fn thirty_jars_are_entered_in_two_ways() {
    let (tables, workbook) = (through_the_tables(), through_the_workbook());
    let rows = [tables.row("the tables"), workbook.row("the workbook")];
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let page = std::fs::read_to_string(page).unwrap();
    for row in &rows {
        assert!(page.contains(row), "DEVELOPERS.md lacks {row}");
    }
    // Fifteen minutes, at one and a half keystrokes a second and a minute for each step.
    for effort in [tables, workbook] {
        assert!(effort.keys * 2 / 3 + effort.steps * 60 < 45 * 60);
        assert!(effort.messages <= 1);
    }
}

/// The most common entry, in the folder of the shop: with the Tab key for the name of the program, and a number in the unit of
/// the jar.
#[test]
fn the_most_common_entry_takes_fewer_than_fifteen_keystrokes() {
    let folder = TempDir::new().unwrap();
    let run = |args: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
            .current_dir(folder.path())
            .args(args)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    run(&["new", "."]);
    let typed = "sand\tuse j1 2\n";
    assert!(typed.chars().count() < 15);
    let words = typed.trim_end().replace('\t', "arac ");
    let args: Vec<&str> = words.split(' ').skip(1).collect();
    let told = run(&args);
    assert!(told.contains("use J-1 '2 fl oz' ("), "{told}");
}

/// A talk with the program on a terminal: each answer is typed once its question is seen. `None` where there is no `script`.
#[cfg(unix)]
struct Talk {
    child: std::process::Child,
    seen: String,
}

#[cfg(unix)]
impl Talk {
    fn begin(folder: &Path, line: &str) -> Option<Talk> {
        let line = format!("{} {line}", env!("CARGO_BIN_EXE_sandarac"));
        let child = Command::new("timeout")
            .args(["120", "script", "-qec", &line, "/dev/null"])
            .current_dir(folder)
            .env("SHELL", "/bin/sh")
            .env("TERM", "xterm")
            .env("COLUMNS", "200")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .ok()?;
        let seen = String::new();
        Some(Talk { child, seen })
    }

    /// Reads until this is seen, and then types the keys.
    fn answer(&mut self, question: &str, keys: &str) {
        use std::io::{Read, Write};
        let from = self.seen.len();
        let mut bytes = [0_u8; 1024];
        let out = self.child.stdout.as_mut().unwrap();
        while !self.seen[from..].contains(question) {
            let read = out.read(&mut bytes).unwrap();
            assert!(read > 0, "never asked {question}: {}", self.seen);
            self.seen.push_str(&String::from_utf8_lossy(&bytes[..read]));
        }
        let input = self.child.stdin.as_mut().unwrap();
        input.write_all(keys.as_bytes()).unwrap();
        input.flush().unwrap();
    }

    /// Everything that was shown, once the program has ended.
    fn end(mut self) -> String {
        use std::io::Read;
        let mut rest = Vec::new();
        let out = self.child.stdout.as_mut().unwrap();
        out.read_to_end(&mut rest).unwrap();
        self.child.wait().unwrap();
        self.seen + &String::from_utf8_lossy(&rest)
    }
}

#[cfg(unix)]
fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    let mut effort = Effort::default();
    effort.run(folder.path(), "sandarac demo --write shop");
    folder
}

#[cfg(unix)]
fn table(folder: &TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join("shop").join(name)).unwrap()
}

/// Without a word, `log` asks step by step. It offers a new container, and asks again at once where an answer is wrong.
#[cfg(unix)]
#[test]
fn a_new_jar_is_asked_for_step_by_step() {
    let folder = demo();
    let Some(mut talk) = Talk::begin(folder.path(), "log --shop shop") else {
        return;
    };
    talk.answer("What was done?", "jjjjjjjj\r");
    talk.answer("Which container?", "k\r");
    talk.answer("as its label will say it", "A-1\r");
    talk.answer("There is a container of that name", "Z-1\r");
    talk.answer("What is in it?", "danish oill\r");
    talk.answer("Did you mean Danish oil?", "y");
    talk.answer("What is the container?", "\r");
    talk.answer("How much does it hold when full?", "1\r");
    talk.answer("Write a number and a unit", "1 qt\r");
    talk.answer("Where is it?", "\r");
    talk.answer("Does it have a label", "y");
    talk.answer("How much?", "lots\r");
    talk.answer("Write a number and a unit", "1 qt\r");
    talk.answer("Write this?", "y");
    let seen = talk.end();
    assert!(seen.contains("Wrote 204: receive Z-1 '1 qt'"), "{seen}");
    let row = "Z-1,Danish oil,,metal,1 qt,cabinet,";
    assert!(table(&folder, "inventory.csv").contains(row), "{seen}");
}

/// Where the entry is refused, the other answers stay, and only the wrong one is asked again.
#[cfg(unix)]
#[test]
fn only_the_wrong_answer_is_asked_again() {
    let folder = demo();
    let line = "log --shop shop --when '2026-10-31 18:00'";
    let Some(mut talk) = Talk::begin(folder.path(), line) else {
        return;
    };
    talk.answer("What was done?", "\r");
    talk.answer("Which container?", "\r");
    talk.answer("How much?", "5 gal\r");
    talk.answer("For how many minutes?", "soon\r");
    talk.answer("Write minutes", "1:30\r");
    talk.answer("Write this?", "y");
    talk.answer("Which answer do you want to change?", "j\r");
    talk.answer("How much?", "1 fl oz\r");
    talk.answer("Write this?", "y");
    let seen = talk.end();
    let log = table(&folder, "log.csv");
    let last = log.lines().last().unwrap();
    assert!(
        last.contains(",use,") && last.contains(",1 fl oz,"),
        "{seen}\n{last}"
    );
    assert!(last.contains(",90,"), "{seen}\n{last}");
}

/// What oz of a liquid means is asked once, and kept in shop.toml.
#[cfg(unix)]
#[test]
fn ounces_are_asked_once() {
    let folder = demo();
    let line = "log use t1 '2 oz' --shop shop --when '2026-10-31 18:00' --anyway";
    let Some(mut talk) = Talk::begin(folder.path(), line) else {
        return;
    };
    talk.answer("mean fluid ounces in this shop?", "y");
    let seen = talk.end();
    assert!(seen.contains("use T-1 '2 fl oz'"), "{seen}");
    assert!(table(&folder, "shop.toml").contains("\nounces = \"fluid\"\n"));
    let seen = Talk::begin(folder.path(), line).unwrap().end();
    assert!(
        seen.contains("use T-1 '2 fl oz'") && !seen.contains("mean fluid"),
        "{seen}"
    );
}
