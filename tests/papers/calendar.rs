//! The calendar of due days, held against RFC 5545 by the reader beside this file.

use crate::rfc5545::{Event, read};
use crate::{DEMO_DAY, demo, edit, file, root, said};
use std::collections::BTreeMap;
use std::path::Path;

fn events(folder: &Path, day: &str) -> Vec<Event> {
    let text = said(folder, &["calendar", "shop", "--on", day], 0);
    read(text.as_bytes()).unwrap_or_else(|why| panic!("{why}\n{text}"))
}

/// Summary and day by UID.
fn by_uid(events: &[Event]) -> BTreeMap<&str, (&str, &str)> {
    let list = events.iter();
    list.map(|e| {
        let told = (e["SUMMARY"].as_str(), e["DTSTART"].as_str());
        (e["UID"].as_str(), told)
    })
    .collect()
}

#[track_caller]
fn has<'e>(events: &'e [Event], summary: &str) -> &'e Event {
    let found = events.iter().find(|e| e["SUMMARY"] == summary);
    found.unwrap_or_else(|| {
        let all: Vec<&str> = events.iter().map(|e| e["SUMMARY"].as_str()).collect();
        panic!("no `{summary}` among {all:#?}")
    })
}

#[test]
fn the_demo_s_days_are_where_they_should_be() {
    let folder = demo();
    let events = events(folder.path(), DEMO_DAY);
    // Mixed on 2026-07-08; tested from three months on, discarded after six, as data/keeping.csv has it for that cut.
    let late = has(
        &events,
        "Test before use: J-3, shellac 1 1/2 lb cut, bleached (was due 8 Oct 2026)",
    );
    assert_eq!(
        late["DTSTART"], "20261031",
        "a late day stands on the day asked"
    );
    let ahead = has(
        &events,
        "Use by, or discard as waste: J-3, shellac 1 1/2 lb cut, bleached",
    );
    assert_eq!(ahead["DTSTART"], "20270108");
    // 29 CFR 1910.157(e)(3): the yearly service, from the tag of 2026-05-12.
    let service = has(
        &events,
        "Has each extinguisher had its yearly service? (extinguisher by the door)",
    );
    assert_eq!(service["DTSTART"], "20270512");
    assert!(service["DESCRIPTION"].contains("29 CFR 1910.157(e)(3)"));
    let accepted = has(
        &events,
        "Acceptance ends: An extinguisher near the liquids, store-room",
    );
    assert_eq!(accepted["DTSTART"], "20270616");
    let weekly = events
        .iter()
        .find(|e| e["SUMMARY"].starts_with("Round, every 7 days"));
    let weekly = weekly.unwrap();
    assert!(
        weekly["DESCRIPTION"]
            .contains("31 Oct 2026: Was the eyewash flushed? (eyewash at the sink)")
    );
    for event in &events {
        assert_eq!(
            event["DTSTAMP"], "20261031T000000Z",
            "of the day, not of the clock"
        );
        assert_eq!(event["LAST-MODIFIED"], event["DTSTAMP"]);
        // 20757 days from 1970-01-01 to 2026-10-31.
        assert_eq!(event["SEQUENCE"], "20757");
        assert!(event["DTSTART"].as_str() >= "20261031");
        assert!(event["DESCRIPTION"].contains("not a certificate"));
    }
}

/// `audit` writes the same bytes that `calendar` prints, and those that are committed.
#[test]
fn the_report_is_the_calendar() {
    let folder = demo();
    said(folder.path(), &["audit", "shop", "--on", DEMO_DAY], 1);
    let written = file(folder.path(), "shop/reports/due.ics");
    let printed = said(folder.path(), &["calendar", "shop", "--on", DEMO_DAY], 0);
    assert!(written == printed);
    let told = said(
        folder.path(),
        &["calendar", "shop", "--on", DEMO_DAY, "--out", "due.ics"],
        0,
    );
    assert!(told.ends_with(" days to due.ics\n"), "{told}");
    assert!(file(folder.path(), "due.ics") == printed);
    if std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite") {
        std::fs::write(root().join("reports/due.ics"), &printed).unwrap();
    }
    assert!(
        file(root(), "reports/due.ics") == printed,
        "reports/due.ics is not current"
    );
}

/// Asked again on a later day, the same things keep their UIDs, and every event has a higher SEQUENCE.
#[test]
fn importing_again_changes_what_is_there() {
    let folder = demo();
    let first = events(folder.path(), DEMO_DAY);
    edit(
        folder.path(),
        "shop/checks.csv",
        "2026-10-24T12:00,eyewash-flush",
        "2026-10-24T12:30,eyewash-flush",
    );
    let later = events(folder.path(), "2026-11-14");
    let (first, then) = (by_uid(&first), by_uid(&later));
    let kept = first.keys().filter(|uid| then.contains_key(*uid)).count();
    assert!(kept >= 45, "{kept} of {}", first.len());
    for (uid, (summary, _)) in &first {
        let Some((now, _)) = then.get(uid) else {
            continue;
        };
        let bare = |text: &str| text.split(" (was due").next().unwrap_or("").to_string();
        assert_eq!(bare(summary).split(':').next(), bare(now).split(':').next());
    }
    assert!(later.iter().all(|e| e["SEQUENCE"] == "20771"));
    // Another shop's events are other events.
    edit(folder.path(), "shop/shop.toml", "Restorer of", "Mender of");
    let other = events(folder.path(), DEMO_DAY);
    assert!(by_uid(&other).keys().all(|uid| !first.contains_key(uid)));
}

/// Names that need escaping, folding within and between wide characters, from right to left, and very long ones.
#[test]
fn any_name_makes_a_valid_calendar() {
    let long = "x".repeat(300);
    let emoji = "🪵👩‍🔧🇳🇴".repeat(40);
    let names = [
        "plain",
        "a, b; c \\ d \"e\": f",
        "ends with a backslash\\",
        "שלום עולם ורניש",
        "مرحبا, بالعالم; لك",
        "漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆漆",
        &emoji,
        &long,
        "e\u{301}e\u{301}\u{200f}",
    ];
    for name in names {
        let folder = tempfile::TempDir::new().unwrap();
        let shop = folder.path().join("shop");
        std::fs::create_dir(&shop).unwrap();
        let quoted = name.replace('"', "\"\"");
        let toml = name.replace('\\', "\\\\").replace('"', "\\\"");
        let tables = [
            (
                "shop.toml",
                format!(
                    "name = \"{toml}\"\nunits = \"us\"\npacks = []\nemployees = 0\nbusiness = false\n"
                ),
            ),
            ("rooms.csv", format!("room,use\n\"{quoted}\",finishing\n")),
            (
                "inventory.csv",
                format!(
                    "container,product,vessel,capacity,since,amount,made,best_before\n\
                     \"{quoted}\",\"shellac 2 lb cut, {quoted}\",glass,1 qt,2026-10-01,1 pt,2026-10-01,\n\
                     W,spent solvent,metal,1 gal,2026-10-01,1 qt,,2026-12-24\n"
                ),
            ),
        ];
        for (file, text) in tables {
            std::fs::write(shop.join(file), text).unwrap();
        }
        let events = events(folder.path(), DEMO_DAY);
        let shown: String = name
            .chars()
            .map(|c| match c {
                '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' => '\u{fffd}',
                c if c.is_control() => '\u{fffd}',
                c => c,
            })
            .collect();
        let wanted = format!("Test before use: {shown}, shellac 2 lb cut, {shown}");
        // The flake is not named: the shortest of the keeping times, three months.
        assert_eq!(has(&events, &wanted)["DTSTART"], "20270101");
        let waste = has(&events, "Waste to remove: W, spent solvent");
        assert_eq!(
            (waste["DTSTART"].as_str(), waste["CATEGORIES"].as_str()),
            ("20261224", "waste")
        );
    }
}
