//! Reads the log ahead, on a thread of its own, while what was read is applied.
//!
//! Batches go round: what is applied comes back and is filled again. Where the reader is well ahead it also understands
//! the records, as long as there is nothing out of the ordinary about them; so two threads share the work evenly, whatever
//! the log is made of. What came of it does not depend on who understood what.

use super::step::Step;
use super::understand::{Understanding, person};
use crate::quantity::{LastDay, Moment};
use crate::record::{LOG, What};
use crate::text::{FileId, Files, Finished, Layout, Problems, Records, Row, Table};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};

/// Records handed over at once.
const BATCH: usize = 1024;
/// Fewer, where rows are very long.
const MOST_BYTES: usize = 1 << 20;
/// So many batches may wait.
const MOST_WAITING: usize = 16;

/// What was read: first what was understood ahead, as steps, and then records as they are.
#[derive(Default)]
pub(super) struct Batch {
    pub steps: Vec<Step>,
    /// Whom the steps name, by position.
    pub people: Vec<String>,
    /// How many entries that were understood lie at or after the close, and the last of them.
    pub after_close: Option<(u64, Moment)>,
    pub records: Records,
}

/// Reads the log to its end, or until `take` wants no more of it; `None` where its first row alone makes that pointless.
///
/// The thread that reads opens the table as well: memory that one thread writes all the time must not lie next to what
/// another one does.
pub(super) fn read_ahead(
    files: &Files,
    log: FileId,
    understanding: &Understanding<'_>,
    problems: &mut Problems,
    mut take: impl FnMut(&mut Batch, &Layout) -> bool,
) -> Option<Finished> {
    let waiting = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        let (opened, layout) = channel();
        let (out, batches) = sync_channel(MOST_WAITING);
        let (back, spent) = channel();
        let waiting = &waiting;
        let reader = scope.spawn(move || {
            let mut found = Problems::new();
            let table = Table::open(files, log, &LOG, &mut found);
            let finished = table.map(|table| {
                let reader = Reader {
                    out,
                    spent,
                    waiting,
                };
                // Whoever asked for it waits.
                let _ = opened.send(table.layout().clone());
                reader.run(table, understanding, &mut found)
            });
            (finished, found)
        });
        if let Ok(layout) = layout.recv() {
            for mut batch in batches {
                let more = take(&mut batch, &layout);
                waiting.fetch_sub(1, Ordering::Relaxed);
                // The reader may be done already; then nobody needs the batch.
                let _ = back.send(batch);
                if !more {
                    break;
                }
            }
        }
        drop(back);
        let (finished, found) = reader
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        problems.take(found);
        finished
    })
}

struct Reader<'w> {
    out: SyncSender<Batch>,
    spent: Receiver<Batch>,
    /// Batches that were sent and are not applied yet.
    waiting: &'w AtomicUsize,
}

impl Reader<'_> {
    fn run(
        self,
        mut table: Table<'_>,
        understanding: &Understanding<'_>,
        problems: &mut Problems,
    ) -> Finished {
        let mut days = LastDay::default();
        // Corrections go from one entry to another, and what is wrong is told in the order of the log.
        let mut ordinary = understanding.first_hearing;
        let mut more = table.read(problems);
        while more {
            let mut batch = self.spent.try_recv().unwrap_or_default();
            batch.clear();
            let waiting = self.waiting.load(Ordering::Relaxed);
            let mut ahead = ordinary && waiting >= understanding.well_ahead;
            let mut rows = 0;
            while more && rows < BATCH && batch.records.bytes() < MOST_BYTES {
                if ahead && !batch.understand(table.row(), understanding, &mut days) {
                    (ahead, ordinary) = (false, false);
                }
                if !ahead {
                    table.keep(&mut batch.records);
                }
                rows += 1;
                more = table.read(problems);
            }
            table.note_rows(rows);
            self.waiting.fetch_add(1, Ordering::Relaxed);
            if self.out.send(batch).is_err() {
                break;
            }
        }
        table.finish(problems)
    }
}

impl Batch {
    fn clear(&mut self) {
        self.steps.clear();
        self.people.clear();
        self.after_close = None;
        self.records.clear();
    }

    /// Understands a row, if there is nothing out of the ordinary about it.
    fn understand(
        &mut self,
        row: Row<'_>,
        understanding: &Understanding<'_>,
        days: &mut LastDay,
    ) -> bool {
        let by = |name: &str| person(name, &mut self.people, BATCH);
        // Whoever applies it understands it again, and tells what is wrong.
        let mut untold = Problems::new();
        let Some((_, step)) = understanding.step(row, days, by, &mut untold) else {
            return false;
        };
        if step.when >= understanding.close {
            let (before, last) = self.after_close.unwrap_or((0, step.when));
            self.after_close = Some((before + 1, last.max(step.when)));
            return true;
        }
        let backward = self.steps.last().is_some_and(|last| step.when < last.when);
        if step.what == What::Correct || understanding.ordered && backward {
            return false;
        }
        self.steps.push(step);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::BATCH;
    use crate::pack::Document;
    use crate::quantity::{Day, Moment};
    use crate::record::{read_materials, read_shop, read_tables};
    use crate::stock::replay::replay_with;
    use crate::text::{Files, Problems};
    use std::fmt::Write;

    const SHOP: &str = "name = \"Made up\"\nunits = \"metric\"\npacks = [\"trade\"]\n";
    const INVENTORY: &str = "container,product,amount,capacity,vessel\n\
        A,mineral spirits,900 L,1000 L,metal\nB,mineral spirits,0 L,1000 L,metal\nrag,cotton rag,9000 pcs,,rag\n";
    const ROWS: usize = 5000;

    /// What comes of a log, as text: everything about the stock, and every problem.
    fn comes_of(log: &str, well_ahead: usize) -> String {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let held = [
            ("shop.toml", SHOP),
            ("inventory.csv", INVENTORY),
            ("log.csv", log),
        ];
        let held = held.map(|(name, text)| (name, files.hold(name, text.as_bytes().to_vec())));
        let find = |name: &str| {
            held.iter()
                .find(|(there, _)| *there == name)
                .map(|(_, file)| *file)
        };
        let document =
            find("shop.toml").and_then(|file| Document::parse(&files, file, &mut problems));
        let shop = document
            .and_then(|document| read_shop(&document, &mut problems))
            .unwrap();
        let materials = files.hold("materials.csv", crate::pack::MATERIALS.as_bytes());
        let materials = read_materials(&files, materials, &mut problems);
        let tables = read_tables(&files, shop, materials, find, &mut problems);
        assert!(problems.none(), "{problems:?}");
        let close = Moment::close_of(Day::parse("2026-02-15").unwrap());
        let stock = replay_with(&mut files, &tables, close, well_ahead, &mut problems);
        format!("{stock:#?}\n{:#?}\n{}", problems.sorted(), problems.more())
    }

    /// Two rows every half hour from the first of January on, on both sides of the day; of the two, the one that is written
    /// first comes last.
    fn log(odd: impl Fn(usize) -> Option<String>) -> String {
        let mut text = String::from("entry,when,what,container,amount,into,by\n");
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
                0 => format!("{when},use,A,0.125 L,,somebody {}", row % 999),
                1 => format!("{when},receive,A,250 mL,,"),
                2 => format!("{when},use,rag,1 pcs,,"),
                _ => format!("{when},decant,A,1 mL,B,"),
            };
            let _ = writeln!(text, "{row},{}", odd(row).unwrap_or(usual));
        }
        text
    }

    #[test]
    fn who_understands_what_changes_nothing() {
        let at =
            |row: usize, odd: &'static str| move |now: usize| (now == row).then(|| odd.to_string());
        let logs = [
            ("usual", log(|_| None)),
            (
                "wrong",
                log(|row| {
                    (row > 3000 && row % 7 == 0).then(|| "2026-02-01T12:00,use,C,1 L,,".into())
                }),
            ),
            (
                "too much",
                log(at(3100, "2026-02-05T07:00,use,A,100000 L,,")),
            ),
            (
                "corrected",
                log(at(4000, "2026-02-14T16:00,correct,,0.5 L,3000,")),
            ),
            ("backward", log(at(4000, "2026-01-02T03:00,count,B,1 L,,"))),
            (
                "backward between batches",
                log(at(4 * BATCH, "2026-01-03T03:00,count,B,2 L,,")),
            ),
        ];
        let mut seen = Vec::new();
        for (name, log) in &logs {
            let alone = comes_of(log, usize::MAX);
            for well_ahead in [0, 1] {
                let together = comes_of(log, well_ahead);
                assert!(alone == together, "{name}, {well_ahead}");
            }
            assert!(
                !seen.contains(&alone),
                "{name} comes to something of its own"
            );
            seen.push(alone);
        }
        let usual = seen.first().unwrap();
        assert!(usual.contains("somebody"), "people are named");
        assert!(
            usual.contains("ahead: Some"),
            "some of it lies after the day"
        );
    }
}
