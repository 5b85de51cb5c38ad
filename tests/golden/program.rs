//! The program as a person runs it: shared by tests of several commands.
#![allow(dead_code, reason = "not every test needs all of it")]

use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// Standard output, standard error and exit code.
pub type Ran = (String, String, Option<i32>);

pub fn run(folder: &Path, args: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(args)
        .env_remove("COLUMNS")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

/// A folder with the demo shop in `shop`.
pub fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    let (_, err, code) = run(folder.path(), &["demo", "--write", "shop"]);
    assert_eq!((err.as_str(), code), ("", Some(0)));
    folder
}

/// Adds a line to a table of the demo shop.
pub fn append(folder: &Path, file: &str, line: &str) {
    let path = folder.join("shop").join(file);
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(path, format!("{}\n{line}\n", text.trim_end())).unwrap();
}
