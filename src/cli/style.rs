//! The one place that prints. A closed pipe ends quietly, and nothing that comes from a file steers the terminal.

use super::Failure;
use crate::report::paint;
use crate::text::{RowsRead, clean_lines};
use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// Work that takes no longer than this is waited for in silence.
const SILENCE: Duration = Duration::from_millis(500);
/// How often progress is shown.
const TOLD: Duration = Duration::from_millis(200);

/// Columns of the screen: `COLUMNS` where it is set, else as many as the terminal has, else eighty.
pub fn columns() -> usize {
    let set = std::env::var("COLUMNS")
        .ok()
        .and_then(|text| text.parse::<usize>().ok());
    let out = std::io::stdout();
    let terminal = || terminal_size::terminal_size_of(&out).map(|(wide, _)| usize::from(wide.0));
    set.or_else(terminal).unwrap_or(80).clamp(40, 140)
}

/// Prints a screen report, in colour where standard output is a terminal that has it and `NO_COLOR` is not set.
pub fn show(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    // In one piece: taken apart at each colour, a long report would be a thousand small writes.
    let colour = anstream::AutoStream::choice(&out);
    let mut painted = anstream::AutoStream::new(Vec::new(), colour);
    painted.write_all(paint(&clean_lines(text)).as_bytes())?;
    heard(
        out.write_all(&painted.into_inner())
            .and_then(|()| out.flush()),
    )
}

/// A reader that went away, as `head` does, changes nothing of what was found: the exit code still says that.
fn heard(printed: std::io::Result<()>) -> Result<(), Failure> {
    match printed {
        Err(fault) if fault.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        printed => Ok(printed?),
    }
}

/// Prints what is made on the way.
pub fn print_as_made(
    make: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), Failure> {
    heard(make(&mut std::io::stdout().lock()))
}

/// Does work during which rows are counted. Where standard error is a terminal and it takes long, the count is shown there
/// on one line, which is wiped in the end; nothing of it ever goes into a pipe or a file.
pub fn while_waiting<T>(rows: &RowsRead, work: impl FnOnce() -> T) -> T {
    if !std::io::stderr().is_terminal() || IN_USE.load(Ordering::Relaxed) {
        return work();
    }
    std::thread::scope(|scope| {
        let (done, ended) = channel::<()>();
        // Without another thread nothing is reported.
        let _told = std::thread::Builder::new().spawn_scoped(scope, move || {
            let mut wait = SILENCE;
            let mut wide = 0;
            while ended.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
                let words = format!("reading log.csv: {} rows so far", rows.total());
                wide = words.len();
                line(&words);
                wait = TOLD;
            }
            if wide > 0 {
                line(&" ".repeat(wide));
                line("");
            }
        });
        let result = work();
        drop(done);
        result
    })
}

/// Writes over the last line of standard error.
fn line(words: &str) {
    let mut err = std::io::stderr().lock();
    let _ = write!(err, "\r{words}");
    let _ = err.flush();
}

/// Prints to standard output.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    heard(
        out.write_all(clean_lines(text).as_bytes())
            .and_then(|()| out.flush()),
    )
}

/// Prints to standard error. A failure there cannot be reported anywhere.
pub fn complain(text: &str) {
    let mut err = std::io::stderr().lock();
    let _ = err.write_all(clean_lines(text.trim_end()).as_bytes());
    let _ = err.write_all(b"\n");
}

/// The line of [`progress`] is in use: nothing else is reported on it.
static IN_USE: AtomicBool = AtomicBool::new(false);

/// Keeps that line for a work of many parts, from here to [`progress_ends`].
pub fn progress_begins() {
    IN_USE.store(true, Ordering::Relaxed);
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
    IN_USE.store(false, Ordering::Relaxed);
    let mut err = std::io::stderr().lock();
    if std::io::IsTerminal::is_terminal(&err) {
        let _ = write!(err, "\r\u{1b}[K");
        let _ = err.flush();
    }
}
