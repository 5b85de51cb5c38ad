//! The printed page of tab 8 on which each open finding appears, for references to it. A browser cannot number references, so
//! this file estimates the length of each finding and assigns it to a page. A page that runs over keeps its number.

use crate::finding::Finding;
use crate::report::finding_details::{FindingDetail, details, full_source};
use crate::report::view::View;

/// Letters in a line of a column, and lines in a column, with some room to spare.
const LETTERS: usize = 50;
const COLUMN: usize = 58;
/// Lines of each column that the title of the tab takes on the first page.
const TITLE: usize = 6;

/// The open findings of each page, by their numbers from 1.
pub(super) struct FindingPages(Vec<std::ops::Range<usize>>);

impl FindingPages {
    pub(super) fn new<'f>(
        view: &View<'_>,
        open: impl Iterator<Item = &'f Finding>,
    ) -> FindingPages {
        let needed: Vec<usize> = open.map(|finding| lines(view, finding)).collect();
        let full = dealt(&needed, COLUMN);
        // Pages are about equally full, so that the last is not nearly empty.
        let mut shorter = (TITLE + 1..COLUMN).map(|column| dealt(&needed, column));
        let even = shorter.find(|pages| pages.len() == full.len());
        FindingPages(even.unwrap_or(full))
    }

    /// How many pages there are.
    pub(super) fn count(&self) -> usize {
        self.0.len()
    }

    /// The page of a finding, from 1.
    pub(super) fn of(&self, number: usize) -> usize {
        let before = self.0.iter().take_while(|page| page.end <= number);
        before.count() + 1
    }
}

/// The findings of each page, where a column has so many lines. A finding that fits no column has a page of its own.
fn dealt(needed: &[usize], column: usize) -> Vec<std::ops::Range<usize>> {
    let mut pages: Vec<std::ops::Range<usize>> = Vec::new();
    // What is left of the two columns of the page. The first page has the title of the tab.
    let mut left = [0, 0];
    let mut whole = column.saturating_sub(TITLE);
    for (number, needed) in (1..).zip(needed) {
        if let Some(page) = pages.last_mut() {
            if *needed > left[0] {
                left = [left[1], 0];
            }
            if *needed <= left[0] {
                left[0] -= needed;
                page.end = number + 1;
                continue;
            }
            whole = column;
        }
        pages.push(number..number + 1);
        left = match whole.checked_sub(*needed) {
            Some(rest) => [rest, whole],
            None => [0, 0],
        };
    }
    pages
}

/// How many lines a finding takes.
fn lines(view: &View<'_>, finding: &Finding) -> usize {
    let of = |letters: usize| letters.div_ceil(LETTERS);
    let words = |text: &str| of(text.chars().count());
    let sentences = view.words(finding);
    let source = full_source(finding, &sentences);
    let details = details(view, finding, &sentences, &source);
    let details = details.iter().map(|detail| match detail {
        FindingDetail::Text(label, text) => of(label.len() + 1 + text.chars().count()),
        FindingDetail::Steps(steps) => 1 + steps.iter().map(|step| words(step)).sum::<usize>(),
        FindingDetail::Rows(rows) => of(rows.iter().map(|row| row.len() + 2).sum::<usize>() + 8),
    });
    let head = of(finding.rule.title.len() + finding.subject.id.len() + 30);
    let figures = 2 + words(&sentences.fact) + words(&finding.observed);
    head + figures + details.sum::<usize>() + 1
}

#[cfg(test)]
mod tests {
    use super::dealt;

    #[test]
    fn findings_fill_both_columns_of_a_page() {
        assert_eq!(dealt(&[], 58), []);
        // The title leaves 52 lines of each column.
        assert_eq!(dealt(&[20, 20, 20, 20, 20], 58), [1..5, 5..6]);
        assert_eq!(dealt(&[30, 30, 30, 30], 58), [1..3, 3..5]);
        assert_eq!(dealt(&[200, 10, 58, 48], 58), [1..2, 2..4, 4..5]);
    }
}
