//! The rows of the log, handed one after another to whoever wants them: read on the same thread, or ahead on another one.
//!
//! What comes of a log does not depend on which of the two it was. Reading ahead is only faster.

use crate::record::LOG;
use crate::text::{FileId, Files, Finished, Problems, Row, Rows, Table};
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};
use std::thread::Builder;

/// So many rows are copied before they are handed over, and before somebody who waits is told of them.
const BATCH: usize = 1024;
/// Fewer, where rows are very long.
const MOST_BYTES: usize = 1 << 20;
/// So many batches may wait.
const MOST_WAITING: usize = 16;

/// Takes a row; false if no other is wanted.
pub(super) type Take<'t> = &'t mut dyn FnMut(Row<'_>) -> bool;

/// One of the two functions of this file. It gives `None` where the first row alone makes reading pointless.
pub(super) type ReadRows = fn(&Files, FileId, &mut Problems, Take<'_>) -> Option<Finished>;

/// Hands over each row as it is read.
pub(super) fn read_in_turn(
    files: &Files,
    log: FileId,
    problems: &mut Problems,
    take: Take<'_>,
) -> Option<Finished> {
    let mut table = Table::open(files, log, &LOG, problems)?;
    let mut rows = 0;
    while let Some(row) = table.next(problems) {
        if !take(row) {
            break;
        }
        rows += 1;
        if rows == BATCH {
            table.note_rows(rows);
            rows = 0;
        }
    }
    Some(table.finish(problems))
}

/// Reads on another thread, and hands over what was read before. Without another thread it reads in turn.
pub(super) fn read_ahead(
    files: &Files,
    log: FileId,
    problems: &mut Problems,
    take: Take<'_>,
) -> Option<Finished> {
    std::thread::scope(|scope| {
        let (out, batches) = sync_channel(MOST_WAITING);
        let (back, spent) = channel();
        let reader = Builder::new().spawn_scoped(scope, move || {
            let mut found = Problems::new();
            // Opened here, so that what this thread writes all the time does not lie next to what the other one does.
            let table = Table::open(files, log, &LOG, &mut found);
            let finished = table.map(|table| copy_rows(table, &out, &spent, &mut found));
            (finished, found)
        });
        let Ok(reader) = reader else {
            return read_in_turn(files, log, problems, take);
        };
        for batch in batches {
            if !batch.iter().all(&mut *take) {
                break;
            }
            // The reader may be done by now; then nobody fills the batch again.
            let _ = back.send(batch);
        }
        let (finished, found) = reader
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        problems.take(found);
        finished
    })
}

/// Copies rows into batches to the end of the table, or until nobody takes them any more.
fn copy_rows(
    mut table: Table<'_>,
    out: &SyncSender<Rows>,
    spent: &Receiver<Rows>,
    problems: &mut Problems,
) -> Finished {
    let mut more = table.read(problems);
    while more {
        let mut batch = spent.try_recv().unwrap_or_else(|_| table.no_rows());
        batch.clear();
        let mut rows = 0;
        while more && rows < BATCH && batch.size() < MOST_BYTES {
            table.copy_to(&mut batch);
            rows += 1;
            more = table.read(problems);
        }
        table.note_rows(rows);
        if out.send(batch).is_err() {
            break;
        }
    }
    table.finish(problems)
}
