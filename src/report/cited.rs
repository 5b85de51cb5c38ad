//! The documents that the findings of an audit rest on, and how their values were seen.

use crate::finding::Finding;
use crate::pack::Seen;
use std::collections::BTreeMap;

pub(super) struct CitedDocument<'f> {
    pub title: &'f str,
    pub edition: &'f str,
    /// Findings whose value was read in the text itself, known through a third party, and from memory.
    seen: [usize; 3],
}

impl CitedDocument<'_> {
    /// Findings that cite it.
    pub fn findings(&self) -> usize {
        self.seen.iter().sum()
    }

    /// How their values were seen, in words: `64 by the text itself, 32 through a third party, 1 from memory`.
    pub fn told(&self) -> String {
        let [text, secondary, memory] = self.seen;
        let parts = [
            (text, "by the text itself"),
            (secondary, "through a third party"),
            (memory, "from memory, not confirmed"),
        ];
        let there = parts.iter().filter(|(count, _)| *count > 0);
        let words: Vec<String> = there.map(|(count, how)| format!("{count} {how}")).collect();
        words.join(", ")
    }
}

/// All of them, by title and edition.
pub(super) fn documents(findings: &[Finding]) -> Vec<CitedDocument<'_>> {
    let mut list: BTreeMap<(&str, &str), [usize; 3]> = BTreeMap::new();
    for cited in findings.iter().map(|finding| &finding.citation) {
        let key = (cited.document.as_str(), cited.edition.as_str());
        let [text, secondary, memory] = list.entry(key).or_default();
        *match cited.seen {
            Seen::Text => text,
            Seen::Secondary => secondary,
            Seen::Memory => memory,
        } += 1;
    }
    let each = list.into_iter();
    each.map(|((title, edition), seen)| CitedDocument {
        title,
        edition,
        seen,
    })
    .collect()
}
