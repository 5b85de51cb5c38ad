//! `sandarac log`: one entry, checked against the replayed stock before it is written, and then kept for good.

pub mod args;
mod ask;
pub mod draft;
mod refuse;
mod said;
pub mod together;

use super::{Ended, Failure, open, style, writing};
use crate::audit::Shop;
use crate::quantity::{Day, LastDay, Moment};
use crate::record::{INVENTORY, LOG, Vessel};
use crate::stock::Stock;
use args::{LogArgs, LogWhat, WithArgs};
use draft::Draft;
pub(super) use refuse::open_elsewhere;
pub(super) use said::told as brings;
use std::io::IsTerminal;

/// The tables that an entry may go into.
const TOUCHED: [&str; 2] = [LOG.file, INVENTORY.file];

/// Writes one entry, or says what stands in the way.
pub fn run(args: &LogArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.with.shop.as_deref())?;
    let now = WithArgs::now();
    let asked = match &args.what {
        Some(_) => None,
        None if std::io::stdin().is_terminal() && std::io::stdout().is_terminal() => {
            let opened = open::shop(&folder, &[])?;
            let stock = opened.stock(now.day())?;
            match ask::ask(&opened, &stock)? {
                Some(draft) => Some(draft),
                None => return Ok(Ended::Well),
            }
        }
        None => return Err(Failure::Said(refuse::NO_WORD.into())),
    };
    let journal = if args.with.dry_run {
        None
    } else {
        if !args.with.anyway {
            open_elsewhere(&folder, TOUCHED, refuse::ANYWAY)?;
        }
        Some(writing::hold(&folder)?)
    };
    let log = match &journal {
        Some(journal) => writing::end_of(journal, &LOG)?,
        None => writing::look_at(&folder, &LOG)?,
    };
    let inventory = writing::look_at(&folder, &INVENTORY)?;
    let before = open::shop_with(&folder, &[], &[])?;
    let names = before.log_names();
    let on = names.last_day(args.with.when, now);
    let stock = open::or_unwritten(before.stock(on))?;
    let mut draft = match (&args.what, asked) {
        (_, Some(draft)) => draft,
        (Some(LogWhat::Undo { entry }), None) => refuse::undo(&before, entry.as_deref())?,
        (Some(what), None) => {
            Draft::of(what).ok_or_else(|| Failure::Said(refuse::NO_WORD.into()))?
        }
        (None, None) => return Err(Failure::Said(refuse::NO_WORD.into())),
    };
    if is_cloth(&before, &draft) && !draft.is_in_pieces() {
        draft.count_pieces();
    }
    let when = args.with.when.unwrap_or(now);
    if !args.with.anyway {
        refuse::ahead_of_clock(when, now, refuse::ANYWAY)?;
        if args.with.when.is_none() {
            refuse::behind_log(now, &names, refuse::ANYWAY)?;
        }
    }
    let entry = names.next();
    let by = args.with.by.as_deref().unwrap_or_default();
    let note = args.with.note.as_deref().unwrap_or_default();
    let mut rows = Vec::new();
    if let Some(row) = draft.new_row(&when.day().to_string()) {
        rows.push(
            inventory
                .with(&[row])
                .map_err(|why| writing::refused(&why))?,
        );
    }
    let cells = draft.cells(&entry, &when.to_string(), by, note);
    rows.push(log.with(&[cells]).map_err(|why| writing::refused(&why))?);
    let after = open::shop_with(&folder, &[], &rows)?;
    let (would, problems) = after.replayed(on);
    if !problems.none() {
        return Err(refuse::problems(&after, &stock, &before, &problems, &draft));
    }
    refuse::failed_jar(&before, &stock, &draft, args.with.anyway)?;
    let audit_before = open::or_unwritten(before.audit_of(stock))?;
    let audit_after = open::or_unwritten(after.audit_of(would))?;
    let objections = audit_after.objections(&audit_before);
    if !objections.against.is_empty() && !args.with.anyway {
        return Err(refuse::objections(&after, &objections.against, &draft));
    }
    let (stock, would) = (&audit_before.stock, &audit_after.stock);
    after.steady()?;
    if let Some(journal) = &journal {
        journal.write(&rows).map_err(|why| writing::refused(&why))?;
    }
    let mut text = said::written(
        &draft,
        &entry,
        &when.to_string(),
        args.with.dry_run,
        style::columns(),
    );
    text.push_str(&said::left(
        &before,
        stock,
        &after,
        would,
        &draft,
        style::columns(),
    ));
    text.push_str(&said::told(&objections, style::columns()));
    style::print(&text)?;
    Ok(Ended::Well)
}

fn is_cloth(opened: &Shop, draft: &Draft) -> bool {
    let known = opened
        .tables
        .container(&draft.container)
        .and_then(|at| opened.tables.containers.get(at))
        .and_then(|row| row.vessel);
    let new = draft.new.as_ref().and_then(|new| new.vessel.as_deref());
    known.is_some_and(Vessel::is_cloth) || matches!(new, Some("rag" | "pad"))
}

/// The names and moments of the entries of a log, as far as a new one needs them.
#[derive(Debug, Default)]
pub struct LogNames {
    highest: u64,
    count: u64,
    last: Option<Moment>,
}

impl LogNames {
    /// The day to which the stock is replayed: all that is logged must stay possible, whatever the clock says.
    pub fn last_day(&self, when: Option<Moment>, now: Moment) -> Day {
        let last = when.max(self.last);
        last.map_or(now.day(), |last| last.day().max(now.day()))
    }

    /// A name that no entry has yet: one more than the highest number.
    pub fn next(&self) -> String {
        (self.highest.max(self.count) + 1).to_string()
    }

    /// So many names that follow each other.
    pub fn following(&self, many: usize) -> Vec<String> {
        let first = self.highest.max(self.count) + 1;
        (first..).take(many).map(|name| name.to_string()).collect()
    }
}

/// The number that an entry bears as its name; one so high that none would be left above it is only a name.
pub(super) fn number(name: &str) -> u64 {
    let number = name.parse().ok();
    number.filter(|number| *number < 1 << 53).unwrap_or(0)
}

impl Shop {
    /// Looks at the names and moments in the log once.
    pub fn log_names(&self) -> LogNames {
        let (mut names, mut days) = (LogNames::default(), LastDay::default());
        self.each_entry(|cells| {
            names.count += 1;
            // A moment that a spreadsheet wrote in another way counts by its day.
            let day = || Some(Moment::start_of(Day::parse(cells[1].get(..10)?).ok()?));
            names.last = names.last.max(days.moment(cells[1]).or_else(day));
            names.highest = names.highest.max(number(cells[0]));
        });
        names
    }

    /// Hands on the cells of each entry of the log, in the order of the file.
    pub fn each_entry(&self, mut each: impl FnMut([&str; 10])) {
        let mut problems = crate::text::Problems::new();
        let Some(log) = self.tables.log else { return };
        let mut table = crate::text::Table::open(&self.files, log, &LOG, &mut problems);
        while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
            each(row.texts());
        }
    }
}

/// What is there of a container, for those who ask.
pub(super) fn held(opened: &Shop, stock: &Stock, name: &str) -> Option<crate::quantity::Amount> {
    let at = opened.tables.container(name)?;
    stock.containers.get(at)?.amount
}
