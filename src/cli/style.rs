//! The one place that prints. A closed pipe ends quietly.

use super::Failure;
use std::io::Write;

/// Columns of the screen: `COLUMNS` where it is set, else eighty.
pub fn columns() -> usize {
    let set = std::env::var("COLUMNS")
        .ok()
        .and_then(|text| text.parse::<usize>().ok());
    set.unwrap_or(80).clamp(40, 140)
}

/// Prints to standard output.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(())
}

/// Prints to standard error; if even that fails, there is nobody to tell.
pub fn complain(text: &str) {
    let mut err = std::io::stderr().lock();
    let _ = err.write_all(text.trim_end().as_bytes());
    let _ = err.write_all(b"\n");
}

/// How far a long work is, on one line of standard error, where that is a terminal.
pub fn progress(done: usize, all: usize, what: &str) {
    let mut err = std::io::stderr().lock();
    if std::io::IsTerminal::is_terminal(&err) {
        let _ = write!(err, "\r{done} of {all} {what}");
        let _ = err.flush();
    }
}

/// Takes that line away again.
pub fn progress_ends() {
    let mut err = std::io::stderr().lock();
    if std::io::IsTerminal::is_terminal(&err) {
        let _ = write!(err, "\r\u{1b}[K");
        let _ = err.flush();
    }
}
