//! On which printed page of tab 8 each open finding is, so that references can give it. A browser cannot number references, so
//! the findings are dealt out to pages here, by a careful estimate of how long each is; a page that runs over keeps its number.

use crate::finding::Finding;
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
