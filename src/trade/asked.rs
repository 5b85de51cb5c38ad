//! The walk-round of one shop: each question with each thing it is asked about, when it was answered, and when it is due.

use super::round::{About, Question, Round};
use crate::quantity::{Day, Moment, Period};
use crate::record::{Answer, ShopTables};
use std::collections::HashSet;

/// From one monthly round to the next. What falls due before then is done now. (A judgement, no source.)
pub const NEXT_ROUND: Period = Period::Days(31);

/// A question, asked about one thing.
#[derive(Clone, Debug)]
pub struct Asked<'c> {
    /// The question.
    pub question: &'c Question,
    /// What it is asked about, as `checks.csv` writes it in `where`; empty for the shop.
    pub about: String,
    /// The last answer: its day, and yes, no, or `None` for "not present".
    pub last: Option<(Day, Option<bool>)>,
    /// The day by which it is to be answered again; the day asked, where it never was or the last answer was no.
    pub due: Day,
}

impl Asked<'_> {
    /// Is it to be done on a round of this day: due by then, or before the next round?
    pub fn belongs_on(&self, day: Day) -> bool {
        self.due <= day.plus(NEXT_ROUND)
    }
}

impl Round {
    /// Everything that this shop is to be asked. `waited` are the questions that rules wait for, with what each is about:
    /// an answer about anything else would never meet its rule. `read` are all questions that some rule of the shop's
    /// packs reads; one of them that waits for nothing here is not asked. The others are asked about what the question
    /// itself names.
    pub fn asked<'c>(
        &'c self,
        tables: &ShopTables,
        on: Day,
        read: &HashSet<&str>,
        waited: &HashSet<(String, String)>,
    ) -> Vec<Asked<'c>> {
        let mut list = Vec::new();
        for question in &self.questions {
            let mut about: Vec<String> = if read.contains(question.check.as_str()) {
                let mine = waited.iter().filter(|(check, _)| *check == question.check);
                mine.map(|(_, about)| about.clone()).collect()
            } else {
                things(tables, question.about)
            };
            about.sort();
            list.extend(
                about
                    .into_iter()
                    .map(|about| asked(tables, on, question, about)),
            );
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

fn asked<'c>(tables: &ShopTables, on: Day, question: &'c Question, about: String) -> Asked<'c> {
    let close = Moment::close_of(on);
    let mine = |answer: &&Answer| {
        answer.check == question.check && answer.place == about && answer.when < close
    };
    let last = tables.answers.iter().filter(mine).max_by_key(|a| a.when);
    let due = match last {
        Some(answer) if answer.answer != Some(false) => answer.when.day().plus(question.interval),
        Some(_) | None => on,
    };
    Asked {
        question,
        about,
        last: last.map(|answer| (answer.when.day(), answer.answer)),
        due,
    }
}
