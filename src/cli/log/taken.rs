//! What was done, and what was taken back or corrected since: entries of the log and answers of the round.

use crate::audit::Shop;
use crate::quantity::Moment;
use crate::report::words::moment;
use crate::store::{LogRowText, each_answer, each_entry};
use crate::text::Span;
use std::collections::{HashMap, HashSet};

/// So many of the last actions are remembered, unless one is named.
const REMEMBERED: usize = 200;

/// An entry that something can be done about.
pub(super) struct Action {
    pub name: String,
    /// What it said, in the words of its row.
    pub said: String,
    /// When it was written.
    pub written: String,
    /// The id of what it was written with.
    pub id: String,
}

/// An answer of the round that still counts.
pub(super) struct GivenAnswer {
    pub check: String,
    pub about: String,
    /// What it said, in the words of its row.
    pub said: String,
    pub when: String,
    pub written: String,
    pub id: String,
}

/// What was done, and what was taken back or corrected since.
#[derive(Default)]
pub(super) struct Actions {
    pub list: Vec<Action>,
    /// The entry that a correction takes back, by the correction's name.
    pub takes_back: HashMap<String, String>,
    /// The correction that takes an entry back, by the entry's name.
    pub taken_back: HashMap<String, String>,
    /// The last correction of an entry, by the entry's name.
    pub corrected: HashMap<String, String>,
}

impl Actions {
    pub fn of(shop: &Shop, named: bool) -> Actions {
        let us = shop.tables.shop.us;
        let mut actions = Actions::default();
        each_entry(shop, |row| {
            let row = LogRowText::read(row);
            if row.takes_back() {
                actions.take_back(row.entry, row.into);
                return;
            }
            let words = match row.is_correction() {
                true => [row.what, row.into, row.container, row.amount],
                false => [row.what, row.container, row.amount, row.into],
            };
            let words = words.into_iter().chain([row.place, row.minutes, row.from]);
            let words: Vec<&str> = words.filter(|it| !it.is_empty()).collect();
            if row.is_correction() {
                let (of, by) = (row.into.to_string(), row.entry.to_string());
                actions.corrected.insert(of, by);
            }
            actions.list.push(Action {
                name: row.entry.to_string(),
                said: format!("{}, {}", words.join(" "), shown(row.when, us)),
                written: or_else(row.written, row.when),
                id: row.id.to_string(),
            });
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
    pub fn correction(&self, name: &str) -> Option<&String> {
        let correction = self.corrected.get(name);
        correction.filter(|it| !self.taken_back.contains_key(*it))
    }
}

/// A moment of a table as people read it.
fn shown(when: &str, us: bool) -> String {
    Moment::parse(when).map_or_else(|_| when.to_string(), |when| moment(when, us))
}

/// The moment of writing, or of the action itself where a row was typed by hand.
fn or_else(written: &str, when: &str) -> String {
    if written.is_empty() { when } else { written }.to_string()
}

/// The answers that still count, in the order of the file.
pub(super) fn answers(shop: &Shop) -> Vec<GivenAnswer> {
    let counting: HashSet<Span> = shop.tables.answers.iter().map(|it| it.at).collect();
    let us = shop.tables.shop.us;
    let mut list = Vec::new();
    each_answer(shop, |row| {
        if !counting.contains(&row.span()) {
            return;
        }
        let [when, check, answer, about, _, _, written, id]: [&str; 8] = row.texts();
        let words = [check, answer, about].into_iter();
        let words: Vec<&str> = words.filter(|it| !it.is_empty()).collect();
        list.push(GivenAnswer {
            check: check.to_string(),
            about: about.to_string(),
            said: format!("{}, {}", words.join(" "), shown(when, us)),
            when: when.to_string(),
            written: or_else(written, when),
            id: id.to_string(),
        });
    });
    list
}

/// The ids that rows of the log and of the answers bear.
fn ids(shop: &Shop) -> HashSet<String> {
    let mut ids = HashSet::new();
    each_entry(shop, |row| {
        ids.insert(LogRowText::read(row).id.to_string());
    });
    each_answer(shop, |row| {
        let cells: [&str; 8] = row.texts();
        ids.insert(cells[7].to_string());
    });
    ids
}

/// The names of entries that are taken back.
pub(in crate::cli) fn taken_back(shop: &Shop) -> HashSet<String> {
    Actions::of(shop, true).taken_back.into_keys().collect()
}

/// An id that no row bears yet.
pub(in crate::cli) fn fresh_id(word: &str, shop: &Shop, of: &str) -> String {
    let ids = ids(shop);
    let mut id = format!("{word}-{of}");
    let mut number = 1;
    while ids.contains(&id) {
        number += 1;
        id = format!("{word}-{of}-{number}");
    }
    id
}
