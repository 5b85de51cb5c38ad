//! An entry of the log without its text, so that the entries of a minute can be put in order without a copy of a row.

use super::holding::TrialResult;
use crate::quantity::{Amount, Moment};
use crate::record::{Book, Entry, Fields, Stands, Vessel, What};
use crate::text::{Code, Place, Problem, nearest};

/// The test on glass, the only one with minutes.
pub const GLASS_TEST: &str = "glass";

/// Tests that a log can name in `into`.
const TESTS: [&str; 9] = [
    "glass",
    "nail",
    "water",
    "solubility",
    "residue",
    "cure",
    "look",
    "can",
    "dry",
];

/// A test by its name, however it is written.
pub(super) fn test_named(name: &str) -> Option<&'static str> {
    TESTS
        .iter()
        .find(|test| test.eq_ignore_ascii_case(name))
        .copied()
}

/// Up to so many minutes to dry on glass is a pass, and up to so many a retest (trade magazine and finishers' notes,
/// grade M; the retest band is a judgement).
pub const PASS_MINUTES: u32 = 15;
/// See [`PASS_MINUTES`].
pub const RETEST_MINUTES: u32 = 30;

/// One entry, ready to be replayed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub when: Moment,
    pub what: What,
    pub container: Option<usize>,
    pub amount: Option<Amount>,
    pub target: Option<usize>,
    pub stands: Option<Stands>,
    pub minutes: Option<u32>,
    /// Who did it, by position in the list of people; only of recent uses.
    pub by: Option<u16>,
    pub trial: Option<(&'static str, Option<u32>, TrialResult)>,
    pub at: Place,
}

impl Step {
    /// Makes a step of an entry; a test whose result is not clear is a problem.
    pub fn of(entry: &Entry<'_>, fields: &mut Fields<'_, '_>, book: &Book) -> Option<Step> {
        let trial = if entry.what == What::Test {
            Some(trial(entry, fields, book)?)
        } else {
            None
        };
        Some(Step {
            when: entry.when,
            what: entry.what,
            container: entry.container,
            amount: entry.amount,
            target: entry.target,
            stands: entry.stands,
            minutes: entry.minutes,
            by: None,
            trial,
            at: entry.at,
        })
    }
}

fn trial(
    entry: &Entry<'_>,
    fields: &mut Fields<'_, '_>,
    book: &Book,
) -> Option<(&'static str, Option<u32>, TrialResult)> {
    let cloth = entry
        .container
        .and_then(|c| book.containers.get(c))
        .and_then(|c| c.vessel)
        .is_some_and(Vessel::is_cloth);
    let usual = if cloth { "dry" } else { GLASS_TEST };
    let wanted = if entry.into.is_empty() {
        usual
    } else {
        entry.into
    };
    let Some(test) = test_named(wanted) else {
        let code = Code::WordUnknown {
            column: "into".into(),
            read: wanted.to_string(),
            near: nearest(wanted, TESTS).map(str::to_string),
            known: TESTS.join(", "),
        };
        fields.problems.add(Problem::new(code, fields.place(5)));
        return None;
    };
    // The first word, however it is written: `Failed: tacky` is no pass because it dried in time on the glass.
    let first = entry.note.split(|c: char| !c.is_alphanumeric()).next();
    let first = first.unwrap_or("").to_lowercase();
    let result = if first.starts_with("fail") {
        TrialResult::Fail
    } else if first.starts_with("retest") {
        TrialResult::Retest
    } else if test == GLASS_TEST && entry.minutes.is_some() {
        match entry.minutes {
            Some(minutes) if minutes <= PASS_MINUTES => TrialResult::Pass,
            Some(minutes) if minutes <= RETEST_MINUTES => TrialResult::Retest,
            Some(_) | None => TrialResult::Fail,
        }
    } else if matches!(first.as_str(), "pass" | "passed") {
        TrialResult::Pass
    } else {
        let code = Code::TestResult {
            read: entry.note.to_string(),
        };
        fields.problems.add(Problem::new(code, entry.at));
        return None;
    };
    Some((test, entry.minutes, result))
}
