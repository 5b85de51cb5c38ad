//! What may not be read or written. Root may do all of it, so that these run as nobody by way of `setpriv` (util-linux)
//! where the tests run as root; where that is not to be had they are left out, and say so.

use crate::{DAY, PROGRAM, read, run, shop};
use snapbox::{data::Inline, str};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// A user without any rights.
const NOBODY: [&str; 4] = [
    "setpriv",
    "--reuid=65534",
    "--regid=65534",
    "--clear-groups",
];

fn allow(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

/// A shop that everyone may look at, and the program beside it, where everyone can run it.
struct Room {
    folder: TempDir,
    as_nobody: bool,
}

impl Room {
    /// `None` where every right is ours whatever the mode says, and nobody cannot be had.
    fn new() -> Option<Room> {
        let folder = shop();
        let path = folder.path();
        allow(path, 0o755);
        std::fs::copy(PROGRAM, path.join("sandarac")).unwrap();
        let sheet = ["round", "shop", "--on", "2026-09-05", "--csv", "-"];
        let (sheet, _, _) = run(path, &sheet);
        // As it is printed: the first row that is a count.
        let (head, rows) = sheet.split_once('\n').unwrap();
        let found = head.split(',').position(|name| name == "found").unwrap();
        let row = rows.lines().find(|row| row.contains(",A-1,")).unwrap();
        let mut cells: Vec<&str> = row.split(',').collect();
        cells[found] = "ok";
        std::fs::write(
            path.join("sheet.csv"),
            format!("{head}\n{}\n", cells.join(",")),
        )
        .unwrap();
        let shut = path.join("shut");
        std::fs::write(&shut, "").unwrap();
        allow(&shut, 0o000);
        let as_nobody = std::fs::read(&shut).is_ok();
        let room = Room { folder, as_nobody };
        let tried = room.command(&["--version"]).output();
        tried
            .is_ok_and(|output| output.status.success())
            .then_some(room)
    }

    fn command(&self, args: &[&str]) -> Command {
        let program = self.folder.path().join("sandarac");
        let mut command = match self.as_nobody {
            true => {
                let mut command = Command::new(NOBODY[0]);
                command.args(&NOBODY[1..]).arg(program);
                command
            }
            false => Command::new(program),
        };
        command
            .current_dir(self.folder.path())
            .args(args)
            .env_remove("COLUMNS")
            .stdin(Stdio::null());
        command
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join("shop").join(name)
    }

    /// A refusal: its whole words, exit code 2, nothing on standard output, and not a byte changed.
    #[track_caller]
    fn refuses(&self, args: &str, message: Inline) {
        let tables = || ["log.csv", "inventory.csv", "checks.csv"].map(|it| read(&self.folder, it));
        let before = tables();
        let args: Vec<&str> = args.split('|').collect();
        let output = self.command(&args).output().unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(output.stdout.is_empty());
        snapbox::assert_data_eq!(told, message);
        assert_eq!(before, tables());
        // Nothing is begun.
        let journal = read(&self.folder, ".sandarac/journal");
        assert!(journal.is_empty() || journal.lines().last().unwrap().starts_with("done\t"));
    }

    #[track_caller]
    fn works(&self, args: &str) {
        let args: Vec<&str> = args.split('|').collect();
        let output = self.command(&args).output().unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(
            matches!(output.status.code(), Some(0 | 1)) && told.is_empty(),
            "{told}"
        );
    }
}

impl Drop for Room {
    /// So that the folder can be taken away again.
    fn drop(&mut self) {
        allow(&self.path(""), 0o755);
    }
}

const OPEN: &str = "log|open|A-1|--when|2026-09-05T09:00|--shop|shop";
const ENTER: &str = "round|shop|--enter|sheet.csv|--when|2026-09-05T09:00";
const MIX: &str = "mix|--shop|shop|--cut|2|--make|5 mL|--flake|dewaxed|--log|Z-1|--capacity|1 pt|--place|cabinet|--when|\
                   2026-09-05T09:00";

fn on(words: &str) -> String {
    format!("{words}|shop|--on|{DAY}")
}

/// The test, or what to say where it cannot be made.
#[allow(clippy::print_stderr)]
fn room() -> Option<Room> {
    let room = Room::new();
    if room.is_none() {
        eprintln!("left out: the tests run as root, and `setpriv` is not on this machine");
    }
    room
}

#[test]
fn a_shop_that_may_only_be_read() {
    let Some(room) = room() else { return };
    allow(&room.path(""), 0o555);
    for words in [OPEN, ENTER, MIX] {
        room.refuses(
            words,
            str![[r#"
shop/.sandarac cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room.

Nothing was written.

"#]],
        );
    }
    room.refuses(
        &on("audit"),
        str![[r#"
shop/reports cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room, or use `--no-reports`.

The command did not finish.

"#]],
    );
    room.refuses(
        &on("labels"),
        str![[r#"
shop/reports cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room, or name a file with `--out`, or print it with `--html -`.

The command did not finish.

"#]],
    );
    room.refuses(
        &on("round"),
        str![[r#"
shop/reports cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room, or name files with `--out` and `--csv`, or `-` to print one.

The command did not finish.

"#]],
    );
    room.refuses(
        &on("calendar|--out|shop/due.ics"),
        str![[r#"
shop/due.ics cannot be written: Permission denied (os error 13).
  Name a file in a folder where you may write, or `-` to print it.

The command did not finish.

"#]],
    );
    for command in ["new", "demo|--write"] {
        room.refuses(
            &format!("{command}|shop/inner"),
            str![[r#"
shop/inner cannot be written: Permission denied (os error 13).
  Name a folder where you may write, on a disk that has room.

The command did not finish.

"#]],
        );
    }
    // All that only reads works there.
    for words in [
        "audit|--no-reports",
        "stock",
        "round|--csv|-",
        "labels|--html|-",
    ] {
        room.works(&on(words));
    }
    room.works("close|shop|--at|2026-09-30");
}

#[test]
fn reports_that_may_only_be_read() {
    let Some(room) = room() else { return };
    std::fs::create_dir(room.path("reports")).unwrap();
    allow(&room.path("reports"), 0o555);
    room.refuses(
        &on("audit"),
        str![[r#"
shop/reports/2026-09-30-audit.html cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room, or use `--no-reports`.

The command did not finish.

"#]],
    );
    room.refuses(
        &on("labels"),
        str![[r#"
shop/reports/2026-09-30-labels.html cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room, or name a file with `--out`, or print it with `--html -`.

The command did not finish.

"#]],
    );
    assert_eq!(std::fs::read_dir(room.path("reports")).unwrap().count(), 0);
    allow(&room.path("reports"), 0o755);
}

#[test]
fn a_log_that_may_not_be_read() {
    let Some(room) = room() else { return };
    allow(&room.path(""), 0o777);
    allow(&room.path("log.csv"), 0o000);
    for words in [OPEN, ENTER] {
        room.refuses(
            words,
            str![[r#"
log.csv cannot be read: Permission denied (os error 13).
  Check that you may read it.

Nothing was written.

"#]],
        );
    }
    // Never taken for a shop without a log.
    for words in [
        on("audit|--no-reports"),
        on("stock"),
        on("labels"),
        MIX.into(),
    ] {
        room.refuses(
            &words,
            str![[r#"
shop/log.csv: The file cannot be read: Permission denied (os error 13).
  Check that it exists and that you may read it.

1 problem. Nothing was audited.

"#]],
        );
    }
    room.refuses(
        "close|shop|--at|2026-09-30",
        str![[r#"
shop/log.csv: The file cannot be read: Permission denied (os error 13).
  Check that it exists and that you may read it.

1 problem. Nothing was listed.

"#]],
    );
}

#[test]
fn a_log_that_may_only_be_read() {
    let Some(room) = room() else { return };
    allow(&room.path(""), 0o777);
    allow(&room.path("log.csv"), 0o444);
    allow(&room.path("inventory.csv"), 0o666);
    allow(&room.path("checks.csv"), 0o666);
    // The row of the new jar is taken back out of the inventory.
    for words in [OPEN, ENTER, MIX] {
        room.refuses(
            words,
            str![[r#"
log.csv cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room.

Nothing was written.

"#]],
        );
    }
}

/// Another user began the journal: reading goes on, writing is refused.
#[test]
fn a_journal_of_another_user() {
    let Some(room) = room() else { return };
    if !room.as_nobody {
        return;
    }
    for start in [false, true] {
        allow(&room.path(""), 0o777);
        if start {
            let (_, err, code) = run(room.folder.path(), &OPEN.split('|').collect::<Vec<_>>());
            assert_eq!((err.as_str(), code), ("", Some(0)));
        } else {
            std::fs::create_dir(room.path(".sandarac")).unwrap();
        }
        for words in [OPEN, ENTER, MIX] {
            room.refuses(
                words,
                str![[r#"
shop/.sandarac cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room.

Nothing was written.

"#]],
            );
        }
        for words in ["audit", "stock", "labels", "round"] {
            room.works(&on(words));
        }
        // Not every user can finish what was cut short. Those who cannot must not read half of it.
        std::fs::remove_dir_all(room.path("reports")).unwrap();
    }
    let path = room.path(".sandarac/journal");
    let length = read(&room.folder, "log.csv").len();
    let cut_short = format!(
        "{}log.csv\t{length}\n+4,2026-09-05T10:00,open,A-1,,,,,,\ngo\n",
        read(&room.folder, ".sandarac/journal")
    );
    std::fs::write(&path, &cut_short).unwrap();
    let args = on("audit|--no-reports");
    let output = room
        .command(&args.split('|').collect::<Vec<_>>())
        .output()
        .unwrap();
    snapbox::assert_data_eq!(
        String::from_utf8(output.stderr).unwrap(),
        str![[r#"
An entry was cut short while it was written, and it cannot be finished. shop/.sandarac cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room.

Nothing was audited.

"#]]
    );
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(read(&room.folder, ".sandarac/journal"), cut_short);
}

#[test]
fn a_folder_that_no_one_may_enter() {
    let Some(room) = room() else { return };
    allow(&room.path(""), 0o644);
    for words in [
        on("audit"),
        on("stock"),
        on("labels"),
        on("round"),
        MIX.into(),
    ] {
        room.refuses(
            &words,
            str![[r#"
The folder shop cannot be opened: Permission denied (os error 13).
  Ask the owner of the folder for permission.

Nothing was audited.

"#]],
        );
    }
    room.refuses(
        "close|shop|--at|2026-09-30",
        str![[r#"
The folder shop cannot be opened: Permission denied (os error 13).
  Ask the owner of the folder for permission.

Nothing was listed.

"#]],
    );
    for words in [OPEN, ENTER] {
        room.refuses(
            words,
            str![[r#"
shop/.sandarac cannot be written: Permission denied (os error 13).
  Check that you may write there and that the disk has room.

Nothing was written.

"#]],
        );
    }
    // Names may be looked up, but not listed: all that is needed is known by name.
    allow(&room.path(""), 0o711);
    room.works(&on("audit|--no-reports"));
}
