//! The small shop of `tests/problems/base`, held in memory, one of its files replaced.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::check::{audit, bind_all};
use sandarac::pack::{CAUTIONS, Document, MATERIALS, Pack, load_built_in};
use sandarac::quantity::Day;
use sandarac::record::{ShopTables, Materials, read_tables, read_materials, read_shop};
use sandarac::report::{Caution, build, json, markdown, read_cautions, rows, terminal};
use sandarac::stock::{Stock, replay};
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::{ReferenceData, read_reference_data};
use std::cell::RefCell;

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
fn opened(name: &str, bytes: &[u8], whole: bool, files: &mut Files) -> Result<ShopTables, String> {
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
    let tables = shop.map(|shop| read_tables(files, shop, materials, find, &mut problems));
    match tables {
        Some(tables) if problems.none() => Ok(tables),
        _ => Err(show_all(&problems, files)),
    }
}

/// Everything an audit does with the shop; `bytes` stand in the file `name`. A report or a message must come of it, and
/// neither may steer a terminal.
pub fn through(name: &str, bytes: &[u8]) {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    // One in eight goes through to the reports, which take longest; its length says which.
    let whole = bytes.len().is_multiple_of(8);
    let tables = match opened(name, bytes, whole, &mut files) {
        Ok(tables) => tables,
        Err(told) => return told_well(&told),
    };
    let on = Day::parse("2026-11-24").unwrap();
    let stock = replay(&mut files, &tables, on, &mut problems);
    if !problems.none() {
        return told_well(&show_all(&problems, &files));
    }
    if !whole {
        return;
    }
    let (packs, reference, cautions) = built_in(&mut files, &mut problems);
    reported(&files, &tables, &stock, (&packs, &reference, &cautions));
}

type BuiltIn = (Vec<Pack>, ReferenceData, Vec<Caution>);

fn built_in(files: &mut Files, problems: &mut Problems) -> BuiltIn {
    let packs: Vec<Pack> = ["us-workplace", "trade"]
        .into_iter()
        .filter_map(|id| load_built_in(id, files, problems))
        .collect();
    let reference = read_reference_data(files, problems);
    let cautions = files.hold("data/cautions.toml", CAUTIONS.as_bytes());
    let cautions = read_cautions(files, cautions, problems);
    (packs, reference, cautions)
}

fn reported(
    files: &Files,
    tables: &ShopTables,
    stock: &Stock,
    (packs, reference, cautions): (&[Pack], &ReferenceData, &[Caution]),
) {
    let mut problems = Problems::new();
    let bound = bind_all(packs, |_| true, tables, reference, &mut problems);
    if !problems.none() {
        return told_well(&show_all(&problems, files));
    }
    let audit = audit(tables, stock, &bound, reference);
    let view = build(
        tables,
        stock,
        &audit,
        &packs.iter().collect::<Vec<_>>(),
        cautions,
        files,
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

/// A shop that is kept from run to run, since reading it takes far longer than reading a few rows of a log.
struct Kept {
    files: Files,
    tables: ShopTables,
    built_in: BuiltIn,
    runs: u32,
}

/// Logs that one set of files holds before it is begun anew, so that memory is bounded.
const MOST_RUNS: u32 = 2000;

impl Kept {
    fn new() -> Kept {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let tables = opened("", &[], true, &mut files).unwrap();
        let built_in = built_in(&mut files, &mut problems);
        assert!(problems.none());
        Kept {
            files,
            tables,
            built_in,
            runs: 0,
        }
    }
}

thread_local! {
    static KEPT: RefCell<Option<Kept>> = const { RefCell::new(None) };
}

/// As [`through`], for log.csv alone.
pub fn through_log(bytes: &[u8]) {
    KEPT.with_borrow_mut(|kept| {
        if kept.as_ref().is_some_and(|kept| kept.runs >= MOST_RUNS) {
            *kept = None;
        }
        let kept = kept.get_or_insert_with(Kept::new);
        kept.runs += 1;
        let mut problems = Problems::new();
        kept.tables.log = Some(kept.files.hold("log.csv", bytes.to_vec()));
        let on = Day::parse("2026-11-24").unwrap();
        let stock = replay(&mut kept.files, &kept.tables, on, &mut problems);
        if !problems.none() {
            return told_well(&show_all(&problems, &kept.files));
        }
        if bytes.len().is_multiple_of(8) {
            let (packs, reference, cautions) = &kept.built_in;
            reported(&kept.files, &kept.tables, &stock, (packs, reference, cautions));
        }
    });
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
