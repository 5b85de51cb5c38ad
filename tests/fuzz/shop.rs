//! The small shop of `tests/problems/base`, held in memory, one of its files replaced.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::{NotAudited, Shop};
use sandarac::pack::{Pack, load_built_in};
use sandarac::quantity::Day;
use sandarac::report::{FORMATS, View, terminal};
use sandarac::text::{Files, Problems};

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

/// Everything an audit does with the shop; `bytes` are the file `name`. A report or a message must come of it, and neither
/// may steer a terminal.
pub fn through(name: &str, bytes: &[u8]) {
    let texts: Vec<(&str, &[u8])> = FILES
        .iter()
        .map(|(there, text)| (*there, if *there == name { bytes } else { text.as_bytes() }))
        .collect();
    PACKS.with(|packs| {
        match Shop::from_texts_with(&texts, packs.clone()).and_then(|shop| reported(&shop)) {
            Ok(()) => {}
            Err(NotAudited::Problems(problems)) => told_well(&problems.text("Nothing was audited.")),
            Err(other) => panic!("{other:?}"),
        }
    });
}

thread_local! {
    /// Read once: that takes far longer than an audit.
    static PACKS: Vec<Pack> = {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let load = |id| load_built_in(id, &mut files, &mut problems).unwrap();
        ["us-workplace", "trade"].map(load).into()
    };
}

fn reported(shop: &Shop) -> Result<(), NotAudited> {
    let audit = shop.audit(Day::parse("2026-11-24").unwrap())?;
    let view = View::new(&audit, &[]);
    plain(&terminal(&view, 80, true));
    for format in FORMATS {
        plain(&format.text(&view).unwrap());
    }
    Ok(())
}

/// As [`through`], for log.csv alone.
pub fn through_log(bytes: &[u8]) {
    through("log.csv", bytes);
}

/// A message says that something is wrong, and is short enough to be read.
pub fn told_well(text: &str) {
    assert!(text.contains("problem"), "{text:?}");
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
