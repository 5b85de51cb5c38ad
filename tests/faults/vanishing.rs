//! Files that vanish, come back, are replaced or grow while they are read. What is reported is one of the shops that were
//! there, whole, or nothing but a message.

use crate::{audit, is_whole, read, run, shop};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use tempfile::TempDir;

/// Does work while another thread does something to the files, again and again.
fn disturbed<T>(mut disturb: impl FnMut() + Send, work: impl FnOnce() -> T) -> T {
    /// Ends the other thread, in the middle of a fault too.
    struct Done<'d>(&'d AtomicBool);
    impl Drop for Done<'_> {
        fn drop(&mut self) {
            self.0.store(true, Ordering::Relaxed);
        }
    }
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let ends = Done(&done);
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                disturb();
            }
        });
        let result = work();
        drop(ends);
        result
    })
}

/// Runs so many audits meanwhile. Each must end with one of these reports, or with a whole message; so many ended well, and
/// so many with a message.
fn audit_disturbed(
    folder: &TempDir,
    rounds: u32,
    reports: &[String],
    disturb: impl FnMut() + Send,
) -> (u32, u32) {
    let (mut well, mut told) = (0, 0);
    disturbed(disturb, || {
        for round in 0..rounds {
            let (out, err, code) = audit(folder);
            match code {
                Some(0 | 1) => {
                    well += 1;
                    assert!(
                        reports.contains(&out) && err.is_empty(),
                        "round {round}: {err}{out}"
                    );
                }
                other => {
                    told += 1;
                    assert_eq!(other, Some(2), "round {round}: {err}");
                    assert!(out.is_empty(), "{out}");
                    is_whole(&err);
                }
            }
        }
    });
    (well, told)
}

fn report(folder: &TempDir) -> String {
    let (out, err, code) = audit(folder);
    assert!(matches!(code, Some(0 | 1)), "{err}");
    out
}

fn pause() {
    std::thread::sleep(Duration::from_millis(3));
}

/// As a program saves that takes the old file away first.
fn takes_away(path: &Path) -> impl FnMut() + Send {
    let aside = path.with_extension("away");
    move || {
        std::fs::rename(path, &aside).unwrap();
        pause();
        std::fs::rename(&aside, path).unwrap();
        pause();
    }
}

#[test]
fn a_table_that_comes_and_goes() {
    let folder = shop();
    let whole = report(&folder);
    for (name, is_needed) in [("inventory.csv", true), ("log.csv", false)] {
        let path = folder.path().join("shop").join(name);
        let mut reports = vec![whole.clone()];
        if !is_needed {
            // A shop may have no log; then none of it is in the report.
            let aside = path.with_extension("away");
            std::fs::rename(&path, &aside).unwrap();
            reports.push(report(&folder));
            std::fs::rename(&aside, &path).unwrap();
            assert_ne!(reports[0], reports[1]);
        }
        let (well, told) = audit_disturbed(&folder, 100, &reports, takes_away(&path));
        assert!(told > 0, "{name}: {well} ended well, {told} with a message");
    }
    assert_eq!(report(&folder), whole);
}

/// A log that is too large to be held in memory is read again and again.
fn long_log(name: &str) -> String {
    let head = "entry,when,what,container,amount,into,place,minutes,by,note\n";
    let note = "remarks ".repeat(12);
    let rows = (1..9000).map(|entry| {
        let (day, minute) = (1 + entry / 1440, entry % 1440);
        let when = format!(
            "2026-09-{:02}T{:02}:{:02}",
            day + 2,
            minute / 60,
            minute % 60
        );
        format!("{entry},{when},receive,A-1,1 mL,,,,{name},{note}\n")
    });
    let rows: String = rows.collect();
    let last = "9000,2026-09-20T09:00,correct,,2 mL,8000,,,,\n9001,2026-09-20T09:01,move,A-1,,,cabinet,,,\n";
    format!("{head}{rows}{last}")
}

#[test]
fn a_long_log_that_is_replaced() {
    let folder = shop();
    let path = folder.path().join("shop/log.csv");
    let logs = [long_log("maker"), long_log("other").replace("1 mL", "3 mL")];
    assert!(logs.iter().all(|log| log.len() > 1 << 20));
    let reports = logs.each_ref().map(|log| {
        std::fs::write(&path, log).unwrap();
        report(&folder)
    });
    assert_ne!(reports[0], reports[1]);
    let mut turn = 0;
    let (well, told) = audit_disturbed(&folder, 12, &reports, || {
        turn += 1;
        let beside = path.with_extension("new");
        std::fs::write(&beside, &logs[turn % 2]).unwrap();
        std::fs::rename(&beside, &path).unwrap();
        std::thread::sleep(Duration::from_millis(100));
    });
    assert!(well + told == 12 && told > 0, "{well}, {told}");
}

/// Another program appends rows while the audit reads: it is never in the middle of one.
#[test]
fn a_log_that_grows() {
    use std::io::Write;
    let folder = shop();
    let path = folder.path().join("shop/log.csv");
    std::fs::write(&path, long_log("maker")).unwrap();
    let mut file = std::fs::File::options().append(true).open(&path).unwrap();
    let mut entry = 9001;
    let (_, told) = audit_disturbed(&folder, 6, &[], || {
        entry += 1;
        // Half a row, and then the other half.
        write!(file, "{entry},2026-09-20T09:02,").unwrap();
        std::thread::sleep(Duration::from_millis(5));
        file.write_all(b"open,A-1,,,,,,\n").unwrap();
        std::thread::sleep(Duration::from_millis(5));
    });
    assert_eq!(told, 6, "each is told that the log is not still");
    let (_, err, code) = audit(&folder);
    assert!(matches!(code, Some(0 | 1)), "{err}");
}

/// The words of it.
#[test]
fn what_changed_is_named() {
    let folder = shop();
    let path = folder.path().join("shop/log.csv");
    std::fs::write(&path, long_log("maker")).unwrap();
    let touch = || {
        let file = std::fs::File::options().write(true).open(&path).unwrap();
        file.set_modified(std::time::SystemTime::now()).unwrap();
        pause();
    };
    let args = [
        "log",
        "open",
        "A-1",
        "--when",
        "2026-09-21T09:00",
        "--shop",
        "shop",
    ];
    let (_, err, code) = disturbed(touch, || run(folder.path(), &args));
    snapbox::assert_data_eq!(
        err,
        snapbox::str![[r#"
Another program changed shop/log.csv while it was read.
  Let that program finish, or save and close the file there. Then try again.

Nothing was written.

"#]]
    );
    assert_eq!(code, Some(2));
    assert_eq!(read(&folder, "log.csv"), long_log("maker"));
}

/// A writer's tables go away under it: nothing is written, or all of it.
#[test]
fn a_table_that_goes_while_it_is_written() {
    let folder = shop();
    for (day, name) in [(21, "inventory.csv"), (22, "log.csv")] {
        let path = folder.path().join("shop").join(name);
        let written = disturbed(takes_away(&path), || {
            let mut written = Vec::new();
            for round in 0..40 {
                let when = format!("2026-09-{day}T09:{round:02}");
                let words = ["log", "receive", "A-1", "1 mL", "--when", &when, "--anyway"];
                let (out, err, code) =
                    run(folder.path(), &[&words[..], &["--shop", "shop"]].concat());
                if code == Some(0) {
                    assert!(out.starts_with("Wrote "), "{out}");
                    written.push(when);
                } else {
                    assert_eq!(code, Some(2), "{err}");
                    is_whole(&err);
                }
            }
            written
        });
        // What was saved over at the same moment is reported by whoever writes next, and set aside.
        let args = ["log", "open", "A-1", "--when", "2026-09-23T09:00"];
        let (_, err, code) = run(folder.path(), &[&args[..], &["--shop", "shop"]].concat());
        assert_eq!(code, Some(0), "{err}");
        let kept = read(&folder, "log.csv") + &read(&folder, ".sandarac/unplaced.csv");
        for when in &written {
            assert!(kept.contains(when), "{name}: {when} is lost");
        }
        let (_, err, code) = audit(&folder);
        assert!(matches!(code, Some(0 | 1)), "{err}");
    }
}
