//! What multiplies the limit of a rule, as written: increases and shares with the conditions under which they hold.

use super::document::{Section, WithSpan, word};
use crate::pack::PackFault;
use crate::quantity::{Dimension, Exact, Measure};
use crate::text::{Problem, Problems, Span, words};

words! {
    /// What liquid is stored in, where that raises a limit.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum StoredIn {
        ListedCabinet = "rated-cabinet",
        /// A listed cabinet or a safety can.
        ListedCabinetOrSafetyCan = "rated-cabinet-or-safety-can",
    }
}

/// Multiplies the limit when all its conditions hold.
#[derive(Clone, Debug)]
pub struct Adjust {
    /// `yes`: the rooms are sprinklered.
    pub sprinklered: bool,
    /// What all that is counted is stored in.
    pub stored: Option<StoredIn>,
    /// The storeys it is for, as written; empty for any.
    pub levels: Vec<WithSpan<String>>,
    /// A question of the round about the room, and the answer it must have.
    pub answered: Option<(WithSpan<String>, bool)>,
    /// The floor of the room must be larger than this.
    pub floor_over: Option<Measure>,
    pub times: Exact,
    /// Where it is said.
    pub clause: String,
    /// Where it is written.
    pub at: Span,
}

/// Reads every `[[adjust]]` of a rule.
pub(super) fn read_adjust(top: &Section<'_>, problems: &mut Problems) -> Vec<Adjust> {
    let mut list = Vec::new();
    for section in top.list("adjust", problems) {
        let yes = [("yes", true)];
        let sprinklered = section.text("sprinklered", problems);
        let sprinklered = sprinklered.and_then(|told| word(&told, "sprinklered", &yes, problems));
        let stored = section.text("stored", problems);
        let stored = stored.and_then(|told| word(&told, "stored", &StoredIn::WORDS, problems));
        let levels = section.words("level", problems);
        let answered = read_answered(&section, problems);
        let floor_over = section.text("floor_over", problems);
        let floor_over = floor_over.and_then(|told| floor(&told, problems));
        let (times, clause) = (
            section.must("times", problems),
            section.must("clause", problems),
        );
        let times = times.and_then(|told| match Exact::parse(&told.value) {
            // Nothing at all may be allowed in a room that is too large, and nowhere else.
            Ok(times) if times > Exact::ZERO || floor_over.is_some() => Some(times),
            Ok(_) | Err(_) => {
                let code = PackFault::ValueWrong {
                    key: "times".into(),
                    wanted: "a factor of more than zero as text, such as \"2\"".into(),
                };
                problems.add(Problem::new(code, told.at));
                None
            }
        });
        let at = section.at();
        section.done(problems);
        if let (Some(times), Some(clause)) = (times, clause) {
            list.push(Adjust {
                sprinklered: sprinklered.unwrap_or(false),
                stored,
                levels,
                answered,
                floor_over,
                times,
                clause: clause.value,
                at,
            });
        }
    }
    list
}

/// `answer` with the word it must have, yes where `answered` is left out.
fn read_answered(
    section: &Section<'_>,
    problems: &mut Problems,
) -> Option<(WithSpan<String>, bool)> {
    let question = section.text("answer", problems);
    let told = section.text("answered", problems);
    let words = [("yes", true), ("no", false)];
    let yes = told.map(|told| word(&told, "answered", &words, problems).unwrap_or(true));
    question.map(|question| (question, yes.unwrap_or(true)))
}

/// An area of floor.
fn floor(told: &WithSpan<String>, problems: &mut Problems) -> Option<Measure> {
    let measure = Measure::parse_as(&told.value, Dimension::Area).ok();
    if measure.is_none() {
        let code = PackFault::ValueWrong {
            key: "floor_over".into(),
            wanted: "an area as text, such as \"150 ft2\"".into(),
        };
        problems.add(Problem::new(code, told.at));
    }
    measure
}
