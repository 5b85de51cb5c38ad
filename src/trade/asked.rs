//! The round of one shop: each question with each thing it is asked about, when it was answered, and when it is due.

use super::round::{About, Question, Round};
use crate::quantity::{Day, Moment, Period};
use crate::record::{Answer, ShopTables};
use std::collections::HashMap;

/// From one monthly round to the next. What is due before then is done now. (A judgment, no source.)
pub const NEXT_ROUND: Period = Period::Days(31);

/// How often a rule in force wants a question answered, in days or months.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AnswerInterval {
    pub every: Period,
    pub source: String,
}

/// The questions that rules read: for each, what it must be answered about (empty for the shop), and how often by the rules
/// that say so.
pub type Waited = HashMap<String, HashMap<String, Vec<AnswerInterval>>>;

/// A question, asked about one thing.
#[derive(Clone, Debug)]
pub struct Asked<'c> {
    pub question: &'c Question,
    /// How often it must be answered, by the strictest that speaks to it.
    pub every: Period,
    pub source: String,
    /// What it is asked about, as `checks.csv` writes it in `where`; empty for the shop.
    pub about: String,
    /// The last answer: its day, and yes, no, or `None` for "not present".
    pub last: Option<(Day, Option<bool>)>,
    /// The day by which it is to be answered again; the day asked, where it never was or the last answer was no.
    pub due: Day,
}

impl Asked<'_> {
    /// Is it to be done on a round of this day: due by then, or before the next round? What was found in order within the last
    /// quarter of its interval is not asked again, unless it is due.
    pub fn belongs_on(&self, day: Day) -> bool {
        let is_fine = |said: &(Day, Option<bool>)| said.1 != Some(false);
        let is_fresh = self.last.filter(is_fine).is_some_and(|(last, _)| {
            let (gone, whole) = (day.since(last), last.plus(self.every).since(last));
            (0..=whole / 4).contains(&gone)
        });
        self.due <= day || self.due <= day.plus(NEXT_ROUND) && !is_fresh
    }
}

impl Round {
    /// Everything that this shop is to be asked. A question that a rule reads is asked about what the rule waits for: an
    /// answer about anything else would never meet it. The others are asked about what the question itself names.
    pub fn asked<'c>(&'c self, tables: &ShopTables, on: Day, waited: &Waited) -> Vec<Asked<'c>> {
        let mut list = Vec::new();
        for question in &self.questions {
            let mut about: Vec<(String, &[AnswerInterval])> = match waited.get(&question.check) {
                Some(waited) => {
                    let waited = waited.iter();
                    waited
                        .map(|(about, every)| (about.clone(), every.as_slice()))
                        .collect()
                }
                None => {
                    let things = things(tables, question.about).into_iter();
                    things.map(|about| (about, &[][..])).collect()
                }
            };
            about.sort_by(|(a, _), (b, _)| a.cmp(b));
            let about = about.into_iter();
            list.extend(about.map(|(about, every)| asked(tables, on, question, about, every)));
        }
        list
    }
}

/// The names of what a question names by itself.
fn things(tables: &ShopTables, about: About) -> Vec<String> {
    match about {
        About::Shop => vec![String::new()],
        About::Rooms | About::RoomsFor(_) | About::Basements => {
            let meant = tables.rooms.iter().filter(|room| about.means_room(room));
            meant.map(|room| room.id.clone()).collect()
        }
        About::Sites(kind) => {
            let meant = tables.places.iter().filter(|place| place.kind == kind);
            meant.map(|place| place.id.clone()).collect()
        }
        About::Fixtures(kind) => {
            let list = tables.fixtures.iter().flatten();
            let meant = list.filter(|fixture| fixture.kind == kind);
            meant.map(|fixture| fixture.id.clone()).collect()
        }
    }
}

fn asked<'c>(
    tables: &ShopTables,
    on: Day,
    question: &'c Question,
    about: String,
    intervals: &[AnswerInterval],
) -> Asked<'c> {
    let close = Moment::close_of(on);
    let mine = |answer: &&Answer| {
        answer.check == question.check && answer.place == about && answer.when < close
    };
    let last = tables.answers.iter().filter(mine).max_by_key(|a| a.when);
    let fine = last.filter(|answer| answer.answer != Some(false));
    let from = fine.map_or(on, |answer| answer.when.day());
    let strictest = intervals.iter().min_by_key(|rule| from.plus(rule.every));
    // Where no rule says otherwise, the round itself says how often.
    let own = from.plus(question.interval);
    let (every, source) = match strictest.filter(|rule| from.plus(rule.every) != own) {
        Some(rule) => (rule.every, &rule.source),
        None => (question.interval, &question.source),
    };
    let due = fine.map_or(on, |_| from.plus(every));
    Asked {
        question,
        every,
        source: source.clone(),
        about,
        last: last.map(|answer| (answer.when.day(), answer.answer)),
        due,
    }
}
