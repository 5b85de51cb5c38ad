//! The rows of the log, handed one after another to whoever wants them: read on the same thread, or ahead on another one.
//!
//! What comes of a log does not depend on which of the two it was. Reading ahead is only faster.

use crate::record::{LOG, PlainCells, PlainReader, ShopTables};
use crate::text::{FileId, Files, Finished, Problems, Row, Rows, Table};
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};
use std::thread::Builder;

/// How many rows are copied before they are handed over and shown as progress.
const BATCH: usize = 2048;
/// Fewer, where rows are very long.
const MOST_BYTES: usize = 1 << 20;
/// So many batches may wait. Larger batches, and fewer of them, mean less waking up of one thread by the other.
const MOST_WAITING: usize = 4;

/// Takes a row and what is plain of it; false if no other is wanted.
pub(super) type Take<'t> = &'t mut dyn FnMut(Row<'_>, &PlainCells) -> bool;

/// The file of the log is one of these, and its entries speak of what is in these tables.
type ShopText<'s> = (&'s Files, &'s ShopTables);

/// One of the two functions of this file. It gives `None` where the first row alone makes reading pointless.
pub(super) type ReadRows = fn(ShopText<'_>, FileId, &mut Problems, Take<'_>) -> Option<Finished>;

/// Hands over each row as it is read.
pub(super) fn read_in_turn(
    (files, tables): ShopText<'_>,
    log: FileId,
    problems: &mut Problems,
    take: Take<'_>,
) -> Option<Finished> {
    let mut table = Table::open(files, log, &LOG, problems)?;
    let (mut plain, mut rows) = (PlainReader::new(tables), 0);
    while let Some(row) = table.next(problems) {
        let cells = plain.read(&row);
        if !take(row, &cells) {
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
    (files, tables): ShopText<'_>,
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
            let plain = PlainReader::new(tables);
            let finished = table.map(|table| copy_rows((table, plain), &out, &spent, &mut found));
            (finished, found)
        });
        let Ok(reader) = reader else {
            return read_in_turn((files, tables), log, problems, take);
        };
        for batch in batches {
            let wanted = (batch.rows.iter().zip(&batch.plain)).all(|(row, plain)| take(row, plain));
            if !wanted {
                break;
            }
            // The reader may be done by now, so the batch may never be filled again.
            let _ = back.send(batch);
        }
        let (finished, found) = reader
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        problems.take(found);
        finished
    })
}

/// Rows on their way from one thread to the other.
struct Batch {
    rows: Rows,
    /// What is plain of each.
    plain: Vec<PlainCells>,
}

impl Batch {
    fn new(table: &Table<'_>) -> Batch {
        Batch {
            rows: table.no_rows(),
            plain: Vec::new(),
        }
    }
}

/// Copies rows into batches to the end of the table, or until the receiver is gone.
fn copy_rows(
    (mut table, mut plain): (Table<'_>, PlainReader<'_>),
    out: &SyncSender<Batch>,
    spent: &Receiver<Batch>,
    problems: &mut Problems,
) -> Finished {
    let mut more = table.read(problems);
    while more {
        let mut batch = spent.try_recv().unwrap_or_else(|_| Batch::new(&table));
        batch.rows.clear();
        let mut rows = 0;
        while more && rows < BATCH && batch.rows.size() < MOST_BYTES {
            table.copy_to(&mut batch.rows);
            rows += 1;
            more = table.read(problems);
        }
        batch.plain.clear();
        let cells = batch.rows.iter().map(|row| plain.read(&row));
        batch.plain.extend(cells);
        table.note_rows(rows);
        if out.send(batch).is_err() {
            break;
        }
    }
    table.finish(problems)
}

#[cfg(test)]
mod tests {
    use super::{BATCH, MOST_BYTES, read_ahead, read_in_turn};
    use crate::stock::made_up::stock;
    use std::fmt::Write;

    const INVENTORY: &str = "container,product,amount,capacity,vessel\nA,alcohol,900 L,1000 L,metal\n\
        B,alcohol,0 L,1000 L,metal\nrag,cloth,9000 pcs,,rag\n";
    const ROWS: usize = 5000;

    /// Two rows every half hour from the first of January on, on both sides of the day; of the two, the one that is written
    /// first comes last.
    fn log(odd: impl Fn(usize) -> Option<String>) -> String {
        let mut text = String::from("entry,when,what,container,amount,into,by,note\n");
        for row in 0..ROWS {
            let minutes = row / 2 * 30;
            let when = format!(
                "2026-{:02}-{:02}T{:02}:{:02}",
                1 + minutes / 40_320,
                1 + minutes / 1440 % 28,
                minutes / 60 % 24,
                minutes % 60
            );
            let usual = match row % 4 {
                0 => format!("{when},use,A,0.125 L,,person {},", row % 999),
                1 => format!("{when},receive,A,250 mL,,,"),
                2 => format!("{when},use,rag,1 pcs,,,"),
                _ => format!("{when},decant,A,1 mL,B,,"),
            };
            let _ = writeln!(text, "{row},{}", odd(row).unwrap_or(usual));
        }
        text
    }

    /// The stock and the problems are the same, whoever reads, for logs that are usual, wrong, corrected, backward or long.
    #[test]
    fn reading_ahead_changes_nothing() {
        let at =
            |row: usize, odd: &'static str| move |now: usize| (now == row).then(|| odd.to_string());
        let long = format!(
            "2026-02-01T00:00,use,A,1 mL,,,{}",
            "long ".repeat(MOST_BYTES / 4)
        );
        let logs = [
            ("usual", log(|_| None)),
            (
                "wrong",
                log(|row| {
                    (row > 3000 && row % 7 == 0).then(|| "2026-02-01T12:00,use,C,1 L,,,".into())
                }),
            ),
            (
                "too much",
                log(at(3100, "2026-02-05T07:00,use,A,100000 L,,,")),
            ),
            (
                "corrected",
                log(at(4000, "2026-02-14T16:00,correct,,0.5 L,3000,,")),
            ),
            ("backward", log(at(4000, "2026-01-02T03:00,count,B,1 L,,,"))),
            (
                "backward between batches",
                log(at(BATCH, "2026-01-03T03:00,count,B,2 L,,,")),
            ),
            (
                "a row without end",
                log(|row| (row == 3000).then(|| long.clone())),
            ),
            ("cut short", log(at(2000, "2026-01-20T00:00,use"))),
            ("no such column", log(|_| None).replacen("into", "unto", 1)),
        ];
        let mut seen = Vec::new();
        for (name, log) in &logs {
            let [alone, ahead] = [read_in_turn, read_ahead].map(|read| {
                let (stock, problems) = stock(INVENTORY, log, "2026-02-15", read);
                format!("{stock:#?}\n{:#?}\n{}", problems.sorted(), problems.more())
            });
            assert!(alone == ahead, "{name}");
            assert!(
                !seen.contains(&alone),
                "{name} comes to something of its own"
            );
            seen.push(alone);
        }
        let usual = seen.first().unwrap();
        assert!(usual.contains("person"), "people are named");
        assert!(
            usual.contains("ahead: Some"),
            "some of it lies after the day"
        );
    }
}
