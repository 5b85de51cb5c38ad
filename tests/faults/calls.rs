//! Each command that writes into tables, with an error or a kill injected at its system calls, one at a time (`strace`).
//! Afterwards the tables are as before or have all of the rows, and the exit code tells which.
//!
//! A twentieth of the calls is drawn by a fixed seed. `SANDARAC_FAULTS=all cargo test --test faults calls` takes all of them;
//! that takes about twenty minutes.

use crate::{PROGRAM, run, shop};
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// Calls by which files are read and changed.
const CALLS: &str = "openat,read,write,fsync,fdatasync,ftruncate,rename,renameat,renameat2,unlink,unlinkat,mkdir,lseek,flock,\
                     statx,fstat,newfstatat,getdents64,fchmod,readlink,copy_file_range";
const TABLES: [&str; 3] = ["log.csv", "inventory.csv", "checks.csv"];
/// One call of so many is drawn.
const DRAWN: u64 = 20;

fn split(words: &str) -> Vec<&str> {
    words.split('|').collect()
}

/// The program under `strace`, with some options.
fn traced(folder: &Path, options: &[String], words: &str) -> Command {
    let mut command = Command::new("strace");
    command
        .current_dir(folder)
        .args(["-f", "-o", "trace"])
        .args(options)
        .arg(PROGRAM)
        .args(split(words))
        .env_remove("COLUMNS")
        .stdin(Stdio::null());
    command
}

#[allow(clippy::print_stderr)]
fn may_trace(folder: &Path) -> bool {
    let works = traced(folder, &["-e".into(), "trace=write".into()], "--version")
        .output()
        .is_ok_and(|output| output.status.success());
    if !works {
        eprintln!("left out: `strace` does not work on this machine");
    }
    works
}

/// The tables without the moments at which rows were written.
fn tables(folder: &Path) -> Vec<Vec<Vec<String>>> {
    let rows = |name: &&str| {
        let text = std::fs::read(folder.join("shop").join(name)).unwrap_or_default();
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_slice());
        let rows: Vec<Vec<String>> = reader
            .records()
            .map(|row| row.unwrap().iter().map(str::to_string).collect())
            .collect();
        let written = rows
            .first()
            .and_then(|head| head.iter().position(|column| column == "written"));
        let mut rows = rows;
        for row in &mut rows {
            if let Some(cell) = written.and_then(|at| row.get_mut(at)) {
                cell.clear();
            }
        }
        rows
    };
    TABLES.iter().map(rows).collect()
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        match path.is_dir() {
            true => copy(&path, &target),
            false => {
                std::fs::copy(&path, &target).unwrap();
            }
        }
    }
}

/// The calls of the first thread: each name, and how often it was called.
fn calls(folder: &Path, words: &str) -> Vec<(String, u64)> {
    let options = ["-e".to_string(), format!("trace={CALLS}")];
    let output = traced(folder, &options, words).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{words}: {said}"
    );
    let text = std::fs::read_to_string(folder.join("trace")).unwrap();
    let first = text.split_whitespace().next().unwrap().to_string();
    let mut found: Vec<(String, u64)> = Vec::new();
    for line in text.lines() {
        let mut parts = line.split_whitespace();
        let (Some(thread), Some(call)) = (parts.next(), parts.next()) else {
            continue;
        };
        let Some((name, _)) = call.split_once('(').filter(|_| thread == first) else {
            continue;
        };
        match found.iter_mut().find(|(known, _)| known == name) {
            Some((_, count)) => *count += 1,
            None => found.push((name.to_string(), 1)),
        }
    }
    found
}

/// Injects at each call that is drawn. `shop` is made ready for the command.
fn inject_everywhere(ready: &TempDir, words: &str, seed: u64) {
    if !may_trace(ready.path()) {
        return;
    }
    let before = tables(ready.path());
    let whole = TempDir::new().unwrap();
    copy(ready.path(), whole.path());
    let calls = calls(whole.path(), words);
    let after = tables(whole.path());
    assert_ne!(before, after, "{words}");
    each_drawn(words, &calls, seed, |case| {
        inject(ready.path(), words, case, (&before, &after))
    });
}

/// Each call that is drawn, once with an error and once with a kill; `wrong` says what went wrong then.
fn each_drawn(
    words: &str,
    calls: &[(String, u64)],
    seed: u64,
    wrong_at: impl Fn(&str) -> Option<String>,
) {
    let all = std::env::var("SANDARAC_FAULTS").is_ok_and(|word| word == "all");
    let (mut state, mut injected, mut wrong) = (seed, 0_u32, Vec::new());
    for (name, count) in calls {
        for at in 1..=*count {
            for how in ["error=EIO", "signal=KILL"] {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                if !all && !(state >> 33).is_multiple_of(DRAWN) {
                    continue;
                }
                injected += 1;
                let case = format!("{name}:{how}:when={at}");
                if let Some(what) = wrong_at(&case) {
                    wrong.push(format!("{case}: {what}"));
                }
            }
        }
    }
    assert!(injected > 4, "only {injected} were drawn");
    assert!(wrong.is_empty(), "{words}:\n{}", wrong.join("\n"));
}

type Tables = Vec<Vec<Vec<String>>>;

/// Runs a command on a copy of a folder with one injection: the copy, what was said, and the exit code.
fn injected(
    ready: &Path,
    words: &str,
    case: &str,
) -> Result<(TempDir, String, Option<i32>), String> {
    let folder = TempDir::new().unwrap();
    copy(ready, folder.path());
    let options = [format!("-einject={case}"), format!("-etrace={CALLS}")];
    let output = traced(folder.path(), &options, words).output().unwrap();
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    let code = output.status.code();
    match err.contains("panicked") || code == Some(101) {
        true => Err(format!("panicked: {err}")),
        false => Ok((folder, err, code)),
    }
}

/// What is wrong after one injection.
fn inject(
    ready: &Path,
    words: &str,
    case: &str,
    (before, after): (&Tables, &Tables),
) -> Option<String> {
    let (folder, err, code) = match injected(ready, words, case) {
        Ok(run) => run,
        Err(panicked) => return Some(panicked),
    };
    // Whoever comes next finds all or nothing. A table that was taken for missing may have been set aside.
    let restores = words.starts_with("log|restore") || words.ends_with("--anyway");
    let looks = ["stock", "shop", "--on", "2026-10-31"];
    let (_, said, looked) = run(folder.path(), &looks);
    if !restores && looked != Some(0) {
        return Some(format!("{code:?}, and then {looked:?}: {said}"));
    }
    let there = tables(folder.path());
    let (is_before, is_after) = (there == *before, there == *after);
    let is_right = match code {
        Some(0 | 1 | 3) => is_after,
        Some(_) => is_before,
        None => is_before || is_after,
    };
    (!is_right).then(|| format!("{code:?}, before: {is_before}, after: {is_after}\n{err}{said}"))
}

fn ready(words: &[&str]) -> TempDir {
    let folder = shop();
    for words in words {
        let (_, err, code) = run(folder.path(), &split(words));
        assert_eq!((err.as_str(), code), ("", Some(0)), "{words}");
    }
    folder
}

const OPEN: &str = "log|open|A-1|--when|2026-09-05T09:00|--shop|shop";
const USE: &str = "log|use|A-1|1 fl oz|--when|2026-09-05T09:01|--shop|shop";

#[test]
fn a_first_entry() {
    inject_everywhere(&ready(&[]), OPEN, 1);
}

#[test]
fn another_entry() {
    inject_everywhere(&ready(&[OPEN]), USE, 2);
}

/// A column is added, so that the log is written whole.
#[test]
fn an_entry_that_adds_a_column() {
    let folder = ready(&[]);
    let path = folder.path().join("shop/log.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    let narrow: Vec<&str> = text
        .lines()
        .map(|line| match line.starts_with('#') {
            true => line,
            false => line.rsplit_once(',').unwrap().0,
        })
        .collect();
    std::fs::write(&path, narrow.join("\n") + "\n").unwrap();
    inject_everywhere(&folder, OPEN, 3);
}

#[test]
fn a_mixture_into_a_new_jar() {
    let mix = "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-1|--capacity|1 pt|--place|cabinet|--when|\
               2026-09-05T09:02";
    inject_everywhere(&ready(&[OPEN]), mix, 4);
}

#[test]
fn a_sheet_of_the_round() {
    let folder = ready(&[OPEN]);
    let sheet = "row,kind,name,about,found,answer,when\n1,count,A-1,,1 gal,,2026-09-05T09:00\n\
                 2,check,fan-runs,window fan,,yes,2026-09-05T09:00\n";
    std::fs::write(folder.path().join("sheet.csv"), sheet).unwrap();
    inject_everywhere(&folder, "round|shop|--enter|sheet.csv", 5);
}

#[test]
fn an_entry_taken_back() {
    inject_everywhere(
        &ready(&[OPEN, USE]),
        "log|undo|--when|2026-09-05T09:03|--shop|shop",
        6,
    );
}

#[test]
fn rows_brought_back() {
    let folder = ready(&[OPEN]);
    let path = folder.path().join("shop/log.csv");
    let old = std::fs::read(&path).unwrap();
    let (_, err, code) = run(folder.path(), &split(USE));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    std::fs::write(&path, old).unwrap();
    inject_everywhere(&folder, "log|restore|--shop|shop", 7);
}

#[test]
fn an_answer_of_the_round() {
    let words = "log|check|lids-closed|yes|finishing room|--when|2026-09-05T09:03|--shop|shop";
    inject_everywhere(&ready(&[OPEN]), words, 8);
}

/// Rows are lost, and one more is written all the same.
#[test]
fn an_entry_while_rows_are_lost() {
    let folder = ready(&[OPEN]);
    let path = folder.path().join("shop/log.csv");
    let old = std::fs::read(&path).unwrap();
    let (_, err, code) = run(folder.path(), &split(USE));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    std::fs::write(&path, old).unwrap();
    let words = "log|soil|R-1|1|V-1|--when|2026-09-05T09:03|--shop|shop|--anyway";
    inject_everywhere(&folder, words, 9);
}

/// A change made by hand that is accepted: the tables stay as they are, and either the change is accepted and no reader complains
/// any more, or it is not and all of them do.
#[test]
fn a_change_that_is_accepted() {
    let ready = ready(&[OPEN, USE]);
    if !may_trace(ready.path()) {
        return;
    }
    let path = ready.path().join("shop/log.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    let without_last = text.trim_end().rsplit_once('\n').unwrap().0;
    std::fs::write(&path, format!("{without_last}\n")).unwrap();
    let words = "log|accept|log.csv|--note|entered twice|--shop|shop";
    let looks = ["stock", "shop", "--on", "2026-10-31"];
    let before = tables(ready.path());
    assert_eq!(run(ready.path(), &looks).2, Some(2));
    let whole = TempDir::new().unwrap();
    copy(ready.path(), whole.path());
    let calls = calls(whole.path(), words);
    assert_eq!(run(whole.path(), &looks).2, Some(0));
    each_drawn(words, &calls, 10, |case| {
        let (folder, err, code) = match injected(ready.path(), words, case) {
            Ok(run) => run,
            Err(panicked) => return Some(panicked),
        };
        if tables(folder.path()) != before {
            return Some(format!("{code:?}, and a table is changed: {err}"));
        }
        let (_, said, looked) = run(folder.path(), &looks);
        let is_right = match code {
            Some(0 | 3) => looked == Some(0),
            Some(_) => looked == Some(2),
            None => matches!(looked, Some(0 | 2)),
        };
        if !is_right {
            return Some(format!("{code:?}, and then {looked:?}: {err}{said}"));
        }
        // Whatever happened, it can be accepted then.
        let accepted = looked == Some(0) || run(folder.path(), &split(words)).2 == Some(0);
        let (_, said, looked) = run(folder.path(), &looks);
        (!accepted || looked != Some(0)).then(|| format!("not accepted afterward: {said}"))
    });
}

/// A workbook with a changed container, a new one, and a new entry.
#[cfg(feature = "workbook")]
#[test]
fn a_workbook_that_is_taken() {
    use crate::book::{add, cell, change, text};
    let ready = ready(&[OPEN, "workbook|shop|shelf.xlsx"]);
    change(&ready, |book| {
        *cell(book, "inventory", "A-1", "note") = text("by the door");
        add(
            book,
            "inventory",
            &[
                ("container", text("Z-9")),
                ("product", text("denatured alcohol")),
                ("vessel", text("metal")),
                ("capacity", text("1 qt")),
                ("place", text("cabinet")),
                ("since", text("2026-09-05")),
                ("amount", text("1 pt")),
            ],
        );
        add(
            book,
            "log",
            &[
                ("when", text("2026-09-05T10:00")),
                ("what", text("use")),
                ("container", text("A-1")),
                ("amount", text("1 fl oz")),
            ],
        );
    });
    inject_everywhere(&ready, "workbook|shop|--take|shelf.xlsx|--yes", 11);
}

/// An audit notes how many rows it saw: whatever fails then, the tables are untouched, and the next one finds them whole.
#[test]
fn an_audit_that_notes_rows() {
    let folder = ready(&[OPEN]);
    if !may_trace(folder.path()) {
        return;
    }
    let path = folder.path().join("shop/log.csv");
    let text =
        std::fs::read_to_string(&path).unwrap() + "90,2026-09-05T09:04,open,J-1,,,,,,typed,\n";
    std::fs::write(&path, &text).unwrap();
    let words = "audit|shop|--on|2026-09-30|--quiet";
    for at in 1..6 {
        for how in ["error=EIO", "signal=KILL"] {
            for name in ["pwrite64,write", "ftruncate", "flock", "mkdir"] {
                let fresh = TempDir::new().unwrap();
                copy(folder.path(), fresh.path());
                let options = [
                    format!("-einject={name}:{how}:when={at}"),
                    format!("-etrace={CALLS}"),
                ];
                let output = traced(fresh.path(), &options, words).output().unwrap();
                let err = String::from_utf8_lossy(&output.stderr);
                assert!(!err.contains("panicked"), "{name} {how} {at}: {err}");
                let (_, err, code) = run(fresh.path(), &split("stock|shop|--on|2026-09-30"));
                assert_eq!((err.as_str(), code), ("", Some(0)), "{name} {how} {at}");
                let after = std::fs::read_to_string(fresh.path().join("shop/log.csv")).unwrap();
                assert_eq!(after, text, "{name} {how} {at}");
            }
        }
    }
}

/// A drive that cannot sync: what is written is written, and is said to be.
#[test]
fn a_drive_that_cannot_sync() {
    let folder = ready(&[]);
    if !may_trace(folder.path()) {
        return;
    }
    for (at, error) in ["EINVAL", "EOPNOTSUPP", "ENOSYS"].iter().enumerate() {
        let words = format!("log|open|A-1|--when|2026-09-05T09:0{at}|--shop|shop");
        let inject = [format!("-einject=fsync,fdatasync:error={error}")];
        let output = traced(folder.path(), &inject, &words).output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert_eq!((&*err, output.status.code()), ("", Some(0)), "{error}");
        let log = std::fs::read_to_string(folder.path().join("shop/log.csv")).unwrap();
        assert_eq!(log.matches(",open,A-1,").count(), at + 1);
    }
    let (_, err, code) = run(folder.path(), &["stock", "shop", "--on", "2026-09-30"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
}

/// A drive that knows no locks: readers wait for nothing, and nothing is written there.
#[test]
fn a_drive_without_locks() {
    let folder = ready(&[OPEN]);
    if !may_trace(folder.path()) {
        return;
    }
    for error in ["ENOLCK", "EOPNOTSUPP", "ENOSYS", "EINVAL"] {
        let inject = [format!("-einject=flock:error={error}")];
        let start = std::time::Instant::now();
        for words in ["stock|shop|--on|2026-09-30", "close|shop|--at|2026-09-30"] {
            let output = traced(folder.path(), &inject, words).output().unwrap();
            let err = String::from_utf8_lossy(&output.stderr);
            assert!(
                matches!(output.status.code(), Some(0 | 1)) && err.is_empty(),
                "{error}: {err}"
            );
        }
        assert!(
            start.elapsed() < std::time::Duration::from_secs(9),
            "{error}"
        );
        let before = tables(folder.path());
        let output = traced(folder.path(), &inject, USE).output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2));
        assert!(
            err.starts_with("The shop folder cannot be locked: "),
            "{err}"
        );
        assert_eq!(tables(folder.path()), before);
    }
}

/// Where no thread can be started, one does all the work.
#[test]
fn a_system_without_threads() {
    let folder = ready(&[OPEN]);
    if !may_trace(folder.path()) {
        return;
    }
    let inject = ["-einject=clone3,clone:error=EAGAIN".to_string()];
    for words in [
        "audit|shop|--on|2026-09-30",
        "audit|shop|shop|--on|2026-09-30",
        "stock|shop|--on|2026-09-30",
        "close|shop|--at|2026-09-30",
        USE,
    ] {
        let (out, _, code) = run(folder.path(), &split(&words.replace(USE, "rules|--packs")));
        let output = traced(folder.path(), &inject, words).output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert_eq!(err, "", "{words}");
        if words != USE {
            assert_eq!(output.status.code(), code, "{words}");
            assert_eq!(String::from_utf8_lossy(&output.stdout), out, "{words}");
        }
    }
}

/// A line break in a note, however it is written, comes back as it was, in tables of either kind.
#[test]
fn line_breaks_in_notes() {
    for ends in ["\n", "\r\n"] {
        let folder = ready(&[]);
        let path = folder.path().join("shop/log.csv");
        let text = std::fs::read_to_string(&path).unwrap().replace('\n', ends);
        // The last row of some tables has no line break.
        std::fs::write(&path, text.trim_end()).unwrap();
        for (at, note) in ["a\nb", "a\r\nb", "a\rb", "\"a\"\n\n,b"].iter().enumerate() {
            let when = format!("2026-09-05T09:0{at}");
            let words = [
                "log", "open", "A-1", "--note", note, "--when", &when, "--shop", "shop",
            ];
            let (_, err, code) = run(folder.path(), &words);
            assert_eq!((err.as_str(), code), ("", Some(0)), "{note:?}");
            // A spreadsheet takes the last line break away.
            let text = std::fs::read_to_string(&path).unwrap();
            std::fs::write(&path, text.trim_end()).unwrap();
            let (_, err, code) = run(folder.path(), &["stock", "shop", "--on", "2026-09-30"]);
            assert_eq!((err.as_str(), code), ("", Some(0)), "{note:?}");
        }
        let rows = &tables(folder.path())[0];
        let notes: Vec<&str> = rows
            .iter()
            .rev()
            .take(4)
            .rev()
            .map(|row| row[9].as_str())
            .collect();
        assert_eq!(notes, ["a\nb", "a\nb", "a\nb", "\"a\"\n\n,b"], "{ends:?}");
    }
}
