//! On which printed page of tab 8 each open finding is, so that references can give it. A browser cannot number references, so
//! the findings are dealt out to pages here, by a careful estimate of how long each is; a page that runs over keeps its number.

use crate::finding::Finding;
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
    let cited = &finding.citation;
    let source = cited.document.len() + cited.edition.len() + cited.clause.len() + 60;
    let rows: usize = view.places(finding).iter().map(|row| row.len() + 2).sum();
    let working: usize = finding.working.iter().map(|step| words(step)).sum();
    let said: usize = finding.said.iter().map(|said| words(said)).sum();
    let accepted = finding
        .accepted
        .as_ref()
        .map_or(0, |accepted| of(accepted.why.len() + 60));
    let head = of(finding.title.len() + finding.subject.id.len() + 30) + 1;
    let sentences = view.words(finding);
    let figures = 2 + words(&sentences.fact) + words(&finding.observed);
    let to_do = match sentences.task == sentences.fact {
        true => 0,
        false => words(&sentences.task),
    };
    let in_detail = match finding.action == sentences.task {
        true => 0,
        false => words(&finding.action),
    };
    let text = to_do + in_detail + words(&finding.why);
    head + figures + said + working + text + accepted + of(source) + of(rows + 8) + 1
}
