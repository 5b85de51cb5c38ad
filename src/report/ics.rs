//! iCalendar (RFC 5545): what is due, as days without a time, so that no time zone is needed.
//!
//! The text is a function of the files and the day asked alone. An event's UID is made from the names of shop, kind and
//! subject (RFC 9562, section 5.5), and says nothing of them (RFC 7986, section 5.3), so that importing again changes the
//! event that is there. DTSTAMP and LAST-MODIFIED are the first second of the day asked. SEQUENCE is the number of days
//! from 1970-01-01 to it: a later day's calendar always has the higher number, as section 3.8.7.4 wants of a changed date.

use super::due::DueItem;
use super::format::Format;
use super::view::View;
use super::words::date;
use crate::quantity::Day;
use crate::text::clean;
use icalendar::{Calendar, Component, Event, Property};
use std::io::{self, Write};
use uuid::Uuid;

/// The name space of the UIDs, drawn once.
const NAMES: Uuid = Uuid::from_u128(0x5a2f_91d4_7c0e_4b63_9e18_d3a7_60c5_2f4b);

/// The first day of the count behind SEQUENCE.
const FIRST: &str = "1970-01-01";

/// `due.ics`: what is due. What was due before the day asked stands on that day, and says when it was due: a reminder in
/// the past gives no reminder.
pub struct DueCalendar;

impl Format for DueCalendar {
    fn extension(&self) -> &'static str {
        "ics"
    }

    /// Without a day in its name, so that a calendar can go on reading the same file.
    fn file(&self, _: Day) -> String {
        format!("due.{}", self.extension())
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()> {
        out.write_all(calendar(view).as_bytes())
    }
}

fn calendar(view: &View<'_>) -> String {
    let mut calendar = Calendar::empty();
    let name = format!("Due in {}", clean(&view.shop));
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//sandarac//due days//EN"),
        ("CALSCALE", "GREGORIAN"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    // RFC 7986, section 5.1. The writer escapes only what it knows, or is reported, to be text.
    let mut name = Property::new("NAME", name);
    name.add_parameter("VALUE", "TEXT");
    calendar.append_property(name);
    for due in &view.dues {
        calendar.push(event(view, due));
    }
    folded(&calendar.to_string())
}

/// Octets of a line, its break not counted (RFC 5545, section 3.1).
const MOST_OCTETS: usize = 75;

/// The writer folds between letters as a reader sees them, and may make a line a little too long where one of those is made
/// of many characters. Such a line is folded once more, between characters, which unfolds to the same text.
fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let (mut rest, mut most) = (line.trim_end_matches(['\r', '\n']), MOST_OCTETS);
        let end = line.get(rest.len()..).unwrap_or("");
        while rest.len() > most {
            let at = (1..=most).rev().find(|at| rest.is_char_boundary(*at));
            let (first, after) = rest.split_at(at.unwrap_or(rest.len()));
            out.push_str(first);
            out.push_str("\r\n ");
            // The space that begins the next line counts too.
            (rest, most) = (after, MOST_OCTETS - 1);
        }
        out.push_str(rest);
        out.push_str(end);
    }
    out
}

/// `20261031`.
fn basic(day: Day) -> String {
    day.to_string().replace('-', "")
}

/// The identity of a due thing: the same for the same shop, kind and subject, whenever it is asked.
fn uid(shop: &str, due: &DueItem) -> String {
    // A unit separator stands in no name that is typed, so two identities never run into one.
    let name = [shop, due.kind, &due.subject].join("\u{1f}");
    Uuid::new_v5(&NAMES, name.as_bytes()).to_string()
}

/// Letters of a line, and lines, that an event shows: a phone shows no more, and the writer folds a long line slowly.
const MOST_LETTERS: usize = 2000;
const MOST_LINES: usize = 40;

/// The text of an event; what is left out is named.
fn shortened(lines: &[String]) -> Vec<String> {
    let short = |line: &String| {
        let line = clean(line);
        match line.char_indices().nth(MOST_LETTERS) {
            Some((at, _)) => format!("{} … and more: see the round", line.get(..at).unwrap_or("")),
            None => line,
        }
    };
    let mut text: Vec<String> = lines.iter().take(MOST_LINES).map(short).collect();
    let left = lines.len().saturating_sub(MOST_LINES);
    if left > 0 {
        text.push(format!("and {left} more: see the round"));
    }
    text
}

fn event(view: &View<'_>, due: &DueItem) -> Event {
    let on = view.on;
    let stamp = format!("{}T000000Z", basic(on));
    let days = Day::parse(FIRST).map_or(0, |first| on.since(first).max(0));
    let (day, late) = if due.day < on {
        (on, format!(" (was due {})", date(due.day)))
    } else {
        (due.day, String::new())
    };
    let mut text = shortened(&due.text);
    text.push(
        "This is a reminder, not a certificate. Your local authority, the data sheet and a licensed professional come first.".into(),
    );
    let mut event = Event::with_uid(&uid(&view.shop, due));
    let mut start = Property::new("DTSTART", basic(day));
    start.add_parameter("VALUE", "DATE");
    event.append_property(start);
    for (key, value) in [
        ("DTSTAMP", stamp.as_str()),
        ("LAST-MODIFIED", &stamp),
        ("SEQUENCE", &days.to_string()),
        ("SUMMARY", &format!("{}{late}", clean(&due.title))),
        ("DESCRIPTION", &text.join("\n")),
        ("CATEGORIES", due.kind),
        ("TRANSP", "TRANSPARENT"),
    ] {
        event.append_property(Property::new(key, value));
    }
    event
}

#[cfg(test)]
mod tests {
    use super::{folded, shortened};

    #[test]
    fn an_event_of_very_many_things_names_how_many_are_left_out() {
        let many: Vec<String> = (0..1000).map(|at| format!("extinguisher {at}")).collect();
        let shown = shortened(&many);
        assert_eq!(shown.len(), 41);
        assert_eq!(
            shown.last().map(String::as_str),
            Some("and 960 more: see the round")
        );
        let long = shortened(&[many.join(", ")]);
        assert!(long[0].chars().count() < 2100 && long[0].ends_with("see the round"));
    }

    #[test]
    fn no_line_is_longer_than_it_may_be() {
        // A family of four is one letter to a reader, and 25 octets.
        let family = "\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467}\u{200d}\u{1f466}";
        for text in [
            "SUMMARY:short\r\n".to_string(),
            format!("SUMMARY:{}\r\nTRANSP:OPAQUE\r\n", family.repeat(20)),
            format!("SUMMARY:{}\r\n", "x".repeat(75 - 8)),
            format!("SUMMARY:{}\r\n", "x".repeat(76 - 8)),
            format!("SUMMARY:{}\r\n {}\r\n", "é".repeat(40), "x".repeat(90)),
        ] {
            let out = folded(&text);
            assert!(out.split("\r\n").all(|line| line.len() <= 75), "{out}");
            assert_eq!(out.replace("\r\n ", ""), text.replace("\r\n ", ""));
        }
        let whole = format!("SUMMARY:{}\r\n", "x".repeat(67));
        assert_eq!(folded(&whole), whole);
    }
}
