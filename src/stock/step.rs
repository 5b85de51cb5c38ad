//! An entry of the log without its text, so that the entries of a minute can be put in order without a copy of a row.

use super::container_state::{Trial, TrialResult};
use super::fault::StockFault;
use crate::quantity::{Amount, Moment};
use crate::record::{
    ContainerId, Entry, Fields, Location, PlaceId, RagSource, RoomId, ShopTables, Vessel, What,
};
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

/// Up to so many minutes to dry on glass is a pass, and up to so many a retest (trade magazine and finishers' notes,
/// grade M; the retest band is a judgment).
pub const PASS_MINUTES: u32 = 15;
/// See [`PASS_MINUTES`].
pub const RETEST_MINUTES: u32 = 30;

/// A test that was made.
#[derive(Clone, Copy, Debug)]
pub(super) struct TestMade {
    test: &'static str,
    minutes: Option<u32>,
    pub result: TrialResult,
}

/// One entry, ready to be applied.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub when: Moment,
    pub what: What,
    pub container: Option<ContainerId>,
    pub amount: Option<Amount>,
    pub target: Option<ContainerId>,
    pub place: Option<PlaceId>,
    pub room: Option<RoomId>,
    pub minutes: Option<u32>,
    /// Who did it, by position in the list of people; only of recent uses.
    pub by: Option<u16>,
    /// The test that was made.
    pub test: Option<TestMade>,
    /// Which rags are taken, the entry that soiled them by position.
    pub from: Option<RagSource<u32>>,
    /// The position of this entry among those that soiled rags.
    pub soiling: Option<u32>,
    /// Rags that are discarded leave the building as hazardous waste.
    pub hazardous_waste: bool,
    pub at: Span,
}

#[cfg(test)]
impl TestMade {
    pub fn of_cloth(result: TrialResult) -> TestMade {
        TestMade {
            test: "dry",
            minutes: None,
            result,
        }
    }
}

impl Step {
    /// The step that an entry asks for; a test whose result is not clear is a problem.
    // Inlined for the reason that `read_entry` is.
    #[inline(always)]
    pub fn new(
        entry: &Entry<'_>,
        fields: &mut Fields<'_, '_>,
        tables: &ShopTables,
    ) -> Option<Step> {
        let test = if entry.what == What::Test {
            Some(test_made(entry, fields, tables)?)
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
            test,
            from: None,
            soiling: None,
            hazardous_waste: entry.hazardous_waste,
            at: entry.at,
        })
    }

    /// Where it was done, if that is said.
    pub fn location(&self) -> Option<Location> {
        Location::named(self.place, self.room)
    }

    /// The test that was made, if it was one.
    pub fn trial(&self) -> Option<Trial> {
        self.test.map(|made| Trial {
            day: self.when.day(),
            test: made.test,
            minutes: made.minutes,
            result: made.result,
            at: self.at,
        })
    }
}

fn test_made(
    entry: &Entry<'_>,
    fields: &mut Fields<'_, '_>,
    tables: &ShopTables,
) -> Option<TestMade> {
    let vessel = entry
        .container
        .and_then(|container| tables[container].vessel);
    let wanted = match entry.into {
        "" if vessel.is_some_and(Vessel::is_cloth) => "dry",
        "" => GLASS_TEST,
        named => named,
    };
    let mut tests = TESTS.into_iter();
    let Some(test) = tests.find(|test| test.eq_ignore_ascii_case(wanted)) else {
        let fault = CellFault::WordUnknown {
            column: "into".into(),
            read: wanted.to_string(),
            near: nearest(wanted, TESTS).map(str::to_string),
            known: TESTS.join(", "),
        };
        let at = fields.span(5);
        fields.problems.add(Problem::new(fault, at));
        return None;
    };
    let Some(result) = trial_result(test, entry) else {
        let read = entry.note.to_string();
        let fault = StockFault::TestResult { read };
        fields.problems.add(Problem::new(fault, entry.at));
        return None;
    };
    Some(TestMade {
        test,
        minutes: entry.minutes,
        result,
    })
}

/// How a test went, by the first word of the note, and on glass by the minutes. The word goes first: `Failed: tacky` is no
/// pass because it dried in time.
fn trial_result(test: &str, entry: &Entry<'_>) -> Option<TrialResult> {
    let first = entry.note.split(|c: char| !c.is_alphanumeric()).next();
    let first = first.unwrap_or("").to_lowercase();
    if first.starts_with("fail") {
        return Some(TrialResult::Fail);
    }
    if first.starts_with("retest") {
        return Some(TrialResult::Retest);
    }
    match entry.minutes.filter(|_| test == GLASS_TEST) {
        Some(minutes) if minutes <= PASS_MINUTES => Some(TrialResult::Pass),
        Some(minutes) if minutes <= RETEST_MINUTES => Some(TrialResult::Retest),
        Some(_) => Some(TrialResult::Fail),
        None => matches!(first.as_str(), "pass" | "passed").then_some(TrialResult::Pass),
    }
}
