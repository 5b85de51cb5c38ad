//! Why nothing was written, as data.

use crate::audit::NotAudited;
use crate::files::{NamedCells, Refused};
use crate::quantity::Moment;
use crate::stock::Stock;
use crate::text::{Problems, ShownProblems};
use std::sync::Arc;

/// Why nothing was written.
#[derive(Debug)]
pub enum NotWritten {
    /// The shop cannot be read, as it is or as it would be.
    Shop(NotAudited),
    /// The rows do not fit what is there.
    Problems(Box<Misfit>),
    /// The folder cannot be written, or not just now.
    Folder(Refused),
    /// A program has a table open, and would save over the rows.
    OpenElsewhere {
        file: &'static str,
        /// The file by which the program shows it.
        sign: String,
    },
    /// A row lies ahead of the clock.
    Ahead {
        /// What the row is about: a container or a question.
        name: String,
        when: Moment,
        now: Moment,
    },
    /// The minutes of an entry are more than a day.
    TooLong {
        /// What the row is about.
        name: String,
        /// The minutes, as written.
        minutes: String,
    },
    /// The clock went back behind the log.
    ClockBehind {
        /// The log's last moment.
        last: Moment,
        now: Moment,
    },
    /// The id belongs to rows that say something else.
    OtherContent {
        id: String,
        /// The rows that bear it.
        there: Vec<NamedCells>,
    },
    /// The store was opened only to look.
    OnlyLooking,
}

/// Rows that do not fit.
#[derive(Debug)]
pub struct Misfit {
    /// What is wrong with them.
    pub problems: Problems,
    /// The same, with files, rows and columns.
    pub shown: ShownProblems,
    /// What is there without them.
    pub stock: Arc<Stock>,
}

impl From<NotAudited> for NotWritten {
    fn from(not: NotAudited) -> NotWritten {
        NotWritten::Shop(not)
    }
}

impl From<Refused> for NotWritten {
    fn from(refused: Refused) -> NotWritten {
        NotWritten::Folder(refused)
    }
}
