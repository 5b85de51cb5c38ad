//! Filters by state, person and room, with radio buttons and a style sheet alone.

use super::lists::{DoList, LineState};
use crate::report::html::name;
use maud::{Markup, html};

/// People and rooms that can be chosen: more would be no choice.
const MOST: usize = 12;

/// What can be chosen.
pub(super) struct Filter {
    people: Vec<String>,
    rooms: Vec<String>,
}

const STATES: [(&str, &str); 3] = [
    ("over", "Over the limit"),
    ("close", "Close or due"),
    ("unknown", "Unknown"),
];

impl Filter {
    /// The people and rooms of some lists.
    pub(super) fn new(lists: &[DoList]) -> Filter {
        let lines = || lists.iter().flat_map(|list| &list.lines);
        Filter {
            people: each(lines().flat_map(|line| line.who.clone())),
            rooms: each(lines().flat_map(|line| line.rooms.clone())),
        }
    }

    /// The buttons, for the screen alone.
    pub(super) fn controls(&self) -> Markup {
        let states = STATES.map(|(key, words)| (format!("s-{key}"), words.to_string()));
        html! {
            details.filters {
                summary { "Show only …" }
                (group("State", "state", &states))
                (group("Person", "person", &keyed("p", &self.people)))
                (group("Room", "room", &keyed("r", &self.rooms)))
            }
        }
    }

    /// The rules that hide what is not chosen.
    pub(super) fn style(&self) -> String {
        let states = STATES.iter().map(|(key, _)| format!("s-{key}"));
        let people = keyed("p", &self.people).into_iter().map(|(key, _)| key);
        let rooms = keyed("r", &self.rooms).into_iter().map(|(key, _)| key);
        states
            .chain(people)
            .chain(rooms)
            .map(|key| format!("main:has(#show-{key}:checked) .item:not(.{key}){{display:none}}"))
            .collect()
    }
}

/// The classes by which an item is chosen.
pub(super) fn classes(
    filter: &Filter,
    state: LineState,
    who: &[String],
    rooms: &[String],
) -> String {
    let state = match state {
        LineState::Now | LineState::Over => "s-over",
        LineState::Close => "s-close",
        LineState::Unknown => "s-unknown",
    };
    let mut classes = format!("item {state}");
    for (prefix, list, own) in [("p", &filter.people, who), ("r", &filter.rooms, rooms)] {
        for (key, one) in keyed(prefix, list) {
            if own.contains(&one) {
                classes.push(' ');
                classes.push_str(&key);
            }
        }
    }
    classes
}

fn each(all: impl Iterator<Item = String>) -> Vec<String> {
    let mut list: Vec<String> = all.collect();
    list.sort();
    list.dedup();
    list.truncate(MOST);
    list
}

fn keyed(prefix: &str, list: &[String]) -> Vec<(String, String)> {
    let list = list.iter().enumerate();
    list.map(|(at, words)| (format!("{prefix}{at}"), words.clone()))
        .collect()
}

fn group(title: &str, of: &str, choices: &[(String, String)]) -> Markup {
    html! {
        @if choices.len() > 1 || of == "person" && !choices.is_empty() {
            fieldset {
                legend { (title) }
                label { input type="radio" name=(of) checked; " all" }
                @for (key, words) in choices {
                    label { input type="radio" name=(of) id={ "show-" (key) }; " " (name(words)) }
                }
            }
        }
    }
}
