//! Problems: what is wrong with a file. (What is wrong with a room is a finding, and another type.)

use super::code::Code;
use super::near::nearest;
use super::span::Span;

/// At most so many problems are kept; the rest are counted.
const MOST_KEPT: usize = 200;

/// One thing wrong, where it stands, and another place that has to do with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, as facts.
    pub code: Code,
    /// Where.
    pub at: Span,
    /// The other place, where two disagree.
    pub see: Option<Span>,
}

impl Problem {
    /// A problem at one place.
    pub fn new(code: Code, at: Span) -> Problem {
        Problem {
            code,
            at,
            see: None,
        }
    }

    /// A problem between two places.
    pub fn between(code: Code, at: Span, see: Span) -> Problem {
        Problem {
            code,
            at,
            see: Some(see),
        }
    }
}

/// All problems of a stage, gathered before anything is shown.
#[derive(Debug, Default)]
pub struct Problems {
    kept: Vec<Problem>,
    more: usize,
}

impl Problems {
    /// None yet.
    pub fn new() -> Problems {
        Problems::default()
    }

    /// Notes one.
    pub fn add(&mut self, problem: Problem) {
        if self.kept.len() < MOST_KEPT {
            self.kept.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// The known word nearest to a mistyped one. Once another problem would only be counted, it is not looked for.
    pub fn near<'w>(
        &self,
        written: &str,
        known: impl IntoIterator<Item = &'w str>,
    ) -> Option<String> {
        let shown = self.kept.len() < MOST_KEPT;
        let near = shown.then(|| nearest(written, known)).flatten();
        near.map(str::to_string)
    }

    /// How many there are in all.
    pub fn count(&self) -> usize {
        self.kept.len() + self.more
    }

    /// Is all well?
    pub fn none(&self) -> bool {
        self.count() == 0
    }

    /// Those that were kept, in the order of file and place.
    pub fn sorted(&self) -> Vec<&Problem> {
        let mut list: Vec<&Problem> = self.kept.iter().collect();
        list.sort_by_key(|problem| problem.at);
        list
    }

    /// How many were counted but not kept.
    pub fn more(&self) -> usize {
        self.more
    }

    /// Takes over the problems of another stage.
    pub fn take(&mut self, other: Problems) {
        self.more += other.more;
        for problem in other.kept {
            self.add(problem);
        }
    }
}
