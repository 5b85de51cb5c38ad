//! A clock that jumps. Tests cannot turn the computer's clock, but an entry that lies far ahead looks to the program just as
//! a clock that went back does.

use crate::{DAY, read, run, shop};
use snapbox::{data::Inline, str};
use tempfile::TempDir;

/// No computer on which these tests run is so far ahead.
const AHEAD: &str = "2199-06-01T08:00";

fn split(words: &str) -> Vec<&str> {
    words.split('|').collect()
}

#[track_caller]
fn works(folder: &TempDir, words: &str) -> String {
    let (out, err, code) = run(folder.path(), &split(words));
    assert_eq!((err.as_str(), code), ("", Some(0)), "{words}");
    out
}

/// A refusal: its whole words, and not a byte changed.
#[track_caller]
fn refused(folder: &TempDir, words: &str, message: Inline) {
    let tables = || ["log.csv", "inventory.csv", "checks.csv"].map(|it| read(folder, it));
    let before = tables();
    let (out, err, code) = run(folder.path(), &split(words));
    assert_eq!((out.as_str(), code), ("", Some(2)), "{err}");
    snapbox::assert_data_eq!(err, message);
    assert_eq!(before, tables());
}

/// A clock that went back would put what happens now among what happened long ago.
#[test]
fn a_clock_that_went_back() {
    let folder = shop();
    works(
        &folder,
        &format!("log|open|A-1|--when|{AHEAD}|--anyway|--shop|shop"),
    );
    refused(
        &folder,
        "log|use|A-1|1 fl oz|--shop|shop",
        str![[r#"
This computer's clock says [..], but log.csv goes on to 2199-06-01T08:00.
  Set the clock right, give the time it happened with --when, or correct the date of that entry in log.csv. Or add --anyway.

Nothing was written.

"#]],
    );
    let jar = "--log|Z-1|--capacity|1 pt|--place|cabinet";
    let (_, err, code) = run(
        folder.path(),
        &split(&format!(
            "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|{jar}"
        )),
    );
    assert_eq!(code, Some(2), "{err}");
    snapbox::assert_data_eq!(
        err,
        str![[r#"
note: 1 entry of log.csv is ahead of this computer's clock, up to 2199-06-01T08:00, and not counted here.
  Set the clock, correct the days of those entries in log.csv, or name the day to look at.
This computer's clock says [..], but log.csv goes on to 2199-06-01T08:00.
  Set the clock right, give the time it happened with --when, or correct the date of that entry in log.csv.

Nothing was written.

"#]]
    );
    // A moment given by the user is used as it is.
    works(
        &folder,
        "log|use|A-1|1 fl oz|--when|2026-09-05T09:00|--shop|shop",
    );
    works(&folder, "log|use|A-1|1 fl oz|--anyway|--shop|shop");
    assert_eq!(read(&folder, "log.csv").lines().count(), 6);
}

/// Whoever looks by such a clock is reported that there is more; whoever names a day asked for that.
#[test]
fn what_lies_ahead_is_told() {
    let folder = shop();
    for minute in 0..3 {
        let ahead = format!("log|open|A-1|--when|2199-06-01T08:0{minute}|--anyway|--shop|shop");
        works(&folder, &ahead);
    }
    for words in [
        "audit|shop|--no-reports",
        "audit|shop|--no-reports|--quiet",
        "stock|shop",
        "calendar|shop|--out|-",
        "labels|shop|--html|-",
        "round|shop|--csv|-",
        "air|shop",
        "close|shop",
        "close|shop|--quiet",
        "mix|--shop|shop|--cut|2|--make|5 mL",
    ] {
        let (_, err, code) = run(folder.path(), &split(words));
        // What is found without them cannot be trusted.
        assert_eq!(code, Some(2), "{words}: {err}");
        snapbox::assert_data_eq!(
            err,
            str![[r#"
note: 3 entries of log.csv are ahead of this computer's clock, up to 2199-06-01T08:02, and not counted here.
  Set the clock, correct the days of those entries in log.csv, or name the day to look at.

"#]]
        );
    }
    let (_, err, code) = run(folder.path(), &split("audit|shop|shop|--no-reports"));
    assert_eq!(code, Some(2));
    assert_eq!(
        err.matches("note: shop: 3 entries of log.csv are").count(),
        2
    );
    for words in [
        format!("audit|shop|--no-reports|--on|{DAY}"),
        format!("stock|shop|--on|{DAY}"),
        format!("close|shop|--at|{DAY}"),
    ] {
        let (_, err, _) = run(folder.path(), &split(&words));
        assert_eq!(err, "", "{words}");
    }
}

/// What is written among older entries is held against all that come after it, whatever day the clock says: a log that
/// could be read before can be read afterwards.
#[test]
fn an_entry_before_the_last_leaves_the_log_right() {
    let folder = shop();
    let log = |words: &str| format!("log|{words}|--shop|shop");
    works(
        &folder,
        &log("use|A-1|1/2 gal|--when|2199-06-01T08:00|--anyway"),
    );
    let before = read(&folder, "log.csv");
    // 3 quarts were there, of which half a gallon goes in what lies ahead.
    refused(
        &folder,
        &log("use|A-1|3 qt|--when|2026-09-05T09:00"),
        str![[r#"
log.csv, row 4 (3): This takes 2 qt out of A-1, which holds 1 qt at that time.
  Correct the amount, log what was put in before, or `count` what is really there.
  See also inventory.csv, row 2 (A-1).

1 problem. Nothing was written.
Try: sandarac log use A-1 '2 qt' --when 2026-09-05T09:00 --shop shop
If there is more than the log says, count it first: sandarac log count A-1 AMOUNT --when EARLIER --shop shop

"#]],
    );
    works(&folder, &log("use|A-1|2 qt|--when|2026-09-05T09:00"));
    let text = read(&folder, "log.csv");
    let added = text.strip_prefix(&before).unwrap();
    let (row, _written) = added.rsplit_once(',').unwrap();
    assert_eq!(row, "4,2026-09-05T09:00,use,A-1,2 qt,,,,,");
    let (_, err, code) = run(
        folder.path(),
        &["audit", "shop", "--on", "2199-06-02", "--no-reports"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
    let (out, _, _) = run(
        folder.path(),
        &["stock", "shop", "--on", "2199-06-02", "--why", "A-1"],
    );
    assert!(out.contains(" 0 fl oz at the end"), "{out}");
}

/// A sheet cannot record what will be seen tomorrow.
#[test]
fn a_round_ahead_of_the_clock() {
    let folder = shop();
    let sheet = works(&folder, &format!("round|shop|--on|{DAY}|--csv|-"));
    let mut rows = sheet.lines();
    let head = rows.next().unwrap();
    let mut cells: Vec<&str> = rows
        .find(|row| row.contains(",A-1,"))
        .unwrap()
        .split(',')
        .collect();
    let column = |name: &str| head.split(',').position(|it| it == name).unwrap();
    cells[column("found")] = "ok";
    let path = folder.path().join("sheet.csv");
    std::fs::write(&path, format!("{head}\n{}\n", cells.join(","))).unwrap();
    refused(
        &folder,
        &format!("round|shop|--enter|sheet.csv|--when|{AHEAD}"),
        str![[r#"
A-1: 2199-06-01T08:00 is ahead of this computer's clock, which says [..]
  Write the time it happened, with --when or in its row, or set the clock right.

Nothing was written.

"#]],
    );
    works(
        &folder,
        "round|shop|--enter|sheet.csv|--when|2026-09-05T09:00",
    );
}

/// A sheet's rows go into tables that a spreadsheet may have open, as the entries of `log` do.
#[test]
fn a_table_that_is_open_elsewhere() {
    let folder = shop();
    std::fs::write(folder.path().join("sheet.csv"), "").unwrap();
    std::fs::write(folder.path().join("shop/.~lock.checks.csv#"), "").unwrap();
    refused(
        &folder,
        "round|shop|--enter|sheet.csv|--when|2026-09-05T09:00",
        str![[r#"
checks.csv is open in another program, which would save over this entry (.~lock.checks.csv# is there).
  Save and close it there, then try again. If it is closed, delete .~lock.checks.csv#.

Nothing was written.

"#]],
    );
}

/// A container that begins after today by a slip of the pen is in no sum, so that is said.
#[test]
fn containers_that_begin_after_today_are_told() {
    let folder = shop();
    let path = folder.path().join("shop/inventory.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    let row = text.lines().find(|line| line.starts_with("A-1,")).unwrap();
    let row = row
        .replace("A-1,", "A-9,")
        .replace("2026-09-02", "2199-09-02");
    assert!(row.contains("2199"), "{row}");
    std::fs::write(&path, format!("{text}{row}\n")).unwrap();
    for words in [
        "audit|shop|--no-reports|--quiet",
        "stock|shop",
        "close|shop|--quiet",
    ] {
        let (_, err, code) = run(folder.path(), &split(words));
        assert_eq!(code, Some(2), "{words}: {err}");
        assert!(
            err.contains("1 container of inventory.csv begins after today"),
            "{words}: {err}"
        );
    }
    let (_, err, _) = run(
        folder.path(),
        &split(&format!("audit|shop|--no-reports|--on|{DAY}")),
    );
    assert_eq!(err, "");
}

/// An answer that lies ahead makes nothing done, and neither does a row that takes one back: both are reported like entries.
#[test]
fn answers_ahead_of_the_clock_are_told_and_do_not_count() {
    let folder = shop();
    let path = folder.path().join("shop/checks.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    let head = text.lines().find(|line| line.starts_with("when,")).unwrap();
    let row = |when: &str, check: &str, answer: &str| {
        let cells = head.split(',').map(|column| match column {
            "when" => when,
            "check" => check,
            "answer" => answer,
            _ => "",
        });
        cells.collect::<Vec<_>>().join(",") + "\n"
    };
    let now = chrono::Local::now().naive_local() + chrono::Duration::minutes(3);
    let soon = now.format("%Y-%m-%dT%H:%M").to_string();
    let no = row("2026-09-05T09:00", "exits-clear", "no");
    for (more, said) in [
        (
            row("2199-06-01T08:00", "exits-clear", "yes"),
            "1 answer of checks.csv is",
        ),
        (
            row(&soon, "exits-clear", "yes"),
            "1 answer of checks.csv is",
        ),
        (
            row("2199-06-01T08:00", "exits-clear", "void")
                + &row("2199-06-01T08:00", "drain-clear", "yes"),
            "2 answers of checks.csv are",
        ),
    ] {
        std::fs::write(&path, format!("{text}{no}{more}")).unwrap();
        for words in [
            "audit|shop|--no-reports",
            "audit|shop|shop|--no-reports",
            "stock|shop",
            "calendar|shop|--out|-",
            "labels|shop|--html|-",
            "round|shop|--csv|-",
            "air|shop",
            "close|shop",
            "close|shop|--quiet",
            "mix|--shop|shop|--cut|2|--make|5 mL",
        ] {
            let (_, err, code) = run(folder.path(), &split(words));
            assert_eq!(code, Some(2), "{words}: {err}");
            assert!(
                err.contains(said) && err.contains("Set the clock"),
                "{words}: {err}"
            );
        }
        let (out, _, _) = run(folder.path(), &split("audit|shop|--no-reports|--json|-"));
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        let findings = json["findings"].as_array().unwrap();
        let mut exits = findings
            .iter()
            .filter(|finding| finding["rule"] == "exits-clear");
        assert!(
            exits.any(|finding| finding["verdict"] == "breach"),
            "{more}"
        );
        // Whoever names a day asked for it.
        let (_, err, _) = run(
            folder.path(),
            &split(&format!("audit|shop|--no-reports|--on|{DAY}")),
        );
        assert_eq!(err, "");
    }
}

/// An entry of a later hour of the same day is counted by those that look at the whole day, and nothing ends well for it: it may be
/// what clears a rag that still lies there.
#[test]
fn an_entry_of_a_later_hour_is_told() {
    let folder = shop();
    let now = chrono::Local::now().naive_local();
    let later = now.date().and_hms_opt(23, 59, 0).unwrap();
    if later <= now + chrono::Duration::minutes(2) {
        // The day ends before the test does.
        return;
    }
    let row = format!(
        "3,{},empty,,,,rag can,,,,\n",
        later.format("%Y-%m-%dT%H:%M")
    );
    let path = folder.path().join("shop/log.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text + &row).unwrap();
    for words in [
        "audit|shop|--no-reports|--quiet",
        "audit|shop|shop|--no-reports|--quiet",
        "stock|shop",
        "air|shop",
        "close|shop|--quiet",
    ] {
        let (_, err, code) = run(folder.path(), &split(words));
        assert_eq!(code, Some(2), "{words}: {err}");
        assert!(err.contains("clock"), "{words}: {err}");
    }
}
