//! The screen: width, color, silence, and a line of progress. What needs a terminal runs under `script`
//! (util-linux), and is passed over where there is none.

use crate::{DEMO_DAY, demo, run, said};
use std::path::Path;
use std::process::{Command, Output};

/// Runs the program on a terminal of its own; `None` where there is no `script`.
fn on_a_terminal(folder: &Path, args: &str, environment: &[(&str, &str)]) -> Option<Output> {
    let line = format!(
        "stty rows 40 cols 100; {} {args}",
        env!("CARGO_BIN_EXE_sandarac")
    );
    let mut command = Command::new("script");
    command
        .current_dir(folder)
        .args(["-qec", &line, "/dev/null"]);
    for word in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "CI"] {
        command.env_remove(word);
    }
    command
        .env("TERM", "xterm-256color")
        .env("SHELL", "/bin/sh");
    command.envs(environment.iter().copied());
    command.output().ok()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).replace("\r\n", "\n")
}

/// The text without its colours.
fn bare(text: &str) -> String {
    let mut parts = text.split('\u{1b}');
    let first = parts.next().unwrap_or("").to_string();
    parts.fold(first, |all, part| {
        all + part.split_once('m').map_or("", |(_, rest)| rest)
    })
}

#[test]
fn colour_is_for_terminals_that_have_it() {
    let folder = demo();
    let args = format!("audit shop --on {DEMO_DAY} --no-reports --full");
    let Some(output) = on_a_terminal(folder.path(), &args, &[]) else {
        return;
    };
    let coloured = text(&output.stdout);
    assert!(
        coloured.contains("\u{1b}[1m\u{1b}[31mNOT MET\u{1b}[0m: 1 oily rag"),
        "{coloured}"
    );
    let wide = coloured
        .lines()
        .map(|line| bare(line).chars().count())
        .max()
        .unwrap();
    assert!(
        (81..=100).contains(&wide),
        "as wide as the terminal: {wide}"
    );
    for plain in [("NO_COLOR", "1"), ("TERM", "dumb")] {
        let output = on_a_terminal(folder.path(), &args, &[plain]).unwrap();
        assert_eq!(text(&output.stdout), bare(&coloured), "{plain:?}");
    }
    let output = on_a_terminal(
        folder.path(),
        &args,
        &[("COLUMNS", "60"), ("NO_COLOR", "1")],
    );
    let narrow = text(&output.unwrap().stdout);
    assert!(narrow.lines().all(|line| line.chars().count() <= 60));
}

#[test]
fn quiet_says_nothing_but_problems() {
    let folder = demo();
    let args = ["audit", "shop", "--on", DEMO_DAY, "--quiet"];
    assert_eq!(said(folder.path(), &args, 1), "");
    assert!(
        folder
            .path()
            .join(format!("shop/reports/{DEMO_DAY}-audit.md"))
            .exists()
    );
    std::fs::write(
        folder.path().join("shop/rooms.csv"),
        "room,use\nbench,kitchen\n",
    )
    .unwrap();
    let told = said(folder.path(), &args, 2);
    assert!(
        told.contains(": \"kitchen\" is not a known word here.\n"),
        "{told}"
    );
}

/// A log that takes long is counted on standard error, if that is a terminal; the line is wiped at the end.
#[test]
fn a_long_log_is_counted_on_a_terminal_and_nowhere_else() {
    let folder = demo();
    let mut log = String::from("entry,when,what,container,amount\n");
    for n in 0..300_000 {
        log += &format!(
            "{n},2026-07-{:02}T10:00,count,O-1,6 fl oz\n",
            2 + n / 30_000
        );
    }
    std::fs::write(folder.path().join("shop/log.csv"), log).unwrap();
    let args = ["stock", "shop", "--on", "2026-07-31"];
    let piped = run(folder.path(), &args);
    assert!(piped.stderr.is_empty() && !text(&piped.stdout).contains("so far"));
    let line = "stock shop --on 2026-07-31 > out.txt";
    let Some(output) = on_a_terminal(folder.path(), line, &[]) else {
        return;
    };
    let told = text(&output.stdout);
    // A machine that reads this in less than half a second shows no progress.
    if !told.is_empty() {
        assert!(
            told.starts_with("\rreading log.csv: ") && told.contains(" rows so far"),
            "{told:?}"
        );
        assert!(told.ends_with(" \r"), "wiped: {told:?}");
    }
    let shown = std::fs::read_to_string(folder.path().join("out.txt")).unwrap();
    assert_eq!(shown, text(&piped.stdout));
}
