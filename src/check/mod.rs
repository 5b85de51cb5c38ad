//! The kinds of check: a closed list. A rule is data; a kind is one file here and one line in [`KINDS`].

mod age_at_most;
mod air_at_least;
mod apart_at_least;
mod at_once;
mod bind;
mod closing;
mod closing_bench;
mod closing_list;
mod closing_rags;
mod closing_round;
mod count_agrees;
mod dilution_at_least;
mod due_within;
mod each_at_most;
mod exposure_at_most;
mod fault;
mod kept_within;
mod must_have;
mod names;
mod never_together;
mod not_in_place;
mod objection;
mod rags_secured;
mod run;
mod session_air;
mod shelf;
mod total_at_most;
mod vessel_size;
mod within_capacity;
mod within_reach;

use crate::fact::{Facts, Known, Working};
use crate::finding::{Compared, Subject};
use crate::pack::{Adjust, Citation};
use crate::quantity::{Day, Dimension, Measure};

pub use bind::{Bound, bind};
pub use closing::closing;
pub use closing_list::{Account, Closing, ClosingLine, ClosingTopic};
pub use count_agrees::COUNT_AGREES;
pub use fault::CheckFault;
pub use names::bind_all;
pub use objection::{Objections, objections};
pub use run::{Checked, check_rules};
pub use shelf::{Fit, Standing, standing};
pub use vessel_size::{VesselSize, vessel_sizes};
pub use within_reach::reach;

/// What a check found for one subject, before any verdict.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What it is about.
    pub subject: Subject,
    /// What is compared with what, or why it cannot be.
    pub outcome: Known<Compared>,
    /// The arithmetic.
    pub working: Working,
    /// Something to do, more exact than the rule's own words.
    pub advice: Option<String>,
    /// A citation of its own, where the limit comes from a table and not from the rule.
    pub source: Option<(String, String)>,
}

/// The limit of a rule as it holds on the day.
pub struct Limit<'r> {
    /// One value for all, if the kind compares a number.
    pub value: Option<&'r Measure>,
    /// Values by class, as positions in the pack's scheme.
    pub by_class: Vec<(usize, &'r Measure)>,
    /// What multiplies it.
    pub adjust: &'r [Adjust],
    /// Where it comes from.
    pub citation: &'r Citation,
    /// Since when it holds.
    pub since: Day,
}

/// A key that a kind reads, the words it takes (none: any text), and whether it must be there.
pub struct OptionKey {
    /// The key.
    pub key: &'static str,
    /// The words.
    pub words: &'static [&'static str],
    /// Must it be there?
    pub must: bool,
}

/// One kind of check.
pub struct CheckKind {
    /// The word of the rule files.
    pub name: &'static str,
    /// The question it asks.
    pub asks: &'static str,
    /// What its limit must measure; empty if it compares no number.
    pub limit: &'static [Dimension],
    /// Whether the limit may differ by class.
    pub by_class: bool,
    /// Keys it reads besides those of every rule.
    pub options: &'static [OptionKey],
    /// Which of `[with]`, `[never]` and `fixture` it needs.
    pub needs: &'static [&'static str],
    /// When it cannot judge.
    pub unknown: &'static str,
    /// What its arithmetic follows, outside this project.
    pub source: &'static str,
    /// Looks at the facts; at least one for each subject, none where nothing is meant.
    pub observe: fn(&Bound<'_>, &Facts<'_>, &Limit<'_>) -> Vec<Judged>,
}

/// Every kind there is. Documentation, binding and tests derive from this list.
pub static KINDS: &[&CheckKind] = &[
    &total_at_most::KIND,
    &each_at_most::KIND,
    &air_at_least::KIND,
    &dilution_at_least::KIND,
    &exposure_at_most::KIND,
    &age_at_most::KIND,
    &kept_within::KIND,
    &due_within::KIND,
    &must_have::KIND,
    &not_in_place::KIND,
    &never_together::KIND,
    &apart_at_least::KIND,
    &within_reach::KIND,
    &rags_secured::KIND,
    &count_agrees::KIND,
    &within_capacity::KIND,
];

impl Judged {
    /// A finding-to-be with the rule's own words.
    pub fn new(subject: Subject, outcome: Known<Compared>, working: Working) -> Judged {
        Judged {
            subject,
            outcome,
            working,
            advice: None,
            source: None,
        }
    }
}
