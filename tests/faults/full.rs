//! A disk that is full, played by a bound on how long a file may grow (`prlimit`, util-linux): nothing is half there
//! afterwards. `tests/log.rs` does the same to a new jar and its entry.

use crate::{DAY, PROGRAM, read, run, shop};
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// Standard error and exit code, where no file may grow beyond so many bytes; `None` where that cannot be played.
#[allow(clippy::print_stderr)]
fn run_where_files_end(folder: &Path, bytes: usize, words: &str) -> Option<(String, Option<i32>)> {
    let script =
        "trap '' XFSZ; limit=$1; shift; exec prlimit --fsize=$limit:$limit \"$@\"".to_string();
    let output = Command::new("sh")
        .current_dir(folder)
        .args(["-c", &script, "sh", &bytes.to_string(), PROGRAM])
        .args(words.split('|'))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .output()
        .ok()?;
    let err = String::from_utf8(output.stderr).unwrap();
    if err.contains("prlimit:") || output.status.code() == Some(127) {
        eprintln!("left out: `prlimit` is not on this machine");
        return None;
    }
    Some((err, output.status.code()))
}

fn names(folder: &TempDir, inner: &str) -> Vec<String> {
    let Ok(list) = std::fs::read_dir(folder.path().join(inner)) else {
        return Vec::new();
    };
    let names = list.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.collect()
}

/// With room for the journal, but not for all of the rows.
#[test]
fn rows_that_do_not_fit_are_taken_back() {
    let folder = shop();
    let path = folder.path().join("shop/log.csv");
    let remarks = "# a remark of the year before, and nothing else\n".repeat(160);
    // It has all columns already, so that rows are added to it and it is not written anew.
    let log = std::fs::read_to_string(&path).unwrap();
    let wider = |(at, row): (usize, &str)| match at {
        0 => format!("{row},id\n"),
        _ => format!("{row},\n"),
    };
    let log = log.lines().enumerate().map(wider).collect::<String>() + &remarks;
    std::fs::write(&path, &log).unwrap();
    let sheet = "row,kind,name,about,found,answer,when\n\
                 1,count,A-1,,1 gal,,2026-09-05T09:00\n2,check,fan-runs,window fan,,yes,2026-09-05T09:00\n";
    std::fs::write(folder.path().join("sheet.csv"), sheet).unwrap();
    let tables = || ["log.csv", "inventory.csv", "checks.csv"].map(|it| read(&folder, it));
    let before = tables();
    let commands = [
        "round|shop|--enter|sheet.csv",
        "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-1|--capacity|1 pt|--place|cabinet|--when|2026-09-05T09:00",
        "log|open|A-1|--when|2026-09-05T09:00|--shop|shop",
    ];
    for words in commands {
        for more in [0, 1, 9, 20] {
            let Some((err, code)) = run_where_files_end(folder.path(), log.len() + more, words)
            else {
                return;
            };
            assert_eq!(
                (err.as_str(), code),
                (
                    "log.csv cannot be written: File too large (os error 27).\n  Check that you may write there and that the \
                     disk has room.\n\nNothing was written.\n",
                    Some(2)
                ),
                "{words}"
            );
            assert_eq!(tables(), before);
            assert_eq!(names(&folder, "shop/.sandarac"), ["journal"]);
            assert_eq!(read(&folder, ".sandarac/journal"), "");
        }
    }
    // With room, each of them works.
    for words in commands {
        let (_, err, code) = run(folder.path(), &words.split('|').collect::<Vec<_>>());
        assert_eq!((err.as_str(), code), ("", Some(0)), "{words}");
    }
}

/// No room even for the journal.
#[test]
fn no_room_at_all() {
    let folder = shop();
    let before = read(&folder, "log.csv");
    let words = "log|open|A-1|--when|2026-09-05T09:00|--shop|shop";
    let Some((err, code)) = run_where_files_end(folder.path(), 3, words) else {
        return;
    };
    assert_eq!(
        (err.as_str(), code),
        (
            "shop/.sandarac/journal cannot be written: File too large (os error 27).\n  Check that you may write there and that \
             the disk has room.\n\nNothing was written.\n",
            Some(2)
        )
    );
    assert_eq!(read(&folder, "log.csv"), before);
    assert_eq!(names(&folder, "shop/.sandarac"), ["journal"]);
    assert_eq!(read(&folder, ".sandarac/journal"), "");
}

#[test]
fn reports_that_do_not_fit() {
    let folder = shop();
    for (words, file) in [
        (
            format!("audit|shop|--on|{DAY}"),
            format!("shop/reports/{DAY}-audit.html"),
        ),
        (
            format!("labels|shop|--on|{DAY}"),
            format!("shop/reports/{DAY}-labels.html"),
        ),
        (
            format!("round|shop|--on|{DAY}"),
            format!("shop/reports/{DAY}-round.html"),
        ),
        (
            format!("calendar|shop|--on|{DAY}|--out|shop/reports/due.ics"),
            "shop/reports/due.ics".to_string(),
        ),
    ] {
        std::fs::create_dir_all(folder.path().join("shop/reports")).unwrap();
        let old = "BEGIN:VCALENDAR\r\nPRODID:-//sandarac//due days//EN\r\n";
        std::fs::write(folder.path().join(&file), old).unwrap();
        let Some((err, code)) = run_where_files_end(folder.path(), 300, &words) else {
            return;
        };
        let first = format!("{file} cannot be written: File too large (os error 27).\n  ");
        assert_eq!(code, Some(2), "{err}");
        assert!(err.starts_with(&first), "{err}");
        let there = std::fs::read_to_string(folder.path().join(&file)).unwrap();
        assert_eq!(there, old);
        std::fs::remove_file(folder.path().join(&file)).unwrap();
        assert!(names(&folder, "shop/reports").is_empty());
    }
}

/// A new shop for which there is no room is no shop yet, and the same command finishes it.
#[test]
fn a_new_shop_that_does_not_fit() {
    let folder = TempDir::new().unwrap();
    for (command, room) in [("new", 700), ("demo|--write", 4000)] {
        let words = format!("{command}|shop-{room}");
        let Some((err, code)) = run_where_files_end(folder.path(), room, &words) else {
            return;
        };
        assert_eq!(code, Some(2), "{err}");
        assert!(
            err.contains("cannot be written: File too large (os error 27).\n  Name a folder "),
            "{err}"
        );
        let there = names(&folder, &format!("shop-{room}"));
        // The first file of the starter is its largest.
        assert!(command == "new" || !there.is_empty());
        assert!(!there.contains(&"shop.toml".to_string()));
        assert!(there.iter().all(|name| !name.starts_with('.')), "{there:?}");
        let (_, err, code) = run(folder.path(), &words.split('|').collect::<Vec<_>>());
        assert_eq!((err.as_str(), code), ("", Some(0)));
    }
}

/// A workbook whose changes are in the tables, but what was done does not fit where it is shown.
#[cfg(feature = "workbook")]
#[test]
fn a_workbook_that_was_taken_but_cannot_be_shown() {
    use crate::book::{cell, change, text};
    let folder = shop();
    let run = |words: &[&str]| crate::run(folder.path(), words);
    assert_eq!(run(&["workbook", "shop", "shelf.xlsx"]).2, Some(0));
    change(&folder, |book| {
        *cell(book, "inventory", "A-1", "note") = text("by the door");
    });
    // What is shown before anything is written.
    let take = ["workbook", "shop", "--take", "shelf.xlsx"];
    let (first, _, code) = run(&take);
    assert_eq!(code, Some(2));
    let most = 1 << 20;
    let shown = folder.path().join("shown");
    std::fs::write(&shown, vec![b' '; most - first.len()]).unwrap();
    let out = std::fs::File::options().append(true).open(&shown).unwrap();
    let script = "trap '' XFSZ; limit=$1; shift; exec prlimit --fsize=$limit:$limit \"$@\"";
    let output = Command::new("sh")
        .current_dir(folder.path())
        .args(["-c", script, "sh", &most.to_string(), PROGRAM])
        .args(take)
        .arg("--yes")
        .stdin(Stdio::null())
        .stdout(out)
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    if err.contains("prlimit:") || output.status.code() == Some(127) {
        return;
    }
    assert!(
        read(&folder, "inventory.csv").contains("by the door"),
        "{err}"
    );
    assert_eq!(output.status.code(), Some(3), "{err}");
    assert!(err.contains("Do not enter it again."), "{err}");
}
