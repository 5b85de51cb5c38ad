//! Damaged and hostile folders that cannot be kept as files: what spreadsheets do and is read all the same, pipes,
//! devices, links, huge files, thousands of problems; and nothing is ever written outside, or steers a terminal.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const INVENTORY: &str = include_str!("problems/base/shop/inventory.csv");
const LOG: &str = include_str!("problems/base/shop/log.csv");

/// The shop of `problems/base`, in a folder that holds nothing else.
fn shop() -> TempDir {
    let temporary = TempDir::new().unwrap();
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems/base/shop");
    std::fs::create_dir(temporary.path().join("shop")).unwrap();
    for entry in std::fs::read_dir(base).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap();
        std::fs::copy(&path, temporary.path().join("shop").join(name)).unwrap();
    }
    temporary
}

fn put(folder: &TempDir, name: &str, text: impl AsRef<[u8]>) {
    let path = folder.path().join("shop").join(name);
    let _ = std::fs::remove_file(&path);
    std::fs::write(path, text).unwrap();
}

fn run(folder: &TempDir, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .env_remove("COLUMNS")
        .args(args)
        .output()
        .unwrap()
}

const AUDIT: [&str; 5] = ["audit", "shop", "--on", "2026-11-24", "--no-reports"];

/// What the audit says of it, which must be a problem.
fn told(folder: &TempDir) -> String {
    let output = run(folder, &AUDIT);
    let told = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(output.stdout.is_empty());
    told
}

/// The report of the audit, which must be one.
fn audited(folder: &TempDir) -> String {
    let output = run(folder, &AUDIT);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code() != Some(2) && said.is_empty(), "{said}");
    String::from_utf8(output.stdout).unwrap()
}

/// What spreadsheets do to a table without changing what it says: the report is the same to the letter.
#[test]
fn what_a_spreadsheet_does_is_read_all_the_same() {
    let plain = audited(&shop());
    let wide = |text: &str| -> String {
        let row = |line: &str| format!("{line},,,\n");
        text.lines().map(row).collect::<String>() + ",,,,,,,,,,\n,,,,,,,,,,\n"
    };
    let backwards = || -> String {
        let mut lines: Vec<&str> = LOG.lines().collect();
        lines[1..].reverse();
        lines.join("\n")
    };
    let cases: [(&str, &str, Vec<u8>); 13] = [
        (
            "a byte order mark",
            "inventory.csv",
            format!("\u{feff}{INVENTORY}").into(),
        ),
        ("CRLF", "log.csv", LOG.replace('\n', "\r\n").into()),
        ("no end to the last line", "log.csv", LOG.trim_end().into()),
        (
            "empty columns and rows",
            "inventory.csv",
            wide(INVENTORY).into(),
        ),
        ("a log out of order", "log.csv", backwards().into()),
        ("a space for the T", "log.csv", LOG.replace('T', " ").into()),
        ("seconds", "log.csv", LOG.replace(":00,", ":00:00,").into()),
        (
            "an hour of one digit",
            "log.csv",
            LOG.replace("T09:", " 9:").into(),
        ),
        (
            "a midnight behind a day",
            "inventory.csv",
            INVENTORY.replace("-02,", "-02 00:00:00,").into(),
        ),
        (
            "capital words",
            "log.csv",
            LOG.replace(",use,", ",Use,")
                .replace(",soil,", ",SOIL,")
                .into(),
        ),
        (
            "a capital header",
            "inventory.csv",
            INVENTORY
                .replace("container,product", "Container,PRODUCT")
                .into(),
        ),
        (
            "non-breaking spaces",
            "inventory.csv",
            INVENTORY
                .replace("1 qt,bench", "\u{a0}1\u{a0}qt ,bench\u{a0}")
                .into(),
        ),
        (
            "quotes around all",
            "log.csv",
            LOG.replace(',', "\",\"")
                .replace('\n', "\"\n\"")
                .trim_end_matches('"')
                .replacen("entry", "\"entry", 1)
                .into(),
        ),
    ];
    for (what, name, text) in cases {
        let folder = shop();
        assert_ne!(
            std::fs::read(folder.path().join("shop").join(name)).unwrap(),
            text,
            "{what}: nothing was changed"
        );
        put(&folder, name, &text);
        assert_eq!(audited(&folder), plain, "{what}");
    }
    let folder = shop();
    put(
        &folder,
        "places.csv",
        "place,room,kind\ncabinet,finishing,Cabinet\nbench,finishing,Bench\nrag can,finishing,Oily-Waste-Can\nyard,finishing,OUTDOORS\n",
    );
    put(
        &folder,
        "rooms.csv",
        "room,use,length,width,height,level\nfinishing,Finishing,20 ft,12 ft,9 ft,Ground\n",
    );
    assert_eq!(audited(&folder), plain, "words with capital letters");
}

/// A remark that begins with a capital, as spreadsheets make it, or in another form of the word: a can that failed its
/// test is no can that passed, however soon it dried.
#[test]
fn a_failed_test_is_no_pass() {
    let tested = |note: &str| {
        let folder = shop();
        let rows = format!("{LOG}5,2026-11-04T09:00,test,V-1,,Glass,,5,{note}\n");
        put(&folder, "log.csv", rows);
        let output = run(&folder, &["stock", "shop", "--on", "2026-11-24"]);
        String::from_utf8(output.stdout).unwrap()
    };
    let (passed, failed) = (tested(""), tested("fail: tacky"));
    assert_ne!(passed, failed);
    for note in ["Fail: tacky", "FAIL", "failed", "Failed; still soft"] {
        assert_eq!(tested(note), failed, "{note}");
    }
    assert_eq!(tested("Pass"), passed);
    let void = |word: &str| {
        let folder = shop();
        let row = format!("5,2026-11-04T09:00,correct,,,1,,,{word}: never happened\n");
        put(&folder, "log.csv", format!("{LOG}{row}"));
        audited(&folder)
    };
    assert_eq!(void("Void"), void("void"));
}

/// As many problems as there are, and as many as anyone reads.
#[test]
fn ten_thousand_problems_are_told_in_short() {
    let folder = shop();
    let rows: String = (0..10_000)
        .map(|n| format!("{n},2026-11-03T18:00,use,Q-{n},4 fl oz,,,20,\n"))
        .collect();
    put(
        &folder,
        "log.csv",
        format!("{}\n{rows}", LOG.lines().next().unwrap()),
    );
    let told = told(&folder);
    assert!(
        told.ends_with(
            "\n9800 more problems are not shown.\n\n10000 problems. Nothing was audited.\n"
        ),
        "{}",
        &told[told.len() - 200..]
    );
    assert_eq!(told.matches(": There is no container \"Q-").count(), 200);
    let first = "log.csv, row 2 (0), column \"container\": There is no container \"Q-0\".\n  \
        Add the container to its table, or correct the name.\n";
    assert!(told.starts_with(first), "{}", &told[..400]);
}

/// A cell of any length, quoted in a message, is cut.
#[test]
fn a_long_cell_does_not_make_a_long_message() {
    let folder = shop();
    let long = "y".repeat(900_000);
    put(
        &folder,
        "inventory.csv",
        INVENTORY.replace("1 gal,cabinet", &format!("{long},cabinet")),
    );
    let told = told(&folder);
    assert!(
        told.starts_with("inventory.csv, row 2 (A-1), column \"capacity\": \"yyy")
            && told.contains("yyy\" is not an amount.\n"),
        "{}",
        &told[..200]
    );
    assert!(told.len() < 2000, "{} bytes", told.len());
}

#[test]
fn a_row_without_end_is_refused() {
    let folder = shop();
    put(
        &folder,
        "log.csv",
        format!(
            "{LOG}5,2026-11-03T18:00,use,A-1,4 fl oz,,,20,{}\n",
            "x".repeat(3_000_000)
        ),
    );
    let fix = "Look for a quotation mark that is never closed, endless comments, or a file that is not a table.";
    assert_eq!(
        told(&folder),
        format!(
            "log.csv, row 6 (5): This row is longer than 1048576 bytes.\n  {fix}\n\n1 problem. Nothing was audited.\n"
        )
    );
    // A mark that swallows all that follows is named too.
    put(
        &folder,
        "log.csv",
        format!(
            "{LOG}5,2026-11-03T18:00,use,A-1,4 fl oz,,,20,\"x\n{}",
            LOG.repeat(20_000)
        ),
    );
    assert_eq!(
        told(&folder),
        format!(
            "log.csv, row 6 (5): This row is longer than 1048576 bytes.\n  {fix}\n  \
             See also log.csv, row 6 (5), column \"note\".\n\n1 problem. Nothing was audited.\n"
        )
    );
    put(
        &folder,
        "log.csv",
        format!("{LOG}{}", "# a comment\n".repeat(200_000)),
    );
    let told = told(&folder);
    assert!(
        told.starts_with("log.csv, row 6: This row is longer than "),
        "{told}"
    );
}

/// A cell of a hundred million letters, in quotation marks that are closed, and in such as are not.
#[test]
fn a_cell_without_end_is_refused() {
    for ends in ["\"\n", ""] {
        let folder = shop();
        let long = "y".repeat(100_000_000);
        put(
            &folder,
            "log.csv",
            format!("{LOG}5,2026-11-03T18:00,use,A-1,4 fl oz,,,20,\"{long}{ends}"),
        );
        let told = told(&folder);
        assert!(
            told.starts_with("log.csv, row 6 (5): This row is longer than 1048576 bytes.\n"),
            "{}",
            &told[..200]
        );
        assert!(told.len() < 2000, "{} bytes", told.len());
    }
}

#[test]
fn a_table_that_no_shop_has_is_refused() {
    let folder = shop();
    let rows: String = (0..100_001)
        .map(|n| format!("p{n},finishing,bench\n"))
        .collect();
    put(&folder, "places.csv", format!("place,room,kind\n{rows}"));
    assert_eq!(
        told(&folder),
        "places.csv, row 100002 (p100000): The table has more than 100000 rows.\n  \
        Put what was done into log.csv, which may have more rows.\n\n1 problem. Nothing was audited.\n"
    );
}

/// Files of an absurd size are not even opened (these take no room on the disk: they are holes).
#[test]
fn a_huge_file_is_refused() {
    for (name, size, most) in [
        ("log.csv", (1_u64 << 30) + 1, 1_u64 << 30),
        ("inventory.csv", (1 << 26) + 1, 1 << 26),
        ("shop.toml", (1 << 20) + 1, 1 << 20),
    ] {
        let folder = shop();
        let path = folder.path().join("shop").join(name);
        std::fs::File::options()
            .write(true)
            .open(path)
            .unwrap()
            .set_len(size)
            .unwrap();
        assert_eq!(
            told(&folder),
            format!(
                "shop/{name}: The file has {size} bytes. At most {most} are read.\n  \
                 Check that this is the right file, or start a new one with a count of what is there.\n\n\
                 1 problem. Nothing was audited.\n"
            )
        );
    }
    // Just within the bound, it is a row of a billion NUL bytes.
    let folder = shop();
    let path = folder.path().join("shop/log.csv");
    std::fs::File::options()
        .write(true)
        .open(path)
        .unwrap()
        .set_len(1 << 30)
        .unwrap();
    let told = told(&folder);
    assert!(
        told.starts_with("log.csv, row 6: This row is longer than ") && told.len() < 2000,
        "{}",
        &told[..300]
    );
}

#[cfg(unix)]
mod unix {
    use super::{AUDIT, INVENTORY, LOG, audited, put, run, shop, told};
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::fs::{PermissionsExt, symlink};
    use std::process::Command;

    /// A pipe would wait for ever, a device never ends.
    #[test]
    fn what_is_no_file_is_refused() {
        let refused = |name: &str| {
            format!(
                "shop/{name}: This is a pipe or a device, not a file.\n  \
                 Put the file itself there, or remove this.\n\n1 problem. Nothing was audited.\n"
            )
        };
        for name in ["log.csv", "shop.toml", "rooms.csv"] {
            let folder = shop();
            let path = folder.path().join("shop").join(name);
            std::fs::remove_file(&path).unwrap();
            assert!(
                Command::new("mkfifo")
                    .arg(&path)
                    .status()
                    .unwrap()
                    .success()
            );
            assert_eq!(told(&folder), refused(name));
        }
        for device in ["/dev/zero", "/dev/null"] {
            let folder = shop();
            let path = folder.path().join("shop/log.csv");
            std::fs::remove_file(&path).unwrap();
            symlink(device, &path).unwrap();
            assert_eq!(told(&folder), refused("log.csv"));
        }
    }

    /// What stands in place of the journal is never taken for none: it would hide lost rows. And no pipe is waited for.
    #[test]
    fn a_journal_that_is_no_file_is_refused() {
        let refused = |is: &str| {
            format!(
                "shop/.sandarac/journal: This is {is}, not a file.\n  Put the file itself there, or remove this.\n\n\
                 1 problem. Nothing was"
            )
        };
        let pipe = |path: &std::path::Path| {
            assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
        };
        for (is, with_index, with_log) in [
            ("a folder", false, true),
            ("a pipe or a device", false, true),
            ("a pipe or a device", true, true),
            ("a pipe or a device", true, false),
        ] {
            let folder = shop();
            let words = [
                "log",
                "open",
                "A-1",
                "--when",
                "2026-11-24T09:00",
                "--shop",
                "shop",
            ];
            assert_eq!(run(&folder, &words).status.code(), Some(0));
            let home = folder.path().join("shop/.sandarac");
            std::fs::remove_file(home.join("journal")).unwrap();
            match is {
                "a folder" => std::fs::create_dir(home.join("journal")).unwrap(),
                _ => pipe(&home.join("journal")),
            }
            if !with_index {
                std::fs::remove_file(home.join("log.csv.rows")).unwrap();
                pipe(&home.join("log.csv.rows"));
            }
            if !with_log {
                std::fs::remove_file(folder.path().join("shop/log.csv")).unwrap();
            }
            for words in [
                &AUDIT[..],
                &["stock", "shop", "--on", "2026-11-24"],
                &["close", "shop", "--at", "2026-11-24"],
            ] {
                let waited = Command::new("timeout")
                    .current_dir(folder.path())
                    .args(["20", env!("CARGO_BIN_EXE_sandarac")])
                    .args(words)
                    .output()
                    .unwrap();
                let told = String::from_utf8(waited.stderr).unwrap();
                assert_eq!(waited.status.code(), Some(2), "{words:?}: {told}");
                if with_log {
                    assert!(told.starts_with(&refused(is)), "{words:?}: {told}");
                } else {
                    assert!(told.contains("This is a pipe or a device"), "{told}");
                }
            }
        }
    }

    /// A link that stays in the folder is read, and the shop itself may be reached by one.
    #[test]
    fn links_inside_are_read() {
        let folder = shop();
        let plain = audited(&folder);
        std::fs::rename(
            folder.path().join("shop/log.csv"),
            folder.path().join("shop/work.csv"),
        )
        .unwrap();
        symlink("work.csv", folder.path().join("shop/log.csv")).unwrap();
        std::fs::rename(folder.path().join("shop"), folder.path().join("real")).unwrap();
        symlink("real", folder.path().join("shop")).unwrap();
        assert_eq!(audited(&folder), plain);
    }

    /// A folder may be called anything; a rule may not, and one that cannot be read is reported, never passed over.
    #[test]
    fn names_of_files_may_be_odd() {
        let folder = shop();
        let plain = audited(&folder);
        let odd = OsStr::from_bytes(b"sh\xff\x1b[2J\n op");
        std::fs::rename(folder.path().join("shop"), folder.path().join(odd)).unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
            .current_dir(folder.path())
            .env_remove("COLUMNS")
            .arg("audit")
            .arg(odd)
            .args(["--on", "2026-11-24"])
            .output()
            .unwrap();
        // The last line names the folder.
        let but_last = |text: &str| text.lines().count() - 1;
        let found = String::from_utf8(output.stdout).unwrap();
        let lines = found.lines().take(but_last(&found));
        assert!(lines.eq(plain.lines().take(but_last(&plain))), "{found}");
        let written = std::fs::read_dir(folder.path().join(odd).join("reports")).unwrap();
        assert!(written.count() >= 3);

        let base =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems/base/pack");
        for (name, shown) in [
            (b"jar\xff.toml".as_slice(), "jar\u{fffd}.toml"),
            (b"jar\x1b[2J.toml", "jar\u{fffd}[2J.toml"),
        ] {
            let pack = folder.path().join("pack");
            std::fs::create_dir_all(pack.join("rules")).unwrap();
            for file in [
                "pack.toml",
                "sources.toml",
                "classes.toml",
                "rules/jar-size.toml",
            ] {
                std::fs::copy(base.join(file), pack.join(file)).unwrap();
            }
            let rule = pack.join("rules").join(OsStr::from_bytes(name));
            std::fs::copy(base.join("rules/jar-size.toml"), &rule).unwrap();
            let output = run(&folder, &["rules", "check", "pack"]);
            let said = String::from_utf8(output.stderr).unwrap();
            std::fs::remove_file(rule).unwrap();
            assert_eq!(output.status.code(), Some(2));
            assert!(
                said.starts_with(&format!(
                    "pack/rules: The file cannot be read: `{shown}` cannot be the name of a rule.\n"
                )),
                "{said}"
            );
        }
    }

    /// What may not be read is reported; never taken for a shop without a log. (Root may read everything, and shows nothing.)
    #[test]
    fn a_file_that_may_not_be_read_is_told() {
        let folder = shop();
        let path = folder.path().join("shop/log.csv");
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
        if std::fs::read(&path).is_ok() {
            audited(&folder);
            return;
        }
        assert_eq!(
            told(&folder),
            "shop/log.csv: The file cannot be read: Permission denied (os error 13).\n  \
            Check that it exists and that you may read it.\n\n1 problem. Nothing was audited.\n"
        );
    }

    /// A report replaces a link of its name and never writes through it; a folder that leads out is refused.
    #[test]
    fn reports_stay_in_the_folder() {
        let folder = shop();
        let outside = folder.path().join("outside");
        std::fs::create_dir(&outside).unwrap();
        std::fs::write(outside.join("keep.txt"), "mine").unwrap();
        let reports = folder.path().join("shop/reports");
        std::fs::create_dir(&reports).unwrap();
        for ending in ["md", "csv", "json"] {
            symlink(
                "../../outside/keep.txt",
                reports.join(format!("2026-11-24-audit.{ending}")),
            )
            .unwrap();
        }
        let args = ["audit", "shop", "--on", "2026-11-24"];
        assert_ne!(run(&folder, &args).status.code(), Some(2));
        assert_eq!(
            std::fs::read_to_string(outside.join("keep.txt")).unwrap(),
            "mine"
        );
        for ending in ["md", "csv", "json"] {
            let path = reports.join(format!("2026-11-24-audit.{ending}"));
            assert!(std::fs::symlink_metadata(path).unwrap().is_file());
        }
        for (target, message) in [
            (
                "../outside",
                "leads out of the shop folder.\n  Replace it with a folder of its own.\n",
            ),
            ("../not-there", "cannot be written: "),
        ] {
            let folder = shop();
            std::fs::create_dir(folder.path().join("outside")).unwrap();
            symlink(target, folder.path().join("shop/reports")).unwrap();
            let output = run(&folder, &args);
            let told = String::from_utf8(output.stderr).unwrap();
            assert_eq!(output.status.code(), Some(2), "{told}");
            assert!(
                told.starts_with("shop/reports ") && told.contains(message),
                "{told}"
            );
            assert_eq!(
                std::fs::read_dir(folder.path().join("outside"))
                    .unwrap()
                    .count(),
                0
            );
            assert!(!folder.path().join("not-there").exists());
        }
    }

    fn steers(text: &[u8]) -> Option<char> {
        let text = std::str::from_utf8(text).unwrap();
        let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
        text.chars()
            .find(|c| *c != '\n' && sandarac::text::steers(*c))
    }

    /// Wherever a text comes from (a cell, shop.toml, an argument, a file's name), none of it steers the terminal.
    #[test]
    fn nothing_steers_the_terminal() {
        const BAD: &str = "x\u{1b}[31m\u{9b}2J\u{7}\u{202e}\u{2067}\u{2028}y";
        let folder = shop();
        put(
            &folder,
            "accepted.csv",
            format!(
                "rule,subject,why,by,until\nus-workplace/container-label,A-2,{BAD},{BAD},2026-12-01\n"
            ),
        );
        put(
            &folder,
            "fixtures.csv",
            format!(
                "fixture,room,kind,rating\ndoor,finishing,exit,\nred,finishing,extinguisher,{BAD}\n"
            ),
        );
        put(
            &folder,
            "log.csv",
            LOG.replace(",note\n", ",by\n")
                .replace(",20,\n", &format!(",20,{BAD}\n")),
        );
        put(
            &folder,
            "inventory.csv",
            INVENTORY
                .replace("amount\n", "amount,lot\n")
                .replace("pcs\n", &format!("pcs,{BAD}\n"))
                .replace("1 gal\n", "1 gal,\n")
                .replace("oz\n", "oz,\n")
                .replace("1 qt\n", "1 qt,\n"),
        );
        let toml = std::fs::read_to_string(folder.path().join("shop/shop.toml")).unwrap();
        put(
            &folder,
            "shop.toml",
            format!(
                "{toml}[authority]\nname = \"x\\u001b[31m\\u009b\\u202ey\"\nsays = \"a\\u0007\\u2028b\"\n"
            ),
        );
        let mut shown = 0;
        for args in [
            vec!["audit", "shop", "--on", "2026-11-24", "--full"],
            vec!["audit", "shop", "--on", "2026-11-24", "--json", "-"],
            vec!["stock", "shop", "--on", "2026-11-24"],
            vec!["stock", "shop", "--on", "2026-11-24", "--why", "A-1"],
            vec!["stock", "shop", "--on", "2026-11-24", "--why", BAD],
            vec!["air", "shop", "--on", "2026-11-24"],
            vec!["air", "shop", "--on", "2026-11-24", "--json", "-"],
            vec![
                "air",
                "shop",
                "--room",
                BAD,
                "--product",
                BAD,
                "--amount",
                BAD,
                "--minutes",
                BAD,
            ],
            vec!["rules", "shop", "--on", "2026-11-24"],
            vec!["rules", "shop", "--pack", BAD],
            vec!["rules", "shop", BAD],
            vec!["audit", BAD],
            vec!["rules", "check", BAD],
            vec!["audit", "shop", "--on", BAD],
            vec![BAD],
            vec!["new", BAD],
            vec!["audit", "shop", "shop", "--on", "2026-11-24"],
            vec!["stock", "shop", "--on", "2026-11-24", "--reconcile"],
            vec!["stock", "shop", "--on", "2026-11-24", "--use-first"],
            vec!["stock", "shop", "--on", "2026-11-24", "--expiring", "60d"],
            vec!["stock", "shop", "--on", "2026-11-24", "--running-low"],
            vec!["close", "shop", "--at", "2026-11-24"],
            vec!["close", "shop", "--at", "2026-11-24", "--json", "-"],
            vec!["close", "shop", "--at", "2026-11-24", "--quiet"],
            vec!["labels", "shop", "--on", "2026-11-24"],
            vec!["labels", "shop", "--on", "2026-11-24", "--html", "-"],
            vec!["labels", "shop", "--on", "2026-11-24", "--out", BAD],
            vec!["labels", "shop", BAD],
            vec!["round", "shop", "--on", "2026-11-24"],
            vec!["round", "shop", "--on", "2026-11-24", "--csv", "-"],
            vec!["round", "shop", "--on", "2026-11-24", "--out", "-"],
            vec!["round", "shop", "--enter", BAD],
            vec!["calendar", "shop", "--on", "2026-11-24", "--out", "-"],
            vec!["calendar", "shop", "--on", "2026-11-24", "--out", BAD],
            vec![
                "mix",
                "--shop",
                "shop",
                "--on",
                "2026-11-24",
                "--cut",
                "2",
                "--make",
                "1 pt",
            ],
            vec![
                "mix",
                "--shop",
                "shop",
                "--on",
                "2026-11-24",
                "--cut",
                "2",
                "--make",
                "1 pt",
                "--json",
                "-",
            ],
            vec![
                "mix", "--shop", "shop", "--cut", "2", "--make", BAD, "--flake", BAD,
            ],
            vec![
                "log",
                "open",
                BAD,
                "--shop",
                "shop",
                "--when",
                "2026-11-20T09:00",
            ],
            vec![
                "log",
                "open",
                "A-1",
                "--shop",
                "shop",
                "--when",
                "2026-11-20T09:00",
                "--by",
                BAD,
                "--dry-run",
            ],
        ] {
            let output = run(&folder, &args);
            assert_eq!(steers(&output.stdout), None, "{args:?}");
            assert_eq!(steers(&output.stderr), None, "{args:?}");
            let both = [output.stdout, output.stderr].concat();
            assert!(!both.is_empty(), "{args:?}");
            let both = String::from_utf8(both).unwrap();
            shown += usize::from(both.contains('\u{fffd}') || both.contains("\\u202e"));
        }
        assert!(shown > 20, "only {shown} of them show any of it");
        for entry in std::fs::read_dir(folder.path().join("shop/reports")).unwrap() {
            let bytes = std::fs::read(entry.unwrap().path()).unwrap();
            assert_eq!(steers(&bytes), None);
        }
    }

    /// A name that would steer is refused by whoever reads the shop, in words that do not steer either.
    #[test]
    fn a_name_that_steers_is_refused_by_all() {
        const BAD: &str = "x\u{1b}[31m\u{7}\u{202e}y";
        let folder = shop();
        put(&folder, "inventory.csv", INVENTORY.replace("A-1", BAD));
        for args in [
            &["audit", "shop", "--on", "2026-11-24"][..],
            &["audit", "shop", "shop", "--on", "2026-11-24"],
            &["stock", "shop", "--on", "2026-11-24"],
            &["air", "shop", "--on", "2026-11-24"],
            &["close", "shop", "--at", "2026-11-24"],
            &["labels", "shop", "--on", "2026-11-24"],
            &["round", "shop", "--on", "2026-11-24"],
            &["calendar", "shop", "--on", "2026-11-24", "--out", "-"],
            &["mix", "--shop", "shop", "--cut", "2", "--make", "1 pt"],
            &["rules", "shop", "--on", "2026-11-24"],
            &[
                "log",
                "open",
                "A-2",
                "--shop",
                "shop",
                "--when",
                "2026-11-20T09:00",
            ],
        ] {
            let output = run(&folder, args);
            let both = [output.stdout, output.stderr].concat();
            assert_eq!(output.status.code(), Some(2), "{args:?}");
            assert_eq!(steers(&both), None, "{args:?}");
        }
        assert!(!folder.path().join("shop/reports").exists());
    }

    /// Links in a circle lead nowhere, in a shop and in a pack. (A pack cannot name another, so that packs form none.)
    #[test]
    fn links_in_a_circle_are_told() {
        for name in ["log.csv", "shop.toml"] {
            let folder = shop();
            let path = folder.path().join("shop").join(name);
            std::fs::remove_file(&path).unwrap();
            symlink("round.csv", &path).unwrap();
            symlink(name, folder.path().join("shop/round.csv")).unwrap();
            let said = told(&folder);
            assert!(
                said.starts_with(&format!("shop/{name}: The file cannot be read: ")),
                "{said}"
            );
        }
        let folder = shop();
        let pack = folder.path().join("pack");
        std::fs::create_dir_all(pack.join("rules")).unwrap();
        symlink("..", pack.join("rules/again")).unwrap();
        symlink("round.toml", pack.join("pack.toml")).unwrap();
        symlink("pack.toml", pack.join("round.toml")).unwrap();
        let output = run(&folder, &["rules", "check", "pack"]);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(
            said.contains("pack/pack.toml: The file cannot be read: "),
            "{said}"
        );
    }
}
