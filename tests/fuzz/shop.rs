//! The small shop of `tests/problems/base`, held in memory, one of its files replaced.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::check::{audit, bind_all};
use sandarac::pack::{CAUTIONS, Document, MATERIALS, Pack, load_built_in};
use sandarac::quantity::Day;
use sandarac::record::{Book, Materials, read_book, read_materials, read_shop};
use sandarac::report::{build, json, markdown, read_cautions, rows, terminal};
use sandarac::stock::replay;
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::read_craft;

/// The files of the shop.
pub const FILES: [(&str, &str); 9] = [
    ("rooms.csv", include_str!("../problems/base/shop/rooms.csv")),
    (
        "inventory.csv",
        include_str!("../problems/base/shop/inventory.csv"),
    ),
    (
        "places.csv",
        include_str!("../problems/base/shop/places.csv"),
    ),
    (
        "fixtures.csv",
        include_str!("../problems/base/shop/fixtures.csv"),
    ),
    (
        "products.csv",
        include_str!("../problems/base/shop/products.csv"),
    ),
    ("log.csv", include_str!("../problems/base/shop/log.csv")),
    (
        "checks.csv",
        include_str!("../problems/base/shop/checks.csv"),
    ),
    (
        "accepted.csv",
        include_str!("../problems/base/shop/accepted.csv"),
    ),
    ("shop.toml", include_str!("../problems/base/shop/shop.toml")),
];

/// The book of the shop with one file replaced, or the problems as text.
fn opened(name: &str, bytes: &[u8], whole: bool, files: &mut Files) -> Result<Book, String> {
    let mut problems = Problems::new();
    let mut named = Vec::new();
    for (there, text) in FILES {
        let held = if there == name {
            bytes.to_vec()
        } else {
            text.as_bytes().to_vec()
        };
        named.push((there, files.hold(there, held)));
    }
    let find = |wanted: &str| {
        named
            .iter()
            .find(|(there, _)| *there == wanted)
            .map(|(_, file)| *file)
    };
    let materials = if whole {
        let file = files.hold("data/materials.csv", MATERIALS.as_bytes());
        read_materials(files, file, &mut problems)
    } else {
        Materials::default()
    };
    let shop = find("shop.toml")
        .and_then(|file| Document::parse(files, file, &mut problems))
        .and_then(|document| read_shop(&document, &mut problems));
    let book = shop.map(|shop| read_book(files, shop, materials, find, &mut problems));
    match book {
        Some(book) if problems.none() => Ok(book),
        _ => Err(show_all(&problems, files)),
    }
}

/// Everything an audit does with the shop; `bytes` stand in the file `name`. A report or a message must come of it, and
/// neither may steer a terminal.
pub fn through(name: &str, bytes: &[u8]) {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    // One in eight goes through to the reports, which take longest; its length says which.
    let whole = bytes.len().is_multiple_of(8);
    let book = match opened(name, bytes, whole, &mut files) {
        Ok(book) => book,
        Err(told) => return told_well(&told),
    };
    let on = Day::parse("2026-11-24").unwrap();
    let stock = replay(&mut files, &book, on, &mut problems);
    if !problems.none() {
        return told_well(&show_all(&problems, &files));
    }
    if !whole {
        return;
    }
    let packs: Vec<Pack> = ["us-workplace", "trade"]
        .into_iter()
        .filter_map(|id| load_built_in(id, &mut files, &mut problems))
        .collect();
    let craft = read_craft(&mut files, &mut problems);
    let cautions = files.hold("data/cautions.toml", CAUTIONS.as_bytes());
    let cautions = read_cautions(&files, cautions, &mut problems);
    let bound = bind_all(&packs, |_| true, &book, &craft, &mut problems);
    if !problems.none() {
        return told_well(&show_all(&problems, &files));
    }
    let audit = audit(&book, &stock, &bound, &craft);
    let view = build(
        &book,
        &stock,
        &audit,
        &packs.iter().collect::<Vec<_>>(),
        &cautions,
        &files,
    );
    for text in [
        markdown(&view),
        rows(&view).unwrap(),
        terminal(&view, 80, true),
        json(&view).unwrap(),
    ] {
        plain(&text);
    }
}

/// A message says that something is wrong, and is short enough to be read.
pub fn told_well(text: &str) {
    assert!(text.contains("error["), "{text:?}");
    assert!(text.len() < 1 << 20, "{} bytes", text.len());
    plain(text);
}

/// No control characters but line breaks, and nothing that turns the direction of writing about.
pub fn plain(text: &str) {
    let steers = |c: char| {
        c.is_control() && c != '\n'
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    assert!(!text.chars().any(steers), "{text:?}");
}
