//! `sandarac log check`: an answer to a question of the round, or yes to all questions of closing time.

use super::args::WithArgs;
use super::taken::fresh_id;
use super::typed;
use crate::audit::Shop;
use crate::check::{Account, ClosingTopic};
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, open, style, writing};
use crate::quantity::Moment;
use crate::record::{ANSWERS, CHECKS, typed_answer};
use crate::store::{Clock, NewRow, Submission};
use crate::text::clean;
use crate::typing::{DayOrder, place, question};
use std::path::Path;

/// The word for all questions of closing time.
const ALL: &str = "all";

/// What is answered.
pub(super) struct Answered<'a> {
    /// The question, or `all`.
    pub question: &'a str,
    /// yes, no or not present, or a short form of it.
    pub answer: &'a str,
    /// What it is about; needed where it is asked of several things.
    pub about: Option<&'a str>,
}

/// Writes one answer, or a yes to each question of closing time that is open.
pub(super) fn run(
    folder: &Path,
    given: &Answered<'_>,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let answer = answer_word(given.answer)?;
    let store = writing::store(folder, &[&CHECKS], with.access(), writing::ANYWAY)?;
    let when = with.moment(now, DayOrder::of_shop(&store.shop.tables.shop))?;
    let at = when.unwrap_or(now);
    let wanted = match given.question.eq_ignore_ascii_case(ALL) {
        true => closing_questions(&store.shop, at, answer)?,
        false => vec![one_question(&store.shop, given)?],
    };
    let (moment, by) = (at.to_string(), with.person());
    let note = with.note.as_deref().unwrap_or_default();
    let rows = wanted.iter().map(|(check, about)| {
        let cells = [
            ("when", moment.as_str()),
            ("check", check),
            ("where", about),
            ("answer", answer),
            ("by", &by),
            ("note", note),
        ];
        NewRow::new(&CHECKS, &cells)
    });
    let clock = Clock {
        now,
        by_clock: when.is_none(),
        anyway: with.anyway,
    };
    let mut rows = Submission::without_id(rows.collect());
    if wanted.len() > 1 {
        rows.id = Some(fresh_id("closing", &store.shop, &moment));
    }
    let plan = store.plan(&[rows], &clock);
    let plan = plan.map_err(|not| writing::failure(not, writing::ANYWAY))?;
    if !with.dry_run {
        store
            .write(&plan)
            .map_err(|not| writing::failure(not, writing::ANYWAY))?;
    }
    let did = if with.dry_run { "would write" } else { "wrote" };
    let mut text = String::new();
    for (check, about) in &wanted {
        let about = if about.is_empty() {
            String::new()
        } else {
            format!(", {}", clean(about))
        };
        text.push_str(&format!("{did}: {check} {answer}{about} at {at}\n"));
    }
    text.push_str(&super::said::told(&plan, style::columns()));
    match with.dry_run {
        true => style::print(&text)?,
        false => style::print(&text).map_err(Failure::after_writing)?,
    }
    Ok(writing::borne(&store, with.dry_run))
}

/// The answer as checks.csv has it.
fn answer_word(typed: &str) -> Result<&'static str, Failure> {
    typed_answer(typed).ok_or_else(|| {
        let words: Vec<&str> = ANSWERS.iter().map(|(word, _)| *word).collect();
        Failure::refused(
            format!("\"{}\" is not an answer.", clean(typed)),
            format!("Answer with one of: {}.", words.join(", ")),
            WRITTEN,
        )
    })
}

/// The question and what it is about, as the tables write them.
fn one_question(shop: &Shop, given: &Answered<'_>) -> Result<(String, String), Failure> {
    let mut check = given.question.to_string();
    let round = &shop.reference.round;
    typed::chosen(question(round, given.question), &mut check, "question")?;
    if round.find(&check).is_none() {
        return Err(Failure::refused(
            format!("There is no question \"{}\" in the round.", clean(&check)),
            "`sandarac round` lists the questions.",
            WRITTEN,
        ));
    }
    let mut about = given.about.unwrap_or_default().to_string();
    if !about.is_empty() {
        typed::chosen(place(&shop.tables, &about, &[]), &mut about, "place")?;
    }
    Ok((check, about))
}

/// The questions of closing time that are not answered yet. Only a yes is given to all at once.
fn closing_questions(
    shop: &Shop,
    at: Moment,
    answer: &str,
) -> Result<Vec<(String, String)>, Failure> {
    if answer != "yes" {
        return Err(Failure::refused(
            "Only a yes can be given to all questions at once.",
            "Answer the others one by one: sandarac log check lids-closed no 'finishing room'",
            WRITTEN,
        ));
    }
    let closing = shop
        .closing(at)
        .map_err(|not| open::failure(not, WRITTEN))?
        .0;
    let asked = closing
        .lines
        .iter()
        .filter(|line| line.about == ClosingTopic::Question && line.standing == Account::Open);
    let list: Vec<(String, String)> = asked
        .map(|line| (line.subject.clone(), line.place.clone()))
        .collect();
    if list.is_empty() {
        return Err(Failure::refused(
            "No question of closing time is open.",
            "`sandarac close` lists them with their answers.",
            WRITTEN,
        ));
    }
    Ok(list)
}
