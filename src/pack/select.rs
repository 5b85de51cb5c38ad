//! The sections of a rule file that select what the rule is about.

use super::document::{Section, WithSpan};
use super::fault::PackFault;
use crate::text::{Problem, Problems, Span};

/// Words that select what a rule is about; a key left out selects everything.
#[derive(Clone, Debug)]
pub struct Select {
    /// Key and words, as written.
    pub keys: Vec<(&'static str, Vec<WithSpan<String>>)>,
    /// Where the section is.
    pub at: Span,
}

impl Select {
    /// The keys that may stand in `[where]`, `[with]` and `[never]`: seven about places, nine about what a container is and
    /// holds, one about fixtures.
    pub const KEYS: [&'static str; 17] = [
        "place",
        "not_place",
        "rated",
        "room",
        "not_room",
        "room_rated",
        "level",
        "class",
        "vessel",
        "kind",
        "contains",
        "drying_oil",
        "hazard",
        "finish_kept_over",
        "opened",
        "larger_than",
        "fixture",
    ];

    /// The words of a key.
    pub fn words(&self, key: &str) -> &[WithSpan<String>] {
        self.keys
            .iter()
            .find(|(name, _)| *name == key)
            .map_or(&[], |(_, words)| words)
    }
}

pub(super) fn read_select(section: Section<'_>, problems: &mut Problems) -> Select {
    let mut select = Select {
        keys: Vec::new(),
        at: section.at(),
    };
    for key in Select::KEYS {
        let before = problems.count();
        let words = section.words(key, problems);
        if !words.is_empty() {
            select.keys.push((key, words));
        } else if section.has(key) && problems.count() == before {
            // An empty list would be taken for a key that is left out, which selects everything.
            let fault = PackFault::ValueWrong {
                key: key.to_string(),
                wanted: "at least one word, or leave the key out".to_string(),
            };
            problems.add(Problem::new(fault, section.at()));
        }
    }
    section.done(problems);
    select
}
