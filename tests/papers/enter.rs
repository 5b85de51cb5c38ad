//! A filled-in sheet comes back: all of it into log.csv and checks.csv, or nothing.

use crate::{DEMO_DAY, demo, file, run, said};
use std::collections::BTreeMap;
use std::path::Path;
use tempfile::TempDir;

const ROUND: &str = "2026-10-31T18:00";

/// The demo's sheet, with these cells of `column` filled in for the rows of these names.
fn fill(folder: &Path, cells: &[(&str, &str, &str)]) {
    let text = said(
        folder,
        &["round", "shop", "--on", DEMO_DAY, "--csv", "-"],
        0,
    );
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let columns = reader.headers().unwrap().clone();
    let mut writer = csv::Writer::from_path(folder.join("sheet.csv")).unwrap();
    writer.write_record(&columns).unwrap();
    let mut met = 0;
    for row in reader.records().map(Result::unwrap) {
        let mut row: Vec<String> = row.iter().map(str::to_string).collect();
        let name = row[4].clone();
        for (_, column, value) in cells.iter().filter(|(n, ..)| *n == name) {
            let at = columns.iter().position(|c| c == *column);
            row[at.unwrap()] = (*value).to_string();
            met += 1;
        }
        writer.write_record(&row).unwrap();
    }
    assert!(met >= cells.len(), "every cell meets a row");
    writer.flush().unwrap();
}

fn enter(folder: &Path, code: i32) -> String {
    said(
        folder,
        &["round", "shop", "--enter", "sheet.csv", "--when", ROUND],
        code,
    )
}

/// The tables as they are.
fn raw_tables(folder: &Path) -> BTreeMap<&'static str, String> {
    ["log.csv", "checks.csv", "inventory.csv", "rooms.csv"]
        .map(|name| (name, file(&folder.join("shop"), name)))
        .into()
}

/// The tables without their last columns, where those say when each row was written and with what.
fn tables(folder: &Path) -> BTreeMap<&'static str, String> {
    let mut tables = raw_tables(folder);
    for text in tables.values_mut() {
        for column in [",id\n", ",written\n"] {
            if !text.contains(column) {
                continue;
            }
            let bare = |line: &str| match line.starts_with('#') {
                true => format!("{line}\n"),
                false => format!("{}\n", line.rsplit_once(',').unwrap().0),
            };
            *text = text.lines().map(bare).collect();
        }
    }
    tables
}

/// The demo as it is once something was entered: with the columns that say when a row was written, and with what.
fn entered_demo() -> TempDir {
    let folder = demo();
    for name in ["log.csv", "checks.csv"] {
        let path = folder.path().join("shop").join(name);
        let mut is_first = true;
        let text = std::fs::read_to_string(&path).unwrap();
        let wide = text.lines().map(|line| match line.starts_with('#') {
            true => format!("{line}\n"),
            false if std::mem::take(&mut is_first) => format!("{line},written,id\n"),
            false => format!("{line},,\n"),
        });
        std::fs::write(&path, wide.collect::<String>()).unwrap();
    }
    folder
}

/// A person with a pencil writes `y`, `n/a`, `empty` and `half`.
#[test]
fn short_answers_are_understood() {
    let folder = demo();
    let folder = folder.path();
    let before = tables(folder);
    fill(
        folder,
        &[
            ("O-1", "found", "empty"),
            ("M-1", "found", "Half"),
            ("eyewash-flush", "answer", "Y"),
            ("exit-light", "answer", "n/a"),
        ],
    );
    enter(folder, 0);
    let after = tables(folder);
    let added = |name: &str| after[name].strip_prefix(before[name].as_str()).unwrap();
    for row in ["count,O-1,0 fl oz,", "count,M-1,0.5 gal,"] {
        assert!(
            added("log.csv").contains(row),
            "{row}: {}",
            added("log.csv")
        );
    }
    for row in [
        "eyewash-flush,eyewash at the sink,yes,",
        "exit-light,street door,not present,",
    ] {
        assert!(
            added("checks.csv").contains(row),
            "{row}: {}",
            added("checks.csv")
        );
    }
}

#[test]
fn what_was_looked_at_is_written_and_nothing_else() {
    let folder = demo();
    let folder = folder.path();
    let before = tables(folder);
    fill(
        folder,
        &[
            ("O-1", "found", "5"),
            ("M-1", "found", "2 qt"),
            ("J-3", "found", "ok"),
            ("G-1", "found", "1 1/4"),
            ("G-1", "when", "2026-10-31T08:15"),
            ("R-1", "found", "30"),
            ("eyewash-flush", "answer", "yes"),
            ("eyewash-flush", "by", "assistant"),
            ("lids-closed", "answer", "no"),
            ("lids-closed", "note", "=two cans, the lid is bent"),
            ("exit-light", "answer", "not present"),
            ("cords", "by", "owner"),
        ],
    );
    let told = enter(folder, 0);
    assert!(
        told.starts_with(
            "Wrote 5 counts to log.csv and 4 answers to checks.csv. 114 rows were skipped.\n"
        ),
        "{told}"
    );
    assert!(
        told.contains("\n  O-1: book amount ") && told.contains("counted 5 fl oz\n"),
        "{told}"
    );
    assert!(told.contains("2 answers are no. "), "{told}");
    let after = tables(folder);
    let added = |name: &str| {
        after[name]
            .strip_prefix(before[name].as_str())
            .unwrap()
            .to_string()
    };
    let log = added("log.csv");
    for row in [
        "2026-10-31T18:00,count,O-1,5 fl oz,,,,,,\n",
        "2026-10-31T18:00,count,M-1,2 qt,,,,,,\n",
        "2026-10-31T18:00,count,J-3,17.099998 fl oz,,,,,,\n",
        "2026-10-31T08:15,count,G-1,1 1/4 lb,,,,,,\n",
        "2026-10-31T18:00,count,R-1,30 pcs,,,,,,\n",
    ] {
        assert!(log.contains(row), "no `{row}` in\n{log}");
    }
    let names: Vec<&str> = log
        .lines()
        .map(|line| line.split(',').next().unwrap())
        .collect();
    assert_eq!(
        names,
        ["204", "205", "206", "207", "208"],
        "numbered on from 203"
    );
    let checks = added("checks.csv");
    assert_eq!(checks.lines().count(), 4);
    for row in [
        "2026-10-31T18:00,eyewash-flush,eyewash at the sink,yes,assistant,\n",
        "2026-10-31T18:00,lids-closed,store-room,no,,\"=two cans, the lid is bent\"\n",
        "2026-10-31T18:00,exit-light,street door,not present,,\n",
    ] {
        assert!(checks.contains(row), "no `{row}` in\n{checks}");
    }
    for name in ["inventory.csv", "rooms.csv"] {
        assert!(before[name] == after[name]);
    }
    // The next audit reads them, and the next sheet expects what was counted.
    said(
        folder,
        &["audit", "shop", "--on", DEMO_DAY, "--no-reports"],
        1,
    );
    let sheet = said(
        folder,
        &["round", "shop", "--on", DEMO_DAY, "--csv", "-"],
        0,
    );
    assert!(
        sheet.contains(",count,O-1,,mineral oil,5 fl oz,"),
        "{sheet}"
    );
    // The same sheet a second time is refused in one message, and nothing more is written.
    let twice = enter(folder, 2);
    assert!(
        twice.contains("9 rows of the sheet printed on 31 Oct 2026 are entered already: "),
        "{twice}"
    );
    assert!(twice.ends_with("\n\nNothing was written.\n"), "{twice}");
    assert!(tables(folder) == after);
}

#[test]
fn nothing_is_written_if_anything_is_wrong() {
    let folder = demo();
    let folder = folder.path();
    let before = tables(folder);
    // Wrong on the sheet: each row with its place.
    fill(
        folder,
        &[
            ("O-1", "found", "5"),
            ("M-1", "found", "halfway"),
            ("cords", "answer", "maybe"),
        ],
    );
    let told = enter(folder, 2);
    // The question is asked of two rooms, and the same mistake is reported once.
    assert_eq!(told.matches("sheet.csv, row ").count(), 2, "{told}");
    assert!(told.contains("The same problem is in row "), "{told}");
    assert!(
        told.starts_with("sheet.csv, row ")
            && told.ends_with("\n3 problems. Nothing was written.\n"),
        "{told}"
    );
    assert!(tables(folder) == before);
    // Right on the sheet, but the log that follows forbids it: the use at 10:00 takes more than was counted at nine.
    fill(
        folder,
        &[
            ("J-8", "found", "1 fl oz"),
            ("J-8", "when", "2026-10-29T09:59"),
            ("eyewash-flush", "answer", "yes"),
        ],
    );
    let told = enter(folder, 2);
    assert!(
        told.contains(": This takes ") && told.ends_with(". Nothing was written.\n"),
        "{told}"
    );
    assert!(tables(folder) == before);
    // Not looked at at all.
    fill(folder, &[("O-1", "by", "owner")]);
    assert_eq!(
        enter(folder, 0),
        "No row was filled in. Nothing was written.\n"
    );
    assert!(tables(folder) == before);
    // No such file, and no terminal to ask on.
    let told = said(folder, &["round", "shop", "--enter", "nowhere.csv"], 2);
    assert!(told.starts_with("nowhere.csv cannot be read: "), "{told}");
    let told = said(folder, &["round", "shop", "--enter"], 2);
    assert!(
        told.starts_with("`--enter` without a file needs a terminal"),
        "{told}"
    );
    assert!(tables(folder) == before);
    assert_eq!(file(folder, "shop/.sandarac/journal"), "");
}

/// A column that a table lacks and the sheet fills is added; a table that is not there is begun.
#[test]
fn the_tables_keep_their_columns() {
    let folder = demo();
    let folder = folder.path();
    std::fs::write(
        folder.join("shop/checks.csv"),
        "check,when,answer,where\r\n",
    )
    .unwrap();
    fill(folder, &[("O-1", "found", "5"), ("cords", "answer", "yes")]);
    enter(folder, 0);
    let checks = file(folder, "shop/checks.csv");
    assert!(
        checks.starts_with("check,when,answer,where,written,id\r\n")
            && checks.contains("cords,2026-10-31T18:00,yes,finishing room,20"),
        "{checks}"
    );
    let other = demo();
    let folder = other.path();
    std::fs::write(folder.join("shop/checks.csv"), "check,when,answer,where\n").unwrap();
    fill(
        folder,
        &[
            ("P-1", "found", "5"),
            ("cords", "answer", "yes"),
            ("cords", "by", "owner"),
        ],
    );
    enter(folder, 0);
    assert!(file(folder, "shop/checks.csv").starts_with("check,when,answer,where,by,written,id\n"));
    assert!(
        tables(folder)["checks.csv"].ends_with("\ncords,2026-10-31T18:00,yes,store-room,owner\n")
    );
    let none = demo();
    let folder = none.path();
    std::fs::remove_file(folder.join("shop/checks.csv")).unwrap();
    fill(folder, &[("cords", "answer", "yes")]);
    enter(folder, 0);
    assert!(
        file(folder, "shop/checks.csv").starts_with("when,check,answer,where,by,note,written,id\n")
    );
}

/// A crash between the two files: the log has its rows, checks.csv does not. Whoever comes next finishes it.
#[test]
fn a_crash_between_the_two_files_is_finished() {
    let clean = entered_demo();
    fill(
        clean.path(),
        &[("O-1", "found", "5"), ("cords", "answer", "yes")],
    );
    let before = raw_tables(clean.path());
    enter(clean.path(), 0);
    let after = raw_tables(clean.path());
    let added = |name: &str| after[name][before[name].len()..].to_string();
    let mut record = String::new();
    for name in ["log.csv", "checks.csv"] {
        record += &format!("{name}\t{}\n", before[name].len());
        let lines = added(name);
        record.extend(lines.lines().map(|line| format!("+{line}\n")));
    }
    record += "go\n";
    // Before the first, between the two, in the middle of the second, after both.
    let halves = [
        (String::new(), String::new()),
        (added("log.csv"), String::new()),
        (added("log.csv"), added("checks.csv")[..9].to_string()),
        (added("log.csv"), added("checks.csv")),
    ];
    for (log, checks) in halves {
        let folder = entered_demo();
        let shop = folder.path().join("shop");
        std::fs::create_dir(shop.join(".sandarac")).unwrap();
        std::fs::write(shop.join(".sandarac/journal"), &record).unwrap();
        std::fs::write(shop.join("log.csv"), format!("{}{log}", before["log.csv"])).unwrap();
        std::fs::write(
            shop.join("checks.csv"),
            format!("{}{checks}", before["checks.csv"]),
        )
        .unwrap();
        let output = run(
            folder.path(),
            &["audit", "shop", "--on", DEMO_DAY, "--no-reports"],
        );
        assert_eq!(
            output.status.code(),
            Some(1),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(raw_tables(folder.path()) == after);
        let journal = file(folder.path(), "shop/.sandarac/journal");
        assert!(journal.starts_with(&format!("{record}done\t")));
        // Entering it again does no harm, for example after a lost connection.
        std::fs::copy(
            clean.path().join("sheet.csv"),
            folder.path().join("sheet.csv"),
        )
        .unwrap();
        assert!(enter(folder.path(), 2).contains(" entered already: "));
        assert!(raw_tables(folder.path()) == after);
    }
}

/// On a terminal: Enter is as printed, `-` was not looked at, `q` ends. Passed over where there is no `script`.
#[cfg(unix)]
#[test]
fn it_asks_on_a_terminal() {
    use std::io::Write;
    use std::process::{Command, Stdio};
    let folder = demo();
    let folder = folder.path();
    let before = tables(folder);
    let ask = |answers: &str| -> Option<String> {
        let line = format!(
            "stty -echo; {} round shop --on {DEMO_DAY} --enter --when {ROUND}",
            env!("CARGO_BIN_EXE_sandarac")
        );
        let mut child = Command::new("script")
            .args(["-qec", &line, "/dev/null"])
            .current_dir(folder)
            .env("SHELL", "/bin/sh")
            .env("TERM", "dumb")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .ok()?;
        let mut input = child.stdin.take().unwrap();
        // What is typed before `stty` is done would be echoed, and does no harm.
        input.write_all(answers.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        Some(String::from_utf8_lossy(&output.stdout).replace("\r\n", "\n"))
    };
    // 1 exit light: yes; 2: not looked at; 3: no, with a note; 4 X-1: a slip, then an amount; three not looked at; PD-1: as printed; end; a slip at the
    // last question, too.
    let Some(told) = ask("yes\n\nn\nneedle in the red\nabout two\n1 qt\n\n\n\nOK\nq\nsure\ny\n")
    else {
        return;
    };
    assert!(
        told.contains("Wrote 2 counts to log.csv and 2 answers to checks.csv"),
        "{told}"
    );
    assert!(
        told.contains(
            "`about two` is not an answer here. Write `ok`, `empty`, `half` or an amount"
        ),
        "{told}"
    );
    let after = tables(folder);
    let added = |name: &str| {
        after[name]
            .strip_prefix(before[name].as_str())
            .unwrap()
            .to_string()
    };
    assert_eq!(
        added("log.csv"),
        "204,2026-10-31T18:00,count,X-1,1 qt,,,,,,\n205,2026-10-31T18:00,count,PD-1,4 pcs,,,,,,\n"
    );
    assert_eq!(
        added("checks.csv"),
        "2026-10-31T18:00,exit-light,street door,yes,,\n\
         2026-10-31T18:00,extinguisher-look,extinguisher by the door,no,,needle in the red\n"
    );
    // Anything but yes at the end writes nothing.
    let told = ask("\nq\nno\n").unwrap();
    assert!(told.ends_with("Nothing was written.\n"), "{told}");
    assert!(tables(folder) == after);
}

/// The next round does not overwrite a filled-in sheet.
#[test]
fn a_filled_sheet_stays() {
    let folder = demo();
    let folder = folder.path();
    said(folder, &["round", "shop", "--on", DEMO_DAY], 0);
    let path = folder.join(format!("shop/reports/{DEMO_DAY}-round.csv"));
    let blank = std::fs::read_to_string(&path).unwrap();
    // One in which nothing is written is rebuilt.
    said(folder, &["round", "shop", "--on", DEMO_DAY], 0);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), blank);
    let ends = blank.find('\n').unwrap() + 1;
    let row = blank[ends..].lines().next().unwrap();
    let cells: Vec<&str> = blank.lines().next().unwrap().split(',').collect();
    let note = cells.iter().position(|cell| *cell == "note").unwrap();
    assert_eq!(note + 1, cells.len(), "the note comes last");
    let filled = blank.replacen(row, &format!("{row}looked at"), 1);
    std::fs::write(&path, &filled).unwrap();
    let told = path.display().to_string();
    for args in [
        vec!["round", "shop", "--on", DEMO_DAY],
        vec!["round", "shop", "--on", DEMO_DAY, "--csv", &told],
    ] {
        let output = run(folder, &args);
        assert_eq!(output.status.code(), Some(2));
        let refused = String::from_utf8(output.stderr).unwrap();
        assert!(
            refused.contains(" is filled in and would be overwritten."),
            "{refused}"
        );
        assert_eq!(std::fs::read_to_string(&path).unwrap(), filled);
    }
}

/// A new finding from a count is shown at once and does not stop the round.
#[test]
fn a_count_tells_what_it_breaks() {
    let folder = demo();
    let folder = folder.path();
    let enter = |amount: &str, when: &str| {
        let rows = format!("row,kind,name,about,found,answer\n1,count,A-1,,{amount},\n");
        std::fs::write(folder.join("s.csv"), rows).unwrap();
        said(
            folder,
            &["round", "shop", "--enter", "s.csv", "--when", when],
            0,
        )
    };
    let told = enter("21 fl oz", "2026-11-01T09:00");
    assert!(!told.contains("This breaks a rule"), "{told}");
    let told = enter("3 gal", "2026-11-01T10:00").replace("\n  ", " ");
    assert!(
        told.contains("! This breaks a rule: A-1 (denatured alcohol) is over by 363 fl oz."),
        "{told}"
    );
    assert!(tables(folder)["log.csv"].ends_with("2026-11-01T10:00,count,A-1,3 gal,,,,,,\n"));
}

/// `ok` is the exact amount of the book, not the rounded one on the paper.
#[test]
fn as_printed_is_what_the_book_has() {
    let folder = demo();
    let folder = folder.path();
    let when = ["--when", "2026-10-31T17:00", "--shop", "shop"];
    said(
        folder,
        &[&["log", "use", "M-1", "0.123456 pt"], &when[..]].concat(),
        0,
    );
    fill(folder, &[("M-1", "found", "ok")]);
    let sheet = std::fs::read_to_string(folder.join("sheet.csv")).unwrap();
    assert!(!sheet.contains("0.123456"));
    let text = enter(folder, 0);
    assert!(!text.contains("M-1: book amount"), "{text}");
    let log = file(&folder.join("shop"), "log.csv");
    let last = log.lines().last().unwrap();
    let amount = last.split(',').nth(4).unwrap();
    let exact = sandarac::quantity::Measure::parse(amount).unwrap();
    let pint = |text: &str| sandarac::quantity::Measure::parse(text).unwrap().base;
    let held = pint("4.125 pt").minus(pint("0.123456 pt")).unwrap();
    assert_eq!(exact.base, held, "{last}");
}

/// One undo takes the whole round back; then it may be entered again, and twice is refused whatever time it is given.
#[test]
fn a_round_is_entered_once_and_taken_back_as_one() {
    let folder = entered_demo();
    let folder = folder.path();
    let before = tables(folder);
    fill(
        folder,
        &[
            ("M-1", "found", "ok"),
            ("D-1", "found", "empty"),
            ("eyewash-flush", "answer", "y"),
        ],
    );
    enter(folder, 0);
    let again = |when: &str, code| {
        let args = ["round", "shop", "--enter", "sheet.csv", "--when", when];
        said(folder, &args, code)
    };
    let text = again("2026-10-31T19:00", 2);
    assert!(
        text.contains(
            "3 rows of the sheet printed on 31 Oct 2026 are entered already: D-1, M-1, eyewash-flush."
        ),
        "{text}"
    );
    let undone = said(folder, &["log", "undo", "--shop", "shop"], 0);
    assert!(
        undone.contains("2 entries and 1 answer written together: "),
        "{undone}"
    );
    let after = tables(folder);
    let added = |name: &str| after[name].strip_prefix(before[name].as_str()).unwrap();
    assert_eq!(added("log.csv").lines().count(), 4);
    assert!(
        added("checks.csv")
            .lines()
            .last()
            .unwrap()
            .contains(",void,")
    );
    let stock = said(
        folder,
        &["stock", "shop", "--why", "D-1", "--on", DEMO_DAY],
        0,
    );
    assert!(!stock.contains("0 fl oz left"), "{stock}");
    again("2026-10-31T19:00", 0);
    again("2026-10-31T19:30", 2);
}

/// Without a time for the round, one message asks for it.
#[test]
fn a_missing_time_is_one_message() {
    let folder = demo();
    let folder = folder.path();
    fill(
        folder,
        &[
            ("M-1", "found", "ok"),
            ("D-1", "found", "ok"),
            ("eyewash-flush", "answer", "y"),
        ],
    );
    let text = said(folder, &["round", "shop", "--enter", "sheet.csv"], 2);
    assert!(
        text.contains("The time of 3 rows is missing") && text.contains("\n1 problem."),
        "{text}"
    );
}

/// What the rules work out from the tables is not asked, and neither is what was answered a moment ago.
#[test]
fn only_what_is_due_and_unknown_is_asked() {
    let folder = demo();
    let folder = folder.path();
    let asked = || {
        let text = said(
            folder,
            &["round", "shop", "--on", DEMO_DAY, "--csv", "-"],
            0,
        );
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows = reader.records().map(Result::unwrap);
        let checks = rows.filter(|row| &row[3] == "check");
        checks.map(|row| row[4].to_string()).collect::<Vec<_>>()
    };
    let first = asked();
    for computed in ["cabinet-quantity", "outside-cabinet", "container-size"] {
        assert!(!first.iter().any(|check| check == computed), "{computed}");
    }
    for told in ["drips", "eyewash-flush", "drain-clear"] {
        assert!(first.iter().any(|check| check == told), "{told}");
    }
    fill(
        folder,
        &[
            ("drain-clear", "answer", "y"),
            ("first-aid", "answer", "no"),
        ],
    );
    enter(folder, 0);
    let second = asked();
    assert!(!second.iter().any(|check| check == "drain-clear"));
    assert!(second.iter().any(|check| check == "first-aid"));
    assert!(second.len() < first.len());
}
