//! `sandarac log check`: an answer to a question of the round, or yes to all questions of closing time.

use super::args::{CheckArgs, WithArgs};
use super::draft::TypedOptions;
use super::taken::fresh_id;
use super::typed;
use crate::audit::Shop;
use crate::check::{Account, ClosingTopic};
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, open, style, writing};
use crate::quantity::Moment;
use crate::record::{ANSWERS, CHECKS, typed_answer};
use crate::report::words::moment as said_moment;
use crate::store::{Clock, NewRow, Submission};
use crate::text::{clean, nearest, shell_word};
use crate::typing::{DayOrder, place, question};
use std::path::Path;

/// The word for all questions of closing time.
const ALL: &str = "all";

/// Writes one answer, or a yes to each question of closing time that is open.
pub(super) fn run(
    folder: &Path,
    given: &CheckArgs,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let store = writing::store(folder, &[&CHECKS], with.access(), writing::ANYWAY)?;
    let when = with.moment(now, DayOrder::of_shop(&store.shop.tables.shop))?;
    let at = when.unwrap_or(now);
    let (wanted, answer) = match given.question.eq_ignore_ascii_case(ALL) {
        true => (
            closing_questions(&store.shop, at, &given.answer)?,
            answer_word("yes")?,
        ),
        false => {
            let (question, answer) = one_question(&store.shop, given, with)?;
            (vec![question], answer)
        }
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
    let not_written = |not| writing::failure(not, writing::ANYWAY);
    let plan = store.plan(&[rows], &clock).map_err(not_written)?;
    if !with.dry_run {
        store.write(&plan).map_err(not_written)?;
    }
    let did = if with.dry_run { "Would write" } else { "Wrote" };
    let shown = said_moment(at, store.shop.tables.shop.us);
    let mut text: String = wanted
        .iter()
        .map(|(check, about)| match about.as_str() {
            "" => format!("{did}: {check} {answer} ({shown})\n"),
            about => format!("{did}: {check} {answer}, {} ({shown})\n", clean(about)),
        })
        .collect();
    text.push_str(&super::said::told(&plan, style::columns()));
    super::printed(&text, with)?;
    Ok(writing::borne(&store, with.dry_run))
}

/// The answer as checks.csv has it.
fn answer_word(typed: &str) -> Result<&'static str, Failure> {
    typed_answer(typed).ok_or_else(|| {
        let (wrong, fix) = no_answer(typed);
        Failure::refused(wrong, fix, WRITTEN)
    })
}

fn no_answer(typed: &str) -> (String, String) {
    let words: Vec<&str> = ANSWERS.iter().map(|(word, _)| *word).collect();
    (
        format!("\"{}\" is not an answer.", clean(typed)),
        format!("Answer with one of: {}.", words.join(", ")),
    )
}

/// The fix for a word that is not known.
fn did_you_mean(near: Option<&str>, else_fix: &str) -> String {
    near.map_or_else(
        || else_fix.to_string(),
        |near| format!("Did you mean \"{}\"?", clean(near)),
    )
}

/// A question with what it is about, and the answer, as the tables write them. All faults are reported together, with a
/// command in which each is repaired.
fn one_question(
    shop: &Shop,
    given: &CheckArgs,
    with: &WithArgs,
) -> Result<((String, String), &'static str), Failure> {
    let mut check = given.question.clone();
    let mut about = given.about.clone().unwrap_or_default();
    let round = &shop.reference.round;
    typed::chosen(question(round, &given.question), &mut check, "question")?;
    if !about.is_empty() {
        typed::chosen(place(&shop.tables, &about, &[]), &mut about, "place")?;
    }
    let mut faults: Vec<(String, String)> = Vec::new();
    let mut meant = (Some(check.clone()), Some(about.clone()));
    if round.find(&check).is_none() {
        let names = round.questions.iter().map(|known| known.check.as_str());
        meant.0 = nearest(&check, names).map(str::to_string);
        faults.push((
            format!("There is no question \"{}\" in the round.", clean(&check)),
            did_you_mean(meant.0.as_deref(), "`sandarac round` lists the questions."),
        ));
    }
    if !about.is_empty() && !things(shop).any(|thing| thing == about) {
        meant.1 = nearest(&about, things(shop)).map(str::to_string);
        faults.push((
            format!("There is no place, room or fixture \"{}\".", clean(&about)),
            did_you_mean(
                meant.1.as_deref(),
                "Name a room, a place or a fixture of the shop.",
            ),
        ));
    }
    let answer = typed_answer(&given.answer);
    if answer.is_none() {
        faults.push(no_answer(&given.answer));
    }
    if let (Some(answer), []) = (answer, faults.as_slice()) {
        return Ok(((check, about), answer));
    }
    let mut text: String = faults
        .iter()
        .map(|(wrong, fix)| format!("{wrong}\n  {fix}\n\n"))
        .collect();
    text.push_str(WRITTEN);
    if let (Some(check), Some(about)) = meant {
        let command = command(&check, answer.unwrap_or("ANSWER"), &about);
        let typed = TypedOptions::given(with).words();
        text.push_str(&format!("\nTry: {command}{typed}"));
    }
    Err(Failure::Said(text))
}

/// The command that answers a question, without its options.
fn command(check: &str, answer: &str, about: &str) -> String {
    let (check, answer) = (shell_word(check), shell_word(answer));
    match about {
        "" => format!("sandarac log check {check} {answer}"),
        about => format!("sandarac log check {check} {answer} {}", shell_word(about)),
    }
}

/// The names of everything that a question can be about.
fn things(shop: &Shop) -> impl Iterator<Item = &str> {
    let tables = &shop.tables;
    let rooms = tables.rooms.iter().map(|room| room.id.as_str());
    let places = tables.places.iter().map(|place| place.id.as_str());
    let fixtures = tables.fixtures.iter().flatten();
    rooms
        .chain(places)
        .chain(fixtures.map(|fixture| fixture.id.as_str()))
}

/// The questions of closing time that are not answered yet. Only a yes is given to all at once.
fn closing_questions(
    shop: &Shop,
    at: Moment,
    answer: &str,
) -> Result<Vec<(String, String)>, Failure> {
    if typed_answer(answer) != Some("yes") {
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
