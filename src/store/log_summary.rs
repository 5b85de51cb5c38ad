//! What new entries need to know of a log: its highest number, and its last moment.

use super::NotWritten;
use crate::audit::Shop;
use crate::quantity::{Day, LastDay, Moment};
use crate::record::{CHECKS, LOG};
use crate::text::{FileId, Problems, Row, Shape, Table};

/// The names and moments of the entries of a log.
#[derive(Debug, Default)]
pub struct LogSummary {
    highest: u64,
    count: u64,
    last: Option<Moment>,
}

/// What time it is, and how the moments of new rows came about.
#[derive(Clone, Copy, Debug)]
pub struct Clock {
    pub now: Moment,
    /// The moments of the rows are the clock's, and no person gave them.
    pub by_clock: bool,
    /// It has happened: whatever the clock says, write it.
    pub anyway: bool,
}

/// A clock may be so many minutes behind the last entry: an hour is given back each autumn.
const MOST_BEHIND: i64 = 60;

impl Clock {
    /// For rows whose moments a person gave.
    pub fn typed(now: Moment) -> Clock {
        Clock {
            now,
            by_clock: false,
            anyway: false,
        }
    }

    /// An entry of tomorrow is in no audit of today; a clock that went back (a flat battery sets it years back) would put an
    /// entry of now among old ones.
    pub fn allows(&self, when: Moment, name: &str, log: &LogSummary) -> Result<(), NotWritten> {
        let (now, name) = (self.now, name.to_string());
        match log.last {
            _ if self.anyway => Ok(()),
            _ if when > now => Err(NotWritten::Ahead { name, when, now }),
            Some(last) if self.by_clock && last.minutes_since(now) > MOST_BEHIND => {
                Err(NotWritten::ClockBehind { last, now })
            }
            Some(_) | None => Ok(()),
        }
    }
}

impl LogSummary {
    /// Looks at the names and moments in the log once.
    pub fn read(shop: &Shop) -> LogSummary {
        let (mut log, mut days) = (LogSummary::default(), LastDay::default());
        each_entry(shop, |row| {
            let [name, when]: [&str; 2] = row.texts();
            log.count += 1;
            log.highest = log.highest.max(number(name));
            log.last = log.last.max(days.moment(when).or_else(|| moment(when)));
        });
        log
    }

    /// The day to which the stock is replayed: all that is logged must stay possible, whatever the clock says. An entry of an
    /// earlier day is judged as it would have been on that day.
    pub fn last_day(&self, when: Option<Moment>, now: Moment) -> Day {
        let last = when.max(self.last);
        last.map_or(now.day(), Moment::day)
    }

    /// Leaves out the names of entries that are lost: another entry of that name would stand in their way when they come back.
    pub(super) fn leave_out(&mut self, names: &[String]) {
        let highest = names.iter().map(|name| number(name)).max();
        self.highest = self.highest.max(highest.unwrap_or(0));
    }

    /// The numbers that no entry has yet, one after another.
    pub(super) fn numbers(&self) -> impl Iterator<Item = String> + use<> {
        let first = self.highest.max(self.count) + 1;
        (first..).map(|number| number.to_string())
    }
}

/// A moment as a cell tells it; one that a spreadsheet wrote in another way counts by its day.
pub(super) fn moment(when: &str) -> Option<Moment> {
    let day = || Day::parse(when.get(..10)?).ok();
    Moment::parse(when)
        .ok()
        .or_else(|| day().map(Moment::start_of))
}

/// The number that an entry bears as its name; one so high that none would be left above it is only a name.
fn number(name: &str) -> u64 {
    let number = name.parse().ok();
    number.filter(|number| *number < 1 << 53).unwrap_or(0)
}

/// Hands on each entry of the log, in the order of the file.
pub fn each_entry(shop: &Shop, each: impl FnMut(&Row<'_>)) {
    if let Some(log) = shop.tables.log {
        each_row(shop, log, &LOG, each);
    }
}

/// Hands on each answer of the round, in the order of the file.
pub fn each_answer(shop: &Shop, each: impl FnMut(&Row<'_>)) {
    let mut named = shop.table_files().iter();
    if let Some((_, file)) = named.find(|(name, _)| *name == CHECKS.file) {
        each_row(shop, *file, &CHECKS, each);
    }
}

fn each_row(shop: &Shop, file: FileId, shape: &'static Shape, mut each: impl FnMut(&Row<'_>)) {
    let mut problems = Problems::new();
    let mut table = Table::open(&shop.files, file, shape, &mut problems);
    while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
        each(&row);
    }
    // Whoever asks next whether the table has all its rows gets an answer.
    table.into_iter().for_each(|table| {
        table.finish(&mut problems);
    });
}
