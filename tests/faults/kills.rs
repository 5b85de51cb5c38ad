//! Killed at moments drawn by chance, each command a hundred times and more. Every second kill waits until the program has
//! begun to write, for that is a small part of its time.

use crate::{DAY, audit, program, read, run, shop};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant, SystemTime};
use tempfile::TempDir;

/// Kills of each command.
const ROUNDS: u32 = 100;
/// At most so many, where none of the first met what is being written: chance is no fault of the program.
const MOST_ROUNDS: u32 = 200;

/// Draws moments, and counts what it struck.
struct Killer {
    state: u64,
    /// About how long the command takes when it is let live.
    usual: Duration,
    struck: u32,
}

impl Killer {
    fn new(seed: u64, usual: Duration) -> Killer {
        Killer {
            state: seed,
            usual,
            struck: 0,
        }
    }

    /// From nothing up to this long.
    fn up_to(&mut self, most: Duration) -> Duration {
        self.state = self
            .state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = u32::try_from(self.state >> 44).unwrap();
        most * share / (1 << 20)
    }

    /// Runs and kills it; what it printed, and whether it came to its end first.
    fn strike(&mut self, round: u32, mut command: Command, writes: &[PathBuf]) -> (String, bool) {
        let before = sizes(writes);
        let start = Instant::now();
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        if round.is_multiple_of(2) {
            std::thread::sleep(self.up_to(self.usual * 11 / 10));
        } else {
            while sizes(writes) == before && child.try_wait().unwrap().is_none() {
                assert!(start.elapsed() < Duration::from_secs(60));
                std::thread::sleep(Duration::from_micros(50));
            }
            // Mostly soon, and often at once: a fast disk is done in a fraction of a millisecond.
            let most = self.up_to(Duration::from_millis(3));
            if round.is_multiple_of(3) {
                std::thread::sleep(self.up_to(most));
            }
        }
        let _ = child.kill();
        let output = child.wait_with_output().unwrap();
        let ended = output.status.code().is_some();
        // How long it takes hangs on what else the machine does just now.
        if round.is_multiple_of(2) {
            self.usual = self.usual * if ended { 9 } else { 11 } / 10;
        }
        self.struck += u32::from(!ended);
        (String::from_utf8(output.stdout).unwrap(), ended)
    }

    fn has_struck(&self) {
        assert!(
            self.struck > ROUNDS / 8,
            "only {} were killed in time",
            self.struck
        );
    }
}

/// The names in some folders.
fn names(folders: &[PathBuf]) -> BTreeSet<PathBuf> {
    let lists = folders.iter().filter_map(|it| std::fs::read_dir(it).ok());
    lists.flatten().map(|entry| entry.unwrap().path()).collect()
}

/// The files in some folders, with their lengths: the journal grows before a table does.
fn sizes(folders: &[PathBuf]) -> Vec<(PathBuf, u64)> {
    let length = |path: &PathBuf| std::fs::metadata(path).map_or(0, |data| data.len());
    let names = names(folders).into_iter();
    names.map(|path| (path.clone(), length(&path))).collect()
}

/// The folders of a shop into which anything is written.
fn of_shop(folder: &TempDir) -> Vec<PathBuf> {
    let shop = folder.path().join("shop");
    ["reports", ".sandarac", ""].map(|it| shop.join(it)).into()
}

/// What a killed writer left behind.
fn left_behind(folders: &[PathBuf]) -> Vec<PathBuf> {
    let is_left = |path: &PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy();
        name.starts_with(".sandarac-")
    };
    names(folders).into_iter().filter(is_left).collect()
}

/// Makes what was left behind an hour old.
fn age(left: &[PathBuf]) {
    for path in left {
        let file = std::fs::File::options().write(true).open(path).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(3600))
            .unwrap();
    }
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

/// A minute of its own for each round.
fn moment(round: u32) -> String {
    format!("2026-09-05T{:02}:{:02}", round / 60, round % 60)
}

/// A command that adds rows to the tables, killed again and again. `is_in` counts what is there of one round, in either
/// of two tables: all of `whole` or nothing, and all where it was acknowledged.
fn kill_a_writer(
    folder: &TempDir,
    args: impl Fn(u32) -> Vec<String>,
    whole: (usize, usize),
    is_in: impl Fn(u32) -> (usize, usize),
) {
    let command = |round: u32| {
        let args = args(round);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        program(folder.path(), &args)
    };
    // The first is let live.
    let usual = timed(|| {
        let output = command(0).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
    });
    assert_eq!(is_in(0), whole);
    let mut killer = Killer::new(20_261_126, usual);
    let writes = of_shop(folder);
    let (mut last_lost, mut cut_short) = (None, 0);
    for round in 1..=MOST_ROUNDS {
        if round > ROUNDS && cut_short > 0 {
            break;
        }
        let (out, ended) = killer.strike(round, command(round), &writes);
        let acknowledged = out.starts_with("Wrote ");
        assert!(acknowledged || !ended, "round {round}: {out}");
        // Whoever comes next finishes what was cut short, and says so; and may be killed as well.
        if round.is_multiple_of(7) {
            let args = ["audit", "shop", "--on", DAY, "--no-reports", "--quiet"];
            killer.strike(round, program(folder.path(), &args), &writes);
        }
        let (_, err, code) = audit(folder);
        assert!(matches!(code, Some(0 | 1)), "round {round}: {err}");
        let told = |line: &str| {
            line.starts_with("note: an entry was cut short last time and is now finished in ")
        };
        assert!(err.lines().all(told), "round {round}: {err}");
        cut_short += u32::from(!err.is_empty());
        let found = is_in(round);
        assert!(
            found == whole || !acknowledged && found == (0, 0),
            "round {round}: {found:?}, acknowledged: {acknowledged}"
        );
        last_lost = (found == (0, 0)).then_some(round).or(last_lost);
    }
    killer.has_struck();
    assert!(cut_short > 0, "no kill met an addition under way");
    for round in 0..=MOST_ROUNDS {
        let found = is_in(round);
        assert!(found == whole || found == (0, 0), "round {round}");
    }
    // What is not there can be said again, and then stands there once.
    if let Some(round) = last_lost {
        assert!(command(round).output().unwrap().status.success());
        assert_eq!(is_in(round), whole);
    }
    let left = left_behind(&writes);
    age(&left);
    assert!(command(MOST_ROUNDS + 1).output().unwrap().status.success());
    let home = folder.path().join("shop/.sandarac");
    assert_eq!(
        left_behind(std::slice::from_ref(&home)),
        Vec::<PathBuf>::new()
    );
    assert!(!home.join("unplaced.csv").exists());
}

fn lines_with(text: &str, word: &str) -> usize {
    text.lines().filter(|line| line.contains(word)).count()
}

#[test]
fn a_new_jar_and_its_entry_are_one() {
    let folder = shop();
    let args = |round: u32| {
        let jar = format!("K-{round}");
        let new =
            "--product|mineral spirits|--vessel|metal|--capacity|1 gal|--place|cabinet|--labelled";
        let words = format!(
            "log|receive|{jar}|1 mL|{new}|--when|{}|--shop|shop",
            moment(round)
        );
        words.split('|').map(str::to_string).collect()
    };
    let is_in = |round: u32| {
        let jar = format!("K-{round},");
        let starts = |line: &&str| line.starts_with(&jar);
        let inventory = read(&folder, "inventory.csv");
        let rows = inventory.lines().filter(starts).count();
        (
            lines_with(&read(&folder, "log.csv"), &format!(",receive,{jar}")),
            rows,
        )
    };
    kill_a_writer(&folder, args, (1, 1), is_in);
}

#[test]
fn a_mixture_is_poured_whole() {
    let folder = shop();
    let args = |round: u32| {
        let words = format!(
            "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-{round}|--capacity|1 pt|--place|cabinet|--when|{}",
            moment(round)
        );
        words.split('|').map(str::to_string).collect()
    };
    let is_in = |round: u32| {
        let inventory = read(&folder, "inventory.csv");
        let starts = |line: &&str| line.starts_with(&format!("Z-{round},"));
        (
            lines_with(&read(&folder, "log.csv"), &format!(",Z-{round},")),
            inventory.lines().filter(starts).count(),
        )
    };
    kill_a_writer(&folder, args, (2, 1), is_in);
}

#[test]
fn a_sheet_comes_back_whole() {
    let folder = shop();
    let (sheet, err, code) = run(
        folder.path(),
        &["round", "shop", "--on", "2026-09-05", "--csv", "-"],
    );
    assert_eq!((err.as_str(), code), ("", Some(0)));
    let mut reader = csv::Reader::from_reader(sheet.as_bytes());
    let columns = reader.headers().unwrap().clone();
    let column = |name: &str| columns.iter().position(|it| it == name).unwrap();
    let mut writer = csv::Writer::from_path(folder.path().join("sheet.csv")).unwrap();
    writer.write_record(&columns).unwrap();
    for row in reader.records().map(Result::unwrap) {
        let mut row: Vec<String> = row.iter().map(str::to_string).collect();
        // A sheet that says when it was printed is entered once, whatever time it is given.
        row[column("printed")].clear();
        match row[column("name")].as_str() {
            "V-1" | "A-1" => row[column("found")] = "ok".into(),
            "fan-runs" | "filters" | "exit-light" => row[column("answer")] = "yes".into(),
            _ => {}
        }
        writer.write_record(&row).unwrap();
    }
    writer.flush().unwrap();
    let args = |round: u32| {
        let words = format!("round|shop|--enter|sheet.csv|--when|{}", moment(round));
        words.split('|').map(str::to_string).collect()
    };
    let is_in = |round: u32| {
        (
            lines_with(
                &read(&folder, "log.csv"),
                &format!("{},count,", moment(round)),
            ),
            lines_with(&read(&folder, "checks.csv"), &format!("{},", moment(round))),
        )
    };
    kill_a_writer(&folder, args, (2, 3), is_in);
    // What was entered is not entered twice.
    let again = [
        "round",
        "shop",
        "--enter",
        "sheet.csv",
        "--when",
        &moment(0),
    ];
    let (_, err, code) = run(folder.path(), &again);
    assert_eq!(code, Some(2));
    assert!(err.contains(" is entered twice for that time.\n"), "{err}");
    assert!(err.ends_with("5 problems. Nothing was written.\n"), "{err}");
    assert_eq!(is_in(0), (2, 3));
}

/// The first entry adds a column to the log, which is written whole: it is the old one or the new one, with its row.
#[test]
fn a_log_gets_its_column_and_its_row_at_once() {
    let folder = TempDir::new().unwrap();
    let (_, err, code) = run(folder.path(), &["demo", "--write", "shop"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    let (old, path) = (read(&folder, "log.csv"), folder.path().join("shop/log.csv"));
    let words = "log|use|A-1|1 mL|--when|2026-10-31T18:00|--shop|shop";
    let args: Vec<&str> = words.split('|').collect();
    let writes = of_shop(&folder);
    let is_new = || {
        let new = read(&folder, "log.csv");
        let rows = new.lines().filter(|line| !line.starts_with('#'));
        let wide = rows
            .clone()
            .filter(|row| row.matches(',').count() >= 11)
            .count();
        let is_new = new.contains(",note,from,written\n") && new.contains("\n204,");
        assert!(new == old || is_new && wide > 200, "{new}");
        is_new
    };
    let again = || {
        std::fs::write(&path, &old).unwrap();
        // It is there, so that the first thing to grow is what is about to be written.
        std::fs::write(folder.path().join("shop/.sandarac/journal"), "").unwrap();
    };
    let usual = timed(|| {
        assert!(
            program(folder.path(), &args)
                .output()
                .unwrap()
                .status
                .success()
        )
    });
    assert!(is_new());
    let mut killer = Killer::new(20_261_129, usual);
    let (mut lost, mut cut_short) = (0, 0);
    for round in 1..=MOST_ROUNDS {
        if round > ROUNDS && cut_short > 0 {
            break;
        }
        again();
        let (out, _) = killer.strike(round, program(folder.path(), &args), &writes);
        let audit = ["audit", "shop", "--on", "2026-11-01", "--no-reports"];
        let (_, err, code) = run(folder.path(), &audit);
        assert_eq!(code, Some(1), "round {round}: {err}");
        cut_short +=
            u32::from(err.starts_with(
                "note: an entry was cut short last time and is now finished in log.csv:",
            ));
        assert!(is_new() || !out.starts_with("Wrote "), "round {round}");
        lost += u32::from(!is_new());
    }
    killer.has_struck();
    assert!(
        cut_short > 0 && lost > 0,
        "{cut_short} cut short, {lost} not begun"
    );
}

/// A command that writes files over earlier ones: each is the old one whole or the new one whole.
fn kill_a_reporter(folder: &TempDir, args: &[&str], files: &[&str], writes: &[PathBuf]) {
    let shop_toml = folder.path().join("shop/shop.toml");
    let text = std::fs::read_to_string(&shop_toml).unwrap();
    let named = |name: &str| {
        let text = text.replace("My shop", name);
        std::fs::write(&shop_toml, text).unwrap();
    };
    let all = || -> Vec<Vec<u8>> {
        let path = |file: &&str| folder.path().join(file);
        files
            .iter()
            .map(|file| std::fs::read(path(file)).unwrap())
            .collect()
    };
    let whole = || {
        let output = program(folder.path(), args).output().unwrap();
        assert!(matches!(output.status.code(), Some(0 | 1)));
        all()
    };
    let mut usual = Duration::ZERO;
    let kinds = ["Shop of oak", "Shop of elm"].map(|name| {
        named(name);
        let mut made = Vec::new();
        usual = timed(|| made = whole());
        made
    });
    for (oak, elm) in kinds[0].iter().zip(&kinds[1]) {
        assert!(oak != elm && !oak.is_empty(), "the two can be told apart");
    }
    let mut killer = Killer::new(20_261_127, usual);
    let mut left = 0;
    for round in 1..=MOST_ROUNDS {
        if round > ROUNDS && left > 0 {
            break;
        }
        named(["Shop of oak", "Shop of elm"][usize::from(round % 3 == 0)]);
        killer.strike(round, program(folder.path(), args), writes);
        for (at, bytes) in all().iter().enumerate() {
            let known = kinds.iter().any(|kind| kind[at] == *bytes);
            assert!(known, "round {round}: {} is half of one", files[at]);
        }
        left = left_behind(writes).len();
    }
    killer.has_struck();
    assert!(left > 0, "no kill met a file under way");
    // The next report removes old beginnings. Recent ones may belong to a program that is writing right now.
    age(&left_behind(writes));
    named("Shop of elm");
    assert_eq!(whole(), kinds[1]);
    assert_eq!(left_behind(writes), Vec::<PathBuf>::new());
}

#[test]
fn reports_are_the_old_or_the_new() {
    let folder = shop();
    let writes = [folder.path().join("shop/reports")];
    let name = |ending: &str| format!("shop/reports/{DAY}-audit.{ending}");
    let names = ["md", "csv", "json", "html"].map(name);
    let mut files: Vec<&str> = names.iter().map(String::as_str).collect();
    files.push("shop/reports/due.ics");
    let args = ["audit", "shop", "--on", DAY, "--quiet"];
    kill_a_reporter(&folder, &args, &files, &writes);
    let json = std::fs::read(folder.path().join(&names[2])).unwrap();
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json["shop"].as_str(), Some("Shop of elm"));
}

#[test]
fn labels_are_the_old_or_the_new() {
    let folder = shop();
    let writes = [folder.path().join("shop/reports")];
    let file = format!("shop/reports/{DAY}-labels.html");
    kill_a_reporter(&folder, &["labels", "shop", "--on", DAY], &[&file], &writes);
}

#[test]
fn a_calendar_is_the_old_or_the_new() {
    let folder = shop();
    let writes = [folder.path().to_path_buf()];
    let args = ["calendar", "shop", "--on", DAY, "--out", "due.ics"];
    kill_a_reporter(&folder, &args, &["due.ics"], &writes);
}

/// A folder that a command was writing is no shop before all of it is there, and the same command finishes it.
fn kill_a_founder(args: &[&str]) {
    let folder = TempDir::new().unwrap();
    let in_folder = |name: &str| {
        let args: Vec<&str> = args.iter().copied().chain([name]).collect();
        program(folder.path(), &args)
    };
    let whole = |name: &str| -> Vec<(String, Vec<u8>)> {
        let list = names(&[folder.path().join(name)]);
        let file = |path: &PathBuf| path.file_name().unwrap().to_string_lossy().into_owned();
        list.iter()
            .filter(|path| !file(path).starts_with(".sandarac-"))
            .map(|path| (file(path), std::fs::read(path).unwrap()))
            .collect()
    };
    let usual = timed(|| assert!(in_folder("whole").output().unwrap().status.success()));
    let wanted = whole("whole");
    let mut killer = Killer::new(20_261_128, usual);
    let (mut finished, mut refused) = (0, 0);
    for round in 0..ROUNDS {
        let name = format!("shop-{round}");
        let path = folder.path().join(&name);
        let (out, _) = killer.strike(round, in_folder(&name), std::slice::from_ref(&path));
        let is_shop = path.join("shop.toml").exists();
        assert!(is_shop || !out.starts_with("Wrote "), "{out}");
        let output = in_folder(&name).output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        if is_shop {
            assert_eq!(output.status.code(), Some(2), "{err}");
            assert!(
                err.ends_with(" exists already.\n  Name a new folder.\n\nNothing was written.\n"),
                "{err}"
            );
            refused += 1;
        } else {
            assert_eq!((err.as_str(), output.status.code()), ("", Some(0)));
            finished += 1;
        }
        assert!(whole(&name) == wanted, "{name}");
    }
    killer.has_struck();
    assert!(finished > 0 && refused > 0, "{finished}, {refused}");
}

#[test]
fn a_starter_is_finished_by_the_same_command() {
    kill_a_founder(&["new"]);
}

#[test]
fn a_demo_is_finished_by_the_same_command() {
    kill_a_founder(&["demo", "--write"]);
}

/// A file that a user wrote is never mistaken for the leftover of a killed command.
#[test]
fn a_file_of_ones_own_is_never_written_over() {
    let folder = TempDir::new().unwrap();
    let own = folder.path().join("shop");
    std::fs::create_dir(&own).unwrap();
    std::fs::write(own.join("rooms.csv"), "room,use\nmine,finishing\n").unwrap();
    let (_, err, code) = run(folder.path(), &["new", "shop"]);
    let path = Path::new("shop").join("rooms.csv");
    assert_eq!(code, Some(2));
    assert_eq!(
        err,
        format!(
            "{} exists already.\n  Name a new folder.\n\nNothing was written.\n",
            path.display()
        )
    );
    assert_eq!(names(&[own]).len(), 1);
}
