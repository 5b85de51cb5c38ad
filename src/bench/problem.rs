//! Why a request is not answered as it was meant, in words for a person at the bench.

use crate::audit::NotAudited;
use crate::files::Refused;
use crate::report::{Refusal, not_audited};
use crate::store::NotWritten;
use crate::text::{Words, clean};
use axum::http::StatusCode;

/// A request that was refused, or cannot be answered now.
#[derive(Clone, Debug)]
pub struct BenchProblem {
    /// The status of the answer.
    pub status: StatusCode,
    pub wrong: String,
    pub fix: String,
    /// More of it, line by line.
    pub more: Vec<String>,
    /// A file changed while it was read: the next reading will find it whole.
    pub again: bool,
    /// It stands only against the rules: it can be logged all the same if it has happened.
    pub may_be_logged: bool,
}

impl BenchProblem {
    /// A problem with its status.
    pub fn new(status: StatusCode, wrong: impl Into<String>, fix: impl Into<String>) -> Self {
        BenchProblem {
            status,
            wrong: wrong.into(),
            fix: fix.into(),
            more: Vec::new(),
            again: false,
            may_be_logged: false,
        }
    }

    /// What was sent cannot be taken as it is.
    pub fn unfit(wrong: impl Into<String>, fix: impl Into<String>) -> Self {
        BenchProblem::new(StatusCode::UNPROCESSABLE_ENTITY, wrong, fix)
    }

    /// There is no such page, container or entry.
    pub fn missing(what: impl Into<String>) -> Self {
        let fix = "Check the name, or go back to the list.";
        BenchProblem::new(StatusCode::NOT_FOUND, what, fix)
    }

    /// Something of this program failed.
    pub fn fault(what: impl Into<String>) -> Self {
        let fix = "Try again. If it happens again, look at the terminal of the computer that runs the bench page.";
        BenchProblem::new(StatusCode::INTERNAL_SERVER_ERROR, what, fix)
    }

    /// The shop cannot be reached just now; what was sent is not written yet.
    fn busy(words: Words) -> Self {
        BenchProblem::new(StatusCode::SERVICE_UNAVAILABLE, words.wrong, words.fix)
    }

    /// Is it about what was sent, and not about the shop or the disk?
    pub fn is_of_the_entry(&self) -> bool {
        self.status.is_client_error()
    }

    /// Is it worth trying again as it is?
    pub fn is_passing(&self) -> bool {
        self.status == StatusCode::SERVICE_UNAVAILABLE
    }
}

impl From<NotAudited> for BenchProblem {
    fn from(not: NotAudited) -> Self {
        let passing = matches!(not, NotAudited::Changed(_) | NotAudited::Unfinished { .. });
        let again = matches!(not, NotAudited::Changed(_));
        match not_audited(not) {
            Refusal::Words(words) if passing => BenchProblem {
                again,
                ..BenchProblem::busy(words)
            },
            Refusal::Words(words) => BenchProblem::fault(words.wrong).with_fix(words.fix),
            Refusal::Problems(problems) => BenchProblem {
                more: lines(&problems.text("Nothing was audited.")),
                ..BenchProblem::fault("The files of the shop have problems.").with_fix(
                    "Correct them in the shop folder. This page reads them again at once.",
                )
            },
        }
    }
}

/// The options of a command are the fields of a page.
impl From<Refusal> for BenchProblem {
    fn from(refusal: Refusal) -> Self {
        let field = |text: &str| text.replace("`--", "`").replace("--", "");
        match refusal {
            Refusal::Words(words) => BenchProblem::unfit(field(&words.wrong), field(&words.fix)),
            Refusal::Problems(problems) => {
                let mut list = problems
                    .list
                    .iter()
                    .map(|one| (field(&one.wrong), field(&one.fix)));
                let (wrong, fix) = list.next().unwrap_or_default();
                BenchProblem {
                    more: list.map(|(wrong, fix)| format!("{wrong} {fix}")).collect(),
                    ..BenchProblem::unfit(wrong, fix)
                }
            }
        }
    }
}

impl BenchProblem {
    fn with_fix(self, fix: impl Into<String>) -> Self {
        BenchProblem {
            fix: fix.into(),
            ..self
        }
    }
}

impl From<NotWritten> for BenchProblem {
    fn from(not: NotWritten) -> Self {
        match not {
            NotWritten::Shop(not) => not.into(),
            NotWritten::Problems(misfit) => {
                let mut list = misfit.shown.list.iter();
                let (wrong, fix) = list
                    .next()
                    .map(|first| (first.wrong.clone(), first.fix.clone()))
                    .unwrap_or_default();
                BenchProblem {
                    more: list
                        .map(|other| format!("{} {}", other.wrong, other.fix))
                        .collect(),
                    ..BenchProblem::unfit(wrong, fix)
                }
            }
            NotWritten::Folder(Refused::Busy) => BenchProblem::busy(Refused::Busy.words()),
            NotWritten::Folder(refused) => {
                let words = refused.words();
                BenchProblem::fault(words.wrong).with_fix(words.fix)
            }
            NotWritten::OpenElsewhere { file, .. } => BenchProblem::busy(Words::new(
                format!("{file} is open in another program, which would save over this entry."),
                "Save and close it on the computer, then try again.",
            )),
            NotWritten::Ahead { when, now, .. } => BenchProblem::unfit(
                format!("{when} is ahead of the shop's computer, which says {now}."),
                "Correct the time of the entry, or set the clock of the computer.",
            ),
            NotWritten::TooLong { minutes, .. } => BenchProblem::unfit(
                format!("\"{}\" is more than a day of work.", clean(&minutes)),
                "Write the minutes of one session.",
            ),
            NotWritten::ClockBehind { last, now } => BenchProblem::unfit(
                format!("The shop's computer says {now}, but the log goes on to {last}."),
                "Set the clock of the computer, then try again.",
            ),
            NotWritten::OtherContent { id, there } => BenchProblem {
                more: there
                    .iter()
                    .map(|row| {
                        let cells = row.iter().filter(|(_, cell)| !cell.is_empty());
                        let cells: Vec<String> = cells
                            .map(|(name, cell)| format!("{name} {}", clean(cell)))
                            .collect();
                        cells.join(", ")
                    })
                    .collect(),
                ..BenchProblem::new(
                    StatusCode::CONFLICT,
                    format!(
                        "An entry with the id {} is logged already, and it says something else.",
                        clean(&id)
                    ),
                    "Check the log. If both happened, enter this one again.",
                )
            },
            NotWritten::OnlyLooking => BenchProblem::fault("The shop was opened only to look."),
        }
    }
}

fn lines(text: &str) -> Vec<String> {
    text.lines()
        .map(|line| line.trim().to_string())
        .filter(|line| !line.is_empty())
        .collect()
}
