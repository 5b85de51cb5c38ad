//! A shop that is held for writing, and what would become of it with some rows more.

use super::log_summary::moment;
use super::not_written::Misfit;
use super::submission::{ENTRY_BEFORE, rows_by_id};
use super::{Clock, LogSummary, NewRow, NotWritten, Submission};
use crate::audit::{NotAudited, Shop};
use crate::files::{Change, Journal, NamedCells, Note, Refused, TableEdit, TableEnd};
use crate::finding::Finding;
use crate::quantity::{Day, Moment};
use crate::record::minutes_written;
use crate::stock::{Stock, UnclearEntry};
use crate::text::{Shape, ShownProblems};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Minutes of a day: no work lasts longer.
const DAY_MINUTES: u32 = 24 * 60;

/// What a caller may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Write, unless another program has a table open.
    Write,
    /// Write in any case.
    WriteAnyway,
    /// Only look what would become of the rows.
    Look,
    /// The same, where rows of the tables are lost.
    LookAnyway,
}

impl Access {
    /// May rows of the tables be lost? They are reported, and one more is written all the same.
    fn bears_lost(self) -> bool {
        match self {
            Access::WriteAnyway | Access::LookAnyway => true,
            Access::Write | Access::Look => false,
        }
    }
}

/// A shop that no other program writes into meanwhile.
pub struct Store {
    folder: PathBuf,
    journal: Option<Journal>,
    tables: Vec<TableEnd>,
    /// The shop as it is.
    pub shop: Shop,
    pub log: LogSummary,
    /// Rows that are lost, and other copies of a table, that were no reason to stop.
    pub borne: Option<ShownProblems>,
    access: Access,
    /// What was finished or set aside on opening it.
    pub notes: Vec<Note>,
    known: Option<KnownShop>,
}

/// The shop as it stands on a day, before any new row.
#[derive(Clone)]
pub struct KnownShop {
    /// What is in every container at the close of the day.
    pub stock: Arc<Stock>,
    /// What the rules conclude.
    pub findings: Arc<Vec<Finding>>,
}

/// What became of one submission.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Its rows are new; the log's get these numbers.
    New(Vec<String>),
    /// It was written before: these rows.
    Already(Vec<NamedCells>),
}

/// What would become of the shop, which is not written yet.
pub struct Plan {
    /// The shop as it would be.
    pub shop: Shop,
    /// What became of each submission, in their order.
    pub outcomes: Vec<Outcome>,
    /// What is in every container without the rows, on the last day of the log.
    pub before: Arc<Stock>,
    /// What would be in it with them.
    pub after: Stock,
    /// New breaches of the kind that a person at the bench can still avoid.
    pub against: Vec<Finding>,
    /// All other new breaches.
    pub told: Vec<Finding>,
    /// Entries that could mean one batch of rags or another.
    pub unclear: Vec<UnclearEntry>,
    /// Breaches that were there before and become worse.
    pub worse: Vec<Finding>,
    /// Loose rags that count as harmless because a fact is changed, and not because of an entry.
    pub cleared: Vec<Finding>,
    changes: Vec<Change>,
}

impl Store {
    /// Waits for the right to write into these tables, finishes what was cut short, and reads the shop.
    pub fn open(
        folder: &Path,
        tables: &[&'static Shape],
        access: Access,
    ) -> Result<Store, NotWritten> {
        if access == Access::Write {
            for table in tables {
                not_open_elsewhere(folder, table.file)?;
            }
        }
        let (journal, mut notes) = match access {
            Access::Look | Access::LookAnyway => (None, Vec::new()),
            Access::Write | Access::WriteAnyway => {
                let (journal, notes) = Journal::hold(folder)?;
                (Some(journal), notes)
            }
        };
        let mut ends = Vec::new();
        for table in tables {
            // A table that is written by hand keeps its last line, whatever that looks like.
            let (end, note) = match &journal {
                Some(journal) if table.may.contains(&"written") => journal.end_of(table)?,
                Some(_) | None => (TableEnd::read(folder, table)?, None),
            };
            ends.push(end);
            notes.extend(note);
        }
        let shop = open_shop(folder, access, &[])?;
        let mut log = LogSummary::read(&shop);
        let lost = shop.lost_rows();
        if !access.bears_lost() {
            shop.trusted(&lost)?;
        }
        let borne = (!lost.none()).then(|| ShownProblems::of_files(&lost, &shop.files));
        if borne.is_some() {
            let lost = shop.lost_entries();
            log.leave_out(&lost.map_err(|why| Refused::Unread("log.csv".into(), why))?);
        }
        if let Some(journal) = journal.as_ref().filter(|_| shop.was_rearranged()) {
            journal.settle_order();
        }
        Ok(Store {
            folder: folder.to_path_buf(),
            journal,
            tables: ends,
            log,
            borne,
            access,
            shop,
            notes,
            known: None,
        })
    }

    /// The tables that it is open for, as they are.
    pub(super) fn tables(&self) -> &[TableEnd] {
        &self.tables
    }

    /// Takes over how the shop stands from a caller who has audited the very same files, so that it is not worked out again.
    pub fn know(&mut self, standing: KnownShop) {
        self.known = Some(standing);
    }

    /// How the shop stands on a day.
    fn standing(&self, on: Day) -> Result<KnownShop, NotWritten> {
        if let Some(known) = self.known.as_ref().filter(|known| known.stock.on == on) {
            return Ok(known.clone());
        }
        let audit = self.shop.audit(on)?;
        Ok(KnownShop {
            stock: Arc::new(audit.stock),
            findings: Arc::new(audit.checked.findings),
        })
    }

    /// Numbers the rows, and audits the shop as it would be with them.
    pub fn plan(&self, submissions: &[Submission], clock: &Clock) -> Result<Plan, NotWritten> {
        self.plan_with(submissions, &[], clock)
    }

    /// As [`Store::plan`], with rows of other tables changed, removed or added as well.
    pub fn plan_with(
        &self,
        submissions: &[Submission],
        edits: &[TableEdit],
        clock: &Clock,
    ) -> Result<Plan, NotWritten> {
        let mut rows = Vec::new();
        let outcomes = self.outcomes(submissions, clock, &mut rows)?;
        let last = self.last_moment(&rows, clock)?;
        let locale = &self.shop.tables.shop.locale;
        let of = |table: &&TableEnd| {
            let rows = rows.iter().filter(|row| row.table.file == table.file());
            let rows: Vec<NamedCells> = rows.map(|row| row.cells.clone()).collect();
            match edits.iter().find(|edit| edit.table.file == table.file()) {
                Some(edit) => Some(table.edited(edit, locale)),
                None => (!rows.is_empty()).then(|| table.with(&rows, locale)),
            }
        };
        let changes: Vec<Change> = self.tables.iter().filter_map(|table| of(&table)).collect();
        let shop = open_shop(&self.folder, self.access, &changes)?;
        let on = self.log.last_day(last, clock.now);
        let before = self.standing(on)?;
        let (after, problems) = shop.replayed(on);
        if !problems.none() {
            shop.steady()?;
            return Err(NotWritten::Problems(Box::new(Misfit {
                shown: ShownProblems::of_files(&problems, &shop.files),
                problems,
                stock: before.stock,
            })));
        }
        let after = shop.audit_of(after)?;
        let objections = after.objections(&before.findings);
        let owned = |list: Vec<&Finding>| list.into_iter().cloned().collect();
        let against = owned(objections.against);
        let told = owned(objections.told);
        let worse = owned(objections.worse);
        let cleared = match rows.is_empty() {
            true => objections.cleared,
            false => Vec::new(),
        };
        let (before, after) = (before.stock, after.stock);
        Ok(Plan {
            unclear: new_unclear(&before, &after),
            shop,
            outcomes,
            before,
            after,
            against,
            told,
            worse,
            cleared,
            changes,
        })
    }

    /// The last moment among new rows, none of which is ahead of the clock or of work that takes too long.
    fn last_moment(&self, rows: &[NewRow], clock: &Clock) -> Result<Option<Moment>, NotWritten> {
        let mut last = None;
        for row in rows {
            let Some(when) = moment(row.cell("when")) else {
                continue;
            };
            let name = [row.cell("container"), row.cell("check")].concat();
            let minutes = row.cell("minutes").trim();
            if minutes_written(minutes).is_some_and(|minutes| minutes > DAY_MINUTES) {
                let minutes = minutes.to_string();
                return Err(NotWritten::TooLong { name, minutes });
            }
            clock.allows(when, &name, &self.log)?;
            last = last.max(Some(when));
        }
        Ok(last)
    }

    /// Writes what was planned: all of it or nothing, and it is on the disk when this returns.
    pub fn write(&self, plan: &Plan) -> Result<(), NotWritten> {
        plan.shop.steady()?;
        match &self.journal {
            Some(journal) => Ok(journal.write(&plan.changes)?),
            None => Err(NotWritten::OnlyLooking),
        }
    }

    /// What becomes of each submission; the rows that are new are complete then.
    fn outcomes(
        &self,
        submissions: &[Submission],
        clock: &Clock,
        rows: &mut Vec<NewRow>,
    ) -> Result<Vec<Outcome>, NotWritten> {
        let mut numbers = self.log.numbers();
        let mut by_id = rows_by_id(submissions, &self.tables, &self.shop.tables.shop.locale);
        let mut outcomes = Vec::new();
        for submission in submissions {
            let Some(id) = &submission.id else {
                let (_, entries) = complete(submission, clock.now, &mut numbers, rows);
                outcomes.push(Outcome::New(entries));
                continue;
            };
            outcomes.push(match by_id.get(id) {
                Some(there) if submission.is_said_by(there) => Outcome::Already(there.clone()),
                Some(there) => {
                    let (id, there) = (id.clone(), there.clone());
                    return Err(NotWritten::OtherContent { id, there });
                }
                None => {
                    let (new, entries) = complete(submission, clock.now, &mut numbers, rows);
                    by_id.insert(id.clone(), new);
                    Outcome::New(entries)
                }
            });
        }
        Ok(outcomes)
    }
}

/// The entries about rags that are unclear now and were not before.
fn new_unclear(before: &Stock, after: &Stock) -> Vec<UnclearEntry> {
    let known = |new: &&UnclearEntry| {
        let same = |old: &UnclearEntry| {
            (old.container, old.what, old.when) == (new.container, new.what, new.when)
        };
        before.unclear.iter().any(same)
    };
    let new = after.unclear.iter().filter(|entry| !known(entry));
    new.cloned().collect()
}

fn open_shop(folder: &Path, access: Access, changes: &[Change]) -> Result<Shop, NotAudited> {
    match access.bears_lost() {
        true => Shop::open_anyway(folder, changes),
        false => Shop::open_with(folder, &[], changes),
    }
}

/// Completes the rows of a submission; gives those that bear its id, and the numbers of those that are entries.
fn complete(
    submission: &Submission,
    now: Moment,
    numbers: &mut impl Iterator<Item = String>,
    rows: &mut Vec<NewRow>,
) -> (Vec<NamedCells>, Vec<String>) {
    let (mut with_id, mut entries) = (Vec::new(), Vec::new());
    for row in &submission.rows {
        let mut row = row.clone();
        if row.takes("entry") {
            let number = numbers.next().unwrap_or_default();
            for (column, cell) in &mut row.cells {
                if let Some(before) = entries.last()
                    && (*column, cell.as_str()) == ("from", ENTRY_BEFORE)
                {
                    *cell = format!("entry {before}");
                }
            }
            row.cells.push(("entry", number.clone()));
            entries.push(number);
        }
        if row.takes("written") {
            row.cells.push(("written", now.to_string()));
        }
        if row.takes("id") {
            row.cells
                .push(("id", submission.id.clone().unwrap_or_default()));
            with_id.push(row.cells.clone());
        }
        rows.push(row);
    }
    (with_id, entries)
}

/// A program that has a table open will save over what is written meanwhile.
fn not_open_elsewhere(folder: &Path, file: &'static str) -> Result<(), NotWritten> {
    let signs = [format!(".~lock.{file}#"), format!("~${file}")];
    match signs.into_iter().find(|sign| folder.join(sign).exists()) {
        Some(sign) => Err(NotWritten::OpenElsewhere { file, sign }),
        None => Ok(()),
    }
}
