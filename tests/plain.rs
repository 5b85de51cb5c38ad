//! What a person reads is plain: it fits the screen, its sentences are short, and it uses the terms of the trade.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const DEMO_DAY: &str = "2026-10-31";

fn run(folder: &Path, args: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args).env_remove("COLUMNS");
    let output = command.output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{args:?}");
    String::from_utf8(output.stdout).unwrap()
}

fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "shop"]);
    folder
}

#[test]
fn the_report_of_the_demo_fits_one_screen_and_begins_with_the_rag() {
    let folder = demo();
    let full_reports = ["audit", "shop", "--on", DEMO_DAY];
    for args in [&["demo"][..], &full_reports] {
        let screen = run(folder.path(), args);
        // The next command is typed in the line below.
        assert!(screen.lines().count() <= 23, "{screen}");
        assert!(
            screen.lines().all(|line| line.chars().count() <= 80),
            "{screen}"
        );
        let first: String = screen.lines().take(3).collect();
        assert!(
            first.contains("oily rag has been loose on the bench"),
            "{screen}"
        );
        for part in [
            "Now ",
            "Today ",
            "This week ",
            "Find out ",
            "more: --full",
            "screening aid",
        ] {
            assert!(screen.contains(part), "{part}: {screen}");
        }
    }
    assert!(run(folder.path(), &full_reports).contains("the reports in shop/reports."));
}
