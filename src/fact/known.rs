//! An answer with the cells it rests on, or why there is none and where to look.

use crate::pack::Seen;
use crate::text::Span;
use std::sync::Arc;

/// What an answer rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Rows and cells.
    pub places: Vec<Span>,
    /// The weakest way in which a part of it was seen.
    pub seen: Seen,
    /// What a reader must be told about it.
    pub said: Vec<Arc<str>>,
}

/// A value and its evidence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact<T> {
    pub value: T,
    /// What it rests on.
    pub evidence: Evidence,
}

/// Why something is unknown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// In words, with what to give.
    pub because: String,
    /// Where it could be written.
    pub look: Vec<Span>,
}

/// An answer, or why there is none. There is no `unwrap_or`, on purpose.
#[must_use]
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Known<T> {
    Yes(Fact<T>),
    /// Why there is none.
    No(Gap),
}

impl Evidence {
    /// It rests on one place that the user wrote.
    pub fn at(place: Span) -> Evidence {
        Evidence {
            places: vec![place],
            seen: Seen::Text,
            said: Vec::new(),
        }
    }

    /// It rests on nothing that was written.
    pub fn none() -> Evidence {
        Evidence {
            places: Vec::new(),
            seen: Seen::Text,
            said: Vec::new(),
        }
    }

    /// Joins more evidence: places add up, the weakest seen counts. Of many places a few may appear twice.
    pub fn join(&mut self, other: &Evidence) {
        for place in &other.places {
            self.add(*place);
        }
        for said in &other.said {
            if !self.said.contains(said) {
                self.said.push(said.clone());
            }
        }
        self.seen = self.seen.max(other.seen);
    }

    /// Adds a place; whether it is there already is looked for only among the last few.
    pub fn add(&mut self, place: Span) {
        let recent = self.places.len().saturating_sub(16);
        if !self
            .places
            .get(recent..)
            .unwrap_or_default()
            .contains(&place)
        {
            self.places.push(place);
        }
    }
}

impl<T> Known<T> {
    /// Known, from one place.
    pub fn at(value: T, place: Span) -> Known<T> {
        Known::Yes(Fact {
            value,
            evidence: Evidence::at(place),
        })
    }

    /// Known, on this evidence.
    pub fn yes(value: T, evidence: Evidence) -> Known<T> {
        Known::Yes(Fact { value, evidence })
    }

    /// The same, resting on something else that was seen in this way too.
    pub fn seen_as(mut self, seen: Seen) -> Known<T> {
        if let Known::Yes(fact) = &mut self {
            fact.evidence.seen = fact.evidence.seen.max(seen);
        }
        self
    }

    /// Not known: the arithmetic would need more digits than are kept.
    pub fn too_fine(look: Vec<Span>) -> Known<T> {
        Known::gap(
            "Record the amounts with fewer digits. They cannot be added exactly.",
            look,
        )
    }

    /// Not known.
    pub fn gap(because: impl Into<String>, look: Vec<Span>) -> Known<T> {
        Known::No(Gap {
            because: because.into(),
            look,
        })
    }

    /// The value, where it is known.
    pub fn value(&self) -> Option<&T> {
        match self {
            Known::Yes(fact) => Some(&fact.value),
            Known::No(_) => None,
        }
    }
}
