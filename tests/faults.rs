//! What goes wrong around the program: it is killed at any moment, may not read or write, files vanish or change while it
//! reads, the clock jumps. Nothing acknowledged is lost, nothing half-written is read as true, and each case has its message.
#![allow(clippy::unwrap_used, clippy::panic)]

#[cfg(all(target_os = "linux", feature = "workbook"))]
#[path = "workbook/book.rs"]
mod book;
#[cfg(target_os = "linux")]
#[path = "faults/calls.rs"]
mod calls;
#[path = "faults/clock.rs"]
mod clock;
#[cfg(target_os = "linux")]
#[path = "faults/full.rs"]
mod full;
#[cfg(unix)]
#[path = "faults/kills.rs"]
mod kills;
#[path = "faults/lost.rs"]
mod lost;
#[path = "faults/outputs.rs"]
mod outputs;
#[cfg(unix)]
#[path = "faults/rights.rs"]
mod rights;
#[path = "faults/together.rs"]
mod together;
#[path = "faults/vanishing.rs"]
mod vanishing;

use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_sandarac");
/// A day on which the shop of these tests is looked at, before any day on which they run.
const DAY: &str = "2026-09-30";

/// The program, to be run in a folder.
fn program(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command
        .current_dir(folder)
        .args(args)
        .env_remove("COLUMNS")
        .stdin(Stdio::null());
    command
}

/// Standard output, standard error and exit code.
fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let output = program(folder, args).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

/// The shop of `sandarac new`, two months earlier, in the folder `shop`.
fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    let (_, err, code) = run(folder.path(), &["new", "shop"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    for entry in std::fs::read_dir(folder.path().join("shop")).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let text = text.replace("2026-10", "2026-08");
        std::fs::write(path, text.replace("2026-11", "2026-09")).unwrap();
    }
    folder
}

fn read(folder: &TempDir, file: &str) -> String {
    std::fs::read_to_string(folder.path().join("shop").join(file)).unwrap_or_default()
}

/// `sandarac audit` of it without reports: its screen, its messages and its exit code.
fn audit(folder: &TempDir) -> (String, String, Option<i32>) {
    let args = ["audit", "shop", "--on", DAY, "--no-reports"];
    run(folder.path(), &args)
}

/// A message is whole: it says what is wrong, and what to do.
#[track_caller]
fn is_whole(message: &str) {
    let first = message.lines().find(|it| !it.starts_with("note: "));
    assert!(
        first.is_some_and(|it| it.contains(": ") || it.ends_with('.')),
        "{message}"
    );
    assert!(!message.contains("panicked"), "{message}");
    assert!(
        message.contains(" = help: ") || message.contains("\n  "),
        "{message}"
    );
    assert!(message.ends_with('\n'), "{message}");
}
