//! What shows that a thing is there: a fixture, an answer of the round, a cell that says yes.

use super::applies::{AskedThing, deciding_answer, no_fixtures_file};
use crate::fact::{Evidence, Facts, Known};
use crate::finding::{Compared, Detail, Stage};
use crate::pack::WithSpan;
use crate::quantity::when::{date, short_date};
use crate::quantity::{Day, Period};
use crate::record::{Answer, FixtureKind, RoomId};
use crate::text::{Span, the};

/// From one monthly round to the next, with two days of grace.
const ROUND: Period = Period::Days(33);

/// What shows that it is there.
pub(super) enum Sign {
    Fixture(Vec<FixtureKind>),
    Answer(WithSpan<String>),
    /// The room is built for what it holds.
    Listed,
    /// Sprinklers cover the room, by rooms.csv or by the answer to a question.
    Sprinklers(WithSpan<String>),
}

impl Sign {
    /// Is it there, in this room or (with no room) anywhere in the shop?
    pub(super) fn look(
        &self,
        facts: &Facts<'_>,
        thing: AskedThing<'_>,
        at: Span,
    ) -> Known<Compared> {
        let room = thing.room.map(|room| &facts.tables[room]);
        match self {
            Sign::Fixture(kinds) => fixture(facts, kinds, thing.room, at),
            Sign::Answer(question) => answered(facts, &question.value, thing, at),
            Sign::Listed => said(room.and_then(|r| r.listed), "rated", thing.name, at),
            Sign::Sprinklers(question) => {
                let answer = answered(facts, &question.value, thing, at);
                match room.and_then(|room| room.sprinklered) {
                    Some(false) => said(Some(false), "sprinklered", thing.name, at),
                    Some(true) if answer.value().is_none() => {
                        said(Some(true), "sprinklered", thing.name, at)
                    }
                    Some(true) | None => answer,
                }
            }
        }
    }
}

impl Sign {
    /// What a sentence says of it.
    pub(super) fn detail(&self, facts: &Facts<'_>, thing: AskedThing<'_>) -> Detail {
        match self {
            Sign::Fixture(kinds) => Detail::Fixture(kinds.iter().map(|kind| kind.word()).collect()),
            Sign::Answer(question) => answer_detail(facts, &question.value, thing),
            Sign::Listed => Detail::Listing,
            Sign::Sprinklers(_) => Detail::Sprinklers,
        }
    }
}

/// The answer that counts, or that none does any more.
pub(super) fn answer_detail(facts: &Facts<'_>, question: &str, thing: AskedThing<'_>) -> Detail {
    let last = deciding_answer(facts, question, thing);
    let question_name = question.to_string();
    match last {
        Some(given) if !stale(facts, question, given) => Detail::Answered {
            question: question_name,
            day: given.when.day(),
        },
        last => Detail::Unanswered {
            question: question_name,
            last: last.map(|given| given.when.day()),
        },
    }
}

pub(super) fn yes_or_no(
    observed: impl Into<String>,
    holds: bool,
    evidence: Evidence,
) -> Known<Compared> {
    let stage = if holds { Stage::Holds } else { Stage::Broken };
    Known::yes(Compared::plain(observed, "yes", stage), evidence)
}

pub(super) fn said(said: Option<bool>, column: &str, name: &str, at: Span) -> Known<Compared> {
    match said {
        Some(yes) => yes_or_no(if yes { "yes" } else { "no" }, yes, Evidence::at(at)),
        None => Known::gap(
            format!(
                "Record whether {} is {column}, yes or no. The cell is empty.",
                the(name)
            ),
            vec![at],
        ),
    }
}

pub(super) fn answered(
    facts: &Facts<'_>,
    question: &str,
    thing: AskedThing<'_>,
    at: Span,
) -> Known<Compared> {
    let Some(given) = deciding_answer(facts, question, thing) else {
        return Known::gap(ask(facts, question, thing.name, None), vec![at]);
    };
    let day = given.when.day();
    if stale(facts, question, given) {
        let why = ask(facts, question, thing.name, Some(day));
        return Known::gap(why, vec![given.at]);
    }
    let (word, holds) = match given.answer {
        Some(true) => ("yes", true),
        Some(false) => ("no", false),
        None => {
            let question = facts.reference.round.find(question);
            ("not present", question.is_some_and(|q| q.may_be_absent))
        }
    };
    yes_or_no(
        format!("{word}, on {}", date(day)),
        holds,
        Evidence::at(given.at),
    )
}

/// What to do about a question without an answer that counts; `about` is a thing, or empty for the whole shop.
pub(super) fn ask(facts: &Facts<'_>, question: &str, about: &str, last: Option<Day>) -> String {
    let found = facts.reference.round.find(question);
    let asked = found.map_or_else(|| question.to_string(), |q| format!("\"{}\"", q.question));
    let place = match about {
        "" => String::new(),
        name => format!(" for {}", the(name)),
    };
    let last = match last {
        Some(day) => format!("It was last answered on {}.", short_date(day, facts.on())),
        None => "No answer is on record.".into(),
    };
    format!("Answer {asked} in the round{place}. {last}")
}

/// A yes counts for the interval of its question, and at least until the next monthly round. (The least span is a judgment,
/// no source.)
fn stale(facts: &Facts<'_>, question: &str, given: &Answer) -> bool {
    given.answer != Some(false) && past_due(facts, question, given)
}

/// Is the answer that counts recent enough, whatever it says?
pub(super) fn in_date(facts: &Facts<'_>, question: &str, thing: AskedThing<'_>) -> bool {
    deciding_answer(facts, question, thing).is_some_and(|given| !past_due(facts, question, given))
}

fn past_due(facts: &Facts<'_>, question: &str, given: &Answer) -> bool {
    let round = given.when.day().plus(ROUND);
    let due = facts
        .reference
        .round
        .find(question)
        .map_or(round, |q| given.when.day().plus(q.interval).max(round));
    facts.on() > due
}

fn fixture(
    facts: &Facts<'_>,
    kinds: &[FixtureKind],
    room: Option<RoomId>,
    at: Span,
) -> Known<Compared> {
    let Some(list) = &facts.tables.fixtures else {
        return no_fixtures_file(facts).outcome;
    };
    let found = list
        .iter()
        .find(|f| kinds.contains(&f.kind) && (room.is_none() || f.room == room));
    match found {
        Some(fixture) => yes_or_no(
            format!("yes: {}", fixture.id),
            true,
            Evidence::at(fixture.at),
        ),
        None => {
            let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
            let observed = format!("no {} in fixtures.csv", words.join(" or "));
            yes_or_no(observed, false, Evidence::at(at))
        }
    }
}
