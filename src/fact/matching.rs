//! Whether a thing is meant: yes, no, or unknown and why; and how such answers go together.

use super::known::Known;
use crate::pack::{PackFault, Select, WithSpan, word};
use crate::text::{Problem, Problems};

/// Whether a thing is meant by a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Match {
    /// It is.
    Yes,
    /// It is not.
    No,
    /// It is unknown, and why.
    Unknown(String),
}

/// The things that a list of words names; unknown words are problems.
pub(super) fn all<T: Copy>(
    words: &[WithSpan<String>],
    key: &str,
    list: &[(&str, T)],
    problems: &mut Problems,
) -> Vec<T> {
    let known = words.iter();
    known
        .filter_map(|told| word(told, key, list, problems))
        .collect()
}

/// A word that is selected and excluded selects nothing: the rule would never apply.
pub(super) fn both_ways(select: &Select, [key, other]: [&str; 2], problems: &mut Problems) {
    let excluded = select.words(other);
    let also = |told: &&WithSpan<String>| {
        let mut excluded = excluded.iter();
        excluded.any(|word| word.value.eq_ignore_ascii_case(&told.value))
    };
    for told in select.words(key).iter().filter(also) {
        let fault = PackFault::ValueWrong {
            key: key.to_string(),
            wanted: format!("\"{}\" in only one of {key} and {other}", told.value),
        };
        problems.add(Problem::new(fault, told.at));
    }
}

pub(super) fn known<T: PartialEq + Copy>(wanted: &[T], is: &Known<T>) -> Match {
    match is {
        Known::Yes(fact) => test(wanted, Some(fact.value), String::new),
        Known::No(gap) => test(wanted, None, || gap.because.clone()),
    }
}

pub(super) fn test<T: PartialEq>(
    wanted: &[T],
    is: Option<T>,
    unknown: impl FnOnce() -> String,
) -> Match {
    match is {
        _ if wanted.is_empty() => Match::Yes,
        Some(is) if wanted.contains(&is) => Match::Yes,
        Some(_) => Match::No,
        None => Match::Unknown(unknown()),
    }
}

pub(super) fn shun<T: PartialEq>(
    unwanted: &[T],
    is: Option<T>,
    unknown: impl FnOnce() -> String,
) -> Match {
    match test(unwanted, is, unknown) {
        _ if unwanted.is_empty() => Match::Yes,
        Match::Yes => Match::No,
        Match::No => Match::Yes,
        unknown @ Match::Unknown(_) => unknown,
    }
}

/// A definite no outweighs what is unknown.
pub(super) fn both(first: Match, second: impl FnOnce() -> Match) -> Match {
    match first {
        Match::No => Match::No,
        Match::Yes => second(),
        Match::Unknown(why) => match second() {
            Match::No => Match::No,
            Match::Yes | Match::Unknown(_) => Match::Unknown(why),
        },
    }
}
