//! Any bytes as a file of a pack: the first byte says which.
#![no_main]

use libfuzzer_sys::fuzz_target;
use sandarac::check::bind;
use sandarac::pack::{Document, load_held, read_cases};
use sandarac::text::{Files, Problems, show_all};
use sandarac_fuzz::told_well;

const PARTS: [(&str, &str); 4] = [
    (
        "pack.toml",
        include_str!("../../problems/base/pack/pack.toml"),
    ),
    (
        "sources.toml",
        include_str!("../../problems/base/pack/sources.toml"),
    ),
    (
        "classes.toml",
        include_str!("../../problems/base/pack/classes.toml"),
    ),
    (
        "rules/jar-size.toml",
        include_str!("../../problems/base/pack/rules/jar-size.toml"),
    ),
];

fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else {
        return;
    };
    let which = usize::from(*which) % (PARTS.len() + 1);
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let mut parts = Vec::new();
    for (at, (path, text)) in PARTS.iter().enumerate() {
        let held = if at == which {
            bytes.to_vec()
        } else {
            text.as_bytes().to_vec()
        };
        parts.push((path.to_string(), files.hold(*path, held)));
    }
    if which == PARTS.len() {
        let file = files.hold("cases/jar-size.toml", bytes.to_vec());
        if let Some(document) = Document::parse(&files, file, &mut problems) {
            read_cases(&document, &mut problems);
        }
    } else if let Some(pack) = load_held("pack", &parts, &mut files, &mut problems) {
        for rule in &pack.rules {
            bind(rule, &pack, &mut problems);
        }
    }
    if !problems.none() {
        told_well(&show_all(&problems, &files));
    }
});
