//! `sandarac log action` and `sandarac log done`: what a person will fix, and its end.

use super::args::{ActionArgs, WithArgs};
use super::edit;
use super::moment::due_day;
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, writing};
use crate::files::TableEdit;
use crate::quantity::Moment;
use crate::quantity::when::{date, short_moment};
use crate::record::ACTIONS;
use crate::store::{Access, Store};
use crate::text::{clean, nearest, shell_word};
use crate::typing::DayOrder;
use std::path::Path;

pub(super) fn promise(
    folder: &Path,
    promised: &ActionArgs,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let store = open(folder, with)?;
    let tables = &store.shop.tables;
    let numbers = tables
        .actions
        .iter()
        .filter_map(|it| it.id.parse::<u64>().ok());
    let name = (numbers.max().unwrap_or(0) + 1).to_string();
    let order = DayOrder::of_shop(&tables.shop);
    let due = promised
        .due
        .as_deref()
        .map(|text| due_day(text, now, order));
    let due_on = due.transpose()?;
    let due = due_on.map(|day| day.to_string());
    let by = with.person();
    let cells = [
        ("action", name.as_str()),
        ("rule", promised.rule.as_deref().unwrap_or_default()),
        ("subject", promised.subject.as_deref().unwrap_or_default()),
        ("what", &promised.what),
        ("who", promised.who.as_deref().unwrap_or(&by)),
        ("by", due.as_deref().unwrap_or_default()),
        ("note", with.note.as_deref().unwrap_or_default()),
    ];
    let mut edit = TableEdit::new(&ACTIONS);
    let filled = cells.iter().filter(|(_, cell)| !cell.is_empty());
    edit.add.push(
        filled
            .map(|(name, cell)| (*name, (*cell).to_string()))
            .collect(),
    );
    let due = due_on.map_or_else(String::new, |day| format!(", by {}", date(day)));
    let done = format!("action {name}: {}{due}", clean(&promised.what));
    let fix = format!("Sign it off with: sandarac log done {name} --by NAME\n");
    let (did, told) = edit::write(&store, edit, with, now)?;
    super::printed(&format!("{did} {done}.\n{fix}{told}"), with)
}

/// Signs an action off.
pub(super) fn done(
    folder: &Path,
    name: &str,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let store = open(folder, with)?;
    let refused = |wrong: String, fix: String| Err(Failure::refused(wrong, fix, WRITTEN));
    let at = position(&store, name)?;
    let action = store.shop.tables.actions.get(at);
    if let Some(day) = action.and_then(|it| it.closed) {
        let fix = format!(
            "To open it again: sandarac log done {} --reopen",
            shell_word(name)
        );
        let wrong = format!("Action {} was closed on {}.", clean(name), date(day));
        return refused(wrong, fix);
    }
    let by = with.person();
    if by.is_empty() {
        return refused(
            "An action is closed with the initials of a person.".to_string(),
            format!(
                "Say who closes it: sandarac log done {} --by NAME",
                clean(name)
            ),
        );
    }
    let order = DayOrder::of_shop(&store.shop.tables.shop);
    let when = with.moment(now, order)?.unwrap_or(now);
    if when > now {
        let us = store.shop.tables.shop.us;
        return refused(
            format!(
                "{} is ahead of this computer's clock, which says {}.",
                short_moment(when, now.day(), us),
                short_moment(now, now.day(), us)
            ),
            "Close the action once it is done.".to_string(),
        );
    }
    let mut cells = vec![("closed", when.day().to_string()), ("initials", by)];
    if let Some(note) = &with.note {
        cells.push(("note", note.clone()));
    }
    let mut edit = TableEdit::new(&ACTIONS);
    edit.set.push((at, cells));
    let what = action.map_or("", |it| it.what.as_str());
    let done = format!("that action {} is done: {}", clean(name), clean(what));
    let (did, told) = edit::write(&store, edit, with, now)?;
    super::printed(&format!("{did} {done}.\n{told}"), with)
}

/// Takes the signature off an action.
pub(super) fn reopen(
    folder: &Path,
    name: &str,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let store = open(folder, with)?;
    let at = position(&store, name)?;
    let action = store.shop.tables.actions.get(at);
    if action.is_some_and(|it| it.closed.is_none()) {
        let wrong = format!("Action {} is open.", clean(name));
        let fix = format!(
            "Sign it off with: sandarac log done {} --by NAME",
            shell_word(name)
        );
        return Err(Failure::refused(wrong, fix, WRITTEN));
    }
    let mut edit = TableEdit::new(&ACTIONS);
    let cells = ["closed", "initials"].map(|column| (column, String::new()));
    edit.set.push((at, cells.to_vec()));
    let what = action.map_or("", |it| it.what.as_str());
    let done = format!("that action {} is open again: {}", clean(name), clean(what));
    let (did, told) = edit::write(&store, edit, with, now)?;
    super::printed(&format!("{did} {done}.\n{told}"), with)
}

/// Where an action is in its table.
fn position(store: &Store, name: &str) -> Result<usize, Failure> {
    let actions = &store.shop.tables.actions;
    let mut all = actions.iter();
    if let Some(at) = all.position(|it| it.id.eq_ignore_ascii_case(name)) {
        return Ok(at);
    }
    let fix = match nearest(name, actions.iter().map(|it| it.id.as_str())) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => "`sandarac audit` lists the open actions with their names.".to_string(),
    };
    let wrong = format!("There is no action \"{}\".", clean(name));
    Err(Failure::refused(wrong, fix, WRITTEN))
}

fn open(folder: &Path, with: &WithArgs) -> Result<Store, Failure> {
    let access = match with.dry_run {
        true => Access::Look,
        false => Access::Write,
    };
    writing::store(folder, &[&ACTIONS], access, "")
}
