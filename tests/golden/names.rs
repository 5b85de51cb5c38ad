//! Names pass through every format unharmed: what was written in a cell is what a reader of the format gets back.

use crate::odd_shops::{DAY, NAMES, named};
use crate::{list, said, shops, word};
use serde_json::Value;
use std::collections::BTreeSet;

/// The reports of a shop with these names.
struct Written {
    markdown: String,
    table: String,
    page: String,
    json: Value,
}

fn written() -> Written {
    let folder = shops();
    let shop = named(folder.path(), &NAMES);
    said(folder.path(), &["audit", "named-shop", "--on", DAY], 1);
    let read = |ending: &str| {
        let path = shop.join(format!("reports/{DAY}-audit.{ending}"));
        std::fs::read_to_string(path).unwrap()
    };
    Written {
        markdown: read("md"),
        table: read("csv"),
        page: read("html"),
        json: serde_json::from_str(&read("json")).unwrap(),
    }
}

/// A line break in a name is a space where the format has no line breaks in a name.
fn on_one_line(name: &str) -> String {
    name.replace('\n', " ")
}

#[test]
fn through_the_json() {
    let json = written().json;
    let found: BTreeSet<&str> = list(&json, "stock")
        .iter()
        .map(|row| word(row, "container"))
        .collect();
    assert_eq!(found, NAMES.into_iter().collect());
    assert_eq!(word(&json, "shop"), NAMES[0]);
}

/// Through the table, but for the apostrophe that keeps a spreadsheet from running it.
#[test]
fn through_the_table() {
    let table = written().table;
    assert!(table.starts_with('\u{feff}'), "it says that it is UTF-8");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let columns = reader.headers().unwrap().clone();
    assert_eq!(columns.get(0), Some("verdict"), "the mark is no part of it");
    let subject = columns.iter().position(|name| name == "subject").unwrap();
    let mut found = BTreeSet::new();
    for row in reader.records() {
        let row = row.unwrap();
        for cell in &row {
            let runs = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
            assert!(!runs, "a spreadsheet runs {cell:?}");
        }
        let cell = &row[subject];
        found.insert(cell.strip_prefix('\'').unwrap_or(cell).to_string());
    }
    for name in NAMES {
        assert!(found.contains(name), "{name:?} is not among {found:?}");
    }
}

/// What a reader of Markdown sees: without the backslashes, and with its entities read.
#[test]
fn through_the_markdown() {
    let text = written().markdown;
    let mut shown = String::new();
    let mut letters = text.chars();
    while let Some(c) = letters.next() {
        match c {
            '\\' => shown.extend(letters.next()),
            c => shown.push(c),
        }
    }
    let shown = shown
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    for name in NAMES {
        assert!(shown.contains(&on_one_line(name)), "{name:?}");
    }
    for tag in ["<script", "<img", "</style", "<b>"] {
        assert!(!text.contains(tag), "{tag} is open");
    }
}

/// What a browser shows: tags read as tags and entities as letters. `tests/browser.rs` asks a browser itself.
#[test]
fn through_the_page() {
    let page = written().page;
    let body = page.split_once("<body>").unwrap().1;
    for tag in ["<script", "<img", "</style", "onerror=alert(1)>"] {
        assert!(!body.contains(tag), "{tag} is open");
    }
    let (mut shown, mut inside) = (String::new(), false);
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            c if !inside => shown.push(c),
            _ => {}
        }
    }
    let shown = shown
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    for name in NAMES {
        assert!(shown.contains(&on_one_line(name)), "{name:?}");
    }
}
