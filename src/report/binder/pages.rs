//! The printed page of tab 8 on which each open finding appears, for references to it. A browser cannot number references, so
//! this file estimates the length of each finding and assigns it to a page. A page that runs over keeps its number.

use crate::finding::Finding;
use crate::report::finding_details::{FindingDetail, details, full_source};
use crate::report::view::View;

/// Letters in a line of a column, and lines in the two columns of a page, with room for columns of unequal length.
const LETTERS: usize = 50;
const LINES: usize = 102;
/// By how much a page may be fuller than the average, and what the title of the tab takes.
const SLACK: usize = 10;
const TITLE: usize = 12;

/// The open findings of each page, by their numbers from 1.
pub(super) struct FindingPages(Vec<std::ops::Range<usize>>);

impl FindingPages {
    pub(super) fn new<'f>(
        view: &View<'_>,
        open: impl Iterator<Item = &'f Finding>,
    ) -> FindingPages {
        let mut pages: Vec<std::ops::Range<usize>> = Vec::new();
        let needed: Vec<usize> = open.map(|finding| lines(view, finding)).collect();
        let all: usize = needed.iter().sum();
        // Pages are about equally full, so that the last is not nearly empty.
        let each = all / all.div_ceil(LINES).max(1);
        let most = (each + SLACK).min(LINES);
        // The first page has the title of the tab.
        let mut left = most.saturating_sub(TITLE);
        for (number, needed) in (1..).zip(needed) {
            match pages.last_mut() {
                Some(page) if needed <= left => page.end = number + 1,
                Some(_) => {
                    pages.push(number..number + 1);
                    left = most;
                }
                None => pages.push(number..number + 1),
            }
            left = left.saturating_sub(needed);
        }
        FindingPages(pages)
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
    let head = of(finding.title.len() + finding.subject.id.len() + 30);
    let figures = 2 + words(&sentences.fact) + words(&finding.observed);
    head + figures + details.sum::<usize>() + 1
}
