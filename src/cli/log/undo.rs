//! `sandarac log undo`: the entry that takes back the last action, be it an entry or the correction of one.

use super::draft::Draft;
use crate::audit::Shop;
use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::record::What;
use crate::store::each_entry;
use crate::text::clean;
use std::collections::HashMap;

/// So many of the last actions are remembered, unless one is named.
const REMEMBERED: usize = 200;

/// An entry that something can be done about.
struct UndoableEntry {
    name: String,
    /// What it said, in the words of its row.
    said: String,
}

/// What was done, and what was taken back or corrected since.
#[derive(Default)]
struct Actions {
    list: Vec<UndoableEntry>,
    /// The entry that a correction takes back, by the correction's name.
    takes_back: HashMap<String, String>,
    /// The correction that takes an entry back, by the entry's name.
    taken_back: HashMap<String, String>,
    /// The last correction of an entry, by the entry's name.
    corrected: HashMap<String, String>,
}

impl Actions {
    fn read(shop: &Shop, named: bool) -> Actions {
        let mut actions = Actions::default();
        each_entry(shop, |row| {
            let cells: [&str; 13] = row.texts();
            let [
                name,
                when,
                what,
                container,
                amount,
                into,
                place,
                minutes,
                _,
                _,
                _,
                _,
                from,
            ] = cells;
            let is_void = [container, amount, place, minutes, from]
                .iter()
                .all(|it| it.is_empty());
            if what == "correct" && is_void {
                actions.take_back(name, into);
                return;
            }
            let is_correction = what == "correct";
            if is_correction {
                actions.corrected.insert(into.to_string(), name.to_string());
            }
            let words = match is_correction {
                true => [what, into, container, amount, place, minutes, from],
                false => [what, container, amount, into, place, minutes, from],
            };
            let words: Vec<&str> = words.into_iter().filter(|it| !it.is_empty()).collect();
            let said = format!("{}, {when}", words.join(" "));
            let name = name.to_string();
            actions.list.push(UndoableEntry { name, said });
            if !named && actions.list.len() > REMEMBERED {
                actions.list.drain(..REMEMBERED / 2);
            }
        });
        actions
    }

    fn take_back(&mut self, name: &str, into: &str) {
        // What takes back a taking back brings the entry back.
        if let Some(entry) = self.takes_back.get(into) {
            self.taken_back.remove(entry);
        } else {
            self.taken_back.insert(into.to_string(), name.to_string());
            self.takes_back.insert(name.to_string(), into.to_string());
        }
    }

    /// The correction of an entry that still counts.
    fn correction(&self, name: &str) -> Option<&String> {
        let correction = self.corrected.get(name);
        correction.filter(|it| !self.taken_back.contains_key(*it))
    }
}

/// The entry that takes another back, the name of that one, and what it said.
pub(super) fn undo(before: &Shop, named: Option<&str>) -> Result<(Draft, String), Failure> {
    let actions = Actions::read(before, named.is_some());
    let mut list = actions.list.iter();
    let found = match named {
        Some(name) => list.find(|action| action.name == name),
        None => list.rfind(|action| !actions.taken_back.contains_key(&action.name)),
    };
    let fix = "Name the entry as log.csv does, for example: sandarac log undo 207.";
    let refused = |what: String, fix: &str| Err(Failure::refused(what, fix, WRITTEN));
    let Some(UndoableEntry { name, said }) = found else {
        return match named {
            Some(name) => refused(format!("There is no entry \"{}\".", clean(name)), fix),
            None => refused("There is no entry to take back.".into(), fix),
        };
    };
    let shown = clean(name);
    if actions.taken_back.contains_key(name) {
        return refused(format!("Entry {shown} is taken back already."), fix);
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
    Ok((
        draft,
        format!("This takes back entry {shown}: {}.\n", clean(said)),
    ))
}
