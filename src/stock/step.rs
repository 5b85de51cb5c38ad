//! An entry of the log without its text, so that the entries of a minute can be put in order without a copy of a row.

use super::container_state::TrialResult;
use crate::quantity::{Amount, Moment};
use crate::record::{Entry, Fields, Location, Position, ShopTables, Vessel, What};
use crate::stock::StockFault;
use crate::text::{CellFault, Problem, Span, nearest};

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
fn test_named(name: &str) -> Option<&'static str> {
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

/// A test that was made.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tried {
    /// Its position in [`TESTS`].
    test: u8,
    pub minutes: Option<u32>,
    pub result: TrialResult,
}

impl Tried {
    /// Its name.
    pub fn test(self) -> &'static str {
        TESTS.get(usize::from(self.test)).copied().unwrap_or("?")
    }
}

/// One entry, ready to be replayed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub when: Moment,
    pub what: What,
    pub container: Option<Position>,
    pub amount: Option<Amount>,
    pub target: Option<Position>,
    pub place: Option<Position>,
    pub room: Option<Position>,
    pub minutes: Option<u32>,
    /// Who did it, by position in the list of people; only of recent uses.
    pub by: Option<u16>,
    pub trial: Option<Tried>,
    pub at: Span,
}

impl Step {
    /// The container it is about, by position.
    pub fn container(&self) -> Option<usize> {
        self.container.map(Position::at)
    }

    /// The other container, by position.
    pub fn target(&self) -> Option<usize> {
        self.target.map(Position::at)
    }

    /// Where it was done, if that is said.
    pub fn location(&self) -> Option<Location> {
        Location::of(self.place, self.room)
    }

    /// Makes a step of an entry; a test whose result is not clear is a problem.
    // Inlined for the reason that `read_entry` is.
    #[inline(always)]
    pub fn of(entry: &Entry<'_>, fields: &mut Fields<'_, '_>, tables: &ShopTables) -> Option<Step> {
        let trial = if entry.what == What::Test {
            Some(trial(entry, fields, tables)?)
        } else {
            None
        };
        Some(Step {
            when: entry.when,
            what: entry.what,
            container: entry.container,
            amount: entry.amount,
            target: entry.target,
            place: entry.place,
            room: entry.room,
            minutes: entry.minutes,
            by: None,
            trial,
            at: entry.at,
        })
    }
}

fn trial(entry: &Entry<'_>, fields: &mut Fields<'_, '_>, tables: &ShopTables) -> Option<Tried> {
    let cloth = entry
        .container
        .and_then(|c| tables.containers.get(c.at()))
        .and_then(|c| c.vessel)
        .is_some_and(Vessel::is_cloth);
    let usual = if cloth { "dry" } else { GLASS_TEST };
    let wanted = if entry.into.is_empty() {
        usual
    } else {
        entry.into
    };
    let Some(test) = test_named(wanted) else {
        let code = CellFault::WordUnknown {
            column: "into".into(),
            read: wanted.to_string(),
            near: nearest(wanted, TESTS).map(str::to_string),
            known: TESTS.join(", "),
        };
        fields.problems.add(Problem::new(code, fields.span(5)));
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
        let code = StockFault::TestResult {
            read: entry.note.to_string(),
        };
        fields.problems.add(Problem::new(code, entry.at));
        return None;
    };
    let position = TESTS.iter().position(|known| *known == test)?;
    Some(Tried {
        test: u8::try_from(position).ok()?,
        minutes: entry.minutes,
        result,
    })
}
