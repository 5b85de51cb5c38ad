//! `sandarac roll` with the real program: which files it writes, in which words it refuses, that no kill leaves a folder
//! between two periods, and that work goes on afterwards. That no audit changes is held by `properties/periods.rs`.
#![allow(clippy::unwrap_used, clippy::panic)]

use snapbox::{data::Inline, str};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
/// The demo's short count of naphtha is an open point; this settles it.
const ACCEPTED: &str = "trade/count-agrees,N-1,the lid was loose,owner,2030-01-01,\n";

fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let output = Command::new(PROGRAM)
        .current_dir(folder)
        .args(args)
        .env_remove("COLUMNS")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

/// The demo, with nothing open.
fn demo() -> TempDir {
    let folder = with_open_count();
    append(&folder, "accepted.csv", ACCEPTED);
    folder
}

fn with_open_count() -> TempDir {
    let folder = TempDir::new().unwrap();
    let (_, _, code) = run(folder.path(), &["demo", "--write", "."]);
    assert_eq!(code, Some(0));
    folder
}

fn read(folder: &TempDir, file: &str) -> String {
    std::fs::read_to_string(folder.path().join(file)).unwrap_or_default()
}

fn append(folder: &TempDir, file: &str, text: &str) {
    let old = read(folder, file);
    std::fs::write(folder.path().join(file), format!("{old}{text}")).unwrap();
}

/// Every file of the folder but those of `.sandarac`.
fn files(folder: &TempDir) -> Vec<(String, Vec<u8>)> {
    let mut list: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                std::fs::read(&path).unwrap(),
            )
        })
        .collect();
    list.sort();
    list
}

#[track_caller]
fn refused(folder: &TempDir, args: &[&str], message: Inline) {
    let before = files(folder);
    let (out, err, code) = run(folder.path(), args);
    snapbox::assert_data_eq!(err, message);
    assert_eq!((out.as_str(), code), ("", Some(2)));
    assert_eq!(files(folder), before);
    let left = std::fs::read_dir(folder.path().join(".sandarac"));
    let left = left.map_or(0, |list| {
        list.filter(|entry| {
            let name = entry.as_ref().unwrap().file_name();
            name.to_string_lossy().starts_with("new-")
        })
        .count()
    });
    assert_eq!(left, 0, "staged files are left");
}

/// Today stands in what the program says; the tests run on any day.
fn of_any_day(text: &str) -> String {
    let line = |line: &str| match (line.find(" and of "), line.find(", made from")) {
        (Some(from), Some(to)) => format!("{} and of TODAY{}", &line[..from], &line[to..]),
        _ => line.to_string(),
    };
    text.lines().map(|l| line(l) + "\n").collect()
}

#[test]
fn a_period_is_closed_and_the_next_goes_on() {
    let folder = demo();
    let before = files(&folder);
    let args = ["roll", ".", "--to", "2026-09-30"];
    let (dry, err, code) = run(folder.path(), &[&args[..], &["--dry-run"]].concat());
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert_eq!(files(&folder), before, "a dry run writes no table");
    let (out, err, code) = run(folder.path(), &args);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    snapbox::assert_data_eq!(
        of_any_day(&out),
        str![[r#"
The books of Restorer of long-case clocks (made up) up to 2026-09-30 are closed

log-2026.csv        145 entries, set aside
inventory-2026.csv  the inventory as it was before
inventory.csv       39 containers, as of the close of 2026-09-30
forward.csv         what else goes on: rags, tests, lots, months
log.csv             58 entries, which go on

Audits of 2026-09-30 and of TODAY, made from these tables, say what they said before.
All of it is written.

"#]]
    );
    assert!(
        dry.contains("\nCounts of 2026-09-30 or before that are still on paper are entered first:"),
        "{dry}"
    );
    assert_eq!(dry.lines().count(), out.lines().count() + 1);
    // The two logs together are the old one, byte for byte; both begin with its head.
    let old = String::from_utf8(
        before
            .iter()
            .find(|(n, _)| n == "log.csv")
            .unwrap()
            .1
            .clone(),
    );
    let old = old.unwrap();
    let (first, second) = (read(&folder, "log-2026.csv"), read(&folder, "log.csv"));
    let head: String = old
        .lines()
        .take(2)
        .map(|line| format!("{line}\n"))
        .collect();
    assert_eq!(
        format!("{first}{}", second.strip_prefix(&head).unwrap()),
        old
    );
    let inventory = before.iter().find(|(n, _)| n == "inventory.csv").unwrap();
    assert_eq!(read(&folder, "inventory-2026.csv").as_bytes(), inventory.1);

    // Names of entries go on; a day of the closed period takes none.
    let (out, ..) = run(
        folder.path(),
        &[
            "log",
            "use",
            "A-1",
            "1 fl oz",
            "--when",
            "2026-10-31T18:00",
            "--minutes",
            "5",
        ],
    );
    assert!(out.starts_with("wrote 204: "), "{out}");
    refused(
        &folder,
        &["log", "use", "A-1", "1 fl oz", "--when", "2026-09-30T18:00"],
        str![[r#"
error[entry-in-closed]: this happened on 2026-09-30, but the books up to 2026-09-30 are closed
  --> log.csv:62:1
   |
62 | 205,2026-09-30T18:00,use,A-1,1 fl oz,,,,,
   | ^
   = see: forward.csv:2:1
   = help: what happened up to that day is in the inventory already; if an amount is wrong, `count` what is really there

1 problem; nothing was written

"#]],
    );
    a_sheet_of_the_closed_period(&folder);
    let (out, err, code) = run(
        folder.path(),
        &["stock", ".", "--why", "T-1", "--on", "2026-10-28"],
    );
    assert_eq!((err.as_str(), code), ("", Some(0)));
    snapbox::assert_data_eq!(
        out,
        str![[r#"
inventory.csv:24 16 fl oz of tung oil at the close of 2026-09-30; its entries up
                 to then stand in log-2026.csv
log.csv:11       154 2026-10-06T14:10 use T-1 1.5 fl oz 30 assistant walnut
                 plinth, second coat
log.csv:12       155 2026-10-06T14:40 soil R-1 2 pcs T-1 bench assistant
log.csv:22       165 2026-10-13T15:50 use T-1 2 fl oz 40 assistant trunk
                 interior
log.csv:23       166 2026-10-13T16:30 soil R-1 2 pcs T-1 bench assistant then a
                 delivery came
log.csv:48       191 2026-10-28T14:10 use T-1 1 fl oz 20 assistant dial frame
log.csv:49       192 2026-10-28T14:30 soil R-1 2 pcs T-1 bench assistant
so it holds      11.5 fl oz at the close of 2026-10-28

"#]]
    );

    // The next period of the same year takes the day into its names, and hands on where the first one's rows stood.
    let (out, err, code) = run(folder.path(), &["roll", ".", "--to", "2026-10-31"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        out.contains("log-2026-10-31.csv        59 entries"),
        "{out}"
    );
    assert!(out.contains("forward-2026-10-31.csv"), "{out}");
    let forward = read(&folder, "forward.csv");
    assert!(forward.contains(",log-2026.csv:"), "{forward}");
    assert!(forward.contains(",log-2026-10-31.csv:"), "{forward}");
    // What was set aside is a shop of its own, as it was.
    let past = TempDir::new().unwrap();
    for (name, bytes) in files(&folder) {
        let under = match name.as_str() {
            "log-2026.csv" => "log.csv",
            "inventory-2026.csv" => "inventory.csv",
            "log.csv" | "inventory.csv" | "forward.csv" => continue,
            other if other.contains("-2026-10-31") => continue,
            other => other,
        };
        std::fs::write(past.path().join(under), bytes).unwrap();
    }
    let (_, err, code) = run(
        past.path(),
        &["audit", ".", "--on", "2026-08-01", "--no-reports"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
}

/// What was counted then comes too late, and what was answered does not.
fn a_sheet_of_the_closed_period(folder: &TempDir) {
    let enter = |rows: &str| {
        let text = format!("row,kind,name,about,found,answer\n{rows}");
        std::fs::write(folder.path().join("s.csv"), text).unwrap();
        let args = ["sheet", ".", "--enter", "s.csv", "--when"];
        [&args[..], &["2026-09-30T09:00"]].concat()
    };
    refused(
        folder,
        &enter("1,count,A-1,,1 qt,\n2,check,fan-runs-on,finishing room,,yes\n"),
        str![[r#"
error[count-in-closed]: counted on 2026-09-30T09:00, when the books are closed up to 2026-09-30
 --> s.csv:2:1
  |
2 | 1,count,A-1,,1 qt,
  | ^
  = help: leave `found` empty here, count again, and enter that; before `sandarac roll`, what is on paper is entered

1 problem; nothing was written

"#]],
    );
    let checks = read(folder, "checks.csv");
    let (out, err, code) = run(
        folder.path(),
        &enter("2,check,fan-runs-on,finishing room,,yes\n"),
    );
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        out.starts_with("wrote 0 counts to log.csv and 1 answer to"),
        "{out}"
    );
    assert!(read(folder, "checks.csv").starts_with(&checks));
    assert_ne!(read(folder, "checks.csv"), checks);
}

/// The inventory of before saved over the new one, a table thrown away, a row deleted: none passes without a word, least of
/// all where a rag would vanish with it.
#[test]
fn half_a_closed_period_is_told() {
    let folder = demo();
    assert_eq!(
        run(folder.path(), &["roll", ".", "--to", "2026-10-31"]).2,
        Some(0)
    );
    let look = ["audit", ".", "--on", "2026-11-24", "--no-reports"];
    let (out, err, code) = run(folder.path(), &look);
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(
        out.contains("1 rag wet and loose, at bench, for 24 days"),
        "{out}"
    );
    let told = |change: &dyn Fn()| {
        let before = files(&folder);
        change();
        let (out, err, code) = run(folder.path(), &look);
        assert_eq!((out.as_str(), code), ("", Some(2)), "{err}");
        for (name, bytes) in before {
            std::fs::write(folder.path().join(name), bytes).unwrap();
        }
        err.lines().next().unwrap_or_default().to_string()
    };
    let at = |name: &str| folder.path().join(name);
    let rows = |name: &str, keep: &dyn Fn(&str) -> bool| {
        let text: String = read(&folder, name)
            .lines()
            .filter(|line| keep(line))
            .map(|line| format!("{line}\n"))
            .collect();
        std::fs::write(at(name), text).unwrap();
    };
    let saved_over = told(&|| {
        std::fs::copy(at("inventory-2026.csv"), at("inventory.csv")).unwrap();
    });
    assert_eq!(
        saved_over,
        "error[carried-differs]: `as_of` of `A-1` says nothing, but the closed books handed on 2026-10-31"
    );
    let gone = told(&|| std::fs::remove_file(at("forward.csv")).unwrap());
    assert_eq!(gone, "error[file-missing]: there is no ./forward.csv");
    let rag = told(&|| {
        rows("forward.csv", &|line| {
            !(line.starts_with("rags,R-1") && line.contains(",wet,"))
        })
    });
    assert!(rag.starts_with("error[carried-rows]: "), "{rag}");
    let container = told(&|| rows("inventory.csv", &|line| !line.starts_with("R-1,")));
    assert!(
        container.starts_with("error[carried-gone]: the closed books hand on the container `R-1`"),
        "{container}"
    );
    let number = told(&|| {
        let text = read(&folder, "inventory.csv").replace(",30 pcs,", ",0 pcs,");
        std::fs::write(at("inventory.csv"), text).unwrap();
    });
    assert!(
        number.starts_with("error[carried-differs]: `amount` of `R-1` says 0 pcs"),
        "{number}"
    );

    // Without the period's log beside it nothing tells that forward.csv is missing; then every rag counts as soiled.
    for name in ["forward.csv", "log-2026.csv"] {
        std::fs::remove_file(at(name)).unwrap();
    }
    let (out, err, code) = run(folder.path(), &look);
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(out.contains("30 rags wet and loose"), "{out}");
}

/// Rights of the tables stay, and what was undone by nobody is not undone afterwards.
#[cfg(unix)]
#[test]
fn rights_stay_as_they_are() {
    use std::os::unix::fs::PermissionsExt;
    let folder = demo();
    let rights = |name: &str, mode| {
        let path = folder.path().join(name);
        std::fs::set_permissions(path, PermissionsExt::from_mode(mode)).unwrap();
    };
    rights("log.csv", 0o600);
    rights("inventory.csv", 0o444);
    refused(
        &folder,
        &["roll", ".", "--to", "2026-10-31"],
        str![[r#"
error: inventory.csv cannot be written: it is read-only
 = help: check that you may write there and that the disk has room
nothing was written

"#]],
    );
    rights("inventory.csv", 0o640);
    assert_eq!(
        run(folder.path(), &["roll", ".", "--to", "2026-10-31"]).2,
        Some(0)
    );
    for (name, mode) in [
        ("log.csv", 0o600),
        ("log-2026.csv", 0o600),
        ("inventory.csv", 0o640),
        ("inventory-2026.csv", 0o640),
        ("forward.csv", 0o640),
    ] {
        let there = std::fs::metadata(folder.path().join(name)).unwrap();
        assert_eq!(there.permissions().mode() & 0o777, mode, "{name}");
    }
    refused(
        &folder,
        &["log", "undo"],
        str![[r#"
error: there is no entry to take back; those up to 2026-10-31 are closed
 = help: `count` what is really there
nothing was written

"#]],
    );
}

#[test]
fn what_is_open_is_refused_all_at_once() {
    let folder = with_open_count();
    append(
        &folder,
        "log.csv",
        "204,2026-11-02T09:00,receive,V-1,1 qt,,,,owner,\n205,2026-11-03T09:00,correct,,1.5 fl oz,190,,,owner,it was less\n",
    );
    // Entry 190 is of October, and the sealer is more than its can holds.
    refused(
        &folder,
        &["roll", ".", "--to", "2026-11-02"],
        str![[r#"
error: the books up to 2026-11-02 cannot be closed while this is open:
 - 2026-09-30: the book said 28 fl oz, counted 24.5 fl oz: 3.5 fl oz missing; mend it, or accept `trade/count-agrees` for `N-1` in accepted.csv: afterwards it can only be accepted
 - `V-1` holds 1.109 qt by the book, and 1 qt when full; count it, and close the day of that count or a later one
 - log.csv:207: entry `205` mends entry `190` of 2026-10-27T10:00, which would be set aside; close its day or a later one
nothing was written

"#]],
    );
}

#[test]
fn a_day_that_cannot_be_closed_is_refused() {
    let folder = demo();
    refused(
        &folder,
        &["roll", ".", "--to", "2199-12-31"],
        str![[r#"
error: 2199-12-31 is not over, and more may happen on it
 = help: name a day that is over; the last of a month or year is usual
nothing was written

"#]],
    );
    refused(
        &folder,
        &["roll", ".", "--to", "2026-06-30"],
        str![[r#"
error: no entry of log.csv lies on 2026-06-30 or before
 = help: there is nothing to set aside; name a later day
nothing was written

"#]],
    );
    run(folder.path(), &["roll", ".", "--to", "2026-09-30"]);
    refused(
        &folder,
        &["roll", ".", "--to", "2026-09-30"],
        str![[r#"
error: the books up to 2026-09-30 are closed already
 = help: name a later day
nothing was written

"#]],
    );
    std::fs::write(folder.path().join("forward-2026-10-31.csv"), "x\n").unwrap();
    refused(
        &folder,
        &["roll", ".", "--to", "2026-10-31"],
        str![[r#"
error: forward-2026-10-31.csv is there already
 = help: it may be a period that was closed before; move it out of the folder only if you know what it is
nothing was written

"#]],
    );
    std::fs::remove_file(folder.path().join("log.csv")).unwrap();
    refused(
        &folder,
        &["roll", ".", "--to", "2026-11-01"],
        str![[r#"
error: there is no log.csv, and so no period to close
 = help: an inventory without a log is already as it stands; mend its amounts and `since`
nothing was written

"#]],
    );
}

/// A log as spreadsheets leave it: backwards, with their line breaks, columns in another order and remarks between.
#[test]
fn a_log_that_runs_backward_is_parted_too() {
    let folder = demo();
    let log = read(&folder, "log.csv");
    let mut lines: Vec<&str> = log.lines().collect();
    let head = lines.drain(..2).collect::<Vec<_>>();
    lines.reverse();
    let mut text = format!("\u{feff}{}\r\n", head.join("\r\n"));
    for (at, line) in lines.iter().enumerate() {
        if at % 20 == 0 {
            text.push_str("# a remark\r\n\r\n");
        }
        text.push_str(&format!("{line}\r\n"));
    }
    std::fs::write(folder.path().join("log.csv"), text).unwrap();
    let (out, err, code) = run(folder.path(), &["roll", ".", "--to", "2026-09-30"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(out.contains("145 entries, set aside"), "{out}");
    // Each line that forward.csv names is one of that container, or of a pour into it.
    let aside = read(&folder, "log-2026.csv");
    let aside: Vec<&str> = aside.split('\n').collect();
    let forward = read(&folder, "forward.csv");
    let mut named = 0;
    for row in forward.lines().filter(|row| row.starts_with("vessel,")) {
        let container = row.split(',').nth(1).unwrap();
        if let Some((_, line)) = row.rsplit_once("log-2026.csv:") {
            let line = aside[line.parse::<usize>().unwrap() - 1];
            assert!(line.contains(&format!(",{container},")), "{row}: {line}");
            named += 1;
        }
    }
    assert!(named > 20, "{named}");
}

/// Killed at any moment, the folder is of the old period or of the new one, or whoever comes next makes it so.
#[cfg(unix)]
#[test]
fn a_kill_leaves_no_folder_between_two_periods() {
    let (old, new) = (demo(), demo());
    let args = ["roll", ".", "--to", "2026-09-30"];
    assert_eq!(run(new.path(), &args).2, Some(0));
    let (old_files, new_files) = (files(&old), files(&new));
    let mut state = 20_261_125_u64;
    let (mut stayed, mut rolled) = (0, 0);
    for _ in 0..100 {
        let folder = TempDir::new().unwrap();
        for (name, bytes) in &old_files {
            std::fs::write(folder.path().join(name), bytes).unwrap();
        }
        let mut child = Command::new(PROGRAM)
            .current_dir(folder.path())
            .args(args)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        std::thread::sleep(Duration::from_micros((state >> 33) % 300_000));
        let _ = child.kill();
        let output = child.wait_with_output().unwrap();
        // A look at the shop finishes what began to count.
        let (_, _, code) = run(folder.path(), &["stock", ".", "--on", "2026-10-31"]);
        assert_eq!(code, Some(0));
        let now = files(&folder);
        if now == old_files {
            assert!(output.stdout.is_empty(), "acknowledged, and not there");
            stayed += 1;
        } else {
            assert_eq!(now, new_files);
            rolled += 1;
        }
    }
    assert!(stayed > 0, "none was killed in time");
    assert!(rolled + stayed == 100);
}
