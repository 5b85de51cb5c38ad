//! iCalendar (RFC 5545): what falls due, as days without a time, so that no time zone is needed.
//!
//! The text is a function of the files and the day asked alone. An event's UID is made from the names of shop, kind and
//! subject (RFC 9562, section 5.5), and says nothing of them (RFC 7986, section 5.3), so that importing again changes the
//! event that is there. DTSTAMP and LAST-MODIFIED are the first second of the day asked. SEQUENCE is the number of days
//! from 1970-01-01 to it: a later day's calendar always has the higher number, as section 3.8.7.4 wants of a changed date.

use super::due::Due;
use super::view::View;
use crate::quantity::Day;
use crate::text::clean;
use icalendar::{Calendar, Component, Event, Property};
use uuid::Uuid;

/// The name space of the UIDs, drawn once.
const NAMES: Uuid = Uuid::from_u128(0x5a2f_91d4_7c0e_4b63_9e18_d3a7_60c5_2f4b);

/// The first day of the count behind SEQUENCE.
const FIRST: &str = "1970-01-01";

/// What falls due, as a calendar. What was due before the day asked stands on that day, and says when it was due: a
/// reminder in the past reminds nobody.
pub fn ics(view: &View<'_>) -> String {
    let mut calendar = Calendar::empty();
    let name = format!("Due in {}", clean(&view.shop));
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//sandarac//due days//EN"),
        ("CALSCALE", "GREGORIAN"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    // RFC 7986, section 5.1. The writer escapes only what it knows, or is told, to be text.
    let mut name = Property::new("NAME", name);
    name.add_parameter("VALUE", "TEXT");
    calendar.append_property(name);
    for due in &view.dues {
        calendar.push(event(view, due));
    }
    calendar.to_string()
}

/// `20261031`.
fn basic(day: Day) -> String {
    day.to_string().replace('-', "")
}

/// The identity of a due thing: the same for the same shop, kind and subject, whenever it is asked.
fn uid(shop: &str, due: &Due) -> String {
    // A unit separator stands in no name that is typed, so two identities never run into one.
    let name = [shop, due.kind, &due.subject].join("\u{1f}");
    Uuid::new_v5(&NAMES, name.as_bytes()).to_string()
}

fn event(view: &View<'_>, due: &Due) -> Event {
    let on = view.on;
    let stamp = format!("{}T000000Z", basic(on));
    let days = Day::parse(FIRST).map_or(0, |first| on.since(first).max(0));
    let (day, late) = if due.day < on {
        (on, format!(" (was due {})", due.day))
    } else {
        (due.day, String::new())
    };
    let mut text: Vec<String> = due.text.iter().map(|line| clean(line)).collect();
    text.push(
        "A reminder and no certificate: the authority, the data sheet and a licensed practitioner come first.".into(),
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
