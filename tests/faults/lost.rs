//! Rows that were acknowledged and are gone or changed: whoever reads the shop reports them, and nothing ends well until they
//! are brought back or the change is accepted.

use crate::{DAY, audit, is_whole, read, run, shop};
use snapbox::str;
use tempfile::TempDir;

/// Everything that reads a shop.
const READERS: [&str; 13] = [
    "close|shop|--at|2026-09-30T18:00",
    "close|shop|--quiet|--at|2026-09-30T18:00",
    "audit|shop|--no-reports|--on|2026-09-30",
    "audit|shop|shop|--no-reports|--on|2026-09-30",
    "stock|shop|--on|2026-09-30",
    "air|shop|--on|2026-09-30",
    "labels|shop|--html|-|--on|2026-09-30",
    "round|shop|--csv|-|--on|2026-09-30",
    "calendar|shop|--on|2026-09-30",
    "stock|shop|--why|A-1|--on|2026-09-30",
    "stock|shop|--reconcile|--on|2026-09-30",
    "stock|shop|--use-first|--on|2026-09-30",
    "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed",
];

fn split(words: &str) -> Vec<&str> {
    words.split('|').collect()
}

fn save(folder: &TempDir, name: &str, text: &str) {
    std::fs::write(folder.path().join("shop").join(name), text).unwrap();
}

#[track_caller]
fn log(folder: &TempDir, words: &str) -> String {
    let words = format!("log|{words}|--shop|shop");
    let (out, err, code) = run(folder.path(), &split(&words));
    assert_eq!((err.as_str(), code), ("", Some(0)), "{words}");
    out
}

#[track_caller]
fn soil(folder: &TempDir, minute: u32) {
    let when = format!("2026-09-30T17:{minute:02}");
    log(folder, &format!("soil|R-1|1|V-1|--when|{when}"));
}

/// No reader ends well, and each says this.
#[track_caller]
fn all_report(folder: &TempDir, words: &str) {
    for reader in READERS {
        let (out, err, code) = run(folder.path(), &split(reader));
        assert_eq!(code, Some(2), "{reader}: {out}{err}");
        // The summary of several shops is folded.
        let all = format!("{out}{err}");
        let all: Vec<&str> = all.split_whitespace().collect();
        assert!(all.join(" ").contains(words), "{reader}: {out}{err}");
        if !reader.contains("shop|shop") {
            is_whole(&err);
        }
    }
    let (_, err, code) = run(
        folder.path(),
        &split("log|open|A-1|--when|2026-09-30T17:59|--shop|shop"),
    );
    assert_eq!(code, Some(2), "{err}");
    assert!(
        err.contains(words) && err.ends_with("Nothing was written.\n"),
        "{err}"
    );
}

#[track_caller]
fn none_reports(folder: &TempDir) {
    for reader in READERS {
        let (out, err, code) = run(folder.path(), &split(reader));
        assert!(matches!(code, Some(0 | 1)), "{reader}: {out}{err}");
        assert_eq!(err, "", "{reader}");
    }
}

/// A shop whose log was saved over by an older one; the older log, and the one that it should be.
fn shop_with_an_older_log() -> (TempDir, String, String) {
    let folder = shop();
    soil(&folder, 0);
    let old = read(&folder, "log.csv");
    soil(&folder, 1);
    let new = read(&folder, "log.csv");
    save(&folder, "log.csv", &old);
    (folder, old, new)
}

#[test]
fn an_older_log_saved_over_a_soiled_rag() {
    let (folder, old, new) = shop_with_an_older_log();
    let (_, err, code) = run(folder.path(), &split(READERS[0]));
    assert_eq!(code, Some(2));
    snapbox::assert_data_eq!(
        err,
        str![[r#"
log.csv: The table no longer has 1 row that was written into it: 4, 2026-09-30T17:01, soil, R-1, 1 pcs, V-1. Another program removed rows, or saved an older table.
  Run `sandarac log restore` to bring them back. If they were removed on purpose, run `sandarac log accept log.csv --note WHY`.

1 problem. Nothing was listed.

"#]]
    );
    all_report(&folder, "no longer has 1 row");
    assert_eq!(read(&folder, "log.csv"), old);
    let (out, err, code) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        out.starts_with("Brought back in log.csv: 4, 2026-09-30T17:01, soil"),
        "{out}"
    );
    assert_eq!(read(&folder, "log.csv"), new);
    none_reports(&folder);
    let (out, _, code) = run(folder.path(), &split(READERS[0]));
    assert_eq!(code, Some(1), "{out}");
    let (out, _, _) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!(out, "No row is missing.\n");
}

/// A workbook that lacks a row would be sent back without it.
#[cfg(feature = "workbook")]
#[test]
fn a_workbook_of_a_log_that_lacks_rows() {
    let (folder, _, new) = shop_with_an_older_log();
    let make = || run(folder.path(), &["workbook", "shop", "shelf.xlsx"]);
    let (_, err, code) = make();
    assert_eq!(code, Some(2));
    assert!(err.contains("no longer has 1 row"), "{err}");
    is_whole(&err);
    assert!(!folder.path().join("shelf.xlsx").exists());
    save(&folder, "log.csv", &new);
    assert_eq!(make().2, Some(0));
}

/// However many entries came after it, and whatever bears its name since.
#[test]
fn an_old_row_is_missed_as_well() {
    let folder = shop();
    for minute in 0..45 {
        log(
            &folder,
            &format!("open|A-1|--when|2026-09-30T16:{minute:02}"),
        );
    }
    let text = read(&folder, "log.csv");
    let without: String = text
        .split_inclusive('\n')
        .filter(|line| !line.starts_with("3,"))
        .collect();
    save(&folder, "log.csv", &without);
    all_report(&folder, "no longer has 1 row");
    let other: String = text
        .split_inclusive('\n')
        .map(|line| match line.starts_with("3,") {
            true => "3,2026-09-30T16:00,open,A-1,,,,,,loose lid,\n",
            false => line,
        })
        .collect();
    save(&folder, "log.csv", &other);
    all_report(&folder, "This row was changed after it was written.");
    save(&folder, "log.csv", &text);
    none_reports(&folder);
}

#[test]
fn a_change_on_purpose_is_accepted() {
    let folder = shop();
    soil(&folder, 0);
    soil(&folder, 1);
    let text = read(&folder, "log.csv");
    let text = text.replace(
        "4,2026-09-30T17:01,soil,R-1,1 pcs",
        "4,2026-09-30T17:01,soil,R-1,2 pcs",
    );
    let text: String = text
        .split_inclusive('\n')
        .filter(|line| !line.starts_with("3,"))
        .collect();
    save(&folder, "log.csv", &text);
    all_report(&folder, "1 row that was written");
    for words in [
        "log|accept|log.csv|--shop|shop",
        "log|accept|log.csv|--note| |--shop|shop",
    ] {
        let (_, err, code) = run(folder.path(), &split(words));
        assert_eq!(code, Some(2), "{err}");
        is_whole(&err);
    }
    // A row that was changed is not written over.
    let (out, _, code) = run(folder.path(), &split("log|restore|--dry-run|--shop|shop"));
    assert_eq!(code, Some(1), "{out}");
    assert!(
        out.contains("Would bring back in log.csv: 3, ") && out.contains("Still changed"),
        "{out}"
    );
    assert_eq!(read(&folder, "log.csv"), text);
    let accept = "log|accept|log.csv|--note|entered twice|--by|Kim|--shop|shop";
    let (out, err, code) = run(folder.path(), &split(accept));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(
        out.contains("Accepted as removed in log.csv: 3, ") && out.contains("2 pcs"),
        "{out}"
    );
    let journal = read(&folder, ".sandarac/journal");
    assert!(journal.contains("\tKim\tentered twice\n"), "{journal}");
    assert_eq!(read(&folder, "log.csv"), text);
    none_reports(&folder);
    soil(&folder, 2);
    save(&folder, "log.csv", &text);
    all_report(&folder, "no longer has 1 row");
}

/// A spreadsheet writes the same rows in many other ways.
#[test]
fn another_spelling_is_no_change() {
    let folder = shop();
    soil(&folder, 0);
    log(
        &folder,
        "use|A-1|1 qt|--note|a, \"b\"\nc|--when|2026-09-30T17:01",
    );
    let text = read(&folder, "log.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .has_headers(false)
        .from_reader(text.as_bytes());
    let rows: Vec<Vec<String>> = reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_string).collect())
        .collect();
    let mut writer = csv::WriterBuilder::new()
        .quote_style(csv::QuoteStyle::Always)
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in &rows {
        let mut row: Vec<String> = row
            .iter()
            .map(|cell| match cell.get(10..11) {
                Some("T") => format!("{}:00", cell.replace('T', " ")),
                _ => cell.replace('\n', "\r\n").replace("1 qt", "2 pt"),
            })
            .collect();
        row.rotate_left(3);
        writer.write_record(&row).unwrap();
    }
    let other = String::from_utf8(writer.into_inner().unwrap()).unwrap();
    assert!(other.contains("2 pt") && other.contains("2026-09-30 17:01:00"));
    save(&folder, "log.csv", &other);
    none_reports(&folder);
    soil(&folder, 2);
    none_reports(&folder);
    save(&folder, "log.csv", &other);
    all_report(&folder, "no longer has 1 row");
}

#[test]
fn a_row_typed_by_hand_may_come_but_not_go() {
    let folder = shop();
    let own = "90,2026-09-30T17:00,open,J-1,,,,,,typed,\n";
    soil(&folder, 0);
    let text = read(&folder, "log.csv");
    save(&folder, "log.csv", &format!("{text}{own}"));
    none_reports(&folder);
    save(&folder, "log.csv", &text);
    none_reports(&folder);
    // Once another entry is written behind it, the table cannot be shorter again.
    save(&folder, "log.csv", &format!("{text}{own}"));
    soil(&folder, 1);
    let text = read(&folder, "log.csv").replace(own, "");
    save(&folder, "log.csv", &text);
    all_report(&folder, "so rows typed by hand are gone");
    let accept = "log|accept|log.csv|--note|typed by mistake|--shop|shop";
    let (_, err, code) = run(folder.path(), &split(accept));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    none_reports(&folder);
}

#[test]
fn an_answer_of_the_round_is_missed() {
    let folder = shop();
    let sheet = "row,kind,name,about,found,answer,when\n\
                 1,check,fan-runs,window fan,,yes,2026-09-05T09:00\n2,check,filters,window fan,,yes,2026-09-05T09:00\n";
    std::fs::write(folder.path().join("sheet.csv"), sheet).unwrap();
    let old = read(&folder, "checks.csv");
    let (_, err, code) = run(folder.path(), &split("round|shop|--enter|sheet.csv"));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    let new = read(&folder, "checks.csv");
    none_reports(&folder);
    save(
        &folder,
        "checks.csv",
        &new.replace("filters,window fan,yes", "filters,window fan,no"),
    );
    all_report(&folder, "This row was changed after it was written.");
    save(&folder, "checks.csv", &old);
    all_report(&folder, "checks.csv: The table no longer has 2 rows");
    let (_, err, code) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert_eq!(read(&folder, "checks.csv"), new);
    none_reports(&folder);
}

#[test]
fn a_log_that_went_away() {
    let folder = shop();
    soil(&folder, 0);
    let path = folder.path().join("shop/log.csv");
    std::fs::remove_file(&path).unwrap();
    all_report(
        &folder,
        "log.csv is missing, but rows were written into it before.",
    );
    assert!(!path.exists());
    let (out, err, code) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(read(&folder, "log.csv").contains("\n3,2026-09-30T17:00,soil,R-1,1 pcs,V-1,"));
    // What was typed by hand is not in it, and that is said.
    let still = "Still missing in log.csv: rows typed by hand, which are not kept. It had 3 rows, and now has 1.";
    assert!(out.contains(still), "{out}");
    all_report(&folder, "so rows typed by hand are gone");
    for _ in 0..2 {
        let (out, _, code) = run(folder.path(), &split("log|restore|--shop|shop"));
        assert_eq!(code, Some(1), "{out}");
        assert!(out.starts_with(still), "{out}");
    }
}

/// The answers of the round are watched as the log is.
#[test]
fn answers_that_went_away() {
    let folder = shop();
    let answer = |about: &str, minute: u32| {
        let when = format!("2026-09-30T17:0{minute}");
        log(
            &folder,
            &format!("check|lids-closed|yes|{about}|--when|{when}"),
        );
    };
    answer("finishing room", 0);
    let own = "2026-09-05T09:00,exits-clear,,yes,typed,\n";
    let text = read(&folder, "checks.csv");
    save(&folder, "checks.csv", &format!("{text}{own}"));
    none_reports(&folder);
    answer("finishing room", 1);
    let whole = read(&folder, "checks.csv");
    save(&folder, "checks.csv", &whole.replace(own, ""));
    all_report(&folder, "so rows typed by hand are gone");
    let path = folder.path().join("shop/checks.csv");
    std::fs::remove_file(&path).unwrap();
    all_report(
        &folder,
        "checks.csv is missing, but rows were written into it before.",
    );
    let (out, err, code) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(out.contains("Brought back in checks.csv: "), "{out}");
    save(&folder, "checks.csv", &whole);
    none_reports(&folder);
    for (name, words) in [
        ("Checks.csv", "This is another copy of checks.csv."),
        (
            ".checks.csv.icloud",
            "This is a placeholder for a checks.csv that is only in the cloud.",
        ),
    ] {
        save(&folder, name, "when,check\n");
        all_report(&folder, words);
        std::fs::remove_file(folder.path().join("shop").join(name)).unwrap();
    }
}

#[test]
fn other_copies_beside_a_table() {
    let folder = shop();
    for (name, words) in [
        ("Log.csv", "This is another copy of log.csv."),
        ("log (1).csv", "This is another copy of log.csv."),
        (
            "checks (conflicted copy).csv",
            "This is another copy of checks.csv.",
        ),
        (
            ".log.csv.icloud",
            "This is a placeholder for a log.csv that is only in the cloud.",
        ),
    ] {
        save(&folder, name, "entry,when,what\n");
        all_report(&folder, words);
        std::fs::remove_file(folder.path().join("shop").join(name)).unwrap();
    }
    std::fs::rename(
        folder.path().join("shop/log.csv"),
        folder.path().join("shop/.log.csv.icloud"),
    )
    .unwrap();
    all_report(
        &folder,
        "This is a placeholder for a log.csv that is only in the cloud.",
    );
}

/// The index is only a help: without it, or with one of another time, the same is found.
#[test]
fn an_index_that_is_gone_or_wrong() {
    let folder = shop();
    soil(&folder, 0);
    let (old, index) = (
        read(&folder, "log.csv"),
        folder.path().join("shop/.sandarac/log.csv.rows"),
    );
    let before = std::fs::read(&index).unwrap();
    soil(&folder, 1);
    let (new, after) = (read(&folder, "log.csv"), std::fs::read(&index).unwrap());
    assert_eq!((before.len(), after.len()), (40, 48));
    for bytes in [Some(&b""[..]), Some(&before), Some(&[0; 400]), None] {
        for (text, is_whole) in [(&new, true), (&old, false)] {
            save(&folder, "log.csv", text);
            match bytes {
                Some(bytes) => std::fs::write(&index, bytes).unwrap(),
                None => std::fs::remove_file(&index).unwrap(),
            }
            // Closing time never writes.
            for reader in [READERS[0], READERS[2]] {
                let (_, err, code) = run(folder.path(), &split(reader));
                assert_eq!(code == Some(2), !is_whole, "{bytes:?}: {err}");
                assert_eq!(
                    err.contains("no longer has 1 row"),
                    !is_whole,
                    "{bytes:?}: {err}"
                );
            }
            if is_whole {
                assert_eq!(std::fs::read(&index).unwrap(), after, "{DAY}");
            }
        }
    }
}

/// The rows of the log, without the names of its columns.
fn entries(folder: &TempDir) -> Vec<String> {
    let text = read(folder, "log.csv");
    let name = |line: &str| line.split(',').next().map(str::to_string);
    text.lines().skip(1).filter_map(name).collect()
}

/// Logs in a shop of which rows are lost: saved, and said not to be well.
#[track_caller]
fn log_anyway(folder: &TempDir, words: &str, lost: &str) -> String {
    let words = format!("log|{words}|--anyway|--shop|shop");
    let (out, err, code) = run(folder.path(), &split(&words));
    assert_eq!(code, Some(1), "{words}: {out}{err}");
    assert!(err.contains(lost), "{words}: {err}");
    assert!(
        err.contains("The entry is saved; do not enter it again."),
        "{err}"
    );
    is_whole(&err);
    out
}

/// A person with a wet rag in hand can log it, and the loss is not made permanent by that.
#[test]
fn an_entry_is_saved_anyway_while_rows_are_lost() {
    let folder = shop();
    soil(&folder, 0);
    let old = read(&folder, "log.csv");
    soil(&folder, 1);
    let lost = read(&folder, "log.csv").replace(&old, "");
    save(&folder, "log.csv", &old);
    let words = "log|soil|R-1|1|V-1|--when|2026-09-30T17:02|--shop|shop";
    let (_, err, code) = run(folder.path(), &split(words));
    assert_eq!(code, Some(2));
    assert!(
        err.contains("add --anyway") && err.ends_with("Nothing was written.\n"),
        "{err}"
    );
    let (_, err, code) = run(
        folder.path(),
        &split(&format!("{words}|--anyway|--dry-run")),
    );
    assert_eq!(code, Some(1), "{err}");
    assert!(err.ends_with("Nothing was written.\n"), "{err}");
    assert_eq!(read(&folder, "log.csv"), old);
    for minute in [2, 3] {
        let words = format!("soil|R-1|1|V-1|--when|2026-09-30T17:0{minute}");
        log_anyway(&folder, &words, "no longer has 1 row");
        all_report(&folder, "no longer has 1 row");
    }
    // The lost entry keeps its name.
    assert_eq!(entries(&folder), ["1", "2", "3", "5", "6"]);
    log_anyway(
        &folder,
        "check|lids-closed|yes|--when|2026-09-30T17:04",
        "no longer has 1 row",
    );
    // The last action may be the one that is lost.
    let (_, err, code) = run(folder.path(), &split("log|undo|--anyway|--shop|shop"));
    assert_eq!(code, Some(2));
    is_whole(&err);
    let (_, err, code) = run(folder.path(), &split("log|restore|--shop|shop"));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    assert!(read(&folder, "log.csv").ends_with(&lost));
    assert_eq!(entries(&folder), ["1", "2", "3", "5", "6", "4"]);
    none_reports(&folder);
}

#[test]
fn an_entry_is_saved_anyway_beside_other_losses() {
    let folder = shop();
    soil(&folder, 0);
    let text = read(&folder, "log.csv");
    // A row typed by hand, seen and gone.
    let own = "90,2026-09-30T17:00,open,J-1,,,,,,typed,\n";
    save(&folder, "log.csv", &format!("{text}{own}"));
    soil(&folder, 1);
    save(
        &folder,
        "log.csv",
        &read(&folder, "log.csv").replace(own, ""),
    );
    for minute in 2..5 {
        let words = format!("soil|R-1|1|V-1|--when|2026-09-30T17:0{minute}");
        log_anyway(&folder, &words, "so rows typed by hand are gone");
        all_report(&folder, "so rows typed by hand are gone");
    }
    let accept = "log|accept|log.csv|--note|typed by mistake|--shop|shop";
    let (_, err, code) = run(folder.path(), &split(accept));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    none_reports(&folder);
    // A row that says something else.
    let text = read(&folder, "log.csv");
    save(
        &folder,
        "log.csv",
        &text.replace("17:00,soil,R-1,1 pcs", "17:00,soil,R-1,2 pcs"),
    );
    let changed = "This row was changed after it was written.";
    log_anyway(&folder, "soil|R-1|1|V-1|--when|2026-09-30T17:06", changed);
    all_report(&folder, changed);
    let text = read(&folder, "log.csv");
    save(
        &folder,
        "log.csv",
        &text.replace("17:00,soil,R-1,2 pcs", "17:00,soil,R-1,1 pcs"),
    );
    none_reports(&folder);
    // A copy that another program put aside; but not a table that is only in the cloud.
    for (name, words) in [
        (
            "log (conflicted copy).csv",
            "This is another copy of log.csv.",
        ),
        ("Log.csv", "This is another copy of log.csv."),
    ] {
        save(&folder, name, "entry,when,what\n");
        log_anyway(&folder, "open|A-1|--when|2026-09-30T17:07", words);
        all_report(&folder, words);
        std::fs::remove_file(folder.path().join("shop").join(name)).unwrap();
    }
    none_reports(&folder);
    save(&folder, ".log.csv.icloud", "");
    let words = "log|open|A-1|--when|2026-09-30T17:08|--anyway|--shop|shop";
    let (_, err, code) = run(folder.path(), &split(words));
    assert_eq!(code, Some(2), "{err}");
}

/// An audit that leaves reports notes how many rows it saw, in a shop without a journal too.
#[test]
fn a_log_that_is_shorter_than_at_the_last_audit() {
    for logged in [false, true] {
        let folder = shop();
        if logged {
            soil(&folder, 0);
        }
        let text = read(&folder, "log.csv");
        let own = "90,2026-09-30T17:30,open,J-1,,,,,,typed,\n";
        save(&folder, "log.csv", &format!("{text}{own}"));
        let code = audit(&folder).2;
        assert!(matches!(code, Some(0 | 1)), "{code:?}");
        save(&folder, "log.csv", &text);
        none_reports(&folder);
        for shops in [
            "audit|shop|--on|2026-09-30",
            "audit|shop|shop|--on|2026-09-30",
        ] {
            save(&folder, "log.csv", &format!("{text}{own}"));
            let (_, err, code) = run(folder.path(), &split(shops));
            assert!(
                matches!(code, Some(0 | 1)) && err.is_empty(),
                "{code:?} {err}"
            );
            none_reports(&folder);
            save(&folder, "log.csv", &text);
            all_report(
                &folder,
                "or the shop was last audited, so rows typed by hand are gone.",
            );
            // Reading alone never makes it good again.
            all_report(
                &folder,
                "or the shop was last audited, so rows typed by hand are gone.",
            );
            std::fs::remove_file(folder.path().join("shop/log.csv")).unwrap();
            all_report(
                &folder,
                "log.csv is missing, but rows were written into it before.",
            );
            save(&folder, "log.csv", &text);
            let accept = "log|accept|log.csv|--note|typed by mistake|--shop|shop";
            let (_, err, code) = run(folder.path(), &split(accept));
            assert_eq!((err.as_str(), code), ("", Some(0)));
            none_reports(&folder);
        }
        // The first entry that is logged afterwards finds all as it is.
        soil(&folder, 1);
        none_reports(&folder);
    }
}

/// A folder in which nothing can be noted is audited all the same.
#[test]
fn an_audit_that_cannot_note_the_rows_it_saw() {
    let folder = shop();
    save(&folder, ".sandarac", "not a folder");
    let (_, err, code) = run(folder.path(), &split("audit|shop|--on|2026-09-30"));
    assert!(
        matches!(code, Some(0 | 1)) && err.is_empty(),
        "{code:?} {err}"
    );
    assert_eq!(read(&folder, ".sandarac"), "not a folder");
}
