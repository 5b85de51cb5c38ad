//! What an output option names: nothing is written over but an earlier output of the same option, and devices and pipes stay
//! what they are. And what is said where rows are written and a later step fails.

use crate::{DAY, PROGRAM, is_whole, read, run, shop};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

fn split(words: &str) -> Vec<&str> {
    words.split('|').collect()
}

/// Every option that names a file, with its file left out.
fn options() -> Vec<String> {
    let plan = "--room|finishing room|--product|denatured alcohol|--amount|8 fl oz|--minutes|45";
    [
        "calendar|shop|--on|DAY|--out|FILE".to_string(),
        "labels|shop|--on|DAY|--out|FILE".to_string(),
        "round|shop|--on|DAY|--out|FILE".to_string(),
        "round|shop|--on|DAY|--csv|FILE".to_string(),
        "audit|shop|--on|DAY|--no-reports|--json|FILE".to_string(),
        "audit|shop|shop|--on|DAY|--no-reports|--json|FILE".to_string(),
        "audit|shop|shop|--on|DAY|--no-reports|--page|FILE".to_string(),
        format!("air|shop|--on|DAY|{plan}|--plot|FILE"),
    ]
    .map(|words| words.replace("DAY", DAY))
    .into()
}

fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => found.extend(contents(&path)),
            false => {
                found.insert(path.clone(), std::fs::read(path).unwrap());
            }
        }
    }
    found
}

/// The exhaust is measured, so that a plan can be plotted; and the journal is there.
fn ready() -> TempDir {
    let folder = shop();
    let path = folder.path().join("shop/rooms.csv");
    let rooms = std::fs::read_to_string(&path).unwrap();
    std::fs::write(
        &path,
        rooms.replace("ground,no,,", "ground,no,400 cfm,2026-09-01"),
    )
    .unwrap();
    let words = "log|open|A-1|--when|2026-09-05T09:00|--shop|shop";
    let (_, err, code) = run(folder.path(), &split(words));
    assert_eq!((err.as_str(), code), ("", Some(0)));
    folder
}

#[test]
fn no_table_is_written_over() {
    let folder = ready();
    let shop = folder.path().join("shop");
    std::fs::write(shop.join("notes.txt"), "mine\n").unwrap();
    std::fs::write(shop.join("mine.html"), "<!DOCTYPE html><title>mine</title>").unwrap();
    std::fs::remove_file(shop.join("products.csv")).unwrap();
    let before = contents(&shop);
    let mut names: Vec<String> = before
        .keys()
        .map(|path| path.display().to_string())
        .collect();
    names.extend(
        [
            "shop/products.csv",
            "shop/LOG.csv",
            "shop/actions.csv",
            "shop/.sandarac/new",
            "shop/reports/../.sandarac",
            "shop",
        ]
        .map(str::to_string),
    );
    std::fs::create_dir(shop.join("reports")).unwrap();
    for words in options() {
        for name in &names {
            let (_, err, code) = run(folder.path(), &split(&words.replace("FILE", name)));
            assert_eq!(code, Some(2), "{words} {name}: {err}");
            is_whole(&err);
            assert_eq!(contents(&shop), before, "{words} {name}");
        }
    }
}

#[test]
fn an_earlier_output_of_its_own_is_written_over() {
    let folder = ready();
    let all = options();
    for (at, words) in all.iter().enumerate() {
        let file = format!("out-{at}");
        let words = split(words)
            .iter()
            .map(|word| word.replace("FILE", &file))
            .collect::<Vec<_>>();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        for _ in 0..2 {
            let (_, err, code) = run(folder.path(), &words);
            assert!(matches!(code, Some(0 | 1)), "{words:?}: {err}");
        }
        // No other option takes it for its own, except that both audits write JSON.
        for (other, words) in all.iter().enumerate() {
            let is_json = |at: usize| matches!(at, 4 | 5);
            if other == at || is_json(other) && is_json(at) {
                continue;
            }
            let before = std::fs::read(folder.path().join(&file)).unwrap();
            let (_, err, code) = run(folder.path(), &split(&words.replace("FILE", &file)));
            assert_eq!(code, Some(2), "{words}: {err}");
            assert_eq!(std::fs::read(folder.path().join(&file)).unwrap(), before);
        }
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_or_a_device_stays_what_it_is() {
    use std::os::unix::fs::FileTypeExt;
    let folder = ready();
    let pipe = folder.path().join("pipe");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.is_ok_and(|made| made.success()));
    std::os::unix::fs::symlink("/dev/null", folder.path().join("null")).unwrap();
    std::os::unix::fs::symlink("shop/log.csv", folder.path().join("link")).unwrap();
    std::os::unix::fs::symlink("nothing", folder.path().join("loose")).unwrap();
    let log = read(&folder, "log.csv");
    for words in options() {
        let copied = folder.path().join("copied");
        let mut reader = Command::new("cat")
            .arg(&pipe)
            .stdout(std::fs::File::create(&copied).unwrap())
            .spawn()
            .unwrap();
        let (_, err, code) = run(folder.path(), &split(&words.replace("FILE", "pipe")));
        assert!(matches!(code, Some(0 | 1)), "{words}: {err}");
        assert!(reader.wait().unwrap().success());
        let bytes = std::fs::metadata(&copied).unwrap().len();
        assert!(bytes > 100, "{words}: {bytes} bytes");
        assert!(
            std::fs::symlink_metadata(&pipe)
                .unwrap()
                .file_type()
                .is_fifo()
        );
        let (_, err, code) = run(folder.path(), &split(&words.replace("FILE", "null")));
        assert!(matches!(code, Some(0 | 1)), "{words}: {err}");
        for link in ["link", "loose"] {
            let (_, err, code) = run(folder.path(), &split(&words.replace("FILE", link)));
            assert_eq!(code, Some(2), "{words}: {err}");
            assert!(folder.path().join(link).is_symlink());
        }
        assert_eq!(read(&folder, "log.csv"), log);
    }
}

/// An earlier report that is a pipe, and a journal or a lock that is one, are not waited for. Without the journal nothing is read.
#[cfg(unix)]
#[test]
fn pipes_in_the_shop_folder_stop_nothing() {
    let folder = shop();
    let pipe = |name: &str| {
        let path = folder.path().join("shop").join(name);
        let made = Command::new("mkfifo").arg(path).status();
        assert!(made.is_ok_and(|made| made.success()), "{name}");
    };
    for inner in ["reports", ".sandarac"] {
        std::fs::create_dir(folder.path().join("shop").join(inner)).unwrap();
    }
    pipe("reports/2026-08-30-audit.json");
    pipe("reports/2026-09-30-audit.json");
    pipe("reports/due.ics");
    pipe(".sandarac/unplaced.csv");
    pipe(".sandarac/log.csv.rows");
    pipe(".binder.sandarac-lock");
    let open = "log|open|A-1|--when|2026-09-05T09:00|--shop|shop";
    for (words, ends) in [
        ("audit|shop|--on|2026-09-30", 1),
        ("close|shop|--at|2026-09-30", 0),
        (open, 0),
        (
            "audit|shop|--on|2026-09-30|--no-reports|--binder|shop/binder",
            2,
        ),
        // From here on a pipe is in place of the journal.
        (open, 2),
        ("audit|shop|--on|2026-09-30", 2),
        ("close|shop|--at|2026-09-30", 2),
    ] {
        if (words, ends) == (open, 2) {
            std::fs::remove_file(folder.path().join("shop/.sandarac/journal")).unwrap();
            pipe(".sandarac/journal");
        }
        let command = ["20", PROGRAM].into_iter().chain(split(words));
        let output = Command::new("timeout")
            .current_dir(folder.path())
            .args(command)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        let code = output.status.code();
        assert!(
            code == Some(ends) || ends < 2 && matches!(code, Some(0 | 1)),
            "{words}: {code:?} {err}"
        );
    }
}

/// What is written is not denied because it could not be shown.
#[cfg(target_os = "linux")]
#[test]
fn an_entry_that_cannot_be_shown_is_written() {
    let folder = shop();
    let sheet = "row,kind,name,about,found,answer,when\n1,count,A-1,,1 gal,,2026-09-05T09:00\n";
    std::fs::write(folder.path().join("sheet.csv"), sheet).unwrap();
    let mix = "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-1|--capacity|1 pt|--place|cabinet|--when|\
               2026-09-05T09:02";
    let mut rows = read(&folder, "log.csv").lines().count();
    for (words, more) in [
        ("log|open|A-1|--when|2026-09-05T08:00|--shop|shop", 1),
        ("round|shop|--enter|sheet.csv", 1),
        (mix, 2),
        // What was poured in one step is taken back in one step.
        ("log|undo|--when|2026-09-05T09:03|--shop|shop", 2),
    ] {
        let (err, code) = on_a_full_device(&folder, words);
        assert_eq!(code, Some(3), "{words}: {err}");
        assert_eq!(
            err,
            "The output cannot be written: No space left on device (os error 28).\n  Do not enter it again.\n\n\
             Everything was written into the tables, but a later step failed.\n"
        );
        rows += more;
        assert_eq!(read(&folder, "log.csv").lines().count(), rows, "{words}");
    }
}

/// What a command says whose output no device takes, and its exit code.
#[cfg(target_os = "linux")]
fn on_a_full_device(folder: &TempDir, words: &str) -> (String, Option<i32>) {
    let full = std::fs::File::options()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let output = Command::new(PROGRAM)
        .current_dir(folder.path())
        .args(split(words))
        .stdin(Stdio::null())
        .stdout(full)
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    (err, output.status.code())
}

/// Each command that saves says so where what it did cannot be shown, and none says that nothing was written.
#[cfg(target_os = "linux")]
#[test]
fn whatever_was_saved_is_said_to_be_saved() {
    let folder = shop();
    let shop = folder.path().join("shop");
    let all = || contents(&shop);
    let own = |name: &str| std::fs::read_to_string(shop.join(name)).unwrap_or_default();
    let run_full = |words: &str| on_a_full_device(&folder, words);
    let saves = |words: &str| {
        let before = all();
        let (err, code) = run_full(words);
        assert_eq!(code, Some(3), "{words}: {err}");
        assert!(
            err.ends_with("Do not enter it again.\n\nEverything was written into the tables, but a later step failed.\n"),
            "{words}: {err}"
        );
        assert_ne!(all(), before, "{words}");
    };
    for words in [
        "log|check|lids-closed|yes|finishing room|--when|2026-09-05T09:00|--shop|shop",
        "log|record|oil varnish|minutes|30|--shop|shop",
        "log|record|shop|employees|2|--shop|shop",
        "log|action|sweep|--who|Kim|--shop|shop",
        "log|done|1|--by|Kim|--shop|shop",
        "log|done|1|--reopen|--shop|shop",
        "log|open|A-1|--when|2026-09-05T09:00|--shop|shop",
        "log|undo|3|--when|2026-09-05T09:03|--shop|shop",
    ] {
        saves(words);
    }
    let log = own("log.csv");
    let shorter = log.trim_end().rsplit_once('\n').unwrap().0;
    std::fs::write(shop.join("log.csv"), format!("{shorter}\n")).unwrap();
    saves("log|restore|--shop|shop");
    std::fs::write(shop.join("log.csv"), format!("{shorter}\n")).unwrap();
    saves("log|accept|log.csv|--note|twice|--shop|shop");
    for (words, made) in [
        ("new|another", "another/shop.toml"),
        ("demo|--write|demo", "demo/shop.toml"),
        ("rules|new|county", "county/pack.toml"),
    ] {
        let (err, code) = run_full(words);
        assert_eq!(code, Some(3), "{words}: {err}");
        assert!(folder.path().join(made).exists());
    }
    // What only looks has saved nothing.
    let before = all();
    let (_, code) = run_full("log|open|A-1|--when|2026-09-05T09:04|--dry-run|--shop|shop");
    assert_eq!(code, Some(2));
    assert_eq!(all(), before);
}

/// The rights of a new report are those that the user gives to new files.
#[cfg(unix)]
#[test]
fn reports_follow_the_umask() {
    use std::os::unix::fs::PermissionsExt;
    for (mask, rights) in [("077", 0o600), ("022", 0o644), ("027", 0o640)] {
        let folder = shop();
        let script = format!("umask {mask}; exec \"$@\"");
        let status = Command::new("sh")
            .current_dir(folder.path())
            .args([
                "-c", &script, "sh", PROGRAM, "audit", "shop", "--on", DAY, "--quiet",
            ])
            .stdin(Stdio::null())
            .status()
            .unwrap();
        assert!(matches!(status.code(), Some(0 | 1)));
        for words in [
            "labels|shop|--on|DAY",
            "round|shop|--on|DAY",
            "calendar|shop|--on|DAY|--out|due.ics",
            "audit|shop|--on|DAY|--no-reports|--json|audit.json",
            "audit|shop|--on|DAY|--quiet|--binder|binder",
        ] {
            let words = words.replace("DAY", DAY);
            let status = Command::new("sh")
                .current_dir(folder.path())
                .args(["-c", &script, "sh", PROGRAM])
                .args(split(&words))
                .stdin(Stdio::null())
                .stdout(Stdio::null())
                .status()
                .unwrap();
            assert!(matches!(status.code(), Some(0 | 1)), "{words}");
        }
        let mut made = contents(&folder.path().join("shop/reports"));
        made.extend(contents(&folder.path().join("binder")));
        made.extend(["due.ics", "audit.json"].map(|name| (folder.path().join(name), Vec::new())));
        assert!(made.len() > 9, "{made:?}");
        for path in made.keys() {
            let mode = std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!(mode, rights, "{mask} {}", path.display());
        }
    }
}
