//! The round on paper, as page and as table.

use crate::{DEMO_DAY, demo, edit, file, root, said};
use sandarac::quantity::Measure;
use std::collections::BTreeSet;
use std::path::Path;

const SHEET: [&str; 4] = ["round", "shop", "--on", DEMO_DAY];

fn page(folder: &Path) -> String {
    said(folder, &[&SHEET[..], &["--out", "-"]].concat(), 0)
}

fn table(folder: &Path) -> Vec<csv::StringRecord> {
    let text = said(folder, &[&SHEET[..], &["--csv", "-"]].concat(), 0);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.records().map(Result::unwrap).collect()
}

/// Where in the table the rows of a kind and name stand, and what a column of theirs says.
fn rows<'t>(table: &'t [csv::StringRecord], kind: &str, name: &str) -> Vec<&'t csv::StringRecord> {
    let mine = |row: &&csv::StringRecord| &row[3] == kind && &row[4] == name;
    table.iter().filter(mine).collect()
}

/// The text between tags, in order.
fn words(page: &str) -> String {
    let (_, body) = page.split_once("<body>").unwrap();
    let parts = body
        .split('<')
        .map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    parts
        .filter(|text| !text.trim().is_empty())
        .collect::<Vec<_>>()
        .join(" | ")
}

#[test]
fn both_are_written_and_the_committed_ones_are_current() {
    let folder = demo();
    let told = said(folder.path(), &SHEET, 0);
    assert!(
        told.contains(&format!("Wrote shop/reports/{DEMO_DAY}-round.html\n")),
        "{told}"
    );
    for ending in ["html", "csv"] {
        let name = format!("reports/{DEMO_DAY}-round.{ending}");
        let found = file(&folder.path().join("shop"), &name);
        if std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite") {
            std::fs::write(root().join(&name), &found).unwrap();
        }
        assert!(file(root(), &name) == found, "{name} is not current");
    }
    assert!(page(folder.path()) == file(root(), &format!("reports/{DEMO_DAY}-round.html")));
}

/// One file that loads nothing and runs nothing, whose rows are never cut and whose headings come again.
#[test]
fn the_page_stands_alone() {
    let folder = demo();
    let page = page(folder.path());
    for word in [
        "http:",
        "https:",
        "<script",
        "javascript",
        "url(",
        "@import",
        "src=",
        "href=",
        "onclick",
        "onload",
    ] {
        let inside = page
            .find(word)
            .map(|at| page[at..].chars().take(40).collect::<String>());
        assert!(inside.is_none(), "{word}: {inside:?}");
    }
    assert!(page.contains("default-src 'none'"));
    for rule in [
        "break-inside:avoid",
        ".columns{columns:2",
        "(max-width:40rem){.columns{columns:1}",
        "@page{size:letter;",
    ] {
        assert!(page.contains(rule), "{rule}");
    }
    assert_eq!(
        page.matches("<h2>").count(),
        4,
        "two rooms, the shop as a whole, and the actions"
    );
    assert!(
        page.contains("on the floor plan: 1 2"),
        "the numbers of the floor plan"
    );
    for (paper, size) in [("a4", "A4"), ("letter", "letter")] {
        let args = [&SHEET[..], &["--paper", paper, "--out", "-"]].concat();
        let page = said(folder.path(), &args, 0);
        assert!(page.contains(&format!("@page{{size:{size};")), "{paper}");
    }
    edit(folder.path(), "shop/shop.toml", "\"us\"", "\"metric\"");
    assert!(
        self::page(folder.path()).contains("@page{size:A4;"),
        "as the shop's units are"
    );
}

#[test]
fn everything_that_is_there_is_to_be_counted_once() {
    let folder = demo();
    let table = table(folder.path());
    let stock = said(folder.path(), &["stock", "shop", "--on", DEMO_DAY], 0);
    let shown = |name: &str| {
        stock
            .lines()
            .any(|line| line.trim_start().starts_with(&format!("{name} ")))
    };
    let containers = file(root(), "data/demo/inventory.csv");
    let mut there = 0;
    for line in containers.lines().skip(2) {
        let name = line.split(',').next().unwrap();
        let rows = rows(&table, "count", name);
        assert_eq!(rows.len(), usize::from(shown(name)), "{name}");
        there += rows.len();
        for row in rows {
            let unit = &row[9];
            let measure = Measure::parse(&format!("1 {unit}")).unwrap();
            assert!(row[7].ends_with(measure.unit.symbol), "{row:?}");
        }
    }
    assert!(there > 35, "{there}");
    let numbers: Vec<String> = table.iter().map(|row| row[0].to_string()).collect();
    let wanted: Vec<String> = (1..=table.len()).map(|n| n.to_string()).collect();
    assert_eq!(numbers, wanted, "numbered as on paper");
    let filled: BTreeSet<&str> = table.iter().flat_map(|row| row.iter().skip(11)).collect();
    assert_eq!(
        filled,
        BTreeSet::from([""]),
        "what is to be filled in is empty"
    );
}

/// Every question that a rule of the demo's packs waits for stands where the rule looks for its answer.
#[test]
fn an_answer_meets_its_rule() {
    let folder = demo();
    let table = table(folder.path());
    let mut answers = file(folder.path(), "shop/checks.csv");
    for row in table.iter().filter(|row| &row[3] == "check") {
        let quoted = |text: &str| format!("\"{text}\"");
        answers += &format!(
            "2026-10-31T18:00,{},{},yes,owner,\n",
            &row[4],
            quoted(&row[5])
        );
    }
    std::fs::write(folder.path().join("shop/checks.csv"), answers).unwrap();
    let args = [
        "audit",
        "shop",
        "--on",
        DEMO_DAY,
        "--no-reports",
        "--json",
        "-",
    ];
    let found: serde_json::Value = serde_json::from_str(&said(folder.path(), &args, 1)).unwrap();
    let waiting: Vec<&str> = found["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["observed_text"].as_str().unwrap())
        .filter(|text| {
            text.contains("is on record in checks.csv") || text.contains("was last answered")
        })
        .collect();
    assert!(waiting.is_empty(), "{waiting:#?}");
    assert_eq!(rows(&table, "check", "exits-clear").len(), 1);
    assert_eq!(rows(&table, "check", "lids-closed").len(), 2);
    // About a kind of room that the shop does not have, nothing is asked.
    for check in ["teaching-only", "days-supply", "basement-sprinklers"] {
        assert!(rows(&table, "check", check).is_empty(), "{check}");
    }
    // Not due before the next round: the yearly service of May, and the yearly sill of July.
    for check in [
        "extinguisher-service",
        "store-room-sill",
        "respirator-cartridges",
    ] {
        assert!(rows(&table, "check", check).is_empty(), "{check}");
    }
    let spring = ["round", "shop", "--on", "2027-04-12", "--csv", "-"];
    assert!(said(folder.path(), &spring, 0).contains(",extinguisher-service,"));
    let before = ["round", "shop", "--on", "2027-04-10", "--csv", "-"];
    assert!(!said(folder.path(), &before, 0).contains(",extinguisher-service,"));
}

/// From the street door along the walls, and what hangs in the room as a whole last; then the store-room; then the shop.
#[test]
fn the_rows_follow_the_walk() {
    let folder = demo();
    let table = table(folder.path());
    let mut walk: Vec<&str> = Vec::new();
    for row in table.iter().filter(|row| &row[1] == "finishing room") {
        if walk.last() != Some(&&row[2]) {
            walk.push(&row[2]);
        }
    }
    let wanted = [
        "street door",
        "extinguisher by the door (2A:10B:C)",
        "yard",
        "eyewash at the sink",
        "pad jar",
        "sink shelf",
        "bench",
        "south window",
        "wall fan",
        "cabinet",
        "oil-filled heater",
        "extinguisher by the store-room (4A:40B:C)",
        "breaker panel",
        "water can",
        "rag can",
        "flake shelf",
        "rag shelf",
        "broom cupboard",
        "",
    ];
    assert_eq!(walk, wanted);
    let mut rooms: Vec<&str> = table.iter().map(|row| &row[1]).collect();
    rooms.dedup();
    assert_eq!(rooms, ["finishing room", "store-room", ""]);
}

/// The page shows what is unknown: wet rags, a fan that was never measured, and what is empty by the book.
#[test]
fn the_page_says_what_is_not_known() {
    let folder = demo();
    let words = words(&page(folder.path()));
    for text in [
        "R-1: 1 pcs, wet and loose by the log, since 31 Oct 2026, 10:15 am",
        "none may be here: put it under water in a lidded metal can or flat outdoors now",
        "R-1: 3 pcs, flat outdoors by the log, since 30 Oct 2026, 3:00 pm",
        "250 cfm; date of measurement not recorded",
        "unknown; date of measurement not recorded",
        "A question without a date was never answered.",
        "by 3 Nov; last on 3 Oct",
        "Put any loose oily rag under water or flat outdoors before you go on.",
        "measure the fan of the store-room",
        "by 15 Oct 2026",
        "overdue",
        "Blank is unknown, never a yes",
    ] {
        assert!(words.contains(text), "no `{text}`");
    }
    edit(
        folder.path(),
        "shop/inventory.csv",
        "2026-07-01,20 fl oz,2026-06-01",
        "2026-07-01,,2026-06-01",
    );
    edit(
        folder.path(),
        "shop/inventory.csv",
        "metal,2 gal,yard,2026-09-08,1/2 gal",
        "metal,,,2026-09-08,",
    );
    let log =
        file(folder.path(), "shop/log.csv") + "900,2026-10-31T18:00,count,W-1,0 fl oz,,,,owner,,\n";
    std::fs::write(folder.path().join("shop/log.csv"), log).unwrap();
    let table = table(folder.path());
    assert_eq!(&rows(&table, "count", "C-1")[0][7], "1 qt");
    let unknown = rows(&table, "count", "X-1")[0];
    assert_eq!((&unknown[1], &unknown[7], &unknown[9]), ("", "unknown", ""));
    let words = self::words(&page(folder.path()));
    for text in [
        "size 1 qt; never counted, counts as full",
        "Place not recorded",
        "W-1 | . If one of them holds anything",
    ] {
        assert!(words.contains(text), "no `{text}` in {words}");
    }
}

/// Names open no tag, end no style, run in no spreadsheet, and steer no terminal.
#[test]
fn names_are_names() {
    let folder = demo();
    let shop = folder.path().join("shop");
    let evil = "</td><script>alert(1)</script>";
    edit(
        &shop,
        "inventory.csv",
        "A-1,denatured alcohol",
        &format!("\"=A-1{evil}\",denatured alcohol"),
    );
    let log = file(&shop, "log.csv").replace(",A-1,", &format!(",=A-1{evil},"));
    std::fs::write(shop.join("log.csv"), log).unwrap();
    edit(&shop, "shop.toml", "Restorer", "</style><b>'); Restorer");
    let page = page(folder.path());
    assert!(!page.contains("<script") && !page.contains("</style><b>"));
    assert!(page.contains("=A-1&lt;/td&gt;&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert_eq!(page.matches("</style>").count(), 1);
    let table = table(folder.path());
    assert_eq!(rows(&table, "count", &format!("'=A-1{evil}")).len(), 1);
}

/// A question that only a law asks which does not bind the shop is advice, which its asterisk says.
#[test]
fn a_question_of_a_law_that_binds_others_is_recommended() {
    let question = "Is there a written hazard communication program";
    let asked = |employees: &str| {
        let folder = demo();
        let settings = format!("employees = {employees}");
        edit(folder.path(), "shop/shop.toml", "employees = 1", &settings);
        let page = page(folder.path());
        let (_, rest) = page
            .split_once(question)
            .unwrap_or_else(|| panic!("not asked"));
        let (row, _) = rest.split_once('<').unwrap();
        row.ends_with('*')
    };
    assert!(!asked("3"), "required of an employer");
    assert!(asked("0"), "advice for a shop of one");
}
