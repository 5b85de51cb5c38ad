//! The lines of the list of what to do, as data for every format.

use crate::finding::Subject;
use crate::quantity::Day;

/// One line of the list. `text` and `fact` together say all of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ActionLine {
    /// A verb, the thing, where it is: "Label J-9 (shellac, 1 lb cut)."
    pub text: String,
    /// What was found: "J-9 has no label."
    pub fact: String,
    /// The text says all of it, so the fact need not be shown beside it.
    pub says_all: bool,
    /// The fact is about all of the things, and can be read alone.
    pub fact_of_all: bool,
    /// Who undertook it, by an open row of actions.csv.
    pub person: Option<String>,
    /// The day by which it is due.
    pub due: Option<Day>,
    /// That day in words: "by 7 Nov", "overdue since 30 Oct".
    pub deadline: Option<String>,
    /// What asks for it, for small print.
    pub law: String,
    /// The things it is about.
    pub subjects: Vec<Subject>,
    /// The findings behind it, by their position among all.
    pub findings: Vec<usize>,
}

impl ActionLine {
    /// The line as a reader sees it: what to do, and what was found where that adds something.
    pub fn words(&self) -> String {
        let fact = self.fact.as_str();
        let parts = [self.text.as_str(), if self.says_all { "" } else { fact }];
        let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        parts.join(" ")
    }

    /// Who undertook it, and by when: "owner, by 15 Nov".
    pub fn notes(&self) -> String {
        let parts = [self.person.as_deref(), self.deadline.as_deref()];
        let parts: Vec<&str> = parts.into_iter().flatten().collect();
        parts.join(", ")
    }
}

/// What to do, the most dangerous first in each list; rags are always first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ActionList {
    /// The worst fact of the shop.
    pub headline: String,
    /// At once.
    pub now: Vec<ActionLine>,
    /// Before the day is over.
    pub today: Vec<ActionLine>,
    /// Within seven days.
    pub this_week: Vec<ActionLine>,
    /// Facts that are unknown.
    pub find_out: Vec<ActionLine>,
}

impl ActionList {
    /// The lists with their titles, in order.
    pub fn parts(&self) -> [(&'static str, &[ActionLine]); 4] {
        [
            ("Now", &self.now),
            ("Today", &self.today),
            ("This week", &self.this_week),
            ("Find out", &self.find_out),
        ]
    }

    /// Is there nothing to do?
    pub fn is_empty(&self) -> bool {
        self.parts().iter().all(|(_, lines)| lines.is_empty())
    }
}
