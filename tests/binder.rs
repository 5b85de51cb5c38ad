//! The inspector's binder in whole runs: what is in it is what stands in the audit and in the shop's own rows, and it is
//! written whole or not at all. `tests/browser.rs` opens and prints it.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/shops.rs"]
mod odd_shops;
#[path = "golden/sound.rs"]
mod sound;

use odd_shops::{DAY, NAMES};
use serde_json::Value;
use sound::values;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// What every binder says.
const SAID: [&str; 5] = [
    "<meta name=\"sandarac-binder\" content=\"1\">",
    "a screening aid, not a certificate",
    "Nothing here shows that a room or a pile of oily rags is safe",
    "id=\"index-title\"",
    "id=\"tab-C-title\"",
];

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args).output().unwrap()
}

fn demo(folder: &Path) {
    let output = run(folder, &["demo", "--write", "shop"]);
    assert!(output.status.success());
}

/// The binder of a shop, written to `binder` beside it; its page.
#[track_caller]
fn bound(folder: &Path, shop: &str, on: &str) -> String {
    let output = run(
        folder,
        &[
            "audit",
            shop,
            "--on",
            on,
            "--binder",
            "binder",
            "--no-reports",
            "--quiet",
        ],
    );
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(matches!(output.status.code(), Some(0 | 1)), "{told}");
    assert_eq!((told.as_str(), output.stdout.len()), ("", 0));
    let page = std::fs::read_to_string(folder.join("binder/binder.html")).unwrap();
    sound::is_sound(&page, &SAID);
    page
}

#[track_caller]
fn demo_bound() -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    demo(folder.path());
    let page = bound(folder.path(), "shop", "2026-10-31");
    (folder, page)
}

/// Text as a reader sees it.
fn shown(html: &str) -> String {
    let mut inside = false;
    let text: String = html
        .chars()
        .filter(|c| {
            inside = (inside || *c == '<') && *c != '>';
            !inside && *c != '>'
        })
        .collect();
    let text = text
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"");
    text.replace("&amp;", "&").replace('\n', " ")
}

/// A tab of the page.
#[track_caller]
fn tab<'p>(page: &'p str, number: &str) -> &'p str {
    let (_, rest) = page
        .split_once(&format!("<section class=\"tab\" id=\"tab-{number}\""))
        .unwrap();
    rest.split_once("</section>").unwrap().0
}

/// The parts of the page that begin with a tag.
fn parts<'p>(page: &'p str, begins: &str, ends: &str) -> Vec<&'p str> {
    page.split(begins)
        .skip(1)
        .map(|part| part.split_once(ends).unwrap_or((part, "")).0)
        .collect()
}

/// Files below a folder with their bytes.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_path_buf();
                found.insert(name, std::fs::read(path).unwrap());
            }
        }
    }
    found
}

fn names(folder: &Path) -> Vec<String> {
    let list = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = list
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_index_has_every_tab_with_what_is_open_in_it() {
    let (folder, page) = demo_bound();
    let json = std::fs::read_to_string(folder.path().join("binder/audit.json")).unwrap();
    let json: Value = serde_json::from_str(&json).unwrap();
    let findings = json["findings"].as_array().unwrap();
    let open = |topics: &[&str]| {
        let calls = |f: &&Value| !matches!(f["verdict"].as_str(), Some("meets" | "not-in-force"));
        let mine = |f: &&Value| topics.is_empty() || topics.contains(&f["topic"].as_str().unwrap());
        findings.iter().filter(calls).filter(mine).count()
    };
    let wanted = [
        (
            "Inventory against each limit",
            open(&["storage", "containers", "keeping", "permits"]).to_string(),
            "31 Oct 2026",
        ),
        ("Oily rags", open(&["rags"]).to_string(), "31 Oct 2026"),
        (
            "Extinguishers, exits, eyewash, ignition",
            open(&["extinguishers", "first-aid", "ignition", "housekeeping"]).to_string(),
            "24 Oct 2026",
        ),
        ("Fans and air", open(&["air"]).to_string(), "31 Oct 2026"),
        ("Waste", open(&["waste"]).to_string(), "31 Oct 2026"),
        (
            "Labels and data sheets",
            open(&["labels"]).to_string(),
            "3 Oct 2026",
        ),
        ("Corrective actions", "–".to_string(), "29 Oct 2026"),
        ("Everything open", open(&[]).to_string(), "31 Oct 2026"),
        (
            "Records and who keeps them",
            open(&["records"]).to_string(),
            "31 Oct 2026",
        ),
        ("Rules, packs and editions", "–".to_string(), "16 Jun 2026"),
    ];
    let (_, index) = page.split_once("<nav class=\"index\"").unwrap();
    let (index, _) = index.split_once("</nav>").unwrap();
    let rows = parts(index, "<tr>", "</tr>");
    assert_eq!(rows.len(), wanted.len() + 2, "head, tabs, cautions");
    for (at, (title, open, latest)) in wanted.iter().enumerate() {
        let number = at + 1;
        assert_eq!(
            shown(rows[at + 1]),
            format!("{number}{title}{open}{latest}from {number}-1"),
        );
        let heading = shown(parts(tab(&page, &number.to_string()), "<h2", "</h2>")[0]);
        assert!(heading.ends_with(&format!("{number} {title}")), "{heading}");
    }
    // Every finding has its tab: nothing open is only in the eighth.
    let sum: usize = wanted
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != 7)
        .filter_map(|(_, row)| row.1.parse::<usize>().ok())
        .sum();
    assert_eq!(sum, open(&[]));
}

/// Every open finding stands in tab 8 as the JSON has it, and its rows with it.
#[test]
fn the_values_are_those_of_the_json() {
    let (folder, page) = demo_bound();
    let json = std::fs::read_to_string(folder.path().join("binder/audit.json")).unwrap();
    let json: Value = serde_json::from_str(&json).unwrap();
    let text = |value: &Value| value.as_str().unwrap_or("").replace('`', "");
    let calls = |f: &&Value| !matches!(f["verdict"].as_str(), Some("meets" | "not-in-force"));
    let open: Vec<&Value> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(calls)
        .collect();
    let told = parts(
        tab(&page, "8"),
        "<li class=\"finding ",
        "<p class=\"rows\">",
    );
    assert_eq!(told.len(), open.len());
    let rows = parts(tab(&page, "8"), "<p class=\"rows\">", "</p>");
    for ((told, rows), finding) in told.iter().zip(rows).zip(&open) {
        let said = shown(told);
        for key in [
            "title",
            "action",
            "why",
            "observed_text",
            "limit_text",
            "margin_text",
        ] {
            assert!(said.contains(&text(&finding[key])), "{key}: {said}");
        }
        for step in finding["working"].as_array().unwrap() {
            assert!(said.contains(&text(step)), "{step}: {said}");
        }
        let cited = &finding["citation"];
        for key in ["document", "edition", "clause"] {
            assert!(said.contains(&text(&cited[key])), "{key}: {said}");
        }
        let named: Vec<&str> = finding["evidence"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_str)
            .collect();
        assert_eq!(named_rows(rows), sorted(&named), "{said}");
    }
    // Each container, with what it holds; the rags by their state.
    let stock = json["stock"].as_array().unwrap();
    let held = parts(tab(&page, "1"), "<tr data-container=", "</tr>");
    assert_eq!(held.len(), stock.len());
    for (row, there) in held.iter().zip(stock) {
        assert!(shown(row).contains(&text(&there["product"])), "{row}");
        assert!(shown(row).contains(&text(&there["container"])), "{row}");
    }
    // Each limit on an amount: what was observed, limit and margin.
    let tab = shown(tab(&page, "1"));
    let counts = [
        "ten-gallons-outside-cabinets",
        "cabinet-contents",
        "glass-and-plastic-size",
    ];
    let mut seen = 0;
    for finding in json["findings"].as_array().unwrap() {
        if counts.contains(&finding["rule"].as_str().unwrap()) && !finding["observed"].is_null() {
            let row = ["observed_text", "limit_text", "margin_text"]
                .map(|key| text(&finding[key]))
                .concat();
            assert!(tab.contains(&row), "{row}");
            seen += 1;
        }
    }
    assert!(seen > 15, "{seen}");
    assert_eq!(
        json["counts"]["findings"],
        json["findings"].as_array().unwrap().len()
    );
}

fn sorted(rows: &[&str]) -> Vec<String> {
    let mut rows: Vec<String> = rows.iter().map(|row| (*row).to_string()).collect();
    rows.sort();
    rows.dedup();
    rows
}

/// The rows that a piece of the page names: `a.csv:3, 9` is two.
fn named_rows(html: &str) -> Vec<String> {
    let mut rows = Vec::new();
    for code in parts(html, "<code>", "</code>") {
        let code = shown(code);
        match code.rsplit_once(':') {
            Some((file, lines)) => {
                rows.extend(lines.split(", ").map(|line| format!("{file}:{line}")))
            }
            None => rows.push(code),
        }
    }
    rows.sort();
    rows.dedup();
    rows
}

/// Looks each row that the page names up in the copies; how many there are.
#[track_caller]
fn looked_up(page: &str, copied: &BTreeMap<PathBuf, Vec<u8>>) -> usize {
    let mut seen = 0;
    for row in named_rows(page) {
        let Some((file, line)) = row.rsplit_once(':') else {
            continue;
        };
        let Ok(line) = line.parse::<usize>() else {
            continue;
        };
        let bytes = copied
            .get(Path::new(file))
            .unwrap_or_else(|| panic!("{row} is in no copy"));
        let text = String::from_utf8_lossy(bytes);
        let found = text
            .lines()
            .nth(line - 1)
            .unwrap_or_else(|| panic!("{row} is beyond the end"));
        assert!(
            !found.trim().is_empty() && !found.starts_with("# "),
            "{row}: {found:?}"
        );
        assert!(file == "shop.toml" || line > 1, "{row} is a row of names");
        seen += 1;
    }
    seen
}

/// Each table is there byte for byte, and each row that the page names is a row of it.
#[test]
fn every_row_can_be_looked_up_in_the_copies() {
    let (folder, page) = demo_bound();
    let (shop, tables) = (
        folder.path().join("shop"),
        folder.path().join("binder/tables"),
    );
    let (mine, copied) = (files(&shop), files(&tables));
    let is_table = |name: &&PathBuf| name.extension().is_some_and(|end| end != "txt");
    for name in mine.keys().filter(is_table) {
        let bytes = &mine[name];
        assert_eq!(copied.get(name), Some(bytes), "{}", name.display());
    }
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
    let built_in = copied.keys().filter(|name| name.starts_with("data"));
    let mut count = 0;
    for name in built_in {
        let there = std::fs::read(data.join(name.strip_prefix("data").unwrap())).unwrap();
        assert_eq!(copied[name], there, "{}", name.display());
        count += 1;
    }
    assert_eq!(copied.len(), mine.keys().filter(is_table).count() + count);
    // Tab 9 names each of them with its length.
    for (name, bytes) in &copied {
        let row = format!("tables/{}{}", name.display(), bytes.len());
        assert!(shown(tab(&page, "9")).contains(&row), "{row}");
    }
    let seen = looked_up(&page, &copied);
    assert!(seen > 250, "{seen}");
}

/// The rag record has each entry of the log that is about rags, with its day, its hand and its own row; and so for waste.
#[test]
fn every_entry_about_rags_and_waste_is_there() {
    let (folder, page) = demo_bound();
    let log = std::fs::read_to_string(folder.path().join("shop/log.csv")).unwrap();
    let (mut rags, mut waste) = (0, 0);
    for (at, line) in log.lines().enumerate() {
        let cells: Vec<&str> = line.split(',').collect();
        let (Some(when), Some(what)) = (cells.get(1), cells.get(2)) else {
            continue;
        };
        let cloth = ["R-1", "R-2", "PD-1"].contains(&cells[3]);
        let of_rags = matches!(*what, "soil" | "spread" | "soak" | "bin" | "empty")
            || cloth && matches!(*what, "discard" | "test" | "count" | "move" | "use");
        let of_waste = matches!(*what, "discard" | "empty")
            || ["S-1", "S-2"]
                .iter()
                .any(|id| cells[3] == *id || cells[5] == *id);
        for (number, is, count) in [("2", of_rags, &mut rags), ("5", of_waste, &mut waste)] {
            if !is {
                continue;
            }
            *count += 1;
            let row = parts(
                tab(&page, number),
                &format!("data-entry=\"{}\"", cells[0]),
                "</tr>",
            );
            assert_eq!(row.len(), 1, "{line} in tab {number}");
            assert!(
                row[0].contains(&format!("datetime=\"{when}\"")),
                "{line}: {}",
                row[0]
            );
            let told = shown(row[0]);
            for cell in [*what, cells[8], &format!("log.csv:{}", at + 1)] {
                assert!(told.contains(cell), "{cell} of {line}: {told}");
            }
        }
    }
    assert!(rags > 70 && waste > 20, "{rags} {waste}");
    for (number, count) in [("2", rags), ("5", waste)] {
        assert_eq!(values(tab(&page, number), "data-entry").len(), count);
    }
    let rags = shown(tab(&page, "2"));
    for words in [
        "2026-10: 27 entries",
        "2025-11 to 2026-06: before the first entry of the log",
        "WET AND LOOSE",
        "R-1, cotton rags2113 Oct 2026, 4:30 pm14 Oct 2026, 8:05 ambench",
    ] {
        assert!(rags.contains(words), "{words}");
    }
}

/// A corrected entry shows both readings and the correction's row; one taken back is struck out, and stays.
#[test]
fn corrections_are_shown() {
    let folder = TempDir::new().unwrap();
    demo(folder.path());
    let log = folder.path().join("shop/log.csv");
    let mut text = std::fs::read_to_string(&log).unwrap();
    let lines = text.lines().count();
    text.push_str(
        "X1,2026-10-31T13:00,soil,R-1,5 pcs,D-1,bench,,owner,,\n\
         X2,2026-10-31T13:10,correct,,2 pcs,X1,,,owner,wrote 5 for 2,\n\
         X3,2026-10-31T13:20,bin,R-1,1 pcs,,rag can,,owner,never done,\n\
         X4,2026-10-31T13:30,correct,,,X3,,,owner,void: it was not done,\n\
         X5,2026-10-31T13:40,discard,A-4,1 fl oz,,,,owner,wrong can,\n\
         X6,2026-10-31T13:50,correct,A-2,,X5,,,owner,it was A-2,\n\
         X7,2026-10-31T14:00,soil,R-1,1 pcs,D-1,bench,,,,\n\
         X8,2026-10-31T14:10,correct,,,X7,,,owner,void,\n\
         X9,2026-10-31T14:20,correct,,,X8,,,owner,void: it was so after all,\n",
    );
    std::fs::write(&log, text).unwrap();
    let page = bound(folder.path(), "shop", "2026-10-31");
    let entry = |number: &str, id: &str| {
        let rows = parts(
            tab(&page, number),
            &format!(" data-entry=\"{id}\""),
            "</tr>",
        );
        assert_eq!(rows.len(), 1, "{id} in tab {number}");
        rows[0].to_string()
    };
    let mended = entry("2", "X1");
    assert!(mended.contains("<s>5 pcs</s>") && shown(&mended).contains("5 pcs 2 pcs"));
    assert!(shown(&mended).contains(&format!("corrected by log.csv:{}", lines + 2)));
    assert!(tab(&page, "2").contains("class=\"void\" data-entry=\"X3\""));
    let void = entry("2", "X3");
    assert!(void.contains("<s>bin</s>"), "{void}");
    assert!(shown(&void).contains(&format!("taken back by log.csv:{}", lines + 4)));
    let moved = entry("5", "X5");
    assert!(
        moved.contains("<s>A-4</s>") && shown(&moved).contains("A-4 A-2"),
        "{moved}"
    );
    let kept = entry("2", "X7");
    assert!(
        !kept.contains("<s>") && !shown(&kept).contains("taken back"),
        "{kept}"
    );
    assert!(
        shown(&kept).contains("not recorded"),
        "without a name: {kept}"
    );
    assert!(
        !page.contains("data-entry=\"X2\""),
        "a correction is part of what it mends"
    );
}

/// A log that runs backward makes the same record as one that runs forward, but for the lines it names.
#[test]
fn a_log_that_runs_backward_makes_the_same_record() {
    let (folder, page) = demo_bound();
    let log = folder.path().join("shop/log.csv");
    let text = std::fs::read_to_string(&log).unwrap();
    let head = 2;
    let mut lines: Vec<&str> = text.lines().collect();
    // Entries of one minute keep their order, as they do for the replay.
    lines[head..]
        .sort_by_key(|line| std::cmp::Reverse(line.split(',').nth(1).unwrap().to_string()));
    std::fs::write(&log, lines.join("\n") + "\n").unwrap();
    let back = bound(folder.path(), "shop", "2026-10-31");
    for number in ["2", "5"] {
        let (forward, back) = (tab(&page, number), tab(&back, number));
        assert_eq!(values(back, "data-entry"), values(forward, "data-entry"));
    }
}

/// A record of thousands of entries shows the latest two thousand, and says where the others stand.
#[test]
fn a_long_record_is_cut_and_says_so() {
    let (folder, page) = demo_bound();
    let before = values(tab(&page, "2"), "data-entry").len();
    let log = folder.path().join("shop/log.csv");
    let mut text = std::fs::read_to_string(&log).unwrap();
    for at in 0..2_500 {
        writeln!(
            text,
            "L{at},2026-10-31T15:{:02},empty,,,,rag can,,owner,,",
            at % 60
        )
        .unwrap();
    }
    std::fs::write(&log, text).unwrap();
    let page = bound(folder.path(), "shop", "2026-10-31");
    let rags = tab(&page, "2");
    assert_eq!(values(rags, "data-entry").len(), 2_000);
    let said = shown(rags);
    for words in [
        &format!(
            "This table shows the latest 2000 entries. {} earlier entries of these twelve months are in tables/log.csv.",
            before + 500
        ),
        "2026-07 to 2026-09: not shown here; see tables/log.csv",
        "2025-11 to 2026-06: before the first entry of the log",
    ] {
        assert!(
            said.contains(words),
            "{words}\n{}",
            &said[said.len() - 1_500..]
        );
    }
}

/// A night is on record for twelve months, though the rules look back only one.
#[test]
fn nights_stay_on_record() {
    let (folder, page) = demo_bound();
    let night = "13 Oct 2026, 4:30 pm14 Oct 2026, 8:05 am";
    assert!(shown(tab(&page, "2")).contains(night));
    let later = bound(folder.path(), "shop", "2027-09-30");
    let rags = shown(tab(&later, "2"));
    assert!(rags.contains(night), "{rags}");
    let gone = bound(folder.path(), "shop", "2027-12-31");
    assert!(!shown(tab(&gone, "2")).contains(night));
}

/// Tab 2 holds no word that calms, no bar, and no sum of rags.
#[test]
fn no_word_about_rags_calms() {
    let (_folder, page) = demo_bound();
    let rags = tab(&page, "2");
    assert!(!rags.contains("class=\"bar\"") && !rags.contains("%"));
    let mut said = shown(rags).to_lowercase();
    for whole in [
        "shows that a pile of rags is safe",
        "does not show that a room or a rag is safe",
    ] {
        said = said.replace(whole, "");
    }
    for word in [
        "safe",
        "all clear",
        "all good",
        "no danger",
        "no risk",
        "harmless",
        "nothing to fear",
        " ok ",
        "in order.",
        "fine",
        "total",
    ] {
        assert!(!said.contains(word), "{word}");
    }
}

#[test]
fn whatever_the_names() {
    let folder = TempDir::new().unwrap();
    let shop = odd_shops::named(folder.path(), &NAMES);
    let hostile = cell("x\"><script>alert(1)</script>");
    for (file, text) in [
        (
            "log.csv",
            format!(
                "entry,when,what,container,amount,into,place,minutes,by,note\n1,2026-11-03T10:00,discard,@jar,1 L,,,,{hostile},{hostile}\n"
            ),
        ),
        (
            "checks.csv",
            format!(
                "when,check,where,answer,by,note\n2026-11-03,exits-clear,,no,{hostile},{hostile}\n"
            ),
        ),
        (
            "actions.csv",
            format!(
                "action,rule,subject,what,who,by,closed,initials,note\n{hostile},,{hostile},{hostile},{hostile},2026-11-01,,,{hostile}\n"
            ),
        ),
    ] {
        std::fs::write(shop.join(file), text).unwrap();
    }
    let toml = std::fs::read_to_string(shop.join("shop.toml")).unwrap();
    std::fs::write(
        shop.join("shop.toml"),
        format!("keeper = '</style><script>x'\nask = '<b>'\n{toml}"),
    )
    .unwrap();
    let page = bound(folder.path(), "named-shop", DAY);
    for name in NAMES {
        let escaped = name
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
            .replace('"', "&quot;")
            .replace('\n', " ");
        assert!(page.contains(&escaped), "{name}");
    }
    std::fs::remove_dir_all(&shop).unwrap();
    odd_shops::long_names(folder.path());
    bound(folder.path(), "named-shop", DAY);
    odd_shops::large(folder.path(), 600);
    let page = bound(folder.path(), "large-shop", DAY);
    assert_eq!(values(&page, "data-container").len(), 600);
    assert!(page.len() < 4_000_000, "{} bytes", page.len());
}

fn cell(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

/// What a shop does not have is said, tab by tab; nothing is left blank.
#[test]
fn what_is_not_there_is_said() {
    let folder = TempDir::new().unwrap();
    let shop = odd_shops::quiet(folder.path());
    std::fs::remove_file(shop.join("checks.csv")).unwrap();
    let page = bound(folder.path(), "silent-shop", DAY);
    for (number, words) in [
        (
            "1",
            &[
                "Nothing is on record on this day.",
                "No limit in use applies to what is stored here.",
            ][..],
        ),
        (
            "2",
            &[
                "This tab has no open finding. This covers only the rules in use",
                "places.csv has no oily-waste can, no water can and no place outdoors.",
                "The log shows no soiled rag on the premises. A rag that is not in the log is not shown here",
                "Without a log these nights are unknown.",
                "The shop has no checks.csv, so no check is on record.",
                "The shop has no log.csv. So it is unknown where any rag went",
            ],
        ),
        (
            "3",
            &[
                "The shop has no fixtures.csv, so its fixtures are unknown.",
                "The shop has no checks.csv",
            ],
        ),
        (
            "4",
            &[
                "not recorded",
                "The log of the last month has no session with vapor",
                "The shop has no fixtures.csv",
            ],
        ),
        (
            "5",
            &[
                "No container of waste is on record",
                "The shop has no log.csv. So it is unknown what was discarded",
            ],
        ),
        ("6", &["No product is stored here on this day."]),
        (
            "7",
            &[
                "The shop has no actions.csv. No action is on record.",
                "No finding is accepted.",
                "The reports of this shop hold no earlier audit",
            ],
        ),
        (
            "9",
            &[
                "No keeper of the records is on record",
                "There is no log.csv.",
                "checks.csv has no answer. No round is on record.",
                "missing: the shop has no log.csv",
            ],
        ),
        ("10", &["No local authority is on record in shop.toml."]),
    ] {
        let told = shown(tab(&page, number));
        for words in words {
            assert!(told.contains(words), "tab {number}: {words}\n{told}");
        }
    }
    let cover = shown(page.split_once("<main>").unwrap().0);
    assert!(cover.contains("not recorded in shop.toml"));
    assert!(cover.contains("not recorded; see tab 9"));
    // With a log and checks in which there is nothing of the sort, that is said too.
    std::fs::write(shop.join("log.csv"), "entry,when,what\n").unwrap();
    std::fs::write(shop.join("checks.csv"), "when,check,answer\n").unwrap();
    std::fs::write(shop.join("actions.csv"), "action,what\n").unwrap();
    let page = bound(folder.path(), "silent-shop", DAY);
    assert!(shown(tab(&page, "2")).contains(
        "The log has no such entry in the twelve months up to 24 Nov 2026. So it is unknown"
    ));
    assert!(
        shown(tab(&page, "2")).contains("checks.csv has no answer for this tab up to this day.")
    );
    assert!(shown(tab(&page, "7")).contains("actions.csv is empty"));
}

/// Records are reported by the packs in use; a keeper is named where shop.toml names one.
#[test]
fn records_go_with_the_packs() {
    let (folder, page) = demo_bound();
    let all = values(&page, "data-record").len();
    assert!(all >= 15, "{all}");
    let told = shown(tab(&page, "9"));
    for words in [
        "Entries in log.csv by owner (110), assistant (93)",
        "checks.csv: extinguisher-service2 rows, 12 May 2026 to 12 May 2026one year after the last entry, or the life of the shell",
        "log.csv: soil, spread, soak, bin, empty",
        "1910.1020(d)(1)(ii); read in the text",
        "from memory, not confirmed",
    ] {
        assert!(told.contains(words), "{words}\n{told}");
    }
    for file in ["accepted.csv", "actions.csv"] {
        std::fs::remove_file(folder.path().join("shop").join(file)).unwrap();
    }
    let toml = folder.path().join("shop/shop.toml");
    let text = std::fs::read_to_string(&toml).unwrap();
    let text = text.replace(
        "packs     = [\"us-workplace\", \"us-fire-code\"]",
        "packs     = [\"us-fire-code\"]\nkeeper    = \"the restorer, in the office\"",
    );
    std::fs::write(&toml, text).unwrap();
    let page = bound(folder.path(), "shop", "2026-10-31");
    let fewer = values(&page, "data-record");
    assert!(fewer.len() < all && fewer.contains(&"inspections") && !fewer.contains(&"exposure"));
    assert!(
        shown(tab(&page, "9")).contains("Kept by the restorer, in the office, as shop.toml says.")
    );
    assert!(!page.contains("No keeper of the records is on record"));
}

/// The same shop and day make the same binder; the second takes the place of the first, and nothing is left beside it.
#[test]
fn a_second_binder_takes_the_place_of_the_first() {
    let (folder, first) = demo_bound();
    let before = files(&folder.path().join("binder"));
    assert_eq!(bound(folder.path(), "shop", "2026-10-31"), first);
    assert_eq!(files(&folder.path().join("binder")), before);
    assert_eq!(names(folder.path()), ["binder", "shop"]);
    assert_eq!(
        names(&folder.path().join("binder")),
        ["audit.json", "binder.html", "tables"]
    );
    assert!(!folder.path().join("shop/reports").exists(), "--no-reports");
    // A table that the shop no longer has is no longer in the binder.
    std::fs::remove_file(folder.path().join("shop/actions.csv")).unwrap();
    bound(folder.path(), "shop", "2026-10-31");
    assert!(!folder.path().join("binder/tables/actions.csv").exists());
    // An empty folder will do, and so will one in the shop; the audit's own JSON is the binder's.
    std::fs::create_dir(folder.path().join("empty")).unwrap();
    let told = run(
        folder.path(),
        &["audit", "shop", "--on", "2026-10-31", "--binder", "empty/"],
    );
    let told = String::from_utf8(told.stdout).unwrap();
    assert!(
        told.ends_with("\nThe binder is empty/binder.html, with audit.json and 13 tables; open it and\n  print it.\n"),
        "{told}"
    );
    let json = run(
        folder.path(),
        &[
            "audit",
            "shop",
            "--on",
            "2026-10-31",
            "--binder",
            "shop/binder",
            "--json",
            "-",
        ],
    );
    assert_eq!(
        std::fs::read(folder.path().join("shop/binder/audit.json")).unwrap(),
        json.stdout
    );
    assert_eq!(
        std::fs::read(folder.path().join("shop/reports/2026-10-31-audit.json")).unwrap(),
        json.stdout
    );
    let again = run(
        folder.path(),
        &["audit", "shop", "--on", "2026-10-31", "--quiet"],
    );
    assert_eq!((again.status.code(), again.stderr.len()), (Some(1), 0));
}

/// What a crash left beside it is settled by the next run, and no earlier binder is lost.
#[test]
fn a_crash_leaves_a_whole_binder() {
    let (folder, first) = demo_bound();
    let at = |name: &str| folder.path().join(name);
    // Between the renames: the old one aside, the new one not yet in.
    std::fs::rename(at("binder"), at(".binder.sandarac-old")).unwrap();
    std::fs::create_dir_all(at(".binder.sandarac-new/tables")).unwrap();
    std::fs::write(at(".binder.sandarac-new/tables/log.csv"), "half").unwrap();
    std::fs::write(at(".binder.sandarac-lock"), "").unwrap();
    assert_eq!(bound(folder.path(), "shop", "2026-10-31"), first);
    assert_eq!(names(folder.path()), ["binder", "shop"]);
    // After them: the old one not yet away.
    std::fs::create_dir_all(at(".binder.sandarac-old/tables")).unwrap();
    bound(folder.path(), "shop", "2026-10-31");
    assert_eq!(names(folder.path()), ["binder", "shop"]);
    // Something of that name which no run can have left stays.
    std::fs::create_dir_all(at(".binder.sandarac-new")).unwrap();
    std::fs::write(at(".binder.sandarac-new/mine.txt"), "mine").unwrap();
    let refused = refusal(folder.path(), "binder");
    assert!(
        refused.ends_with(
            ".binder.sandarac-new is in the way of the new binder, and is not from an earlier run.\n  Check it and move it \
             away, then try again.\n\nThe binder was not written.\n"
        ),
        "{refused}"
    );
    assert_eq!(
        std::fs::read_to_string(at("binder/binder.html")).unwrap(),
        first
    );
    assert!(at(".binder.sandarac-new/mine.txt").exists());
    assert!(!at(".binder.sandarac-lock").exists());
}

/// What a binder into this folder is refused with.
#[track_caller]
fn refusal(folder: &Path, binder: &str) -> String {
    let output = run(
        folder,
        &[
            "audit",
            "shop",
            "--on",
            "2026-10-31",
            "--binder",
            binder,
            "--no-reports",
            "--quiet",
        ],
    );
    assert_eq!(output.status.code(), Some(2), "{binder}");
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr).unwrap()
}

#[test]
fn what_is_no_place_for_a_binder_is_refused() {
    let (folder, _) = demo_bound();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir_all(at("full/inner")).unwrap();
    std::fs::write(at("full/notes.txt"), "mine").unwrap();
    std::fs::remove_dir(at("full/inner")).unwrap();
    std::fs::write(at("file"), "mine").unwrap();
    std::fs::create_dir_all(at("other/tables")).unwrap();
    std::fs::write(at("other/binder.html"), "<p>mine</p>").unwrap();
    std::fs::create_dir_all(at("data")).unwrap();
    std::fs::write(at("data/audit.json"), "{}").unwrap();
    std::fs::create_dir_all(at("own/tables")).unwrap();
    std::fs::write(at("own/tables/log.csv"), "mine").unwrap();
    std::fs::write(at("binder/tables/mine.csv"), "mine").unwrap();
    let before = files(folder.path());
    let own = " A binder needs a folder of its own.\n  Name a folder that does not exist yet, such as shop/binder.";
    let empty = "\n  Name an empty folder, one that does not exist yet, or one with an earlier binder and nothing else.";
    for (binder, told) in [
        ("shop", format!("shop is the shop folder.{own}")),
        ("shop/", format!("shop is the shop folder.{own}")),
        (".", format!(". contains the shop folder.{own}")),
        ("shop/..", format!("shop/.. contains the shop folder.{own}")),
        (
            "shop/reports",
            format!("shop/reports is where sandarac keeps other files of the shop.{own}"),
        ),
        (
            "full",
            format!("full contains notes.txt, which is not part of a binder.{empty}"),
        ),
        (
            "binder",
            format!("binder contains tables/mine.csv, which is not part of a binder.{empty}"),
        ),
        (
            "other",
            format!("other/binder.html is not the page of a binder.{empty}"),
        ),
        (
            "own",
            format!("own contains tables, but no binder.html.{empty}"),
        ),
        (
            "data",
            format!("data contains audit.json, but no binder.html.{empty}"),
        ),
        (
            "file",
            "file is not a folder.\n  Name an empty folder, or one that does not exist yet."
                .to_string(),
        ),
        (
            "none/binder",
            "The folder none does not exist.\n  Make it before the binder, or name another folder."
                .to_string(),
        ),
    ] {
        let told = told + "\n\nNothing was written.\n";
        assert_eq!(refusal(folder.path(), binder), told, "{binder}");
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(at("empty"), at("link")).unwrap();
        std::fs::create_dir(at("empty")).unwrap();
        for name in ["link", "link/"] {
            assert_eq!(
                refusal(folder.path(), name),
                "link is a link. A binder is not written through a link.\n  Name the folder that it leads to, or another \
                 one.\n\nNothing was written.\n"
            );
        }
        std::fs::remove_file(at("link")).unwrap();
        std::fs::remove_dir(at("empty")).unwrap();
    }
    let here = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(at("other"))
        .args(["audit", "../shop", "--binder", "."])
        .output()
        .unwrap();
    assert_eq!(
        String::from_utf8(here.stderr).unwrap(),
        ". is your current folder, or contains it. A binder needs a folder of its own.\n  Name a folder that does not exist \
         yet, such as ../shop/binder.\n\nNothing was written.\n"
    );
    let many = run(folder.path(), &["audit", "shop", "shop", "--binder", "b"]);
    assert_eq!(many.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(many.stderr).unwrap(),
        "A binder is for one shop, but 2 are named.\n  Audit each shop by itself, with its own `--binder FOLDER`.\n\n\
         Nothing was audited.\n"
    );
    assert_eq!(files(folder.path()), before, "nothing was touched");
}

/// A shop that cannot be read leaves the earlier binder as it was, and no folder where there was none.
#[test]
fn a_shop_that_cannot_be_read_writes_nothing() {
    let (folder, first) = demo_bound();
    std::fs::write(folder.path().join("shop/rooms.csv"), "nonsense\n").unwrap();
    for binder in ["binder", "new"] {
        let told = refusal(folder.path(), binder);
        assert!(told.contains("rooms.csv"), "{told}");
    }
    let page = std::fs::read_to_string(folder.path().join("binder/binder.html")).unwrap();
    assert_eq!(page, first);
    assert_eq!(names(folder.path()), ["binder", "shop"]);
}

/// A log that is too large to be held in memory is copied from the disk, byte for byte; and what rests on thousands of rows
/// names a few of them, and says how many more.
#[test]
fn a_large_log_is_copied_whole() {
    let folder = TempDir::new().unwrap();
    demo(folder.path());
    let log = folder.path().join("shop/log.csv");
    let mut text = std::fs::read_to_string(&log).unwrap();
    for at in 0..10_000 {
        let rest = "owner,the can went out with the lorry of the town,";
        writeln!(text, "L{at},2026-10-31T16:00,empty,,,,rag can,,{rest}").unwrap();
        writeln!(
            text,
            "U{at},2026-10-31T16:00,use,A-1,0.0001 fl oz,,,5,owner,{at},"
        )
        .unwrap();
    }
    assert!(text.len() > 1 << 20);
    std::fs::write(&log, &text).unwrap();
    let page = bound(folder.path(), "shop", "2026-10-31");
    let copy = std::fs::read_to_string(folder.path().join("binder/tables/log.csv")).unwrap();
    assert!(copy == text);
    assert!(
        page.contains("log.csv:20203</code>"),
        "the last entry about rags is named by its line"
    );
    assert!(shown(tab(&page, "4")).contains(" and 9994 more, in audit.json"));
    assert!(page.len() < 2_000_000, "{} bytes", page.len());
}

/// Actions and acceptances with their states; compared with an earlier audit if there is one, and otherwise it is unknown
/// for how long a finding has been open.
#[test]
fn corrective_actions_and_month_against_month() {
    let (folder, alone) = demo_bound();
    let since = |page: &str| {
        let row = parts(tab(page, "1"), "No. 4</a>", "</tr>")[0];
        let (_, last) = row.rsplit_once("<td").unwrap();
        shown(last.split_once('>').unwrap().1)
    };
    assert!(
        !tab(&alone, "1").contains("Open since"),
        "no column of what is unknown"
    );
    let audit = |on: &str| run(folder.path(), &["audit", "shop", "--on", on, "--quiet"]);
    assert_eq!(audit("2026-09-30").status.code(), Some(1));
    let page = bound(folder.path(), "shop", "2026-10-31");
    assert_eq!(since(&page), "30 Sep 2026");
    let json = std::fs::read_to_string(folder.path().join("binder/audit.json")).unwrap();
    let json: Value = serde_json::from_str(&json).unwrap();
    let told = shown(tab(&page, "7"));
    for (title, key) in [
        ("New", "new"),
        ("Still open", "standing"),
        ("Cleared", "cleared"),
    ] {
        let list = json["against"][key].as_array().unwrap();
        assert!(!list.is_empty());
        assert!(told.contains(&format!("{title} {}", list.len())), "{title}");
        for change in list {
            let subject = change["subject"]["id"]
                .as_str()
                .or(change["subject"].as_str());
            assert!(told.contains(subject.unwrap()), "{change}");
        }
    }
    for words in [
        "Compared with the audit of 30 Sep 2026, 2026-09-30-audit.json.",
        "1measure the fan of the store-roomus-workplace/store-room-air, store-roomowner15 Oct 2026OVERDUE",
        "closed17 Oct 2026, own",
        "Marked done, but its finding is still open",
        "30 Sep 2026EXPIRED, and the finding is still open",
        "16 Jun 2027holds",
        "A finding about rags cannot be accepted.",
    ] {
        assert!(told.contains(words), "{words}\n{told}");
    }
    assert_eq!(values(tab(&page, "7"), "data-action").len(), 5);
    // One that was closed long ago is still on record, though the audit no longer shows it.
    let later = bound(folder.path(), "shop", "2027-03-31");
    assert_eq!(values(tab(&later, "7"), "data-action").len(), 5);
}
