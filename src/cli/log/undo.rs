//! `sandarac log undo`: what takes back the last action, be it an entry, the correction of one, an answer, or a whole round.

use super::draft::Draft;
use super::taken::{Action, Actions, GivenAnswer, answers};
use super::together::Together;
use crate::audit::Shop;
use crate::cli::open::WRITTEN;
use crate::cli::{Failure, style, writing};
use crate::record::{CHECKS, LOG, VOID, What};
use crate::store::{NewRow, Store, Submission};
use crate::text::clean;

/// What takes an action back.
pub(super) enum Undo {
    /// A correction, and what it takes back.
    Entry(Box<Draft>, String),
    /// Several entries and answers that were written as one.
    Together(TakenBack),
}

/// Entries and answers that are taken back as one.
pub(super) struct TakenBack {
    /// The names of the entries.
    entries: Vec<String>,
    /// The questions, and what each answer is about.
    answers: Vec<(String, String)>,
    /// What is said of it.
    said: String,
}

fn refused<T>(what: impl std::fmt::Display, fix: &str) -> Result<T, Failure> {
    Err(Failure::refused(what, fix, WRITTEN))
}

/// How to name an entry.
const NAME_IT: &str = "Name the entry as log.csv does, for example: sandarac log undo 207.";

/// Of a step with so many entries, each is named.
const MOST_NAMED: usize = 4;

/// What takes back the action that is named, or the last one.
pub(super) fn undo(before: &Shop, named: Option<&str>) -> Result<Undo, Failure> {
    let actions = Actions::of(before, named.is_some());
    let answers = answers(before);
    if let Some(name) = named {
        let asked = answers.iter().rposition(|it| it.check == *name);
        return match (entry(&actions, Some(name)), asked) {
            (Some(action), _) => one(&actions, action),
            (None, Some(at)) => Ok(together(&[], answers.get(at))),
            (None, None) => refused(format!("There is no entry \"{}\".", clean(name)), NAME_IT),
        };
    }
    let (last, last_answer) = (entry(&actions, None), answers.last());
    let (entry_at, answer_at) = (
        last.map(|it| it.written.as_str()),
        last_answer.map(|it| it.written.as_str()),
    );
    let of_one = last
        .zip(last_answer)
        .is_some_and(|(entry, answer)| !entry.id.is_empty() && entry.id == answer.id);
    match (last, last_answer) {
        (None, None) => refused("There is no entry to take back.", NAME_IT),
        (Some(entry), Some(answer)) if entry_at == answer_at && !of_one => refused(
            format!(
                "Two actions were logged in one minute: entry {} ({}) and the answer {}.",
                clean(&entry.name),
                clean(&entry.said),
                clean(&answer.said)
            ),
            &format!(
                "Name the one to take back: sandarac log undo {}, or sandarac log undo {}.",
                clean(&entry.name),
                clean(&answer.check)
            ),
        ),
        (Some(entry), _) if entry_at >= answer_at => {
            if entry.id.is_empty() {
                return one(&actions, entry);
            }
            // It may have more entries than are remembered.
            let all = Actions::of(before, true);
            let live = |it: &&Action| it.id == entry.id && !all.taken_back.contains_key(&it.name);
            let mine: Vec<&Action> = all.list.iter().filter(live).collect();
            let written: Vec<&GivenAnswer> =
                answers.iter().filter(|it| it.id == entry.id).collect();
            match (mine.len(), written.len()) {
                (0 | 1, 0) => one(&actions, entry),
                _ => Ok(together(&mine, written)),
            }
        }
        (_, Some(last)) => {
            let same = |it: &&GivenAnswer| {
                (&it.id, &it.written, &it.when) == (&last.id, &last.written, &last.when)
            };
            Ok(together(&[], answers.iter().filter(same)))
        }
        (Some(entry), None) => one(&actions, entry),
    }
}

/// The entry that is named, or the last one that is not taken back.
fn entry<'a>(actions: &'a Actions, named: Option<&str>) -> Option<&'a Action> {
    let mut list = actions.list.iter();
    match named {
        Some(name) => list.find(|action| action.name == name),
        None => list.rfind(|action| !actions.taken_back.contains_key(&action.name)),
    }
}

/// The entry that takes another back, and what that one said.
fn one(actions: &Actions, action: &Action) -> Result<Undo, Failure> {
    let Action { name, said, .. } = action;
    let shown = clean(name);
    if actions.taken_back.contains_key(name) {
        return refused(format!("Entry {shown} is taken back already."), NAME_IT);
    }
    if let Some(correction) = actions.correction(name) {
        let correction = clean(correction);
        return refused(
            format!("Entry {shown} is corrected by entry {correction}."),
            &format!("Take the correction back first: sandarac log undo {correction}"),
        );
    }
    let draft = Draft {
        into: name.clone(),
        says: "void".into(),
        ..Draft::new(What::Correct)
    };
    let said = format!("This takes back entry {shown}: {}.\n", clean(said));
    Ok(Undo::Entry(Box::new(draft), said))
}

/// Entries and answers that are taken back as one.
fn together<'a>(entries: &[&Action], answers: impl IntoIterator<Item = &'a GivenAnswer>) -> Undo {
    let answers: Vec<&GivenAnswer> = answers.into_iter().collect();
    let said = match (entries, answers.as_slice()) {
        ([], [answer]) => format!("This takes back the answer {}.", clean(&answer.said)),
        (entries, answers) => {
            let parts = [
                (entries.len(), "1 entry", "entries"),
                (answers.len(), "1 answer", "answers"),
            ];
            let parts = parts.into_iter().filter(|(count, ..)| *count > 0);
            let parts = parts.map(|(count, one, many)| match count {
                1 => one.to_string(),
                count => format!("{count} {many}"),
            });
            let parts: Vec<String> = parts.collect();
            let named: Vec<String> = entries.iter().map(|it| clean(&it.said)).collect();
            let named = match named.len() {
                1..=MOST_NAMED => format!(": {}", named.join("; ")),
                _ => String::new(),
            };
            format!(
                "This takes back {} written together{named}.",
                parts.join(" and ")
            )
        }
    };
    Undo::Together(TakenBack {
        entries: entries.iter().map(|it| it.name.clone()).collect(),
        answers: answers
            .iter()
            .map(|it| (it.check.clone(), it.about.clone()))
            .collect(),
        said,
    })
}

/// Takes several entries and answers back, all of them or none.
pub(super) fn write(
    store: &Store,
    back: &TakenBack,
    with: &Together<'_>,
) -> Result<String, Failure> {
    let when = with.when.to_string();
    let note = match with.note {
        "" => VOID.to_string(),
        note => format!("{VOID}: {note}"),
    };
    let entries = back.entries.iter().map(|entry| {
        let cells = [
            ("when", when.as_str()),
            ("what", What::Correct.word()),
            ("into", entry),
            ("by", with.by),
            ("note", &note),
        ];
        NewRow::new(&LOG, &cells)
    });
    let answers = back.answers.iter().map(|(check, about)| {
        let cells = [
            ("when", when.as_str()),
            ("check", check),
            ("where", about),
            ("answer", VOID),
            ("by", with.by),
            ("note", with.note),
        ];
        NewRow::new(&CHECKS, &cells)
    });
    let rows = Submission::without_id(entries.chain(answers).collect());
    let plan = store.plan(&[rows], &with.clock);
    let plan = plan.map_err(|not| writing::failure(not, with.or))?;
    if !with.dry_run {
        store
            .write(&plan)
            .map_err(|not| writing::failure(not, with.or))?;
    }
    Ok(format!(
        "{}\n{}",
        back.said,
        super::said::told(&plan, style::columns())
    ))
}
