//! All problems of a stage: gathered first, shown in the order of files and rows.

use super::locale_fault::LocaleUnset;
use super::near::nearest;
use super::problem::Problem;
use super::span::Span;

/// At most so many problems are kept; the rest are counted.
const MOST_KEPT: usize = 200;

/// All problems of a stage, gathered before anything is shown.
#[derive(Debug, Default)]
pub struct Problems {
    kept: Vec<Problem>,
    more: usize,
    unset: LocaleUnset,
}

impl Problems {
    /// None yet.
    pub fn new() -> Problems {
        Problems::default()
    }

    pub fn add(&mut self, problem: Problem) {
        if self.kept.len() < MOST_KEPT {
            self.kept.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// Notes a date in a shop that does not say how it writes dates; false if it is no date in any order.
    pub fn add_unset_date(&mut self, read: &str, at: Span) -> bool {
        self.unset.add_date(read, at)
    }

    /// Notes a decimal comma in a shop that does not say how it writes decimals.
    pub fn add_unset_decimal(&mut self, read: &str, at: Span) {
        self.unset.add_decimal(read, at);
    }

    /// The known word nearest to a misspelled one. Once another problem would only be counted, it is not looked for.
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
        self.kept.len() + self.more + self.unset.count()
    }

    pub fn none(&self) -> bool {
        self.count() == 0
    }

    /// Those that were kept, in the order of file and place.
    pub fn sorted(&self) -> Vec<Problem> {
        let kept = self.kept.iter().cloned();
        let mut list: Vec<Problem> = kept.chain(self.unset.problem()).collect();
        list.sort_by_key(|problem| (problem.at.file, problem.at.extent.byte(), problem.at));
        list
    }

    /// How many were counted but not kept.
    pub fn more(&self) -> usize {
        self.more
    }

    /// Takes over the problems of another stage.
    pub fn take(&mut self, other: Problems) {
        self.more += other.more;
        self.unset.take(other.unset);
        for problem in other.kept {
            self.add(problem);
        }
    }
}
